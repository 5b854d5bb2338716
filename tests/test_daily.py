"""The daily verbs as people type them: which unit, how much, on what day; dangers come first."""

from __future__ import annotations

from datetime import date

import pytest
from click.testing import CliRunner

from pricing.advice import cautions
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.cli import group
from pricing.pipeline import by_hand, day_line

TODAY = date(2026, 10, 5)  # a Monday
DRYER = {"type": "electric dryer"}


def typed(home: Home, *words: str, fit: bool = False) -> list[str]:
    """The lines that a command prints."""
    more = ["--home", str(home.path), "--as-of", TODAY.isoformat(), *([] if fit else ["--no-fit"])]
    result = CliRunner().invoke(group, [*words, *more])
    if isinstance(result.exception, Refused):
        raise result.exception
    assert result.exit_code == 0, result.output
    return result.output.splitlines()


def cell(home: Home, unit: str, name: str) -> object:
    row = by_hand.current(home, unit)
    assert row is not None
    return row[name]


@pytest.mark.parametrize(
    "line, amounts, hours, cells",
    [
        ("24 thermal fuse, 45 minutes", (24,), 0.75, {"found": "thermal fuse"}),
        ("half an hour, belt 35", (35,), 0.5, {"found": "belt"}),
        ("for two hundred fifty cash", (250,), 0, {}),
        ("180 plus 20 for delivery", (180,), 0, {"delivery": "20"}),
        ("for 95, fees 12", (95,), 0, {"fees": "12"}),
        ("1h30 and 15", (15,), 1.5, {}),
        ("for nothing", (0,), 0, {}),
        ("board threw F21, 60", (60,), 0, {}),
    ],
)
def test_a_line_is_amounts_time_and_columns(
    line: str, amounts: tuple[float, ...], hours: float, cells: dict[str, str]
) -> None:
    told = day_line.told(line, DRYER, Settings(), {}, TODAY)

    assert told.amounts == pytest.approx(amounts)
    assert told.hours == pytest.approx(hours)
    assert {name: told.cells.get(name) for name in cells} == cells


@pytest.mark.parametrize(
    "line, day",
    [
        ("for 90 yesterday", date(2026, 10, 4)),
        ("for 90 on saturday", date(2026, 10, 3)),
        ("for 90 last monday", date(2026, 9, 28)),
        ("for 90 on Sep 30", date(2026, 9, 30)),
        ("3 days ago for 90", date(2026, 10, 2)),
        ("for 90 on 10/2", date(2026, 10, 2)),
        ("for 90 on dec 24", date(2025, 12, 24)),
        ("paid 35 for it, may 90 do", TODAY),
        ("for 90", TODAY),
    ],
)
def test_the_day_that_a_line_names(line: str, day: date) -> None:
    found, rest = day_line.day_of(line, Settings(), TODAY)

    assert found == day
    assert "90" in rest


def test_a_day_still_to_come_is_refused() -> None:
    with pytest.raises(Refused, match="still to come"):
        day_line.day_of("for 90 on 2026-12-24", Settings(), TODAY)


def test_a_unit_is_named_as_people_name_it(demo_home: Home) -> None:
    # the end of its number; a number that opens the line is no unit's where another one is named
    assert typed(demo_home, "dropped", "206 to 119")[0].startswith("DEMO-206 Quillon electric")
    assert typed(demo_home, "spent", "35 belt and an hour on 209")[0].startswith("DEMO-209")
    assert cell(demo_home, "DEMO-035", "parts") != 35
    # by what it is, where one alone can be meant
    assert "DEMO-201" in typed(demo_home, "sold", "the Norvane dryer for 100")[0]
    with pytest.raises(Refused, match=r"which one is it: .*DEMO-204.*DEMO-206"):
        typed(demo_home, "sold", "electric dryer 120")
    with pytest.raises(Refused, match="no unit of yours that is not sold is a dishwasher"):
        typed(demo_home, "sold", "dishwasher 120")
    with pytest.raises(Refused, match="which unit is it: DEMO-206 or DEMO-209"):
        typed(demo_home, "spent", "206 belt on 209")
    with pytest.raises(Refused, match="there is no unit '999'"):
        typed(demo_home, "sold", "999 for 20")
    # one that was sold can only come back
    with pytest.raises(Refused, match="there is no unit '035'"):
        typed(demo_home, "spent", "035 20")
    assert "came back: Oct 5, 2 hours, $15" in typed(demo_home, "back", "035 2 hours 15")[0]


def test_a_sale_says_what_it_brought_and_asks_of_a_slip(demo_home: Home) -> None:
    said = typed(demo_home, "sold", "198 for 175 cash, 20 for delivery, yesterday")
    assert said[0] == (
        "DEMO-198 top-freezer fridge, 9y, good: sold for: $175; sold or done on: Oct 4; delivery: $20."
    )
    assert said[1].startswith("Kept $156 in 3.8 hours")
    assert "175 cash" in str(cell(demo_home, "DEMO-198", "note"))
    assert "did you mean $175?" in " ".join(typed(demo_home, "sold", "199 for 1750"))


def test_a_bid_is_kept_and_answered(demo_home: Home) -> None:
    said = typed(demo_home, "bid", "206: 80")

    assert "$80 on Oct 5" in said[0]
    assert said[1].startswith("SAY $")
    assert str(cell(demo_home, "DEMO-206", "offers")) == "2026-10-05:80"


def test_a_danger_stands_before_what_was_written(demo_home: Home) -> None:
    got = typed(demo_home, "got", "gas range, smells of gas at the back, free")
    spent = typed(demo_home, "spent", "209 15 and the plug is burnt")

    burning = typed(demo_home, "spent", "206 belt 12, smells like burning")
    row = by_hand.current(demo_home, "DEMO-206")
    assert row is not None
    warned = cautions.verdict_on(row, cautions.BENCH, Settings(), TODAY)
    assert burning[0] in [said.short for said in warned.dangers]
    assert got[0].startswith("Gas smell")
    assert "gas range" in got[-2]
    assert spent[0].startswith("Burnt cord")
    assert str(cell(demo_home, got[-2].split()[0], "note")).startswith("said: gas range, smells")


def test_nothing_said_is_asked_for(demo_home: Home) -> None:
    with pytest.raises(Refused, match="which unit, and for how much"):
        typed(demo_home, "sold")
    with pytest.raises(Refused, match="which one is the amount: 60, 80"):
        typed(demo_home, "sold", "206 60 80")


def test_a_unit_ends_as_parts_or_scrap(demo_home: Home) -> None:
    assert "parts and scrap brought: $14" in typed(demo_home, "scrapped", "205 for 14")[0]
    assert cell(demo_home, "DEMO-205", "outcome") == "scrapped"
    assert "parted" in typed(demo_home, "parted", "211")[0]
