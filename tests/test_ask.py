"""What to ask: the answer as a whole, its plan and its offers, what must not move it, and bad
input. The plan's arithmetic is in test_plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import settings as checks
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from pricing.advice import ask, ask_curve, listing, pairs
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.formulas import asks, pair, selling, usual_way
from pricing.model import saved
from pricing.model.price import price
from pricing.model.saletime import saletime
from pricing.model.saved import Saved
from pricing.pages import laid_out
from pricing.pages.text import width_of
from pricing.pipeline import question_from as questions
from pricing.pipeline.demo import DEMO_DAY
from pricing.pipeline.fitting import fit
from pricing.wording import ask_words as words

UNIT = {"type": "front-load washer", "age": 7.0, "condition": "good", "features": "steam"}
HIDDEN = (
    "elasticity",
    "hazard",
    "prior",
    "pooled",
    "fitted",
    "calibrated",
    "median",
    "coverage",
    "nan",
    "inf",
)  # never on a screen


@pytest.fixture(scope="module")
def demo(demo_home_once: Home) -> Saved:
    """The numbers of the invented demo record."""
    return saved.load(demo_home_once)


@pytest.fixture(scope="module")
def nothing(tmp_path_factory: pytest.TempPathFactory) -> Saved:
    """The starting figures alone: no unit in the record."""
    home = Home(tmp_path_factory.mktemp("nothing"))
    fit(home, Settings(), DEMO_DAY)
    return saved.load(home)


def answer(
    numbers: Saved,
    settings: Settings | None = None,
    known: dict[str, float] | None = None,
    **unit: Any,
) -> ask.AskAnswer:
    return ask.decide(
        Question({**UNIT, **unit}, known or {}, as_read="a washer"),
        numbers,
        settings or Settings(),
        DEMO_DAY,
    )


def listed(days: int) -> float:
    return float(DEMO_DAY.toordinal() - days)


def dated(*entries: tuple[int, float]) -> str:
    """Asks as the record keeps them, by days before today."""
    return "; ".join(
        f"{(DEMO_DAY - timedelta(days=back)).isoformat()}:{amount:g}" for back, amount in entries
    )


def test_every_key_of_the_json_is_there(demo: Saved) -> None:
    found = answer(demo).as_dict()

    wanted = {
        "unit",
        "ask",
        "median",
        "mean",
        "low",
        "high",
        "coverage",
        "price_at_ask",
        "take_at_least",
        "median_days",
        "chance_sold",
        "plan",
        "choices",
    }
    assert wanted | {"sales_used", "standing", "because", "similar", "cautions", "warnings"} <= set(
        found
    )
    assert set(found["price_at_ask"]) == {"median", "low", "high"}
    assert set(found["chance_sold"]) == {"7", "14", "30", "60"}
    assert all(set(step) == {"date", "ask", "take_at_least"} for step in found["plan"])
    assert all(
        set(choice) == {"name", "ask", "days", "price", "left"} for choice in found["choices"]
    )
    assert set(found["standing"]) == {"price", "days", "haggle"}
    assert_allclose(sum(term["amount"] for term in found["because"]), found["median"], atol=0.01)


def test_the_answer_hangs_together(demo: Saved) -> None:
    """Asks fall and dates rise; what is least to take lies under the ask and falls; chances rise
    with the days; half are sold by the middle day."""
    found = answer(demo)
    chances = [found.chance_sold[days] for days in ask.DAYS]

    assert [step.date for step in found.plan] == sorted({step.date for step in found.plan})
    assert all(
        later.ask < sooner.ask for sooner, later in zip(found.plan, found.plan[1:], strict=False)
    )
    assert all(
        later.take_at_least <= sooner.take_at_least + 1e-9
        for sooner, later in zip(found.plan, found.plan[1:], strict=False)
    )
    assert all(0 < step.take_at_least <= step.ask for step in found.plan)
    assert chances == sorted(chances)
    assert found.low < found.median < found.high
    assert (
        found.plan[0].date
        == DEMO_DAY
        < found.plan[-1].date
        < found.clear_on
        == DEMO_DAY + timedelta(days=56)
    )
    assert (found.chance_sold[7] < 0.5) == (found.median_days > 7)


def test_the_middle_way_leaves_the_most(demo: Saved) -> None:
    """Quick sells sooner, patient later, and neither leaves more than the plan but for rounding the
    asks."""
    quick, plan, *_, patient = answer(demo).choices

    assert quick.ask < plan.ask < patient.ask
    assert quick.days < plan.days < patient.days
    assert quick.price < plan.price < patient.price
    assert plan.left >= max(quick.left, patient.left) * 0.995


def test_the_usual_way_is_the_plan_unless_another_is_surely_better(demo: Saved) -> None:
    """Where the laws of demand agree the best plan stands; where they differ by more than it
    gains, the person's own way does, and either way both are shown."""
    seen = set()
    for kind in ("electric dryer", "dishwasher", "side-by-side fridge", "wall oven", "gas range"):
        for age in (3.0, 9.0):
            one = Question({"type": kind, "age": age, "condition": "good"})
            view = ask.look([one], demo, Settings(), DEMO_DAY)
            at, _ = ask.terms_of(one, view, 0, demo, Settings())
            demand = view.demands[0]
            best = listing.best(demand, replace(at, habit=None))
            found = listing.best(demand, at)
            laws = len(demand.eta)
            assert found.usual is not None
            gain = best.course.value_by_latent - found.usual.course.value_by_latent
            sure = usual_way.surely_better(gain.tolist(), best.sale.weight.tolist(), laws)
            assert_allclose(found.asks, best.asks if sure else found.usual.asks)
            names = [way.name for way in ask.decide(one, demo, Settings(), DEMO_DAY).choices]
            same = np.array_equal(found.asks, found.usual.asks)
            assert ("your usual way" in names, "this plan" in names) == (True, not same)
            certain = replace(demand, law_weight=np.eye(laws)[0])
            alone = listing.best(certain, at)
            assert alone.usual is not None
            assert alone.value[0] >= alone.usual.value[0]
            seen.add(sure)
    assert True in seen


def test_no_ask_goes_over_the_one_that_is_told_to_be_in_force(demo: Saved) -> None:
    """Listed at half or twice of what would be asked, nobody says since when: it stays for its
    week and only comes down, and what its owner asks says what it is worth."""
    fresh = answer(demo)
    for asked_now in (fresh.ask / 2, fresh.ask * 1.5):
        found = answer(demo, known={"asked_now": asked_now})
        assert found.plan[0].ask == asked_now
        assert max(step.ask for step in found.plan) == asked_now
        assert found.listed_days == 0
        assert (found.median > fresh.median) == (asked_now > fresh.ask)


def test_a_listed_unit_follows_the_usual_way_from_the_ask_in_force(demo: Saved) -> None:
    """Ten days at $230, a drop of a tenth due every fourteen: the next comes in four days."""
    demand = ask.look([Question(UNIT)], demo, Settings(), DEMO_DAY).demands[0]
    habit = (0.1, -float(np.log(0.9)), 14.0)
    days = [4.0, 7.0, 7.0, 7.0]

    told = asks.usual_asks(demand.estimate, habit, 1000.0, days, [(10.0, 230.0)])

    assert_allclose(told, [229, 209, 209, 185], atol=5)


def test_no_way_asks_more_than_the_ceiling(demo: Saved) -> None:
    """The dear one is left out where the plan itself stands at it."""
    for kind in ("electric dryer", "dishwasher", "side-by-side fridge", "gas range"):
        one = Question({"type": kind, "age": 8.0, "condition": "good"})
        view = ask.look([one], demo, Settings(), DEMO_DAY)
        at, _ = ask.terms_of(one, view, 0, demo, Settings())
        found = ask.decide(one, demo, Settings(), DEMO_DAY).choices
        assert len(found) >= 2
        assert max(way.ask for way in found) <= at.highest * (1 + 1e-9), kind


def test_many_at_once_are_each_as_if_alone(demo: Saved) -> None:
    asked = [
        Question({**UNIT, "age": age, "condition": grade})
        for age in (2.0, 9.0, None)
        for grade in ("rough", "good")
    ]
    asked = [
        replace(one, unit={name: value for name, value in one.unit.items() if value is not None})
        for one in asked
    ]

    for many, one in zip(
        ask.decide_many(asked, demo, Settings(), DEMO_DAY),
        (ask.decide(one, demo, Settings(), DEMO_DAY) for one in asked),
        strict=True,
    ):
        assert many.plan[0].date == one.plan[0].date
        assert [step.ask for step in many.plan] == [step.ask for step in one.plan]
        for name in ("median", "mean", "low", "high", "take_at_least", "median_days"):
            assert_allclose(
                getattr(many, name), getattr(one, name), rtol=1e-9
            )  # sums in another order
    assert ask.decide_many([], demo, Settings(), DEMO_DAY) == []


def test_what_went_in_is_not_in_the_ask(demo: Saved) -> None:
    """Money already spent changes nothing but what is repeated of the unit."""
    spent = answer(
        demo, paid=400.0, parts=250.0, haul_cost=80.0, hours=30.0, cost_in=700.0
    ).as_dict()
    free = answer(demo).as_dict()

    assert {name: value for name, value in spent.items() if name != "unit"} == {
        name: value for name, value in free.items() if name != "unit"
    }


def test_dearer_days_ask_less(demo: Saved) -> None:
    cheap, dear = (answer(demo, Settings(holding_cost_per_day=cost)) for cost in (1.0, 9.0))

    assert dear.ask < cheap.ask
    assert dear.take_at_least < cheap.take_at_least
    assert dear.median_days < cheap.median_days
    assert (dear.median, dear.low, dear.high) == (
        cheap.median,
        cheap.low,
        cheap.high,
    )  # the usual way of asking is the person's own


def test_a_demand_is_the_law_the_market_and_the_haggling_of_its_unit(demo: Saved) -> None:
    """Built by hand from its parts, to the last bit: the ask and the price of a spot rest on the
    same one."""
    kinds, times, day = ["electric dryer", "gas range"], demo.saletime, float(DEMO_DAY.toordinal())
    view = ask.look(
        [Question({"type": name, "age": 8.0, "condition": "good"}) for name in kinds],
        demo,
        Settings(),
        DEMO_DAY,
    )
    for place, found in enumerate(view.demands):
        unit = view.units.take(np.array([place]))
        law, market, haggle = (
            price.without_blanks(price.law(demo.price, unit, day)),
            saletime.market(times, unit, day),
            saletime.haggle(times, unit, np.zeros(1)),
        )
        assert (found.estimate, found.sd) == (
            float(np.exp(law.center)[0]),
            float(saletime.unseen_sd(times, law)[0]),
        )
        powers = [
            float(market.log_rate[0] + market.per_eta[0] * (eta - times.eta_mean))
            for eta in times.eta_points
        ]
        callers = (market.log_rate[0] + times.callers_level).tolist()
        assert found.log_rate.tolist() == [*powers, *callers]
        assert (found.log_rate_sd, found.off, found.off_slope) == (
            float(market.log_rate_sd[0]),
            float(haggle.off_mean[0]),
            haggle.off_slope,
        )


def screen(found: ask.AskAnswer) -> str:
    """The whole answer as one line of words."""
    view = laid_out.worded(words.view, found, Settings())
    return " ".join(" ".join(laid_out.lines(view, more=True)).split())


def test_short_of_space_a_day_costs_what_a_spot_earns(demo: Saved) -> None:
    """The price of a spot leads where it is above the holding cost, and only for those who are
    short of space."""
    found = answer(demo, Settings(short_of="space", holding_cost_per_day=0.5))

    assert demo.spot_a_day > 0.5
    assert found.spot
    assert found.holding == demo.spot_a_day
    assert answer(demo, Settings(short_of="units", holding_cost_per_day=0.5)).holding == 0.5
    assert found.ask <= answer(demo, Settings(holding_cost_per_day=0.5)).ask
    assert f"${demo.spot_a_day:.0f} a day, what a spot earns you" in screen(found)


def test_fees_move_what_is_least_to_take(demo: Saved) -> None:
    """Least to take = (worth of carrying on + fixed fee) / (1 - fee), so that with fees it is more
    of a smaller worth."""
    plain, fees = (
        answer(demo),
        answer(demo, Settings(selling_fee_share=0.10, selling_fee_fixed=4.0)),
    )
    carrying_on = fees.take_at_least * 0.9 - 4.0

    assert carrying_on < plain.take_at_least
    assert_allclose(carrying_on, fees.choices[1].left, rtol=0.01)


def test_with_no_record_the_ceiling_holds_and_says_so(nothing: Saved) -> None:
    """No ask over 1.25 times the estimate before the person's own asks say more."""
    found = answer(nothing, Settings(holding_cost_per_day=0.0))

    assert found.ask <= selling.ASK_CEILING * found.median
    assert "1.25 times the estimate" in found.ceiling
    assert found.eta_from == "GUESS"
    assert set(found.standing.values()) == {"GUESS"}
    tight = answer(nothing, Settings(new_price={"front-load washer": 400.0}))
    assert tight.ask <= 240
    assert "plainest new one" in tight.ceiling
    assert "plainest new one" in screen(tight)


def test_a_price_that_the_person_tells_leads(demo: Saved) -> None:
    found = answer(demo, known={"price": 500.0})

    assert found.median == pytest.approx(500.0) and found.mean == pytest.approx(500.0)
    assert 350 < found.take_at_least < found.ask < 700


def test_offers(demo: Saved) -> None:
    """Take what the ask brings anyway, an offer above the ask too; over the least a counter costs
    nothing; close below it meet in between, never under the least nor over the ask; far below wait
    until it would do."""
    base = answer(demo)
    least = base.take_at_least
    for offered in (base.ask * (1 - base.off) + 0.01, base.ask, base.ask + 100):
        found = answer(demo, known={"offered": offered})
        assert found.offer is not None
        assert found.offer["say"] == "take it"
    first = answer(demo, known={"offered": least}).offer
    assert first is not None
    assert first["say"] == "counter"
    assert first["counter"] is not None
    assert least < first["counter"] <= base.ask
    near = answer(demo, known={"offered": 0.9 * least}).offer
    assert near is not None
    assert near["say"] == "counter"
    assert near["counter"] is not None
    assert least <= near["counter"] <= base.ask
    assert (
        near["until"] is None or DEMO_DAY.isoformat() < near["until"] <= base.clear_on.isoformat()
    )
    far = answer(demo, known={"offered": 5.0}).offer
    assert far is not None
    assert far["say"] == "hold"
    assert far["until"] is None


def test_a_unit_that_sat_is_believed_to_be_less(demo: Saved) -> None:
    """Four weeks at a fair ask lower what is asked next; four weeks at an absurd ask say nothing
    and only use up the time."""
    fresh = answer(demo)
    fair = answer(demo, listed=listed(28), asked=dated((28, fresh.median)))
    absurd = answer(demo, listed=listed(28), asked=dated((28, 1e6)))

    assert fair.listed_days == absurd.listed_days == 28
    assert fair.ask < absurd.ask <= fresh.ask * 1.02
    assert fair.clear_on == DEMO_DAY + timedelta(days=28)
    assert absurd.median == fresh.median
    assert fair.median < fresh.median  # who asks less than usual has seen that it is worth less
    assert fair.price_at_ask.median < fresh.price_at_ask.median


@pytest.mark.parametrize(
    ("unit", "days"),
    [
        ({"listed": float(DEMO_DAY.toordinal() - 20)}, 20.0),  # listed, no ask written down
        ({"listed": float(DEMO_DAY.toordinal() - 20), "asked": "0"}, 20.0),
        ({"listed": float(DEMO_DAY.toordinal() - 20), "asked": "1000000"}, 20.0),
        (
            {"listed": float(DEMO_DAY.toordinal() - 20), "asked": dated((90, 350), (60, 300))},
            20.0,
        ),  # both dated before it was listed
        (
            {"listed": float(DEMO_DAY.toordinal() - 20), "asked": dated((5, 350))},
            20.0,
        ),  # the first ask dated after it was listed
        (
            {"listed": float(DEMO_DAY.toordinal() - 20), "asked": dated((20, 350), (-9, 200))},
            20.0,
        ),  # a drop that is still to come
        ({"listed": float(DEMO_DAY.toordinal()), "asked": "300"}, 0.0),
        ({"listed": float(DEMO_DAY.toordinal() + 5), "asked": "300"}, None),  # to be listed
        ({"asked": "300"}, None),  # never listed
        ({"asked": "soon; 12"}, None),
    ],
)
def test_odd_histories(demo: Saved, unit: dict[str, Any], days: float | None) -> None:
    """An answer to each, with the days that can be known."""
    found = answer(demo, **unit)

    assert found.listed_days == days
    assert 0 < found.take_at_least <= found.ask < 1_000
    assert found.plan


def test_after_the_clearing_day(demo: Saved) -> None:
    found = answer(demo, listed=listed(80), asked=dated((80, 380), (40, 320)))

    assert found.plan == ()
    assert found.clear_on == DEMO_DAY
    assert found.choices == ()
    assert 0 < found.take_at_least < 0.6 * found.median  # it has sat, so it is believed to be less
    assert screen(found).startswith("SELL IT OFF for about $")
    assert "listed 80 days, your limit is 56 days" in screen(found)
    with pytest.raises(Refused, match="time on the market is up"):
        ask_curve.curve(Question({**UNIT, "listed": listed(80)}), demo, Settings(), DEMO_DAY)


def test_unknown_type_and_maker(demo: Saved) -> None:
    """A wider range and a sentence, no crash."""
    found = ask.decide(
        Question({"type": "steam cabinet", "maker": "zzz"}), demo, Settings(), DEMO_DAY
    )
    usual = answer(demo)

    assert found.high / found.low > usual.high / usual.low
    assert any("no steam cabinet" in text for text in found.warnings)


def test_years_it_may_be_widen_the_range(demo: Saved) -> None:
    unit = {name: value for name, value in UNIT.items() if name != "age"}
    both = ask.decide(Question(unit, made=(2012, 2022)), demo, Settings(), DEMO_DAY)
    old, new = (
        ask.decide(Question({**unit, "age": age}), demo, Settings(), DEMO_DAY)
        for age in (14.0, 4.0)
    )

    assert old.median < both.median < new.median
    assert both.high / both.low > max(old.high / old.low, new.high / new.low)


@given(
    st.sampled_from(["front-load washer", "wall oven", "dishwasher", "steam cabinet", "window AC"]),
    st.one_of(st.none(), st.floats(0, 60)),
    st.sampled_from([None, "rough", "fair", "good", "like new"]),
    st.floats(0, 40),
    st.floats(0, 0.5),
    st.floats(8, 200),
    st.floats(0, 1),
    st.one_of(st.none(), st.integers(0, 300)),
    st.floats(1, 5_000),
)
@checks(max_examples=40, deadline=None)
def test_any_question_gets_a_screen(
    demo: Saved,
    kind: str,
    age: float | None,
    grade: str | None,
    holding: float,
    fee: float,
    after: float,
    share: float,
    since: int | None,
    asked: float,
) -> None:
    """At most eight lines of at most 60 characters before the fold, finite numbers, none of the
    words that are not for a screen."""
    unit = {
        name: value
        for name, value in {"type": kind, "age": age, "condition": grade}.items()
        if value is not None
    }
    unit |= {} if since is None else {"listed": listed(since), "asked": f"{asked:.2f}"}
    settings = Settings(
        holding_cost_per_day=holding,
        selling_fee_share=fee,
        clear_after_days=after,
        clear_share=share,
    )
    found = ask.decide(Question(unit, {"offered": asked}, as_read=kind), demo, settings, DEMO_DAY)
    lines = laid_out.lines(laid_out.worded(words.view, found, settings, short=True))
    more = laid_out.lines(laid_out.worded(words.view, found, settings), more=True)

    assert len(lines) <= 8
    assert max(map(width_of, lines + more)) <= 60
    assert all(
        " ".join(said.full.split()) in " ".join(" ".join(more).split())
        for said in found.verdict.lines
    )
    lines = more
    assert not {word for word in HIDDEN if word in " ".join(lines).lower().split()}
    assert all(
        np.isfinite(
            [
                found.ask,
                found.take_at_least,
                found.median_days,
                *found.chance_sold.values(),
                found.price_at_ask.low,
                found.price_at_ask.high,
            ]
        )
    )
    assert all(0 <= chance <= 1 for chance in found.chance_sold.values())


def test_the_curve_has_its_best_where_the_ask_is(demo: Saved) -> None:
    """Days rise with the ask; the money that is left is at most a hair above what the advised ask
    leaves."""
    found = ask_curve.curve(Question(UNIT), demo, Settings(), DEMO_DAY)

    assert found.asks[found.best] == answer(demo).ask
    assert (np.diff(found.days) >= -1e-9).all()
    assert found.left[found.best] >= found.left.max() * 0.995
    assert found.left[0] < found.left[found.best] > found.left[-1]


# ---- pairs


def test_a_pair_as_a_pair_and_as_two(demo: Saved) -> None:
    kind = "front-load washer + dryer pair"
    found = ask.decide(
        Question({"type": kind, "age": 6.0, "condition": "good"}), demo, Settings(), DEMO_DAY
    ).pair
    two = [
        ask.decide(
            Question({"type": name, "age": 6.0, "condition": "good"}), demo, Settings(), DEMO_DAY
        ).median
        for name in ("front-load washer", "electric dryer")
    ]

    assert found is not None
    assert_allclose([one["price"] for one in found["as_two"]], two)
    assert_allclose(found["premium"], found["as_pair"] / sum(two) - 1)
    assert answer(demo).pair is None


def test_own_sales_of_pairs_teach_the_premium(nothing: Saved) -> None:
    """Six pairs that each brought 30 % more than both by themselves: the premium goes from the
    starting one most of the way there."""
    kind, day = "top-load washer + dryer pair", float(DEMO_DAY.toordinal())
    sales: list[dict[str, Any]] = []
    for i in range(6):
        for name, mate in (
            ("top-load washer", "electric dryer"),
            ("electric dryer", "top-load washer"),
        ):
            row = {
                "unit": f"{name} {i}",
                "pair": f"{mate} {i}",
                "type": name,
                "age": 6.0,
                "condition": "good",
                "sold": day - 10,
            }
            center = price.law(
                nothing.price, ask.units_of([Question(row)], Settings(), DEMO_DAY)[0], day - 10
            ).center[0]
            sales.append(row | {"price": float(np.exp(center) * 1.3), "pull": 1.0})
    start, start_sd, none = pairs.premium(nothing, kind, Settings())
    learned, sd, n = pairs.premium(replace(nothing, similar=sales), kind, Settings())

    assert none == pytest.approx(0, abs=1e-9)
    assert n == 6
    assert_allclose(start, np.log(425 / (225 + 185)))  # starting prices: common practice
    assert_allclose(
        learned,
        (start / 0.10**2 + 6 * np.log(1.3) / 0.20**2) / (1 / 0.10**2 + 6 / 0.20**2),
        rtol=1e-6,
    )
    assert sd < start_sd


def test_linked_sales_are_matched_once() -> None:
    rows = [
        {"unit": "1", "pair": "2", "type": "top-load washer"},
        {"unit": "2", "pair": "1", "type": "gas dryer"},
        {"unit": "3", "pair": "set A", "type": "electric dryer"},
        {"unit": "4", "pair": "set A", "type": "front-load washer"},
        {"unit": "5", "pair": "6", "type": "wall oven"},
        {"unit": "6", "type": "dishwasher"},
        {"unit": "7", "pair": "7", "type": "top-load washer"},
    ]

    assert [(one["unit"], two["unit"]) for one, two in pair.linked(rows)] == [
        ("1", "2"),
        ("4", "3"),
    ]


def test_words_to_an_answer(demo: Saved) -> None:
    """The whole way from words, as the command goes it."""
    one = questions.read(
        "front-load washer, 7 years, good, steam, offered 180",
        {},
        Settings(),
        DEMO_DAY,
        None,
        "ask",
    )
    found = ask.decide(one, demo, Settings(), DEMO_DAY)

    assert found.offer is not None
    assert found.offer["offered"] == 180
    assert isinstance(found.plan[0].date, date)
