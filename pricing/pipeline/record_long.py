"""The story of adding a long file: block by block into one new batch, which counts only once it is
whole."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pricing.basis.files import writing
from pricing.basis.home import Home
from pricing.basis.problems import Problem
from pricing.ingest import Answers, Reading
from pricing.ingest.blocks import MOST_NOTES, Block
from pricing.ingest.long import LongFile
from pricing.ingest.read import closing_notes, waiting
from pricing.ingest.reading import Rejected, Row, Skipped
from pricing.ledger import batches, lock, stream
from pricing.ledger.blocks import check, keys_of, stored_columns
from pricing.ledger.changes import table_of
from pricing.ledger.known import Known
from pricing.ledger.unnumbered import Unnumbered
from pricing.pipeline import record
from pricing.pipeline.record import SHOWN, Added, facts_of, of_shape, read_as
from pricing.pipeline.record_unnumbered import Loose
from pricing.pipeline.record_waiting import (
    IN_MEMORY,
    Outcome,
    Waiting,
    settle_known,
    settle_repeats,
)

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

    from pricing.ledger.batches import Entry, Ledger

_WORKED_OUT = {
    "asked",
    "price",
    "age",
    "made",
    "expense",
    "salvage",
}  # columns that a row may fill from a cell of another


@dataclass
class _Tally:
    """What became of the rows so far. plain: written without comparison; unchanged: known from the
    record by their hashes."""

    waiting: Waiting
    loose: Loose | None = None
    keys: stream.Seen = field(default_factory=stream.Seen)
    plain: int = 0
    unchanged: int = 0
    newest_known: int = 0
    total: Decimal = Decimal(0)
    rejected: list[Rejected] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    filled: Counter[str] = field(default_factory=Counter)
    read_as: Counter[tuple[str, str]] = field(default_factory=Counter)

    @property
    def seen(self) -> int:
        return self.units + len(self.rejected) + len(self.skipped)

    @property
    def units(self) -> int:
        """Rows that speak of a unit."""
        return (
            self.plain + self.unchanged + self.waiting.rows + (self.loose.rows if self.loose else 0)
        )


@dataclass(frozen=True)
class _Met:
    """The record that a file meets: its entries, those that count, what they say of each unit, and
    the columns that they hold."""

    home: Home
    ledger: Ledger
    entries: tuple[Entry, ...]
    known: Known
    columns: set[str]

    @cached_property
    def unnumbered(self) -> Unnumbered:
        """Its units without a number: looked at only where the file has such rows."""
        return Unnumbered(self.home, self.entries)


def add_long(
    home: Home,
    file: LongFile,
    today: date,
    answers: Answers | None,
    dry_run: bool,
    tell: Callable[[int], None],
) -> Added:
    """Add a long file. tell: called with the rows seen so far, for a progress line. A dry run reads
    everything and writes nothing."""
    if dry_run:
        met = _met(home, file)
        tally, outcome, _ = _read_until_settled(file, met, answers, tell, None)
        return _added(file, tally, outcome, _gone(met, file, tally), dry_run=True)
    with lock.writing(home):
        ledger = batches.load(home)
        batches.begin(home, ledger)
        batches.clear_leftovers(home, ledger)
        path = home.batches / f"{ledger.next_number:06d}.parquet"
        met = _met(home, file)
        tally, outcome, written = _read_until_settled(file, met, answers, tell, path)
        added = _added(file, tally, outcome, _gone(met, file, tally), dry_run=False)
        entry = None
        if written:
            entry = replace(
                record.entry_for(home, ledger, added, file.path, today),
                file=path.name,
                sha256=written[0],
                rows=written[1],
            )
            entry = batches.append_written(home, ledger, entry).entries[-1]
        record.remember(home, added.reading, answers)
    return replace(
        added, entry=entry, rejected_file=record.write_rejected(home, added.reading, added.rejected)
    )


def _met(home: Home, file: LongFile) -> _Met:
    ledger = batches.load(home)
    entries = ledger.counting()
    check(home, entries)
    columns = {heading.column for heading in file.prepared.rules.headings}
    known = Known(home, entries if "unit" in columns else (), columns)
    return _Met(home, ledger, entries, known, stored_columns(home, entries))


def _read_until_settled(
    file: LongFile,
    met: _Met,
    answers: Answers | None,
    tell: Callable[[int], None],
    path: Path | None,
) -> tuple[_Tally, Outcome, tuple[str, int] | None]:
    """Read the blocks into `path`; once more where the whole file shows other marks than its first
    lines, or where a number comes again with other content, or where a row holds something under a
    column that none was thought to fill.

    Returns the tally, what the rows set aside came to, and (SHA-256, rows) of the batch, None where
    nothing had to be written.
    """
    import numpy as np

    held = np.zeros(0, dtype=np.uint64)
    columns = (
        {heading.column for heading in file.prepared.rules.headings} | met.columns | _WORKED_OUT
    )
    for _ in range(6):
        with ExitStack() as stack:
            out = stack.enter_context(writing(path)) if path is not None else None
            writer = stream.BatchWriter(out, columns)
            tally = _Tally(Waiting(stack), skipped=list(file.prepared.skipped))
            _stream(file, met, stack, writer, tally, held, tell)
            whole, outcome = file.settled(), Outcome()
            if whole:
                facts = facts_of(str(file.path), file.prepared.rules.headings, answers)
                outcome.changes.newest_known = tally.newest_known
                if tally.loose is not None:
                    tally.loose.settle(
                        met.home,
                        met.entries,
                        tally.waiting,
                        writer,
                        facts.name,
                        tally.keys,
                        outcome,
                    )
                settle_known(met.home, met.entries, tally.waiting, writer, facts, outcome)
            writer.close()
            if whole and tally.waiting.repeats.rows:
                more = settle_repeats(tally.waiting, out, facts, outcome)
                held, whole = np.union1d(held, more), not len(more)
            columns |= writer.missing
            whole = whole and not writer.missing
            if out is not None:
                out.keep = whole and writer.rows > 0
                digest = out.digest
        if whole:
            return (
                tally,
                outcome,
                (digest, writer.rows) if path is not None and writer.rows else None,
            )
    raise AssertionError("the file changed while it was read")


def _stream(
    file: LongFile,
    met: _Met,
    stack: ExitStack,
    writer: stream.BatchWriter,
    tally: _Tally,
    held: np.ndarray,
    tell: Callable[[int], None],
) -> None:
    """Write every row whose number is new; set the others aside, and the rows whose number's hash
    is among `held`."""
    for block in file.blocks():
        plain, others, loose = _parted(block, tally)
        if any(table.num_rows for table in loose):
            tally.loose = tally.loose or Loose(met.unnumbered, stack, IN_MEMORY)
            tally.loose.put(loose, writer)
            tally.newest_known = max(tally.newest_known, tally.loose.newest_known)
        _numbered_rows(plain, others, met.known, writer, tally, held)
        tell(tally.seen)


def _parted(block: Block, tally: _Tally) -> tuple[pa.Table, pa.Table, list[pa.Table]]:
    """The plain rows of a block that have a number, the others that have one, and both kinds of
    those that have none. What they say is counted."""
    import pyarrow as pa

    tally.rejected += block.rejected
    tally.skipped += block.skipped
    for row in block.others:
        tally.notes += row.notes if len(tally.notes) < MOST_NOTES else ()
        tally.filled.update(list(row.values))
    others = table_of([_stored(row) for row in block.others])
    plain = others.slice(0, 0) if block.table is None else block.table
    for name in plain.column_names:
        tally.filled[name] += plain.num_rows - plain.column(name).null_count
    tally.total += block.total + sum(
        (row.values["price"] for row in block.others if "price" in row.values), Decimal(0)
    )
    tally.read_as += read_as(block.others) + _read_as(plain)
    if "unit" not in plain.column_names:
        plain = plain.append_column("unit", pa.nulls(plain.num_rows, pa.string()))
    (plain, plain_loose), (others, others_loose) = (_by_number(table) for table in (plain, others))
    if "key" not in plain.column_names:
        plain = plain.append_column("key", plain.column("unit"))
    return plain, others, [plain_loose, others_loose]


def _by_number(table: pa.Table) -> tuple[pa.Table, pa.Table]:
    """(rows with a number, rows without)"""
    import pyarrow.compute as pc

    numbers = table.column("unit")
    if numbers.null_count in (0, table.num_rows):
        return (table, table.slice(0, 0)) if numbers.null_count == 0 else (table.slice(0, 0), table)
    return table.filter(pc.is_valid(numbers)), table.filter(pc.is_null(numbers))


def _numbered_rows(
    plain: pa.Table,
    others: pa.Table,
    known: Known,
    writer: stream.BatchWriter,
    tally: _Tally,
    held: np.ndarray,
) -> None:
    import numpy as np
    import pyarrow as pa

    keys = pa.chunked_array(
        [plain.column("key").combine_chunks(), others.column("key").combine_chunks()], pa.string()
    ).combine_chunks()
    lines = np.concatenate((plain.column("line").to_numpy(), others.column("line").to_numpy()))
    codes = stream.hashes(keys)
    if others.num_rows:
        order = np.argsort(lines, kind="stable")
        again = np.empty(len(codes), dtype=bool)
        again[order] = tally.keys.again(codes[order])
    else:
        again = tally.keys.again(codes)
    mine = known.contains(codes)
    back = stream.among(codes, held)
    same = np.zeros(len(codes), dtype=bool)
    asked = np.flatnonzero((mine & ~again & ~back)[: plain.num_rows])
    if len(asked):
        same[asked], newest = known.says(
            plain if len(asked) == plain.num_rows else plain.take(pa.array(asked)), codes[asked]
        )
        tally.newest_known = max(tally.newest_known, int(newest.max()))
        tally.unchanged += int(same.sum())
    new = ~(again | mine | back)
    mine = (mine | back) & ~same
    repeats = again & ~mine & ~same
    for table, rows in (
        (plain, slice(0, plain.num_rows)),
        (others, slice(plain.num_rows, len(codes))),
    ):
        fresh = table if new[rows].all() else table.filter(pa.array(new[rows]))
        writer.write(fresh)
        tally.plain += fresh.num_rows
        for where, chosen in (("known", mine[rows]), ("repeats", repeats[rows])):
            if chosen.any():
                tally.waiting.put(
                    where, table.filter(pa.array(chosen)), codes[rows][chosen], again[rows][chosen]
                )


def _read_as(table: pa.Table) -> Counter[tuple[str, str]]:
    """`record.read_as` of plain rows: each distinct saying is looked at once."""
    found: Counter[tuple[str, str]] = Counter()
    named = [name for name in SHOWN if name in table.column_names]
    for row in (
        table.select(["said", *named])
        .group_by(["said", *named])
        .aggregate([([], "count_all")])
        .to_pylist()
    ):
        for name, theirs in json.loads(row["said"] or "{}").items():
            if name in named and row[name] is not None:
                found[theirs, row[name]] += row["count_all"]
    return found


def _stored(row: Row) -> dict[str, Any]:
    return dict(row.values) | {
        "extra": json.dumps(row.extra, ensure_ascii=False) if row.extra else None,
        "said": json.dumps(row.said, ensure_ascii=False) if row.said else None,
        "line": row.line,
        "key": row.values.get("unit"),
    }


def _gone(met: _Met, file: LongFile, tally: _Tally) -> list[str]:
    """`record._gone` by the hashes of keys: units that an earlier file of the same shape had and
    this one no longer has, where this one has most of them."""
    import numpy as np
    import pyarrow as pa

    same, at_least = of_shape(met.ledger, file.prepared.facts().shape)
    if not same:
        return []
    now, n_new = tally.keys, 0
    if tally.loose is not None:
        n_new = tally.loose.n_new
        for keys in tally.loose.spoken_of(met.home, met.entries):
            codes = np.unique(stream.hashes(keys))
            now.add(codes[~now.contains(codes)])
    if now.n + n_new < 0.5 * at_least:
        return []
    before = np.unique(np.concatenate([stream.hashes(keys) for keys in keys_of(met.home, same)]))
    left = before[~now.contains(before)]
    if len(left) > 0.5 * len(before) or not len(left):
        return []
    return sorted(
        {
            key
            for keys in keys_of(met.home, same)
            for key in keys.filter(pa.array(stream.among(stream.hashes(keys), left))).to_pylist()
        }
    )


def _added(
    file: LongFile, tally: _Tally, outcome: Outcome, gone: list[str], dry_run: bool
) -> Added:

    prepared, changes = file.prepared, outcome.changes
    turned_away = [Rejected(line, 0, (), (problem,)) for line, problem in changes.rejected]
    rejected = tuple(sorted((*tally.rejected, *turned_away), key=lambda row: row.line))
    counts = {
        "accepted": tally.plain + (tally.loose.new if tally.loose else 0) + changes.accepted,
        "changed": changes.changed,
        "unchanged": (
            tally.unchanged + (tally.loose.unchanged if tally.loose else 0) + changes.unchanged
        ),
        "duplicates": changes.duplicates,
        "rejected": len(rejected),
        "skipped": len(tally.skipped),
    }
    if sum(counts.values()) != tally.seen:
        raise AssertionError(f"rows do not tie out: {counts} of {tally.seen}")
    notes = (*prepared.notes, *closing_notes(prepared.rules, prepared.decoded), *changes.notes)
    reading = Reading(
        str(file.path),
        (),
        tuple(tally.rejected),
        tuple(tally.skipped),
        notes,
        tuple(waiting(prepared.asked, rejected, prepared.rules.today)),
        prepared.facts(),
    )
    return Added(
        str(file.path),
        tally.seen,
        counts,
        tally.total - outcome.off,
        reading,
        rejected,
        notes,
        tuple(changes.older),
        tuple(gone),
        dry_run=dry_run,
        filled=dict(tally.filled),
        n_units=tally.units,
        row_notes=tuple(tally.notes),
        read_as=dict(tally.read_as),
    )
