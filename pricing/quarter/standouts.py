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
Beyond MOST_UNITS a fair sample by month is shuffled, and what it names is summed over all units.
The range of what a named group falls short, or brings above, is that after the groups of its
grouping have lent each other strength (`best.pool`).
"""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.basis.units import Coded
from pricing.quarter.best import pool, shared_variance
from pricing.quarter.groups import AGE_EDGES, DISTANCE_EDGES, NOT_WRITTEN, label_groups
from pricing.quarter.money import Books
from pricing.quarter.period import fair

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
# shuffled; of more a fair sample by month, and the sums of what it names over all
MOST_UNITS = 6_000
MOST_NAMED = 1_000  # units of a group that are named, the newest

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
    nothing is told from chance. looked_at: units that were shuffled, of so many."""

    stops: tuple[Standout, ...] = ()
    mores: tuple[Standout, ...] = ()
    looked_at: int = 0
    of: int = 0


@frozen
class _Looked:
    """The counted units. rows: (n,) places in the books; worth: (n,); places: those looked at;
    masks: group -> which of them, (k,) bool."""

    rows: np.ndarray
    worth: np.ndarray
    places: np.ndarray
    masks: Mapping[Key, np.ndarray]


def _cuts(
    books: Books, settings: Settings, rows: np.ndarray, wanted: Sequence[tuple[str, ...]]
) -> Iterator[tuple[tuple[str, ...], Coded]]:
    """The ways in which units are cut into groups: each grouping, and of age and distance all below
    and all from an edge on."""
    for by in wanted:
        labels = label_groups(books, settings, by)
        codes = labels.codes[rows]
        yield by, Coded(np.where(books.sold[rows], codes, -1) if by == OF_SOLD else codes,
                        labels.levels)  # fmt: skip
    steps = (("age", AGE_EDGES, "years"), ("miles", DISTANCE_EDGES, settings.distance_unit))
    for name, edges, unit in steps:
        values = books.units.number(name)[rows]
        for edge in edges[1:-1] if (name,) in wanted else ():
            codes = np.where(np.isfinite(values), values >= edge, -1)
            yield (name,), Coded(codes, (f"under {edge:g} {unit}", f"{edge:g} {unit} and over"))


def _shown(labels: Coded) -> Iterator[tuple[int, str]]:
    """The groups of a cut that are written and have enough units: code and name."""
    counts = np.bincount(labels.codes[labels.codes >= 0], minlength=len(labels.levels))
    for code, name in enumerate(labels.levels):
        if counts[code] >= LEAST_UNITS and NOT_WRITTEN not in name:
            yield code, name


def standouts(books: Books, settings: Settings, seed: int = 0) -> Standouts:
    """What to stop and what to do more of, over the whole record."""
    rows = np.flatnonzero(books.counted)
    if len(rows) < 2 * LEAST_UNITS:
        return Standouts()
    worth = (books.profit - settings.hourly_target * books.worked)[rows]
    places = fair(books.day[rows], MOST_UNITS)
    masks = {
        (by, name): labels.codes == code
        for by, labels in _cuts(books, settings, rows[places], LOOKED_AT)
        for code, name in _shown(labels)
    }
    looked = _Looked(rows, worth, places, masks)
    low, high = told(worth[places], masks, books.sold[rows[places]], seed)
    return Standouts(
        _listed(books, settings, looked, low, -1, seed),
        _listed(books, settings, looked, high, 1, seed),
        len(places),
        len(rows),
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
    rows, worth, years = looked.rows, looked.worth[looked.places], years_of(books.day[looked.rows])
    share = len(rows) / len(worth)
    found: list[Standout] = []
    shown: list[np.ndarray] = []
    for key in sorted(named, key=lambda key: -sign * float(worth[looked.masks[key]].sum())):
        mask = looked.masks[key]
        a_year = share * float(worth[mask].sum()) / years
        if sign * a_year < LEAST_A_YEAR or any(same(mask, other, worth) for other in shown):
            continue
        shown.append(mask)
        cuts = [labels for by, labels in _cuts(books, settings, rows, key[:1]) if by == key[0]]
        own = next(x.codes == x.levels.index(key[1]) for x in cuts if key[1] in x.levels)
        low, high = _expected(looked.worth, cuts, own, settings.coverage, seed)
        n = int(own.sum())
        found.append(
            Standout(
                by=key[0],
                group=key[1],
                n=n,
                money=float(books.profit[rows[own]].sum()) / years,
                hours=float(books.worked[rows[own]].sum()) / years,
                worth=float(looked.worth[own].sum()) / years,
                low=low * n / years,
                high=high * n / years,
                p=named[key],
                units=tuple(books.units.word("unit").take(rows[own][-MOST_NAMED:]).texts()),
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


def _expected(
    worth: np.ndarray, cuts: Sequence[Coded], own: np.ndarray, coverage: float, seed: int
) -> tuple[float, float]:
    """Low and high of the mean worth of a group's next units, pooled with the groups of its cuts
    that share no unit with it."""
    middle, scale = float(worth.mean()), max(float(worth.std()), 1e-9)
    apart = worth - middle
    sums = [tuple(float((apart[own] ** power).sum()) for power in (0, 1, 2))]
    for labels in cuts:
        size, at = len(labels.levels) + 1, labels.codes + 1
        inside = np.bincount(at[own], minlength=size)[1:]
        total = [np.bincount(at, apart**power, minlength=size)[1:] for power in (0, 1, 2)]
        sums += [
            tuple(one[code] for one in total) for code, _ in _shown(labels) if not inside[code]
        ]
    n, first, second = np.array(sums, dtype=float).T
    value = middle + first / n
    own_variance = np.maximum(second - first**2 / n, 0) / (n - 1)
    variance = shared_variance(own_variance, n, value, scale, scale**2)
    variance = np.maximum(variance, (1e-6 * scale) ** 2)
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
