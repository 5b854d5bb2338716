"""The record: same file twice, corrections, older exports, undo and back, damage named, backup and
restore, compaction, export read back."""

from __future__ import annotations

import contextlib
import json
import random
import shutil
import sqlite3
import threading
import time
from datetime import date
from decimal import Decimal
from pathlib import Path

import pyarrow.parquet as pq
import pytest

from pricing.basis.files import sha256
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.ingest import Answers
from pricing.pipeline import adding, by_hand, keeping
from pricing.record import current, entries, store
from pricing.record.current import read_current, units_for_models
from pricing.record.entries import Entry
from pricing.record.export import csv_bytes, disarm
from pricing.record.verify import read_backup, verify_record

TODAY = date(2026, 11, 25)
HEAD = "Unit,Type,Got,Sold,Price,Outcome\n"


def sheet(tmp_path: Path, *rows: str, name: str = "a.csv", head: str = HEAD) -> Path:
    path = tmp_path / name
    path.write_text(head + "".join(row + "\n" for row in rows))
    return path


def add(home: Home, path: Path, **options: object) -> adding.Added:
    return adding.add(home, path, Settings(), TODAY, **options)  # type: ignore[arg-type]


def prices(home: Home) -> dict[str, Decimal | None]:
    return {row["key"]: row["price"] for row in read_current(home).to_pylist()}


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


A = (
    "1,oven,2025-01-01,2025-01-20,100.00,sold",
    "2,hob,2025-01-05,2025-02-20,200.00,sold",
    "3,fridge,2025-02-01,,,listed",
)


def test_the_same_file_twice_changes_nothing(home: Home, tmp_path: Path) -> None:
    first, again = add(home, sheet(tmp_path, *A)), add(home, sheet(tmp_path, *A))

    assert first.counts["accepted"] == 3
    assert again.counts == {
        "accepted": 0,
        "changed": 0,
        "unchanged": 3,
        "duplicates": 0,
        "rejected": 0,
        "skipped": 0,
    }
    assert again.entry is None
    assert len(entries.load(home).entries) == 1


def test_a_later_row_replaces_and_history_keeps_both(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    changed = add(home, sheet(tmp_path, A[0].replace("100.00", "110.00"), name="b.csv"))
    steps = keeping.history_steps(home, "1")

    assert changed.counts["changed"] == 1
    assert prices(home)["1"] == 110
    assert [step["changes"].get("price") for step in steps] == ["100.00", "110.00"]
    assert [(step["file"], step["line"]) for step in steps] == [("a.csv", 2), ("b.csv", 2)]


def test_an_older_file_does_not_undo_a_later_correction(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    add(home, sheet(tmp_path, A[0].replace("100.00", "110.00"), name="b.csv"))
    reordered = sheet(tmp_path, *reversed(A), name="old.csv")
    old = add(home, reordered)

    assert old.counts["unchanged"] == 3
    assert [key for _, key in old.older] == ["1"]
    assert prices(home)["1"] == 110
    assert add(home, reordered, answers=Answers(take_older=True)).counts["changed"] == 1
    assert prices(home)["1"] == 100


def test_a_newer_export_may_take_a_correction_back(home: Home, tmp_path: Path) -> None:
    """It knows a unit that came with the correction, so it was written after it."""
    add(home, sheet(tmp_path, *A))
    add(
        home,
        sheet(
            tmp_path,
            A[0].replace("100.00", "110.00"),
            *A[1:],
            "4,hob,2025-03-01,2025-03-20,90.00,sold",
            name="b.csv",
        ),
    )
    newest = add(home, sheet(tmp_path, *A, "4,hob,2025-03-01,2025-03-20,90.00,sold", name="c.csv"))

    assert newest.counts["changed"] == 1
    assert prices(home)["1"] == 100


def test_a_grown_export_says_new_changed_same_and_gone(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    grown = add(
        home,
        sheet(
            tmp_path,
            A[0],
            "3,fridge,2025-02-01,2025-03-03,300.00,sold",
            "5,oven,2025-03-01,,,in work",
            name="march.csv",
        ),
    )

    assert (grown.counts["accepted"], grown.counts["changed"], grown.counts["unchanged"]) == (
        1,
        1,
        1,
    )
    assert grown.gone == ("2",)
    assert prices(home) == {"1": 100, "2": 200, "3": 300, "5": None}


def test_rows_without_numbers_are_known_again_by_their_content(home: Home, tmp_path: Path) -> None:
    head = "Type,Got,Paid,Sold,Price,Note\n"
    rows = ("oven,2025-01-01,10,2025-01-20,100.00,x", "hob,2025-01-05,5,,,", "hob,2025-02-05,5,,,")
    first = add(home, sheet(tmp_path, *rows, head=head))
    again = add(home, sheet(tmp_path, rows[2], rows[0], rows[1], head=head, name="b.csv"))
    grown = add(
        home,
        sheet(
            tmp_path,
            rows[0],
            "hob,2025-01-05,5,2025-03-01,80.00,",
            rows[2],
            "oven,2025-03-01,7,,,",
            head=head,
            name="c.csv",
        ),
    )

    assert first.counts["accepted"] == 3
    assert again.counts["unchanged"] == 3
    assert (grown.counts["accepted"], grown.counts["changed"], grown.counts["unchanged"]) == (
        1,
        1,
        2,
    )
    assert read_current(home).num_rows == 4


def test_two_equal_rows_without_numbers_are_told(home: Home, tmp_path: Path) -> None:
    head = "Type,Maker,Got,Listed,Paid,Parts,Sold,Price\n"
    row = "oven,acme,2025-01-01,2025-01-05,10,5,2025-01-20,100.00"
    added = add(home, sheet(tmp_path, row, row, head=head))

    assert (added.counts["accepted"], added.counts["duplicates"]) == (1, 1)
    assert any("neither has a number" in note.what for note in added.notes)


def test_a_number_used_for_another_unit_is_set_aside(home: Home, tmp_path: Path) -> None:
    added = add(home, sheet(tmp_path, *A, "1,dishwasher,2025-05-01,2025-06-01,77.00,sold"))

    assert added.counts["rejected"] == 1
    assert "belongs to another unit" in added.rejected[0].problems[0].what
    assert prices(home)["1"] == 100


def test_a_sheet_with_fewer_columns_keeps_what_it_has_no_column_for(
    home: Home, tmp_path: Path
) -> None:
    add(home, sheet(tmp_path, *A))
    add(home, sheet(tmp_path, "1,oven,120.00,sold", head="Unit,Type,Price,Outcome\n", name="b.csv"))
    row = next(row for row in read_current(home).to_pylist() if row["key"] == "1")

    assert (row["price"], row["got"], row["sold"]) == (120, date(2025, 1, 1), date(2025, 1, 20))


def test_undo_and_undo_of_undo(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    add(home, sheet(tmp_path, A[0].replace("100.00", "110.00"), name="b.csv"))
    keeping.undo(home, None, TODAY)
    undone = prices(home)
    keeping.undo(home, None, TODAY, back=True)
    back = prices(home)
    keeping.undo(home, "a.csv", TODAY)

    assert undone["1"] == 100
    assert back["1"] == 110
    assert prices(home) == {"1": 110}
    with pytest.raises(Refused, match="no file or change called"):
        keeping.undo(home, "never.csv", TODAY)


def test_an_undone_file_can_be_added_again(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    keeping.undo(home, None, TODAY)
    again = add(home, sheet(tmp_path, *A))

    assert again.counts["accepted"] == 3
    assert len(prices(home)) == 3


def test_undo_of_an_undo_cancels_it_in_every_order(home: Home) -> None:
    def counting_after(*acts: Entry) -> list[int]:
        with store.writing(home) as db:
            for act in acts:
                entries.write(db, act)
        return [entry.number for entry in entries.load(home).counting()]

    assert counting_after(Entry(1, "add"), Entry(2, "add"), Entry(3, "undo", of=1)) == [2]
    assert counting_after(Entry(4, "undo", of=3)) == [1, 2]
    assert counting_after(Entry(5, "undo", of=1)) == [2]


def test_a_dry_run_writes_nothing(home: Home, tmp_path: Path) -> None:
    added = add(home, sheet(tmp_path, *A), dry_run=True)

    assert added.counts["accepted"] == 3
    assert not home.path.exists()


def test_a_refused_file_changes_nothing(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    before = {path: path.read_bytes() for path in home.path.rglob("*") if path.is_file()}
    with pytest.raises(Refused):
        add(home, sheet(tmp_path, "x,y", head="", name="b.csv"))

    assert {path: path.read_bytes() for path in home.path.rglob("*") if path.is_file()} == before


def test_rejected_rows_can_be_mended_and_added_again(home: Home, tmp_path: Path) -> None:
    added = add(home, sheet(tmp_path, *A, "4,oven,2025-01-01,31/02/2025,=1+1,sold"))
    assert added.rejected_file is not None
    text = added.rejected_file.read_bytes().decode("utf-8-sig")
    mended = tmp_path / "mended.csv"
    mended.write_text(text.replace("31/02/2025", "2025-03-01").replace("'=1+1", "90.00"))
    again = add(home, mended)

    assert text.splitlines()[0] == "Unit,Type,Got,Sold,Price,Outcome,not read because"
    assert "'=1+1" in text
    assert again.counts["accepted"] == 1
    assert prices(home)["4"] == 90


def test_what_was_said_is_remembered_for_the_next_file_of_the_same_shape(
    home: Home, tmp_path: Path
) -> None:
    first = add(
        home,
        sheet(tmp_path, "1,oven,01/02/2025,03/04/2025,100.00,sold"),
        answers=Answers(date_order="dmy"),
    )
    second = add(home, sheet(tmp_path, "2,oven,02/02/2025,04/05/2025,100.00,sold", name="b.csv"))
    rows = {row["key"]: row for row in read_current(home).to_pylist()}

    assert first.counts["accepted"] == second.counts["accepted"] == 1
    assert rows["2"]["sold"] == date(2025, 5, 4)


def every_file(home: Home) -> list[Path]:
    return sorted(path for path in home.data.rglob("*") if path.is_file())


def test_a_second_writer_waits_then_says_busy_and_nobody_is_kept_from_reading(
    home: Home, tmp_path: Path
) -> None:
    add(home, sheet(tmp_path, *A))
    with (
        store.writing(home) as db,
        pytest.raises(Refused, match="busy"),
        store.writing(home, patience=0.1),
    ):
        pass
    with store.writing(home) as db:
        db.execute("select 1")
        assert prices(home)["1"] == 100


def test_a_first_act_that_fails_takes_nothing_from_the_one_that_waits(
    home: Home, tmp_path: Path
) -> None:
    """Two writers meet in a new home: the first begins the file and is refused, the second waited for
    it and is done."""
    path = sheet(tmp_path, *A)
    waiting = threading.Thread(target=lambda: add(home, path))
    with pytest.raises(Refused), store.writing(home):
        waiting.start()
        time.sleep(0.3)
        raise Refused()
    waiting.join()

    assert len(prices(home)) == 3
    assert verify_record(home).damaged == ()


def test_every_flipped_bit_is_noticed_or_changes_nothing(home: Home, tmp_path: Path) -> None:
    """600 single-bit flips of the record, each noticed by verify or without any meaning: the same
    export; and what is exported without a word is what was written. The long form (2,000, fitted
    numbers too) is tests/faults/flips.py."""
    add(home, sheet(tmp_path, *A, "4,oven,2025-01-01,31/02/2025,50,sold"))
    add(home, sheet(tmp_path, A[0].replace("100.00", "110.00"), name="b.csv"))
    keeping.undo(home, None, TODAY)
    whole, path = store.record_file(home).read_bytes(), store.record_file(home)
    before = keeping.export(home, None)
    draw = random.Random(7)
    noticed = 0
    for _ in range(600):
        place, bit = draw.randrange(len(whole)), 1 << draw.randrange(8)
        path.write_bytes(whole[:place] + bytes([whole[place] ^ bit]) + whole[place + 1 :])
        found = verify_record(home).damaged
        try:
            exported = keeping.export(home, None)
        except Refused as refused:
            assert path.name in str(refused)
            assert found
        else:
            assert exported == before, f"byte {place} bit {bit}"
        noticed += bool(found)
        assert all(problem.file == str(path) for problem in found)
        path.write_bytes(whole)
    assert verify_record(home).damaged == ()
    assert noticed > 60


def test_a_lost_row_is_noticed_when_the_record_is_read(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    with store.writing(home) as db:
        db.execute("delete from state where unit = '2'")

    with pytest.raises(Refused, match=r"record\.db.*damaged"):
        read_current(home)
    assert verify_record(home).damaged != ()


def test_a_changed_cell_is_noticed_when_the_record_is_read(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    with store.writing(home) as db:
        db.execute("update state set price = 90000 where unit = '2'")

    with pytest.raises(Refused, match=r"record\.db.*damaged"):
        read_current(home)


def test_a_record_of_a_newer_program_is_refused_by_name(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    with store.writing(home) as db:
        db.execute("pragma user_version = 9")
    with pytest.raises(Refused, match="another program"):
        entries.load(home)


def test_any_reader_of_sqlite_sees_the_units_in_dollars(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    add(home, sheet(tmp_path, A[0].replace("100.00", "110.50"), name="b.csv"))
    keeping.drop(home, "3", TODAY)
    with contextlib.closing(sqlite3.connect(store.record_file(home))) as db:
        rows = db.execute("select unit, price, sold from units order by unit").fetchall()

    assert rows == [("1", 110.5, "2025-01-20"), ("2", 200.0, "2025-02-20")]


def test_a_dropped_unit_stays_out_until_the_drop_is_taken_back(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    keeping.drop(home, "2", TODAY)
    again = add(home, sheet(tmp_path, *A))

    assert set(prices(home)) == {"1", "3"}
    assert again.counts["unchanged"] == 3
    assert [key for _, key in again.older] == ["2"]
    assert again.gone == ()
    with pytest.raises(Refused, match="no unit has the number"):
        keeping.drop(home, "2", TODAY)
    keeping.undo(home, None, TODAY)
    assert prices(home)["2"] == 200


def test_an_earlier_change_is_taken_back_under_a_later_one(home: Home, tmp_path: Path) -> None:
    """The price of the first press goes, the note of the second stays; what was written over since
    stays and is told."""
    add(home, sheet(tmp_path, *A))
    press(home, "3", {"price": "90", "outcome": "sold", "sold": "2025-03-01"})
    press(home, "3", {"note": "loud"})
    keeping.undo(home, "2", TODAY)
    row = unit(home, "3")

    assert (row["price"], row["outcome"], row["note"]) == (None, "listed", "loud")
    keeping.undo(home, "2", TODAY, back=True)
    assert (unit(home, "3")["price"], unit(home, "3")["note"]) == (90, "loud")
    press(home, "3", {"price": "95"})
    told = keeping.undo(home, "2", TODAY)
    assert told.stayed == (("3", ("price",)),)
    assert (unit(home, "3")["price"], unit(home, "3")["sold"]) == (95, None)


def test_an_undo_of_a_file_tells_the_units_that_stay_by_a_later_change(
    home: Home, tmp_path: Path
) -> None:
    add(home, sheet(tmp_path, *A))
    press(home, "3", {"price": "90", "outcome": "sold", "sold": "2025-03-01"})
    told = keeping.undo(home, "a.csv", TODAY)

    assert told.stayed == (("3", ("the unit itself",)),)
    assert prices(home) == {"3": 90}


def test_what_another_file_says_too_stays_when_the_first_is_taken_back(
    home: Home, tmp_path: Path
) -> None:
    """The record is what the files that count say."""
    add(home, sheet(tmp_path, *A))
    second = add(home, sheet(tmp_path, *A[:2], name="b.csv"))
    keeping.undo(home, "a.csv", TODAY)

    assert second.entry is not None
    assert prices(home) == {"1": 100, "2": 200}
    assert by_hand.current(home, "3") is None
    with contextlib.closing(sqlite3.connect(store.record_file(home))) as db:
        assert db.execute("select unit from units order by unit").fetchall() == [("1",), ("2",)]
    again = add(home, sheet(tmp_path, *A))
    assert (again.counts["accepted"], again.counts["unchanged"]) == (1, 2)
    keeping.undo(home, "b.csv", TODAY)
    keeping.undo(home, "a.csv", TODAY)
    assert prices(home) == {}
    keeping.undo(home, "b.csv", TODAY, back=True)
    assert prices(home) == {"1": 100, "2": 200}
    assert verify_record(home).damaged == ()


def test_two_copies_that_went_apart_are_put_together(home: Home, tmp_path: Path) -> None:
    """What either side knows stands; a column that both changed is told, and both sides come to the
    same; the same copy again changes nothing."""
    add(home, sheet(tmp_path, *A))
    other = Home(tmp_path / "copy")
    shutil.copytree(home.path, other.path)
    press(home, "3", {"price": "90", "outcome": "sold", "sold": "2025-03-01"})
    press(home, "1", {"price": "101"})
    press(other, "3", {"note": "loud"})
    press(other, "1", {"price": "102"})
    add(other, sheet(tmp_path, "9,hob,2025-01-05,2025-02-20,70.00,sold", name="o.csv"))
    merged = keeping.merge(home, other.path, TODAY)

    assert len(merged.acts) == 3
    assert merged.differ == (("1", "price"),)
    assert prices(home).pop("1") in (101, 102)
    assert prices(home) | {"1": 0} == {"1": 0, "2": 200, "3": 90, "9": 70}
    assert unit(home, "3")["note"] == "loud"
    assert keeping.merge(home, other.path, TODAY).acts == ()
    assert verify_record(home).damaged == ()
    assert keeping.merge(other, store.record_file(home), TODAY).acts != ()
    assert prices(other) == prices(home)


def test_another_copy_beside_the_record_is_named(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    copy = home.data / "record (conflicted copy).db"
    shutil.copy(store.record_file(home), copy)

    assert keeping.acts(home)[1] == [copy]
    assert verify_record(home).foreign == ()


def press(home: Home, key: str, cells: dict[str, str]) -> int:
    now = by_hand.current(home, key)
    assert now is not None
    return by_hand.change_unit(home, key, cells, now["batch"], Settings(), TODAY, "changed")[1]


def unit(home: Home, key: str) -> dict[str, object]:
    found = by_hand.current(home, key)
    assert found is not None
    return found


def test_exports_are_written_piece_by_piece(
    home: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three rows at a time, the same sheet and the same table as in one go; a file that has the
    name is replaced."""
    for i in range(2):
        rows = (
            f"{k},oven,2025-01-01,2025-01-20,{100 + k + i * (k % 3)}.00,sold" for k in range(20)
        )
        add(home, sheet(tmp_path, *rows, name=f"f{i}.csv"))
    in_one_go = keeping.export(home, None)
    whole = read_current(home)
    monkeypatch.setattr(current.tables, "__defaults__", (3, *current.tables.__defaults__[1:]))
    for name in ("out.csv", "out.csv", "out.parquet"):
        keeping.export(home, tmp_path / name)

    assert (tmp_path / "out.csv").read_bytes() == in_one_go
    assert pq.read_table(tmp_path / "out.parquet").to_pylist() == whole.to_pylist()


def test_a_foreign_file_is_named_and_is_no_damage(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    (home.data / "holiday.jpg").write_bytes(b"x")
    checked = verify_record(home)

    assert checked.damaged == ()
    assert [path.name for path in checked.foreign] == ["holiday.jpg"]


@pytest.mark.parametrize("harm", ["cut", "emptied", "deleted"])
def test_missing_and_cut_files_are_named(harm: str, home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A, "4,oven,2025-01-01,31/02/2025,50,sold"))
    for path in every_file(home):
        whole = path.read_bytes()
        if harm == "deleted":
            path.unlink()
        else:
            path.write_bytes(whole[: len(whole) // 2] if harm == "cut" else b"")
        found = verify_record(home).damaged
        path.write_bytes(whole)

        assert path.name in str(found[0])


def test_backup_and_restore_give_the_same_record(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    keeping.backup(home, tmp_path / "b.zip")
    other = Home(tmp_path / "other")
    keeping.restore(other, tmp_path / "b.zip")

    assert prices(other) == prices(home)
    assert verify_record(other).damaged == ()
    with pytest.raises(Refused, match="never writes over"):
        keeping.restore(other, tmp_path / "b.zip")
    with pytest.raises(Refused, match="such a file already"):
        keeping.backup(home, tmp_path / "b.zip")


def test_a_backup_takes_linked_folders_and_what_is_whole(home: Home, tmp_path: Path) -> None:
    path = sheet(tmp_path, *A)
    add(home, path)
    originals = home.data / "originals"
    originals.rename(tmp_path / "far")
    originals.symlink_to(tmp_path / "far")
    (tmp_path / "far" / "round").symlink_to(tmp_path / "far")  # back to itself
    [original] = (tmp_path / "far").glob("*.csv")

    n_files, damaged = keeping.backup(home, tmp_path / "whole.zip")
    whole = read_backup(tmp_path / "whole.zip")
    original.write_bytes(b"")
    n_left, missing = keeping.backup(home, tmp_path / "left.zip")
    add(home, path)  # the file itself again

    assert not damaged
    assert f"data/originals/{original.name}" in whole
    assert n_left == n_files - 1
    assert [original.name in str(one.file) for one in missing] == [True]
    assert "data/record.db" in read_backup(tmp_path / "left.zip")
    assert verify_record(home).damaged == ()


def test_a_damaged_backup_writes_nothing(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    keeping.backup(home, tmp_path / "b.zip")
    whole = (tmp_path / "b.zip").read_bytes()
    draw = random.Random(3)
    for _ in range(60):
        place = draw.randrange(len(whole))
        (tmp_path / "bad.zip").write_bytes(
            whole[:place] + bytes([whole[place] ^ 16]) + whole[place + 1 :]
        )
        try:
            files = read_backup(tmp_path / "bad.zip")
        except Refused:
            continue
        assert files == read_backup(
            tmp_path / "b.zip"
        )  # a flip in a time stamp or a comment: every file is whole


def test_a_backup_cannot_write_outside_the_home(home: Home, tmp_path: Path) -> None:
    import zipfile

    path = tmp_path / "evil.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("../evil.txt", b"x")
        archive.writestr(
            "pricing-backup.json",
            json.dumps({"version": 1, "files": {"../evil.txt": sha256(b"x")}}),
        )
    with pytest.raises(Refused, match="does not belong"):
        keeping.restore(home, path)
    assert not (tmp_path / "evil.txt").exists()


def test_export_reads_back_to_the_same_record(home: Home, tmp_path: Path) -> None:
    head = "Unit,Type,Maker,Age,Features,Condition,Paid,Parts,Hours,Got,Listed,Asked,Sold,Price,Outcome,Shelf,Note\n"
    rows = (
        (
            '1,Washing machine,Acme,7,"steam,'
            ' stainless",Poor,0,12.25,1.5,2025-01-01,2025-01-03,"$1,250",2025-01-20,"1,100.00",Sold,A1,=1+1'
        ),
        (
            '2,Tumble dryer,,2016,@cmd,VG,free,,90 min,2025-01-05,2025-02-06,"2025-02-06:320;'
            ' 2025-02-20:295",2025-02-25,"280.50",sold,,-2+3'
        ),
        "3,oven,,,,,5,,,2025-02-01,,,,,Parted out,B2,",
        ",hob,,3,white,,5,,,2025-02-01,2025-02-02,90,2025-02-09,80.00,Sold,,",
        "4,oven,,,,,5,,,2025-02-01,2025-02-04,,,250,Still listed,,'=x",
        "5,oven,,,,,5,,,2025-02-01,2025-02-04,,2025-02-09,0,Sold,,",
    )
    add(home, sheet(tmp_path, *rows, head=head))
    keeping.export(home, tmp_path / "out.csv")
    other = Home(tmp_path / "other")
    added = adding.add(other, tmp_path / "out.csv", Settings(), TODAY)

    def plain(where: Home) -> list[dict[str, object]]:
        return sorted(
            (
                {k: v for k, v in row.items() if k not in ("line", "file", "batch", "said")}
                for row in read_current(where).to_pylist()
            ),
            key=lambda row: str(row["key"]),
        )

    assert added.counts["rejected"] == 0
    assert plain(other) == plain(home)


def test_exports_hold_no_live_cell() -> None:
    """OWASP ASVS 5.0, 1.2.10: RFC 4180 quoting, and a quote before = + - @ TAB NUL (older guidance
    adds CR); plain numbers stay."""
    for text in ("=1+1", "+1+cmd", "-2+3", "@SUM(1)", "\t=1", "\r=1", " =1", "\uff1d1"):
        assert disarm(text) == "'" + text
    for text in ("-12.50", "+5", "12%", "white", "", "a=b"):
        assert disarm(text) == text
    assert csv_bytes(["a"], [['x"y\n']]) == b'\xef\xbb\xbfa\r\n"x""y\n"\r\n'


def test_the_models_get_every_unit_with_own_attributes(home: Home, tmp_path: Path) -> None:
    own = Settings(attributes={"Horsepower": "number", "Trim": "category"})
    path = sheet(
        tmp_path,
        "1,tractor,2025-01-01,9000.00,sold,120,Deluxe",
        "2,tractor,2025-01-02,8000.00,sold,,plain",
        head="Unit,Type,Sold,Price,Outcome,Horsepower,Trim\n",
    )
    adding.add(home, path, own, TODAY)
    units = units_for_models(read_current(home), own)

    assert units.number("Horsepower").tolist()[0] == 120
    assert units.word("Trim").texts() == ["deluxe", "plain"]
    assert units.number("sold").tolist() == [
        date(2025, 1, 1).toordinal(),
        date(2025, 1, 2).toordinal(),
    ]
    assert units.number("price").tolist() == [9000, 8000]
