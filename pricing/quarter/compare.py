"""What pays per hour: groups of ended units by return per hour, failed ones included, each with its
range and its chance of being best.

Return per hour of a group is the sum of its profit over the sum of its hours. Hours and cost of
empty trips are shared out over all ended units. `pooled` is the value after the groups have lent
each other strength (`best`); the order and every chance come from it, while the range beside the
plain ratio is the group's own (`ratio`), from four units on; below that it is the pooled one.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.basis.units import Coded
from pricing.quarter.best import SURE, Pooled, pool, shared_variance
from pricing.quarter.blanks import allot, cents
from pricing.quarter.groups import checked, label_groups
from pricing.quarter.money import IN, OUT, Books
from pricing.quarter.ratio import Ratio, interval, ratio_of_sums
from pricing.quarter.worked import TASKS

OWN_RANGE_FROM = 4  # units; own judgement after the coverage measured in tests/benchmarks
WILD = 0.25  # of the group's return: own judgement
WILD_FROM = 8  # units: in a smaller group some unit always stands out; own judgement


@frozen
class Group:
    """One group of ended units. Money an hour; shares 0-1; None where not known. per_hour: sum of
    profit / sum of hours, with low and high; pooled, pooled_low, pooled_high: after partial
    pooling; loss: what choosing it costs an hour against the truly best; wild: the one unit that
    makes more than half of the scatter and moves the return by more than WILD; without_wild: the
    return without; days_held: got to ended; tied_up: money in units not ended; hours_by_task: as in
    money.TASKS."""

    name: str
    n: int
    n_sold: int
    n_failed: int
    n_open: int
    profit: float
    hours: float
    per_hour: float
    low: float
    high: float
    pooled: float
    pooled_low: float
    pooled_high: float
    chance_best: float
    chance_target: float
    loss: float
    days_held: float | None
    tied_up: float
    share_sold: float
    failure_rate: float
    hours_by_task: Mapping[str, float]
    assumed_hours: float
    assumed_money: float
    wild: str
    without_wild: float | None


@frozen
class Comparison:
    """All groups, best first, and what they add up to. rival: the next that may be the best."""

    by: tuple[str, ...]
    target: float
    coverage: float
    groups: tuple[Group, ...]
    n: int
    hours: float
    profit: float
    per_hour: float | None
    low: float | None
    high: float | None
    sure: bool
    rival: str | None
    trip_hours: float
    n_trips: int
    n_uncounted: int
    n_without_hours: int

    @property
    def best(self) -> Group | None:
        return self.groups[0] if self.groups else None


@frozen
class _Sums:
    """The counted units by group, k groups. counted: (n,) mask; count, hours, profit: (k,), empty
    trips shared out; shown: groups that can be compared, each with its ratio and wild unit."""

    labels: Coded
    counted: np.ndarray
    count: np.ndarray
    hours: np.ndarray
    profit: np.ndarray
    shown: np.ndarray
    ratios: tuple[Ratio, ...]
    wild: tuple[tuple[str, float | None], ...]
    overall: Ratio | None


def compare(
    books: Books,
    settings: Settings,
    by: Sequence[str] = ("type",),
    rows: np.ndarray | None = None,
    seed: int = 0,
) -> Comparison:
    """Compare the counted units among `rows` (mask, default all) by one attribute or two crossed.
    Raises Refused for an attribute that is not in BY, or more than two."""
    by = checked(by, settings)
    among = np.ones(books.units.n, dtype=bool) if rows is None else rows
    trips = books.empty & among
    trip_hours, trip_cost = _round(books.worked[trips].sum()), _round(-books.profit[trips].sum())
    sums = _summed(books, label_groups(books, settings, by), among, trip_hours, trip_cost)
    overall, shown = sums.overall, sums.shown
    pooled = _pooled(sums.ratios, overall, settings, seed) if overall and sums.ratios else None
    groups = [] if pooled is None else _groups(books, settings, sums, pooled)
    place = sorted(range(len(groups)), key=lambda i: (-groups[i].pooled, groups[i].name))
    ranked = tuple(groups[i] for i in place)
    rival = None
    if len(ranked) > 1 and pooled is not None:
        second = max(range(1, len(ranked)), key=lambda j: (ranked[j].chance_best, -j))
        rival = ranked[second].name
    own_range = overall is not None and overall.n >= OWN_RANGE_FROM
    low, high = interval(overall, settings.coverage) if overall and own_range else (None, None)
    hours, profit = _round(sums.hours[shown].sum()), _round(sums.profit[shown].sum())
    return Comparison(
        by=by,
        target=settings.hourly_target,
        coverage=settings.coverage,
        groups=ranked,
        n=int(sums.count[shown].sum()),
        hours=hours,
        profit=profit,
        per_hour=profit / hours if hours > 0 else None,
        low=low,
        high=high,
        sure=bool(len(ranked) == 1 or (ranked and ranked[0].chance_best >= SURE)),
        rival=rival,
        trip_hours=trip_hours,
        n_trips=int(trips.sum()),
        n_uncounted=int((among & books.unpriced).sum()),
        n_without_hours=int(sums.count.sum() - sums.count[shown].sum()),
    )


def _summed(
    books: Books, labels: Coded, among: np.ndarray, trip_hours: float, trip_cost: float
) -> _Sums:
    """Money and hours by group, and each group's ratio of the two."""
    counted, codes, k = books.counted & among, labels.codes, len(labels.levels)
    count = np.bincount(codes[counted], minlength=k)
    n_units = max(int(counted.sum()), 1)
    hours = np.bincount(codes[counted], books.worked[counted], minlength=k)
    profit = np.bincount(codes[counted], books.profit[counted], minlength=k)
    # Shown sums are shared out in whole cents, so that the groups add up to the total; the ratios
    # take each unit's equal share, unrounded.
    hours, profit = cents(hours + allot(trip_hours, count)), cents(profit - allot(trip_cost, count))
    y = np.where(counted, books.profit - trip_cost / n_units, 0.0)
    x = np.where(counted, books.worked + trip_hours / n_units, 0.0)
    shown = np.flatnonzero((count > 0) & (hours > 0))
    # Rows in order of their group: those of group g stand from starts[g] to starts[g + 1].
    order = np.argsort(np.where(counted, codes, k), kind="stable")
    starts = np.cumsum(np.append(0, count)).tolist()
    members = [order[starts[g] : starts[g + 1]] for g in shown]
    ratios = tuple(ratio_of_sums(y[rows], x[rows]) for rows in members)
    wild = tuple(_wild(books, rows, y, x, one) for rows, one in zip(members, ratios, strict=True))
    some = bool(counted.any()) and _round(float(hours[shown].sum())) > 0
    overall = ratio_of_sums(y[counted], x[counted]) if some else None
    return _Sums(labels, counted, count, hours, profit, shown, ratios, wild, overall)


def _pooled(ratios: Sequence[Ratio], overall: Ratio, settings: Settings, seed: int) -> Pooled:
    n, value, own = (
        np.array([getattr(ratio, name) for ratio in ratios], dtype=float)
        for name in ("n", "value", "unit_variance")
    )
    scale = max(abs(overall.value), settings.hourly_target / 2, 1e-9)
    # A single unit tells nothing of the scatter: it is then as wide as the return itself.
    fallback = overall.unit_variance if overall.n >= 2 and overall.error > 0 else scale**2
    variance = shared_variance(own, n, value, scale, fallback)
    variance = np.maximum(variance, (1e-6 * scale) ** 2)
    return pool(value, variance, n, scale=scale, target=settings.hourly_target, seed=seed)


def _wild(
    books: Books, rows: np.ndarray, y: np.ndarray, x: np.ndarray, ratio: Ratio
) -> tuple[str, float | None]:
    """The unit that moves its group much: its name and the return without it; else no name."""
    rest = x[rows].sum() - x[rows]
    if len(rows) < WILD_FROM or not (rest > 0).all():
        return "", None
    without = (y[rows].sum() - y[rows]) / rest
    most = int(np.abs(without - ratio.value).argmax())
    moved = abs(without[most] - ratio.value)
    name = books.units.word("unit").take(rows[most : most + 1]).texts()[0]
    if not name or moved < WILD * abs(ratio.value) or moved**2 < ratio.error**2 / 2:
        return "", None
    return name, float(without[most])


def _groups(books: Books, settings: Settings, sums: _Sums, pooled: Pooled) -> list[Group]:
    """The shown groups with their ranges, in the order of `sums.shown`."""
    low, high = pooled.range_of(settings.coverage)
    facts = _facts(books, sums)
    out = []
    for i, g in enumerate(sums.shown.tolist()):
        ratio = sums.ratios[i]
        pooled_range = (float(low[i]), float(high[i]))
        own = interval(ratio, settings.coverage) if ratio.n >= OWN_RANGE_FROM else pooled_range
        fact = {name: float(values[g]) for name, values in facts.items()}
        ended = max(fact["sold"] + fact["failed"] + fact["returned"], 1)
        counts: dict[str, Any] = {f"n_{x}": int(fact[x]) for x in ("sold", "failed", "open")}
        chances = {"chance_best": pooled.chance_best, "chance_target": pooled.chance_above}
        figures = {"pooled": pooled.value, "loss": pooled.loss, **chances}
        counts |= {name: float(values[i]) for name, values in figures.items()}
        out.append(
            Group(
                name=sums.labels.levels[g],
                n=int(sums.count[g]),
                **counts,
                profit=float(sums.profit[g]),
                hours=float(sums.hours[g]),
                per_hour=float(sums.profit[g] / sums.hours[g]),
                low=own[0],
                high=own[1],
                pooled_low=pooled_range[0],
                pooled_high=pooled_range[1],
                days_held=fact["days"] / fact["days known"] if fact["days known"] else None,
                tied_up=fact["tied up"],
                share_sold=fact["sold"] / ended,
                failure_rate=fact["failed"] / ended,
                hours_by_task={task: fact[task] for task in TASKS},
                assumed_hours=fact["assumed hours"],
                assumed_money=fact["assumed money"],
                wild=sums.wild[i][0],
                without_wild=sums.wild[i][1],
            )
        )
    return out


def _facts(books: Books, sums: _Sums) -> dict[str, np.ndarray]:
    """What else is told of each group: counts, days held, hours by task, put in; (k,) each."""
    k, codes, counted = len(sums.labels.levels), sums.labels.codes, sums.counted

    def total(values: np.ndarray, rows: np.ndarray) -> np.ndarray:
        return cents(np.bincount(codes[rows], values[rows].astype(float), minlength=k))

    held = books.day - books.units.number("got")
    known = counted & (held >= 0)
    assumed_hours = np.sum([books.assumed_hours[task] for task in TASKS], axis=0)
    assumed_money = np.sum([books.assumed[name] for name in (*IN, *OUT)], axis=0)
    return {
        "sold": total(books.sold, counted & books.sold),
        "failed": total(books.failed, counted & books.failed),
        "returned": total(books.returned, counted & books.returned),
        "open": total(books.open, books.open),
        "tied up": total(books.put_in, books.open),
        "days known": total(known, known),
        "days": total(np.where(known, held, 0), known),
        **{task: total(books.hours[task], counted) for task in TASKS},
        "assumed hours": total(assumed_hours, counted),
        "assumed money": total(assumed_money, counted),
    }


def _round(value: float) -> float:
    return round(float(value), 2) + 0.0
