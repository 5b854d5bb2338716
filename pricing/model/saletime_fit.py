"""Learn from listings how long units wait: sold ones, and those still waiting, with all their asks.

One listing i has asks a_j from day t_j, the first at ln(a_1 / estimate) = r_1, and an unseen quality q (see `saletime`):

    q ~ N(0, v_i)                                                 v_i: the price model's own law, the unit itself left out
    r_1 = premium + b q + whim,   whim ~ N(0, w^2)                the seller sees q and puts it in the ask
    H = exp(theta_i + eta q) sum_j (tau(t_j+1) - tau(t_j)) exp(-eta r_j)
    log likelihood = [sold] (theta_i + eta q - eta r_last + ln tau'(t)) - H

q given r_1 is normal, and the rest is integrated over it by Gauss-Hermite points. All of theta, eta, shape, premium, b, w and the
seen share are found together (mode, and curvature there); eta by its profile on a grid, since its law need not be normal.
Leaving q out makes eta far too small: who sees a better unit asks more, and it sells no slower.
Sources: Prentice & Gloeckler (1978), Biometrics 34(1) for asks that change over time; Lancaster (1990), The Econometric Analysis of
Transition Data, for integrating out what is not seen; Tierney & Kadane (1986), J. Am. Stat. Assoc. 81(393) for the curvature.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.optimize import minimize
from scipy.stats import norm

from pricing.model import price as price_of
from pricing.model import saletime, student
from pricing.model.price import PriceModel
from pricing.model.saletime import HIGHEST_ETA, LOWEST_ETA, N_ETA, WEEK, SaleTimeModel
from pricing.records import assumed, dated
from pricing.records.assumed import ELASTICITY_MEAN, ELASTICITY_SD
from pricing.records.settings import Settings
from pricing.records.units import Units
from pricing.records.words import family_of

AS_IS = ("as-is", "as is", "not repaired", "not fixed", "unrepaired")
MOST, MOST_TYPES, MOST_ASKS = 5_000, 60, 40
ABSURD = 1.5  # an ask further than this from the estimate in ln, beyond four sd, is a slip and not an ask
# The rest of a listing's story beside theta and eta: ln shape, premium, b, ln w, ln seen share; mean and sd before any listing.
# Own judgement; shape near 1 is common to the trade's way of listing, .12 over the estimate leaves room for haggling and a drop.
REST_MEAN = np.array([0.0, 0.12, 0.9, np.log(0.08), np.log(0.9)])
REST_SD = np.array([0.10, 0.10, 0.15, 0.40, 0.15])
SCALE_PULL, SCALE_ROUNDS = 4.0, 12  # the starting sd of families, types and season counts as so many of them
_Z, _W = np.polynomial.hermite_e.hermegauss(9)
_LOG_W = np.log(_W / _W.sum())


@dataclass(frozen=True)
class Listings:
    """n listings. names, families: (n,) words; listed: day, (n,); base: starting ln rate, (n,); sold: (n,) bool; days: waited, (n,);
    first: ln(first ask / estimate), NaN unknown, (n,); last: of the ask it ended at, (n,); begin, end: of each ask in days on the
    market, (n, J), equal where there is none; ratio: ln(ask / estimate), (n, J); own, spread: variance of q, what is the unit's own and
    what is not known of the estimate, (n,); drops: price cuts while listed, (n,)."""

    names: list[str]
    families: list[str]
    listed: np.ndarray
    base: np.ndarray
    sold: np.ndarray
    days: np.ndarray
    first: np.ndarray
    last: np.ndarray
    begin: np.ndarray
    end: np.ndarray
    ratio: np.ndarray
    own: np.ndarray
    spread: np.ndarray
    drops: np.ndarray

    @property
    def n(self) -> int:
        return len(self.days)


def fit_saletime(units: Units, price_model: PriceModel, settings: Settings, as_of: date) -> SaleTimeModel:
    """The sale-time model of the units listed by `as_of`; of none, the starting figures. Beyond 5,000 listings it learns from a sample."""
    rows, counts = _rows(units, as_of)
    listings = read_listings(units.take(rows), price_model, settings, as_of)
    table = assumed.assumed_types(settings)
    types = tuple(sorted(name for name, _ in sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))[:MOST_TYPES]))
    family_of_type = {name: family_of(name, settings) for name in {*table, *counts}}
    families = tuple(sorted({family_of_type[name] for name in counts}))
    X = saletime.design(families, types, listings.names, listings.families, listings.listed)
    found = learn(listings, X, len(families), len(types))
    log_rates = {name: saletime.usual_log_rate(row.days, found.shape) for name, row in table.items()}
    log_rates |= {name: saletime.usual_log_rate(assumed.GENERIC_TYPE.days, found.shape) for name in ("", *counts) if name not in log_rates}
    return SaleTimeModel(
        eta_mean=found.eta_mean,
        eta_sd=found.eta_sd,
        eta_points=found.eta_points,
        eta_weights=found.eta_weights,
        shape=found.shape,
        n_drops=int(listings.drops.sum()),
        n_listings=int(np.isfinite(listings.first).sum()),
        premium_mean=found.premium,
        premium_sd=found.whim,
        premium_seen=found.seen,
        seen_share=found.share,
        types=types,
        families=families,
        family_of_type=dict(sorted(family_of_type.items())),
        log_rates=dict(sorted(log_rates.items())),
        scales=found.scales,
        coefficients=found.coefficients,
        covariance=found.covariance,
        with_eta=found.with_eta,
        n_type=dict(sorted(counts.items())),
        **_haggling(units, price_model, as_of),
    )


# ---- reading -------------------------------------------------------------------------------------------------------------


def _rows(units: Units, as_of: date) -> tuple[np.ndarray, dict[str, int]]:
    """Listings to learn from, in order of what they are and not of where they stand, and how many there are of each type."""
    end = float(as_of.toordinal())
    listed, sold = units.number("listed"), units.number("sold")
    outcome = units.word("outcome").lookup(("sold", "listed", "returned"))
    repair = units.word("repair")
    as_is = np.array([*(any(word in level for word in AS_IS) for level in repair.levels), False], dtype=bool)[repair.codes]
    done = (outcome == 0) | (outcome == 2) | ((outcome < 0) & (units.word("outcome").codes < 0) & np.isfinite(sold))
    with np.errstate(invalid="ignore"):
        known = np.isfinite(listed) & (listed <= end) & ~as_is & ((done & (sold >= listed)) | (outcome == 1))
    rows = np.flatnonzero(known)
    names = units.word("type").take(rows).texts()
    counts = Counter(name for name in names if name)
    if len(rows) > MOST:
        each = max(MOST // max(2 * len(counts), 1), 1)
        order = np.random.default_rng(0).permutation(len(rows))
        place: Counter[str] = Counter()
        first, other = [], []
        for i in order.tolist():
            place[names[i]] += 1
            (first if place[names[i]] <= each else other).append(i)
        rows = np.sort(rows[np.array((first + other)[:MOST])])
    return rows, dict(counts)


def read_listings(units: Units, price_model: PriceModel, settings: Settings, as_of: date) -> Listings:
    """The listings of units that were listed by `as_of`, beside the price model's estimate of each without itself."""
    as_of_day = float(as_of.toordinal())
    listed, sold_day = units.number("listed"), units.number("sold")
    sold = np.isfinite(sold_day) & (sold_day <= as_of_day)
    end = np.where(sold, sold_day, as_of_day)
    days = np.maximum(end - listed, 0.0)
    waited = np.where(sold, np.maximum(days - 0.5, 0.25), days)  # sold some time during that day
    center, own, spread = estimates(units, price_model, listed)
    begin, finish, ratio, first, last, drops = _asks(units, listed, listed + waited, center, np.sqrt(own + spread))
    names = units.word("type").texts()
    table = assumed.assumed_types(settings)
    base = np.array([saletime.usual_log_rate(table.get(name, assumed.GENERIC_TYPE).days) for name in names])
    families = [family_of(name, settings) if name else "" for name in names]
    return Listings(names, families, listed, base, sold, waited, first, last, begin, finish, ratio, own, spread, drops)


def estimates(units: Units, price_model: PriceModel, day: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """ln estimate of each unit with its own sale left out, variance of its own, and of the estimate, (n,) each.

    Left out as in `price_fit.left_out`: the estimate moves by -r h / (1 - h), h = w z'S z / s^2.
    """
    if not units.n:
        return np.zeros(0), np.zeros(0), np.zeros(0)
    law = price_of.law(price_model, units, day)
    paid = units.number("price")
    learned = np.isfinite(units.number("sold")) & (paid > 0)
    residual = np.where(learned, np.log(np.where(learned, paid, 1.0)) - law.center, 0.0)
    known = law.spread**2
    weight = student.weights(residual**2 + known, law.scale**2, price_model.nu)
    h = np.where(learned & (price_model.n > 0), np.clip(weight * known / law.scale**2, 0.0, 0.9), 0.0)
    return law.center - residual * h / (1 - h), law.scale**2 * saletime.own_factor(price_model.nu), known / (1 - h)


def _asks(units: Units, start: np.ndarray, end: np.ndarray, center: np.ndarray, sd: np.ndarray) -> tuple[np.ndarray, ...]:
    """begin, end and ratio of each ask, (n, J); first and last ratio, and number of cuts, (n,)."""
    texts = units.word("asked").texts()
    n = units.n
    first, last, drops = np.full(n, np.nan), np.full(n, np.nan), np.zeros(n, dtype=int)
    held: list[list[tuple[float, float]]] = []
    for i, text in enumerate(texts):
        steps = dated.steps(text, float(start[i]), float(end[i])) if text else []
        limit = ABSURD + 4 * sd[i]
        pairs = [(day - start[i], r) for day, ask in steps if abs(r := float(np.log(ask)) - center[i]) <= limit]
        if pairs and pairs[0][0] > 0:
            pairs[0] = (0.0, pairs[0][1])
        if len(pairs) > MOST_ASKS:
            pairs = [*pairs[: MOST_ASKS - 1], pairs[-1]]
        if pairs:
            first[i], last[i] = pairs[0][1], pairs[-1][1]
            drops[i] = sum(1 for (_, before), (_, after) in pairwise(pairs) if after < before - 0.01)
        held.append(pairs or [(0.0, np.nan)])
    J = max((len(pairs) for pairs in held), default=1)
    begin = np.repeat((end - start)[:, None], J, axis=1)
    ratio = np.full((n, J), np.nan)
    for i, pairs in enumerate(held):
        for j, (day, r) in enumerate(pairs):
            begin[i, j], ratio[i, j] = day, r
    finish = np.hstack([begin[:, 1:], (end - start)[:, None]])
    return begin, finish, ratio, first, last, drops


# ---- likelihood ----------------------------------------------------------------------------------------------------------


class Likelihood:
    """Minus log posterior of phi = (theta coefficients, eta, ln shape, premium, b, ln w, ln seen share) and its gradient.

    prior_sd: of the coefficients, inf for none; rest_mean, rest_sd, eta_mean, eta_sd: of the others. asks False leaves q and asks out.
    """

    def __init__(
        self,
        data: Listings,
        X: np.ndarray,
        prior_sd: np.ndarray,
        eta: tuple[float, float] = (ELASTICITY_MEAN, ELASTICITY_SD),
        rest_mean: np.ndarray = REST_MEAN,
        rest_sd: np.ndarray = REST_SD,
    ) -> None:
        self.data, self.X, self.p = data, X, X.shape[1]
        self.center = np.concatenate([np.zeros(self.p), [eta[0]], rest_mean])
        self.precision = np.concatenate([prior_sd, [eta[1]], rest_sd]) ** -2.0
        self.asked = np.isfinite(data.first)
        self.ratio = np.where(np.isfinite(data.ratio), data.ratio, 0.0)
        self.last = np.where(self.asked, data.last, 0.0)
        self.log_begin = np.log(np.maximum(data.begin, 1e-9) / WEEK)
        self.log_end = np.log(np.maximum(data.end, 1e-9) / WEEK)
        self.log_days = np.log(np.maximum(data.days, 1e-9) / WEEK)
        self.event = data.sold.astype(float)
        self.usual_clock = np.log(np.log(2) / WEEK) - data.base  # ln(usual days / 7): half are sold by then whatever the shape

    def __call__(self, phi: np.ndarray) -> tuple[float, np.ndarray]:
        data, p = self.data, self.p
        eta, shape = phi[p], np.exp(phi[p + 1])
        premium, b, w2, rho2 = phi[p + 2], phi[p + 3], np.exp(2 * phi[p + 4]), np.exp(2 * phi[p + 5])
        away = phi - self.center
        value, gradient = 0.5 * float(self.precision @ away**2), self.precision * away
        if not data.n:
            return value, gradient
        theta = data.base + self.X @ phi[:p] + (1 - shape) * self.usual_clock
        # q given the first ask: N(c, d^2); without an ask the whim stands in its place (ask - q = premium - (1 - b) q + whim)
        v = rho2 * data.own + data.spread
        total = b * b * v + w2
        left = np.where(self.asked, np.nan_to_num(data.first) - premium, 0.0)
        gain = b * v / total
        asked = self.asked
        c = np.where(asked, gain * left, -premium)
        d2 = np.where(asked, v * w2 / total, w2 + (1 - b) ** 2 * v)
        d = np.sqrt(d2)
        u = c[:, None] + d[:, None] * _Z
        clock_begin, clock_end = WEEK * np.exp(shape * self.log_begin), WEEK * np.exp(shape * self.log_end)
        pull = np.exp(-eta * self.ratio)
        span = (clock_end - clock_begin) * pull
        E = np.maximum(span.sum(1), 1e-300)
        slow = (span * self.ratio).sum(1)
        stretch = ((clock_end * self.log_end - clock_begin * self.log_begin) * pull).sum(1) * shape
        base = theta[:, None] + eta * u
        H = np.exp(np.minimum(base, 60.0)) * E[:, None]
        event = self.event[:, None]
        log_l = event * (base - (eta * self.last)[:, None] + (phi[p + 1] + (shape - 1) * self.log_days)[:, None]) - H
        log_t = log_l + _LOG_W
        top = log_t.max(1, keepdims=True)
        share = np.exp(log_t - top)
        norm_ = share.sum(1, keepdims=True)
        share /= norm_
        value -= float((top + np.log(norm_)).sum())
        value += 0.5 * float((asked * (left**2 / total + np.log(total))).sum())
        dtheta = (share * (event - H)).sum(1)
        du = eta * (share * (event - H)).sum(1)
        duz = eta * (share * (event - H) * _Z).sum(1)
        deta = (share * ((event - H) * u)).sum(1) - self.event * self.last + (share * H).sum(1) * slow / E
        dshape = self.event * (1 + shape * self.log_days) - (share * H).sum(1) * stretch / E - shape * self.usual_clock * dtheta
        gradient[:p] -= self.X.T @ dtheta
        gradient[p] -= deta.sum()
        gradient[p + 1] -= dshape.sum()
        # through c and d, and the law of the first ask itself
        dd = duz / (2 * d)  # with respect to d2
        dc_premium = np.where(asked, -gain, -1.0)
        gain_v, gain_b, gain_w2 = b / total - b * v * b * b / total**2, v / total - b * v * 2 * b * v / total**2, -b * v / total**2
        d2_v = np.where(asked, w2 / total - v * w2 * b * b / total**2, (1 - b) ** 2)
        d2_b = np.where(asked, -v * w2 * 2 * b * v / total**2, -2 * (1 - b) * v)
        d2_w2 = np.where(asked, v / total - v * w2 / total**2, 1.0)
        total_ = asked * 0.5 * (1 / total - left**2 / total**2)
        gradient[p + 2] += -(du * dc_premium).sum() - (asked * left / total).sum()
        gradient[p + 3] += -(du * left * gain_b + dd * d2_b).sum() + (total_ * 2 * b * v).sum()
        gradient[p + 4] += (-(du * left * gain_w2 + dd * d2_w2).sum() + total_.sum()) * 2 * w2
        gradient[p + 5] += ((-(du * left * gain_v + dd * d2_v) + total_ * b * b) * 2 * rho2 * data.own).sum()
        return value, gradient


@dataclass(frozen=True)
class Learned:
    """Posterior of everything: mode of the rest, and of eta its law. scales: (4,); coefficients, with_eta: (p,); covariance: (p, p), eta's share included."""

    scales: np.ndarray
    eta_mean: float
    eta_sd: float
    eta_points: np.ndarray
    eta_weights: np.ndarray
    coefficients: np.ndarray
    covariance: np.ndarray
    with_eta: np.ndarray
    shape: float
    premium: float
    seen: float
    whim: float
    share: float


def learn(listings: Listings, X: np.ndarray, n_families: int, n_types: int) -> Learned:
    """Mode by L-BFGS, curvature by differences of the gradient, scales of the blocks from both, eta by its profile."""
    scales = np.array(saletime.SCALES)
    p = X.shape[1]
    likelihood = Likelihood(listings, X, saletime.prior_sd(scales, n_families, n_types))
    phi = maximise(likelihood, likelihood.center)
    hessian = curvature(likelihood, phi)
    if listings.n:
        scales = _learned_scales(phi - likelihood.center, hessian, likelihood.precision, n_families, n_types)
        likelihood = Likelihood(listings, X, saletime.prior_sd(scales, n_families, n_types))
        phi = maximise(likelihood, phi)
        hessian = curvature(likelihood, phi)
    inverse = _inverse(hessian)
    keep = np.arange(len(phi)) != p
    rest = _inverse(hessian[np.ix_(keep, keep)])  # covariance at a given eta
    slope = -rest @ hessian[keep, p]  # how the rest follows eta
    grid, log_density = _profile(likelihood, phi, float(np.sqrt(inverse[p, p])), keep, slope, rest)
    mean, sd, points, weights = eta_law(grid, log_density)
    along = slope[:p]
    return Learned(
        scales,
        mean,
        sd,
        points,
        weights,
        phi[:p] + along * (mean - phi[p]),
        rest[:p, :p] + np.outer(along, along) * sd**2,
        along * sd**2,
        float(np.exp(phi[p + 1])),
        float(phi[p + 2]),
        float(phi[p + 3]),
        float(np.exp(phi[p + 4])),
        float(np.exp(phi[p + 5])),
    )


def _learned_scales(away: np.ndarray, hessian: np.ndarray, precision: np.ndarray, n_families: int, n_types: int) -> np.ndarray:
    """sd of families, types and season by expectation-maximisation with a pull to the starting ones, on the quadratic at the mode:

    D_g <- (sum of b^2 + trace of their covariance + nu sd_g^2) / (number of coefficients + nu)   (Dempster, Laird & Rubin 1977)

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
                scales[g] = np.sqrt((total + SCALE_PULL * start[g] ** 2) / (len(here) + SCALE_PULL))
    return scales


def maximise(likelihood: Likelihood, start: np.ndarray) -> np.ndarray:
    """The most likely phi, eta within its bounds."""
    p = likelihood.p
    bounds = [(-12.0, 12.0)] * p + [(LOWEST_ETA, HIGHEST_ETA)]
    bounds += [(-0.7, 0.7), (-1.0, 1.5), (-0.5, 2.0), (-5.0, 0.5), (-1.2, 0.7)]
    scale = np.where(likelihood.precision > 0, likelihood.precision, 1.0) ** -0.5  # steps of about one sd
    limits = [(low / s, high / s) for (low, high), s in zip(bounds, scale.tolist(), strict=True)]

    def scaled(x: np.ndarray) -> tuple[float, np.ndarray]:
        value, gradient = likelihood(x * scale)
        return value, gradient * scale

    return np.asarray(minimize(scaled, start / scale, jac=True, method="L-BFGS-B", bounds=limits, options={"maxiter": 300, "ftol": 1e-9, "gtol": 1e-4}).x) * scale


def curvature(likelihood: Likelihood, phi: np.ndarray) -> np.ndarray:
    """Second derivatives by central differences of the gradient, symmetric, (P, P)."""
    out = np.empty((len(phi), len(phi)))
    for i in range(len(phi)):
        step = np.zeros(len(phi))
        step[i] = 1e-4
        out[i] = (likelihood(phi + step)[1] - likelihood(phi - step)[1]) / 2e-4
    return (out + out.T) / 2


def _inverse(hessian: np.ndarray) -> np.ndarray:
    values, vectors = np.linalg.eigh(hessian)
    return (vectors / np.maximum(values, 1e-6)) @ vectors.T


def _profile(likelihood: Likelihood, phi: np.ndarray, sd: float, keep: np.ndarray, slope: np.ndarray, rest: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """ln density of eta (up to a constant) on a grid, the rest at its best for each: Newton steps with the curvature at the mode, rest its inverse."""
    p = likelihood.p
    low, high = max(LOWEST_ETA, phi[p] - 3.5 * sd), min(HIGHEST_ETA, phi[p] + 3.5 * sd)
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


def eta_law(grid: np.ndarray, log_density: np.ndarray) -> tuple[float, float, np.ndarray, np.ndarray]:
    """Mean, sd, and seven points with weights of the law whose ln density stands on a grid; points at Gauss-Hermite probabilities."""
    fine = np.linspace(grid[0], grid[-1], 801)
    density = np.exp(np.minimum(CubicSpline(grid, log_density - log_density.max())(fine), 5.0))
    density /= density.sum()
    z, weights = np.polynomial.hermite_e.hermegauss(N_ETA)
    cumulative = np.cumsum(density) - density / 2
    points = np.interp(norm.cdf(z), cumulative, fine)
    weights = weights / weights.sum()
    mean = float(density @ fine)
    sd = float(np.sqrt(density @ (fine - mean) ** 2))
    return mean, sd, points, weights


# ---- haggling ------------------------------------------------------------------------------------------------------------

FULL_WORTH, OFF_WORTH, TYPE_WORTH = 4.0, 4.0, 8.0  # the starting figures count as so many sales, all sales as so many of one type
OFF_SD, SD_WORTH = 0.06, 4.0
SLOPE, SLOPE_SD = 0.05, 0.10  # of the share off with ln(last ask / estimate). Own judgement.


def _haggling(units: Units, price_model: PriceModel, as_of: date) -> dict[str, object]:
    """Last ask against price of the sales: share at the full ask, share off otherwise, by type and pooled; and with the height of the ask."""
    end = float(as_of.toordinal())
    sold, listed, paid = units.number("sold"), units.number("listed"), units.number("price")
    with np.errstate(invalid="ignore"):
        rows = np.flatnonzero((paid > 0) & (units.word("asked").codes >= 0) & ~(sold > end) & (units.word("outcome").lookup(("sold",)) >= 0))
    sales = units.take(rows)
    sold, listed, paid = sold[rows], listed[rows], paid[rows]
    day = np.where(np.isfinite(sold), sold, np.where(np.isfinite(listed), listed, end))
    last = np.array([_last_ask(text, d) for text, d in zip(sales.word("asked").texts(), day, strict=True)]).reshape(len(rows))
    with np.errstate(invalid="ignore", divide="ignore"):
        off = 1 - paid / last
        fit = np.isfinite(off) & (off < 0.6) & (off > -0.25)
    sales, off, last, day = sales.take(fit), np.clip(off[fit], 0.0, None), last[fit], day[fit]
    full = off < 0.005
    names = sales.word("type").texts()
    types = tuple(sorted({name for name in names if name}))
    code = np.array([types.index(name) if name else len(types) for name in names], dtype=np.int64)
    H = len(types) + 1
    n, n_full = np.bincount(code, minlength=H).astype(float), np.bincount(code, weights=full, minlength=H)
    total = np.bincount(code, weights=off, minlength=H)
    all_full = (n_full.sum() + FULL_WORTH * assumed.HAGGLE_FULL_SHARE) / (n.sum() + FULL_WORTH)
    n_any = n - n_full
    all_off = (total.sum() + OFF_WORTH * assumed.HAGGLE_OFF_WHEN_ANY) / (n_any.sum() + OFF_WORTH)
    by_full = (n_full + TYPE_WORTH * all_full) / (n + TYPE_WORTH)
    by_off = (total + TYPE_WORTH * all_off) / (n_any + TYPE_WORTH)
    by_full[-1], by_off[-1] = all_full, all_off
    any_ = ~full
    square = float(((off - by_off[code])[any_] ** 2).sum()) if any_.any() else 0.0
    slope, at = SLOPE, 0.0
    if len(off) > 2:
        center, _, _ = estimates(sales, price_model, day)
        height = np.clip(np.log(last) - center, -1.0, 1.0)
        at = float(height.mean())
        x, y = height - at, off - off.mean()
        noise = float(np.var(off)) + 1e-4
        slope = float((x @ y / noise + SLOPE / SLOPE_SD**2) / (x @ x / noise + SLOPE_SD**-2))
    return {
        "haggle_types": types,
        "haggle_full": by_full,
        "haggle_off": by_off,
        "haggle_n": np.append(n[:-1], len(off)),
        "haggle_sd": float(np.sqrt((square + SD_WORTH * OFF_SD**2) / (int(any_.sum()) + SD_WORTH))),
        "haggle_slope": slope,
        "haggle_at": at,
    }


def _last_ask(text: str, day: float) -> float:
    """The ask in force on the day of the sale, NaN where none is."""
    known = [amount for when, amount in dated.entries(text) if not when > day and amount > 0]
    return known[-1] if known else np.nan
