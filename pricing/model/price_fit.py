"""Fit the price model: sold units -> fitted numbers.

Rounds alternate: the scales of the blocks by marginal likelihood (`mixed`), the weights of t errors and their degrees of freedom
(`student`), the spread model (`spread`), and what blank ages leave open. With few sales the answers are averaged over draws of the scales.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from pricing.model import encode, encode_fit, mixed, price, quantile_table, quantile_table_fit, ranges, spread, student
from pricing.model.encode import Encoding, Rows
from pricing.model.price import PriceModel
from pricing.records.settings import Settings
from pricing.records.units import Units

ERROR_SCALE, ERROR_TAU, LOOSE_ERROR_TAU = 0.19, 0.4, 1.0  # t scale of a sale's own error, and the sd of its ln: own judgement
FINE_TAU, FINE_SHARED = 0.7, 0.5  # interactions and bends are large or small together: their ln scales share a part with this sd
ROUNDS, DRAWS, DRAWS_UNTIL = 4, 30, 250
LEVEL_UNTIL = 25  # sales after which the assumed price level says nothing any more


@dataclass(frozen=True)
class Switches:
    """What a fit does; all on by default. pool False keeps every scale at its labelled value; flat: the level is not shrunk at all."""

    assumed: bool = True
    interactions: bool = True
    pool: bool = True
    student: bool = True
    spread: bool = True
    draws: int = DRAWS
    level_flat: bool | None = None


def fit_price(batches: Units | Iterable[Units], settings: Settings, as_of: date, **switches: bool | int | None) -> PriceModel:
    """The price model of the units sold by `as_of`. batches: one table, or blocks of one that can be gone through again.

    With no sale at all the answer is the starting figures. Nothing is refused below any number of sales. Not changed: the units given.
    """
    options = Switches(**switches)  # type: ignore[arg-type]
    blocks = [batches] if isinstance(batches, Units) else batches
    encoding, seen = encode_fit.learn(blocks, settings, as_of, use_assumed=options.assumed, interactions=options.interactions)
    units, days = _gather(blocks, as_of)
    encoding = _with_level(encoding, seen.n, options)
    rows = encode.read(encoding, units, days)
    log_price = np.log(units.number("price"))
    fitted = fit_rows(encoding, rows, log_price, options)
    return _finish(encoding, units, rows, log_price, fitted, seen)


def _gather(blocks: Iterable[Units], as_of: date) -> tuple[Units, np.ndarray]:
    """All sales in one table, in an order that depends on what they say only."""
    parts = list(encode_fit.sales(blocks, as_of))
    units = encode_fit.joined([part[0] for part in parts]) if parts else Units(0, {}, {})
    days = np.concatenate([part[1] for part in parts]) if parts else np.zeros(0)
    order = np.argsort(encode_fit.row_hashes(units), kind="stable")
    return units.take(order), days[order]


def _with_level(encoding: Encoding, n: int, options: Switches) -> Encoding:
    """The assumed price level fades out over the first sales: precision (1 - n / 25) / .30^2, then none."""
    first = encoding.blocks[0]
    flat = options.level_flat if options.level_flat is not None else n >= (LEVEL_UNTIL if options.assumed else 1)
    if flat:
        scale = np.inf
    else:
        scale = first.scale / np.sqrt(1 - n / LEVEL_UNTIL) if options.assumed and n < LEVEL_UNTIL else first.scale
    return replace(encoding, blocks=(replace(first, scale=float(scale)), *encoding.blocks[1:]))


def is_fine(name: str) -> bool:
    """Whether a block refines others: a product of two, a bend, the smooth surface."""
    return " x " in name or name.endswith(("bend", "bends", "hinges", "steps", "fine pattern"))


@dataclass(frozen=True)
class Fitted:
    """What the rounds found. covariance: S, (p, p); weights: of the t errors, (n,); own: squared t scale of each row, (n,)."""

    mean: np.ndarray
    covariance: np.ndarray
    scales: np.ndarray
    error: float
    gamma: np.ndarray
    nu: float
    weights: np.ndarray
    own: np.ndarray
    log_likelihood: float


def fit_rows(encoding: Encoding, rows: Rows, log_price: np.ndarray, options: Switches) -> Fitted:
    """Alternate scales, weights, degrees of freedom and spread over the rows of sold units. log_price: (n,)."""
    n, G = len(log_price), len(encoding.blocks)
    flat = not np.isfinite(encoding.blocks[0].scale)
    q = 1 if flat and n else 0
    X, Z = rows.columns[:, :q], rows.columns[:, q:]
    group = encoding.group[q:]
    scale = np.array([block.scale if np.isfinite(block.scale) else 1.0 for block in encoding.blocks])
    tau = np.array([block.tau for block in encoding.blocks]) if options.pool else np.zeros(G)
    if flat:
        tau[0] = 0.0
    if not n:
        own = np.zeros(0)
        variance = scale[encoding.group] ** 2
        return Fitted(np.zeros(len(variance)), np.diag(variance), scale, ERROR_SCALE, encoding.spread_mean.copy(), student.USUAL, own, own, 0.0)
    left = log_price - rows.offset
    theta = np.append(np.log(scale), np.log(ERROR_SCALE))
    nu = 8.0 if options.student else 1e6
    weights, gamma = np.ones(n), encoding.spread_mean.copy()
    age_open = encode.age_variance(encoding, rows, np.zeros(encoding.n_columns))
    fine = np.array([float(is_fine(block.name)) for block in encoding.blocks])
    tau = np.where(fine > 0, tau * FINE_TAU, tau)
    whole = tau**2 + fine * (tau > 0) * FINE_SHARED**2
    prior = mixed.Prior(scale * np.exp(-whole), tau, ERROR_SCALE, ERROR_TAU if options.assumed else LOOSE_ERROR_TAU, fine, FINE_SHARED)
    theta[:-1] = np.log(prior.scale)
    rounds = ROUNDS if options.student or options.spread else 1
    for turn in range(rounds):
        s2 = float(np.exp(2 * theta[-1]))
        shape = np.exp(2 * price.spread_of(rows, gamma)) + age_open / s2
        folded = mixed.fold(X, Z, left, weights / shape)
        likelihood = mixed.Likelihood(folded, group, prior)
        theta, value = mixed.maximise(likelihood, theta, 60 if turn == 0 else 25)
        found = mixed.posterior(folded, group, theta, value)
        s2 = float(np.exp(2 * theta[-1]))
        residual = left - rows.columns @ found.mean
        known = np.einsum("ij,jk,ik->i", rows.columns, found.covariance, rows.columns, optimize=True)
        if turn == rounds - 1:
            break
        age_open = encode.age_variance(encoding, rows, found.mean)
        square = residual**2 + known
        if options.spread:
            gamma = spread.fit(rows.spread, square, weights, s2, age_open, encoding.spread_mean, encoding.spread_sd, gamma)
        own = s2 * np.exp(2 * price.spread_of(rows, gamma)) + age_open
        if options.student:
            nu = student.degrees(residual, known, own, weights, nu)
            weights = student.weights(square, own, nu)
    own = s2 * np.exp(2 * price.spread_of(rows, gamma)) + age_open
    mean, covariance, scales, error = found.mean, found.covariance, found.scale, found.error
    if options.draws and 0 < n <= DRAWS_UNTIL and options.pool:
        mean, covariance, scales, error = _averaged(likelihood, folded, group, theta, value, options.draws)
    return Fitted(mean, covariance, scales, error, gamma, nu, weights, own, value)


def _averaged(likelihood: mixed.Likelihood, folded: mixed.Folded, group: np.ndarray, theta: np.ndarray, value: float, count: int) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
    """Mean and covariance of the mixture over draws of the scales; scales and error as root mean squares."""
    points, share = mixed.draws(likelihood, theta, value, count)
    found = [mixed.posterior(folded, group, point) for point in points]
    means = np.array([f.mean for f in found])
    mean = share @ means
    apart = means - mean
    covariance = (apart * share[:, None]).T @ apart
    for f, weight in zip(found, share, strict=True):
        covariance += weight * f.covariance
    scales = np.sqrt(share @ np.array([f.scale**2 for f in found]))
    return mean, covariance, scales, float(np.sqrt(share @ np.array([f.error**2 for f in found])))


def _finish(encoding: Encoding, units: Units, rows: Rows, log_price: np.ndarray, fitted: Fitted, seen: encode_fit.Seen) -> PriceModel:
    """Collapse the fit into the record that answers: triangle, quantile table, range factors, lift, counts."""
    first = encoding.blocks[0]
    if not np.isfinite(first.scale):
        labelled = encode_fit.LEVEL_SD if encoding.other.family else encode_fit.LOOSE_SD
        encoding = replace(encoding, blocks=(replace(first, scale=labelled), *encoding.blocks[1:]))
    whole, unit = price.rounded(_triangle(fitted.covariance))
    table = quantile_table_fit.make(fitted.nu)
    walk = next((float(s) for s, block in zip(fitted.scales, encoding.blocks, strict=True) if block.name == "level over time"), 0.015)
    factors, lift = _corrections(rows, log_price, fitted, table)
    families = encode.families(encoding, units)
    return PriceModel(
        encoding,
        fitted.mean,
        whole,
        unit,
        fitted.scales,
        fitted.error,
        fitted.gamma,
        walk,
        table,
        factors,
        lift,
        seen.n,
        _count(units.word("type").texts()),
        _count(families.texts()),
        _usual_ages(units),
    )


def _triangle(S: np.ndarray) -> np.ndarray:
    """Lower triangle L with L L' = S, a hair of the diagonal added where S is singular."""
    size = np.diag(S).copy()
    size[size <= 0] = 1.0
    root = np.sqrt(size)
    scaled = S / np.outer(root, root)
    for hair in (1e-12, 1e-9, 1e-6):
        try:
            return np.linalg.cholesky(scaled + hair * np.eye(len(S))) * root[:, None]
        except np.linalg.LinAlgError:
            continue
    values, vectors = np.linalg.eigh(scaled)
    return np.linalg.qr((vectors * np.sqrt(np.maximum(values, 1e-12))).T, mode="r").T * root[:, None]


LIFT_SD = 0.03  # how far the mean of sales may stray from the law's; own judgement


def _corrections(rows: Rows, log_price: np.ndarray, fitted: Fitted, table: quantile_table.QuantileTable) -> tuple[ranges.RangeFactors, float]:
    """Range factors and lift from the left-out residuals."""
    n = len(log_price)
    if n < 2:
        return ranges.NO_FACTORS, 1.0
    residual, open_ = left_out(rows, log_price, fitted)
    total = np.sqrt(fitted.own + open_)
    share = float(np.median(open_ / total**2))
    z = residual / total
    factors = ranges.factors(-z[z < 0], z[z >= 0], table, share)
    if n < 50:
        return factors, 1.0
    low, high = quantile_table.quantile(table, open_ / total**2, np.array(price.CUT)).T
    residual = np.clip(residual, total * low, total * high)
    weight = fitted.own / (fitted.own + open_)  # 1 - h: a sale that made its own coefficient says little about the others
    smear = price.smearing(residual, weight)
    q = quantile_table.quantile(table, open_ / total**2, price._MIDPOINTS)
    law_mean = float(np.average(np.exp(total[:, None] * q).mean(1), weights=weight))
    # the mean of so few exponentials is noisy: ln lift is pulled to 0 as a N(0, LIFT_SD^2) would pull it
    noise = float(np.exp(residual).std()) / smear / np.sqrt(n)
    lift = np.log(smear / law_mean) * LIFT_SD**2 / (LIFT_SD**2 + noise**2)
    return factors, float(np.clip(np.exp(lift), 0.8, 1.25))


def left_out(rows: Rows, log_price: np.ndarray, fitted: Fitted) -> tuple[np.ndarray, np.ndarray]:
    """Residual of each sale left out of the fit, e / (1 - h), and the variance of its estimate, (n,) each; h_i = w_i z_i'S z_i / s_i^2."""
    residual = log_price - rows.offset - rows.columns @ fitted.mean
    known = np.einsum("ij,jk,ik->i", rows.columns, fitted.covariance, rows.columns, optimize=True)
    h = np.clip(fitted.weights * known / fitted.own, 0.0, 0.98)
    return residual / (1 - h), known / (1 - h)


def _count(words: list[str]) -> dict[str, int]:
    names, counts = np.unique(np.array([word for word in words if word], dtype=object).astype(str), return_counts=True)
    return dict(zip(names.tolist(), counts.tolist(), strict=True))


def _usual_ages(units: Units) -> dict[str, float]:
    """Mean known age of the sales of each type, one decimal."""
    age, words = units.number("age"), units.word("type")
    known = np.isfinite(age) & (words.codes >= 0)
    out = {}
    for code in np.unique(words.codes[known]).tolist():
        out[words.levels[code]] = round(float(np.clip(age[known & (words.codes == code)], 0, 40).mean()), 1)
    return dict(sorted(out.items()))
