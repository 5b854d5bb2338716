"""Whatever is added, in whatever order: a file read in blocks leaves the same record, counts and totals as one compared row by row."""

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

from pricing.ingest import Answers, blocks, read
from pricing.ledger import batches
from pricing.ledger.current import read_entries
from pricing.pipeline import record, record_waiting
from pricing.records.home import Home
from pricing.records.settings import Settings

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
sheets = st.tuples(st.lists(rows, min_size=1, max_size=14), st.sets(st.sampled_from(["Maker", "Age", "Paid", "Shelf", "Unit"]), max_size=2), st.booleans())


def text_of(sheet: list[dict[str, str]], left_out: set[str]) -> str:
    columns = [name for name in COLUMNS if name not in left_out]
    return "\n".join([",".join(columns), *(",".join(row[name] for name in columns) for row in sheet)]) + "\n"


@contextmanager
def reading_in_blocks() -> Iterator[None]:
    """Every file is long, a block is a few lines, and few rows are compared together."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(read, "_LONG", 1)
        patch.setattr(blocks, "BLOCK_BYTES", 150)
        patch.setattr(record_waiting, "CHUNK", 2)
        patch.setattr(record_waiting, "_IN_MEMORY", 64)
        yield


def kept(home: Home) -> dict[str, list[dict[str, object]]]:
    """Every row that the record holds of each unit, oldest first."""
    found: dict[str, list[dict[str, object]]] = defaultdict(list)
    for row in read_entries(home, batches.load(home).counting()).to_pylist():
        found[row["key"]].append({name: value for name, value in row.items() if value is not None and name != "batch"})
    return dict(found)


def told(added: record.Added) -> tuple[object, ...]:
    return added.counts, added.control_total, sorted(added.older), [(row.line, row.problems[0].what) for row in added.rejected]


@given(st.lists(sheets, min_size=1, max_size=4))
@settings(deadline=None, max_examples=15)
def test_the_same_files_by_rows_and_by_blocks(adds: list[tuple[list[dict[str, str]], set[str], bool]]) -> None:
    folder = Path(tempfile.mkdtemp())
    try:
        short, long = Home(folder / "short"), Home(folder / "long")
        for number, (sheet, left_out, take_older) in enumerate(adds):
            path = folder / f"f{number}.csv"
            path.write_text(text_of(sheet, left_out))
            answers = Answers(take_older=take_older)
            by_rows = record.add(short, path, Settings(), TODAY, answers)
            with reading_in_blocks():
                rehearsed = record.add(long, path, Settings(), TODAY, answers, dry_run=True)
                by_blocks = record.add(long, path, Settings(), TODAY, answers)

            assert told(by_blocks) == told(by_rows)
            assert told(rehearsed) == told(by_rows)
            assert kept(long) == kept(short)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@given(st.lists(rows.filter(lambda row: row["Unit"] != "" and row["Price"] != "tbc"), min_size=3, max_size=20), st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=8)
def test_a_sheet_that_only_grows_says_the_same_either_way(all_rows: list[dict[str, str]], draw: object) -> None:
    """The whole sheet is exported again each month, re-ordered, with some prices put right."""
    folder = Path(tempfile.mkdtemp())
    try:
        short, long = Home(folder / "short"), Home(folder / "long")
        for number, share in enumerate((1, 2, 3)):
            sheet = all_rows[: len(all_rows) * share // 3]
            draw.shuffle(sheet)  # type: ignore[attr-defined]
            path = folder / f"month{number}.csv"
            path.write_text(text_of(sheet, set()))
            by_rows = record.add(short, path, Settings(), TODAY)
            with reading_in_blocks():
                by_blocks = record.add(long, path, Settings(), TODAY)

            assert told(by_blocks) == told(by_rows)
            assert kept(long) == kept(short)
    finally:
        shutil.rmtree(folder, ignore_errors=True)
