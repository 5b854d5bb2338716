"""What to stop and what to do more of: groups of units that bring less, or more, than the person's
hour, named only where chance hardly does that.

Every unit has a worth, its profit less the target for its hours. For each group of each grouping
(what it was, what was found, how old, how far …) the mean worth of its units is set against what it
would be were the group drawn at random: the worths are shuffled over the units (over the sold ones
where the group is a place of sale), and

    p = (1 + number of shuffles with a mean at most the group's) / (1 + number of shuffles)

is the group's one-sided p-value (Phipson & Smyth 2010), downward for what to stop, upward for what
to do more of. Of both together those are named that Benjamini and Hochberg's rule (1995) takes at
one false in ten, so that on records in which nothing matters a line shows in at most one of ten.
The range of what a named group falls short, or brings above, is that after the groups of its
grouping have lent each other strength (`best.pool`).
"""

from collections.abc import Mapping

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.quarter.best import pool, shared_variance
from pricing.quarter.groups import AGE_EDGES, DISTANCE_EDGES, NOT_WRITTEN, label_groups
from pricing.quarter.money import Books

LOOKED_AT = (
    *(("found",), ("repair",), ("fault",), ("type",), ("age",), ("miles",), ("got_from",)),
    *(("maker",), ("condition",), ("paid",), ("sold_where",), ("month",)),
    *(("type", "age"), ("type", "found"), ("type", "miles")),
)
OF_SOLD = ("sold_where",)  # only a sold unit has it: told from other sold units alone
FALSE_ONES = 0.1
SHUFFLES = 4_000
LEAST_UNITS = 4
LEAST_A_YEAR = 50.0  # money short a year below which a line is not worth a word. Own judgement.
MOST = 3
# the same told twice: so much of the units of two groups together in both; or so much of a group in
# one that is named already, without half of what that one costs or brings. Own judgement.
SAME, INSIDE, HALF = 0.5, 0.6, 0.5
MOST_UNITS = 20_000  # the newest ones

Key = tuple[tuple[str, ...], str]


@frozen
class Standout:
    """A group that stands out. by: the groupings that make it; n units in all; money and hours a
    year; worth: money less the target for the hours a year, with low and high of what to expect; p:
    its p-value; units: their numbers."""

    by: tuple[str, ...]
    group: str
    n: int
    money: float
    hours: float
    worth: float
    low: float
    high: float
    p: float
    units: tuple[str, ...]


@frozen
class Standouts:
    """stops: the one that costs most a year first; mores: the one that brings most first; () where
    nothing is told from chance."""

    stops: tuple[Standout, ...] = ()
    mores: tuple[Standout, ...] = ()


@frozen
class _Looked:
    """The units looked at. rows: (n,) places in the books; worth: (n,); masks: group -> (n,) bool;
    sold: (n,) bool."""

    rows: np.ndarray
    worth: np.ndarray
    masks: Mapping[Key, np.ndarray]
    sold: np.ndarray


def _masks(books: Books, settings: Settings, rows: np.ndarray) -> dict[Key, np.ndarray]:
    """Every group that is looked at, (n,) bool each: those of each grouping, and of age and
    distance all below and all from an edge on."""
    masks: dict[Key, np.ndarray] = {}
    for by in LOOKED_AT:
        labels = label_groups(books, settings, by)
        codes = labels.codes[rows]
        if by == OF_SOLD:
            codes = np.where(books.sold[rows], codes, -1)
        masks |= {(by, group): codes == code for code, group in enumerate(labels.levels)}
    steps = (("age", AGE_EDGES, "years"), ("miles", DISTANCE_EDGES, settings.distance_unit))
    for name, edges, unit in steps:
        values = books.units.number(name)[rows]
        for edge in edges[1:-1]:
            masks[(name,), f"under {edge:g} {unit}"] = values < edge
            masks[(name,), f"{edge:g} {unit} and over"] = values >= edge
    written = {key: mask for key, mask in masks.items() if NOT_WRITTEN not in key[1]}
    return {key: mask for key, mask in written.items() if mask.sum() >= LEAST_UNITS}


def standouts(books: Books, settings: Settings, seed: int = 0) -> Standouts:
    """What to stop and what to do more of, over the whole record."""
    rows = np.flatnonzero(books.counted)[-MOST_UNITS:]
    if len(rows) < 2 * LEAST_UNITS:
        return Standouts()
    worth = (books.profit - settings.hourly_target * books.worked)[rows]
    masks = _masks(books, settings, rows)
    looked = _Looked(rows, worth, masks, books.sold[rows])
    low, high = told(worth, masks, looked.sold, seed)
    return Standouts(
        _listed(books, settings, looked, low, -1, seed),
        _listed(books, settings, looked, high, 1, seed),
    )


def _listed(
    books: Books,
    settings: Settings,
    looked: _Looked,
    named: Mapping[Key, float],
    sign: int,
    seed: int,
) -> tuple[Standout, ...]:
    """The named groups by what they cost (sign -1) or bring, none that tells the same again."""
    rows, worth, years = looked.rows, looked.worth, years_of(books.day[looked.rows])
    money, hours = books.profit[rows], books.worked[rows]
    numbers = books.units.word("unit").take(rows).texts()
    found: list[Standout] = []
    shown: list[np.ndarray] = []
    for key in sorted(named, key=lambda key: -sign * float(worth[looked.masks[key]].sum())):
        mask = looked.masks[key]
        a_year = float(worth[mask].sum()) / years
        if sign * a_year < LEAST_A_YEAR or any(same(mask, other, worth) for other in shown):
            continue
        shown.append(mask)
        low, high = _expected(looked, key, settings.coverage, seed)
        n = int(mask.sum())
        found.append(
            Standout(
                by=key[0],
                group=key[1],
                n=n,
                money=float(money[mask].sum()) / years,
                hours=float(hours[mask].sum()) / years,
                worth=a_year,
                low=low * n / years,
                high=high * n / years,
                p=named[key],
                units=tuple(numbers[place] for place in np.flatnonzero(mask).tolist()),
            )
        )
        if len(found) == MOST:
            break
    return tuple(found)


def same(mask: np.ndarray, named: np.ndarray, worth: np.ndarray) -> bool:
    """Whether a group tells what a named one told already."""
    both = (mask & named).sum()
    if both > SAME * (mask | named).sum():
        return True
    small = abs(worth[mask].sum()) < HALF * abs(worth[named].sum())
    return bool(both > INSIDE * mask.sum() and small)


def _expected(looked: _Looked, key: Key, coverage: float, seed: int) -> tuple[float, float]:
    """Low and high of the mean worth of a group's next units, pooled with its grouping."""
    mine = looked.masks[key]
    others = [mask for other, mask in looked.masks.items() if other[0] == key[0]]
    apart = [mask for mask in others if not (mask & mine).any()]
    groups = [looked.worth[mask] for mask in (mine, *apart)]
    n = np.array([len(group) for group in groups], dtype=float)
    value = np.array([group.mean() for group in groups])
    scale = max(float(looked.worth.std()), 1e-9)
    own = np.array([group.var(ddof=1) for group in groups])
    variance = np.maximum(shared_variance(own, n, value, scale, scale**2), (1e-6 * scale) ** 2)
    pooled = pool(value, variance, n, scale=scale, target=0.0, seed=seed)
    low, high = pooled.range_of(coverage)
    return float(low[0]), float(high[0])


def told(
    worth: np.ndarray, masks: Mapping[Key, np.ndarray], sold: np.ndarray, seed: int = 0
) -> tuple[dict[Key, float], dict[Key, float]]:
    """The groups whose mean worth is below zero, and those above, told from chance, each with its
    p-value.

    worth: (n,); masks: group -> (n,) bool; sold: (n,) bool. All groups count as looked at.
    """
    of_sold = [key for key in masks if key[0] == OF_SOLD]
    of_all = [key for key in masks if key[0] != OF_SOLD]
    keys = [*of_all, *of_sold]
    if not keys:
        return {}, {}
    parts = [
        _chances(worth[among], np.array([masks[key][among] for key in some], dtype=float), seed)
        for some, among in ((of_all, np.ones(len(worth), dtype=bool)), (of_sold, sold))
        if some
    ]
    p = np.concatenate([np.concatenate([part[side] for part in parts]) for side in (0, 1)])
    kept = taken_by_rule(p, FALSE_ONES)
    means = [float(worth[masks[key]].mean()) for key in keys]
    m = len(keys)
    low = {key: float(p[i]) for i, key in enumerate(keys) if kept[i] and means[i] < 0}
    high = {key: float(p[m + i]) for i, key in enumerate(keys) if kept[m + i] and means[i] > 0}
    return low, high


def _chances(worth: np.ndarray, groups: np.ndarray, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """p-values downward and upward. worth: (n,); groups: (m, n) of 0 and 1; (m,) each."""
    share = groups / groups.sum(axis=1, keepdims=True)
    means = share @ worth
    draw = np.random.default_rng(seed)
    low, high = np.zeros(len(groups)), np.zeros(len(groups))
    for _ in range(0, SHUFFLES, 200):
        shuffled = share @ draw.permuted(np.tile(worth, (200, 1)), axis=1).T
        low += (shuffled <= means[:, None] + 1e-9).sum(axis=1)
        high += (shuffled >= means[:, None] - 1e-9).sum(axis=1)
    return (1 + low) / (1 + SHUFFLES), (1 + high) / (1 + SHUFFLES)


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


def years_of(day: np.ndarray) -> float:
    """How many years the units ended in, a quarter at least."""
    known = day[np.isfinite(day)]
    return max(float(np.ptp(known)) / 365.25, 0.25) if len(known) else 1.0
