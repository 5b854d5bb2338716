"""What a spot in the shop earns a day: the person's own turnover as a renewal process. numpy only.

A unit brings  share V(h) + (1 - share) scrap - money in  after shop_days on the bench, where V(h)
is what the best plan is worth when a day on the market costs h. The price of a spot is the h at
which the next unit just pays for its place:

    share V(h) + (1 - share) scrap - money_in - h shop_days = 0         (V falls in h, so that there
        is one)

Source: renewal reward theorem (Ross, Stochastic Processes, from memory); trade figures as labelled
in `basis/assumed`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import date

import numpy as np

from pricing.advice import listing
from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_types, generic_type
from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.model.price import price
from pricing.model.price.price import PriceNumbers
from pricing.model.saletime import saletime
from pricing.model.saletime.saletime import SaleTimeModel
from pricing.model.seen import MOST_WORDS, most_common

MOST_TYPES = 5
GUESS_WEIGHT = 10.0  # ended units that the guesses below count for
# Bench days, share sold as working, money into a unit. Own judgement.
SHOP_DAYS, SHARE_SOLD, MONEY_IN = (6.0, 0.7, 45.0)


def spot_price(
    turned: Turned, price_model: PriceNumbers, times: SaleTimeModel, settings: Settings, as_of: date
) -> float:
    """Money a day that a spot earns; 0 where units do not pay for their place at all."""
    table = assumed_types(settings)
    commonest = (
        sorted(turned.types.items(), key=lambda pair: (-pair[1], pair[0]))[:MOST_TYPES]
        or [(name, 1) for name in table][:MOST_TYPES]
    )
    names = [name for name, _ in commonest]
    weight = np.array([count for _, count in commonest], dtype=float)
    weight /= weight.sum()
    usual = {"age": assumed.MIDDLE_AGE, "condition": "good"}
    kinds = from_rows([{"type": name, **usual} for name in names])
    day = float(as_of.toordinal())
    law, market = price.law(price_model, kinds, day), saletime.market(times, kinds, day)
    demands = listing.demands_of(
        np.exp(law.center),
        saletime.unseen_sd(times, law),
        times,
        market,
        saletime.haggle(times, kinds, np.zeros(kinds.n)),
    )
    share, money_in, shop_days = turnover(turned)
    rows = [table.get(name, generic_type(settings)) for name in names]
    scrap = float(weight @ np.array([row.scrap for row in rows]))
    hours = float(weight @ np.array([row.clean_sell_h + 1.0 for row in rows]))
    work = settings.hourly_target * hours

    def surplus(h: float) -> float:
        """What the next unit leaves beyond its place."""
        highest = [float(listing.RATIOS[-1]) * demand.estimate for demand in demands]
        at = [listing.terms(settings, h, one, times.shape) for one in highest]
        worth = [listing.best(*one).value[0] for one in zip(demands, at, strict=True)]
        brings = share * float(weight @ np.array(worth)) + (1 - share) * scrap
        return brings - money_in - work - h * shop_days

    return _where_nothing_is_left(surplus)


def _where_nothing_is_left(surplus: Callable[[float], float]) -> float:
    """The price at which a falling surplus is 0, by halving; 0 where it begins at nothing."""
    low, high = 0.0, 1.0
    if surplus(low) <= 0:
        return 0.0
    while surplus(high) > 0 and high < 1e6:
        low, high = high, high * 2
    for _ in range(25):
        middle = (low + high) / 2
        low, high = (middle, high) if surplus(middle) > 0 else (low, middle)
    return low


@frozen
class Turned:
    """What the units of a record turned over: of each type; ended, sold, money put in; days."""

    types: Counter[str]
    ended: float = 0.0
    sold: float = 0.0
    money: float = 0.0
    benched: float = 0.0
    bench_days: float = 0.0

    def __add__(self, other: Turned) -> Turned:
        sums = (
            getattr(self, name) + getattr(other, name)
            for name in ("ended", "sold", "money", "benched", "bench_days")
        )
        return Turned(most_common(self.types + other.types, MOST_WORDS), *sums)


def turned_over(units: Units) -> Turned:
    """The turnover of one block."""
    kind, types = units.word("outcome"), units.word("type")
    ended = np.array(
        [*(level in ("sold", "scrapped", "parted", "returned") for level in kind.levels), False]
    )[kind.codes]
    sold = np.array([*(level == "sold" for level in kind.levels), False])[kind.codes]
    money = sum(
        float(np.nan_to_num(units.number(name)[ended]).sum())
        for name in ("paid", "parts", "haul_cost", "helper", "cost_in")
    )
    bench = units.number("listed") - units.number("got")
    bench = bench[(bench >= 0) & (bench < 400)]
    counts = np.bincount(types.codes[types.codes >= 0], minlength=len(types.levels))
    told = zip(types.levels, counts.tolist(), strict=True)
    names = Counter({name: count for name, count in told if count})
    return Turned(
        names,
        float(ended.sum()),
        float((ended & sold).sum()),
        money,
        float(len(bench)),
        float(bench.sum()),
    )


def turnover(turned: Turned) -> tuple[float, float, float]:
    """Share of ended units that sold as working, money put into a unit, and days from getting to
    listing it; guesses fade as units end.

    >>> turnover(turned_over(from_rows([])))
    (0.7, 45.0, 6.0)
    """
    share = (GUESS_WEIGHT * SHARE_SOLD + turned.sold) / (GUESS_WEIGHT + turned.ended)
    money_in = (GUESS_WEIGHT * MONEY_IN + turned.money) / (GUESS_WEIGHT + turned.ended)
    days = (GUESS_WEIGHT * SHOP_DAYS + turned.bench_days) / (GUESS_WEIGHT + turned.benched)
    return share, money_in, days
