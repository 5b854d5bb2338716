"""Fit the price model: sold units -> fitted numbers. Its steps: `encode_fit`, `rounds`, `sums`."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np

from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.model.fold import Fold, over
from pricing.model.price import (
    ads,
    ages,
    encode,
    encode_fit,
    layout,
    price,
    quantile_table,
    quantile_table_fit,
    ranges,
    rounds,
    sums,
)
from pricing.model.price.ads import Ads
from pricing.model.price.encode import Encoding, Rows
from pricing.model.price.price import PriceNumbers
from pricing.model.price.rounds import RoundsFound, Switches
from pricing.model.price.sums import Summed
from pricing.model.seen import Seen, look

LEVEL_UNTIL = 25  # sales after which the assumed price level says nothing any more
LIFT_FROM = 50  # sales from which means agree with the smearing factor


def fit_price(
    units: Units | Iterable[Units],
    settings: Settings,
    as_of: date,
    others: Ads = ads.NONE,
    **switches: bool | int | None,
) -> PriceNumbers:
    """The price model of the units sold by `as_of`; with no sale at all, the starting figures.
    units: one table, or blocks of one that can be gone through again (a list); switches: the fields
    of `rounds.Switches`; others: ads of others. Nothing is refused below any number of sales."""
    fold = over(units)
    return fit_seen(look(fold, settings, as_of), fold, settings, as_of, others, **switches)[0]


def fit_seen(
    seen: Seen,
    fold: Fold,
    settings: Settings,
    as_of: date,
    others: Ads = ads.NONE,
    **switches: bool | int | None,
) -> tuple[PriceNumbers, Summed | None]:
    """The same where the first pass was made already; further passes only beyond the sample. Beside
    the model what the last of them summed, None where the sample holds every sale."""
    options = Switches(**switches)  # type: ignore[arg-type]
    # beyond the sample own sales are so many that asks of others add nothing
    told = ads.known_by(others, as_of) if seen.n == seen.sample.n else ads.NONE
    everyone = ads.seen_with(seen, told, settings, as_of)
    uses = {"use_assumed": options.assumed, "interactions": options.interactions}
    learned = encode_fit.learn(everyone, settings, as_of, **uses)
    encoding = _with_level(learned, seen.n, told.n, options)
    rows = encode.read(encoding, seen.sample, seen.sample_days)
    log_price = np.log(seen.sample.number("price"))
    over: dict[str, Any] = {}
    if told.n:
        fitted, level = _beside_asks(encoding, seen, log_price, told, options)
        over = {"ads": ads.by_type(told), "over": level}
    else:
        fitted = rounds.fit_rows(encoding, rows, log_price, options)
    summed = None
    if seen.n > seen.sample.n:
        fitted, summed = sums.refine(fold, as_of, encoding, fitted, options)
        fitted = rounds.reweighted(encoding, rows, log_price, fitted)
    return replace(_finish(encoding, rows, log_price, fitted, seen), **over), summed


def brought_up(model: PriceNumbers, summed: Summed, seen: Seen) -> PriceNumbers:
    """The model at other sums: coefficients, covariance and counts are theirs; scales, ranges and
    lift stay as learned. seen: sales by type and ages count."""
    found = sums.solved(summed, model.encoding, model.scales, model.error)
    whole, unit = price.rounded(_triangle(found.covariance))
    return replace(model, mean=found.mean, whole=whole, unit=unit, **_counts(model.encoding, seen))


def _counts(encoding: Encoding, seen: Seen) -> dict[str, Any]:
    """What is counted of sales and ages, by its name in `PriceNumbers`."""
    types = dict(sorted(seen.words.get("type", {}).items()))
    families: Counter[str] = Counter()
    for name, count in types.items():
        families[encoding.types[name].family] += count
    usual = _usual_ages(seen)
    return {"n": seen.n, "types": types, "families": dict(families), "usual_age": usual}


def _beside_asks(
    encoding: Encoding, seen: Seen, log_price: np.ndarray, told: Ads, options: Switches
) -> tuple[RoundsFound, float]:
    """The fit of own sales and asks together, less the asks; ln of how far these stand above."""
    wide, rows, over = ads.widened(encoding, seen.sample, seen.sample_days, told)
    both = np.concatenate([log_price, np.log(told.units.number("price"))]) - over
    whole = rounds.fit_rows(wide, rows, both, options, told.n)
    n, p, G = len(log_price), encoding.n_columns, len(encoding.blocks)
    kept = replace(
        whole,
        mean=whole.mean[:p],
        covariance=whole.covariance[:p, :p],
        scales=whole.scales[:G],
        weights=whole.weights[:n],
        own=whole.own[:n],
        blank=whole.blank[:n],
    )
    return kept, float(ads.OVER + whole.mean[p])


def _with_level(encoding: Encoding, n: int, asks: int, options: Switches) -> Encoding:
    """The assumed price level fades out over the first sales: precision (1 - n / 25) / .30^2."""
    first = encoding.blocks[0]
    many = n >= (LEVEL_UNTIL if options.assumed else 1)
    flat = many if options.level_flat is None else options.level_flat
    scale = (
        first.scale / np.sqrt(max(1 - (n + ads.WORTH * asks) / LEVEL_UNTIL, 0.04))
        if options.assumed
        else first.scale
    )
    scale = np.inf if flat and n else scale
    return replace(encoding, blocks=(replace(first, scale=float(scale)), *encoding.blocks[1:]))


def _finish(
    encoding: Encoding, rows: Rows, log_price: np.ndarray, fitted: RoundsFound, seen: Seen
) -> PriceNumbers:
    """Collapse the fit into the record that answers: triangle, quantiles, ranges, lift, counts."""
    first = encoding.blocks[0]
    if not np.isfinite(first.scale):
        labelled = layout.LEVEL_SD if encoding.other.family else layout.LOOSE_SD
        encoding = replace(encoding, blocks=(replace(first, scale=labelled), *encoding.blocks[1:]))
    whole, unit = price.rounded(_triangle(fitted.covariance))
    table = quantile_table_fit.make(fitted.nu)
    scales = zip(encoding.blocks, fitted.scales.tolist(), strict=True)
    walk = next((s for block, s in scales if block.name == "level over time"), 0.015)
    factors, lift = _corrections(rows, log_price, fitted, table)
    return PriceNumbers(
        encoding,
        fitted.mean,
        whole,
        unit,
        fitted.scales,
        fitted.error,
        fitted.gamma,
        walk,
        table,
        ranges=factors,
        lift=lift,
        **_counts(encoding, seen),
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
    half = np.asarray(np.linalg.qr((vectors * np.sqrt(np.maximum(values, 1e-12))).T, mode="r"))
    return half.T * root[:, None]


LIFT_SD = 0.03  # how far the mean of sales may stray from the law's; own judgement


def _corrections(
    rows: Rows, log_price: np.ndarray, fitted: RoundsFound, table: quantile_table.QuantileTable
) -> tuple[ranges.RangeFactors, float]:
    """Range factors and lift from the left-out residuals of sales of a known kind: one that may be
    a cheap or a dear kind lies about one sd off, seldom two, and would narrow every range."""
    told = np.ones(len(log_price), dtype=bool)
    told[[] if rows.apart is None else rows.apart.owner] = False
    n = int(told.sum())
    if n < 2:
        return ranges.NO_FACTORS, 1.0
    residual, open_ = (one[told] for one in rounds.left_out(rows, log_price, fitted))
    mine = (fitted.own - fitted.blank)[told]
    total = np.sqrt(mine + open_)
    share = float(np.median(open_ / total**2))
    z = residual / total
    factors = ranges.factors(-z[z < 0], z[z >= 0], table, share)
    if n < LIFT_FROM:
        return factors, 1.0
    low, high = quantile_table.quantile(table, open_ / total**2, np.array(price.CUT)).T
    residual = np.clip(residual, total * low, total * high)
    # 1 - h: a sale that made its own coefficient says little about the others
    weight = mine / (mine + open_)
    smear = price.smearing(residual, weight)
    q = quantile_table.quantile(table, open_ / total**2, price.MIDPOINTS)
    law_mean = float(np.average(np.exp(total[:, None] * q).mean(1), weights=weight))
    # the mean of so few exponentials is noisy: ln lift is pulled to 0 as a N(0, LIFT_SD^2) would
    # pull it
    noise = float(np.exp(residual).std()) / smear / np.sqrt(n)
    lift = np.log(smear / law_mean) * LIFT_SD**2 / (LIFT_SD**2 + noise**2)
    return factors, float(np.clip(np.exp(lift), 0.8, 1.25))


def _usual_ages(seen: Seen) -> dict[str, float]:
    """Mean known age of the units of each type: what "a year older than usual" starts from."""
    table = seen.ages
    if table is None:
        return {}
    out = {}
    for name in sorted({name for name in table.types if name}):
        counts = table.counts[[t == name for t in table.types]].sum(0)
        out[name] = round(float(counts @ ages.GRID / counts.sum()), 1)
    return out
