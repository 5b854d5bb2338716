"""One number has one value on every screen: what a fixed unit sells for, and its days, are those of
`ask`'s own plan in an offer too, over 300 questions by seeded chance."""

from __future__ import annotations

import json
import random
from datetime import date
from itertools import pairwise
from typing import Any

import pytest
from click.testing import CliRunner
from offer_numbers import numbers_of

from pricing.advice import ask, offer
from pricing.advice import bench as benching
from pricing.advice.bench import GO_ON
from pricing.basis import assumed
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.cli import group
from pricing.formulas import asks, selling
from pricing.model import saved
from pricing.pipeline import asking

EACH, ALONE = 300, 60


def random_units() -> list[dict[str, Any]]:
    chance = random.Random(20)
    # those with a decision of their own (never sold) have no price to compare
    types = [row.type for row in assumed.TYPES if not row.decision]
    units = []
    for _ in range(EACH):
        unit: dict[str, Any] = {"type": chance.choice(types)}
        for name, values in (
            ("age", (2.0, 7.0, 13.0)),
            ("condition", ("rough", "fair", "good")),
            ("maker", ("halbrook", "norvane")),
            ("features", ("stainless", "steam")),
        ):
            if chance.random() < 0.6:
                unit[name] = chance.choice(values)
        units.append(unit)
    return units


def test_an_offer_expects_what_ask_expects(demo_home_once: Home, demo_day: date) -> None:
    """Middle and ends of the sale price, and the days by which half are sold, to 1e-9."""
    numbers, settings = saved.load(demo_home_once), Settings()
    units = random_units()
    # many at once: each equals its answer alone (tests/test_offer.py, tests/test_ask.py)
    offers = offer.decide_many(
        [Question(unit | {"fault": "dead"}, {}) for unit in units], numbers, settings, demo_day
    )
    asks = ask.decide_many([Question(unit, {}) for unit in units], numbers, settings, demo_day)
    shown = 0
    for unit, offered, asked in zip(units, offers, asks, strict=True):
        if offered.verdict.decision:  # a danger decides: no money is shown
            continue
        shown += 1
        assert vars(asked.price_at_ask) == pytest.approx(
            {name: getattr(offered.price, name) for name in ("median", "low", "high")}, rel=1e-9
        ), unit
        assert offered.days["median"] == pytest.approx(asked.median_days, rel=1e-9), unit
    assert shown > EACH / 2


def test_the_plan_of_a_listed_unit_is_the_step_of_the_list(
    demo_home_once: Home, demo_day: date
) -> None:
    """`unsold` and `ask --unit` name the same next ask and the same least to take today."""
    told = ["--home", str(demo_home_once.path), "--as-of", demo_day.isoformat(), "--json"]
    listed = json.loads(CliRunner().invoke(group, ["unsold", *told]).stdout)["unsold"]
    assert len(listed) > 5
    for one in listed:
        result = CliRunner().invoke(group, ["ask", "--unit", one["unit"], *told])
        asked = json.loads(result.stdout)
        if one["step"] == "come down":
            later = [step["ask"] for step in asked["plan"] if step["ask"] < one["asked"] * 0.985]
            assert later[0] == pytest.approx(one["to"]), one["unit"]
            assert asked["take_at_least"] == pytest.approx(one["least"], rel=1e-6), one["unit"]


def test_no_plan_asks_for_more_than_was_tried_nor_comes_down_by_leaps(
    demo_home_once: Home, demo_day: date
) -> None:
    """No ask over the highest ratio, no step of more than 15 % or sooner than a week, never up."""
    numbers, settings = saved.load(demo_home_once), Settings()
    for unit in random_units()[:100]:
        found = asking.ask(Question(unit, {}), numbers, settings, demo_day)
        highest = selling.highest_ratio(numbers.saletime, unit["type"]) * found.median
        assert found.plan[0].ask <= highest * (1 + 1e-9), unit
        for before, after in zip(found.plan, found.plan[1:], strict=False):
            assert after.ask < before.ask
            assert after.ask >= before.ask * (1 - asks.ASK_STEP) - 1e-9, unit
            assert (after.date - before.date).days >= 7


def test_the_low_end_of_an_offer_is_what_the_bench_would_then_do(
    demo_home_once: Home, demo_day: date
) -> None:
    """Of one unit, offer and bench: the money of the best other way, the chance to fix it, the
    candidate repairs, and fix and leave by the same rule. On a record and on none."""
    settings, stopped = Settings(), 0
    for numbers in (saved.load(demo_home_once), numbers_of(0)):
        units = random_units()[:ALONE]
        questions = [Question({"age": 8.0} | unit | {"fault": "dead"}, {}) for unit in units]
        offers = offer.decide_many(questions, numbers, settings, demo_day)
        for unit, question, offered in zip(units, questions, offers, strict=True):
            benched = benching.decide(question, numbers, settings, demo_day)
            if benched.verdict.decision:
                stopped += 1
                continue
            others = [way for way in benched.ways if way.name != GO_ON]
            assert offered.if_not_fixed == pytest.approx(others[0].money, rel=1e-9), unit
            assert offered.fix_chance == pytest.approx(benched.fix_chance, rel=1e-9), unit
            for name in ("chance", "fix", "parts", "hours"):
                ours, theirs = (
                    {one.repair: getattr(one, name) for one in answer.repairs}
                    for answer in (offered, benched)
                )
                assert ours == pytest.approx(theirs, rel=1e-9), unit
            assert offered.tries == (benched.best == GO_ON), unit
    assert stopped < ALONE


def test_a_chance_of_loss_does_not_jump(demo_home_once: Home, demo_day: date) -> None:
    """From one dollar to the next no chance moves by more than a tenth, nor falls: a dud has no one
    price, and a comeback is a lump for the few that come back. A lognormal law of sd .5 and mean 9
    has at most .11 a dollar."""
    numbers, settings = saved.load(demo_home_once), Settings()
    for name in ("dishwasher", "electric dryer", "gas range"):
        # many at once: each equals its answer alone (tests/test_offer.py)
        asked = [
            Question({"type": name, "fault": "dead"}, {"their_price": float(price)})
            for price in range(60)
        ]
        chances = [
            one.chance_of_loss for one in offer.decide_many(asked, numbers, settings, demo_day)
        ]
        assert chances == sorted(chances)
        assert max(b - a for a, b in pairwise(chances)) < 0.1, name


def test_a_unit_that_one_holds_is_not_offered_for(demo_home_once: Home, demo_day: date) -> None:
    """It is at the bench that such a unit is asked about, and the refusal says so."""
    told = ["--home", str(demo_home_once.path), "--as-of", demo_day.isoformat()]
    result = CliRunner().invoke(group, ["offer", "--unit", "DEMO-204", *told])

    assert isinstance(result.exception, Refused)
    assert "pricing bench --unit DEMO-204" in str(result.exception)


def test_the_hour_said_agrees_with_go_and_pass(demo_home_once: Home, demo_day: date) -> None:
    """An hour on it earns what it would elsewhere, or more, just where the limit reaches the price
    (to the rounding of the limit): GO never stands above too little, PASS never above enough."""
    numbers, own = saved.load(demo_home_once), Settings()
    for theirs in range(0, 150, 10):
        said = Question(
            {"type": "electric dryer", "age": 8.0, "fault": "no heat"},
            {"their_price": float(theirs), "miles": 12.0},
        )
        found = offer.decide(said, numbers, own, demo_day)
        left = found.hours * (found.return_per_hour - own.hour_worth)
        assert left == pytest.approx(found.pay_up_to - theirs, abs=1e-6)
