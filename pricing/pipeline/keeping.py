"""The stories that keep a record: export, history, verify, backup, restore, merge, blank sheet."""

import csv
from datetime import date
from pathlib import Path
from typing import Any

from pricing.basis.columns import COLUMNS
from pricing.basis.files import write_bytes, writing
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused, meant, refused
from pricing.ingest.structure import EXAMPLE
from pricing.model import saved
from pricing.record import entries, months, store, taking_back
from pricing.record.entries import Entry, Ledger, as_row, states_of
from pricing.record.export import csv_bytes, record_csv, write_parquet
from pricing.record.store import reading, record_file
from pricing.record.taking_back import Merged, TakenBack
from pricing.record.verify import backup_bytes, read_backup, restore_into, verify_record


def export(home: Home, out: Path | None) -> bytes | None:
    """The record as CSV, or Parquet by the ending of `out`; returned where no file is named."""
    from pricing.pipeline import member_home

    group = member_home.group_of(home)
    owner = group.owner if group else ""  # a member's sales go back to the group with the name
    if out is None:
        return b"".join(record_csv(home, owner))
    with writing(out, replace=True) as file:
        if out.suffix.lower() == ".parquet":
            write_parquet(home, file)
        else:
            for piece in record_csv(home, owner):
                file.write(piece)
    return None


def export_by_month(home: Home, folder: Path) -> int:
    """The record as a Parquet data set by month of sale in a new folder; returns its rows."""
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise refused("this folder is not empty", "name a new one", file=str(folder))
    content = entries.content_hash(home)
    if not content:
        what = "there is no record here yet"
        fix = "add a sheet first (pricing add FILE), or name your home with --home"
        raise refused(what, fix, file=str(home.path))
    return months.make(home, folder, content).rows


def history(home: Home, unit: str) -> list[dict[str, Any]]:
    """A unit's rows over time, oldest first, each with file, line and act; Refused without any."""
    with reading(home) as db:
        ledger = entries.of(db, home)
        by_number = {entry.number: entry for entry in ledger.entries}
        counts = entries.counts_now(db)
        rows = [
            as_row(unit, line, cells)
            | {"file": by_number[act].words, "batch": act, "gone": bool(gone)}
            for _, act, line, gone, cells in states_of(db, unit, counts)
        ]
        if not rows:
            known = db.execute("select distinct unit from state limit 5000")
            fix = meant(unit, [name for (name,) in known], "see pricing export")
            raise refused(f"no unit has the number {unit!r}", fix)
    return rows


NOT_TOLD = ("key", "line", "file", "batch", "gone", "said", "unit")


def history_steps(home: Home, unit: str) -> list[dict[str, Any]]:
    """`history` as what changed at each step: {file, line, batch, changes}; blank: a value went."""
    steps: list[dict[str, Any]] = []
    before: dict[str, Any] = {}
    for row in history(home, unit):
        told = ((name, at) for name, at in row.items() if at is not None and name not in NOT_TOLD)
        now = {name: str(value) for name, value in told}
        changes = {
            name: now.get(name, "(blank)")
            for name in dict.fromkeys((*now, *before))
            if now.get(name) != before.get(name)
        }
        step = {name: row[name] for name in ("file", "line", "batch")}
        steps.append({**step, "changes": {"unit": "dropped"} if row["gone"] else changes})
        before = now
    return steps


def blank_sheet(today: date) -> bytes:
    """A sheet with every column a person may fill in, and two example rows."""
    names = [one.name for one in COLUMNS if one.name not in ("expense", "cost_in", "owner")]
    text = Path(__file__).with_name("example_units.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(text.replace("YEAR", str(today.year - 1)).splitlines())
    told = [row | {"note": EXAMPLE} for row in rows]
    return csv_bytes(names, [[row.get(name, "") for name in names] for row in told])


BESIDE = ("group", "estimates", "reach.json", "phone.json")  # what the other stories keep in data/


def verify(home: Home) -> tuple[tuple[Problem, ...], tuple[Path, ...], int]:
    """(what is damaged or missing, what is not ours, files checked) over data/ and models/."""
    checked = verify_record(home)
    damaged, n_files = list(checked.damaged), checked.n_files
    group = Home(home.data / "group")  # what a member's home came with
    for folder in (home.models, group.models):
        for path in sorted(folder.glob("[0-9]*.json")):
            if path.stem.isdigit():
                n_files += 2
                try:
                    saved.load_file(path).open_units()
                except Refused as refusal:
                    damaged += refusal.problems
    inside = ((path, path.relative_to(home.data).parts[0]) for path in checked.foreign)
    return tuple(damaged), tuple(path for path, top in inside if top not in BESIDE), n_files


def backup(home: Home, out: Path) -> tuple[int, tuple[Problem, ...]]:
    """Write what is whole of a home to one new file, checked; (files in it, what is damaged or
    missing and so is not in it)."""
    if out.exists():
        raise refused("there is such a file already", "choose another name", file=str(out))
    damaged = verify(home)[0]
    data, n_files = backup_bytes(home, {str(problem.file) for problem in damaged})
    write_bytes(out, data)
    read_backup(out)
    return n_files, damaged


def restore(home: Home, path: Path) -> int:
    """Write a backup into an empty home, every file checked first; returns the number of files."""
    files = read_backup(path)
    restore_into(home, files)
    return len(files)


def merge(home: Home, path: Path, today: date) -> Merged:
    """Take in another copy of the record: its file, or the home that it stands in."""
    other = record_file(Home(path)) if path.is_dir() else path
    return taking_back.merge(home, other, today.isoformat())


def undo(home: Home, name: str | None, today: date, back: bool = False) -> TakenBack:
    """Take a file or a change back, or with `back` bring it back."""
    return taking_back.undo(home, name, today.isoformat(), back)


def drop(home: Home, unit: str, today: date) -> Entry:
    """Take a unit out of the record."""
    return taking_back.drop(home, unit, today.isoformat())


def acts(home: Home) -> tuple[Ledger, list[Path]]:
    """(every file and change in its order, other copies of the record that lie beside it)."""
    return entries.load(home), store.other_copies(home)
