"""The commands of the record as a person runs them: what is printed, the exit codes, nothing left
behind."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from pricing.basis.problems import Refused
from pricing.cli import group
from pricing.pages.reading_report import counts_line
from pricing.pages.text import width_of

SHEET = """Ref,Appliance,Got,Sold,Sold for,Status
1,Washing machine,2025-01-01,2025-01-20,100.00,Sold
2,Gas range,2025-01-05,2025-02-20,tbc,Sold
3,Fridge,2025-02-01,,,Still listed
Total,,,,100.00,
"""


def run(*arguments: str, home: Path, code: int = 0) -> Result:
    result = CliRunner().invoke(
        group, [*arguments, "--home", str(home), "--as-of", "2026-11-25"], catch_exceptions=True
    )
    if isinstance(result.exception, Refused):
        assert code == 1
    else:
        assert result.exit_code == code, result.output
    return result


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "units.csv"
    path.write_text(SHEET)
    return path


def test_add_reports_on_one_screen(home: Path, sheet: Path) -> None:
    output = run("add", str(sheet), "--no-fit", home=home).output

    assert "units.csv: 4 rows seen: 2 in, 1 to fix, 1 total or" in output
    assert "Sales add up to $100.00. Does that match your sheet?" in output
    assert "line 3: Sold for 'tbc': Sold, but the sale price is" in output
    assert f"Home: {home}" in output
    assert all(width_of(line) <= 60 for line in output.splitlines() if str(home) not in line)


def test_add_as_json_ties_out(home: Path, sheet: Path) -> None:
    told = json.loads(run("add", str(sheet), "--no-fit", "--json", home=home).output)

    assert told["rows_seen"] == sum(
        told[name]
        for name in ("accepted", "changed", "unchanged", "duplicates", "rejected", "skipped")
    )
    assert told["problems"][0]["line"] == 3
    assert told["problems"][0]["column"] == "Sold for"
    assert told["read_as"]["columns"]["Appliance"] == "type"


def test_rows_set_aside_still_end_0_and_none_served_ends_1(home: Path, tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("Ref,Type,Sold,Price\n1,oven,2025-01-01,tbc\n2,oven,2025-01-02,\n")
    output = run("add", str(path), "--no-fit", home=home, code=1).output

    assert "2 to fix" in output
    assert not (home / "data" / "record.db").exists()


def test_dry_run_says_so_and_writes_nothing(home: Path, sheet: Path) -> None:
    assert run("add", str(sheet), "--dry-run", home=home).output.startswith(
        "DRY RUN, nothing is written."
    )
    assert not home.exists()


def test_the_exact_command_that_answers_is_printed(home: Path, tmp_path: Path) -> None:
    path = tmp_path / "two ways.csv"
    path.write_text(
        "Ref,Type,Sold,Price\n1,oven,01/02/2025,80.00\n2,oven,03/04/2025,90.00\n3,hob,2025-01-05,70.00\n"
    )
    output = run("add", str(path), "--no-fit", home=home).output

    assert (
        f"  pricing add '{path}' --date-order mdy\n  pricing add '{path}' --date-order dmy"
        in output
    )
    assert "3 rows seen: 1 in, 2 to fix." in output
    assert (
        "3 rows seen: 2 in, 1 as you had it."
        in run("add", str(path), "--date-order", "dmy", "--no-fit", home=home).output
    )


@pytest.mark.parametrize("what", ["folder", "missing", "pipe"])
def test_what_is_no_file_is_one_sentence(what: str, home: Path, tmp_path: Path) -> None:
    import os

    path = tmp_path / "thing.csv"
    if what == "folder":
        path.mkdir()
    elif what == "pipe":
        os.mkfifo(path)
    result = run("add", str(path), "--no-fit", home=home, code=1)

    assert isinstance(result.exception, Refused)
    assert not home.exists()


def test_files_undo_history_verify(home: Path, sheet: Path) -> None:
    run("add", str(sheet), "--no-fit", home=home)
    corrected = sheet.with_name("later.csv")
    corrected.write_text(SHEET.replace("tbc", "250.00"))
    run("add", str(corrected), "--no-fit", home=home)

    assert "units.csv" in run("files", home=home).output
    assert "price: 250.00" in run("history", "2", home=home).output
    assert "no damage found" in run("verify", home=home).output
    assert "later.csv was taken back" in run("undo", "--no-fit", home=home).output
    assert "later.csv  (taken back)" in run("files", home=home).output
    assert "later.csv counts again" in run("undo", "--back", "--no-fit", home=home).output
    assert (
        json.loads(run("history", "2", "--json", home=home).output)["rows"][-1]["file"]
        == "later.csv"
    )


def test_export_and_blank_are_sheets_that_add_reads(
    home: Path, sheet: Path, tmp_path: Path
) -> None:
    run("add", str(sheet), "--no-fit", home=home)
    run("export", "--out", str(tmp_path / "out.csv"), home=home)
    run("export", "--out", str(tmp_path / "out.parquet"), home=home)
    rows = list(
        csv.DictReader(
            io.StringIO((tmp_path / "out.csv").read_bytes().decode("utf-8-sig"), newline="")
        )
    )
    run("blank", "--out", str(tmp_path / "blank.csv"), home=home)
    other = tmp_path / "other"

    assert [row["type"] for row in rows] == ["Washing machine", "Fridge"]
    assert (tmp_path / "out.parquet").read_bytes()[:4] == b"PAR1"
    own = tmp_path / "blank.csv"
    text = own.read_bytes().decode("utf-8-sig")
    assert "2 " in run("add", str(own), "--no-fit", home=other, code=1).output  # examples alone
    own.write_text(text.replace("example: take this row out", "mine"))
    assert "2 in" in run("add", str(own), "--no-fit", home=other).output


def test_backup_and_restore(home: Path, sheet: Path, tmp_path: Path) -> None:
    run("add", str(sheet), "--no-fit", home=home)
    run("backup", "--out", str(tmp_path / "b.zip"), home=home)
    run("restore", str(tmp_path / "b.zip"), home=tmp_path / "new")

    assert "no damage found" in run("verify", home=tmp_path / "new").output


def test_a_header_option_must_be_a_pair(home: Path, sheet: Path) -> None:
    assert (
        "Their word=our column"
        in run("add", str(sheet), "--header", "price", home=home, code=2).output
    )


def test_counts_line_names_only_what_there_is() -> None:
    assert (
        counts_line(
            {
                "accepted": 171,
                "changed": 0,
                "unchanged": 0,
                "duplicates": 3,
                "rejected": 6,
                "skipped": 4,
            }
        )
        == "171 in, 6 to fix, 4 totals or headings skipped, 3 repeats"
    )


def test_a_corrected_cell_of_a_sheet_without_numbers_is_told(home: Path, tmp_path: Path) -> None:
    rows = (
        "type,age,condition,sold,price,outcome\nelectric dryer,7,good,2026-09-10,180,sold\n"
        "gas range,5,good,2026-09-20,270,sold\n"
    )
    path = tmp_path / "units.csv"
    path.write_text(rows)
    run("add", str(path), "--no-fit", home=home)
    path.write_text(rows.replace("09-10", "09-11"))

    [note] = json.loads(run("add", str(path), "--no-fit", "--json", home=home).output)["notes"]

    assert (
        "line 2 and ~" in note["what"] and "sold: 2026-09-10 then, 2026-09-11 now" in note["what"]
    )
    run(*note["fix"].partition(": pricing ")[2].split(), "--no-fit", home=home)
    assert len(run("export", home=home).output.strip().splitlines()) == 3
