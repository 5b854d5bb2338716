"""How long a unit still to be fixed holds a spot: on the bench, then listed at the person's usual
way of asking."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.model.saletime import saletime
from pricing.model.standing import standing

if TYPE_CHECKING:
    from pricing.basis.settings import Settings
    from pricing.basis.units import Units
    from pricing.model.price.price import PriceLaw
    from pricing.model.repair.repair import RepairModel
    from pricing.model.saved import Saved

GRID = np.concatenate([[0.0], np.geomspace(0.5, 730.0, 60)])  # days


@frozen
class DaysAhead:
    """Days from listed to sold, (n,) each: half are sold by `median`, four in five (`coverage`)
    between low and high, which is at most the day it is cleared; mean counts no more than
    `clear_after_days`; standing: one line a unit.
    """

    median: np.ndarray
    low: np.ndarray
    high: np.ndarray
    mean: np.ndarray
    standing: tuple[str, ...]


def days_to_sell(
    numbers: Saved, units: Units, law: PriceLaw, settings: Settings, day: float
) -> DaysAhead:
    """Days to sell at the usual ask, ln(ask / estimate) = the person's own premium."""
    model = numbers.saletime
    market = saletime.market(model, units, day)
    ratio, q_sd = np.full(units.n, model.premium_mean), saletime.unseen_sd(model, law)
    sold = saletime.chance_sold(model, market, ratio, GRID, q_sd)
    tail = (1 - settings.coverage) / 2
    low, median, high = (
        np.array([np.interp(level, row, GRID) for row in sold]) for level in (tail, 0.5, 1 - tail)
    )
    low, high = np.maximum(low, 1.0), np.minimum(high, settings.clear_after_days)  # cleared by then
    left = 1 - sold
    kept = settings.clear_after_days >= GRID
    mean = np.trapezoid(left[:, kept], GRID[kept], axis=1)
    lines = tuple(
        standing(float(share), int(own), int(near))
        for share, own, near in zip(market.removed, market.n_type, market.n_family, strict=True)
    )
    return DaysAhead(median, low, high, mean, lines)


def bench_days(model: RepairModel) -> float:
    """Mean days from got to listed: own units, over a week (weight three units)."""
    n, total = model.bench_days
    return (total + 3 * assumed.BENCH_DAYS) / (n + 3)


def spot_a_day(numbers: Saved, settings: Settings) -> float:
    """Money a day that a spot is worth: nothing unless space is what is short."""
    return (
        max(settings.holding_cost_per_day, numbers.spot_a_day)
        if settings.short_of == "space"
        else 0.0
    )
