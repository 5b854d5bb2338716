"""Is every stored file whole? The record by SQLite's check and row checksums, others by SHA-256."""

import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from pricing.basis.files import read_bytes, sha256
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.record import ad_rows, entries, months
from pricing.record.current import Reader, newest_rows, no_collecting
from pricing.record.entries import Entry
from pricing.record.rows import checksum
from pricing.record.store import (
    CELLS,
    TABLES,
    damaged,
    has_record,
    other_copies,
    reading,
    record_file,
)

_RESTORE = "restore your last backup (pricing restore)"


@dataclass(frozen=True)
class Checked:
    """damaged: files not as written, or missing; foreign: not ours; copies: of the record."""

    damaged: tuple[Problem, ...]
    foreign: tuple[Path, ...]
    copies: tuple[Path, ...]
    n_files: int


def verify_record(home: Home) -> Checked:
    """Check the record, the originals and the data set by month."""
    problems: list[Problem] = []
    copies = other_copies(home)
    record = record_file(home)
    journal = record.with_name(record.name + "-journal")
    ours = {record, journal, *copies}
    n_files = 0
    acts: Sequence[Entry] = ()
    try:
        if has_record(home):
            n_files += 1
            acts = _checked(home)
    except Refused as refusal:
        problems += refusal.problems
        n_files = 1
    for path, problem in _originals(home, acts):
        if path in ours:  # two acts of one original share its file
            continue
        ours.add(path)
        n_files += 1
        if problem is not None:
            problems.append(problem)
    for path, found in months.stored(home):
        ours.add(path)
        n_files += 1
        problems += found
    return Checked(tuple(problems), tuple(_foreign(home, ours)), tuple(copies), n_files)


def _checked(home: Home) -> tuple[Entry, ...]:
    """The acts of a record of which every page and row is as written. Raises Refused otherwise."""
    refusal = Refused(damaged(record_file(home)))
    with reading(home) as db:
        if [row[0] for row in db.execute("pragma integrity_check(3)")] != ["ok"]:
            raise refusal
        if db.execute("pragma foreign_key_check").fetchone() is not None:
            raise refusal
        made = [row[0] for row in db.execute("select sql from sqlite_master where sql is not null")]
        tables = (*TABLES, ad_rows.TABLE) if ad_rows.has_table(db) else TABLES
        if sorted(map(_squashed, made)) != sorted(map(_squashed, tables)):
            raise refusal
        ledger = entries.of(db, home)
        newest_rows(db, home, ledger)
        reader = Reader(CELLS)
        with no_collecting():
            for row in db.execute(f"select {reader.columns} from state not indexed"):
                if not reader.is_whole(row):
                    raise refusal
        said_again = dict(db.execute("select source, count(*) from again group by source"))
        if said_again != {act.number: act.again for act in ledger.entries if act.again}:
            raise refusal
        for table in ("remark", "shape"):
            if not all(checksum(*row[:-1]) == row[-1] for row in _all(db, table)):
                raise refusal
    entries.shapes_of(home)
    ad_rows.read(home)
    return ledger.entries


def _squashed(sql: str) -> str:
    return " ".join(sql.split()).casefold()


def _all(db: sqlite3.Connection, table: str) -> Iterator[tuple[object, ...]]:
    return iter(db.execute(f"select * from {table}"))


def _originals(home: Home, acts: Sequence[Entry]) -> Iterator[tuple[Path, Problem | None]]:
    """The originals of acts, and of adds that were killed, by their SHA-256; what is wrong."""
    folder = home.data / "originals"
    for act in acts:
        path = folder / act.original
        if act.original and not path.exists():
            yield path, Problem("this file is missing", _RESTORE, file=str(path))
    what = "this original is damaged: it is not as it was given"
    for path in sorted(folder.glob("*")) if folder.is_dir() else ():
        if len(path.stem) == 64:
            whole = sha256(read_bytes(path)) == path.stem
            yield path, None if whole else Problem(what, "add the file itself again", str(path))


def _foreign(home: Home, ours: set[Path]) -> Iterator[Path]:
    if not home.data.is_dir():
        return
    for path in sorted(home.data.rglob("*")):
        if (
            path.is_file()
            and path not in ours
            and path.name not in (".gitignore", "README.md")
            and path.relative_to(home.data).parts[0] != "demo"
            and not (path.name.startswith(".") and path.name.endswith(".tmp"))
        ):
            yield path
