"""The rounds of a fit: scales of the blocks, weights of t errors, degrees of freedom, spread, what
blank ages leave open, in turn, on every sale up to 20,000, a fair sample beyond (`sums` goes
through all)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy import ndarray as Array

from pricing.basis.frozen import frozen
from pricing.model.price import ads, averaging, mixed, price, spread, student
from pricing.model.price.encode import Encoding, Rows

# T scale of a sale's own error, and the sd of its ln: own judgement
ERROR_SCALE, ERROR_TAU, LOOSE_ERROR_TAU = (0.19, 0.4, 1.0)
# Interactions and bends are large or small together: their ln scales share a part with this sd
FINE_TAU, FINE_SHARED = (0.7, 0.5)
ROUNDS, DRAWS, DRAWS_UNTIL = 4, 30, 250


@frozen
class Switches:
    """What a fit does; all on by default. assumed: starting prices and effects of household
    appliances; interactions: products and the smooth surface; pool: learn the scales; student,
    spread: t errors, and a spread that differs between units; draws: of the scales, averaged over
    where sales are few; level_flat: do not shrink the level at all (None: as the number of sales
    says)."""

    assumed: bool = True
    interactions: bool = True
    pool: bool = True
    student: bool = True
    spread: bool = True
    draws: int = DRAWS
    level_flat: bool | None = None


def is_fine(name: str) -> bool:
    """Whether a block refines others: a product of two, a bend, the smooth surface."""
    return " x " in name or name.endswith(("bend", "bends", "hinges", "steps", "fine pattern"))


def is_flat(encoding: Encoding) -> bool:
    """Whether the level is not shrunk at all."""
    return not np.isfinite(encoding.blocks[0].scale)


def scales_prior(encoding: Encoding, options: Switches) -> mixed.Prior:
    """What is assumed of the scales of the blocks. The labelled scale is the root mean square: the
    middle of ln sigma lies tau^2 below its ln."""
    labelled, tau = (np.array([getattr(b, x) for b in encoding.blocks]) for x in ("scale", "tau"))
    scale = np.where(np.isfinite(labelled), labelled, 1.0)
    tau = np.where(np.isfinite(labelled), tau, 0.0) * options.pool
    fine = np.array([float(is_fine(block.name)) for block in encoding.blocks])
    tau = np.where(fine > 0, tau * FINE_TAU, tau)
    whole = tau**2 + fine * (tau > 0) * FINE_SHARED**2
    return mixed.Prior(
        scale * np.exp(-whole),
        tau,
        ERROR_SCALE,
        ERROR_TAU if options.assumed else LOOSE_ERROR_TAU,
        fine,
        FINE_SHARED,
    )


def _before_any_sale(encoding: Encoding, prior: mixed.Prior) -> RoundsFound:
    labelled, none = np.array([block.scale for block in encoding.blocks]), np.zeros(0)
    variance = labelled[encoding.group] ** 2
    return RoundsFound(
        np.zeros(len(variance)),
        np.diag(variance),
        labelled,
        prior.error,
        encoding.spread_mean.copy(),
        student.USUAL,
        none,
        none,
        none,
        0.0,
    )


@frozen
class RoundsFound:
    """What the rounds found. covariance: S, (p, p); weights: of the t errors, (n,); own: squared
    scale of each row, (n,), of which `blank` is what its blanks leave open."""

    mean: Array
    covariance: Array
    scales: Array
    error: float
    gamma: Array
    nu: float
    weights: Array
    own: Array
    blank: Array
    log_likelihood: float


def fit_rows(
    encoding: Encoding, rows: Rows, log_price: Array, options: Switches, asks: int = 0
) -> RoundsFound:
    """Alternate scales, weights, degrees of freedom and spread. asks: rows at the end."""
    n = len(log_price)
    mine, apart = n - asks, ads.SPREAD**2  # rows of own sales; how asks of one worth differ
    q = int(is_flat(encoding) and n > 0)
    X, Z = rows.columns[:, :q], rows.columns[:, q:]
    group = encoding.group[q:]
    prior = scales_prior(encoding, options)
    if not n:
        return _before_any_sale(encoding, prior)
    left = log_price - rows.offset
    theta = np.append(np.log(prior.scale), np.log(prior.error))
    nu = student.USUAL if options.student else 1e6
    weights, gamma = np.ones(n), encoding.spread_mean.copy()
    before, nothing = np.exp(theta[:-1]), np.zeros(encoding.n_columns)
    open_ = price.blank_variance(encoding, rows, nothing, before[encoding.group] ** 2, before)
    open_[mine:] += apart
    rounds = ROUNDS if options.student or options.spread else 1
    for turn in range(rounds):
        s2 = float(np.exp(2 * theta[-1]))
        # Own variance of a sale in units of s^2: its spread, and what its blanks leave open.
        shape = np.exp(2 * price.spread_of(rows, gamma)) + open_ / s2
        most = 60 if turn == 0 else 25
        estimate = mixed.estimate(X, Z, left, weights / shape, group, prior, theta, most)
        found, theta = estimate.posterior, estimate.theta
        s2 = float(np.exp(2 * theta[-1]))
        residual = left - rows.columns @ found.mean
        # E r^2 = rhat^2 + z'S z: what is not known of the coefficients is part of the square that
        # the t weights and the spread see (Lange, Little and Taylor 1989).
        Z_S = (rows.columns, found.covariance, rows.columns)
        known = np.einsum("ij,jk,ik->i", *Z_S, optimize=True)
        if turn == rounds - 1:
            break
        doubt, scales = np.diag(found.covariance), np.exp(theta[:-1])
        open_ = price.blank_variance(encoding, rows, found.mean, doubt, scales)
        square = residual**2 + known
        if asks:
            own = s2 * np.exp(2 * price.spread_of(rows, gamma)) + open_
            apart = ads.spread_now(square[mine:], weights[mine:], own[mine:], apart)
            open_[mine:] += apart
        if options.spread:
            part = np.exp(-2 * rows.loose)
            start = (encoding.spread_mean, encoding.spread_sd, gamma)
            gamma = spread.fit(rows.spread, square * part, weights, s2, open_ * part, *start)
        own = s2 * np.exp(2 * price.spread_of(rows, gamma)) + open_
        if options.student:
            nu = student.degrees(residual[:mine], known[:mine], own[:mine], weights[:mine], nu)
            tails = np.where(np.arange(n) < mine, nu, ads.NU)
            weights = student.weights(square, own, tails)
    own = s2 * np.exp(2 * price.spread_of(rows, gamma)) + open_
    if options.draws and n <= DRAWS_UNTIL and options.pool:
        found = averaging.averaged(estimate, options.draws)
    learned = (found.mean, found.covariance, found.scale, found.error)
    return RoundsFound(*learned, gamma, nu, weights, own, open_, found.log_likelihood)


def left_out(rows: Rows, log_price: Array, fitted: RoundsFound) -> tuple[Array, Array]:
    """Residual of each sale left out of the fit, e / (1 - h), and the variance of its estimate
    with what its blanks leave open, (n,) each; h_i = w_i z_i'S z_i / s_i^2."""
    residual = log_price - rows.offset - rows.columns @ fitted.mean
    known = np.einsum("ij,jk,ik->i", rows.columns, fitted.covariance, rows.columns, optimize=True)
    h = np.clip(fitted.weights * known / fitted.own, 0.0, 0.98)
    return residual / (1 - h), known / (1 - h) + fitted.blank


def reweighted(
    encoding: Encoding, rows: Rows, log_price: Array, fitted: RoundsFound
) -> RoundsFound:
    """The fit with the weights and own scales of these rows renewed at its numbers."""
    doubt = np.diag(fitted.covariance)
    open_ = price.blank_variance(encoding, rows, fitted.mean, doubt, fitted.scales)
    own = fitted.error**2 * np.exp(2 * price.spread_of(rows, fitted.gamma)) + open_
    residual = log_price - rows.offset - rows.columns @ fitted.mean
    weights = student.weights(residual**2, own, fitted.nu)
    return replace(fitted, weights=weights, own=own, blank=open_)
