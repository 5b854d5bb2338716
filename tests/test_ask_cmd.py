"""`pricing ask`, `unsold` and `card` as they are typed: screens, JSON, sheets, pictures, and
mistakes that end in a sentence."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.cli import group
from pricing.pages.text import width_of
from pricing.pipeline.demo import DEMO_DAY

DAY = DEMO_DAY.isoformat()
WORDS = ["ask", "front-load", "washer,", "7", "years,", "good,", "steam"]


def run(home: Home, *arguments: str) -> Result:
    return CliRunner().invoke(
        group, [*arguments, "--home", str(home.path), "--as-of", DAY], catch_exceptions=False
    )


def refused(home: Home, *arguments: str) -> str:
    with pytest.raises(Refused) as refusal:  # `main` prints it and ends with 1
        run(home, *arguments)
    return " ".join(str(problem) for problem in refusal.value.problems)


def test_the_screen_of_an_ask(demo_home: Home) -> None:
    lines = run(demo_home, *WORDS).output.splitlines()

    assert lines[0].startswith("ASK $")
    assert len(lines) <= 8
    assert max(map(width_of, lines)) <= 60
    assert len(" ".join(lines).split()) <= 75
    lines = run(demo_home, *WORDS, "--more").output.splitlines()
    assert max(map(width_of, lines)) <= 60
    for word in (
        "I read:",
        "Will sell for",
        "CHANCE IT'S SOLD IN",
        "Buyers pay",
        "IF IT DOESN'T SELL",
        "FAST OR DEAR",
        "PRICED LIKE YOUR PAST SALES",
        "YOUR SALES THAT COUNT MOST",
    ):
        assert any(line.startswith(word) for line in lines), word


def test_an_ask_that_stands_is_kept_with_its_reason_and_the_next_step(demo_home: Home) -> None:
    """Told on the day or read from the record; as the list of the unsold has it."""
    told = json.loads(run(demo_home, "unsold", "--json").output)["unsold"]
    kept = [one for one in told if one["step"] == "come down" and one["on"] > DAY]
    assert kept
    for one in kept:
        answer = json.loads(run(demo_home, "ask", "--unit", one["unit"], "--json").output)
        lines = run(demo_home, "ask", "--unit", one["unit"]).output.splitlines()
        assert answer["in_force"] == one["asked"]
        assert lines[0] == f"KEEP IT AT ${one['asked']:.0f}."
        assert f"Ask ${one['to']:.0f}." in " ".join(lines)
        assert answer["plan"][1]["date"] == one["on"]
        assert len(lines) <= 8 and max(map(width_of, lines)) <= 60
    said = run(demo_home, "ask", "front load washer, 5 years, good, listed at 399").output
    assert said.startswith("KEEP IT AT $399.\nGive it its week: half sell within ")
    late = run(demo_home, "ask", "--unit", "DEMO-181").output
    assert not late.startswith("KEEP")


def test_options_say_the_same_as_words(demo_home: Home) -> None:
    words = json.loads(run(demo_home, *WORDS, "--json").output)
    options = json.loads(
        run(
            demo_home,
            "ask",
            "--type",
            "front-load washer",
            "--age",
            "7",
            "--condition",
            "good",
            "--features",
            "steam",
            "--json",
        ).output
    )

    assert words.pop("heard")["read"]["age"] == 7 and options.pop("heard") == {}
    assert words == options


def test_weeks_on_the_market_that_are_told_count(demo_home: Home) -> None:
    """What stood for three weeks at an ask comes down; what is new there is kept for its week."""
    told = "electric dryer, 6 years, good, listed at 199"
    old = run(demo_home, "ask", f"{told} for 3 weeks").output
    new = run(demo_home, "ask", told).output

    assert new.startswith("KEEP IT AT $199.")
    assert re.match(r"ASK \$1[0-9]{2}\.", old) and "Listed 21 days" in " ".join(old.split())


def test_a_unit_of_the_record_with_an_offer(demo_home: Home) -> None:
    """Its own asks and days are used, and the offer is answered first."""
    found = json.loads(
        run(demo_home, "ask", "--unit", "DEMO-198", "--offered", "60", "--json").output
    )
    lines = run(demo_home, "ask", "--unit", "DEMO-198", "--bid", "60").output.splitlines()

    assert found["days_listed"] > 0
    assert found["offered"]["say"] == "hold"
    assert lines[0].startswith("SAY NO to $60.")


def test_a_sheet_keeps_its_order_and_names_its_bad_rows(demo_home: Home, tmp_path: Path) -> None:
    sheet = tmp_path / "list.csv"
    sheet.write_text(
        "type,age,condition\nwall oven,6,good\n,5,good\ndishwasher,4,fair\n", encoding="utf-8"
    )
    result = run(demo_home, "ask", "--from", str(sheet), "--json")
    rows = [json.loads(line) for line in result.output.splitlines()]

    assert result.exit_code == 0
    assert [row["unit"]["type"] if "unit" in row else "?" for row in rows] == [
        "wall oven",
        "?",
        "dishwasher",
    ]
    assert "problem" in rows[1]
    assert len(run(demo_home, "ask", "--from", str(sheet)).output.splitlines()) >= 3


def test_a_sheet_that_is_all_bad_is_refused(demo_home: Home, tmp_path: Path) -> None:
    sheet = tmp_path / "list.csv"
    sheet.write_text("type,age\n,5\n,6\n", encoding="utf-8")

    assert refused(demo_home, "ask", "--from", str(sheet))


def test_the_picture(demo_home: Home, tmp_path: Path) -> None:
    file = tmp_path / "ask.svg"
    output = run(demo_home, *WORDS, "--plot", str(file)).output

    assert f"Drawn: {file}" in output.splitlines()
    text = file.read_text(encoding="utf-8")
    assert "<svg" in text
    assert "days until half sell" in text
    first = file.read_bytes()
    run(demo_home, *WORDS, "--plot", str(file))
    assert file.read_bytes() == first


def test_unsold_and_card(demo_home: Home) -> None:
    unsold = json.loads(run(demo_home, "unsold", "--json").output)
    card = run(demo_home, "card", "DEMO-198").output.splitlines()

    assert {row["unit"] for row in unsold["unsold"]} >= {"DEMO-198"}
    assert all(row["least"] >= 0 and 0 <= row["still"] <= 1 for row in unsold["unsold"])
    assert card[0] == "TAG"
    assert json.loads(run(demo_home, "card", "demo-198", "--json").output)["unit"] == "DEMO-198"


def test_mistakes_end_in_a_sentence(demo_home: Home, tmp_path: Path) -> None:
    assert "unit DEMO-19X is not open" in refused(demo_home, "card", "DEMO-19X")
    assert "unit nobody is not open" in refused(demo_home, "ask", "--unit", "nobody")
    assert "I do not know what it is" in refused(demo_home, "ask", "7 years, good")
    assert "--bid: 0 is not from" in refused(demo_home, *WORDS, "--offered", "0")
    assert "not a number" in refused(demo_home, *WORDS, "--offered", "lots")
    assert "no record yet" in refused(Home(tmp_path), *WORDS)
    assert run(demo_home, "ask", "--from", "x.csv", "--plot", "y.svg").exit_code == 2


def test_only_unsold_units_in_the_record(tmp_path: Path) -> None:
    """Nothing has ever sold: the starting figures answer, the days waited count, and every line
    says so."""
    home = Home(tmp_path / "home")
    sheet = tmp_path / "mine.csv"
    rows = (
        "A,wall oven,6,2026-08-01,300,listed",
        "B,dishwasher,4,2026-09-20,140,listed",
        "C,wall oven,9,2026-06-01,320,listed",
    )
    sheet.write_text("\n".join(("unit,type,age,listed,asked,outcome", *rows, "")), encoding="utf-8")
    assert run(home, "add", str(sheet)).exit_code == 0

    found = json.loads(run(home, "ask", "--unit", "B", "--json").output)
    waiting = json.loads(run(home, "unsold", "--json").output)["unsold"]

    assert found["standing"]["price"] == "GUESS"
    assert found["sales_used"] == 0
    assert {row["unit"] for row in waiting} == {"A", "B", "C"}
    assert next(row for row in waiting if row["unit"] == "C")["step"] == "clear it out"
