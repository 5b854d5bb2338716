"""Sentences as people say them, by the scorer beside them: none read wrong, nearly all read right; no
number is lost and nothing crashes, whatever is typed."""

from __future__ import annotations

import csv
import importlib.util
import json
import random
import time
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pricing.advice import cautions
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.pipeline import question_from as question
from pricing.pipeline.hearing import heard, question_of, with_dangers
from pricing.words.tables import load
from pricing.words.tokens import tokens_of

HERE = Path(__file__).parent / "sentences"
DAY = date(2026, 11, 26)


def scorer() -> Any:
    """The scorer's module, as it came with the sentences."""
    spec = importlib.util.spec_from_file_location("score_sentences", HERE / "score_sentences.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@cache
def judged(name: str) -> list[tuple[str, dict[str, Any], list[Any]]]:
    """(RIGHT, ASKED or WRONG; case; why) for each sentence of a file."""
    judge = scorer().judge
    cases = map(json.loads, (HERE / name).read_text(encoding="utf-8").splitlines())
    out = []
    for case in cases:
        said, moment = case["say"], case["moment"]
        found = heard(said, moment, Settings(), {}, DAY)
        verdict, why = judge(case, with_dangers(found, said, moment, Settings(), DAY))
        out.append((verdict, case, why))
    return out


# The readings were written by hand; the engine was built with the open ones in sight, so that these
# counts say what is held, not how well an unseen sentence is read.
@pytest.mark.parametrize(("name", "least"), [("open.jsonl", 0.97), ("own.jsonl", 1.0)])
def test_none_wrong_and_nearly_all_right(name: str, least: float) -> None:
    found = judged(name)
    wrong = [(case["id"], case["say"], why) for verdict, case, why in found if verdict == "WRONG"]
    right = sum(verdict == "RIGHT" for verdict, _, _ in found)

    assert not wrong
    assert right >= least * len(found)


# Lines written before they were read, in other voices: the half marked "learned" was looked at while
# causes were mended, the other only at the begin and the end. stranger.jsonl (80): 24 and 25 of 40
# were RIGHT at first. voices.jsonl (154): 37 and 41 of 77 at first, 69 and 49 at the second look; all
# of it was looked at since. many_hands.jsonl (130): 24 and 24 of 65 at first, 61 and 29 at the second;
# its failures were read after that, so 49 says what was mended, not
# how well an unseen line is read.
@pytest.mark.parametrize(
    ("name", "half", "least", "missed"),
    [
        ("stranger.jsonl", "learned", 38, 0),
        ("stranger.jsonl", "held out", 37, 0),
        ("voices.jsonl", "learned", 75, 0),
        ("voices.jsonl", "held out", 74, 0),
        ("many_hands.jsonl", "learned", 62, 0),
        ("many_hands.jsonl", "held out", 49, 0),
    ],
)
def test_lines_of_others(name: str, half: str, least: int, missed: int) -> None:
    found = [one for one in judged(name) if one[1]["half"] == half]
    dangers = [case["say"] for _, case, why in found if any(w[1] == "danger" for w in why)]

    assert len(found) in (40, 65, 77)
    assert len(dangers) <= missed, dangers
    assert sum(verdict == "RIGHT" for verdict, _, _ in found) >= least


# Lines of two more hands who never saw the tool, scored before they were read (RIGHT, ASKED, WRONG,
# dangers missed): fresh_a 67 14 29 4, fresh_b 67 8 35 7, notes 65 5 30 7, hard 36 13 51 4. Before
# their failures were read: fresh_c 64 12 34 2, the second half of hard 26 8 16 0 of 50; fresh_d, which
# came after these had been mended by class, 80 7 23 1; fresh_e 96 5 9 0; fresh_f 77 14 19 0. All are read by now, so that no count here
# says what a new line meets.
@pytest.mark.parametrize(
    ("name", "n", "right", "wrong", "missed"),
    [
        ("fresh_a.jsonl", 110, 98, 8, 0),
        ("fresh_b.jsonl", 110, 102, 7, 0),
        ("fresh_c.jsonl", 110, 93, 7, 0),
        ("fresh_d.jsonl", 110, 104, 5, 0),
        ("fresh_e.jsonl", 110, 102, 5, 0),
        ("fresh_f.jsonl", 110, 109, 0, 0),
        ("fresh_g.jsonl", 110, 99, 5, 0),
        ("fresh_h.jsonl", 120, 102, 7, 0),
        ("fresh_k.jsonl", 120, 104, 10, 0),
        ("notes.jsonl", 100, 87, 10, 0),
        ("hard.jsonl", 100, 76, 16, 0),
    ],
)
def test_fresh_lines_are_read_as_measured(
    name: str, n: int, right: int, wrong: int, missed: int
) -> None:
    found = judged(name)
    counts = [verdict for verdict, _, _ in found]
    dangers = [case["say"] for _, case, why in found if any(w[1] == "danger" for w in why)]

    assert len(found) == n
    assert counts.count("RIGHT") >= right
    assert counts.count("WRONG") <= wrong
    assert len(dangers) <= missed, dangers


def test_what_is_taken_back_is_not_read() -> None:
    def fields(text: str) -> dict[str, Any]:
        return dict(heard(text, "offer", Settings(), {}, DAY)["read"])

    assert fields("dishwasher, 5, no 6 years old, leaks")["age"] == 6
    assert fields("dishwasher leaks, asking 80, no make that $60")["their_price"] == 60
    assert fields("gas dryer, no wait, electric dryer")["type"] == "electric dryer"
    assert "no heat" in fields("gas dryer, no heat, $40")["fault"]
    assert "faults" not in fields("dishwasher, 6 years as I recall, leaks")
    assert "recalled" in fields("dishwasher, on the recall list")["fault"]


def test_what_is_left_open_is_not_guessed() -> None:
    def asked(text: str) -> dict[str, Any]:
        return heard(text, "offer", Settings(), {}, DAY)

    for text in (
        "stove, gas or electric, she forgot, burner dead, $20",
        "dryer electric or gas? $9",
    ):
        assert "fuel" not in asked(text)["read"] and "type" in asked(text)["asks_back"], text
        assert "gas" in " ".join(asked(text)["not_understood"])
    assert len(asked("freezer, chest or upright I forgot, dead, $20")["kinds"]) == 2
    assert asked("dishwasher, eight years? say nine years, leaks")["read"]["age"] == 9
    assert asked("talked her from 90 to 65 for the dishwasher")["read"]["their_price"] == 65
    for text, units in (("two washers and a dryer, both washers leak", 3), ("2 of my 3 washers work", 3),
                        ("coin washer won't drain, coin dryer no heat, $90 both", 2)):  # fmt: skip
        assert asked(text)["units"] == units, text
    half = asked("4 dishwashers, half of them work, 80 for all")
    assert "fault" not in half["each"][0] and "half of them" in " ".join(half["not_understood"])


def test_money_and_time_as_people_say_them() -> None:
    def fields(text: str, moment: str) -> dict[str, Any]:
        return dict(heard(text, moment, Settings(), {}, DAY)["read"])

    for said, price in (("wants nothing for it", 0), ("offering 15 bucks to whoever hauls it", -15),
                        ("price is 35", 35), ("would go 35", 35), ("asking 60 but take 35", 35)):  # fmt: skip
        assert fields(f"dryer leaks lint, {said}", "offer")["their_price"] == price, said
    assert fields("fridge leaks water on the floor 45 bucks", "offer").get("stairs", 0) == 0
    assert fields("dishwasher leaks, quarter of an hour away, $9", "offer")["drive_min"] == 15
    assert fields("dishwasher, pump seized, set 26, hour", "bench")["hours"] == 1
    assert "fault" not in fields("dishwasher, drain pump dead, $26", "bench")
    for said, role in (("should i ask 170", "mine"), ("nobody bites at 170", "asked_now"),
                       ("i'd say 170", "mine"), ("he'd do 170", "offered")):  # fmt: skip
        assert fields(f"gas dryer, good, {said}", "ask")[role] == 170, said


def test_what_is_only_said_in_passing_tells_no_fault() -> None:
    for text in ("smoking deal on a dishwasher, it works", "my truck is broke so you haul it, dishwasher works",
                 "cool little dishwasher, works", "I was shocked how quiet, dishwasher works",
                 "dishwasher works, only selling cause we got a stackable"):  # fmt: skip
        found = heard(text, "offer", Settings(), {}, DAY)
        assert found["read"]["fault"] == "works; owner upgraded", text
        assert found["read"]["type"] == "dishwasher" and not found["tags"], text


def test_a_lot_told_apart_and_not_understood_is_told() -> None:
    found = heard("dishwashers x3 all run, one leaks, $40", "offer", Settings(), {}, DAY)
    assert "fault" not in found["each"][0] and "leaks" in " ".join(found["not_understood"])
    two = heard("a top loader and a front loader, top one leaks, front one smells", "offer", Settings(), {}, DAY)  # fmt: skip
    assert [one["fault"] for one in two["each"]] == ["leaks", "smells or mold"]


def test_how_long_it_is_listed_is_kept_beside_the_reading() -> None:
    for text, days in (("gas range listed three weeks at 280", 21), ("dishwasher up for 5 days, $90", 5),
                       ("chest freezer good, listed a week", 7)):  # fmt: skip
        found = heard(text, "ask", Settings(), {}, DAY)
        assert found["days_listed"] == days, text
        assert "days_listed" not in found["read"]
    assert "days_listed" not in heard("sold one 3 weeks ago, dryer", "ask", Settings(), {}, DAY)


def test_a_finding_is_no_complaint() -> None:
    def fields(text: str) -> dict[str, Any]:
        return dict(heard(text, "bench", Settings(), {}, DAY)["read"])

    assert fields("gas dryer, no heat, igniter tests open")["found"] == "igniter"
    assert (
        fields("dishwasher hums, drain pump, I mean circulation pump")["found"]
        == "circulation pump"
    )
    assert "fault" not in fields("gas range, spark module, $30")
    assert "fault" not in fields("fridge, start relay, $20, no parts missing, works now")
    for text, chance in (("belt, dryer, 70-30", 0.7), ("element, dryer, fifty fifty", 0.5),
                         ("pump, dishwasher, 80 percent", 0.8)):  # fmt: skip
        assert fields(text)["fix_chance"] == chance, text
    found = fields("front loader won't drain pump full of coins")
    assert (found["fault"], found["found"]) == ("won't drain", "foreign object removed")


def test_what_was_not_read_is_told_and_not_guessed() -> None:
    for text in (
        "electric dryer works but you have to wobble the drum first, $30",
        "top load washer works except you have to hold the lid down, $30",
    ):
        found = heard(text, "offer", Settings(), {}, DAY)
        assert "fault" not in found["read"], text
        assert "have to" in " ".join(found["not_understood"])
    found = heard("side by side works but no longer needed, $30", "offer", Settings(), {}, DAY)
    assert found["read"]["fault"] == "works; owner upgraded"
    two = heard("dryer no heat, element $28, fuse $9", "bench", Settings(), {}, DAY)
    assert "parts" not in two["read"]
    assert "parts" in two["asks_back"]


def test_units_are_told_apart_by_their_numbers() -> None:
    text = "unit 101 top freezer fridge dead, unit 102 top freezer fridge leaks, 40 each"
    found = heard(text, "offer", Settings(), {}, DAY)
    assert [one["fault"] for one in found["each"]] == [
        "dead or no display",
        "leaks water on the floor",
    ]
    two = heard("washer 1 top load leaks, washer 2 top load dead", "offer", Settings(), {}, DAY)
    assert [one["fault"] for one in two["each"]] == ["leaks", "dead"]


def test_lots_are_counted_and_told_apart() -> None:
    def each(text: str, moment: str = "offer") -> list[tuple[str, str]]:
        units = heard(text, moment, Settings(), {}, DAY)["each"]
        return [(one.get("type", ""), one.get("found", one.get("fault", ""))) for one in units]

    assert [fault for _, fault in each("2 electric dryers: #1 belt, #2 element", "bench")] == [
        "belt",
        "heating element",
    ]
    found = each("Three window ACs. A: capacitor. B: fan motor. C: compressor.", "bench")
    assert [one for _, one in found] == ["run capacitor", "fan motor", "compressor"]
    kinds = [
        kind
        for kind, _ in each("two stoves, one coil dead, one gas with a burner that wont light, 60")
    ]
    assert kinds == ["electric coil range", "gas range"]
    fridges = each("3 fridges, two side by sides one top freezer, all leak, 200 takes all")
    assert [kind for kind, _ in fridges] == ["side-by-side fridge"] * 2 + ["top-freezer fridge"]
    coins = each("two coin washers leak and two coin washers dead, 200 for all")
    assert [fault for _, fault in coins] == ["leaks", "leaks", "dead", "dead"]
    two = heard("two gas dryers, 6 and 9 yrs, both squeal", "offer", Settings(), {}, DAY)["each"]
    assert [one["age"] for one in two] == [6, 9]
    sizes = heard("two chest freezers, 5 and 15 cu ft, both work", "ask", Settings(), {}, DAY)[
        "each"
    ]
    assert [one["size"] for one in sizes] == ["5", "15"]
    years = heard("two dishwashers, both dead, 2010 and 2013", "offer", Settings(), {}, DAY)["each"]
    assert [one["made"] for one in years] == [[2010], [2013]]
    cold = [fault for _, fault in each("4 mini fridges, 3 cold 1 not, 60 takes all")]
    assert cold == ["works; owner upgraded"] * 3 + ["not cooling"]
    pair = "top load washer and electric dryer set, the dryer won't start and the washer is fine"
    assert heard(pair, "offer", Settings(), {}, DAY)["read"]["fault"] == "won't start"
    tops = heard("double oven range, glass top, leaks heat, $90", "offer", Settings(), {}, DAY)
    assert tops["read"]["type"] == "double-oven range"
    unknown = heard("dryer, gas or electric unknown, dead", "offer", Settings(), {}, DAY)
    assert "type" in unknown["asks_back"]
    lot = heard("dishwashers, 3 for 90, all leak", "offer", Settings(), {}, DAY)
    assert (lot["units"], lot["read"]["their_price"]) == (3, 90)


def test_each_member_of_a_lot_keeps_what_is_said_of_it() -> None:
    def of_each(text: str, field: str) -> list[Any]:
        found = heard(text, "offer", Settings(), {}, DAY)
        return [one.get(field) for one in found["each"]]

    three = "two dishwashers 15 each and a microwave 30, all work"
    assert of_each(three, "their_price") == [15, 15, 30]
    two = "stove $40 and dryer $50, 40 minutes away"
    assert of_each(two, "their_price") == [40, 50]
    half = "3 of my 4 fridges run, the other one leaks"
    assert of_each(half, "fault")[3] == "leaks water on the floor"
    fuels = "two dryers, one gas one electric, gas one thumps, electric is dead"
    assert of_each(fuels, "type") == ["gas dryer", "electric dryer"]
    assert of_each(fuels, "fault") == ["thumps, scrapes or is loud", "won't start"]
    sizes = "two window acs, 6000 btu one rattles, 12000 btu one works, 50 for both"
    assert of_each(sizes, "size") == ["6000", "12000"]
    named = "washer leaks, dishwasher dead, 20 for the dishwasher and 35 for the washer"
    assert of_each(named, "their_price") == [35, 20]
    part = heard("beer fridge at 60 inside, the fan runs, $20", "offer", Settings(), {}, DAY)
    assert "fault" not in part["read"]  # a part that runs is no unit that works


def test_what_one_clause_says_is_no_word_of_the_next() -> None:
    def fields(text: str, moment: str = "offer") -> dict[str, Any]:
        return dict(heard(text, moment, Settings(), {}, DAY)["read"])

    assert fields("electric dryer tumbles no heat")["fault"] == "no heat (electric)"
    assert fields("otr microwave, fan quit but heats")["fault"] == "vent fan dead or loud"
    assert fields("stove, one fire is weak, gas")["fault"] == "burner flame weak (gas)"
    assert "features" not in fields("french door fridge, ice maker dumps water, $80")
    found = fields("gas range good, asked 400 offered 320", "ask")
    assert (found["asked_now"], found["offered"]) == (400, 320)
    each = heard("six dryers, four electric two gas, 300 takes all", "offer", Settings(), {}, DAY)
    assert [one["type"] for one in each["each"]] == ["electric dryer"] * 4 + ["gas dryer"] * 2
    for said in ("bought new 2021 for 900, works, 150 obo", "listed at 200, 150 obo"):
        assert fields(f"dishwasher, {said}")["their_price"] == 150, said
    assert "their_price" not in fields("landlady, 70ish, dishwasher leaks")
    assert "fault" not in fields("dishwasher, never made noise, 6 yrs")
    assert (
        fields("front load washer, hot only, cold is dead")["fault"] == "won't fill or fills slow"
    )
    assert "condition" not in fields("portable AC, 150 fair?", "ask")
    others = heard("gas range, fair, neighbors listed at 150", "ask", Settings(), {}, DAY)
    assert "asked_now" not in others["read"]


def test_numbers_as_they_are_spoken() -> None:
    def fields(text: str, moment: str = "offer") -> dict[str, Any]:
        return dict(heard(text, moment, Settings(), {}, DAY)["read"])

    assert fields("dishwasher leaks, a hundred and a quarter bucks")["their_price"] == 125
    assert fields("dishwasher from twenty eighteen, leaks, free")["made"] == [2018]
    assert fields("dishwasher leaks, gasket $12, .5 hr", "bench")["hours"] == 0.5
    assert fields("dishwasher leaks, three and a half years old")["age"] == 3.5
    for said, hours in (("1/2 hr", 0.5), ("half hr", 0.5), ("1 1/2 hours", 1.5), ("3+ hrs", 3)):
        assert fields(f"dishwasher leaks, gasket $12, {said}", "bench")["hours"] == hours, said
    for said in ("paid 900 new, asking 60", "was 90, down to 60", "2 hundred... no, 60 dollars"):
        assert fields(f"dishwasher leaks, {said}")["their_price"] == 60, said
    assert fields("dishwasher, two hundred, leaks")["their_price"] == 200
    assert fields("gas dryer, new belt, asking 120", "ask")["asked_now"] == 120
    assert fields("gas dryer good 120 for the set", "ask")["asked_now"] == 120
    asked = heard("dishwasher leaks, pump or the hose, not sure", "bench", Settings(), {}, DAY)
    assert "found" in asked["asks_back"]


def test_dangers_told_sideways() -> None:
    for text, tag in (
        ("dishwasher, the maker sent a letter to stop using it, works", "recall"),
        ("side by side, the cord is chewed, works", "burnt wiring"),
        ("chest freezer, the lid locks itself, works", "child entrapment"),
        ("gas dryer, burnt rubber smell and smoke", "fire"),
        ("dehumidifier, fell off a truck, new", "stolen"),
    ):
        assert tag in heard(text, "offer", Settings(), {}, DAY)["tags"], text


# Dangers told sideways (ads, calls, notes, tired typing), written before they were tried: of 174 and
# 89 lines 42 and 15 failed at first, of 45 and 19 lines without a danger 14 and 6 alarmed; of 100
# more of the rarer tags 17 failed; of 46 after that was mended 2; of 120 by another hand 30, and 18 of
# its 40 without a danger alarmed.
def test_no_danger_gets_a_go_and_none_is_seen_where_there_is_none() -> None:
    with (HERE / "dangers.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert len(rows) > 300
    for row in rows:
        found = heard(row["say"], row["moment"], Settings(), {}, DAY)
        told = with_dangers(found, row["say"], row["moment"], Settings(), DAY)["tags"]
        assert (row["tag"] in told) == (row["what"] != "none"), row
        asked = replace(question_of(found, Settings(), row["moment"]), said=row["say"])
        stage = cautions.STAGES[row["moment"]]
        units = asked.each or (asked,)
        judged_so = [cautions.verdict_of(unit, stage, Settings(), DAY) for unit in units]
        stopped = any(one.decision for one in judged_so)
        assert stopped or row["what"] != "stops", row
        assert not (stopped and row["what"] == "none"), row


OWN_TYPES = {"type": ["commercial laundry topper", "soda cooler"]}


def test_a_type_of_ones_own_is_found_by_its_words() -> None:
    def read(text: str) -> dict[str, Any]:
        return dict(heard(text, "offer", Settings(), OWN_TYPES, DAY)["read"])

    for text in ("commercial laundry topper", "laundry topper commercial", "old topper"):
        found = read(f"{text}, won't drain, $40")
        assert (found["type"], found["fault"]) == ("commercial laundry topper", "won't drain")
    assert read("top load washer leaks")["type"] == "top-load washer"
    assert "type" not in heard("old topper", "offer", Settings(), {}, DAY)["read"]


def test_a_thing_of_another_trade_is_refused_with_the_reason() -> None:
    for text, kind in (("sofa, $20", "sofa"), ("riding mower won't start, $100", "riding mower")):
        with pytest.raises(Refused) as refused:
            question.read(text, {}, Settings(), DAY)
        assert kind in refused.value.problems[0].what
    priced = Settings(usual_price={"sofa": 100.0})  # answered as such where its price is known
    assert question.read("sofa, $20", {}, priced, DAY).type == "sofa"
    heard_type = heard("humidifier, $10", "offer", Settings(), {}, DAY)["read"]["type"]
    assert heard_type == "humidifier"  # no dehumidifier because letters resemble


def test_an_error_code_is_kept_as_told() -> None:
    for text, code in (
        ("front loader F21", "F21"),
        ("electric dryer reads AF on the display", "AF"),
    ):
        found = heard(text, "offer", Settings(), {}, DAY)["read"]
        assert found["code"] == code
        assert found["fault"].startswith("error code")
    assert "code" not in heard("heat pump dryer, R-290", "bench", Settings(), {}, DAY)["read"]


def test_a_hiss_at_a_cold_unit_is_refrigerant() -> None:
    for text in ("top-freezer fridge warm, hissing sound behind it", "window AC not cold, hissing"):
        assert "refrigerant" in heard(text, "offer", Settings(), {}, DAY)["tags"]
    assert (
        "refrigerant"
        not in heard("dishwasher leaks, hissing", "offer", Settings(), {}, DAY)["tags"]
    )


def test_the_scorer_can_say_wrong() -> None:
    case = json.loads((HERE / "open.jsonl").read_text(encoding="utf-8").splitlines()[0])
    assert scorer().judge(case, {"read": {"type": "gas range"}, "not_understood": []})[0] == "WRONG"


PRICES = ("${}", "{} bucks", "wants {}", "{} obo", "{} firm", "${} for it", "asking {}", "{}",
          "{} or best offer", "they want {} dollars", "they'll pay me {}", "for {}", "could do {}",
          "{} for both", "{} each", "{} a piece", "offered {}", "listed at {}", "thinking {}",
          "{} dolares", "already put in {}", "new part {}", "{} in parts", "{}?")  # fmt: skip
AGES = ("{} years", "{} yrs old", "about {} years old", "{} y/o", "{}yr", "made 20{}", "from 20{}",
        "bought new {} years ago", "from '{}", "{} summers old", "serial says 20{}")  # fmt: skip
WAYS = ("{} miles", "{} mi away", "{} minutes away", "{} miles round trip", "{} km", "{} millas",
        "{} min each way", "{} minutes there and back", "{} km round trip")  # fmt: skip
MORE = ("{} inch", "{} cu ft", "{}k btu", "{} pint", "code F{}", "{} flights up", "{} lbs",
        "{} hours in", "{} of them", "unit {}")  # fmt: skip
# What is put between: lots, negations, contrasts, corrections, Spanish, another unit.
BETWEEN = (
    "two of them",
    "one works one doesn't",
    "works except",
    "no leaks",
    "sorry gas",
    "no wait electric",
    "por favor",
    "and a dishwasher that leaks",
    "never flooded",
    "sofa",
    "basement",
    "2nd floor walkup",
    "as is",
    "i think",
    "like new",
    "fair",
    "stainless",
)


def by_chance(draw: random.Random) -> tuple[str, list[str]]:
    """A sentence from the tables' grammar with slips of letters, and the numbers put into it."""
    names = load("said")["names"]
    types = [name for name in names if name[0] in ("type", "plain word")]
    faults = [name for name in names if name[0] == "fault"]
    parts = [_said(draw, draw.choice(types)), _said(draw, draw.choice(faults))]
    numbers = []
    for forms in draw.sample([PRICES, AGES, WAYS, MORE], draw.randint(1, 4)):
        number = str(draw.randint(11, 26))
        numbers.append(number)
        parts.insert(draw.randint(0, len(parts)), draw.choice(forms).format(number))
    if draw.random() < 0.5:
        parts.insert(draw.randint(0, len(parts)), draw.choice(BETWEEN))
    text = draw.choice((", ", " ", ". ", "; ", " - ", "! ")).join(parts)
    for _ in range(draw.randint(0, 2)):
        text = _slipped(draw, text)
    return text, numbers


def _said(draw: random.Random, name: list[Any]) -> str:
    """One of a name's sayings, in the form in which they are compared."""
    return draw.choice(draw.choice(list(name[3].values())).split("|"))


def _slipped(draw: random.Random, text: str) -> str:
    """One letter lost, doubled or changed with the next; digits stay."""
    place = draw.randrange(len(text) - 1)
    if not (text[place].isalpha() and text[place + 1].isalpha()):
        return text
    pair = text[place + 1] + text[place]
    return text[:place] + draw.choice(("", text[place] * 2, pair)) + text[place + len(pair) - 1 :]


def test_a_thousand_sentences_lose_no_number() -> None:
    """Each number is a field, is asked about, or is told as not understood."""
    draw = random.Random(20261126)
    for _ in range(1_000):
        text, numbers = by_chance(draw)
        moment = draw.choice(("offer", "bench", "ask"))
        found = heard(text, moment, Settings(), {}, DAY)
        told = " ".join(found["not_understood"])
        for number in numbers:
            assert _kept(float(number), found) or number in told, (moment, text, number, found)


def _kept(number: float, found: dict[str, Any]) -> bool:
    """Whether a field holds the number, in its own unit or as said."""
    values = [float(found.get("units", 0))]
    for one in (found["read"], *found.get("each", [])):
        for value in one.values():
            for each in value if isinstance(value, list) else [value]:
                if isinstance(each, (int, float)) and not isinstance(each, bool):
                    values.append(float(each))
                elif isinstance(each, str):
                    values += [t["n"] for t in tokens_of(each) if t["n"] is not None]
                    values += [float(each[1:])] if each[:1] == "F" and each[1:].isdigit() else []
    same = (1.0, 1000.0, 1 / 1.609344, 0.5, 1 / 12, 1 / 60, 60.0, -1.0, 0.5 / 1.609344)
    made = {2000 + number, 1900 + number}
    return any(abs(v - number * f) < 1e-3 * max(1, abs(v)) for v in values for f in same) or any(
        v in made for v in values
    )


def test_reading_is_fast() -> None:
    """5 ms at most for one sentence, warm; the median over the open ones on this machine."""
    says = [case["say"] for _, case, _ in judged("open.jsonl")[:100]]
    times = []
    for say in says:
        before = time.process_time()  # of this process alone: others may share the machine
        for _ in range(3):
            heard(say, "offer", Settings(), {}, DAY)
        times.append((time.process_time() - before) / 3)

    assert sorted(times)[len(times) // 2] < 0.005
