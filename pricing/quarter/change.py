"""Why a quarter differs from another: the change split into parts that add up to it.

Per-unit figures of each type and the share of each type make a total; each part is what changing
that one factor does, averaged over all orders in which the factors could change (Shapley 1953), so
the parts add up whatever the order. A type that one of the quarters lacks takes its per-unit
figures from the other, so that it counts as a change of mix.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from math import factorial
from typing import Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.quarter.money import Books


@frozen
class Change:
    """before + sum of parts = after, to the cent; parts by name in order."""

    before: float
    after: float
    parts: Mapping[str, float]


@frozen
class _Side:
    """One quarter: n units; share, brought, cost, hours by type and unit; overhead a unit."""

    n: float
    share: np.ndarray
    brought: np.ndarray
    cost: np.ndarray
    hours: np.ndarray
    overhead: float
    overhead_hours: float


def changes(
    books: Books, of_type: np.ndarray, n_types: int, before: np.ndarray, after: np.ndarray
) -> tuple[Change, Change] | None:
    """The change of profit (number, mix, price, cost) and of the return per hour; None where a side
    is empty. of_type: (n,) codes; before, after: masks of the rows of each quarter."""
    a, b = _side(books, of_type, n_types, before), _side(books, of_type, n_types, after)
    if a is None or b is None:
        return None
    a, b = _completed(a, b), _completed(b, a)

    def profit(side: Sequence[_Side]) -> float:
        number, mix, price, cost = side
        return float(number.n * ((mix.share * (price.brought - cost.cost)).sum() - cost.overhead))

    def per_hour(side: Sequence[_Side]) -> float:
        mix, price, cost, hours = side
        return float(
            ((mix.share * (price.brought - cost.cost)).sum() - cost.overhead)
            / ((mix.share * hours.hours).sum() + hours.overhead_hours)
        )

    return (
        _split(profit, ("number of units", "mix of types", "prices", "costs"), a, b),
        _split(per_hour, ("mix of types", "prices", "costs", "hours"), a, b),
    )


def shapley(value: Callable[[frozenset[int]], float], n_factors: int) -> list[float]:
    """Part of each factor in value(all) - value(none), averaged over all orders.

    >>> shapley(lambda changed: 6.0 if changed == frozenset({0, 1}) else 2.0 * (0 in changed), 2)
    [4.0, 2.0]
    """
    out = []
    for factor in range(n_factors):
        others = [other for other in range(n_factors) if other != factor]
        part = 0.0
        for size in range(n_factors):
            weight = factorial(size) * factorial(n_factors - size - 1) / factorial(n_factors)
            for subset in combinations(others, size):
                part += weight * (value(frozenset(subset) | {factor}) - value(frozenset(subset)))
        out.append(part)
    return out


def _split(
    total: Callable[[Sequence[_Side]], float], names: Sequence[str], a: _Side, b: _Side
) -> Change:
    def at(changed: frozenset[int]) -> float:
        return total([b if i in changed else a for i in range(len(names))])

    before, after = round(at(frozenset()), 2), round(at(frozenset(range(len(names)))), 2)
    parts = [round(part, 2) for part in shapley(at, len(names))]
    widest = max(range(len(parts)), key=lambda i: abs(parts[i]))
    # Cents lost in rounding
    parts[widest] = round(parts[widest] + (after - before) - sum(parts), 2)
    told = zip(names, parts, strict=True)
    return Change(before, after, {name: part + 0.0 for name, part in told})


def _side(books: Books, of_type: np.ndarray, n_types: int, rows: np.ndarray) -> _Side | None:
    counted, trips = rows & books.counted, rows & books.empty
    n, hours = int(counted.sum()), books.worked
    if n == 0 or not hours[counted].sum() > 0:
        return None
    count = np.bincount(of_type[counted], minlength=n_types)

    def a_unit(values: np.ndarray) -> np.ndarray:
        sums = np.bincount(of_type[counted], values[counted], minlength=n_types)
        return np.where(count > 0, sums / np.maximum(count, 1), np.nan)

    fees = books.money("fees") + books.money("refund")
    brought = books.money("price") + books.money("salvage") + books.money("delivery") - fees
    spent = books.spent[rows & (books.unit | books.trip | books.expense)].sum()
    return _Side(
        n=n,
        share=count / n,
        brought=a_unit(brought),
        cost=a_unit(brought - books.profit),
        hours=a_unit(hours),
        overhead=float((spent - books.profit[trips].sum()) / n),
        overhead_hours=float(hours[trips].sum() / n),
    )


def _completed(side: _Side, other: _Side) -> _Side:
    """Per-unit figures of types this side lacks, from the other; 0 where both lack them."""

    def fill(name: str) -> np.ndarray:
        own, theirs = getattr(side, name), getattr(other, name)
        return np.nan_to_num(np.where(np.isfinite(own), own, theirs))

    filled: dict[str, Any] = {name: fill(name) for name in ("brought", "cost", "hours")}
    return replace(side, **filled)
