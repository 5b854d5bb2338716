"""What a unit sells for: the fitted numbers and the answers from them. numpy only.

    ln price = offset + Z u + s_i e_i,   u ~ N(mean, S),   e ~ t_nu,   s_i^2 = s^2 exp(2 gamma'v_i)
        + what a blank age leaves open

The law of a sale is the sum of the unit's own t error and a normal with variance z'S z + sum of
what was never seen + the walk of the level since the last sale. Its middle is the typical price.
exp of a t variable has no mean, so that means and draws use the law cut at its .5 and 99.5 %
quantiles.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from functools import cached_property
from typing import Any

import numpy as np

from pricing.basis.assumed import plain_kinds
from pricing.basis.frozen import frozen
from pricing.basis.units import Units
from pricing.formulas import open_kinds
from pricing.model import numbers
from pricing.model.price import encode, encode_numbers, quantile_table, ranges
from pricing.model.price.encode import Encoding, Rows, TypePrior
from pricing.model.price.quantile_table import QuantileTable
from pricing.model.price.ranges import RangeFactors

CUT = (0.005, 0.995)
MOST_SPREAD = 1.2  # gamma'v stays within this
BLOCK = 4096
# of a row's length in which a triangle made out of another one is written: answers agree to more
# than nine digits
FINE_STEPS = 1e12
MIDPOINTS = CUT[0] + (CUT[1] - CUT[0]) * (np.arange(199) + 0.5) / 199


@frozen
class PriceNumbers:
    """Everything the answers need. mean: deviations from the prior means, (p,); whole, unit: the
    lower triangle L with S = L L' as whole numbers (p, p) times a unit for each row, so that a
    saved model reads back to the last bit; scales: sd of each block, (G,); error: s; gamma: (q,);
    walk: sd of the level a month; lift: what makes the mean agree with the sales (smearing);
    usual_age: by type; types, families: sales of each; ads: asks of others, over: ln of how far
    these stand above what units bring."""

    encoding: Encoding
    mean: np.ndarray
    whole: np.ndarray
    unit: np.ndarray
    scales: np.ndarray
    error: float
    gamma: np.ndarray
    walk: float
    table: QuantileTable
    ranges: RangeFactors
    lift: float
    n: int
    types: Mapping[str, int]
    families: Mapping[str, int]
    usual_age: Mapping[str, float]
    ads: Mapping[str, int] = field(default_factory=dict)
    over: float = 0.0

    @property
    def nu(self) -> float:
        return self.table.nu

    @cached_property
    def factor(self) -> np.ndarray:
        """L, shape (p, p)."""
        return self.whole * self.unit[:, None]

    @cached_property
    def variances(self) -> np.ndarray:
        """What is not known of each coefficient, the diagonal of S, (p,)."""
        return np.asarray((self.factor**2).sum(1))


@frozen
class PriceLaw:
    """The law of ln price of n units, (n,) each. center: ln money; scale: own t error scale;
    spread: sd of what is not known, drift and blanks included; prior_spread: before any sale,
    blanks left out; blank: the variance that a blank age or grade leaves open; tilt: what their
    mixture does to the mean price beside a normal of that variance; cut: probabilities between
    which means and draws are taken."""

    center: np.ndarray
    scale: np.ndarray
    spread: np.ndarray
    prior_spread: np.ndarray
    blank: np.ndarray
    tilt: np.ndarray
    table: QuantileTable
    ranges: RangeFactors
    lift: float
    cut: tuple[float, float] = CUT

    def take(self, places: np.ndarray) -> PriceLaw:
        """The law of the units at these places."""
        names = ("center", "scale", "spread", "prior_spread", "blank", "tilt")
        taken: dict[str, Any] = {name: getattr(self, name)[places] for name in names}
        return replace(self, **taken)

    @property
    def nu(self) -> float:
        return self.table.nu

    @property
    def total(self) -> np.ndarray:
        """Summed scale, (n,)."""
        return np.sqrt(self.scale**2 + self.spread**2)

    @property
    def share(self) -> np.ndarray:
        """Share of the summed squared scale that is not the unit's own error, (n,)."""
        return self.spread**2 / np.maximum(self.scale**2 + self.spread**2, 1e-300)

    @property
    def removed(self) -> np.ndarray:
        """Share of the variance before any sale that own sales removed, 0-1, (n,)."""
        left = self.spread**2 - self.blank
        return np.clip(1 - left / np.maximum(self.prior_spread**2, 1e-300), 0.0, 1.0)


def law(model: PriceNumbers, units: Units, day: float | np.ndarray) -> PriceLaw:
    """The law of the price of each unit as of `day` (ordinal, one or (n,)); a plain word ("washer")
    that leaves its kind open is the mixture of its kinds. Complexity O(n p^2)."""
    days = np.broadcast_to(np.asarray(day, dtype=float), (units.n,))
    owner, share, told = encode.each_kind(model.encoding, units)
    if told is not units:
        return mixed(law(model, told, days[owner]), owner, share)
    if units.n <= BLOCK:
        parts = [_law(model, encode.read(model.encoding, units, days))]
    else:
        cuts = [np.arange(start, min(start + BLOCK, units.n)) for start in range(0, units.n, BLOCK)]
        read = (encode.read(model.encoding, units.take(rows), days[rows]) for rows in cuts)
        parts = [_law(model, one) for one in read]
    each = (np.concatenate([part[i] for part in parts]) for i in range(6))
    center, scale, sd, prior, blank, tilt = each
    return PriceLaw(center, scale, sd, prior, blank, tilt, model.table, model.ranges, model.lift)


def likely_kinds(
    types: Mapping[str, TypePrior], own: Mapping[str, int], word: str
) -> list[tuple[str, float]]:
    """The kinds that a plain word leaves open, the likeliest first; none for a name of one kind.
    own: sales of each type."""
    usual = plain_kinds(word) if word in types and types[word].plain else {}
    return open_kinds.likely(usual, {kind: int(own.get(kind, 0)) for kind in usual})


def mixed(law_: PriceLaw, owner: np.ndarray, weight: np.ndarray) -> PriceLaw:
    """One law a unit of the laws of what it may be, by mean and variance of ln price. owner: the
    unit of each, rising, (m,); weight: of each, (m,). How it is spread is as with the first.

        center = sum w c,   blank and spread^2 + sum w (c - center)^2
    """
    n = int(owner[-1]) + 1
    weight = weight / np.bincount(owner, weight, n)[owner]
    center = np.bincount(owner, weight * law_.center, n)
    apart = np.bincount(owner, weight * (law_.center - center[owner]) ** 2, n)
    one = law_.take(np.searchsorted(owner, np.arange(n)))
    spread = np.sqrt(one.spread**2 + apart)
    return replace(one, center=center, spread=spread, blank=one.blank + apart)


def _law(model: PriceNumbers, rows: Rows) -> tuple[np.ndarray, ...]:
    Z = rows.columns
    center = rows.offset + Z @ model.mean
    own = model.error * np.exp(spread_of(rows, model.gamma))
    blanks = encode.left_open(model.encoding, rows, model.mean, model.variances)
    drift = model.walk**2 * rows.ahead
    open_ = rows.missing @ model.scales**2 + drift
    spread = np.sqrt(((Z @ model.factor) ** 2).sum(1) + open_ + blanks.variance)
    before = np.array([block.scale for block in model.encoding.blocks])
    prior = np.sqrt(Z**2 @ before[model.encoding.group] ** 2 + rows.missing @ before**2 + drift)
    return center, own, spread, prior, blanks.variance, blanks.tilt


def without_blanks(law_: PriceLaw) -> PriceLaw:
    """The law of units in the middle of what their blanks leave open, once that is known."""
    known = np.sqrt(np.maximum(law_.spread**2 - law_.blank, 0.0))
    still = np.zeros_like(law_.blank)
    return replace(law_, spread=known, blank=still, tilt=np.ones_like(law_.tilt))


def own_variance(model: PriceNumbers, rows: Rows) -> np.ndarray:
    """Squared scale of what separates a sale from units like it, (n,): own error and blanks."""
    return model.error**2 * np.exp(2 * spread_of(rows, model.gamma)) + blank_variance(
        model.encoding, rows, model.mean, model.variances, model.scales
    )


def blank_variance(
    encoding: Encoding, rows: Rows, mean: np.ndarray, variances: np.ndarray, scales: np.ndarray
) -> np.ndarray:
    """Variance of ln price that blanks and words without a column leave open in a sale, (n,): who
    took that distance for error would pay for it again in every answer that leaves it blank."""
    finite = np.where(np.isfinite(scales), scales, 0.0)
    return encode.left_open(encoding, rows, mean, variances).variance + rows.missing @ finite**2


def spread_of(rows: Rows, gamma: np.ndarray) -> np.ndarray:
    """gamma'v, cut to +-1.2, and what a part of a sale adds, (n,)."""
    return np.clip(rows.spread @ gamma, -MOST_SPREAD, MOST_SPREAD) + rows.loose


def quantiles(law_: PriceLaw, probs: np.ndarray | list[float]) -> np.ndarray:
    """Quantiles of the price in money, uncorrected, shape (n, k)."""
    q = quantile_table.quantile(law_.table, law_.share, np.asarray(probs, dtype=float))
    return np.exp(law_.center[:, None] + law_.total[:, None] * q)


def mean(law_: PriceLaw) -> np.ndarray:
    """Mean price of the law cut at its .5 and 99.5 % quantiles, in money, (n,)."""
    out = np.empty(len(law_.center))
    share, total = law_.share, law_.total
    for start in range(0, len(out), BLOCK):
        here = slice(start, start + BLOCK)
        q = quantile_table.quantile(law_.table, share[here], MIDPOINTS)
        out[here] = np.exp(law_.center[here]) * np.exp(total[here, None] * q).mean(1)
    return out * law_.lift * law_.tilt


def draws(law_: PriceLaw, points: np.ndarray) -> np.ndarray:
    """Prices at points (m,) of (0, 1), by the inverse of the cut law: money, (n, m)."""
    low, high = law_.cut
    at = low + (high - low) * np.asarray(points, dtype=float)
    q = quantile_table.quantile(law_.table, law_.share, at)
    level = law_.lift * law_.tilt * np.exp(law_.center)
    return level[:, None] * np.exp(law_.total[:, None] * q)


def range_of(law_: PriceLaw, coverage: float) -> tuple[np.ndarray, np.ndarray]:
    """Low and high in money that hold a sale with probability `coverage`; nested."""
    low, high = ranges.half_widths(law_.ranges, law_.table, law_.share, coverage)
    return np.exp(law_.center - law_.total * low), np.exp(law_.center + law_.total * high)


def n_of_type(model: PriceNumbers, type_name: str) -> int:
    """Number of own sales of this type in the fit."""
    return int(model.types.get(type_name, 0))


def n_of_family(model: PriceNumbers, type_name: str) -> int:
    """Number of own sales of other types of the same family."""
    row = model.encoding.types.get(type_name, model.encoding.other)
    return int(model.families.get(row.family, 0)) - n_of_type(model, type_name) if row.family else 0


def smearing(residuals: np.ndarray, weights: np.ndarray | None = None) -> float:
    """Duan's smearing factor: the mean of exp(residual). 1 for no residuals. Source: Duan (1983),
    J. Am. Stat. Assoc. 78(383).

    >>> round(smearing(np.array([-0.1, 0.1])), 6)
    1.005004
    """
    return float(np.average(np.exp(residuals), weights=weights)) if len(residuals) else 1.0


# ---- saved numbers


def rounded(factor: np.ndarray, steps: float = 1e5) -> tuple[np.ndarray, np.ndarray]:
    """L as whole numbers and a unit for each row: L L' stays positive semi-definite."""
    unit = np.array([float(f"{u:.6g}") for u in np.sqrt((factor**2).sum(1)) / steps])
    whole = np.rint(factor / np.where(unit > 0, unit, 1.0)[:, None])
    return np.ascontiguousarray(whole) + 0.0, unit


def with_root(
    model: PriceNumbers, encoding: Encoding, mean: np.ndarray, root: np.ndarray, scales: np.ndarray
) -> PriceNumbers:
    """The model with another encoding and coefficients N(mean, root root'), root: (p, k)."""
    triangle = np.asarray(np.linalg.qr(root.T, mode="r")).T
    whole, unit = rounded(triangle * np.where(np.diag(triangle) < 0, -1.0, 1.0), FINE_STEPS)
    return replace(model, encoding=encoding, mean=mean, whole=whole, unit=unit, scales=scales)


def as_numbers(model: PriceNumbers) -> dict[str, Any]:
    """Plain tables for JSON; `from_numbers` gives the same model back."""
    told = {name: getattr(model, name) for name in PriceNumbers.__dataclass_fields__}
    if not model.ads:
        del told["ads"], told["over"]
    del told["whole"]
    return told | {
        "encoding": encode_numbers.as_numbers(model.encoding),
        "factor": [row[: i + 1].astype(int).tolist() for i, row in enumerate(model.whole)],
        "table": quantile_table.as_numbers(model.table),
        "ranges": ranges.as_numbers(model.ranges),
    }


def from_numbers(data: Mapping[str, Any]) -> PriceNumbers:
    """The model from plain tables. Raises Damaged where a size, a bound or a name is wrong."""
    encoding = encode_numbers.from_numbers(numbers.table(data, "encoding"))
    p, G = encoding.n_columns, len(encoding.blocks)
    return PriceNumbers(
        encoding=encoding,
        whole=numbers.triangle(data, "factor", p, 1e13),
        **numbers.several(data, (p,), mean=(-1e3, 1e3), unit=(0, 1e6)),
        scales=numbers.array(data, "scales", (G,), 0, 1e6),
        gamma=numbers.array(data, "gamma", (len(encoding.spread_mean),), -100, 100),
        **numbers.several(data, error=(0, 1e3), walk=(0, 100), lift=(0.01, 100)),
        table=quantile_table.from_numbers(numbers.table(data, "table")),
        ranges=ranges.from_numbers(numbers.table(data, "ranges")),
        n=int(numbers.number(data, "n", 0)),
        types=numbers.counts(data, "types"),
        families=numbers.counts(data, "families"),
        usual_age=numbers.by_word(data, "usual_age", 0, 1000),
        ads=numbers.counts(data, "ads") if "ads" in data else {},
        over=numbers.number(data, "over", -3, 3) if "over" in data else 0.0,
    )
