"""A fit to more sales than fit in memory: sums over blocks of units, added as a tree.

    [X Z y]' W [X Z y],   W = diag(w_i s^2 / s_i^2)

is all the algebra needs. What the rounds found on the sample (spread, degrees of freedom, scales to start from) is taken on; two passes
over the blocks renew the weights and the sums, each followed by the scales and the coefficients. A block is cut into parts of a fixed
size and the sums of blocks are added in pairs, in one order, so that one machine and a cluster of them agree to the last bit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from datetime import date
from functools import partial

import numpy as np
from scipy.linalg import blas

from pricing.model import encode, mixed, price, student
from pricing.model.encode import Encoding
from pricing.model.rounds import Fitted, Switches, is_flat, scales_prior
from pricing.model.seen import READ_NUMBERS, READ_WORDS, sold_rows
from pricing.records.record import record
from pricing.records.units import Units

PART = 8192  # rows
PASSES = 2
MapBlocks = Callable[[Callable[[Units], "Sums"], Iterable[Units]], Iterable["Sums"]]


@record
class Sums:
    """gram: (q + p + 1, q + p + 1), upper triangle; log_weights: sum of ln w; n: sales."""

    gram: np.ndarray
    log_weights: float
    n: int

    def __add__(self, other: Sums) -> Sums:
        return Sums(self.gram + other.gram, self.log_weights + other.log_weights, self.n + other.n)


def sums_of(units: Units, encoding: Encoding, fitted: Fitted, as_of: date) -> Sums:
    """The sums over the sales of one block at the weights that the fit gives them. Pure: a cluster runs it where the block is."""
    rows, days = sold_rows(units, as_of)
    own = {margin.column for margin in encoding.margins}
    kept = {*READ_NUMBERS, *READ_WORDS, *own}
    narrow = Units(units.n, {k: v for k, v in units.numbers.items() if k in kept}, {k: v for k, v in units.words.items() if k in kept})
    width = encoding.n_columns + 1
    total = Sums(np.zeros((width, width)), 0.0, 0)
    for start in range(0, len(rows), PART):
        here = slice(start, start + PART)
        total = total + _part(narrow.take(rows[here]), days[here], encoding, fitted)
    return total


def _part(sold: Units, days: np.ndarray, encoding: Encoding, fitted: Fitted) -> Sums:
    read = encode.read(encoding, sold, days)
    left = np.log(sold.number("price")) - read.offset
    own = price.own_variance(encoding, read, fitted.mean, fitted.error, fitted.gamma)
    square = (left - read.columns @ fitted.mean) ** 2
    weights = student.weights(square, own, fitted.nu) * fitted.error**2 / own
    table = np.column_stack([read.columns, left]) * np.sqrt(weights)[:, None]
    return Sums(np.asarray(blas.dsyrk(1.0, table.T)), float(np.log(weights).sum()), len(left))


def tree(parts: Iterable[Sums]) -> Sums:
    """The sum of parts, added in pairs in their order: 1 + 2, 3 + 4, then those; at most log2 of their number are held.

    >>> one = Sums(np.ones((1, 1)), 0.0, 1)
    >>> tree([one] * 5).n
    5
    """
    held: list[tuple[int, Sums]] = []
    for part in parts:
        level, total = 0, part
        while held and held[-1][0] == level:
            total = held.pop()[1] + total
            level += 1
        held.append((level, total))
    total = held.pop()[1]
    while held:
        total = held.pop()[1] + total
    return total


def refine(batches: Iterable[Units], as_of: date, encoding: Encoding, fitted: Fitted, options: Switches, map_blocks: MapBlocks | None = None) -> Fitted:
    """Go through all sales and renew the coefficients and scales. batches: re-iterable. map_blocks: how a function is run over blocks, in order (default: one after the other)."""
    each: MapBlocks = map_blocks or _one_by_one
    prior = scales_prior(encoding, options)
    q = int(is_flat(encoding))
    group = encoding.group[q:]
    theta = np.append(np.log(fitted.scales), np.log(fitted.error))
    for _ in range(PASSES):
        total = tree(each(partial(sums_of, encoding=encoding, fitted=fitted, as_of=as_of), batches))
        gram = np.triu(total.gram) + np.triu(total.gram, 1).T
        folded = mixed.fold_sums(gram, q, total.n, total.log_weights)
        estimate = mixed.estimate_folded(folded, group, prior, theta, 25)
        found, theta = estimate.posterior, estimate.theta
        fitted = replace(fitted, mean=found.mean, covariance=found.covariance, scales=found.scale, error=found.error, log_likelihood=found.log_likelihood)
    return fitted


def _one_by_one(function: Callable[[Units], Sums], batches: Iterable[Units]) -> Iterator[Sums]:
    return map(function, batches)
