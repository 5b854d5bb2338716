"""Tests at the door by their worth, and what a written promise costs."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from pricing.advice import beside, door_test
from pricing.basis.question import Question
from pricing.cli import group
from pricing.words.tables import rows

ALL = {(kind, row["told_before"]) for row in rows("door_tests") for kind in row["types"]}
WASHER = Question({"type": "top-load washer", "age": 5.0})


def limits_of(by_fault: dict[str, float], other: float):
    return lambda asked: [by_fault.get(one.unit["fault"], other) for one in asked]


@pytest.mark.parametrize(("kind", "told"), sorted(ALL))
def test_no_test_has_a_danger_beside_it_or_a_meter(kind: str, told: str) -> None:
    for answers in door_test.tests_for(kind, told).values():
        assert not any(row["danger_tag"] or "bench" in row["at"] for row in answers)


def test_the_dangerous_ones_are_there_to_be_left_out() -> None:
    tagged = {row["test"] for row in rows("door_tests") if row["danger_tag"]}
    assert tagged & {row["test"] for row in rows("door_tests") if row["told_before"]}


def test_the_value_is_the_difference_of_the_decisions() -> None:
    """Drawn as often as the table says: gain of deciding after the answer less that of deciding
    before it, within two standard errors of the value that was stated."""
    limits = {"won't spin or agitate (top-load)": 20.0, "dead": 5.0, "won't drain": 10.0}
    found = door_test.ranked(WASHER, 60.0, 45.0, limits_of(limits, 60.0))
    assert len(found) >= 2
    pick = np.random.default_rng(1)
    for one in found:
        most = np.array([limit for _, _, limit in one.answers])
        chance = np.array([share for _, share, _ in one.answers])
        drawn = most[pick.choice(len(most), 20_000, p=chance)] - 45.0
        gain = np.maximum(drawn, 0.0) - drawn * (60.0 > 45.0)
        assert chance.sum() == pytest.approx(1.0)
        assert chance @ most == pytest.approx(60.0)
        assert one.worth == pytest.approx(gain.mean(), abs=2 * gain.std() / 20_000**0.5)
    assert [one.worth for one in found] == sorted((one.worth for one in found), reverse=True)


def test_an_answer_that_changes_no_decision_is_worth_nothing() -> None:
    assert door_test.ranked(WASHER, 60.0, 0.0, limits_of({}, 60.0)) == []


def test_the_answers_stand_in_the_offer_and_ask_again_as_words(tmp_path: Path) -> None:
    there = ["--home", str(tmp_path), "--as-of", "2026-10-05"]
    run = CliRunner()
    assert run.invoke(group, ["fit", *there]).exit_code == 0

    def offer(words: str) -> dict[str, object]:
        return json.loads(run.invoke(group, ["offer", words, "--json", *there]).output)

    told = offer("top-load washer, 5 years, wants 30")
    test = told["door_tests"][0]
    again = next(one for one in test["answers"] if one["value"])
    asked = offer(f"top-load washer, 5 years, {again['value']}, wants 30")
    assert asked["pay_up_to"] == pytest.approx(again["pay_up_to"])
    assert "door_tests" not in offer("gas range, smells of gas, free")


def test_a_promise_costs_more_for_longer_and_for_a_dearer_unit(tmp_path: Path) -> None:
    row = next(row for row in rows("comebacks") if "chest freezer" in row["types"])
    assert beside.cost_of_one(400.0, row, 30.0) > beside.cost_of_one(200.0, row, 30.0)
    there = ["--home", str(tmp_path), "--as-of", "2026-10-05"]
    run = CliRunner()
    assert run.invoke(group, ["fit", *there]).exit_code == 0
    said = run.invoke(group, ["ask", "chest freezer, 5 years, good", "--json", *there]).output
    cost = json.loads(said)["warranty"]
    assert 0 < cost["days_30"] < cost["days_90"]
    assert cost["days_30"] == pytest.approx(cost["share"] * cost["one"])
