"""Whatever is added, in whatever order: a file read in blocks leaves the same record, counts and
totals as one compared row by row."""

from __future__ import annotations

import shutil
import tempfile
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.ingest import Answers, long, read
from pricing.pipeline import adding, keeping
from pricing.record import changes, entries, store
from pricing.record.entries import as_row, states_of

TODAY = date(2026, 11, 25)
COLUMNS = ("Unit", "Type", "Maker", "Age", "Paid", "Sold", "Price", "Outcome", "Shelf")

rows = st.fixed_dictionaries(
    {
        "Unit": st.sampled_from(["1", "2", "3", "4", "5", "6", "7", "8", ""]),
        "Type": st.sampled_from(["oven", "Oven", "hob", "hob"]),
        "Maker": st.sampled_from(["", "Acme", "acme", "Bolt"]),
        "Age": st.sampled_from(["", "3", "2016", "3.5"]),
        "Paid": st.sampled_from(["", "5", "5.00", "-2", "12.50"]),
        "Sold": st.sampled_from(["2025-01-20", "2025-02-20", "2025-02-31"]),
        "Price": st.sampled_from(["100", "100.00", "110", "120", "tbc"]),
        "Outcome": st.sampled_from(["sold", "Sold"]),
        "Shelf": st.sampled_from(["", "A1", "B2"]),
    }
)
sheets = st.tuples(
    st.lists(rows, min_size=1, max_size=14),
    st.sets(st.sampled_from(["Maker", "Age", "Paid", "Shelf", "Unit"]), max_size=2),
    st.booleans(),
)


def text_of(sheet: list[dict[str, str]], left_out: set[str]) -> str:
    columns = [name for name in COLUMNS if name not in left_out]
    return (
        "\n".join([",".join(columns), *(",".join(row[name] for name in columns) for row in sheet)])
        + "\n"
    )


@contextmanager
def reading_in_blocks() -> Iterator[None]:
    """Every file is long, a block is a few lines, and few rows are compared together."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(read, "_LONG", 1)
        patch.setattr(long, "BLOCK_BYTES", 150)
        patch.setattr(changes, "CHUNK", 2)
        yield


def kept(home: Home) -> tuple[dict[str, list[dict[str, object]]], list[str]]:
    """Every row that the record holds of each unit, oldest first: of those with a number by number,
    then of those without, whatever we called them."""
    found: dict[str, list[dict[str, object]]] = defaultdict(list)
    with store.reading(home) as db:
        counts = entries.counts_now(db)
        units = [unit for (unit,) in db.execute("select distinct unit from state")]
        for unit in units:
            for _, _, line, gone, cells in states_of(db, unit, counts):
                row = as_row(unit, line, cells) | {"gone": gone}
                found[unit].append({name: v for name, v in row.items() if v is not None})
    without = [
        [{**row, "unit": "~", "key": "~"} for row in states]
        for key, states in found.items()
        if key.startswith("~")
    ]
    return {key: states for key, states in found.items() if not key.startswith("~")}, sorted(
        map(repr, without)
    )


def told(added: adding.Added) -> tuple[object, ...]:
    older = sorted((line, key[:1] if key.startswith("~") else key) for line, key in added.older)
    gone = sorted(key[:1] if key.startswith("~") else key for key in added.gone)
    notes = sorted(
        (note.line or 0, note.what) for note in added.notes if "the same row again" in note.what
    )
    rejected = [
        (row.line, row.problems[0].what.replace("~", " ").split(" belongs")[-1])
        for row in added.rejected
    ]
    return (
        added.counts,
        added.control_total,
        added.n_units,
        older,
        gone,
        notes,
        sorted(added.words),
        rejected,
    )


def add_both_ways(short: Home, long: Home, path: Path, take_older: bool) -> None:
    """Add a file row by row to one home and in blocks to the other, after a rehearsal: the same is
    told, and the same is kept."""
    answers = Answers(take_older=take_older)
    by_rows = adding.add(short, path, Settings(), TODAY, answers)
    with reading_in_blocks():
        rehearsed = adding.add(long, path, Settings(), TODAY, answers, dry_run=True)
        by_blocks = adding.add(long, path, Settings(), TODAY, answers)

    assert told(by_blocks) == told(by_rows)
    assert told(rehearsed) == told(by_rows)
    assert kept(long) == kept(short)


@given(st.lists(sheets, min_size=1, max_size=4))
@settings(deadline=None, max_examples=10)
def test_the_same_files_by_rows_and_by_blocks(
    adds: list[tuple[list[dict[str, str]], set[str], bool]],
) -> None:
    folder = Path(tempfile.mkdtemp())
    try:
        short, long = Home(folder / "short"), Home(folder / "long")
        for number, (sheet, left_out, take_older) in enumerate(adds):
            path = folder / f"f{number}.csv"
            path.write_text(text_of(sheet, left_out))
            add_both_ways(short, long, path, take_older)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@given(
    st.lists(
        rows.filter(lambda row: row["Unit"] != "" and row["Price"] != "tbc"),
        min_size=3,
        max_size=20,
    ),
    st.randoms(use_true_random=False),
)
@settings(deadline=None, max_examples=6)
def test_a_sheet_that_only_grows_says_the_same_either_way(
    all_rows: list[dict[str, str]], draw: object
) -> None:
    """The whole sheet is exported again each month, re-ordered, with some prices put right."""
    folder = Path(tempfile.mkdtemp())
    try:
        short, long = Home(folder / "short"), Home(folder / "long")
        for number, share in enumerate((1, 2, 3)):
            sheet = all_rows[: len(all_rows) * share // 3]
            draw.shuffle(sheet)  # type: ignore[attr-defined]
            path = folder / f"month{number}.csv"
            path.write_text(text_of(sheet, set()))
            by_rows = adding.add(short, path, Settings(), TODAY)
            with reading_in_blocks():
                by_blocks = adding.add(long, path, Settings(), TODAY)

            assert told(by_blocks) == told(by_rows)
            assert kept(long) == kept(short)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


unnumbered = st.fixed_dictionaries(
    {
        "Type": st.sampled_from(["oven", "Oven", "hob"]),
        "Serial": st.sampled_from(["", "", "S1"]),
        "Bought": st.sampled_from(["2025-01-01", "2025-01-02", ""]),
        "Paid": st.sampled_from(["", "5"]),
        "Listed": st.sampled_from(["2025-01-05", ""]),
        "Condition": st.sampled_from(["good", "Good", "fair", ""]),
        "Shelf": st.sampled_from(["", "A1"]),
        "Unit": st.sampled_from(["", "", "", "", "7", "n/a"]),
        "Owner": st.sampled_from(["", "", "", "ann", "bob"]),
    }
)
ends = st.sampled_from(
    [
        ("listed", "", ""),
        ("listed", "", ""),
        ("sold", "2025-01-20", "100"),
        ("sold", "2025-01-21", "100"),
        ("scrapped", "", ""),
        ("sold", "2025-01-20", "tbc"),
    ]
)
months = st.lists(
    st.tuples(
        st.lists(st.tuples(st.integers(0, 9), ends), min_size=1, max_size=16),
        st.sets(
            st.sampled_from(
                [
                    "Serial",
                    "Bought",
                    "Paid",
                    "Listed",
                    "Condition",
                    "Shelf",
                    "Owner",
                    "Unit",
                    "Unit",
                ]
            ),
            max_size=4,
        ),
        st.booleans(),
    ),
    min_size=1,
    max_size=4,
)


@pytest.mark.parametrize("with_some_numbers", [False, True])
@given(st.lists(unnumbered, min_size=10, max_size=10), months, st.booleans())
@settings(deadline=None, max_examples=12)
def test_units_without_numbers_by_rows_and_by_blocks(
    with_some_numbers: bool,
    stock: list[dict[str, str]],
    sheets_of_months: list[tuple[list[tuple[int, tuple[str, str, str]]], set[str], bool]],
    undone: bool,
) -> None:
    """Ten units of few kinds, listed, sold, and listed again by mistake, in whatever order and how
    often; each sheet is added twice, and one is taken back."""
    folder = Path(tempfile.mkdtemp())
    try:
        short, long = Home(folder / "short"), Home(folder / "long")
        for number, (lines, left_out, take_older) in enumerate(sheets_of_months):
            columns = [
                name
                for name in (*unnumbered_columns(), "Outcome", "Sold", "Price")
                if name not in left_out and (with_some_numbers or name != "Unit")
            ]
            sheet = [
                stock[unit] | {"Outcome": outcome, "Sold": sold, "Price": price}
                for unit, (outcome, sold, price) in lines
            ]
            path = folder / f"f{number}.csv"
            path.write_text(
                "\n".join(
                    [",".join(columns), *(",".join(row[name] for name in columns) for row in sheet)]
                )
                + "\n"
            )
            for _ in range(2):
                add_both_ways(short, long, path, take_older)
            if undone and number == 1 and entries.load(short).counting():
                for home in (short, long):
                    keeping.undo(home, None, TODAY)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def unnumbered_columns() -> tuple[str, ...]:
    return ("Unit", "Type", "Serial", "Bought", "Paid", "Listed", "Condition", "Shelf", "Owner")


def added_in_blocks(home: Home, path: Path, text: str) -> adding.Added:
    path.write_text(text)
    with reading_in_blocks():
        return adding.add(home, path, Settings(), TODAY)


def test_a_long_file_with_fewer_columns_keeps_what_it_has_no_column_for(tmp_path: Path) -> None:
    home = Home(tmp_path / "home")
    added_in_blocks(
        home,
        tmp_path / "a.csv",
        "Unit,Type,Maker,Sold,Price,Outcome,Shelf\n1,oven,Acme,2025-01-20,100,sold,A1\n2,hob,,2025-01-20,90,sold,\n",
    )
    changed = added_in_blocks(
        home, tmp_path / "b.csv", "Unit,Type,Price,Outcome\n1,oven,120,sold\n2,hob,90,sold\n"
    )
    row = kept(home)[0]["1"][-1]

    assert (changed.counts["changed"], changed.counts["unchanged"]) == (1, 1)
    assert (row["price"], row["maker"], row["sold"], row["extra"]) == (
        120,
        "acme",
        date(2025, 1, 20),
        '{"Shelf": "A1"}',
    )


def test_a_long_file_without_numbers_is_known_again(tmp_path: Path) -> None:
    home, text = (
        Home(tmp_path / "home"),
        "Type,Maker,Sold,Price,Outcome\n"
        + "".join(f"oven,Acme,2025-01-{day:02d},{100 + day},sold\n" for day in range(1, 29)),
    )
    first = added_in_blocks(home, tmp_path / "a.csv", text)
    again = added_in_blocks(home, tmp_path / "b.csv", text)

    assert first.counts["accepted"] == 28
    assert again.counts["unchanged"] == 28
    assert again.entry is None


def test_what_a_long_file_filled_in_is_counted_by_rows(tmp_path: Path) -> None:
    text = "Unit,Type,Paid,Sold,Price,Outcome\n1,oven,-2,2025-01-20,100,sold\n2,hob,,2025-01-20,90,sold\n3,hob,5,2025-01-20,90,sold\n"
    added = added_in_blocks(Home(tmp_path / "home"), tmp_path / "a.csv", text)

    assert (added.filled["price"], added.filled["unit"]) == (
        3 - added.counts["rejected"],
        3 - added.counts["rejected"],
    )


def test_what_a_row_fills_under_another_column_is_kept(tmp_path: Path) -> None:
    """The price of a unit sold in parts is salvage, an age of 2016 the year it was made."""
    text = "Unit,Type,Age,Price,Outcome\n" + "".join(
        f"{k},oven,{2016 if k % 2 else 3},{40 + k},parted out\n" for k in range(1, 12)
    )
    short, long = Home(tmp_path / "short"), Home(tmp_path / "long")
    added_in_blocks(long, tmp_path / "a.csv", text)
    adding.add(short, tmp_path / "a.csv", Settings(), TODAY)

    assert kept(long) == kept(short)
    assert {name for rows_of_unit in kept(long)[0].values() for name in rows_of_unit[-1]} >= {
        "salvage",
        "made",
    }


def test_a_repeat_after_a_row_of_another_unit_with_its_number(tmp_path: Path) -> None:
    """A row that says nothing new, one that takes the number for another unit and is turned away,
    and the first one again."""
    oven, hob = "1,oven,2025-01-20,100,sold", "1,hob,2025-02-20,110,sold"
    short, long = Home(tmp_path / "short"), Home(tmp_path / "long")
    for number, lines in enumerate(([oven], [oven, hob, oven], [hob, oven, oven])):
        path = tmp_path / f"f{number}.csv"
        path.write_text("\n".join(["Unit,Type,Sold,Price,Outcome", *lines]) + "\n")
        by_rows = adding.add(short, path, Settings(), TODAY)
        with reading_in_blocks():
            by_blocks = adding.add(long, path, Settings(), TODAY)

        assert told(by_blocks) == told(by_rows)
    assert (
        by_rows.counts["unchanged"],
        by_rows.counts["duplicates"],
        by_rows.counts["rejected"],
    ) == (1, 1, 1)
