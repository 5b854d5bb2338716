"""`pricing offer`, `bench` and `cautions` as commands: screens, JSON, many from a sheet, exit
codes, nothing heavy imported."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from conftest import DEMO_DAY

from pricing.advice.offer_record import OfferAnswer
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.cli import group

DRYER = ("electric", "dryer,", "8", "years,", "no", "heat,", "wants", "40,", "12", "miles")


def run(home: Home, *args: str, text: str | None = None) -> Result:
    return CliRunner().invoke(
        group, [*args, "--home", str(home.path), "--as-of", DEMO_DAY.isoformat()], input=text
    )


def as_json(home: Home, *args: str) -> dict[str, Any]:
    done = run(home, *args, "--json")
    assert done.exit_code == 0, done.output
    found: dict[str, Any] = json.loads(done.output)
    return found


def refused(home: Home, *args: str) -> str:
    """What a refusal says (`main` prints it and ends with 1)."""
    done = run(home, *args)
    assert isinstance(done.exception, Refused), done.output
    return str(done.exception)


@pytest.fixture
def own_home(tmp_path: Path) -> Home:
    """A home of one's own with a few invented units in it (the demo's own folder takes no rows)."""
    from pricing.pipeline.adding import add
    from pricing.pipeline.fitting import fit

    sold = "".join(
        f"A{i},electric dryer,{4 + i},no"
        f" heat,element,2026-0{1 + i}-03,2026-0{1 + i}-09,2026-0{1 + i}-20,{20 + i},{190 - 6 * i},sold\n"
        for i in range(6)
    )
    sheet = tmp_path / "units.csv"
    sheet.write_text(
        "unit,type,age,fault,repair,got,listed,sold,parts,price,outcome\n"
        + sold
        + "B1,gas range,9,dead,,2026-09-20,,,,,in work\n"
    )
    home = Home(tmp_path / "own")
    add(home, sheet, Settings(), DEMO_DAY)
    fit(home, Settings(), DEMO_DAY)
    return home


def test_the_screen(demo_home_once: Home) -> None:
    done = run(demo_home_once, "offer", *DRYER)
    lines = done.output.splitlines()

    assert done.exit_code == 0
    assert len(lines) <= 8 and all(len(line) <= 60 for line in lines), done.output
    assert lines[0].split()[0] in ("GO", "ONLY", "PASS")
    assert "I read: electric dryer, 8 years" in done.output
    assert len(done.output.split()) <= 75
    done = run(demo_home_once, "offer", *DRYER, "--more")
    assert all(len(line) <= 60 for line in done.output.splitlines()), done.output
    for words in (
        "I read: electric dryer, 8 years",
        "Fixed, it sells for",
        "Chance you fix it",
        "Parts, if fixed",
        "Days to sell",
        "Your time",
        "= the most to pay",
        "Chance you lose money:",
        "YOURS (35+43): from 35 of your own, and 43 of like kinds.",
    ):
        assert words in done.output
    for word in (
        "median",
        "prior",
        "pooled",
        "fitted",
        "coverage",
        "hazard",
        "calibrated",
        "interval",
    ):
        assert word not in done.output.lower()


FIELDS = {
    "unit",
    "advice",
    "pay_up_to",
    "start_at",
    "their_price",
    "at_curb_pay_up_to",
    "expected_gain",
    "hours",
    "return_per_hour",
    "chance_of_loss",
    "chance_of_target",
    "fix_chance",
    "repairs",
    "if_not_fixed",
    "price",
    "costs",
    "ask_first",
    "standing",
    "because",
    "cautions",
    "warnings",
}


def test_the_json(demo_home_once: Home) -> None:
    data = as_json(demo_home_once, "offer", *DRYER)
    assert data.keys() >= FIELDS
    assert data["advice"] in ("haul", "haul if free", "only if paid", "pass")
    assert set(data["price"]) == {"median", "low", "high", "mean"}
    assert set(data["standing"]) == {"price", "fix", "parts", "hours", "days"}
    assert data["unit"]["fault"] == "no heat" and data["their_price"] == 40
    assert all(
        one.keys() >= {"repair", "chance", "fix", "parts", "hours"} for one in data["repairs"]
    )
    assert sum(one["amount"] for one in data["because"]) == pytest.approx(data["pay_up_to"])


def test_words_and_options_say_the_same(demo_home_once: Home) -> None:
    by_words = as_json(demo_home_once, "offer", *DRYER)
    by_options = as_json(
        demo_home_once,
        "offer",
        "--type",
        "electric dryer",
        "--age",
        "8",
        "--fault",
        "no heat",
        "--their-price",
        "40",
        "--miles",
        "12",
    )
    heard = by_words.pop("heard")
    assert heard["read"]["their_price"] == 40 and by_options.pop("heard") == {}
    assert by_words == by_options


def test_one_question_at_a_time(demo_home_once: Home) -> None:
    done = run(demo_home_once, "offer", text="\nelectric dryer\nold\n8\nno heat\n\n\n\n40\n12\n")
    assert (
        done.exit_code == 0
        and 'I read: electric dryer, 8 years, "no heat", wants $40' in done.output
    )
    assert "Enter = don't know" in done.output
    assert "'old' is not a number" in done.output  # asked again, and nothing is lost
    said = run(demo_home_once, "offer", text="electric dryer, 8 years, no heat, wants 40\n")
    assert 'I read: electric dryer, 8 years, "no heat", wants $40' in said.output
    nothing = run(demo_home_once, "offer", text="\n\n")
    assert isinstance(nothing.exception, Refused) and "name the type" in str(nothing.exception)


def test_at_the_curb_both_limits(demo_home_once: Home) -> None:
    done = run(demo_home_once, "offer", *DRYER, "--at-curb", "--more")
    assert "Before the drive it was" in " ".join(done.output.split())
    data = as_json(demo_home_once, "offer", *DRYER, "--at-curb")
    assert data["pay_up_to"] == data["at_curb_pay_up_to"] > data["before_drive_pay_up_to"]


def test_made_in_one_of_two_years(demo_home_once: Home) -> None:
    done = run(
        demo_home_once,
        "offer",
        "--type",
        "gas range",
        "--made",
        "2006,2016",
        "--fault",
        "oven won't heat",
        "--more",
    )
    assert "BY THE YEAR IT WAS MADE" in done.output
    assert "  2006 " in done.output and "  2016 " in done.output
    data = as_json(demo_home_once, "offer", "--type", "gas range", "--made", "2014-2016")
    assert [year["made"] for year in data["by_year"]] == [2014, 2015, 2016]
    assert data["pay_up_to"] == pytest.approx(
        sum(year["pay_up_to"] for year in data["by_year"]) / 3
    )


def test_a_negative_price_is_what_they_pay(demo_home_once: Home) -> None:
    data = as_json(demo_home_once, "offer", "--type", "electric dryer", "--their-price", "-20")
    assert data["their_price"] == -20


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("--type", "gas range", "--fix-chance", "9"), "0.9 means 9 in 10"),
        (("--type", "gas range", "--parts", "-4"), "--parts: -4 is not from 0"),
        (("--type", "gas range", "--made", "2030"), "--made: 2030 is still to come"),
        (("--type", "gas range", "--age", "900"), "--age: 900.0 is not from 0"),
        (("--type", "gas range", "--set", "colour=red"), "nothing called 'colour'"),
        (("--unit", "no such unit"), "unit no such unit is not open"),
    ],
)
def test_absurd_options_are_refused_in_one_sentence(
    demo_home_once: Home, args: tuple[str, ...], says: str
) -> None:
    text = refused(demo_home_once, "offer", *args)
    assert says in text and "\n" not in text


@pytest.mark.parametrize(
    "args",
    [
        ("--set", "colour"),
        ("--hours-free", "3", "electric", "dryer"),
        ("--from", "x.csv", "electric", "dryer"),
        ("--colour", "red"),
        ("--json",),
    ],
)
def test_wrong_usage_ends_with_2(demo_home_once: Home, args: tuple[str, ...]) -> None:
    assert run(demo_home_once, "offer", *args).exit_code == 2


def test_an_unknown_fault_is_answered_and_the_nearest_named(demo_home_once: Home) -> None:
    data = as_json(demo_home_once, "offer", "--type", "electric dryer", "--fault", "no heeat")
    assert any("no heat" in line for line in data["warnings"])
    assert data["pay_up_to"] is not None


CALLS = """type,age,fault,their_price,miles
electric dryer,8,no heat,0,6
gas range,abc,dead,10,3
front-load washer,4,won't drain,20,9
,,,,
dishwasher,900,leaks,0,5
top-load washer,6,won't spin,10,4
"""


def test_a_sheet_half_of_it_unreadable(demo_home_once: Home, tmp_path: Path) -> None:
    sheet = tmp_path / "calls.csv"
    sheet.write_text(CALLS)
    done = run(demo_home_once, "offer", "--from", str(sheet), "--json")
    rows = [json.loads(line) for line in done.output.splitlines()]

    assert done.exit_code == 0
    assert ["problem" in row for row in rows] == [False, True, False, True, False]
    assert rows[1]["line"] == 3 and "fix" in rows[1]
    assert [row["unit"]["type"] for row in rows if "problem" not in row] == [
        "electric dryer",
        "front-load washer",
        "top-load washer",
    ]
    alone = as_json(
        demo_home_once,
        "offer",
        "--type",
        "front-load washer",
        "--age",
        "4",
        "--fault",
        "won't drain",
        "--their-price",
        "20",
        "--miles",
        "9",
    )
    assert rows[2]["pay_up_to"] == pytest.approx(alone["pay_up_to"])


def test_a_sheet_with_no_row_to_answer_ends_with_1(demo_home_once: Home, tmp_path: Path) -> None:
    sheet = tmp_path / "calls.csv"
    sheet.write_text("type,age\ngas range,abc\n")
    assert "age" in refused(demo_home_once, "offer", "--from", str(sheet))


def test_an_evening(demo_home_once: Home, tmp_path: Path) -> None:
    sheet = tmp_path / "calls.csv"
    sheet.write_text(CALLS)
    done = run(
        demo_home_once, "offer", "--from", str(sheet), "--hours-free", "2.5", "--spots-free", "2"
    )
    assert done.exit_code == 0 and done.output.startswith("TAKE")
    assert all(len(line) <= 60 for line in done.output.splitlines()), done.output
    rows = [
        json.loads(line)
        for line in run(
            demo_home_once,
            "offer",
            "--from",
            str(sheet),
            "--hours-free",
            "2.5",
            "--spots-free",
            "2",
            "--json",
        ).output.splitlines()
    ]
    turns = sorted(row["evening"]["take"] for row in rows if row["evening"]["take"])
    assert turns == list(range(1, len(turns) + 1)) and len(turns) <= 2
    sold, taken = rows[0]["evening"]["sells_for"], [row for row in rows if row["evening"]["take"]]
    assert len(taken) == 2 and "Fixed, in all: " in done.output
    assert sold["mean"] == pytest.approx(sum(row["price"]["mean"] for row in taken))
    ends = [sum(row["price"][end] for row in taken) for end in ("low", "high")]
    assert ends[0] < sold["low"] < sold["median"] < sold["high"] < ends[1]


def test_a_call_passed_on_lands_in_the_record(own_home: Home) -> None:
    done = run(own_home, "offer", *DRYER, "--log", "trip")
    assert done.exit_code == 0 and "Written down as trip" in done.output
    assert (
        "Written down as call"
        in run(own_home, "offer", *DRYER, "--log", "passed", "--minutes", "10").output
    )
    from pricing.record.current import read_current

    trips = [
        row
        for row in read_current(own_home).to_pylist()
        if str(row["unit"]).startswith(("trip 2026", "call 2026"))
    ]
    assert len(trips) == 2 and {row["outcome"] for row in trips} == {"trip"}
    assert (
        trips[0]["miles"] == 12
        and trips[0]["drive_min"] > 60
        and float(trips[0]["haul_cost"]) == pytest.approx(24 * Settings().cost_per_distance)
    )
    assert trips[1]["hours"] == pytest.approx(10 / 60, abs=0.01)


def test_bench(demo_home_once: Home) -> None:
    done = run(
        demo_home_once,
        "bench",
        "electric",
        "dryer,",
        "8",
        "years,",
        "drum",
        "won't",
        "turn,",
        "belt",
        "--more",
    )
    assert done.exit_code == 0, done.output
    assert all(len(line) <= 60 for line in done.output.splitlines())
    for way in ("go on", "sell as-is", "part out", "scrap"):
        assert way in done.output
    data = as_json(
        demo_home_once,
        "bench",
        "--type",
        "front-load washer",
        "--found",
        "bearings",
        "--parts",
        "110",
        "--hours",
        "4",
        "--spent-money",
        "60",
    )
    assert data["advice"] != "go on" and data["spent"]["money"] == 60


def test_bench_writes_what_was_found(own_home: Home) -> None:
    from pricing.model import saved
    from pricing.record.current import read_current

    unit = next(
        row
        for row in saved.load(own_home).open_units()
        if row.get("outcome") in ("in work", "waiting for part")
    )["unit"]
    done = run(own_home, "bench", "--unit", str(unit), "--found", "control board")
    assert done.exit_code == 0, done.output
    assert f"unit {unit}, found control board" in done.output
    assert (
        next(row for row in read_current(own_home).to_pylist() if row["unit"] == unit)["found"]
        == "control board"
    )
    assert (
        "Written down"
        not in run(own_home, "bench", "--unit", str(unit), "--found", "belt", "--no-write").output
    )


def test_cautions_page(demo_home_once: Home) -> None:
    done = run(demo_home_once, "cautions")
    assert done.exit_code == 0 and all(len(line) <= 60 for line in done.output.splitlines())
    rows = json.loads(run(demo_home_once, "cautions", "--json").output)["cautions"]
    assert rows and all(row["full"] for row in rows)


def test_help_has_examples(demo_home_once: Home) -> None:
    for command in ("offer", "bench", "cautions"):
        text = run(demo_home_once, command, "--help").output
        assert "Example" in text and f"pricing {command}" in text


def test_a_home_with_nothing_learned_is_one_clear_sentence(tmp_path: Path) -> None:
    text = refused(Home(tmp_path), "offer", *DRYER)
    assert "no record yet" in text and "pricing" in text


def test_nothing_heavy_is_imported(demo_home_once: Home) -> None:
    for args in (["offer", *DRYER], ["bench", "gas", "dryer,", "no", "heat"], ["cautions"]):
        code = (
            "import sys; from pricing.cli import"
            f" group\ngroup({[*args, '--home', str(demo_home_once.path), '--as-of', DEMO_DAY.isoformat()]!r},"
            " standalone_mode=False)\nheavy = [name for name in ('pandas', 'pyarrow', 'scipy',"
            " 'sklearn', 'matplotlib') if name in sys.modules]; assert not heavy, heavy"
        )
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=False
        )
        assert done.returncode == 0, done.stderr[-800:]


def test_the_answer_is_a_frozen_record() -> None:
    assert OfferAnswer.__match_args__[0] == "question"


def test_each_likely_kind_of_a_plain_word_has_its_limit_on_one_line(demo_home_once: Home) -> None:
    """As if that kind had been said; kinds of which the person sold more are likelier."""
    answer = as_json(demo_home_once, "offer", "washer, 6 years, won't spin, free, 5 miles")
    kinds = {one["type"]: one for one in answer["by_kind"]}

    assert len(kinds) > 1
    assert sum(one["share"] for one in answer["by_kind"]) <= 1 + 1e-9
    for name, one in kinds.items():
        said = as_json(demo_home_once, "offer", f"{name}, 6 years, won't spin, free, 5 miles")
        assert one["pay_up_to"] == pytest.approx(said["pay_up_to"], abs=1e-9)
        assert said["by_kind"] == []
