"""The stories that keep a record: export, a unit's history, verify, backup and restore, compaction,
the blank sheet."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from pricing.basis.files import write_bytes, writing
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused


def export(home: Home, out: Path | None) -> bytes | None:
    """The current record as CSV, or Parquet by the ending of `out`; written there block by block,
    or returned where no file is named.

    Nobody waits for a reader: one that meets a compaction reads once more.
    """
    from pricing.ledger.batches import steadily
    from pricing.ledger.export import record_csv, write_parquet

    def write() -> bytes | None:
        if out is None:
            return b"".join(record_csv(home))
        with writing(out, replace=True) as file:
            if out.suffix.lower() == ".parquet":
                write_parquet(home, file)
            else:
                for piece in record_csv(home):
                    file.write(piece)
        return None

    return steadily(home, write)


def export_by_month(home: Home, folder: Path) -> int:
    """The current record as a Parquet data set by month of sale, for a fit elsewhere; returns its
    rows. The folder must be empty or not there."""
    from pricing.ledger import batches, months

    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise Refused(Problem("this folder is not empty", "name a new one", file=str(folder)))
    entries = batches.load(home).counting()
    if not entries:
        raise Refused(
            Problem(
                "there is no record here yet",
                "add a sheet first (pricing add FILE), or name your home with --home",
                file=str(home.path),
            )
        )
    return months.make(home, entries, folder, batches.content_of(entries)).rows


def history(home: Home, unit: str) -> list[dict[str, Any]]:
    """A unit's rows over time, oldest first, each with its file and line; raises Refused where no
    row has this number."""
    import pyarrow.compute as pc

    from pricing.basis.problems import nearest
    from pricing.ledger.batches import load, steadily
    from pricing.ledger.blocks import check, keys_of, rows_of

    def read() -> list[dict[str, Any]]:
        entries = load(home).counting()
        check(home, entries)
        found: list[dict[str, Any]] = rows_of(
            home, entries, lambda keys: pc.equal(keys, unit).to_numpy(zero_copy_only=False)
        ).to_pylist()
        return found

    rows = steadily(home, read)
    if not rows:
        known: dict[str, None] = {}
        for keys in keys_of(home, load(home).counting()):
            known |= dict.fromkeys(keys.to_pylist())
            if len(known) > 5000:
                break
        guess = nearest(unit, list(known)[:5000])
        raise Refused(
            Problem(
                f"no unit has the number {unit!r}",
                f"did you mean {guess}?" if guess else "see pricing export",
            )
        )
    return rows


def history_steps(home: Home, unit: str) -> list[dict[str, Any]]:
    """`history` as what changed at each step: {file, line, batch, changes}; a value that went is
    shown as blank."""
    steps: list[dict[str, Any]] = []
    before: dict[str, Any] = {}
    for row in history(home, unit):
        now = {
            name: str(value)
            for name, value in row.items()
            if value is not None and name not in ("key", "line", "file", "batch", "said", "unit")
        }
        changes = {
            name: now.get(name, "(blank)")
            for name in dict.fromkeys((*now, *before))
            if now.get(name) != before.get(name)
        }
        steps.append(
            {"file": row["file"], "line": row["line"], "batch": row["batch"], "changes": changes}
        )
        before = now
    return steps


def blank_sheet(today: date) -> bytes:
    """A sheet with every column a person may fill in, and two example rows: one sold, one
    in work."""
    from pricing.basis.columns import COLUMNS
    from pricing.ledger.export import csv_bytes

    names = [
        column.name for column in COLUMNS if column.name not in ("expense", "cost_in", "owner")
    ]
    year = today.year - 1
    sold = {
        "unit": "1",
        "type": "electric dryer",
        "maker": "",
        "age": "8",
        "features": "large capacity",
        "condition": "good",
        "fault": "no heat",
        "found": "heating element",
        "repair": "element",
        "got_from": "curb",
        "sold_where": "online",
        "got": f"{year}-03-02",
        "listed": f"{year}-03-05",
        "sold": f"{year}-03-11",
        "paid": "20",
        "parts": "24",
        "asked": "210",
        "price": "195",
        "hours": "2.5",
        "drive_min": "35",
        "miles": "12",
        "outcome": "sold",
        "note": "example: take this row out",
    }
    work = {
        "unit": "2",
        "type": "front-load washer",
        "age": "6",
        "condition": "fair",
        "fault": "won't drain",
        "got": f"{year}-03-09",
        "paid": "0",
        "outcome": "in work",
    }
    work["note"] = sold["note"]
    return csv_bytes(names, [[row.get(name, "") for name in names] for row in (sold, work)])


BESIDE = ("group", "estimates", "reach.json", "phone.json")  # what the other stories keep in data/


def verify(home: Home) -> tuple[tuple[Problem, ...], tuple[Path, ...], int]:
    """(what is damaged or missing, what is not ours, files checked) over data/ and models/."""
    from pricing.ledger.verify import verify_record

    checked = verify_record(home)
    damaged, n_files = list(checked.damaged), checked.n_files
    group = Home(home.data / "group")  # what a member's home came with
    for path in [
        path
        for folder in (home.models, group.models)
        if folder.is_dir()
        for path in sorted(folder.glob("[0-9]*.json"))
    ]:
        if path.stem.isdigit():
            from pricing.model import saved

            n_files += 2
            try:
                saved.load_file(path).open_units()
            except Refused as refusal:
                damaged += refusal.problems
    return (
        tuple(damaged),
        tuple(
            path for path in checked.foreign if path.relative_to(home.data).parts[0] not in BESIDE
        ),
        n_files,
    )


def backup(home: Home, out: Path) -> int:
    """Write the whole home to one new file, checked first and checked again after writing; returns
    the number of files in it."""
    from pricing.ledger import lock
    from pricing.ledger.backup import backup_bytes, read_backup

    damaged = verify(home)[0]
    if damaged:
        raise Refused(*damaged)
    if out.exists():
        raise Refused(Problem("there is such a file already", "choose another name", file=str(out)))
    with lock.writing(home):
        data, n_files = backup_bytes(home)
    write_bytes(out, data)
    read_backup(out)
    return n_files


def restore(home: Home, path: Path) -> int:
    """Write a backup into an empty home, every file checked first; returns the number of files."""
    from pricing.ledger import lock
    from pricing.ledger.backup import read_backup, restore_into

    files = read_backup(path)
    with lock.writing(home):
        restore_into(home, files)
    return len(files)


def compact(home: Home) -> tuple[int, int]:
    """Put small batches together; returns (batch files before, after)."""
    from pricing.ledger import lock
    from pricing.ledger.compact import compact as put_together

    with lock.writing(home):
        return put_together(home)
