"""Dangers decide: every row of the table on every surface, and what people say that no table
holds. The property is one: no GO, GO ON, SELL AS-IS or PART OUT where the table forbids it."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from pricing.advice import ask, bench, offer
from pricing.advice.cautions import BENCH, CALL, SALE, kind_of, verdict_of, verdict_on
from pricing.basis import assumed
from pricing.basis.home import Home
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.cli import group as main
from pricing.model import saved
from pricing.pages.cautions_text import cautions_lines
from pricing.pages.laid_out import lines, worded
from pricing.pipeline.question_from import read
from pricing.wording import ask_words as ask_words
from pricing.wording import bench_words as bench_words
from pricing.wording import offer_words as offer_words
from pricing.words import gate
from pricing.words.perils import perils_in
from pricing.words.tables import rows

DAY = date(2026, 10, 5)
OWN = Settings()
FORBIDDEN = re.compile(r"GO GET IT|GO ON|SELL IT AS-IS|PART IT OUT|ONLY IF FREE|ASK \$|SELL IT OFF")
DECIDING = [row for row in rows("cautions") if row["effect"] != "none"]
STOPS = [row for row in DECIDING if row["effect"] != "never as-is"]


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Home:
    made = Home(tmp_path_factory.mktemp("empty"))
    told = CliRunner().invoke(main, ["setup", "--defaults", "--home", str(made.path)])
    assert told.exit_code == 0, told.output
    return made


@pytest.fixture(scope="module")
def numbers(home: Home) -> saved.Saved:
    return saved.load(home)


def a_kind(row: dict[str, Any]) -> str:
    """A type that a row of the table holds for."""
    first = str(row["types"][0])
    if first.startswith("family "):
        return next(one.type for one in assumed.TYPES if first[7:] in one.fault_family)
    return "top-load washer" if first.startswith("all") else first


def told_units() -> list[tuple[str, dict[str, Any]]]:
    """Every deciding row, told as a fault, as a finding, as a feature and in a note."""
    out: list[tuple[str, dict[str, Any]]] = []
    for row in STOPS:
        kind = a_kind(row)
        if row["name"] == "gas parts":  # its faults are igniters too: the finding decides
            out.append((row["name"], {"type": "gas dryer", "found": row["findings"][0]}))
            out.append((row["name"], {"type": "gas range", "fault": "gas valve bad"}))
            continue
        out += [(row["name"], {"type": kind, "fault": fault}) for fault in row["faults"]]
        for words in row["words"]:
            if words in ("dehumidifier", "pilot light", "magnetron", "diode", "capacitor"):
                continue
            where = {"type": "gas range" if row["tag"] in ("gas", "co") else kind, "age": 40.0}
            out += [(row["name"], where | {name: words}) for name in ("fault", "features", "note")]
    return out


TOLD = told_units()


def asked(unit: dict[str, Any]) -> Question:
    return Question(dict(unit), {"their_price": 0.0}, as_read=str(unit["type"]))


@pytest.fixture(scope="module")
def of_all(numbers: saved.Saved) -> list[list[Any]]:
    """Offers and asks of all told units: many at once, where each equals its answer alone
    (tests/test_offer.py, tests/test_ask.py)."""
    questions = [asked(unit) for _, unit in TOLD]
    return [one.decide_many(questions, numbers, OWN, DAY) for one in (offer, ask)]


@pytest.mark.parametrize("place", range(len(TOLD)), ids=lambda i: f"{i}-{str(TOLD[i][1])[:60]}")
def test_every_row_decides_in_every_answer(
    place: int, numbers: saved.Saved, of_all: list[list[Any]]
) -> None:
    name, unit = TOLD[place]
    for answer, view in (
        (of_all[0][place], offer_words.view),
        (bench.decide(asked(unit), numbers, OWN, DAY), bench_words.view),
        (of_all[1][place], ask_words.view),
    ):
        told = answer.as_dict()
        assert told["decision"] in ("leave", "scrap_only", "licensed"), (name, unit, view)
        assert told["dangers"] and told.get("advice", told["decision"]) == told["decision"]
        assert told.get("pay_up_to", 0.0) <= 0 and told.get("ask", 0.0) == 0
        assert all(way["name"] == "scrap" for way in told.get("ways", ()))
        for more in (False, True):
            said = lines(worded(view, answer, OWN, short=not more), more)
            assert said[0].startswith(told["dangers"][0][:30]), said
            assert not any(FORBIDDEN.search(line) for line in said), said


PHRASES = [
    ("gas range", "you can smell the gas from the hall"),
    ("gas range", "there is a gas odour in the kitchen"),
    ("gas dryer", "hissing sound by the gas line"),
    ("gas range", "stinks of propane"),
    ("gas range", "smells like rotton eggs when off"),
    ("gas dryer", "gas fumes in the laundry"),
    ("gas range", "leaks a little gas at the back"),
    ("gas range", "sulfur smell"),
    ("gas range", "the gas alarm beeps by it"),
    ("gas dryer", "they got a whiff of gas"),
    ("gas range", "smells funny when it is off"),
    ("gas range", "pilot smells a bit"),
    ("gas dryer", "there's a stench when it starts"),
    ("gas range", "gas company shut it off"),
    ("gas dryer", "carbon monoxide reading was high"),
    ("gas range", "CO2 alarm goes off with the oven"),
    ("gas range", "everyone felt sick when it ran"),
    ("gas range", "soot on the pots"),
    ("gas dryer", "burns with a lazy orange flame"),
    ("gas range", "regulator is shot"),
    ("gas range", "flex connector cracked, gas fitting broken"),
    ("top-freezer fridge", "lost its freon"),
    ("top-freezer fridge", "compressor is toast"),
    ("chest freezer", "someone stabbed the coil with an ice pick"),
    ("side-by-side fridge", "needs to be recharged"),
    ("window AC", "leaked out its refrigerant"),
    ("top-freezer fridge", "pinhole in the evaporator"),
    ("electric dryer", "started a small fire"),
    ("electric dryer", "arcing at the back"),
    ("top-load washer", "smoke poured out of the control panel"),
    ("electric smooth-top range", "sparks fly when you turn it on"),
    ("dishwasher", "blew up with a bang"),
    ("top-load washer", "sat in water after the hurricane"),
    ("electric dryer", "was in a flooded basement"),
    ("upright freezer", "sewage backed up around it"),
    ("electric dryer", "mouse droppings inside"),
    ("top-freezer fridge", "there were cockroaches"),
    ("dishwasher", "bed bugs in the house, rodents too"),
    ("top-freezer fridge", "mold all over the insulation"),
    ("dishwasher", "there was a recall on it"),
    ("front-load washer", "got recalled last year"),
    ("electric dryer", "serial plate ground off"),
    ("countertop microwave", "runs with the door open"),
    ("countertop microwave", "won't heat my coffee"),
    ("over-the-range microwave", "door is bent and doesn't close"),
    ("chest freezer", "antique, locks from the outside"),
    ("electric coil range", "asbestos pad behind it"),
]


@pytest.mark.parametrize(("kind", "said"), PHRASES)
@pytest.mark.parametrize("moment", ["offer", "bench", "ask"])
def test_what_no_table_holds(kind: str, said: str, moment: str, numbers: saved.Saved) -> None:
    question = read(f"{kind}, 8 years, {said}", {"type": kind}, OWN, DAY, purpose=moment)
    answer = {"offer": offer, "bench": bench, "ask": ask}[moment].decide(
        question, numbers, OWN, DAY
    )
    assert answer.as_dict()["decision"] in ("leave", "scrap_only", "licensed")


HARMLESS = [
    ("gas range", "burner clicks, not leaking gas"),
    ("gas range", "no smell of gas, oven slow to light"),
    ("gas dryer", "no heat, igniter glows"),
    ("gas range", "smells musty"),
    ("gas dryer", "gas valve coils"),
    ("gas range", "orange knobs, burner dead"),
    ("top-freezer fridge", "compressor clicks"),
    ("top-freezer fridge", "start relay on the compressor is bad"),
    ("side-by-side fridge", "no charge for delivery, not cooling"),
    ("top-load washer", "bad shocks, bangs"),
    ("top-load washer", "flooded the kitchen"),
    ("dishwasher", "leaks"),
    ("electric dryer", "worked fine as I recall, no heat"),
    ("electric dryer", "no mice, no bugs, smoke free home"),
    ("front-load washer", "mold on the gasket"),
    ("gas range", "igniter sparks but won't light"),
    ("over-the-range microwave", "turntable won't turn"),
    ("top-freezer fridge", "shelf missing, never flooded, never on fire"),
    ("electric dryer", "not recalled, no heat"),
    ("gas range", "gas stove, burner cap missing"),
]


@pytest.mark.parametrize(("kind", "said"), HARMLESS)
def test_what_only_sounds_like_it(kind: str, said: str) -> None:
    about = kind_of(kind, "", (2018,), OWN)
    about["types"] = dict(about["types"])
    assert perils_in(said, about, list(rows("perils"))) == []


def test_never_as_is_keeps_the_other_ways(numbers: saved.Saved) -> None:
    for fault in ("burnt cord or plug", "shock or tingle"):
        question = Question({"type": "electric dryer", "fault": fault}, {"their_price": 0.0})
        ways = [way.name for way in bench.decide(question, numbers, OWN, DAY).ways]
        assert "go on" in ways and "sell as-is" not in ways
        assert ask.decide(question, numbers, OWN, DAY).as_dict()["decision"] == "mend_first"
    assert offer.decide(question, numbers, OWN, DAY).advice != "haul"  # a shock: only if free


def test_as_many_as_apply(numbers: saved.Saved) -> None:
    words = "gas range, second floor, smells of gas, mice, was recalled"
    told = offer.decide(read(words, {}, OWN, DAY), numbers, OWN, DAY).as_dict()
    assert {"gas", "pests", "recall", "stairs"} <= set(told["tags"])
    assert len(told["dangers"]) >= 4 and told["dangers"][0].startswith("Gas smell")
    assert "licensed people" in told["cautions"][-1]


def test_a_dehumidifier_waits_for_its_plate() -> None:
    unit = {"type": "dehumidifier", "age": 9.0}
    assert verdict_on(unit, CALL, OWN, DAY).decision == "leave"
    assert verdict_on(unit | {"recall_checked": 739000.0}, CALL, OWN, DAY).decision == ""
    assert verdict_on({"type": "dehumidifier", "age": 3.0}, CALL, OWN, DAY).decision == ""


def test_laws_are_those_of_the_region() -> None:
    """Where nobody says where he is, and elsewhere, no law is named as his."""
    assert Settings().region == ""
    told = {"type": "top-freezer fridge", "fault": "sealed system or refrigerant leak"}
    recalled = {"type": "dishwasher", "fault": "recalled"}
    for unit in (told, recalled):
        here, *others = (
            [f"{said.short} {said.full}" for said in verdict_on(unit, CALL, own, DAY).dangers]
            for own in (Settings(region=name) for name in ("US", "", "UK", "other"))
        )
        assert re.search(r"USC|CFR|EPA", " ".join(here))
        for there in others:
            assert not re.search(r"USC|CFR|EPA|unlawful|may not be", " ".join(there))


def test_cautions_follow_the_kind_and_the_moment() -> None:
    def names(stage: str, **unit: object) -> list[str]:
        return [one.name for one in verdict_on(unit, stage, OWN, DAY).lines]

    assert "3 or 4 wires" in names(SALE, type="electric dryer")
    assert "3 or 4 wires" not in names(SALE, type="gas dryer")
    assert "range bracket" in names(SALE, type="gas range")
    assert "gas off at pick-up" in names(CALL, type="gas range")
    assert "gas off at pick-up" not in names(
        CALL, type="slide-in range (gas or electric)", fuel="electric"
    )
    assert "hard-wired" in names(BENCH, type="wall oven")
    assert {"heavy", "very heavy"} <= set(names(CALL, type="side-by-side fridge"))
    assert "heavy" not in names(CALL, type="kiln")  # nobody knows what it weighs
    assert "recall before sale" not in names(SALE, type="dishwasher", recall_checked=739000.0)


def test_weight_in_the_persons_unit() -> None:
    unit = {"type": "electric dryer"}
    kilos = Settings(weight_unit="kg")
    assert any("115 lb" in one.short for one in verdict_on(unit, CALL, OWN, DAY).cautions)
    assert any("52 kg" in one.short for one in verdict_on(unit, CALL, kilos, DAY).cautions)


def test_the_command_says_nothing_but_the_danger(home: Home) -> None:
    for moment in ("offer", "bench", "ask"):
        told = CliRunner().invoke(
            main, [moment, "gas range, 8 years, owner smells gas, free", "--home", str(home.path)]
        )
        assert told.exit_code == 0 and told.output.startswith("Gas smell: leave"), told.output
        assert not FORBIDDEN.search(told.output)


def test_a_sheet_is_gated_too(home: Home, tmp_path: Path) -> None:
    sheet = tmp_path / "calls.csv"
    sheet.write_text(
        "type,age,fault,their_price,miles,note\n"
        "electric dryer,8,no heat,0,5,\n"
        "gas range,6,burner dead,0,5,neighbour smelled gas\n"
        "top-freezer fridge,6,compressor dead,0,5,\n"
    )
    told = CliRunner().invoke(
        main, ["offer", "--from", str(sheet), "--json", "--home", str(home.path)]
    )
    decisions = re.findall(r'"decision": ?"(\w*)"', told.output)
    assert decisions == ["", "leave", "scrap_only"], told.output


def test_the_list_names_every_caution_and_promises_nothing() -> None:
    page = "\n".join(cautions_lines(Settings(region="US")))
    flat = " ".join(page.split())
    for row in rows("cautions"):
        assert row["line"].replace(" ({weight})", "")[:25] in flat.replace(" ({weight})", "")
        assert not re.search(r"\b(safe|safely|legal|legally|deaths?|died)\b", row["line"], re.I)
    assert all(len(line) <= 60 for line in page.split("\n"))
    assert "licensed" in page and "local code" in page


@pytest.mark.parametrize("said", ["works", "leaks", "pull latch", "mercury", "pilot light kind"])
@pytest.mark.parametrize("kind", ["fridge", "dehumidifier", "gas range", "top-load washer"])
def test_years_of_one_era_are_judged_as_each_year_itself(kind: str, said: str) -> None:
    """The gate hears of an era, not of the year: no year may be judged otherwise than by itself."""
    for stage in (CALL, BENCH, SALE):
        for year in range(1935, 2027):
            told: dict[str, Any] = {"text": f"{kind}, {said}", "tags": (), "faults": (said,)}
            told |= {"found": (), "repaired": False, "recall_checked": False}
            held = kind_of(kind, "", (year,), OWN)
            held["types"] = dict(held["types"])
            by_era, by_year = (
                gate.verdict(told, stage, one, rows("cautions"), rows("perils"))
                for one in (held, held | {"made": (year,)})
            )
            assert by_era == by_year, year


def test_an_oven_is_no_microwave_unless_one_is_named() -> None:
    """A word for several kinds takes no danger from the few that have one beside their own."""
    plain = read("oven light on but bakes cold, electric, 10 yr", {}, Settings(), DAY)
    named = read("oven with microwave, runs but no heat", {}, Settings(), DAY)
    assert "microwave" not in plain.heard["tags"]
    assert "microwave" in named.heard["tags"]


@pytest.mark.parametrize(
    ("said", "stops"),
    [
        ("oven won't heat, bake element broken", False),
        ("oven, bake element burned in half", False),
        ("oven with a microwave above it, no heat in the micro", True),
        ("wall oven + microwave combo, runs but no heat", True),
        ("microwave no heat", True),
    ],
)
def test_an_oven_is_a_microwave_only_where_one_is_told(said: str, stops: bool) -> None:
    """Three ovens in a hundred have a microwave above them: a plain oven is not stopped for it."""
    question = read(said, {}, Settings(), date(2026, 10, 5), None, "bench")
    found = verdict_of(question, BENCH, Settings(), date(2026, 10, 5))
    assert (found.decision == "scrap_only") == stops
    assert any(one.tag == "microwave" for one in found.dangers) == stops
