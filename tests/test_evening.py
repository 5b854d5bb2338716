"""The calls of an evening: exact against full enumeration; Weitzman's boxes."""

from __future__ import annotations

from itertools import combinations, permutations

import numpy as np
import pytest
from offer_numbers import DAY, numbers_of
from references import worth_of_order

from pricing.advice.evening import Call, choose, reservation
from pricing.advice.offer import decide_many
from pricing.basis.problems import Problem
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.pages.evening_text import evening_lines
from pricing.pipeline.offering import evening, plan_json


def enumerated(calls: list[Call], hours: float, spots: int) -> list[float]:
    """Worth of every plan that fits, best first."""
    able = [call for call in calls if call.worth > 0]
    plans = (pick for size in range(min(spots, len(able)) + 1) for pick in combinations(able, size))
    return sorted(
        (
            sum(call.worth for call in pick)
            for pick in plans
            if sum(call.hours for call in pick) <= hours + 1e-9
        ),
        reverse=True,
    )


def greedy(calls: list[Call], hours: float, spots: int) -> float:
    """Best worth per hour first, as long as it fits."""
    total = 0.0
    for call in sorted(
        (call for call in calls if call.worth > 0), key=lambda call: -call.worth / call.hours
    ):
        if call.hours <= hours and spots:
            total, hours, spots = total + call.worth, hours - call.hours, spots - 1
    return total


def test_equal_to_full_enumeration_on_200_evenings_where_greedy_is_often_wrong() -> None:
    r = np.random.default_rng(1)
    wrong = 0
    for _ in range(200):
        calls = [
            Call(float(r.normal(40, 50)), float(r.uniform(0.4, 2.5)))
            for _ in range(r.integers(2, 11))
        ]
        hours, spots = float(r.uniform(1.5, 5)), int(r.integers(1, 5))
        found, plans = choose(calls, hours, spots), enumerated(calls, hours, spots)

        assert found.best.worth == pytest.approx(plans[0])
        assert (
            sum(calls[i].hours for i in found.best.taken) <= hours + 1e-9
            and len(found.best.taken) <= spots
        )
        assert found.best.hours_left == pytest.approx(
            hours - sum(calls[i].hours for i in found.best.taken)
        )
        if len(plans) > 1:
            assert found.second is not None and found.second.worth == pytest.approx(plans[1])
        wrong += greedy(calls, hours, spots) < plans[0] - 1e-9
    assert wrong >= 20


def test_a_long_list_is_still_exact_and_quick() -> None:
    r = np.random.default_rng(2)
    calls = [Call(float(r.uniform(5, 100)), float(r.uniform(0.4, 2.5))) for _ in range(60)]
    found = choose(calls, 4.0, 3)
    assert found.best.worth == pytest.approx(enumerated(calls, 4.0, 3)[0])


def test_nothing_worth_taking() -> None:
    found = choose([Call(-5.0, 1.0), Call(10.0, 9.0)], 3.0, 2)
    assert found.best.taken == () and found.second is None
    assert choose([], 3.0, 2).best.taken == ()
    assert choose([Call(50.0, 1.0)], 3.0, 0).best.taken == ()


def test_weitzmans_two_boxes() -> None:
    """A pays 100 or 55 with equal chance and costs 15 to open, B pays 240 with chance .2 and costs
    20: indices 70 and 140, so B first: 78, against 75 for A first and 62.5 for A alone. Source:
    Weitzman, "Optimal Search for the Best Alternative", Econometrica 47(3), 1979.
    """
    a, b = ((100.0, 0.5), (55.0, 0.5)), ((240.0, 0.2), (0.0, 0.8))

    assert reservation(a, 15) == pytest.approx(70)
    assert reservation(b, 20) == pytest.approx(140)
    assert worth_of_order([a, b], [15, 20], [1, 0]) == pytest.approx(78)
    assert worth_of_order([a, b], [15, 20], [0, 1]) == pytest.approx(75)
    assert worth_of_order([a], [15], [0]) == pytest.approx(62.5)


def test_the_index_order_is_the_best_order() -> None:
    r = np.random.default_rng(3)
    for _ in range(40):
        boxes = []
        for _ in range(3):
            q = float(r.uniform(0.1, 0.9))
            boxes.append(((float(r.uniform(20, 200)), q), (float(r.uniform(0, 60)), 1 - q)))
        costs = [float(r.uniform(1, 15)) for _ in boxes]
        by_index = sorted(range(3), key=lambda i: -reservation(boxes[i], costs[i]))
        best = max(worth_of_order(boxes, costs, order) for order in permutations(range(3)))
        assert worth_of_order(boxes, costs, by_index) == pytest.approx(best, abs=1e-9)


@pytest.mark.parametrize(
    ("boxes", "cost"), [(((10.0, 0.5), (20.0, 0.5)), -1.0), (((10.0, 0.4),), 1.0), ((), 1.0)]
)
def test_an_impossible_box_is_refused(boxes: tuple[tuple[float, float], ...], cost: float) -> None:
    with pytest.raises(ValueError, match="costs 0 or more"):
        reservation(boxes, cost)


def test_an_evening_of_real_answers() -> None:
    own = Settings()
    wanted = [
        ("electric dryer", 0, 3),
        ("top-load washer", 20, 8),
        ("gas range", 10, 15),
        ("dishwasher", 200, 4),
        ("gas dryer", 0, 25),
    ]
    questions = [
        Question(
            {"type": name, "fault": "won't start", "age": 6.0, "condition": "good"},
            {"their_price": float(wants), "miles": float(miles)},
        )
        for name, wants, miles in wanted
    ]
    answers: list = [
        *decide_many(questions, numbers_of(150), own, DAY),
        Problem("this is not an age", line=7),
    ]
    plan = evening(answers, 2.0, 2, numbers_of(150), own, DAY)

    hours = [one.costs.drive_hours + one.costs.load_hours for one in answers[:5]]
    assert sum(hours[i] for i in plan.best.taken) <= 2.0
    assert plan.best.worth == pytest.approx(
        sum(answers[i].pay_up_to - answers[i].paid for i in plan.best.taken)
    )
    assert 3 not in plan.best.taken
    turns = [plan_json(plan, place)["evening"]["take"] for place in range(6)]
    assert sorted(turn for turn in turns if turn) == list(range(1, len(plan.best.taken) + 1))
    lines = evening_lines(answers, plan, own)
    assert all(len(line) <= 60 for line in lines), [line for line in lines if len(line) > 60]
    assert lines[0].startswith("TAKE")
    assert any("Second best" in line for line in lines) and any(
        "Not read" in line for line in lines
    )


def test_with_one_spot_the_order_to_look_is_by_index() -> None:
    own = Settings()
    questions = [
        Question({"type": name, "fault": "dead", "age": 6.0}, {"their_price": 0.0, "miles": 4.0})
        for name in ("electric dryer", "gas range", "top-load washer")
    ]
    numbers = numbers_of(150)
    plan = evening(decide_many(questions, numbers, own, DAY), 3.0, 1, numbers, own, DAY)
    assert [index for _, index in plan.look_first] == sorted(
        (index for _, index in plan.look_first), reverse=True
    )
