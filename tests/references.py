"""What tests check the program against, reckoned another way, and short cuts that only tests take."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

import numpy as np

from pricing.advice.evening import reservation
from pricing.basis.units import Units
from pricing.model.price import similar
from pricing.model.price.price import PriceNumbers


def bca(
    statistic: Callable[[np.ndarray], np.ndarray],
    n: int,
    coverage: float,
    *,
    seed: int = 0,
    n_boot: int = 4000,
) -> tuple[float, float]:
    """Bias-corrected accelerated bootstrap interval of any statistic of n units (the check path).

    statistic: takes row numbers of shape (m, k) and returns (m,) values. Source: Efron (1987), J.
    Am. Stat. Assoc. 82(397).
    """
    from scipy.special import ndtr, ndtri

    rng = np.random.default_rng(seed)
    value = float(statistic(np.arange(n)[None, :])[0])
    draws = np.sort(statistic(rng.integers(0, n, (n_boot, n))))
    left_out = statistic(np.array([np.delete(np.arange(n), i) for i in range(n)]))
    pull = left_out.mean() - left_out
    acceleration = (pull**3).sum() / (6 * ((pull**2).sum()) ** 1.5)
    below = np.clip(
        ((draws < value).sum() + (draws <= value).sum()) / (2 * n_boot), 1 / n_boot, 1 - 1 / n_boot
    )
    bias = ndtri(below)
    z = bias + ndtri(np.array([0.5 - coverage / 2, 0.5 + coverage / 2]))
    low, high = np.quantile(draws, ndtr(bias + z / (1 - acceleration * z)))
    return float(low), float(high)


def worth_of_order(
    calls: Sequence[Sequence[tuple[float, float]]], costs: Sequence[float], order: Sequence[int]
) -> float:
    """Expected worth of looking in this order, one unit taken at the end, stopping when the best in
    hand beats every index to come."""
    indices = [reservation(calls[i], costs[i]) for i in order]

    def go(step: int, best: float) -> float:
        if step == len(order) or best >= max(indices[step:]):
            return best
        here = calls[order[step]]
        return -costs[order[step]] + sum(
            chance * go(step + 1, max(best, value)) for value, chance in here
        )

    return go(0, 0.0)


def crps_normal(y: np.ndarray, mean: np.ndarray, sd: np.ndarray) -> np.ndarray:
    """Continuous ranked probability score of normal laws, shape (n,), unit of y:  sd [z (2 Phi(z) -
    1) + 2 phi(z) - 1/sqrt(pi)].

    >>> crps_normal(np.array([0.0]), np.array([0.0]), np.array([1.0])).round(4).tolist()
    [0.2337]
    """
    from scipy.special import ndtr

    z = (y - mean) / sd
    density = np.exp(-0.5 * z**2) / np.sqrt(2 * np.pi)
    return np.asarray(sd * (z * (2 * ndtr(z) - 1) + 2 * density - 1 / np.sqrt(np.pi)))


def recent_sales(units: Units, model: PriceNumbers) -> list[dict[str, Any]]:
    """The sales of a table that travel with the saved numbers."""
    day = date.fromordinal(int(model.encoding.last_day))
    return similar.recent_rows(similar.newest_of(units, day), model)
