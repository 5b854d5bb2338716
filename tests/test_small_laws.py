"""Small laws inside the answers and the fits, each by hand, in closed form, or at a point where the
outcome is known without counting: a fixed point, a prior that nothing moves. Found, as those of
`test_noticed`, by changing the code a little."""

from __future__ import annotations

import math
from collections import Counter
from datetime import date
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from pricing.advice import listing, spot, together, unsold
from pricing.advice.spot import Turned
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.formulas import bench_sums
from pricing.model.price import ages, averaging
from pricing.model.price.mixed import Prior
from pricing.model.repair import repair_fit, skill, skill_fit
from pricing.model.repair.starts import Starts
from pricing.model.saletime import saletime, saletime_fit
from pricing.words import tokens

# ---- a place in the shop


@pytest.mark.parametrize(
    ("left", "price"), [(10.0, 10.0), (0.4, 0.4), (1000.0, 1000.0), (0.0, 0.0), (-1.0, 0.0)]
)
def test_the_price_of_a_place_is_where_nothing_is_left(left: float, price: float) -> None:
    assert spot._where_nothing_is_left(lambda h: left - h) == pytest.approx(price, abs=1e-4)


def test_the_turnover_of_five_units_by_hand() -> None:
    """Money only of units that ended; days on the bench from none to 399, whatever became of it."""
    rows: list[dict[str, Any]] = [
        {"type": "dryer", "outcome": "sold", "got": 100.0, "listed": 100.0, "paid": 10.0,
         "parts": 5.0, "haul_cost": 2.0, "helper": 3.0, "cost_in": 1.0},
        {"type": "dryer", "outcome": "scrapped", "got": 100.0, "listed": 499.0, "paid": 4.0},
        {"type": "washer", "outcome": "parted", "got": 100.0, "listed": 99.0},
        {"type": None, "outcome": "returned", "got": 100.0, "listed": 500.0, "paid": 1.0},
        {"type": "dryer", "outcome": "listed", "got": 100.0, "listed": 110.0, "paid": 50.0},
    ]  # fmt: skip
    found = spot.turned_over(from_rows(rows))

    assert dict(found.types) == {"dryer": 3, "washer": 1}
    assert (found.ended, found.sold, found.money) == pytest.approx((4.0, 1.0, 26.0))
    assert (found.benched, found.bench_days) == pytest.approx((3.0, 409.0))
    # the guesses count as ten units: 7 sold, $450, 60 days
    assert spot.turnover(found) == pytest.approx((8 / 14, 476 / 14, 469 / 13))
    assert spot.turnover(Turned(Counter())) == pytest.approx((0.7, 45.0, 6.0))
    twice = found + Turned(found.types, 1.0, 2.0, 3.0, 4.0, 5.0)
    assert dict(twice.types) == {"dryer": 6, "washer": 2}
    assert spot.turnover(twice) == pytest.approx((10 / 15, 479 / 15, 474 / 17))


# ---- several units together


def test_the_chance_to_lie_below_is_the_normal_laws() -> None:
    z = np.array([-3.0, -1.0, -0.25, 0.0, 0.25, 1.0, 3.0])
    exact = [0.5 * math.erfc(-one / math.sqrt(2)) for one in z]

    assert together._chance(z) == pytest.approx(exact, abs=1e-5)


def test_what_is_a_units_own_hangs_on_its_name_and_is_mirrored() -> None:
    one, again, other = (together._own(name) for name in ("A-1", "A-1", "A-2"))

    assert one.shape == (5, together.DRAWS)
    assert np.array_equal(one, again)
    assert not np.allclose(one, other)
    assert one[:, : together.DRAWS // 2] == pytest.approx(-one[:, together.DRAWS // 2 :])
    assert abs(np.corrcoef(one)[np.triu_indices(5, 1)]).max() < 0.3  # 5 sd of 256 pairs: .31


def test_a_sum_is_carried_to_its_known_mean_and_keeps_its_spread() -> None:
    """Draws 1 to 512 with mean 256.5, known to be 513: all twice as large."""
    each = [
        np.arange(1.0, 257.0).repeat(2),
        np.arange(1.0, 513.0) - np.arange(1.0, 257.0).repeat(2),
    ]
    found = together.summed(each, [500.0, 13.0], 0.8)

    assert (found.n, found.coverage) == (2, 0.8)
    assert (found.mean, found.median) == pytest.approx((513.0, 513.0))
    assert (found.low, found.high) == pytest.approx((2 * (1 + 51.1), 2 * (1 + 459.9)))
    assert vars(together.summed([], [], 0.8)) == pytest.approx(
        {"n": 0, "mean": 0, "median": 0, "low": 0, "high": 0, "coverage": 0.8}
    )


# ---- the days and the money of a plan


def plan_of(a: float, b: float, pace: list[float] | None = None) -> Any:
    """Ten days at 100 and twenty at 90, with so many sales a day at each; one thing known."""
    fast = pace or [1.0, 1.0]
    left = math.exp(-10 * a * fast[0])
    sold = np.array([1 - left, left * -math.expm1(-20 * b * fast[1])])
    sale = SimpleNamespace(
        days=np.array([10.0, 20.0]),
        weight=np.array([1.0]),
        rate=np.array([[b, a]]),  # by asks, rising
        pace=None if pace is None else np.array(pace),
    )
    return SimpleNamespace(
        starts=np.array([0.0, 10.0]),
        asks=np.array([100.0, 90.0]),
        sale=sale,
        course=SimpleNamespace(sold=sold, sold_by_latent=sold[:, None]),
    )


def test_the_day_by_which_a_share_is_sold_in_closed_form() -> None:
    plan = plan_of(0.02, 0.05)

    assert listing.day_sold(plan, 0.1) == pytest.approx(-math.log(0.9) / 0.02)
    assert listing.day_sold(plan) == pytest.approx(10 + (math.log(2) - 0.2) / 0.05)
    assert listing.day_sold(plan, 0.99) == pytest.approx(30)  # cleared out before
    slow = plan_of(0.02, 0.05, [1.0, 0.8])
    assert listing.day_sold(slow) == pytest.approx(10 + (math.log(2) - 0.2) / 0.04)


def test_clearing_brings_a_share_of_what_is_left_to_be_worth() -> None:
    """One in four as thought, three worth twice as much, of 200; half of it at clearing out."""
    demand = SimpleNamespace(estimate=200.0, latent=(np.array([0.0, math.log(2)]), None, None))
    at = SimpleNamespace(share=0.5)
    left = SimpleNamespace(course=SimpleNamespace(left_by_latent=np.array([0.1, 0.3])))

    assert listing.clearing_price(left, demand, at) == pytest.approx(0.5 * 200 * 7 / 4)  # type: ignore[arg-type]


def test_a_unit_waits_by_what_its_row_says() -> None:
    """Up from its day on; without a day it says so; on the bench or listed later it is in work."""
    day = date(2026, 10, 5)
    today = float(day.toordinal())
    rows: list[dict[str, Any]] = [
        {"unit": "a", "outcome": "listed", "listed": today},
        {"unit": "b", "outcome": "listed", "listed": today - 3},
        {"unit": "c", "outcome": "listed", "listed": today + 1},
        {"unit": "d", "outcome": "listed"},
        {"unit": "e", "outcome": "waiting for part", "listed": today - 9, "got": today - 20},
        {"unit": "f", "outcome": "", "got": today - 30},
        {"unit": "g", "outcome": "in work", "listed": today - 1, "got": today - 30},
    ]
    up, undated, in_work = unsold.told_apart(rows, day)

    assert [row["unit"] for row in up] == ["b", "a"]
    assert [one.unit for one in undated] == ["d"]
    assert [one.unit for one in in_work] == ["f", "g", "e", "c"]  # the longest first, then by name
    assert [one.outcome for one in in_work] == ["in work", "in work", "waiting for part", "in work"]


# ---- the scales of a price


def bowl(H: np.ndarray) -> Any:
    """A likelihood whose logarithm is exactly a bowl, with its lowest point."""
    theta = np.array([0.3, -0.2])

    def value(point: np.ndarray) -> float:
        return float((point - theta) @ H @ (point - theta)) / 2

    likelihood = SimpleNamespace(
        tau=np.ones(2), precision=np.zeros((2, 2)), curvature=lambda _: H, value=value
    )
    return SimpleNamespace(likelihood=likelihood, theta=theta)


def test_draws_of_scales_from_a_bowl_weigh_alike_and_have_its_spread() -> None:
    """Then the Laplace approximation is exact; .6 of the variance is taken off the middle."""
    H = np.array([[4.0, 1.0], [1.0, 9.0]])
    found = bowl(H)
    points, weights = averaging.draws(found, 64)

    assert weights.sum() == pytest.approx(1)
    assert weights * 64 == pytest.approx(1, abs=0.01)
    assert points.shape == (64, 2)
    assert points.mean(0) == pytest.approx(found.theta - 0.6 * np.diag(np.linalg.inv(H)), abs=1e-4)
    away = (points - points.mean(0))[:, ::-1]  # what the sales tell most of comes first
    alone = away @ np.linalg.cholesky(H[::-1, ::-1])
    assert (alone**2).mean(0) == pytest.approx(1, abs=1e-3)


def test_a_saddle_is_made_a_bowl_by_twice_its_depth() -> None:
    found = bowl(np.diag([-2.0, 4.0]))
    points, weights = averaging.draws(found, 64)

    assert (points - points.mean(0)).var(0) == pytest.approx([1 / 2.001, 1 / 8.001], rel=1e-6)
    assert weights.sum() == pytest.approx(1)
    assert weights.max() / np.median(weights) < math.exp(2) + 1e-9


def test_one_draw_or_no_free_scale_is_the_maximum_itself() -> None:
    found = bowl(np.eye(2))
    for count, tau in ((1, [1.0, 1.0]), (64, [0.0, 0.0])):
        found.likelihood.tau = np.array(tau)
        points, weights = averaging.draws(found, count)
        assert points == pytest.approx(found.theta[None, :])
        assert weights == pytest.approx([1.0])


def test_scales_that_move_together_have_the_covariance_that_is_said() -> None:
    """tau^2 each, shared_tau^2 between those that share; the error moves by itself."""
    together_ = Prior(
        np.ones(3), np.array([0.5, 0.0, 2.0]), 0.22, 0.8, np.array([1.0, 1.0, 1.0]), 0.3
    )
    covariance = np.array([[0.25 + 0.09, 0.09, 0], [0.09, 4 + 0.09, 0], [0, 0, 0.64]])
    found = together_.precision()

    assert found[np.ix_([0, 2, 3], [0, 2, 3])] @ covariance == pytest.approx(np.eye(3), abs=1e-12)
    assert not found[1].any() and not found[:, 1].any()  # said: it does not move
    apart = Prior(np.ones(2), np.array([0.5, np.inf])).precision()
    assert apart == pytest.approx(np.diag([4.0, 0.0, 1.0]))


# ---- people, and what the person says of them


def test_the_spread_between_people_is_where_its_own_rule_leaves_it() -> None:
    """Hours of invented people: mean, spread and error satisfy the equations of the random effect
    (the fixed point of the EM steps), with four units' worth of the starting spreads."""
    r = np.random.default_rng(8)
    n = np.array([3.0, 12.0, 40.0, 25.0, 7.0])
    shifts = np.array([0.5, -0.4, 0.2, -0.3, 0.1])
    logs = [shift + r.normal(0, 0.35, int(k)) for shift, k in zip(shifts, n, strict=True)]
    sums = np.array([[len(x), x.sum(), (x**2).sum()] for x in logs])
    told, between, error = skill_fit._hours(sums, 0.5)
    mean, variance = told.T

    assert variance == pytest.approx(1 / (n / error**2 + 1 / between**2), rel=1e-3)
    assert mean == pytest.approx(variance * sums[:, 1] / error**2, rel=1e-3)
    assert between**2 == pytest.approx(
        (np.sum(mean**2 + variance) + 4 * skill.HOURS_SD**2) / (5 + 4), rel=1e-3
    )
    left = sum(
        float(((x - m) ** 2).sum()) + k * v
        for x, m, k, v in zip(logs, mean, n, variance, strict=True)
    )
    assert error**2 == pytest.approx((left + 4 * 0.5**2) / (n.sum() + 4), rel=1e-3)


def test_people_of_whom_nothing_is_known_are_as_spread_as_assumed() -> None:
    nobody = np.zeros((3, skill_fit.BINS))
    told, between = skill_fit._fix(nobody, nobody)

    assert told[:, 0] == pytest.approx(0, abs=1e-9)
    assert told[:, 1] == pytest.approx(skill.FIX_SD**2, rel=1e-6)
    assert between == pytest.approx(skill.FIX_SD, rel=1e-6)


def test_one_who_fixes_three_of_four_is_better_by_the_log_odds() -> None:
    """400 units of even odds (the bin of .1), 300 fixed: the normal law of ln 3 - .1 with variance
    1 / (n p q), shrunk by the spread that is found."""
    ended, done = np.zeros((1, skill_fit.BINS)), np.zeros((1, skill_fit.BINS))
    ended[0, 32], done[0, 32] = 400, 300
    told, between = skill_fit._fix(ended, done)
    sampling = 1 / (400 * 0.75 * 0.25)

    assert told[0, 0] == pytest.approx(
        (math.log(3) - 0.1) * between**2 / (between**2 + sampling), abs=0.02
    )
    assert told[0, 1] == pytest.approx(
        1 / (1 / sampling + 1 / between**2), rel=0.1
    )  # the law of a share leans a little
    assert between**2 == pytest.approx(
        (told[0, 0] ** 2 + told[0, 1] + 4 * skill.FIX_SD**2) / 5, rel=1e-3
    )


def test_scales_of_days_that_no_listing_moves_stay() -> None:
    scales = np.array(saletime.SCALES)
    n_families, n_types = 3, 5
    group = np.repeat(np.arange(4), [1, n_families, n_types, 2 * n_families])
    prior = np.append(scales[group] ** -2.0, [1.0, 4.0])
    found = saletime_fit._learned_scales(
        np.zeros(len(prior)), np.diag(prior), prior, n_families, n_types
    )

    assert found == pytest.approx(scales, rel=1e-9)


def test_scales_of_days_known_exactly_are_pulled_by_four() -> None:
    """So many listings that each coefficient is what it is: (sum b^2 + 4 sd^2) / (n + 4), within
    four times the start either way."""
    scales = np.array(saletime.SCALES)
    n_families, n_types = 3, 5
    group = np.repeat(np.arange(4), [1, n_families, n_types, 2 * n_families])
    prior = np.append(scales[group] ** -2.0, [1.0])
    away = np.append(np.array([0.1, 0.3, 9.0, 0.0])[group], 0.2)
    found = saletime_fit._learned_scales(away, np.diag(prior + 1e9), prior, n_families, n_types)

    assert found[1] == pytest.approx(math.sqrt((3 * 0.09 + 4 * scales[1] ** 2) / 7), rel=1e-4)
    assert found[2] == pytest.approx(4 * scales[2])
    assert found[3] == pytest.approx(math.sqrt(4 * scales[3] ** 2 / 10), rel=1e-3)


def test_of_ten_counts_ten_beside_two_of_the_table() -> None:
    """The shift carries the mean chance of the record's own units to (answer + 2 table) / 12."""
    settings = Settings(sold_of_ten=9)
    cells: Any = {
        ("electric dryer", "no heat", ""): np.array([3.0]),
        ("gas range", "dead", ""): np.array([1.0]),
    }
    chance = np.array([Starts(settings).of(key[0], key[1], "")[0] for key in cells])
    weight = np.array([0.75, 0.25])
    shift = repair_fit._told_shift(cells, settings)
    variance = bench_sums.before(bench_sums.FIX_SD)
    reached = [
        bench_sums.mean_chance(bench_sums.fix_offset(one, shift), variance) for one in chance
    ]

    assert weight @ np.array(reached) == pytest.approx((9 + 2 * (weight @ chance)) / 12, abs=1e-6)
    assert repair_fit._told_shift(cells, Settings()) == pytest.approx(0)


# ---- tables and words


def test_two_tables_of_ages_are_added_cell_by_cell() -> None:
    def table(*cells: tuple[str, int, int]) -> ages.AgeTable:
        counts = np.zeros((len(cells), ages.OLDEST + 1))
        counts[np.arange(len(cells)), [age for _, _, age in cells]] = 2
        names = tuple(name for name, _, _ in cells)
        grades = np.array([grade for _, grade, _ in cells])
        return ages.AgeTable(names, ("f",) * len(cells), grades, counts, True)

    both = ages.added(table(("b", 1, 3), ("b", 2, 0)), table(("a", 1, 4), ("b", 1, 3)))

    assert both.types == ("a", "b", "b")
    assert both.grades.tolist() == [1, 1, 2]
    assert both.counts.sum(1).tolist() == [2, 4, 2]
    assert both.counts[[0, 1, 2], [4, 3, 0]].tolist() == [2, 4, 2]


@pytest.mark.parametrize(
    ("said", "tidy"),
    [
        ("two (2) dryers", "2 dryers"),
        ("Twelve (12) washers", "12 washers"),
        ("(13) washers", "(13) washers"),
        ("(2) dryers", "2 dryers"),
        ("1 1/2 hours", "1.5 hours"),
        ("took 1/2h", "took 0.5 h"),
        ("3½ hours", "3.5 hours"),
        ("5 ½ ft", "5.5 ft"),
        ("½ an hour", "0.5 an hour"),
        ("one's dead", "one's dead"),
        ("and one's dead", "and one is dead"),
        ("is .5 ft", "is 0.5 ft"),
        ("dead 🔥 dryer", "dead  ,  dryer"),
    ],
)
def test_a_text_is_tidied_before_it_is_taken_apart(said: str, tidy: str) -> None:
    assert tokens.tidied(said) == tidy
