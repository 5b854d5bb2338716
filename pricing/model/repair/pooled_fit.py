"""Learning pooled regressions: normal coefficients whose spread per block is learned by
expectation-maximisation.

    D_g <- (sum of b^2 + trace of their covariance + nu sd_g^2) / (number of coefficients + nu)

(Dempster, Laird & Rubin 1977; for the logistic model with the Laplace covariance at the mode,
Breslow & Clayton 1993.) The number of units enters only through sums: 25 or 10^8.
"""

import math
from collections.abc import Mapping

import numpy as np
from numpy import ndarray as Array

from pricing.formulas.bench_sums import BLOCKS
from pricing.model.repair.pooled import Effects

PULL = 4.0  # nu: units' worth of belief in the starting spread, about a spread of .4 in ln sd
ROUNDS = 40


def _groups(levels: Mapping[str, tuple[str, ...]]) -> list[tuple[str, slice]]:
    groups, start = [("all", slice(0, 1)), ("age", slice(1, 2)), ("failed", slice(2, 3))], 3
    for block in BLOCKS:
        groups.append((block, slice(start, start + len(levels[block]))))
        start += len(levels[block])
    return groups


def _relearn(
    sd: dict[str, float],
    start: Mapping[str, float],
    levels: Mapping[str, tuple[str, ...]],
    mean: Array,
    cov: Array,
) -> dict[str, float]:
    """One step of the spreads per block; single coefficients (all, age, failed) keep theirs."""
    for name, part in _groups(levels):
        size = part.stop - part.start
        if name in BLOCKS and size and start[name] > 0:
            total = float(mean[part] @ mean[part] + np.trace(cov[part, part]))
            sd[name] = math.sqrt((total + PULL * start[name] ** 2) / (size + PULL))
    return sd


def _precision(sd: Mapping[str, float], levels: Mapping[str, tuple[str, ...]], p: int) -> Array:
    values = np.zeros(p)
    for name, part in _groups(levels):
        values[part] = 1 / max(sd[name], 1e-4) ** 2
    return values


def pooled_linear(
    levels: Mapping[str, tuple[str, ...]],
    rows: Array,
    offset: Array,
    sums: Array,
    start: Mapping[str, float],
    sigma: float,
) -> Effects:
    """Normal coefficients, normal errors, from the sums of each cell: y_ij = offset_i + rows_i b +
    e.

    rows: shape (n, p); offset: (n,); sums: (n, 3) number of units, sum of y, sum of y squared;
    start: sd per block; sigma: starting error.
    Posterior: P = A / sigma^2 + 1 / D, b = P^-1 c / sigma^2 with A = Z'NZ, c = Z'(sum y - N
    offset); D and sigma by EM.
    """
    n, total, squares = sums.T
    inner = rows.T @ (rows * n[:, None])
    cross = rows.T @ (total - n * offset)
    power = float(np.sum(squares - 2 * offset * total + n * offset**2))
    sd, error = dict(start), sigma**2
    for _ in range(ROUNDS):
        cov = np.linalg.inv(inner / error + np.diag(_precision(sd, levels, rows.shape[1])))
        mean = cov @ cross / error
        fit = power - 2 * float(mean @ cross) + float(mean @ inner @ mean)
        left = fit + float(np.sum(inner * cov))
        error = (max(left, 0.0) + PULL * sigma**2) / (float(n.sum()) + PULL)
        sd = _relearn(sd, start, levels, mean, cov)
    return Effects(levels, mean, (cov + cov.T) / 2, sd, math.sqrt(error))


def pooled_logistic(
    levels: Mapping[str, tuple[str, ...]],
    rows: Array,
    offset: Array,
    fixed: Array,
    weight: Array,
    start: Mapping[str, float],
) -> Effects:
    """Normal coefficients, yes or no: logit q_i = offset_i + rows_i b; mode by Newton steps,
    covariance by Laplace, D by EM. fixed: (n,) 1 or 0; weight: (n,) units in the cell."""
    p = rows.shape[1]
    sd, mean = dict(start), np.zeros(p)
    for _ in range(ROUNDS):
        precision = _precision(sd, levels, p)
        for _ in range(3):
            q = 1 / (1 + np.exp(-np.clip(offset + rows @ mean, -30, 30)))
            told = rows.T @ (rows * (weight * q * (1 - q))[:, None])
            cov = np.linalg.inv(told + np.diag(precision))
            step = cov @ (rows.T @ (weight * (fixed - q)) - precision * mean)
            # No coefficient moves more than 2 at once
            mean = mean + step / max(1.0, float(np.max(np.abs(step))) / 2)
        sd = _relearn(sd, start, levels, mean, cov)
    return Effects(levels, mean, (cov + cov.T) / 2, sd, 0.0)
