"""The record: same file twice, corrections, older exports, undo and back, damage named, backup and
restore, compaction, export read back."""

from __future__ import annotations

import contextlib
import json
import random
from collections.abc import Callable
from dataclasses import asdict
from datetime import date
from decimal import Decimal
from functools import partial
from pathlib import Path

import pyarrow.parquet as pq
import pytest

from pricing.basis import files
from pricing.basis.files import sha256
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.ingest import Answers
from pricing.ledger import batches, blocks, lock
from pricing.ledger.backup import read_backup
from pricing.ledger.batches import Entry, Ledger
from pricing.ledger.current import read_current, units_for_models
from pricing.ledger.export import csv_bytes, disarm
from pricing.ledger.verify import verify_record
from pricing.pipeline import keeping, record

TODAY = date(2026, 11, 25)
HEAD = "Unit,Type,Got,Sold,Price,Outcome\n"


def sheet(tmp_path: Path, *rows: str, name: str = "a.csv", head: str = HEAD) -> Path:
    path = tmp_path / name
    path.write_text(head + "".join(row + "\n" for row in rows))
    return path


def add(home: Home, path: Path, **options: object) -> record.Added:
    return record.add(home, path, Settings(), TODAY, **options)  # type: ignore[arg-type]


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
    assert len(batches.load(home).entries) == 1


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
    record.undo(home, None, TODAY)
    undone = prices(home)
    record.undo(home, None, TODAY, back=True)
    back = prices(home)
    record.undo(home, "a.csv", TODAY)

    assert undone["1"] == 100
    assert back["1"] == 110
    assert prices(home) == {"1": 110}
    with pytest.raises(Refused, match="you added no file called"):
        record.undo(home, "never.csv", TODAY)


def test_an_undone_file_can_be_added_again(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    record.undo(home, None, TODAY)
    again = add(home, sheet(tmp_path, *A))

    assert again.counts["accepted"] == 3
    assert len(prices(home)) == 3


def test_undo_of_an_undo_cancels_it_in_every_order() -> None:
    one, two = Entry(1, "add"), Entry(2, "add")
    undo, back, undo_again = Entry(3, "undo", of=1), Entry(4, "undo", of=3), Entry(5, "undo", of=1)

    assert [e.number for e in Ledger((one, two, undo)).counting()] == [2]
    assert [e.number for e in Ledger((one, two, undo, back)).counting()] == [1, 2]
    assert [e.number for e in Ledger((one, two, undo, back, undo_again)).counting()] == [2]


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


def test_one_writer_at_a_time(home: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    add(home, sheet(tmp_path, *A))
    monkeypatch.setattr(lock.writing, "__kwdefaults__", None, raising=False)
    with lock.writing(home), pytest.raises(Refused, match="busy"), lock.writing(home, patience=0.1):
        pass

    assert prices(home)["1"] == 100  # and nobody is blocked from reading


def test_what_a_killed_writer_left_counts_for_nothing(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    (home.batches / "000002.parquet").write_bytes(b"half a batch")
    (home.batches / ".000002.parquet.77.tmp").write_bytes(b"half")

    assert verify_record(home).damaged == ()
    assert len(prices(home)) == 3
    add(home, sheet(tmp_path, "9,oven,2025-01-01,2025-03-20,90.00,sold", name="b.csv"))
    assert sorted(path.name for path in home.batches.iterdir()) == [
        "000001.parquet",
        "000002.parquet",
    ]
    assert len(prices(home)) == 4


def every_file(home: Home) -> list[Path]:
    return sorted(path for path in home.data.rglob("*") if path.is_file() and path.name != "lock")


def test_every_flipped_bit_is_noticed_and_its_file_named(home: Home, tmp_path: Path) -> None:
    """400 single-bit flips spread over all files of the record; the long form (2,000, fitted
    numbers too) is tests/faults/flips.py."""
    add(
        home,
        sheet(tmp_path, *A, "4,oven,2025-01-01,31/02/2025,50,sold"),
        answers=Answers(date_order="mdy"),
    )
    add(home, sheet(tmp_path, A[0].replace("100.00", "110.00"), name="b.csv"))
    draw = random.Random(7)
    paths = every_file(home)
    assert len(paths) >= 6
    for i in range(400):
        path = paths[i % len(paths)]
        whole = path.read_bytes()
        place, bit = draw.randrange(len(whole)), 1 << draw.randrange(8)
        path.write_bytes(whole[:place] + bytes([whole[place] ^ bit]) + whole[place + 1 :])
        found = verify_record(home).damaged
        path.write_bytes(whole)
        assert [Path(str(problem.file)).name for problem in found] == [path.name], (
            f"{path.name} byte {place} bit {bit}"
        )
    assert verify_record(home).damaged == ()


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


def test_a_foreign_file_is_named_and_is_no_damage(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    (home.batches / "holiday.jpg").write_bytes(b"x")
    checked = verify_record(home)

    assert checked.damaged == ()
    assert [path.name for path in checked.foreign] == ["holiday.jpg"]


def test_a_damaged_batch_is_refused_before_anything_is_answered(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, *A))
    (home.batches / "000001.parquet").write_bytes(b"PAR1 no more")

    with pytest.raises(Refused, match=r"000001\.parquet"):
        read_current(home)


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


def test_compaction_keeps_rows_history_and_undo(home: Home, tmp_path: Path) -> None:
    for i in range(6):
        add(
            home,
            sheet(
                tmp_path,
                f"{i},oven,2025-01-01,2025-01-20,{100 + i}.00,sold",
                f"x,oven,2025-01-01,2025-01-20,{200 + i}.00,sold",
                name=f"f{i}.csv",
            ),
        )
    record.undo(home, "f2.csv", TODAY)
    before, steps = prices(home), keeping.history_steps(home, "x")
    n_before, n_after = keeping.compact(home)

    assert n_after < n_before
    assert prices(home) == before
    assert keeping.history_steps(home, "x") == steps
    assert verify_record(home).damaged == ()
    record.undo(home, "f5.csv", TODAY)
    assert prices(home)["x"] == 204
    record.undo(home, "f2.csv", TODAY, back=True)
    assert prices(home)["2"] == 102


def test_a_file_put_together_never_takes_the_name_of_one_that_counts(
    home: Home, tmp_path: Path
) -> None:
    """The same first and last entry, one more between them: until record.json is replaced, every
    file that it names must be as it says."""
    for i in range(1, 5):
        add(
            home,
            sheet(tmp_path, f"{i},oven,2025-01-01,2025-01-20,{100 + i}.00,sold", name=f"f{i}.csv"),
        )
    record.undo(home, "f2.csv", TODAY)
    keeping.compact(home)
    named = {entry.file for entry in batches.load(home).counting()}
    record.undo(home, None, TODAY, back=True)
    keeping.compact(home)

    assert {entry.file for entry in batches.load(home).counting()}.isdisjoint(named)
    assert prices(home) == {"1": 101, "2": 102, "3": 103, "4": 104}
    assert verify_record(home).damaged == ()


@pytest.mark.parametrize("step", range(8))
def test_a_compaction_killed_at_any_step_leaves_the_record_as_it_is(
    step: int, home: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed at its k-th rename, link, removal or sync; what is left is cleared by the next one."""
    for i in range(4):
        add(
            home,
            sheet(
                tmp_path,
                f"{i},oven,2025-01-01,2025-01-20,{100 + i}.00,sold",
                f"x,oven,2025-01-01,2025-01-20,{200 + i}.00,sold",
                name=f"f{i}.csv",
            ),
        )
    before, steps = prices(home), keeping.history_steps(home, "x")
    calls = 0

    class Killed(BaseException):
        pass

    def dying(real: Callable[..., None]) -> Callable[..., None]:
        def call(*args: object, **options: object) -> None:
            nonlocal calls
            calls += 1
            if calls > step:
                raise Killed
            real(*args, **options)

        return call

    with monkeypatch.context() as patch:
        for name in ("replace", "link", "fsync"):
            patch.setattr(files.os, name, dying(getattr(files.os, name)))
        patch.setattr(Path, "unlink", dying(Path.unlink))
        with contextlib.suppress(Killed):
            keeping.compact(home)

    assert prices(home) == before
    assert keeping.history_steps(home, "x") == steps
    assert verify_record(home).damaged == ()
    assert keeping.compact(home)[1] == 1
    assert sorted(path.name for path in home.batches.iterdir()) == ["000001-000004.parquet"]
    assert prices(home) == before


def test_exports_are_written_block_by_block(
    home: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three rows at a time, the same sheet and the same table as in one go; a file that has the
    name is replaced."""
    for i in range(2):
        add(
            home,
            sheet(
                tmp_path,
                *(
                    f"{k},oven,2025-01-01,2025-01-20,{100 + k + i * (k % 3)}.00,sold"
                    for k in range(20)
                ),
                name=f"f{i}.csv",
            ),
        )
    in_one_go = keeping.export(home, None)
    monkeypatch.setattr(blocks, "blocks", partial(blocks.blocks, rows=3))
    for name in ("out.csv", "out.csv", "out.parquet"):
        keeping.export(home, tmp_path / name)
    current = read_current(home)

    assert (tmp_path / "out.csv").read_bytes() == in_one_go
    assert pq.read_table(tmp_path / "out.parquet").to_pylist() == current.to_pylist()


def test_a_stored_file_is_opened_once_however_many_entries_share_it(
    home: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Thousands of presses on the page become one file: to verify, to read and to undo must not
    read it once for each."""
    for i in range(12):  # two headers in turn, so that entries of one shape are no neighbours
        head = HEAD if i % 2 else "Unit,Type,Sold,Price,Outcome,Note\n"
        row = (
            f"{i},dryer,2026-03-01,2026-03-09,{100 + i},sold"
            if i % 2
            else f"{i},dryer,2026-03-09,{100 + i},sold,x"
        )
        add(home, sheet(tmp_path, row, name=f"{i}.csv", head=head))
    keeping.compact(home)
    opened: list[str] = []
    real = batches.batch_bytes_checked
    monkeypatch.setattr(
        batches,
        "batch_bytes_checked",
        lambda home, entry: opened.append(entry.file) or real(home, entry),
    )
    real_file = blocks.batch_file
    monkeypatch.setattr(
        blocks,
        "batch_file",
        lambda home, entry: opened.append(entry.file) or real_file(home, entry),
    )

    assert verify_record(home).damaged == ()
    assert len(opened) == 1
    assert len(read_current(home)) == 12
    assert len(opened) == 2
    record.undo(home, "3.csv", TODAY)
    assert len(opened) == 3
    assert len(read_current(home)) == 11
    assert len(opened) == 4
    opened.clear()
    assert [row["key"] for row in keeping.history(home, "7")] == ["7"]
    assert len(opened) == 3  # its sum, its keys, its row
    opened.clear()
    assert (
        add(
            home, sheet(tmp_path, "7,dryer,2026-03-01,2026-03-09,107,sold", name="again.csv")
        ).counts["unchanged"]
        == 1
    )
    assert len(opened) <= 4  # and the keys of files of that shape


def test_a_record_of_the_first_form_is_read_and_written_in_the_new_one(
    home: Home, tmp_path: Path
) -> None:
    """Version 1 held one word a line; every flipped bit of it is noticed too."""
    add(home, sheet(tmp_path, "1,dryer,2026-03-01,2026-03-09,100,sold"))
    body = {"entries": [asdict(entry) for entry in batches.load(home).entries]}
    digest = sha256(json.dumps(body, sort_keys=True, separators=(",", ":")).encode())
    old = (
        json.dumps(
            {"version": 1, "sha256": digest, "body": body}, sort_keys=True, indent=0
        ).encode()
        + b"\n"
    )
    batches.record_file(home).write_bytes(old)
    assert prices(home) == {"1": Decimal("100.00")}
    for place in random.Random(1).sample(range(len(old) * 8), 200):
        flipped = bytearray(old)
        flipped[place // 8] ^= 1 << place % 8
        with pytest.raises(Refused):
            batches.parse(bytes(flipped), "record.json")
    add(home, sheet(tmp_path, "2,dryer,2026-03-01,2026-03-09,110,sold", name="b.csv"))
    assert batches.record_file(home).read_bytes().startswith(b'{"version": 2, ')
    assert set(prices(home)) == {"1", "2"}


def test_a_record_of_a_newer_program_is_refused_by_name(home: Home, tmp_path: Path) -> None:
    add(home, sheet(tmp_path, "1,dryer,2026-03-01,2026-03-09,100,sold"))
    path = batches.record_file(home)
    path.write_bytes(path.read_bytes().replace(b'"version": 2', b'"version": 3'))
    with pytest.raises(Refused, match="newer program"):
        batches.load(home)


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
    added = record.add(other, tmp_path / "out.csv", Settings(), TODAY)

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
    record.add(home, path, own, TODAY)
    units = units_for_models(read_current(home), own)

    assert units.number("Horsepower").tolist()[0] == 120
    assert units.word("Trim").texts() == ["deluxe", "plain"]
    assert units.number("sold").tolist() == [
        date(2025, 1, 1).toordinal(),
        date(2025, 1, 2).toordinal(),
    ]
    assert units.number("price").tolist() == [9000, 8000]
