"""The table of columns that every added sheet shows, and how long what was said of them lasts."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.ingest import Answers
from pricing.pages.reading_report import grouped, table_lines
from pricing.pages.text import WIDTH, width_of
from pricing.pipeline.adding import Added, add
from pricing.pipeline.column_table import taken_for
from pricing.record.taking_back import undo

TODAY = date(2026, 11, 26)
SHEET = (
    "Ref,What,Sale prise,Reduced to,Date,Gained,Minuts of work\n"
    "R1,electric dryer,180,170,2026-09-10,12,45\n"
    "R2,gas range,270,250,2026-09-20,30,90\n"
    "R3,electric dryer,190,185,2026-09-25,11,60\n"
)


def added(home: Home, folder: Path, **headers: str) -> Added:
    path = folder / "march.csv"
    path.write_text(SHEET)
    return add(home, path, Settings(), TODAY, Answers(headers=headers))


def how_of(result: Added) -> dict[str, tuple[str, str]]:
    return {one.heading: (one.column, one.how) for one in taken_for(result)}


def test_each_heading_is_named_with_what_it_was_taken_for(tmp_path: Path) -> None:
    result = added(Home(tmp_path / "home"), tmp_path)
    assert how_of(result) == {
        "Ref": ("unit", "sure"),
        "What": ("type", "sure"),
        "Sale prise": ("price", "a guess"),
        "Reduced to": ("", ""),
        "Date": ("sold", "likely"),
        "Gained": ("", ""),
        "Minuts of work": ("", ""),
    }
    shown = {one.heading: one.values for one in taken_for(result)}
    assert shown["What"] == ("electric dryer", "gas range")
    assert shown["Date"] == ("2026-09-10", "2026-09-20", "2026-09-25")
    assert shown["Reduced to"] == ("170", "250", "185")


def test_the_table_fits_a_terminal_on_a_phone(tmp_path: Path) -> None:
    result = added(Home(tmp_path / "home"), tmp_path)
    lines = table_lines(
        [(one.heading, one.called, one.how, one.values) for one in taken_for(result)]
    )
    assert len(lines) > len(taken_for(result))
    assert max(map(width_of, lines)) <= WIDTH


def test_the_same_thing_of_many_rows_is_said_once(tmp_path: Path) -> None:
    rows = "".join(f"U{at},oven,150,{at % 2 * (300 + at) + 2}\n" for at in range(40))
    path = tmp_path / "hours.csv"
    path.write_text("Ref,Type,Sold for,Hours\n" + rows)
    result = add(Home(tmp_path / "home"), path, Settings(), TODAY)
    assert len(result.row_notes) == 20
    lines = grouped(result.row_notes, "")
    assert sum("hours of work on one unit" in line for line in lines) == 1
    assert "and 14 more" in lines[-1]


def test_what_was_said_of_a_heading_goes_with_the_file(tmp_path: Path) -> None:
    home = Home(tmp_path / "home")
    said = {"Reduced to": "asked"}
    assert how_of(added(home, tmp_path, **said))["Reduced to"] == ("asked", "you said")
    assert how_of(added(home, tmp_path))["Reduced to"] == ("asked", "you said")
    undo(home, None, TODAY.isoformat())
    assert how_of(added(home, tmp_path))["Reduced to"] == ("", "")
    undo(home, None, TODAY.isoformat())
    undo(home, "1", TODAY.isoformat(), back=True)
    assert how_of(added(home, tmp_path))["Reduced to"] == ("asked", "you said")
