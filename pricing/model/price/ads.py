"""Asks of others as evidence of price: one more source beside the person's own sales. numpy only.

    ln ask = offset + Z u + b + c h + e,   e ~ t_4,   scale^2 = s_i^2 + a^2

b: how far asks stand above what units bring; h: how long the ad had been up, -1 where it was gone
within two weeks; a: how far asks of one worth differ. The three are learned together with the own
sales, whose rows carry none of them: so own sales outweigh asks as they come.
"""

from collections import Counter
from dataclasses import replace
from datetime import date

import numpy as np
from numpy import ndarray as Array

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.model.price import encode
from pricing.model.price.encode import Encoding, Rows, ScaleBlock
from pricing.model.seen import Seen, added, joined, look_at

# Common practice: private sellers ask 10 to 20 % above what they take; own judgement beside it
# B, its sd, and the sd of ln of that: a market may be dear
OVER, OVER_SD, OVER_TAU = (0.14, 0.12, 0.7)
UP, UP_SD = 0.05, 0.05  # c
SPREAD, SPREAD_WORTH, SPREAD_ENDS = 0.18, 20, (0.08, 0.5)  # a, the ads that its start is worth
NU = 4.0  # asks are typed by strangers: a misplaced price must pull little
WORTH = 0.5  # of an own sale, in how fast the assumed price level fades


@frozen
class Ads:
    """Asks of others. units: with their asks as `price`; days: when each was seen; up: h, (m,)."""

    units: Units
    days: Array
    up: Array

    @property
    def n(self) -> int:
        return self.units.n


NONE = Ads(Units(0, {}, {}), np.zeros(0), np.zeros(0))


def known_by(ads: Ads, as_of: date) -> Ads:
    """The ads seen by a day."""
    kept = np.flatnonzero((ads.days <= as_of.toordinal()) & (ads.units.number("price") > 0))
    return Ads(ads.units.take(kept), ads.days[kept], ads.up[kept])


def by_type(ads: Ads) -> dict[str, int]:
    """How many ads there are of each type."""
    return dict(sorted(Counter(name for name in ads.units.word("type").texts() if name).items()))


def how_long(listed: Array, seen: Array, gone: Array) -> Array:
    """h of ads by their days, nan where not known.

    >>> how_long(np.array([0.0, np.nan]), np.array([30.0, 30.0]), np.array([np.nan, 35.0])).round(2)
    array([ 0.69, -1.  ])
    """
    with np.errstate(invalid="ignore"):
        soon = np.where(gone - np.where(np.isfinite(listed), listed, seen) <= 14, -1.0, 0.0)
        up = np.log1p(np.maximum(seen - listed, 0.0) / 30)
    return np.asarray(np.where(np.isfinite(gone), soon, np.where(np.isfinite(up), up, 0.0)))


def widened(encoding: Encoding, sold: Units, days: Array, ads: Ads) -> tuple[Encoding, Rows, Array]:
    """The encoding with the blocks of b and c at its end, the rows of own sales and below them of
    the ads, and what is expected of ln ask beside the offset, (n + m,)."""
    rows = encode.read(encoding, joined([sold, ads.units]), np.concatenate([days, ads.days]))
    beside = np.zeros((sold.n + ads.n, 2))
    beside[sold.n :] = np.column_stack([np.ones(ads.n), ads.up])
    pair = np.zeros((1, 2), dtype=int)
    blocks = tuple(
        ScaleBlock(name, name, 0, 0, pair, np.zeros(1), scale, tau)
        for name, scale, tau in (("asks of others", OVER_SD, OVER_TAU), ("ads long up", UP_SD, 0.0))
    )
    rows = replace(
        rows,
        columns=np.hstack([rows.columns, beside]),
        missing=np.hstack([rows.missing, np.zeros_like(beside)]),
    )
    # at the end, so that the coefficients of a price are the first ones and can be cut off
    wide = replace(encoding, blocks=(*encoding.blocks, *blocks))
    return wide, rows, beside @ np.array([OVER, UP])


def seen_with(seen: Seen, ads: Ads, settings: Settings, as_of: date) -> Seen:
    """What the sales and the ads say together: words, ages and days, for how units are read."""
    units = ads.units.replaced(sold=ads.days)
    return added(seen, look_at(units, settings, as_of)) if ads.n else seen


def spread_now(square: Array, weights: Array, own: Array, before: float) -> float:
    """a^2 from the squared residuals of the ads (E r^2), their weights and s_i^2, pulled to where
    it starts.

    >>> round(spread_now(np.full(1000, 0.13), np.ones(1000), np.full(1000, 0.04), 0.04) ** 0.5, 2)
    0.3
    """
    if not len(square):
        return before
    over = max(float((weights * square).mean() - own.mean()), 0.0)
    mixed = (SPREAD_WORTH * SPREAD**2 + len(square) * over) / (SPREAD_WORTH + len(square))
    low, high = SPREAD_ENDS
    return float(np.clip(mixed, low**2, high**2))
