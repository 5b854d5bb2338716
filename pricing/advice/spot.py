"""What a spot in the shop earns a day: the person's own turnover as a renewal process. numpy only.

A unit brings  share V(h) + (1 - share) scrap - money in  after shop_days on the bench, where V(h) is what the best plan is worth when a
day on the market costs h. The price of a spot is the h at which the next unit just pays for its place:

    share V(h) + (1 - share) scrap - money_in - h shop_days = 0         (V falls in h, so that there is one)

Source: renewal reward theorem (Ross, Stochastic Processes, from memory); trade figures as labelled in `records/assumed`.
"""

from __future__ import annotations

from collections import Counter
from datetime import date

import numpy as np

from pricing.advice import listing
from pricing.advice.listing import Demand
from pricing.model import price, saletime
from pricing.model.price import PriceModel
from pricing.model.saletime import SaleTimeModel
from pricing.records import assumed
from pricing.records.settings import Settings
from pricing.records.units import Units, from_rows

MOST_TYPES = 5
GUESS_WEIGHT = 10.0  # ended units that the guesses below count for
SHOP_DAYS, SHARE_SOLD, MONEY_IN = 6.0, 0.7, 45.0  # bench days, share sold as working, money into a unit. Own judgement.


def spot_price(units: Units, price_model: PriceModel, times: SaleTimeModel, settings: Settings, as_of: date) -> float:
    """Money a day that a spot earns; 0 where units do not pay for their place at all."""
    table = assumed.assumed_types(settings)
    commonest = Counter(word for word in units.word("type").texts() if word).most_common(MOST_TYPES) or [(name, 1) for name in table][:MOST_TYPES]
    names = [name for name, _ in commonest]
    weight = np.array([count for _, count in commonest], dtype=float)
    weight /= weight.sum()
    kinds = from_rows([{"type": name, "age": assumed.MIDDLE_AGE, "condition": "good"} for name in names])
    demands = demands_of(kinds, price_model, times, float(as_of.toordinal()))
    share, money_in, shop_days = turnover(units)
    scrap = float(weight @ np.array([table.get(name, assumed.GENERIC_TYPE).scrap for name in names]))
    work = settings.hourly_target * float(weight @ np.array([table.get(name, assumed.GENERIC_TYPE).clean_sell_h + 1.0 for name in names]))

    def surplus(h: float) -> float:
        """What the next unit leaves beyond its place."""
        worth = [listing.best(demand, listing.terms(settings, h, float(listing.RATIOS[-1]) * demand.estimate, times.shape)).value[0] for demand in demands]
        return float(share * (weight @ np.array(worth)) + (1 - share) * scrap - money_in - work - h * shop_days)

    low, high = 0.0, 1.0
    if surplus(low) <= 0:
        return 0.0
    while surplus(high) > 0 and high < 1e6:
        low, high = high, high * 2
    for _ in range(25):
        middle = (low + high) / 2
        low, high = (middle, high) if surplus(middle) > 0 else (low, middle)
    return low


def demands_of(units: Units, price_model: PriceModel, times: SaleTimeModel, day: float) -> list[Demand]:
    """The demand for units as of a day, from the fitted numbers."""
    law = price.law(price_model, units, day)
    market, haggle = saletime.market(times, units, day), saletime.haggle(times, units, np.zeros(units.n))
    sd = saletime.unseen_sd(times, law)
    rates = market.log_rate[:, None] + market.per_eta[:, None] * (times.eta_points - times.eta_mean)
    return [
        Demand(float(np.exp(law.center[i])), float(sd[i]), rates[i], float(market.log_rate_sd[i]), times.eta_points, times.eta_weights, float(haggle.off_mean[i]), haggle.off_slope)
        for i in range(units.n)
    ]


def turnover(units: Units) -> tuple[float, float, float]:
    """Share of ended units that sold as working, money put into a unit, and days from getting to listing it; guesses fade as units end.

    >>> turnover(from_rows([]))
    (0.7, 45.0, 6.0)
    """
    outcome = np.array(units.word("outcome").texts(), dtype=object)
    ended = np.isin(outcome.astype(str), ("sold", "scrapped", "parted", "returned"))
    n = float(ended.sum())
    money = np.nansum([np.nan_to_num(units.number(name)[ended]) for name in ("paid", "parts", "haul_cost", "helper", "cost_in")]) if n else 0.0
    bench = units.number("listed") - units.number("got")
    bench = bench[(bench >= 0) & (bench < 400)]
    share = (GUESS_WEIGHT * SHARE_SOLD + float((outcome[ended] == "sold").sum())) / (GUESS_WEIGHT + n)
    return share, float((GUESS_WEIGHT * MONEY_IN + money) / (GUESS_WEIGHT + n)), float((GUESS_WEIGHT * SHOP_DAYS + bench.sum()) / (GUESS_WEIGHT + len(bench)))
