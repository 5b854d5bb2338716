"""Several units in one call: each answered, which to take, and up to how much for all."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest
from click.testing import CliRunner

from pricing.advice import costs, offer
from pricing.advice.by_plan import by_plan
from pricing.advice.lot import judge
from pricing.basis.home import Home
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.cli import group
from pricing.model import saved
from pricing.pipeline.question_from import read
from pricing.wording import lot_words as words

DAY = date(2026, 10, 5)
OWN = Settings()
PLACE = {"sign": "$"}


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Home:
    made = Home(tmp_path_factory.mktemp("empty"))
    told = CliRunner().invoke(group, ["setup", "--defaults", "--home", str(made.path)])
    assert told.exit_code == 0, told.output
    return made


@pytest.fixture(scope="module")
def numbers(home: Home) -> saved.Saved:
    return saved.load(home)


def test_two_share_one_drive(numbers: saved.Saved) -> None:
    """Hand case: the drive is counted once, so that the lot is worth both alone and one drive
    more."""
    question = read("two dryers, one no heat, one squeals, 20 for both, 10 miles", {}, OWN, DAY)
    assert [one.unit["fault"] for one in question.each] == ["no heat", "squeals or squeaks"]
    assert all("their_price" not in one.known for one in question.each)
    lot = judge(question, numbers, OWN, DAY)
    alone = costs.limits(
        question.each, numbers, OWN, DAY, by_plan(question.each, numbers, OWN, DAY)
    )
    trip = costs.trip_of(question.each[0], 10.0, OWN)
    load = OWN.minutes_per_trip / 60
    drive = trip.money + OWN.hour_worth * trip.hours
    assert lot.their_price == 20 and lot.take == (0, 1)
    told = lot.as_dict()
    assert told["advice"] == "take all"
    assert lot.pay_up_to == pytest.approx(told["all_pay_up_to"])
    assert lot.pay_up_to > alone.sum()
    # both alone hold two drives; together one, whatever part of it is shared
    assert lot.pay_up_to - alone.sum() <= drive + 1e-9
    assert lot.pay_up_to - alone.sum() >= drive - OWN.hour_worth * load - 1e-9


def test_the_best_few_are_found_among_all(numbers: saved.Saved) -> None:
    """Against trying every set of three."""
    units = [
        {"type": "electric dryer", "fault": "no heat", "age": 6.0},
        {"type": "compact fridge", "fault": "not cooling", "age": 14.0},
        {"type": "front-load washer", "fault": "won't drain", "age": 6.0},
    ]
    each = tuple(Question(unit, {"miles": 8.0}) for unit in units)
    lot = judge(replace(each[0], each=each), numbers, OWN, DAY)
    worth = {(): 0.0}
    for mask in range(1, 8):
        taken = tuple(i for i in range(3) if mask >> i & 1)
        sharing = [
            replace(each[i], known={"miles": 8.0, "on_trip": float(len(taken))}) for i in taken
        ]
        worth[taken] = float(
            costs.limits(sharing, numbers, OWN, DAY, by_plan(sharing, numbers, OWN, DAY)).sum()
        )
    best = max(worth, key=lambda taken: worth[taken])
    assert lot.take == best and lot.pay_up_to == pytest.approx(worth[best])
    told = lot.as_dict()
    assert told["advice"] == "take some"
    assert told["all_pay_up_to"] == pytest.approx(worth[(0, 1, 2)])


def test_a_dangerous_one_is_never_among_them(numbers: saved.Saved) -> None:
    question = read(
        "electric dryer no heat and a countertop microwave with a loud hum, free for both",
        {}, OWN, DAY,
    )  # fmt: skip
    lot = judge(question, numbers, OWN, DAY)
    assert lot.take == (0,) and lot.as_dict()["all_pay_up_to"] is None
    told = replace(offer.decide(question, numbers, OWN, DAY), lot=lot).as_dict()
    assert told["advice"] == "take some" and "microwave" in told["tags"]
    said = words.lot_view(told, PLACE)
    assert said["dangers"][0].startswith("Microwave") and said["headline"].startswith("TAKE no. 1")
    assert "GO GET IT" not in json.dumps(said)


def test_a_landlords_four(home: Home) -> None:
    say = "pile of 4 broken dryers from landlord, $100 for all, 10 miles"
    done = CliRunner().invoke(group, ["offer", say, "--json", "--home", str(home.path)])
    told = json.loads(done.output)
    assert told["lot"]["units"] == len(told["lot"]["each"]) == 4
    assert told["lot"]["their_price"] == told["their_price"] == 100
    assert told["pay_up_to"] == told["lot"]["pay_up_to"]
    screen = CliRunner().invoke(group, ["offer", say, "--home", str(home.path)]).output
    assert screen.startswith(("TAKE ALL 4.", "PASS at $100."))
    assert len(screen.splitlines()) <= 8


def test_like_beside_like_is_one_line(home: Home) -> None:
    line = "four electric dryers and a side by side fridge, 120 for all, 9 miles"
    told = CliRunner().invoke(group, ["offer", line, "--home", str(home.path)]).output
    out = " ".join(told.split())

    assert "No. 1 to 4 electric dryer: up to" in out and " each." in out
    assert "No. 5 side-by-side fridge:" in out
    assert "I read: 4 times electric dryer; side-by-side fridge; 9 miles each way, $120" in out


def test_too_dear_is_a_pass_that_says_what_they_are_worth(numbers: saved.Saved) -> None:
    question = read("two dryers, one no heat, one squeals, 900 for both", {}, OWN, DAY)
    lot = judge(question, numbers, OWN, DAY)
    assert lot.as_dict()["advice"] == "pass" and lot.take == (0, 1)
    assert words.headline(lot.as_dict(), PLACE).startswith("PASS at $900. Pay up to $")
