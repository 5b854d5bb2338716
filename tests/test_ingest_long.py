"""A long file read in blocks gives what the careful reader gives, row by row; hashes and sets
behind it do what they say."""

from __future__ import annotations

import random
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.ingest import Answers, block_columns, long, read, read_file
from pricing.ingest.long import open_long
from pricing.pipeline import adding
from pricing.record import changes
from pricing.record.current import read_current
from pricing.record.rows import Incoming, content, from_table, incoming

TODAY = date(2026, 11, 25)
CORPUS = sorted((Path(__file__).parent / "corpus").glob("*.csv"))


def said_by(rows: Iterable[Incoming]) -> dict[int, str]:
    """Line -> all that a row says."""
    return {row.line: f"{content(row.cells)} {row.unit}" for row in rows}


def by_blocks(
    path: Path, settings: Settings | None = None, answers: Answers | None = None
) -> tuple[dict[int, str], list[int], list[int]] | None:
    """(line -> content of the accepted rows, lines set aside, lines passed over) by the blocks, or
    None where the file is not for them."""
    file = open_long(path, settings or Settings(), TODAY, answers or Answers(), {})
    if file is None:
        return None
    for _ in range(3):
        rows: dict[int, str] = {}
        rejected, skipped = [], [line.line for line in file.prepared.skipped]
        for block in file.blocks():
            if block.table is not None:
                rows |= said_by(from_table(block.table))
            rows |= said_by(incoming(block.others))
            rejected += [row.line for row in block.rejected]
            skipped += [line.line for line in block.skipped]
        if file.settled():
            break
    return rows, sorted(rejected), sorted(skipped)


@pytest.mark.parametrize("path", CORPUS, ids=[path.stem for path in CORPUS])
def test_blocks_read_what_the_careful_reader_reads(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every file of the corpus, cut into small blocks, against `read_file`."""
    monkeypatch.setattr(long, "BLOCK_BYTES", 900)
    try:
        careful = read_file(path, Settings(), TODAY)
    except Refused as refused:
        with pytest.raises(Refused):
            assert by_blocks(path) is None
            raise refused  # not for blocks: the careful reader has the last word
        return
    found = by_blocks(path)
    if found is None:
        return

    rows, rejected, skipped = found
    assert rows == said_by(incoming(careful.rows))
    assert rejected == [row.line for row in careful.rejected]
    assert skipped == [line.line for line in careful.skipped]


# What only the reader of single rows once knew: own columns, amounts in cents, work as a part of a
# day, distances there and back, ask and price in one cell, dated asks, several units on a row.
ODD_SHEETS = {
    "own": "Ref,Type,Sold,Sale price,Loads,Shade,Qty\n{n},Oven,2026-01-{d:02d},{p}.00,{d},Grey,1\n",
    "cents": "Ref,Type,Sold,Sale price (cents),Asked\n{n},Oven,2026-01-{d:02d},{p}00,{p}.00\n",
    "days": "Ref,Type,Sold,Sale price,Hours\n{n},Oven,2026-01-{d:02d},{p}.00,0.06{d:02d}\n",
    "round": "Ref,Type,Sold,Sale price,Round trip miles\n{n},Oven,2026-01-{d:02d},{p}.00,{d}\n",
    "slash": "Ref,Type,Sold,Sale price\n{n},Oven,2026-01-{d:02d},{p}/{d}0\n",
    "asks": "Ref,Type,Sold,Sale price,Asked\n{n},Oven,2026-01-{d:02d},{p}.00,2026-01-01:{p}; 2026-01-02:{d}9\n",
    "several": "Ref,Type,Sold,Sale price,Qty\n{n},Oven,2026-01-{d:02d},{p}.00,{q}\n",
    "notes": "Ref,Type,Sold,Sale price,Note,Pair\n{n},Oven,2026-01-{d:02d},{p}.00,'=1+{n},n/a\n",
    "made": "Ref,Type,Sold,Sale price,Year made,Parts\n{n},Oven,2026-01-{d:02d},{p}.00,20{d:02d},-\n",
}


@pytest.mark.parametrize("name", ODD_SHEETS)
def test_what_one_reader_knows_of_a_cell_the_other_knows(name: str, tmp_path: Path) -> None:
    """One reader of a cell: a long file and a short one hold the same rows, and set aside the
    same."""
    header, row = ODD_SHEETS[name].split("\n")[:2]
    lines = [row.format(n=n, d=1 + n % 28, p=60 + n % 40, q=1 + n % 2) for n in range(101, 161)]
    path = tmp_path / "sheet.csv"
    path.write_text("\n".join([header, *lines]) + "\n")
    own = Settings(attributes={"loads": "number", "shade": "category"})
    answers = Answers(slash="asked/sold" if name == "slash" else "")
    careful = read_file(path, own, TODAY, answers)

    found = by_blocks(path, own, answers)

    assert found is not None
    rows, rejected, _ = found
    assert rows == said_by(incoming(careful.rows))
    assert rejected == [row.line for row in careful.rejected]
    assert len(rows) + len(rejected) == 60


def test_dashes_of_a_long_file_are_counted_and_its_rows_read_in_columns(tmp_path: Path) -> None:
    """A dash for nothing spent stands in most rows of some sheets: told once, with its count."""
    path = tmp_path / "sheet.csv"
    rows = [
        f"{n},Oven,2026-01-{1 + n % 28:02d},{'tbc' if n % 5 == 0 else '90.00'},{'-' if n % 2 else 5}"
        for n in range(100, 200)
    ]
    path.write_text("\n".join(["Ref,Type,Sold,Sale price,Parts", *rows]) + "\n")
    file = open_long(path, Settings(), TODAY, Answers(), {})
    assert file is not None

    found = list(file.blocks())

    in_columns = sum(one.table.num_rows for one in found if one.table is not None)
    assert in_columns == 80  # all but the ones without a price, half of them with a dash
    assert file.prepared.rules.counts["dash"] == {"Parts": {"-": 50}}
    told = [note.what for note in read_file(path, Settings(), TODAY).notes]
    assert any(note.startswith("50 dashes under 'Parts'") for note in told)


def long_ledger(path: Path, n_rows: int, seed: int = 3, first: int = 0) -> tuple[int, int, Decimal]:
    """An invented ledger with planted faults; returns (good rows, bad rows, sum of good prices)."""
    draw = random.Random(seed)
    lines = [
        "Ref,Type,Age (years),Condition,Repair done,Paid,Parts,Hours,Bought,Listed,Asked,Sold,Sale"
        " price,Outcome"
    ]
    good, bad, total = 0, 0, Decimal(0)
    for i in range(first, first + n_rows):
        price, sold = Decimal(draw.randrange(2000, 60000)) / 100, "2024-05-20"
        fault = i % 501
        text = {17: "tbc", 101: "-12.00", 203: "=1+1"}.get(fault, f"{price:.2f}")
        sold = "2024-02-31" if fault == 305 else sold
        lines.append(
            f'L{i:06d},{draw.choice(["Oven", "Fridge", "Hob"])},{draw.randrange(1, 20) / 2},Good,"Seal,'
            f' tested",5,2.25,1.5,2024-05-01,2024-05-02,{price:.0f},{sold},{text},Sold'
        )
        if fault in (17, 101, 203, 305):
            bad += 1
        else:
            good, total = good + 1, total + price
    path.write_text("\n".join(lines) + "\n")
    return good, bad, total


@pytest.fixture
def always_long(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(read, "_LONG", 1_000)
    monkeypatch.setattr(long, "BLOCK_BYTES", 40_000)


@pytest.mark.usefixtures("always_long")
def test_a_long_file_is_added_to_the_cent_and_again_changes_nothing(tmp_path: Path) -> None:
    path, home = tmp_path / "long.csv", Home(tmp_path / "home")
    good, bad, total = long_ledger(path, 3_000)
    text = path.read_text()
    path.write_text(text + text.splitlines()[5] + "\n" + text.splitlines()[1999] + "\n")
    added = adding.add(home, path, Settings(), TODAY)
    again = adding.add(home, path, Settings(), TODAY)

    assert added.counts == {
        "accepted": good,
        "changed": 0,
        "unchanged": 0,
        "duplicates": 2,
        "rejected": bad,
        "skipped": 0,
    }
    assert added.control_total == total
    assert again.counts == {
        "accepted": 0,
        "changed": 0,
        "unchanged": good,
        "duplicates": 2,
        "rejected": bad,
        "skipped": 0,
    }
    assert again.entry is None
    assert read_current(home).num_rows == good


@pytest.mark.usefixtures("always_long")
def test_a_correction_inside_a_long_file_and_a_grown_export(tmp_path: Path) -> None:
    path, home = tmp_path / "long.csv", Home(tmp_path / "home")
    good, _, _ = long_ledger(path, 2_000)
    lines = path.read_text().splitlines()
    corrected = lines[3].split(",")
    corrected[-2] = "77.77"
    path.write_text("\n".join([*lines, ",".join(corrected)]) + "\n")
    first = adding.add(home, path, Settings(), TODAY)
    lines[7] = lines[7].replace("Good", "Fair")
    grown = tmp_path / "grown.csv"
    grown.write_text(
        "\n".join(
            [
                lines[0],
                *reversed([",".join(corrected), *lines[1:3], *lines[4:]]),
                "N1,Oven,3,Good,x,5,2,1,2024-05-01,2024-05-02,99,2024-05-20,90.00,Sold",
            ]
        )
        + "\n"
    )
    second = adding.add(home, grown, Settings(), TODAY)
    current = {row["key"]: row for row in read_current(home).to_pylist()}

    assert (first.counts["accepted"], first.counts["changed"]) == (good, 1)
    assert current["L000002"]["price"] == Decimal("77.77")
    assert (second.counts["accepted"], second.counts["changed"], second.counts["unchanged"]) == (
        1,
        1,
        good - 1,
    )
    assert current["L000006"]["condition"] == "fair"


@pytest.mark.usefixtures("always_long")
def test_the_end_of_a_long_file_can_decide_its_dates(tmp_path: Path) -> None:
    """The first lines show no order; a day above twelve stands far below; all rows are read once
    more with it."""
    path, home = tmp_path / "long.csv", Home(tmp_path / "home")
    rows = [f"L{i},Oven,{80 + i % 50}.50,0{1 + i % 9}/0{1 + i % 7}/2024,Sold" for i in range(9_000)]
    path.write_text(
        "Ref,Type,Price,Sold,Outcome\n" + "\n".join([*rows, "Z1,Oven,90.50,25/07/2024,Sold"]) + "\n"
    )
    added = adding.add(home, path, Settings(), TODAY)

    assert added.counts["accepted"] == 9_001
    assert {row["sold"].month for row in read_current(home).to_pylist()} == {1, 2, 3, 4, 5, 6, 7}


@pytest.mark.usefixtures("always_long")
def test_a_dry_run_of_a_long_file_leaves_nothing(tmp_path: Path) -> None:
    path, home = tmp_path / "long.csv", Home(tmp_path / "home")
    good, bad, total = long_ledger(path, 1_000)
    added = adding.add(home, path, Settings(), TODAY, dry_run=True)

    assert (added.counts["accepted"], added.counts["rejected"], added.control_total) == (
        good,
        bad,
        total,
    )
    assert not home.path.exists()


@given(st.lists(st.lists(st.integers(0, 50), max_size=20), max_size=12))
@settings(deadline=None, max_examples=50)
def test_the_sieve_forgets_no_number(chunks: list[list[int]]) -> None:
    """It may take a few new ones for known, never a known one for new."""
    sieve, known = changes._Sieve(), set[str]()
    for numbers in chunks:
        names = [f"U{number}" for number in numbers]
        for name, again in zip(names, sieve.again(names), strict=True):
            assert again or name not in known
            known.add(name)


@pytest.mark.usefixtures("always_long")
def test_a_row_of_a_long_file_that_is_turned_away_keeps_its_cells(tmp_path: Path) -> None:
    path, home = tmp_path / "long.csv", Home(tmp_path / "home")
    long_ledger(path, 600)
    clash = "L000001,Toaster,1,Good,x,5,2,1,2023-05-01,2023-05-02,99,2023-05-20,9.00,Sold"
    path.write_text(path.read_text() + clash + "\n")
    added = adding.add(home, path, Settings(), TODAY)

    assert added.rejected[-1].cells == tuple(clash.split(","))
    assert added.rejected_file is not None
    assert "L000001,Toaster,1,Good" in added.rejected_file.read_text()


@pytest.mark.usefixtures("always_long")
def test_free_text_is_not_kept_and_many_distinct_cells_only_so_far(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A note that differs in each row and prices that do, in more blocks than one: read as they
    are, the memo stays small."""
    monkeypatch.setattr(block_columns, "MOST_KEPT", 50)
    path = tmp_path / "long.csv"
    lines = [
        f"L{i},Oven,{100 + i // 10}.{i % 10}0,2024-05-20,Sold,seal {i} replaced"
        for i in range(2_000)
    ]
    path.write_text("Ref,Type,Price,Sold,Outcome,Note\n" + "\n".join(lines) + "\n")
    file = open_long(path, Settings(), TODAY, Answers(), {})
    assert file is not None
    tables = [block.table for block in file.blocks() if block.table is not None]
    kept = {
        name: len(cells)
        for name, cells in file.prepared.rules.memo.items()
        if name.startswith("plain ")
    }

    assert len(tables) > 1
    assert [str(text) for table in tables for text in table.column("note").to_pylist()] == [
        f"seal {i} replaced" for i in range(2_000)
    ]
    assert [price for table in tables for price in table.column("price").to_pylist()] == [
        Decimal(f"{100 + i // 10}.{i % 10}0") for i in range(2_000)
    ]
    assert "plain note" not in kept
    assert 50 <= kept["plain Price"] <= 54  # blocks are read side by side: each may put in one more
