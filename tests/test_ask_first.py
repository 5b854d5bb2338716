"""What to ask first: the value of an answer equals asking again over all answers."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest
from offer_numbers import DAY, FAULTS, TYPES, numbers_of

from pricing.advice.ask_first import ask_first, unknowns_of
from pricing.advice.offer import decide
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.formulas.unknowns import value_of_answers


def question_of(r: np.random.Generator) -> Question:
    """An invented unit with some things told and others not."""
    unit: dict[str, Any] = {"type": TYPES[r.integers(len(TYPES))]}
    for name, values in (
        ("fault", FAULTS),
        ("condition", ("rough", "good")),
        ("maker", ("arvo", "belmo")),
        ("features", ("steam",)),
    ):
        if r.random() < 0.5:
            unit[name] = values[r.integers(len(values))]
    if r.random() < 0.4:
        unit["age"] = float(r.integers(1, 18))
    return Question(
        unit, {"miles": float(r.integers(0, 30)), "their_price": float(5 * r.integers(-4, 25))}
    )


def test_equal_to_asking_again_over_all_answers_on_20_units() -> None:
    """Exactly for what is wrong with it; for what moves its price up to what a plan of its own is
    worth: each limit within a sixteenth of the price, all together within a sixtieth."""
    numbers, own, r = numbers_of(150), Settings(), np.random.default_rng(5)
    apart: list[float] = []
    for _ in range(20):
        question = question_of(r)
        blank = decide(question, numbers, own, DAY)
        likely = [
            ("" if one.repair == "something else" else one.repair, one.chance)
            for one in blank.repairs
        ]
        price = blank.pay_up_to + float(
            r.normal(0, 15)
        )  # near the limit, where an answer can change the decision
        for one in ask_first(question, price, numbers, own, DAY):
            unknown = next(
                u
                for u in unknowns_of(question, numbers, own, DAY, likely)
                if u.question == one.question
            )
            told = [limit for _, _, limit in one.answers]
            again = [decide(asked, numbers, own, DAY).pay_up_to for _, _, asked in unknown.answers]
            chances = np.array([chance for _, chance, _ in unknown.answers])
            gains = np.array(told) - price
            worth = chances @ np.maximum(gains, 0.0) - max(0.0, float(chances @ gains))
            assert one.worth == pytest.approx(worth, abs=1e-9)
            assert chances.sum() == pytest.approx(1)
            if one.name in ("fault", "type"):
                assert told == pytest.approx(again, abs=1e-6)
            apart += ((np.array(told) - again) / blank.price.mean).tolist()
    assert len(apart) > 100
    assert np.abs(apart).max() < 1 / 16
    assert abs(np.mean(apart)) < 1 / 60


def test_two_answers_by_hand() -> None:
    """Worth 100 or -60, as likely, at nothing asked: blind 20, knowing 50. At a price of 100 no
    answer changes anything."""
    worths, even = [100.0, -60.0], [0.5, 0.5]
    assert value_of_answers(worths, even, 0.0) == 30
    assert value_of_answers(worths, even, 100.0) == pytest.approx(0, abs=1e-9)
    assert value_of_answers(worths, even, -200.0) == pytest.approx(0, abs=1e-9)


def test_ranked_by_worth_and_never_below_zero() -> None:
    numbers, r = numbers_of(150), np.random.default_rng(6)
    for _ in range(20):
        ranked = ask_first(question_of(r), 20.0, numbers, Settings(), DAY)
        assert [one.worth for one in ranked] == sorted((one.worth for one in ranked), reverse=True)
        assert all(one.worth >= 0 for one in ranked)


def test_age_decides_where_it_moves_the_limit_past_the_price() -> None:
    answer = decide(
        Question(
            {"type": "front-load washer", "fault": "won't drain", "condition": "good"},
            {"their_price": 60, "miles": 12},
        ),
        numbers_of(0),
        Settings(),
        DAY,
    )

    age = next(one for one in answer.ask_first if one.question == "how old is it?")
    limits = [limit for _, _, limit in age.answers]
    assert limits == sorted(limits, reverse=True)
    assert limits[0] > 60 > limits[-1]


def test_what_is_told_is_not_asked() -> None:
    told = Question(
        {
            "type": "gas dryer",
            "fault": "no heat",
            "repair": "belt",
            "age": 5.0,
            "condition": "good",
            "maker": "arvo",
            "features": "steam",
        },
        {"their_price": 20, "miles": 5},
    )
    assert ask_first(told, 20.0, numbers_of(150), Settings(), DAY) == []


def test_several_years_made_and_a_name_that_may_be_several_kinds_are_asked() -> None:
    years = Question({"type": "gas dryer", "fault": "no heat"}, {"miles": 5}, made=(2004, 2024))
    assert any(
        one.question == "which year was it made?"
        for one in ask_first(years, 15.0, numbers_of(0), Settings(), date(2026, 4, 30))
    )
    kinds = Question({"type": "washer", "fault": "won't drain"}, {"miles": 5})
    at = float(
        np.mean(
            [
                decide(kinds.with_unit(type=name), numbers_of(0), Settings(), DAY).pay_up_to
                for name in ("top-load washer", "front-load washer")
            ]
        )
    )
    asked = next(
        one
        for one in ask_first(kinds, at, numbers_of(0), Settings(), DAY)
        if one.question == "which kind of washer?"
    )
    # the kinds of "washer" and their shares are those of the table
    assert [(label, round(chance, 2)) for label, chance, _ in asked.answers] == [
        ("top-load washer", 0.66),
        ("front-load washer", 0.27),
        ("compact/portable washer", 0.04),
        ("compact front-load washer", 0.03),
    ]


@pytest.mark.parametrize(
    ("kind", "never"),
    [
        ("gas range", "(electric)"),
        ("electric range", "(gas)"),
        ("front-load washer", "(top-load)"),
        ("gas dryer", "(electric)"),
    ],
)
def test_no_fault_is_asked_for_that_the_type_cannot_have(kind: str, never: str) -> None:
    """Learned faults of its like among them: what an electric dryer had is nothing to ask of a gas
    dryer where the fault's name says so."""
    found = unknowns_of(Question({"type": kind}), numbers_of(150), Settings(), DAY, [])
    asked = next(one for one in found if "what does it do" in one.question)

    assert len(asked.answers) > 3
    assert not any(never in label for label, _, _ in asked.answers)
