"""What pays per hour: groups of ended units by return per hour, failed ones included, each with its
range and its chance of being best.

Return per hour of a group is the sum of its profit over the sum of its hours. Hours and cost of
empty trips are shared out over all ended units. `pooled` is the value after the groups have lent
each other strength (`best`); the order and every chance come from it, while the range beside the
plain ratio is the group's own (`ratio`), from four units on; below that it is the pooled one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.basis.units import Coded
from pricing.quarter.best import SURE, Pooled, pool, shared_variance, units_to_go
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
    """One group of ended units. Money in the currency's unit, an hour; shares 0-1; None where it is
    not known.

    per_hour: sum of profit / sum of hours, with low and high; pooled, pooled_low, pooled_high:
    after partial pooling. chance_best, chance_target; loss: what choosing this group costs an hour,
    on average, against the truly best one.
    wild: the one unit that makes more than half of the group's scatter and moves its return by more
    than WILD; without_wild: the return without.
    days_held: got to ended, on average; tied_up: money now in units of the group that have not
    ended; hours_by_task: as in money.TASKS.
    """

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
    """All groups, best first, and what they add up to. more_units: about how many more of the first
    two would tell; None: no use."""

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
    more_units: int | None
    rival: str | None
    trip_hours: float
    n_trips: int
    n_uncounted: int
    n_without_hours: int

    @property
    def best(self) -> Group | None:
        return self.groups[0] if self.groups else None


def compare(
    books: Books,
    settings: Settings,
    by: Sequence[str] = ("type",),
    rows: np.ndarray | None = None,
    seed: int = 0,
) -> Comparison:
    """Compare the counted units among `rows` (mask, default all) by one attribute or two crossed.

    Raises Refused for an attribute that is not in BY, or more than two.
    """
    by = checked(by, settings)
    among = np.ones(books.units.n, dtype=bool) if rows is None else rows
    labels = label_groups(books, settings, by)
    counted = books.counted & among
    trips = books.empty & among
    trip_hours, trip_cost = _round(books.worked[trips].sum()), _round(-books.profit[trips].sum())
    n_units = int(counted.sum())
    codes = labels.codes
    k = len(labels.levels)
    count = np.bincount(codes[counted], minlength=k)
    shared_hours, shared_cost = allot(trip_hours, count), allot(trip_cost, count)
    hours = cents(np.bincount(codes[counted], books.worked[counted], minlength=k) + shared_hours)
    profit = cents(np.bincount(codes[counted], books.profit[counted], minlength=k) - shared_cost)
    shown = np.flatnonzero((count > 0) & (hours > 0))
    y = np.where(counted, books.profit - trip_cost / max(n_units, 1), 0.0)
    x = np.where(counted, books.worked + trip_hours / max(n_units, 1), 0.0)
    order = np.argsort(np.where(counted, codes, k), kind="stable")
    starts = np.concatenate([[0], np.cumsum(count)])
    members = [order[starts[g] : starts[g + 1]] for g in shown]
    ratios = [ratio_of_sums(y[rows], x[rows]) for rows in members]
    wild = [_wild(books, rows, y, x, ratio) for rows, ratio in zip(members, ratios, strict=True)]
    total_hours, total_profit = _round(hours[shown].sum()), _round(profit[shown].sum())
    overall = ratio_of_sums(y[counted], x[counted]) if n_units and total_hours > 0 else None
    pooled = _pooled(ratios, overall, settings, seed) if overall is not None and ratios else None
    groups = (
        []
        if pooled is None
        else _groups(
            books, settings, labels, shown, ratios, wild, pooled, counted, hours, profit, count
        )
    )
    place = sorted(range(len(groups)), key=lambda i: (-groups[i].pooled, groups[i].name))
    ranked = tuple(groups[i] for i in place)
    sure = bool(len(ranked) == 1 or (ranked and ranked[0].chance_best >= SURE))
    more = rival = None
    if len(ranked) > 1 and pooled is not None:
        second = max(range(1, len(ranked)), key=lambda j: (ranked[j].chance_best, -j))
        rival = ranked[second].name
        more = units_to_go(pooled, count[shown].astype(float), place[0], place[second])
    low, high = (
        interval(overall, settings.coverage)
        if overall is not None and overall.n >= OWN_RANGE_FROM
        else (None, None)
    )
    return Comparison(
        by=by,
        target=settings.hourly_target,
        coverage=settings.coverage,
        groups=ranked,
        n=int(count[shown].sum()),
        hours=total_hours,
        profit=total_profit,
        per_hour=total_profit / total_hours if total_hours > 0 else None,
        low=low,
        high=high,
        sure=sure,
        more_units=more,
        rival=rival,
        trip_hours=trip_hours,
        n_trips=int(trips.sum()),
        n_uncounted=int((among & books.ended & ~books.counted).sum()),
        n_without_hours=int(count.sum() - count[shown].sum()),
    )


def _pooled(ratios: Sequence[Ratio], overall: Ratio, settings: Settings, seed: int) -> Pooled:
    n = np.array([ratio.n for ratio in ratios], dtype=float)
    scale = max(abs(overall.value), settings.hourly_target / 2, 1e-9)
    # A single unit tells nothing of the scatter: it is then as wide as the return itself.
    fallback = overall.unit_variance if overall.n >= 2 and overall.error > 0 else scale**2
    value = np.array([ratio.value for ratio in ratios])
    variance = shared_variance(
        np.array([ratio.unit_variance for ratio in ratios]), n, value, scale, fallback
    )
    return pool(
        value,
        np.maximum(variance, (1e-6 * scale) ** 2),
        n,
        scale=scale,
        target=settings.hourly_target,
        seed=seed,
    )


def _wild(
    books: Books, rows: np.ndarray, y: np.ndarray, x: np.ndarray, ratio: Ratio
) -> tuple[str, float | None]:
    """The unit that moves its group most, if it moves it by much: its name and the return without
    it; else no name."""
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


def _groups(
    books: Books,
    settings: Settings,
    labels: Coded,
    shown: np.ndarray,
    ratios: Sequence[Ratio],
    wild: Sequence[tuple[str, float | None]],
    pooled: Pooled,
    counted: np.ndarray,
    hours: np.ndarray,
    profit: np.ndarray,
    count: np.ndarray,
) -> list[Group]:
    k, codes = len(labels.levels), labels.codes

    def total(values: np.ndarray, rows: np.ndarray) -> np.ndarray:
        return cents(np.bincount(codes[rows], values[rows].astype(float), minlength=k))

    held = books.day - books.units.number("got")
    known = counted & (held >= 0)
    n_known, days = total(known, known), total(np.where(known, held, 0), known)
    sold, failed, returned = (
        total(mask, counted & mask) for mask in (books.sold, books.failed, books.returned)
    )
    n_open, tied_up = total(books.open, books.open), total(books.put_in, books.open)
    by_task = {task: total(books.hours[task], counted) for task in TASKS}
    assumed_hours = total(np.sum([books.assumed_hours[task] for task in TASKS], axis=0), counted)
    assumed_money = total(np.sum([books.assumed[name] for name in (*IN, *OUT)], axis=0), counted)
    low, high = pooled.range_of(settings.coverage)
    out = []
    for i, g in enumerate(shown.tolist()):
        own = (
            interval(ratios[i], settings.coverage)
            if ratios[i].n >= OWN_RANGE_FROM
            else (float(low[i]), float(high[i]))
        )
        ended = max(sold[g] + failed[g] + returned[g], 1)
        out.append(
            Group(
                name=labels.levels[g],
                n=int(count[g]),
                n_sold=int(sold[g]),
                n_failed=int(failed[g]),
                n_open=int(n_open[g]),
                profit=float(profit[g]),
                hours=float(hours[g]),
                per_hour=float(profit[g] / hours[g]),
                low=own[0],
                high=own[1],
                pooled=float(pooled.value[i]),
                pooled_low=float(low[i]),
                pooled_high=float(high[i]),
                chance_best=float(pooled.chance_best[i]),
                chance_target=float(pooled.chance_above[i]),
                loss=float(pooled.loss[i]),
                days_held=float(days[g] / n_known[g]) if n_known[g] else None,
                tied_up=float(tied_up[g]),
                share_sold=float(sold[g] / ended),
                failure_rate=float(failed[g] / ended),
                hours_by_task={task: float(by_task[task][g]) for task in TASKS},
                assumed_hours=float(assumed_hours[g]),
                assumed_money=float(assumed_money[g]),
                wild=wild[i][0],
                without_wild=wild[i][1],
            )
        )
    return out


def _round(value: float) -> float:
    return round(float(value), 2) + 0.0
