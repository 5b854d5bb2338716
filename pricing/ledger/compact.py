"""Many small batches into few; every row and its history stay. What was taken back stays taken
back, and can no longer be had again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pricing.basis.files import writing
from pricing.basis.home import Home
from pricing.ledger import batches, blocks
from pricing.ledger.batches import Entry, Ledger

if TYPE_CHECKING:
    pass

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

    Each entry keeps its number, name and counts; its rows move into one file shared by the run,
    where `first` and `rows` find them.
    """
    ledger = batches.load(home)
    batches.clear_leftovers(home, ledger)
    before = len({entry.file for entry in ledger.entries if entry.file})
    for run in plan(ledger):
        ledger = _put_together(home, ledger, run)
    batches.clear_leftovers(home, ledger)
    return before, len({entry.file for entry in ledger.entries if entry.file})


def _put_together(home: Home, ledger: Ledger, run: Sequence[Entry]) -> Ledger:
    blocks.check(home, run)
    name, digest = _write(home, run)
    moved: dict[int, Entry] = {}
    first = 0
    for entry in run:
        moved[entry.number] = replace(entry, file=name, sha256=digest, first=first)
        first += entry.rows
    ledger = Ledger(tuple(moved.get(entry.number, entry) for entry in ledger.entries))
    batches.save(home, ledger)
    return ledger


def _write(home: Home, run: Sequence[Entry]) -> tuple[str, str]:
    """(name, SHA-256) of a new file with the rows of a run, written block by block. No file that
    counts is touched."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    kept = blocks.stored_columns(home, run) | {"key", "line"}
    columns = [field for field in batches.schema() if field.name in kept]
    with writing(home.batches / _free_name(home, run)) as out:
        with pq.ParquetWriter(
            out, pa.schema(columns), compression="zstd", write_page_checksum=True
        ) as file:
            for tables in blocks.together(
                block.table for block in blocks.blocks(home, run, [field.name for field in columns])
            ):
                plain = [
                    pa.table(
                        [table.column(field.name).cast(field.type) for field in columns],
                        schema=pa.schema(columns),
                    )
                    for table in tables
                ]
                file.write_table(pa.concat_tables(plain))
        return out.path.name, out.digest


def _free_name(home: Home, run: Sequence[Entry]) -> str:
    """A name that no file has: the same run may have been put together before, with an undone file
    in it that counts by now."""
    names = (
        f"{run[0].number:06d}-{run[-1].number:06d}{more}.parquet"
        for more in ("", *(f"-{number}" for number in range(2, 1_000_000)))
    )
    return next(name for name in names if not (home.batches / name).exists())
