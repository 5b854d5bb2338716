"""Learn from listings how long units wait: sold ones, and those still waiting, with all their asks.

One listing i has asks a_j from day t_j, the first at ln(a_1 / estimate) = r_1, and an unseen
quality q (see `saletime`):

    q ~ N(0, v_i)                                                 v_i: the price model's own law,
        the unit itself left out
    r_1 = premium_type + b q + whim,   whim ~ N(0, w^2)           the seller sees q and puts it in
        the ask
    H = exp(theta_i + eta q) sum_j (tau(t_j+1) - tau(t_j)) exp(-eta r_j)
    log likelihood = [sold] (theta_i + eta q - eta r_last + ln tau'(t)) - H

q given r_1 is normal, and the rest is integrated over it by Gauss-Hermite points. All of theta,
eta, shape, premium, b, w and the seen share are found together (mode, and curvature there); eta by
its profile on a grid, since its law need not be normal.
Leaving q out makes eta far too small: who sees a better unit asks more, and it sells no slower.
Sources: Prentice & Gloeckler (1978), Biometrics 34(1) for asks that change over time; Lancaster
(1990), The Econometric Analysis of Transition Data, for integrating out what is not seen; Tierney &
Kadane (1986), J. Am. Stat. Assoc. 81(393) for the curvature.
"""

from __future__ import annotations

from datetime import date
from typing import Any, NamedTuple

import numpy as np
from numpy import ndarray as Array
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize
from scipy.special import ndtr

from pricing.basis import assumed
from pricing.basis.assumed import ELASTICITY_MEAN
from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_types
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.basis.words import family_of
from pricing.formulas.selling import ELASTICITY_SD
from pricing.model.price.price import PriceNumbers
from pricing.model.saletime import callers_fit, haggle_fit, saletime
from pricing.model.saletime import listings as waiting
from pricing.model.saletime.listings import Listings
from pricing.model.saletime.saletime import HIGHEST_ETA, LOWEST_ETA, N_ETA, WEEK, SaleTimeModel

MOST_TYPES = 60
# The starting days are those at the usual asks, which stand this much over the estimate: how fast
# things sell there says nothing about eta.
USUAL_PREMIUM = 0.12
# The rest of a listing's story beside theta and eta: ln shape, premium, b, ln w, ln seen share;
# mean and sd before any listing.
# Own judgement; shape near 1 is common to the trade's way of listing, .12 over the estimate leaves
# room for haggling and a drop.
REST_MEAN = np.array([0.0, USUAL_PREMIUM, 0.9, np.log(0.08), np.log(0.9)])
REST_SD = np.array([0.20, 0.10, 0.15, 0.40, 0.15])
# of the premium by type; the price model's error for a type goes there too, so that it is not taken
# for quality
PREMIUM_TYPE_SD = 0.08
# The starting sd of families, types and season counts as so many of them
SCALE_PULL, SCALE_ROUNDS = (4.0, 12)
# a learned sd stays within this factor of the starting one: own judgement; ln rates of whole types
# that differ by more than e^1.4 would not be one trade
MOST_SCALE = 4.0
_Z, _W = np.polynomial.hermite_e.hermegauss(9)
_LOG_W = np.log(_W / _W.sum())


def fit_saletime(
    units: Units, price_model: PriceNumbers, settings: Settings, as_of: date
) -> SaleTimeModel:
    """The sale-time model of the units listed by `as_of`; of none, the starting figures."""
    looked = (waiting.look_at(units, as_of), haggle_fit.look_at(units, as_of))
    return fit_kept(*looked, price_model, settings, as_of)


def fit_kept(
    kept: waiting.KeptListings,
    haggled: haggle_fit.KeptSales,
    price_model: PriceNumbers,
    settings: Settings,
    as_of: date,
) -> SaleTimeModel:
    """The same of the listings and of the sales with an ask that a pass over the units has kept."""
    counts = kept.counts
    read = waiting.read_listings(waiting.chosen(kept), price_model, settings, as_of)
    table = assumed_types(settings)
    types = tuple(sorted(sorted(counts, key=lambda name: (-counts[name], name))[:MOST_TYPES]))
    family_of_type = {name: family_of(name, settings) for name in {*table, *counts}}
    families = tuple(sorted({family_of_type[name] for name in counts}))
    X = saletime.design(families, types, read.names, read.families, read.listed)
    found = learn(read, X, len(families), len(types))
    fall, apart = waiting.usual_drop(read)
    kinds = X[:, 1 + len(families) : 1 + len(families) + len(types)]
    callers = callers_fit.weigh(read, story_of(read, X, kinds, found))
    log_rates = {
        name: saletime.usual_log_rate(table.get(name, assumed.GENERIC_TYPE).days, found.shape)
        for name in sorted({"", *table, *counts})
    }
    names = ("eta_mean", "eta_sd", "eta_points", "eta_weights", "shape", "scales", "coefficients")
    same: dict[str, Any] = {x: getattr(found, x) for x in (*names, "covariance", "with_eta")}
    same |= {f"callers_{x}": getattr(callers, x) for x in ("eta", "most", "level", "weight")}
    return SaleTimeModel(
        **same,
        n_drops=int(read.drops.sum()),
        n_listings=int(np.isfinite(read.first).sum()),
        drop_fall=fall,
        drop_days=apart,
        premium_mean=found.premium,
        premium_by_type=found.by_type,
        premium_sd=found.whim,
        premium_seen=found.seen,
        seen_share=found.share,
        types=types,
        families=families,
        family_of_type=dict(sorted(family_of_type.items())),
        log_rates=log_rates,
        season_rates=waiting.season_rates(),
        n_type=dict(sorted(counts.items())),
        **haggle_fit.fit_haggling(haggled.units, price_model, as_of),
    )


FARTHEST = 12.0
# ln shape, premium, b, ln w, ln seen share
FARTHEST_REST = (np.array([-1.5, -2.0, -2.0, -6.0, -6.0]), np.array([1.5, 2.0, 3.0, 2.0, 2.0]))
# squared log points: copies of one sale would leave no doubt at all, and nothing to divide by
LEAST_D2 = 1e-8


# ---- likelihood


class Likelihood:
    """Minus log posterior of phi = (theta coefficients, eta, ln shape, premium, b, ln w, ln seen
    share) and its gradient. prior_sd: of the coefficients, inf for none; asks False leaves q and
    asks out."""

    def __init__(
        self,
        data: Listings,
        X: Array,
        prior_sd: Array,
        eta: tuple[float, float] = (ELASTICITY_MEAN, ELASTICITY_SD),
        rest_mean: Array = REST_MEAN,
        rest_sd: Array = REST_SD,
        more_premium: Array | None = None,
    ) -> None:
        self.data, self.X, self.p = data, X, X.shape[1]
        self.more_premium = np.zeros(data.n) if more_premium is None else more_premium
        self.center = np.concatenate([np.zeros(self.p), [eta[0]], rest_mean])
        self.precision = np.concatenate([prior_sd, [eta[1]], rest_sd]) ** -2.0
        self.asked = np.isfinite(data.first)
        self.ratio = np.where(np.isfinite(data.ratio), data.ratio, 0.0)
        self.last = np.where(self.asked, data.last, 0.0)
        self.log_begin = np.log(np.maximum(data.begin, 1e-9) / WEEK)
        self.log_end = np.log(np.maximum(data.end, 1e-9) / WEEK)
        self.log_days = np.log(np.maximum(data.days, 1e-9) / WEEK)
        self.event = data.sold.astype(float)
        # Ln(usual days / 7): half are sold by then whatever the shape
        self.usual_clock = np.log(np.log(2) / WEEK) - data.base

    def __call__(self, phi: Array) -> tuple[float, Array]:
        data, p = self.data, self.p
        away = phi - self.center
        # a long step of the search must not overflow; the prior leads it back
        phi = np.clip(phi, -FARTHEST, FARTHEST)
        phi[p + 1 :] = np.clip(phi[p + 1 :], *FARTHEST_REST)
        eta, shape = phi[p], np.exp(phi[p + 1])
        premium, b = phi[p + 2] + self.more_premium, phi[p + 3]
        w2, rho2 = np.exp(2 * phi[p + 4]), np.exp(2 * phi[p + 5])
        value, gradient = 0.5 * float(self.precision @ away**2), self.precision * away
        if not data.n:
            return value, gradient
        theta = data.base + self.X @ phi[:p] + (1 - shape) * self.usual_clock
        theta = theta + (eta - self.center[p]) * USUAL_PREMIUM
        law = self._given_ask(premium, b, w2, rho2)
        u = law.c[:, None] + law.d[:, None] * _Z
        clock_begin = WEEK * np.exp(shape * self.log_begin)
        clock_end = WEEK * np.exp(shape * self.log_end)
        pull = np.exp(-eta * self.ratio)
        span = (clock_end - clock_begin) * pull
        E = np.maximum(span.sum(1), 1e-300)
        slow = (span * self.ratio).sum(1)
        stretch = ((clock_end * self.log_end - clock_begin * self.log_begin) * pull).sum(1) * shape
        base = theta[:, None] + eta * u
        H = np.exp(np.minimum(base, 60.0)) * E[:, None]
        event = self.event[:, None]
        log_rate = base - (eta * self.last)[:, None]
        log_rate = log_rate + (phi[p + 1] + (shape - 1) * self.log_days)[:, None]
        log_t = event * log_rate - H + _LOG_W
        top = log_t.max(1, keepdims=True)
        share = np.exp(log_t - top)
        norm_ = share.sum(1, keepdims=True)
        share /= norm_
        value -= float((top + np.log(norm_)).sum())
        value += 0.5 * float((law.asked * (law.left**2 / law.total + np.log(law.total))).sum())
        off = share * (event - H)  # how each point of q would move the log likelihood
        spent = (share * H).sum(1) / E
        dtheta = off.sum(1)
        deta = USUAL_PREMIUM * dtheta + (off * u).sum(1) - self.event * self.last + spent * slow
        dshape = self.event * (1 + shape * self.log_days) - spent * stretch
        dshape = dshape - shape * self.usual_clock * dtheta
        gradient[:p] -= self.X.T @ dtheta
        gradient[p] -= deta.sum()
        gradient[p + 1] -= dshape.sum()
        gradient[p + 2 :] += law.slopes(eta * off.sum(1), eta * (off * _Z).sum(1), data.own)
        return value, gradient

    def _given_ask(self, premium: Array, b: float, w2: float, rho2: float) -> GivenAsk:
        """q given the first ask: N(c, d^2); without an ask the whim stands in its place (ask - q =
        premium - (1 - b) q + whim)."""
        asked, data = self.asked, self.data
        v = rho2 * data.own + data.spread
        total = b * b * v + w2
        left = np.where(asked, np.nan_to_num(data.first) - premium, 0.0)
        c = np.where(asked, b * v / total * left, -premium)
        d2 = np.where(asked, v * w2 / total, w2 + (1 - b) ** 2 * v)
        return GivenAsk(asked, b, w2, rho2, v, total, left, c, np.sqrt(np.maximum(d2, LEAST_D2)))


class GivenAsk(NamedTuple):
    """What the first ask says of q, N(c, d^2), and the law of that ask itself, N(left, total)."""

    asked: Array
    b: float
    w2: float
    rho2: float
    v: Array
    total: Array
    left: Array
    c: Array
    d: Array

    def slopes(self, du: Array, duz: Array, own: Array) -> Array:
        """Slopes of the minus log likelihood in (premium, b, ln w, ln seen share), (4,): through c
        and d, given those in each (du, duz), and through the law of the first ask itself."""
        asked, b, w2, rho2, v, total, left, _, d = self
        dd = duz / (2 * d)  # with respect to d2
        gain_v = b / total - b * v * b * b / total**2
        gain_b, gain_w2 = v / total - b * v * 2 * b * v / total**2, -b * v / total**2
        d2_v = np.where(asked, w2 / total - v * w2 * b * b / total**2, (1 - b) ** 2)
        d2_b = np.where(asked, -v * w2 * 2 * b * v / total**2, -2 * (1 - b) * v)
        d2_w2 = np.where(asked, v / total - v * w2 / total**2, 1.0)
        total_ = asked * 0.5 * (1 / total - left**2 / total**2)
        dc_premium = np.where(asked, -b * v / total, -1.0)
        by_w2 = total_.sum() - (du * left * gain_w2 + dd * d2_w2).sum()
        by_v = total_ * b * b - (du * left * gain_v + dd * d2_v)
        by_premium = -(du * dc_premium).sum() - (asked * left / total).sum()
        by_b = -(du * left * gain_b + dd * d2_b).sum() + (total_ * 2 * b * v).sum()
        return np.array([by_premium, by_b, by_w2 * 2 * w2, (by_v * 2 * rho2 * own).sum()])


@frozen
class LearnedDays:
    """Posterior of everything: mode, and of eta its law. scales: (4,); coefficients: (p,)."""

    scales: Array
    eta_mean: float
    eta_sd: float
    eta_points: Array
    eta_weights: Array
    coefficients: Array
    covariance: Array
    with_eta: Array
    shape: float
    premium: float
    seen: float
    whim: float
    share: float
    by_type: Array


def learn(listings: Listings, X: Array, n_families: int, n_types: int) -> LearnedDays:
    """Mode by L-BFGS, curvature by differences, scales from both, eta by its profile."""
    scales, p = np.array(saletime.SCALES), X.shape[1]
    kinds = X[:, 1 + n_families : 1 + n_families + n_types]
    by_type = premiums(listings, kinds)

    def likely(scales: Array) -> Likelihood:
        sd = saletime.prior_sd(scales, n_families, n_types)
        return Likelihood(listings, X, sd, more_premium=kinds @ by_type)

    likelihood = likely(scales)
    phi = maximise(likelihood, likelihood.center)
    hessian = curvature(likelihood, phi)
    if listings.n:
        off = phi - likelihood.center
        scales = _learned_scales(off, hessian, likelihood.precision, n_families, n_types)
        likelihood = likely(scales)
        phi = maximise(likelihood, phi)
        hessian = curvature(likelihood, phi)
    inverse = _inverse(hessian)
    keep = np.arange(len(phi)) != p
    rest = _inverse(hessian[np.ix_(keep, keep)])  # covariance at a given eta
    slope = -rest @ hessian[keep, p]  # how the rest follows eta
    grid, log_density = _profile(likelihood, phi, float(np.sqrt(inverse[p, p])), keep, slope, rest)
    mean, sd, points, weights = eta_law(grid, log_density)
    along = slope[:p].copy()
    along[0] += USUAL_PREMIUM  # back to the level at the estimate
    level = phi[:p].copy()
    level[0] += USUAL_PREMIUM * (phi[p] - likelihood.center[p])
    covariance = rest[:p, :p] + np.outer(along, along) * sd**2
    return LearnedDays(
        scales,
        mean,
        sd,
        points,
        weights,
        coefficients=level + along * (mean - phi[p]),
        covariance=(covariance + covariance.T) / 2,
        with_eta=along * sd**2,
        shape=float(np.exp(phi[p + 1])),
        premium=float(phi[p + 2]),
        seen=float(phi[p + 3]),
        whim=float(np.exp(phi[p + 4])),
        share=float(np.exp(phi[p + 5])),
        by_type=by_type,
    )


def story_of(listings: Listings, X: Array, kinds: Array, found: LearnedDays) -> callers_fit.Story:
    """What has been learned of each listing under the power law: its rate, and its quality."""
    premium = found.premium + kinds @ found.by_type
    usual_clock = np.log(np.log(2) / WEEK) - listings.base
    variance = found.share**2 * listings.own + listings.spread
    total = found.seen**2 * variance + found.whim**2
    gain = found.seen * variance / total
    first = np.where(np.isfinite(listings.first), listings.first, premium)
    return callers_fit.Story(
        listings.base + X @ found.coefficients + (1 - found.shape) * usual_clock,
        found.eta_mean,
        found.shape,
        gain * (first - premium),
        np.sqrt(np.maximum(variance * found.whim**2 / total, LEAST_D2)),
    )


def premiums(listings: Listings, kinds: Array) -> Array:
    """ln(first ask / estimate) by type, pulled to 0: sum w (r - mean) / (sum w + 1 / .08^2)."""
    asked = np.isfinite(listings.first)
    variance = np.exp(2 * REST_MEAN[4]) * listings.own + listings.spread
    weight = asked / (variance + np.exp(2 * REST_MEAN[3]))
    first = np.where(asked, np.nan_to_num(listings.first), 0.0)
    beside = first - float(weight @ first) / max(float(weight.sum()), 1e-9)
    return np.asarray(kinds.T @ (weight * beside) / (kinds.T @ weight + PREMIUM_TYPE_SD**-2.0))


def _learned_scales(
    away: Array, hessian: Array, precision: Array, n_families: int, n_types: int
) -> Array:
    """sd of families, types and season by expectation-maximisation with a pull to the starting
    ones, on the quadratic at the mode:

    D_g <- (sum of b^2 + trace of their covariance + nu sd_g^2) / (number of coefficients + nu)
        (Dempster, Laird & Rubin 1977)

    away: the mode beside the prior means, (P,); precision: the prior's there, (P,).
    """
    start, scales = np.array(saletime.SCALES), np.array(saletime.SCALES)
    group = np.repeat(np.arange(4), [1, n_families, n_types, 2 * n_families])
    p = len(group)
    flat, pull = hessian - np.diag(precision), hessian @ away
    for _ in range(SCALE_ROUNDS):
        covariance = _inverse(flat + np.diag(np.append(scales[group] ** -2.0, precision[p:])))
        b = covariance @ pull
        for g in range(1, 4):
            here = np.flatnonzero(group == g)
            if len(here):
                total = b[here] @ b[here] + np.diag(covariance)[here].sum()
                learned = np.sqrt((total + SCALE_PULL * start[g] ** 2) / (len(here) + SCALE_PULL))
                scales[g] = np.clip(learned, start[g] / MOST_SCALE, start[g] * MOST_SCALE)
    return scales


def maximise(likelihood: Likelihood, start: Array) -> Array:
    """The most likely phi, eta within its bounds."""
    p = likelihood.p
    bounds = [(-12.0, 12.0)] * p + [(LOWEST_ETA, HIGHEST_ETA)]
    bounds += [(-0.7, 0.7), (-1.0, 1.5), (-0.5, 2.0), (-5.0, 0.5), (-1.2, 0.7)]
    # Steps of about one sd
    scale = np.where(likelihood.precision > 0, likelihood.precision, 1.0) ** -0.5
    limits = [(low / s, high / s) for (low, high), s in zip(bounds, scale.tolist(), strict=True)]

    def scaled(x: Array) -> tuple[float, Array]:
        value, gradient = likelihood(x * scale)
        return value, gradient * scale

    found = minimize(
        scaled,
        start / scale,
        jac=True,
        method="L-BFGS-B",
        bounds=limits,
        options={"maxiter": 300, "ftol": 1e-9, "gtol": 1e-4},
    )
    return np.asarray(found.x * scale)


def curvature(likelihood: Likelihood, phi: Array) -> Array:
    """Second derivatives by central differences of the gradient, symmetric, (P, P), never less
    than the prior's.

    The likelihood is not concave everywhere: at the mode its own part may bend upwards along some
    direction (few listings, all at one ask). Taken at its word that would leave less known than
    before any listing. Directions in which the listings bend the wrong way count as silent: with
    D the prior precision and D^-1/2 (H - D) D^-1/2 = V diag(l) V', H becomes
    D^1/2 (I + V diag(max(l, 0)) V') D^1/2, so that no covariance exceeds the prior's.
    """
    out = np.empty((len(phi), len(phi)))
    for i in range(len(phi)):
        step = np.zeros(len(phi))
        step[i] = 1e-4
        out[i] = (likelihood(phi + step)[1] - likelihood(phi - step)[1]) / 2e-4
    root = np.sqrt(likelihood.precision)
    told, axes = np.linalg.eigh((out + out.T) / (2 * np.outer(root, root)) - np.eye(len(phi)))
    return np.outer(root, root) * (np.eye(len(phi)) + (axes * np.maximum(told, 0.0)) @ axes.T)


def _inverse(hessian: Array) -> Array:
    """Inverse of a positive definite matrix by its eigenvectors."""
    values, vectors = np.linalg.eigh(hessian)
    return np.asarray((vectors / np.maximum(values, 1e-6)) @ vectors.T)


def _profile(
    likelihood: Likelihood, phi: Array, sd: float, keep: Array, slope: Array, rest: Array
) -> tuple[Array, Array]:
    """ln density of eta (up to a constant) on a grid, the rest at its best by Newton steps."""
    p = likelihood.p
    middle, far = float(phi[p]), 3.5 * sd
    low, high = max(LOWEST_ETA, middle - far), min(HIGHEST_ETA, middle + far)
    grid = np.linspace(low, high, 9)
    values = []
    for eta in grid.tolist():
        at = phi.copy()
        at[p] = eta
        at[keep] += slope * (eta - phi[p])
        value, gradient = likelihood(at)
        for _ in range(3):
            step = at.copy()
            step[keep] -= rest @ gradient[keep]
            found, turned = likelihood(step)
            if not found < value - 1e-6:
                break
            at, value, gradient = step, found, turned
        values.append(-value)
    return grid, np.array(values)


def eta_law(grid: Array, log_density: Array) -> tuple[float, float, Array, Array]:
    """Mean, sd, and seven points with weights of the law whose ln density stands on a grid."""
    fine = np.linspace(grid[0], grid[-1], 801)
    density = np.exp(np.minimum(CubicSpline(grid, log_density - log_density.max())(fine), 5.0))
    density /= density.sum()
    z, weights = np.polynomial.hermite_e.hermegauss(N_ETA)
    cumulative = np.cumsum(density) - density / 2
    points = np.interp(ndtr(z), cumulative, fine)
    weights = weights / weights.sum()
    mean = float(density @ fine)
    # Never certain: answers divide by it
    sd = max(float(np.sqrt(density @ (fine - mean) ** 2)), 0.01)
    return mean, sd, points, weights
