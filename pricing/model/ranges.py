"""How wide a range must be: the law's own quantiles, corrected by how sales fared that were left out of the fit. numpy only.

    factor(c) = ( r_(k) / Q(c) )^( n / (n + 60) ),   k = ceil((n + 1) c),   never below 1 for n < 100

r: |left-out residual| / its scale, sorted; Q(c): what the law says of it. Below and above get factors of their own, drawn to the
common one by n / (n + 400): lopsided where the sales say so. The left-out residuals are those of the closed form e / (1 - h) with the
scales held fixed, which flatters; that is why the factor never narrows a range before there are 100 sales.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import numpy as np

from pricing.model import numbers
from pricing.model.quantile_table import QuantileTable, quantile

COVERAGES = np.round(np.append(np.arange(0.01, 0.995, 0.01), [0.995, 0.999]), 3)
SHRINK, SHRINK_SIDES, FLOOR_UNTIL = 60.0, 400.0, 100
BINS = 4096  # of the histogram of scores, for sums over many sales
_EDGES = np.concatenate([[0.0], np.geomspace(1e-4, 1e3, BINS)])


@dataclass(frozen=True)
class RangeFactors:
    """Factors on the half-width below and above at each of COVERAGES, each (101,), and how many sales they rest on."""

    low: np.ndarray
    high: np.ndarray
    n: int


NO_FACTORS = RangeFactors(np.ones(len(COVERAGES)), np.ones(len(COVERAGES)), 0)


def conformal_rank(n: int, coverage: float) -> int:
    """k = ceil((n + 1) coverage), in exact fractions of the coverage as it is written.

    Source: Lei et al. (2018), J. Am. Stat. Assoc. 113(523), split conformal.

    >>> conformal_rank(99, 0.55)  # in floats, ceil(100 * 0.55) is 56
    55
    """
    return math.ceil((n + 1) * Fraction(repr(float(coverage))))


def conformal_quantile(scores: np.ndarray, coverage: float) -> float:
    """The k-th smallest score: it holds a new one with probability at least `coverage`, if that is exchangeable with them.

    scores: shape (n,). coverage: strictly between 0 and 1. Returns inf where k > n; the caller then keeps the model's own range.

    >>> conformal_quantile(np.array([0.05, 0.12, 0.20, 0.08]), coverage=0.75)
    0.2
    """
    k = conformal_rank(len(scores), coverage)
    return float(np.partition(scores, k - 1)[k - 1]) if k <= len(scores) else math.inf


def histogram(scores: np.ndarray) -> np.ndarray:
    """Counts of scores in fixed bins, which add over blocks of sales, shape (4096,)."""
    return np.histogram(np.clip(scores, 0.0, _EDGES[-1]), bins=_EDGES)[0]


def histogram_quantile(counts: np.ndarray, coverage: float) -> float:
    """The conformal quantile from summed counts: the upper edge of the bin that holds the k-th score."""
    n = int(counts.sum())
    k = conformal_rank(n, coverage)
    return float(_EDGES[1 + int(np.searchsorted(np.cumsum(counts), k))]) if k <= n else math.inf


def factors(below: np.ndarray, above: np.ndarray, table: QuantileTable, share: float) -> RangeFactors:
    """Factors from left-out residuals over their scales: `below` those under 0 (as positive numbers), `above` the others.

    Both are sorted scores, or histograms of length 4096 by `histogram`. share: the usual share of normal variance.
    """
    counted = len(below) == BINS and len(above) == BINS
    n = int(below.sum() + above.sum()) if counted else len(below) + len(above)
    if n < 5:
        return NO_FACTORS
    law = quantile(table, np.array([share]), (1 + COVERAGES) / 2)[0]
    both = below + above if counted else np.sort(np.concatenate([below, above]))
    common = _log_factor(both, law, counted)
    weight, sides = n / (n + SHRINK), n / (n + SHRINK_SIDES)
    out = []
    for side in (below, above):
        own = _log_factor(side, law, counted) if (side.sum() if counted else len(side)) >= 5 else common
        factor = np.exp(weight * ((1 - sides) * common + sides * own))
        out.append(np.maximum(factor, 1.0) if n < FLOOR_UNTIL else factor)
    return RangeFactors(np.round(out[0], 6), np.round(out[1], 6), n)


def _log_factor(scores: np.ndarray, law: np.ndarray, counted: bool) -> np.ndarray:
    found = histogram_quantile if counted else conformal_quantile
    ranks = np.array([found(scores, float(c)) for c in COVERAGES])
    good = np.isfinite(ranks) & (ranks > 0)
    factor = np.zeros(len(COVERAGES))
    factor[good] = np.log(ranks[good] / law[good])
    factor = np.clip(factor, -1.0, 1.0)
    # Around the middle of the law both numbers are near 0 and their ratio says little: smooth over neighbours.
    padded = np.pad(factor, 5, mode="edge")
    return np.convolve(padded, np.ones(11) / 11, mode="valid")


def half_widths(factors_: RangeFactors, table: QuantileTable, share: np.ndarray, coverage: float) -> tuple[np.ndarray, np.ndarray]:
    """Corrected half-widths below and above in units of the summed scale, each (n,).

    Never narrower than those of a lower coverage, so that ranges nest.
    """
    upto = np.append(COVERAGES[coverage > COVERAGES], coverage)
    law = quantile(table, share, (1 + upto) / 2)
    low = np.interp(upto, COVERAGES, factors_.low) * law
    high = np.interp(upto, COVERAGES, factors_.high) * law
    return low.max(axis=1), high.max(axis=1)


def as_numbers(factors_: RangeFactors) -> dict[str, Any]:
    return {"low": factors_.low, "high": factors_.high, "n": factors_.n}


def from_numbers(data: Mapping[str, Any]) -> RangeFactors:
    """Raises numbers.Damaged where sizes or bounds do not hold."""
    size = (len(COVERAGES),)
    return RangeFactors(numbers.array(data, "low", size, 0.01, 100), numbers.array(data, "high", size, 0.01, 100), int(numbers.number(data, "n", 0)))
