"""What to stop: groups of units that bring less than the person's hour, named only where chance
hardly does that.

Every unit has a worth, its profit less the target for its hours. For each group of each grouping
(what it was, what was found, how old, how far …) the mean worth of its units is set against what it
would be were the group drawn at random: the worths are shuffled over the units, and

    p = (1 + number of shuffles with a mean at most the group's) / (1 + number of shuffles)

is the group's one-sided p-value (Phipson & Smyth 2010). Of all groups those are named that
Benjamini and Hochberg's rule (1995) takes at one false in ten, so that on records in which nothing
matters a line shows in at most one of ten.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from pricing.basis import dated
from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.quarter.groups import NOT_WRITTEN, label_groups
from pricing.quarter.money import Books

LOOKED_AT = (
    *(("found",), ("repair",), ("fault",), ("type",), ("age",), ("miles",), ("got_from",)),
    *(("maker",), ("condition",), ("paid",), ("type", "age"), ("type", "found"), ("type", "miles")),
)
FALSE_ONES = 0.1
SHUFFLES = 4_000
LEAST_UNITS = 4
LEAST_A_YEAR = 50.0  # money short a year below which a line is not worth a word. Own judgement.
MOST = 3
SAME = 0.6  # of a group's units in one that is named already: the same leak told twice
MOST_UNITS = 20_000  # the newest ones
SLIP = 4.0  # a price this many times the ask is a slip of the pen until the person says otherwise


@frozen
class Leak:
    """One group to stop. by: the groupings that make it; n units in all; money, hours and short (of
    the target for the hours) a year; p: its p-value; units: their numbers."""

    by: tuple[str, ...]
    group: str
    n: int
    money: float
    hours: float
    short: float
    p: float
    units: tuple[str, ...]


def leaks(books: Books, settings: Settings, seed: int = 0) -> tuple[Leak, ...]:
    """What to stop, the one that costs most a year first; () where nothing is told from chance."""
    rows = np.flatnonzero(books.counted & ~slips(books))[-MOST_UNITS:]
    if len(rows) < 2 * LEAST_UNITS:
        return ()
    worth = (books.profit - settings.hourly_target * books.worked)[rows]
    masks: dict[tuple[tuple[str, ...], str], np.ndarray] = {}
    for by in LOOKED_AT:
        labels = label_groups(books, settings, by)
        codes = labels.codes[rows]
        for code, group in enumerate(labels.levels):
            mask = codes == code
            if mask.sum() >= LEAST_UNITS and NOT_WRITTEN not in group:
                masks[by, group] = mask
    named = told(worth, masks, seed)
    years = _years(books.day[rows])
    money, hours = books.profit[rows], books.worked[rows]
    numbers = books.units.word("unit").texts()
    found: list[Leak] = []
    taken = np.zeros(len(rows), dtype=bool)
    for key in sorted(named, key=lambda key: float(worth[masks[key]].sum())):
        mask = masks[key]
        short = -float(worth[mask].sum()) / years
        if short < LEAST_A_YEAR or (taken & mask).sum() > SAME * mask.sum():
            continue
        taken |= mask
        found.append(
            Leak(
                key[0],
                key[1],
                int(mask.sum()),
                float(money[mask].sum()) / years,
                float(hours[mask].sum()) / years,
                short,
                named[key],
                tuple(str(numbers[row]) for row in rows[mask].tolist()),
            )
        )
    return tuple(found[:MOST])


def told(
    worth: np.ndarray, masks: Mapping[tuple[tuple[str, ...], str], np.ndarray], seed: int = 0
) -> dict[tuple[tuple[str, ...], str], float]:
    """The groups whose mean worth is below zero and told from chance, each with its p-value.

    worth: (n,); masks: group -> (n,) bool. All groups count as looked at, also those above zero.
    """
    keys = list(masks)
    if not keys:
        return {}
    groups = np.array([masks[key] for key in keys], dtype=float)
    groups /= groups.sum(axis=1, keepdims=True)
    means = groups @ worth
    draw = np.random.default_rng(seed)
    low = np.zeros(len(keys))
    for _ in range(0, SHUFFLES, 200):
        shuffled = draw.permuted(np.tile(worth, (200, 1)), axis=1)
        low += (groups @ shuffled.T <= means[:, None] + 1e-9).sum(axis=1)
    p = (1 + low) / (1 + SHUFFLES)
    kept = taken_by_rule(p, FALSE_ONES)
    return {
        key: float(p[place]) for place, key in enumerate(keys) if kept[place] and means[place] < 0
    }


def taken_by_rule(p: np.ndarray, rate: float) -> np.ndarray:
    """Benjamini and Hochberg's rule: of m p-values in order the first k are taken, k the last for
    which p_(k) <= rate k / m. Shape (m,) bool.

    >>> taken_by_rule(np.array([.01, .2, .04, .5]), .1).tolist()
    [True, False, True, False]
    """
    order = np.argsort(p, kind="stable")
    good = np.flatnonzero(p[order] <= rate * np.arange(1, len(p) + 1) / len(p))
    found = np.zeros(len(p), dtype=bool)
    if len(good):
        found[order[: good[-1] + 1]] = True
    return found


def slips(books: Books) -> np.ndarray:
    """Sales at several times what was asked: a slip of the pen until the person says otherwise,
    (n,) bool."""
    asked = np.array([_first_ask(text) for text in books.units.word("asked").texts()])
    with np.errstate(invalid="ignore"):
        found: np.ndarray = books.units.number("price") > SLIP * asked
    return found


def _first_ask(text: str | None) -> float:
    asks = dated.entries(text or "")
    return asks[0][1] if asks and asks[0][1] > 0 else np.nan


def _years(day: np.ndarray) -> float:
    """How many years the units ended in, a quarter at least."""
    known = day[np.isfinite(day)]
    return max(float(np.ptp(known)) / 365.25, 0.25) if len(known) else 1.0
