"""Many small batches into few; every row and its history stay. What was taken back stays taken back, and can no longer be had again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pricing.ledger import batches
from pricing.ledger.batches import Entry, Ledger
from pricing.records.home import Home

_SMALL = 10_000  # rows up to which neighbours are put together
_LARGE = 1_000_000


def plan(ledger: Ledger) -> list[list[Entry]]:
    """Runs of at least two neighbouring small batches that count, each run becoming one file."""
    runs: list[list[Entry]] = []
    run: list[Entry] = []
    for entry in ledger.counting():
        if entry.rows <= _SMALL and sum(e.rows for e in run) + entry.rows <= _LARGE:
            run.append(entry)
        else:
            runs.append(run)
            run = []
    runs.append(run)
    return [run for run in runs if len({entry.file for entry in run}) > 1]


def compact(home: Home) -> tuple[int, int]:
    """Put small batches together; returns (batch files before, after). Under the lock only.

    Each entry keeps its number, name and counts; its rows move into one file shared by the run, where `first` and `rows` find them.
    """
    ledger = batches.load(home)
    before = len({entry.file for entry in ledger.entries if entry.file})
    for run in plan(ledger):
        ledger = _put_together(home, ledger, run)
    batches.clear_leftovers(home, ledger)
    return before, len({entry.file for entry in ledger.entries if entry.file})


def _put_together(home: Home, ledger: Ledger, run: Sequence[Entry]) -> Ledger:
    import pyarrow as pa

    from pricing.records.files import sha256, write_bytes

    tables = [table for _, table in batches.read_runs(home, run)]
    data = batches.batch_bytes(pa.concat_tables(tables))
    name = f"{run[0].number:06d}-{run[-1].number:06d}.parquet"
    write_bytes(home.batches / name, data)
    moved: dict[int, Entry] = {}
    first = 0
    for entry in run:
        moved[entry.number] = replace(entry, file=name, sha256=sha256(data), first=first)
        first += entry.rows
    ledger = Ledger(tuple(moved.get(entry.number, entry) for entry in ledger.entries))
    batches.save(home, ledger)
    return ledger
