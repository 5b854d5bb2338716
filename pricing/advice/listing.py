"""One unit on the market as a `plan.Sale`: what is not known about it, how the asks work, and asks
as people write them. numpy only.

worth = estimate e^q, q ~ N(0, sd^2): how good the unit really is beside the estimate. At ratio r =
ask / estimate it sells at

    ln lambda = log_rate + x + ln g(ln r - q),     x ~ N(0, log_rate_sd^2)

by a law g of a few (`selling.log_calls`): powers r^-eta, and callers who each know a most that
they would pay. So the unknown l is the triple (q, x, g). The asks so far enter the belief through
the sum of days times g; the state of the programme is the one constant ask that would have told as
much, exact for one law at the estimate and a close stand-in for the others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property, lru_cache
from itertools import pairwise

import numpy as np

from pricing.advice import plan
from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.formulas import asks, selling, usual_way
from pricing.model.saletime import saletime
from pricing.model.saletime.saletime import Haggle, Market, SaleTimeModel

RATIOS = np.exp(np.linspace(np.log(0.40), np.log(2.0), 36))  # asks looked at, against the estimate
STATES = np.linspace(np.log(0.40), np.log(2.2), 16)
BUYER_POINTS = np.linspace(-2.8, 2.8, 9)  # of q; equal steps integrate a normal to eight digits
_ZX = np.linspace(-1.8, 1.8, 3)
BUYER_WEIGHTS = np.exp(-(BUYER_POINTS**2) / 2) / np.exp(-(BUYER_POINTS**2) / 2).sum()
SHAPE_WEIGHTS = np.exp(-(_ZX**2) / 2) / np.exp(-(_ZX**2) / 2).sum()
# three points with the variance of a standard normal
SHAPE_POINTS = _ZX / np.sqrt(SHAPE_WEIGHTS @ _ZX**2)


@frozen
class Demand:
    """How one unit sells. estimate: money; sd: of q, log points; eta, most, law_weight: the laws of
    the asks and the belief in each, (E,); log_rate: ln sales a day at the estimate for each, (E,),
    and its sd; off, off_slope: mean
    share off the ask at the estimate and its change with ln ratio.
    """

    estimate: float
    sd: float
    log_rate: np.ndarray
    log_rate_sd: float
    eta: np.ndarray
    most: np.ndarray
    law_weight: np.ndarray
    off: float
    off_slope: float

    @cached_property
    def latent(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """q, log_rate + x and their weight, each (L,), the law running fastest."""
        shape = (len(BUYER_POINTS), len(_ZX), len(self.eta))
        q = np.broadcast_to(self.sd * BUYER_POINTS[:, None, None], shape).ravel()
        rate = np.broadcast_to(
            self.log_rate + self.log_rate_sd * SHAPE_POINTS[:, None], shape
        ).ravel()
        weight = BUYER_WEIGHTS[:, None, None] * SHAPE_WEIGHTS[:, None] * self.law_weight
        return q, rate, weight.ravel()

    def rates(self, log_ratio: np.ndarray) -> np.ndarray:
        """Sales a day at each of K asks, ln(ask / estimate), (L, K)."""
        Z, X, E, K = len(BUYER_POINTS), len(_ZX), len(self.eta), len(log_ratio)
        level = self.latent[1]
        apart = log_ratio[None, :] - self.sd * BUYER_POINTS[:, None]
        calls = selling.log_calls(apart[:, None, :], self.eta[:, None], self.most[:, None])
        log = level.reshape(Z, X, E, 1) + calls.reshape(Z, 1, E, K)
        return np.exp(log).reshape(-1, K)


def demands_of(
    estimate: np.ndarray, sd: np.ndarray, times: SaleTimeModel, market: Market, haggle: Haggle
) -> tuple[Demand, ...]:
    """The demand for each of n units. estimate: (n,) money; sd: (n,) of q, log points; market,
    haggle: what `times` says of the same units."""
    powers = market.log_rate[:, None] + market.per_eta[:, None] * (
        times.eta_points - times.eta_mean
    )
    rates = np.hstack([powers, market.log_rate[:, None] + times.callers_level])
    eta = np.append(times.eta_points, times.callers_eta)
    most = np.append(np.full(len(times.eta_points), saletime.POWER_MOST), times.callers_most)
    callers = float(times.callers_weight.sum())
    weight = np.append((1 - callers) * times.eta_weights, times.callers_weight)
    told = (estimate, sd, market.log_rate_sd, haggle.off_mean)
    each = zip(*(one.tolist() for one in told), rates, strict=True)
    return tuple(
        Demand(worth, sd, rate, apart, eta, most, weight, off, haggle.off_slope)
        for worth, sd, apart, off, rate in each
    )


# How the person usually asks: ln(first ask / estimate); ln of each drop, 0 where most asks are
# kept; days from one drop to the next.
Habit = tuple[float, float, float]


@frozen
class Terms:
    """What the seller decides by. holding: money a day; after: days on the market until it is
    cleared; share: of its worth that clearing brings; fee_share, fee_fixed: of the place it is sold
    at; highest: no ask above this, money; shape: of the time on the market; habit: None where the
    usual way is not asked for.
    """

    holding: float
    after: float
    share: float
    fee_share: float
    fee_fixed: float
    highest: float
    shape: float = 1.0
    habit: Habit | None = None


@frozen
class Past:
    """What has been asked so far: (days, ask) of each spell, oldest first; days: on the market
    until now."""

    spells: tuple[tuple[float, float], ...] = ()

    @property
    def days(self) -> float:
        return float(sum(days for days, _ in self.spells))


NOT_LISTED = Past()


@frozen
class Listing:
    """A plan for one unit. starts: days from now at which each step begins, (T,); asks: money,
    (T,); value: of carrying on at each step and when cleared, (T + 1,); sale: the same unit at
    exactly these asks; course: what comes of them; place: which of the asks of `sale` each step
    has, (T,); usual: the same unit asked for in the person's usual way, itself where that is the
    plan, None where it was not looked at."""

    starts: np.ndarray
    asks: np.ndarray
    value: np.ndarray
    sale: plan.Sale
    course: plan.Course
    place: np.ndarray
    usual: Listing | None = None

    @property
    def ends(self) -> np.ndarray:
        return self.starts + self.sale.days


def terms(
    settings: Settings, holding: float, highest: float, shape: float, habit: Habit | None = None
) -> Terms:
    """The seller's terms from the settings."""
    clear, fees = (settings.clear_after_days, settings.clear_share), settings.selling_fee_share
    return Terms(holding, *clear, fees, settings.selling_fee_fixed, highest, shape, habit)


def best(demand: Demand, at: Terms, past: Past = NOT_LISTED) -> Listing:
    """The plan from now on, its asks rounded as people write them and never rising: the one that is
    worth most, or the person's usual way unless that is surely worth less
    (`usual_way.surely_better`)."""
    days = steps(at.after - past.days, past)
    most = min(at.highest / demand.estimate, float(RATIOS[-1]))
    ratios = np.append(RATIOS[most * (1 - 1e-9) > RATIOS], most)  # the ceiling itself among them
    sale = _sale(demand, at, days, ratios, past)
    found = plan.solve(sale, _track(demand, at, days, ratios, past))
    wanted = (ratios[found.asks] * demand.estimate).tolist() if len(days) else []
    whole = [asks.rounded(ask, at.highest) for ask in wanted]
    planned = at_asks(demand, at, asks.gently(whole, at.highest, past.spells), past)
    if at.habit is None or not len(days):
        return planned
    told = (demand.estimate, at.habit, at.highest, days.tolist(), past.spells)
    own = asks.gently(asks.usual_asks(*told), at.highest, past.spells)
    usual = at_asks(demand, at, own, past)
    gain = planned.course.value_by_latent - usual.course.value_by_latent
    sure = usual_way.surely_better(gain.tolist(), sale.weight.tolist(), len(demand.eta))
    return replace(planned if sure else usual, usual=usual)


def at_asks(
    demand: Demand, at: Terms, given: Sequence[float] | np.ndarray, past: Past = NOT_LISTED
) -> Listing:
    """What comes of asks given in money, one a step, (T,)."""
    days, money = steps(at.after - past.days, past), np.array(given, dtype=float)
    different = np.array(sorted(set(money.tolist())))
    place = np.searchsorted(different, money)
    sale = _sale(
        demand,
        at,
        days,
        np.maximum(different, 1e-9) / demand.estimate if len(days) else np.ones(1),
        past,
    )
    course = plan.along(sale, place)
    return Listing(
        np.append(0.0, np.cumsum(days))[: len(days)], money, course.value, sale, course, place
    )


def steps(left: float, past: Past = NOT_LISTED) -> np.ndarray:
    """Lengths of the steps over the days left, (T,), as `asks.steps`."""
    return np.array(asks.steps(left, past.spells))


def days_held(listing: Listing) -> float:
    """Mean days until it is sold by its plan or cleared: what a day of holding is paid for."""
    sale = replace(
        listing.sale, net=listing.sale.net * 0, clear=listing.sale.clear * 0, holding=1.0
    )
    return -float(plan.along(sale, listing.place).value[0])


def chance_by(listing: Listing, days: float) -> float:
    """Chance that it is sold within so many days from now, by its plan; clearing out is not a sale
    here."""
    step = int(np.searchsorted(listing.starts, days, "left")) - 1  # the one that holds this day
    if step < 0:
        return 0.0
    return min(
        float(listing.course.sold[:step].sum())
        + _sold(
            *_inside(listing, step),
            min(days - float(listing.starts[step]), float(listing.sale.days[step])),
        ),
        1.0,
    )


def day_sold(listing: Listing, share: float = 0.5) -> float:
    """Days by which this share of units like it are sold, by its plan; the day of clearing out
    where so many are never sold before."""
    upto = np.cumsum(listing.course.sold)
    step = int(np.searchsorted(upto, share, "right"))
    if step >= len(upto):
        return float(listing.sale.days.sum())
    wanted = share - float(upto[step - 1] if step else 0.0)
    alive, rate = _inside(listing, step)
    days, length = 0.0, float(listing.sale.days[step])
    # Newton from the left: the chance is concave in the days, so that no step goes too far
    for _ in range(8):
        left = alive * np.exp(-days * rate)
        days += (wanted - float(alive.sum() - left.sum())) / max(float(left @ rate), 1e-300)
    return float(listing.starts[step]) + min(days, length)


def clearing_price(listing: Listing, demand: Demand, at: Terms) -> float:
    """What clearing out brings once nobody has bought at the plan's asks: not having sold says that
    it is worth less."""
    q, left = demand.latent[0], listing.course.left_by_latent
    return float(at.share * demand.estimate * (left @ np.exp(q)) / max(float(left.sum()), 1e-300))


def sale_prices(
    listing: Listing, demand: Demand, share: float, full_share: float, off_sd: float
) -> tuple[np.ndarray, np.ndarray]:
    """Prices that a sale may bring along the plan, clearing out included, and their chances; sorted
    by price.

    Clearing brings `share` of what it is worth.
    """
    off = selling.off_at(demand, np.log(np.maximum(listing.asks, 1e-9) / demand.estimate))
    each = selling.haggled(listing.asks, off, full_share, off_sd)
    clear, left = share * demand.estimate * np.exp(demand.latent[0]), listing.course.left_by_latent
    price = np.concatenate([*(money for money, _ in each), clear])
    chance = np.concatenate([*(listing.course.sold * part for _, part in each), left])
    order = np.argsort(price, kind="stable")
    return price[order], chance[order] / max(chance.sum(), 1e-300)


def money_per_ln(
    listing: Listing, demand: Demand, share: float, full_share: float, off_sd: float
) -> float:
    """What the mean sale along the plan rises by as ln of what the unit is worth does: covariance
    of the two over the variance of the latter. Less than the sale: asks stand as they are."""
    off = selling.off_at(demand, np.log(np.maximum(listing.asks, 1e-9) / demand.estimate))
    each = selling.haggled(listing.asks, off, full_share, off_sd)
    q, clear = demand.latent[0], share * demand.estimate * np.exp(demand.latent[0])
    sold = sum((money * part for money, part in each), np.zeros(len(listing.asks)))
    by_q = sold @ listing.course.sold_by_latent + clear * listing.course.left_by_latent
    return float(by_q @ q) / max(demand.sd**2, 1e-12)


def _inside(listing: Listing, step: int) -> tuple[np.ndarray, np.ndarray]:
    """Weight still unsold when a step begins, and sales a day within it, (L,) each."""
    sale = listing.sale
    alive = sale.weight - listing.course.sold_by_latent[:step].sum(axis=0)
    rate = sale.rate[:, sorted(set(listing.asks.tolist())).index(float(listing.asks[step]))]
    return alive, rate if sale.pace is None else rate * float(sale.pace[step])


def _sold(alive: np.ndarray, rate: np.ndarray, days: float) -> float:
    """Chance that it is sold within so many days of a step."""
    return float(alive @ -np.expm1(-days * rate))


def _sale(demand: Demand, at: Terms, days: np.ndarray, ratios: np.ndarray, past: Past) -> plan.Sale:
    q, _, weight = demand.latent
    log_ratio = np.log(ratios)
    rate = demand.rates(log_ratio)
    if past.spells:
        # Not sold so far: the chance of it under each thing not known is exp(-sales that were to be
        # expected).
        log = np.log(np.maximum(weight, 1e-300)) - told_by(demand, at, past)
        weight = np.exp(log - log.max())
        weight /= weight.sum()
    net = selling.net_of(at, ratios * demand.estimate * (1 - selling.off_at(demand, log_ratio)))
    # Cleared out it brings a share of what it is really worth, e^q beside the estimate.
    clear = selling.net_of(at, at.share * demand.estimate * np.exp(q))
    pace = np.diff(_clock(at.shape, past, days)) / days if len(days) else None
    return plan.Sale(net, rate, weight, clear, days, at.holding, pace)


def told_by(demand: Demand, at: Terms, past: Past) -> np.ndarray:
    """Sales that the asks so far would have brought, for each thing that is not known, (L,)."""
    money = np.array([max(ask, 1e-9) for _, ask in past.spells])
    ends = np.cumsum([0.0, *(length for length, _ in past.spells)]).tolist()
    spells = np.array([asks.exposure(at.shape, start, end) for start, end in pairwise(ends)])
    return np.asarray(demand.rates(np.log(money / demand.estimate)) @ spells)


def _clock(shape: float, past: Past, days: np.ndarray) -> np.ndarray:
    """Days that count from now to the start of each step and to the end, (T + 1,)."""
    return np.array(
        [
            asks.exposure(shape, past.days, past.days + ahead)
            for ahead in (0.0, *np.cumsum(days).tolist())
        ]
    )


def _track(
    demand: Demand, at: Terms, days: np.ndarray, ratios: np.ndarray, past: Past
) -> plan.Track:
    """States by the one constant ask that would have told as much since now; what was told before
    stands in the belief already."""
    told = _clock(at.shape, past, days)
    spent = told[:, None, None] * demand.rates(STATES).T
    laws = tuple(
        tuple(one.tolist()) for one in (demand.eta, demand.most, demand.law_weight, np.log(ratios))
    )
    return plan.Track(spent, _moves(*laws, tuple(told.tolist())))


@lru_cache(maxsize=64)
def _moves(
    eta: tuple[float, ...],
    most: tuple[float, ...],
    weight: tuple[float, ...],
    log_ratios: tuple[float, ...],
    told: tuple[float, ...],
) -> np.ndarray:
    """Positions of the next states, (T, S, K); the same for all units with the same clock,
    so kept."""

    def calls(x: np.ndarray) -> np.ndarray:
        each = selling.log_calls(x[:, None], np.array(eta), np.array(most))
        return np.asarray(np.exp(each) @ np.array(weight))

    asks, states = calls(np.array(log_ratios)), calls(STATES)
    moves = []
    for start, end in pairwise(told):
        total = (start * states[:, None] + (end - start) * asks) / end
        # calls fall in the ask, np.interp wants them to rise
        moves.append(np.interp(-np.log(total), -np.log(states), np.arange(len(STATES)) * 1.0))
    return np.array(moves).reshape(len(told) - 1, len(STATES), len(log_ratios))
