"""Average over what the scales may be, where sales are too few to know them: draws from their
Laplace approximation.

One value of the scales, however good, makes ranges too narrow; the mixture over draws has the mean
and the covariance

    mean = sum_k w_k u_k,     S = sum_k w_k (S_k + (u_k - mean)(u_k - mean)')
"""

from dataclasses import replace

import numpy as np
from scipy.linalg import blas, cholesky, solve_triangular

from pricing.model.price import mixed
from pricing.model.price.mixed import Estimate, Posterior

SEED = 20
# of the way from the middle of a log-normal square to where its mean is the square at the maximum
PULL = 0.6
MOST_WEIGHT = 2.0  # a draw weighs at most e^2 times the middle one, so that none leads alone


def draws(found: Estimate, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Log scales drawn around the maximum, (count, G + 1), and their weights by the marginal
    likelihood. Always the same standard normal points and their mirror images, turned by a Cholesky
    root of the curvature, which moves little where the data move little (eigenvectors would
    not)."""
    likelihood, theta = found.likelihood, found.theta
    free = np.flatnonzero(likelihood.tau > 0)
    if not len(free) or count < 2:
        return theta[None, :], np.ones(1)
    H = likelihood.curvature(theta)
    # The scales that the sales tell most of come first, whatever their blocks are called and
    # wherever they stand; a scale of which they tell nothing comes last and moves no other.
    told = np.diag(H)[free] - np.diag(likelihood.precision)[free]
    free = free[np.lexsort((np.round(theta[free], 3), -np.round(told, 3)))]
    H = (H + H.T)[np.ix_(free, free)] / 2
    H[np.diag_indices(len(free))] += 1e-3 + max(-2 * float(np.linalg.eigvalsh(H)[0]), 0.0)
    # Its rows are directions of independent draws
    root = solve_triangular(cholesky(H, lower=True), np.eye(len(free)), lower=True)
    normal = np.array([_direction(place, count // 2) for place in range(len(free))]).T
    normal = np.vstack([normal, -normal])
    points = np.repeat(theta[None, :], len(normal), axis=0)
    points[:, free] += normal @ root
    log_weights = 0.5 * (normal**2).sum(1) - np.array([likelihood.value(point) for point in points])
    log_weights = np.minimum(log_weights, np.median(log_weights) + MOST_WEIGHT)
    weights = np.exp(log_weights - log_weights.max())
    # exp(2 ln sigma) has a mean above its middle by twice the variance of ln sigma: part of it is
    # taken off, or ranges come out too wide.
    points[:, free] -= PULL * np.minimum((root**2).sum(0), 1.0)
    return points, weights / weights.sum()


def _direction(place: int, count: int) -> np.ndarray:
    """Standard normal points of one direction, the same whatever others there are, (count,)."""
    points = np.random.default_rng([SEED, place]).standard_normal(count)
    return np.asarray(points / np.sqrt((points**2).mean()))


def averaged(found: Estimate, count: int) -> Posterior:
    """The posterior of the mixture over `count` draws; scales and error are root mean squares."""
    points, share = draws(found, count)
    likelihood = found.likelihood
    rows, group, G = likelihood.rows, likelihood.group, likelihood.n_blocks
    variances = np.exp(2 * points)
    if likelihood.small:
        means, S = _few_rows(likelihood, points, share)
    else:
        each = [mixed.posterior(_without_rest(rows), group, point) for point in points]
        means, S = (
            np.array([one.mean for one in each]),
            sum(weight * one.covariance for weight, one in zip(share, each, strict=True)),
        )
    mean = share @ means
    apart = (means - mean) * np.sqrt(share)[:, None]
    u, S = mixed.with_rest(rows, mean, S + apart.T @ apart, float(share @ variances[:, G]))
    return Posterior(
        u,
        S,
        np.sqrt(share @ variances[:, :G]),
        float(np.sqrt(share @ variances[:, G])),
        found.posterior.log_likelihood,
    )


def _few_rows(
    likelihood: mixed.MixedLikelihood, points: np.ndarray, share: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Means (k, p) and mean covariance (p, p):  S = sum w (D - A'A),  A = L^-1 Z D,  L L' = V."""
    rows, group = likelihood.rows, likelihood.group
    p = likelihood.p
    taken, means = np.zeros((p, p), order="F"), np.zeros((len(points), p))
    # a single sale may leave no row beside a level that is not shrunk
    for k, point in enumerate(points if len(rows.y) else ()):
        variance = np.exp(2 * point[: likelihood.n_blocks])[group]
        half = solve_triangular(
            likelihood.root(point)[0], np.column_stack([rows.Z * variance, rows.y]), lower=True
        )
        means[k] = half[:, :p].T @ half[:, p]
        how = {"trans": 1, "lower": 1, "overwrite_c": 1}
        taken = blas.dsyrk(share[k], half[:, :p], beta=1.0, c=taken, **how)
    S = -(np.tril(taken) + np.tril(taken, -1).T)
    S[np.diag_indices(p)] += share @ np.exp(2 * points[:, : likelihood.n_blocks])[:, group]
    return means, S


def _without_rest(rows: mixed.Folded) -> mixed.Folded:
    none, beside = np.zeros((0, 0)), np.zeros((0, rows.Z.shape[1]))
    return replace(rows, X_X=none, X_Z=beside, X_y=np.zeros(0))
