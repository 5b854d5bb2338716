"""How wide a range must be: the law's own quantiles, corrected by how sales fared that were left
out of the fit. numpy only.

    factor(c) = ( r_(k) / Q(c) )^( n / (n + 60) ),   k = ceil((n + 1) c),   never below 1 for n <
        100

r: |left-out residual| / its scale, sorted; Q(c): what the law says of it. Below and above get
factors of their own, drawn to the common one by n / (n + 400): lopsided where the sales say so. The
left-out residuals are those of the closed form e / (1 - h) with the scales held fixed, which
flatters; that is why the factor never narrows a range before there are 100 sales.
"""

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import numpy as np
from numpy import ndarray as Array

from pricing.basis.frozen import frozen
from pricing.model import numbers
from pricing.model.price.quantile_table import QuantileTable, quantile

COVERAGES = np.round(np.append(np.arange(0.01, 0.995, 0.01), [0.995, 0.999]), 3)
SHRINK, SHRINK_SIDES, FLOOR_UNTIL = 60.0, 400.0, 100


@frozen
class RangeFactors:
    """Factors on the half-width below and above at each of COVERAGES, and sales behind them."""

    low: Array
    high: Array
    n: int


NO_FACTORS = RangeFactors(np.ones(len(COVERAGES)), np.ones(len(COVERAGES)), 0)


def conformal_rank(n: int, coverage: float) -> int:
    """k = ceil((n + 1) coverage), in exact fractions of the coverage as it is written.

    Source: Lei et al. (2018), J. Am. Stat. Assoc. 113(523), split conformal.

    >>> conformal_rank(99, 0.55)  # in floats, ceil(100 * 0.55) is 56
    55
    """
    return math.ceil((n + 1) * Fraction(repr(float(coverage))))


def factors(below: Array, above: Array, table: QuantileTable, share: float) -> RangeFactors:
    """Factors from left-out residuals over their scales: `below` those under 0 (as positive
    numbers), `above` the others; share: the usual share of normal variance. Beyond 20,000 of a fair
    sample."""
    n = len(below) + len(above)
    if n < 5:
        return NO_FACTORS
    law = quantile(table, np.array([share]), (1 + COVERAGES) / 2)[0]
    common = _log_factor(np.concatenate([below, above]), law)
    weight, sides = n / (n + SHRINK), n / (n + SHRINK_SIDES)
    out = []
    for side in (below, above):
        own = _log_factor(side, law) if len(side) >= 5 else common
        factor = np.exp(weight * ((1 - sides) * common + sides * own))
        out.append(np.maximum(factor, 1.0) if n < FLOOR_UNTIL else factor)
    return RangeFactors(np.round(out[0], 6), np.round(out[1], 6), n)


def _log_factor(scores: Array, law: Array) -> Array:
    ordered = np.append(np.sort(scores), np.inf)
    places = (conformal_rank(len(scores), float(c)) for c in COVERAGES)
    ranks = ordered[[min(place - 1, len(scores)) for place in places]]
    good = np.isfinite(ranks) & (ranks > 0)
    factor = np.zeros(len(COVERAGES))
    factor[good] = np.log(ranks[good] / law[good])
    factor = np.clip(factor, -1.0, 1.0)
    # Around the middle of the law both numbers are near 0 and their ratio says little: smooth over
    # neighbours.
    padded = np.pad(factor, 5, mode="edge")
    return np.convolve(padded, np.ones(11) / 11, mode="valid")


def half_widths(
    factors_: RangeFactors, table: QuantileTable, share: Array, coverage: float
) -> tuple[Array, Array]:
    """Corrected half-widths below and above in summed scales, (n,) each, nested in coverage."""
    upto = np.append(COVERAGES[coverage > COVERAGES], coverage)
    law = quantile(table, share, (1 + upto) / 2)
    low = np.interp(upto, COVERAGES, factors_.low) * law
    high = np.interp(upto, COVERAGES, factors_.high) * law
    return low.max(axis=1), high.max(axis=1)


def as_numbers(factors_: RangeFactors) -> dict[str, Any]:
    return dict(vars(factors_))


def from_numbers(data: Mapping[str, Any]) -> RangeFactors:
    """Raises numbers.Damaged where sizes or bounds do not hold."""
    ends = numbers.several(data, (len(COVERAGES),), low=(0.01, 100), high=(0.01, 100))
    return RangeFactors(**ends, n=int(numbers.number(data, "n", 0)))
