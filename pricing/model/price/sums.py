"""A fit to more sales than fit in memory: sums over blocks of units, added as a tree.

    [X Z y]' W [X Z y],   W = diag(w_i s^2 / s_i^2)

is all the algebra needs. What the rounds found on the sample (spread, degrees of freedom, scales to
start from) is taken on; two passes over the blocks renew the weights and the sums, each followed by
the scales and the coefficients. A block is cut into parts of a fixed size and the sums of blocks
are added in pairs, in one order (`fold`), so that one machine and a cluster of them agree to the
last bit. The last pass also keeps the sales that lie furthest from their typical price: those that
may be slips of the fingers. `Summed` is that pass and the weights it was made with: a unit that
comes, changes or goes is added or taken off at those weights, and `solved` gives the coefficients
at the scales learned then, as a pass over all units would at the same weights and scales.
"""

from __future__ import annotations

import operator
from dataclasses import replace
from datetime import date
from functools import partial

import numpy as np
from scipy.linalg import blas

from pricing.basis.frozen import frozen
from pricing.basis.units import Units
from pricing.model.fold import Fold
from pricing.model.price import encode, mixed, price, student
from pricing.model.price.encode import Encoding
from pricing.model.price.mixed import Folded, Posterior
from pricing.model.price.rounds import RoundsFound, Switches, is_flat, scales_prior
from pricing.model.seen import READ_NUMBERS, READ_WORDS, joined, slimmed, sold_rows

PART = 8192  # rows
PASSES = 2
# Own scales, years: what may be a slip; how many of them are kept
FAR, OLD, MOST_FAR = (4.0, 30.0, 500)
NOBODY = Units(0, {}, {})


@frozen
class PriceSums:
    """gram: (q + p + 1, q + p + 1), upper triangle; log_weights: sum of ln w; n: sales; far: those
    furthest from their typical price, furthest first, and apart: by how many own scales."""

    gram: np.ndarray
    log_weights: float
    n: int
    far: Units = NOBODY
    apart: np.ndarray = np.zeros(0)

    def __add__(self, other: PriceSums) -> PriceSums:
        far, apart = joined([self.far, other.far]), np.concatenate([self.apart, other.apart])
        if len(apart) > MOST_FAR:
            order = np.argsort(-apart, kind="stable")[:MOST_FAR]
            far, apart = far.take(order), apart[order]
        gram, logs = self.gram + other.gram, self.log_weights + other.log_weights
        return PriceSums(gram, logs, self.n + other.n, far, apart)

    def __sub__(self, gone: PriceSums) -> PriceSums:
        """Without the sums of some of its sales; none is among the furthest any more."""
        logs = self.log_weights - gone.log_weights
        return PriceSums(self.gram - gone.gram, logs, self.n - gone.n)


@frozen
class Summed:
    """The sums of the last pass. at: the fit whose weights they have (mean, the diagonal of its
    covariance, scales, error, gamma, nu); flat: whether the level is not shrunk."""

    total: PriceSums
    at: RoundsFound
    flat: bool


def sums_of(
    units: Units, encoding: Encoding, fitted: RoundsFound, as_of: date, keep_far: bool = False
) -> PriceSums:
    """The sums over the sales of one block at the fit's weights. Pure: a cluster runs it."""
    rows, days = sold_rows(units, as_of)
    own = {margin.column for margin in encoding.margins}
    kept = {*READ_NUMBERS, *READ_WORDS, *own}
    narrow = Units(
        units.n,
        {k: v for k, v in units.numbers.items() if k in kept},
        {k: v for k, v in units.words.items() if k in kept},
    )
    width = encoding.n_columns + 1
    total = PriceSums(np.zeros((width, width)), 0.0, 0)
    for start in range(0, len(rows), PART):
        here = slice(start, start + PART)
        sold = narrow.take(rows[here])
        sums, apart = _part(sold, days[here], encoding, fitted)
        if keep_far:
            far = np.flatnonzero((apart > FAR) | (sold.number("age") > OLD))
            sums = replace(sums, far=slimmed(units.take(rows[here][far])), apart=apart[far])
        total = total + sums
    return total


def _part(
    sold: Units, days: np.ndarray, encoding: Encoding, fitted: RoundsFound
) -> tuple[PriceSums, np.ndarray]:
    read = encode.read(encoding, sold, days)
    left = np.log(sold.number("price")) - read.offset
    doubt = np.diag(fitted.covariance)
    open_ = price.blank_variance(encoding, read, fitted.mean, doubt, fitted.scales)
    own = fitted.error**2 * np.exp(2 * price.spread_of(read, fitted.gamma)) + open_
    square = (left - read.columns @ fitted.mean) ** 2
    weights = student.weights(square, own, fitted.nu) * fitted.error**2 / own
    table = np.column_stack([read.columns, left]) * np.sqrt(weights)[:, None]
    gram = np.asarray(blas.dsyrk(1.0, table.T))
    return PriceSums(gram, float(np.log(weights).sum()), len(left)), np.sqrt(square / own)


def refine(
    fold: Fold, as_of: date, encoding: Encoding, fitted: RoundsFound, options: Switches
) -> tuple[RoundsFound, Summed]:
    """Go through all sales and renew coefficients and scales; and what the last pass summed."""
    prior, flat = scales_prior(encoding, options), is_flat(encoding)
    theta = np.append(np.log(fitted.scales), np.log(fitted.error))
    for turn in range(PASSES):
        of = partial(sums_of, encoding=encoding, fitted=(at := fitted), as_of=as_of)
        total = fold(partial(of, keep_far=turn == PASSES - 1), operator.add)
        rows, group = _folded(summed := Summed(total, at, flat), encoding)
        estimate = mixed.estimate_folded(rows, group, prior, theta, 25)
        found, theta = estimate.posterior, estimate.theta
        fitted = replace(
            fitted,
            mean=found.mean,
            covariance=found.covariance,
            scales=found.scale,
            error=found.error,
            log_likelihood=found.log_likelihood,
        )
    return fitted, summed


def _folded(summed: Summed, encoding: Encoding) -> tuple[Folded, np.ndarray]:
    total, q = summed.total, int(summed.flat)
    gram = np.triu(total.gram) + np.triu(total.gram, 1).T
    return mixed.fold_sums(gram, q, total.n, total.log_weights), encoding.group[q:]


def solved(summed: Summed, encoding: Encoding, scales: np.ndarray, error: float) -> Posterior:
    """Coefficients and covariance at given scales, in O(p^3) whatever the number of sales."""
    return mixed.posterior(*_folded(summed, encoding), np.log(np.append(scales, error)))
