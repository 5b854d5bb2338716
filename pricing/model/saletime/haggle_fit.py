"""Learn what buyers talk down: the last ask of each sale against its price. numpy only.

share at the full ask   k_t + m k / n_t + m           pooled: type -> all -> starting figure, each
    worth so many sales
share off otherwise     the mean, pooled in the same way
with the height         off = off_t + slope (ln(last ask / estimate) - its mean in the type),
    slope ~ N(.05, .10^2)
"""

from datetime import date
from typing import Any

import numpy as np

from pricing.basis import assumed, dated
from pricing.basis.frozen import frozen
from pricing.basis.units import Units
from pricing.model.price.price import PriceNumbers
from pricing.model.saletime.listings import estimates
from pricing.model.seen import joined, row_hashes, slimmed

# The starting figures count as so many sales, all sales as so many of one type
FULL_WORTH, OFF_WORTH, TYPE_WORTH = (4.0, 4.0, 8.0)
MOST = 20_000  # sales learned from
OFF_SD, SD_WORTH = 0.06, 4.0
SLOPE, SLOPE_SD = 0.05, 0.10  # of the share off with ln(last ask / estimate). Own judgement.


@frozen
class KeptSales:
    """The sales with an ask; of more than MOST a fair sample, the smallest hashes. hashes: (k,)."""

    units: Units
    hashes: np.ndarray


def look_at(units: Units, as_of: date) -> KeptSales:
    """The sales with an ask of one block."""
    end = float(as_of.toordinal())
    sold, paid = units.number("sold"), units.number("price")
    with np.errstate(invalid="ignore"):
        rows = np.flatnonzero(
            (paid > 0)
            & (units.word("asked").codes >= 0)
            & ~(sold > end)
            & (units.word("outcome").lookup(("sold",)) >= 0)
        )
    found = units.take(rows)
    return _sampled(KeptSales(found, row_hashes(found)))


def added(a: KeptSales, b: KeptSales) -> KeptSales:
    """The sales with an ask of two blocks, `a` before `b`."""
    return _sampled(KeptSales(joined([a.units, b.units]), np.concatenate([a.hashes, b.hashes])))


def _sampled(kept: KeptSales) -> KeptSales:
    if kept.units.n <= MOST:
        return kept
    rows = np.sort(np.lexsort((kept.units.number("price"), kept.hashes))[:MOST])
    return KeptSales(slimmed(kept.units.take(rows)), kept.hashes[rows])


def fit_haggling(sales: Units, price_model: PriceNumbers, as_of: date) -> dict[str, Any]:
    """Last ask against price: share at the full ask, share off else, by type and by height."""
    end = float(as_of.toordinal())
    sold, listed, paid = sales.number("sold"), sales.number("listed"), sales.number("price")
    day = np.where(np.isfinite(sold), sold, np.where(np.isfinite(listed), listed, end))
    asked = zip(sales.word("asked").texts(), day, strict=True)
    last = np.array([_last_ask(text, d) for text, d in asked]).reshape(sales.n)
    with np.errstate(invalid="ignore", divide="ignore"):
        off = 1 - paid / last
        fit = np.isfinite(off) & (off < 0.6) & (off > -0.25)
    sales, off, last, day = sales.take(fit), np.clip(off[fit], 0.0, None), last[fit], day[fit]
    full = off < 0.005
    names = sales.word("type").texts()
    types = tuple(sorted({name for name in names if name}))
    code = np.array([types.index(name) if name else len(types) for name in names], dtype=np.int64)
    H = len(types) + 1
    n = np.bincount(code, minlength=H).astype(float)
    n_full = np.bincount(code, weights=full, minlength=H)
    total = np.bincount(code, weights=off, minlength=H)
    all_full = (n_full.sum() + FULL_WORTH * assumed.HAGGLE_FULL_SHARE) / (n.sum() + FULL_WORTH)
    n_any = n - n_full
    all_off = (total.sum() + OFF_WORTH * assumed.HAGGLE_OFF_WHEN_ANY) / (n_any.sum() + OFF_WORTH)
    by_full = (n_full + TYPE_WORTH * all_full) / (n + TYPE_WORTH)
    by_off = (total + TYPE_WORTH * all_off) / (n_any + TYPE_WORTH)
    by_full[-1], by_off[-1] = all_full, all_off
    any_ = ~full
    square = float(((off - by_off[code])[any_] ** 2).sum()) if any_.any() else 0.0
    center, _, _ = estimates(sales, price_model, day)
    height = np.clip(np.log(np.maximum(last, 1e-9)) - center, -1.0, 1.0)
    at_sum = np.bincount(code, weights=height, minlength=H)
    all_at = float(height.sum() / (len(height) + 1))
    by_at = (at_sum + TYPE_WORTH * all_at) / (n + TYPE_WORTH)
    by_at[-1] = all_at
    own = np.maximum(n, 1.0)
    x, y = height - (at_sum / own)[code], off - (total / own)[code]  # within types
    noise = float(np.mean(y**2)) + 1e-4 if len(y) else 1.0
    slope = float((x @ y / noise + SLOPE / SLOPE_SD**2) / (x @ x / noise + SLOPE_SD**-2))
    return {
        "haggle_types": types,
        "haggle_full": by_full,
        "haggle_off": by_off,
        "haggle_n": np.append(n[:-1], len(off)),
        "haggle_sd": float(np.sqrt((square + SD_WORTH * OFF_SD**2) / (int(any_.sum()) + SD_WORTH))),
        "haggle_slope": slope,
        "haggle_at": by_at,
    }


def _last_ask(text: str, day: float) -> float:
    """The ask in force on the day of the sale, NaN where none is."""
    known = [amount for when, amount in dated.entries(text) if not when > day and amount > 0]
    return known[-1] if known else np.nan
