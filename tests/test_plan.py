"""The plan programme against closed forms of optimal pricing and stopping, and against brute force;
all through `plan.solve` itself."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from numpy.testing import assert_allclose

from pricing.advice import listing, plan
from pricing.advice.listing import Demand, Past, Terms
from pricing.model.saletime.saletime import POWER_MOST


def untold(sale: plan.Sale) -> plan.Track:
    """A track of one state, for sales where not having sold says nothing (one latent, or asks that
    all tell the same)."""
    steps, (latents, asks) = len(sale.days), sale.rate.shape
    return plan.Track(np.zeros((steps + 1, 1, latents)), np.zeros((steps, 1, asks)))


def stationary(
    net: np.ndarray,
    rate: np.ndarray,
    holding: float,
    steps: int = 400,
    days: float = 7.0,
    clear: float = 0.0,
) -> plan.Plan:
    """A thing that can be offered for a very long time, so that its plan is the stationary one."""
    sale = plan.Sale(
        net, rate[None, :], np.ones(1), np.array([clear]), np.full(steps, days), holding
    )
    return plan.solve(sale, untold(sale))


def test_uniform_buyers_with_a_holding_cost() -> None:
    """Buyers come at .5 a day and pay up to U(0, 400), holding 2 a day: ask v - sqrt(h v / L) =
    360, 20 days, worth 320 (closed form)."""
    asks = np.linspace(1, 399, 399)
    found = stationary(asks, 0.5 * (1 - asks / 400), 2.0)

    assert asks[found.asks[0]] == 360
    assert_allclose(found.value[0], 360 - 20 * 2, rtol=1e-9)


def test_exponential_buyers_with_a_holding_cost() -> None:
    """Mean 150, .5 a day, holding 2: ask m ln(m L / h) = 543.6511, 75 days (closed form)."""
    asks = np.linspace(400, 700, 30001)
    found = stationary(asks, 0.5 * np.exp(-asks / 150), 2.0, steps=60, days=120.0)

    assert_allclose(asks[found.asks[0]], 543.6511, atol=0.02)
    assert_allclose(found.value[0], 543.6511 - 75 * 2, rtol=1e-6)


@pytest.mark.parametrize(
    ("holding", "ask", "days"), [(5.0, 343, 17), (7.5, 300, 10), (10.0, 273, 7)]
)
def test_constant_elasticity(holding: float, ask: float, days: float) -> None:
    """Elasticity 4, 10 days at 300: p* = m (L m / (h eta))^(1/(eta - 1)) with mean days 10 (p /
    m)^4 (closed form, whole money and days)."""
    asks = np.linspace(150, 500, 3501)
    rate = 0.1 * (asks / 300) ** -4.0
    found = stationary(asks, rate, holding)
    best = asks[found.asks[0]]

    assert round(best) == ask
    assert round(10 * (best / 300) ** 4) == days


@pytest.mark.parametrize(
    ("cost", "least"),
    [(1.0, 499_552.79), (2_000.0, 480_000.0), (10_000.0, 455_278.64), (50_000.0, 400_000.0)],
)
def test_least_to_take_among_uniform_offers(cost: float, least: float) -> None:
    """Offers U(400,000, 500,000), each costing `cost` to wait for: b - sqrt(2 c (b - a)).

    Source: Christian & Griffiths, Algorithms to Live By (2016), ch. 1. The action is the least to
    take; a sale then brings the mean of what is above it.
    """
    a, b = 400_000.0, 500_000.0
    take = b - np.linspace(0.0, 1.0, 40_001)[1:] ** 2 * (b - a)
    found = stationary((take + b) / 2, (b - take) / (b - a), cost, steps=60, days=400.0)

    assert_allclose(found.value[0], least if cost < 50_000 else (a + b) / 2 - cost, rtol=2e-8)
    if cost < 50_000:
        assert_allclose(take[found.asks[0]], least, atol=5)


def test_exponential_offers() -> None:
    """Mean 100, 5 for each: least to take m ln(m / c) = 299.5732 (closed form)."""
    take = np.linspace(0, 600, 60_001)
    found = stationary(take + 100, np.exp(-take / 100), 5.0, steps=40, days=400.0)

    assert_allclose(found.value[0], 299.5732, atol=1e-3)


def test_offers_with_a_deadline() -> None:
    """U(0, 1), one offer a step, no cost: E(n+1) = (1 + E(n)^2) / 2: .5 .625 .6953 .7417 .7751
    .8004 .8203 .8364 .8498 .8611 (Cayley-Moser)."""
    take = np.linspace(0, 1, 20_001)[:-1]
    chance = np.clip(1 - take, 1e-12, 1 - 1e-12)
    sale = plan.Sale(
        (take + 1) / 2, -np.log1p(-chance)[None, :], np.ones(1), np.zeros(1), np.ones(10), 0.0
    )
    value = plan.solve(sale, untold(sale)).value[:-1][::-1]

    assert_allclose(
        value,
        [0.5, 0.625, 0.6953, 0.7417, 0.7751, 0.8004, 0.8203, 0.8364, 0.8498, 0.8611],
        atol=5.1e-5,
    )


def test_one_unit_with_a_deadline() -> None:
    """Buyers at 20 over the time left, each paying p with chance exp(-p): V = ln(1 + a T / e) =
    2.123170, first ask 1 + V.

    Source: Gallego & van Ryzin (1994), Management Science 40(8).
    """
    asks = np.linspace(0.5, 6, 1101)
    sale = plan.Sale(
        asks, 20 * np.exp(-asks)[None, :], np.ones(1), np.zeros(1), np.full(4000, 1 / 4000), 0.0
    )
    found = plan.solve(sale, untold(sale))

    assert_allclose(found.value[0], 2.123170, atol=2e-4)
    assert_allclose(asks[found.asks[0]], 3.123170, atol=6e-3)


RATE, ETA, POWER = np.full(1, np.log(np.log(2) / 9.6)), np.array([3.5]), np.array([POWER_MOST])
DEMAND = Demand(300.0, 0.25, RATE, 0.0, ETA, POWER, np.ones(1), 0.06, 0.0)
TERMS = Terms(3.0, 21.0, 0.6, 0.05, 2.0, 420.0)


def test_three_weeks_by_brute_force() -> None:
    """Every list of three asks on a coarse grid, the belief carried exactly, against the programme
    on the same grid."""
    ratios = np.exp(np.linspace(-0.4, 0.3, 18))
    sale = listing._sale(DEMAND, TERMS, listing.steps(21), ratios, Past())
    found = plan.solve(sale, listing._track(DEMAND, TERMS, listing.steps(21), ratios, Past()))
    values = {
        asks: plan.along(sale, np.array(asks)).value[0]
        for asks in product(range(len(ratios)), repeat=3)
    }
    best = max(values.values())

    assert_allclose(plan.along(sale, found.asks).value[0], best, rtol=2e-4)
    assert_allclose(found.value[0], best, rtol=2e-3)
    assert len(set(found.asks.tolist())) > 1


def test_following_the_plan_is_worth_what_the_plan_says() -> None:
    """With nothing unknown but what one state tells exactly, both ways of reckoning agree."""
    sharp = Demand(300.0, 0.0, RATE, 0.0, ETA, POWER, np.ones(1), 0.06, 0.0)
    days = listing.steps(60)
    sale = listing._sale(sharp, TERMS, days, listing.RATIOS, Past())
    found = plan.solve(sale, listing._track(sharp, TERMS, days, listing.RATIOS, Past()))

    assert_allclose(plan.along(sale, found.asks).value, found.value, rtol=1e-9)


def test_the_course_sells_or_clears_for_certain() -> None:
    """Chances add to one, and by latent they add to the totals."""
    found = listing.best(DEMAND, TERMS)

    assert_allclose(found.course.sold.sum() + found.course.left, 1.0, rtol=1e-12)
    assert_allclose(found.course.sold_by_latent.sum(axis=1), found.course.sold, rtol=1e-12)


def test_dearer_time_asks_less_and_takes_less() -> None:
    """A higher cost of a day lowers the first ask and what carrying on is worth."""
    slow, fast = (listing.best(DEMAND, Terms(h, 56.0, 0.6, 0.0, 0.0, 600.0)) for h in (1.0, 12.0))

    assert fast.asks[0] < slow.asks[0]
    assert fast.value[0] < slow.value[0]


def test_not_selling_lowers_the_belief() -> None:
    """A unit that has sat four weeks at its worth is worth less than a fresh one, and asks less."""
    at = Terms(3.0, 84.0, 0.6, 0.0, 0.0, 600.0)
    fresh = listing.best(DEMAND, Terms(3.0, 56.0, 0.6, 0.0, 0.0, 600.0))
    sat = listing.best(DEMAND, at, Past(((28.0, 300.0),)))

    assert len(fresh.asks) == len(sat.asks) == 8
    assert sat.asks[0] < fresh.asks[0]
    assert sat.value[0] < fresh.value[0]


def test_chances_by_day_agree_with_the_course_at_the_ends_of_steps() -> None:
    found = listing.best(DEMAND, Terms(3.0, 56.0, 0.6, 0.0, 0.0, 400.0, 0.9))
    by_step = np.cumsum(found.course.sold)

    assert_allclose([listing.chance_by(found, day) for day in found.ends], by_step, rtol=1e-9)
    assert_allclose(listing.chance_by(found, listing.day_sold(found)), 0.5, atol=1e-6)


def test_no_ask_is_over_the_highest_and_none_rises() -> None:
    for highest in (37.0, 149.0, 222.0, 305.0, 380.0):
        asks = listing.best(DEMAND, Terms(3.0, 56.0, 0.6, 0.0, 0.0, highest)).asks
        assert asks.max() <= highest
        assert (np.diff(asks) <= 0).all()


def test_time_is_up() -> None:
    """After the clearing day there is nothing left to plan, and its worth is what clearing
    brings."""
    found = listing.best(DEMAND, TERMS, Past(((30.0, 300.0),)))

    assert len(found.asks) == 0
    assert 0 < found.value[0] < 0.6 * 300
    assert_allclose(found.course.left, 1.0)
