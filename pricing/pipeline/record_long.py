"""The story of adding a long file: block by block into one new batch, which counts only once it is whole."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pricing.ingest import Answers, Reading
from pricing.ingest.blocks import MOST_NOTES, Block
from pricing.ingest.long import LongFile
from pricing.ingest.read import closing_notes, waiting
from pricing.ingest.reading import Rejected, Row, Skipped
from pricing.ledger import batches, lock, stream
from pricing.ledger.changes import IN_THIS_FILE, MADE_UP, Changes, NewRow, as_new_row, compare, table_of
from pricing.ledger.current import newest, read_entries
from pricing.records.columns import BY_NAME
from pricing.records.files import Writing, writing
from pricing.records.home import Home
from pricing.records.problems import Problem

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

    from pricing.ledger.batches import Ledger
    from pricing.pipeline.record import Added


@dataclass
class _Tally:
    """What became of the rows so far. plain: written without comparison; waiting: rows whose number was seen before, or that have none."""

    plain: int = 0
    unchanged: int = 0
    newest_known: int = 0
    total: Decimal = Decimal(0)
    waiting: list[NewRow] = field(default_factory=list)
    repeated: set[int] = field(default_factory=set)
    cells: dict[int, Row] = field(default_factory=dict)
    rejected: list[Rejected] = field(default_factory=list)
    skipped: list[Skipped] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    filled: Counter[str] = field(default_factory=Counter)

    @property
    def seen(self) -> int:
        return self.plain + self.unchanged + len(self.waiting) + len(self.rejected) + len(self.skipped)


def add_long(home: Home, file: LongFile, today: date, answers: Answers | None, dry_run: bool, tell: Callable[[int], None]) -> Added:
    """Add a long file. tell: called with the rows seen so far, for a progress line. A dry run reads everything and writes nothing."""
    from pricing.pipeline import record

    if dry_run:
        ledger = batches.load(home)
        tally, changes, _ = _read_until_settled(file, _Current(home, ledger), answers, tell, None)
        return _added(file, tally, changes, dry_run=True)
    with lock.writing(home):
        ledger = batches.load(home)
        batches.begin(home, ledger)
        batches.clear_leftovers(home, ledger)
        path = home.batches / f"{ledger.next_number:06d}.parquet"
        tally, changes, written = _read_until_settled(file, _Current(home, ledger), answers, tell, path)
        added = _added(file, tally, changes, dry_run=False)
        entry = None
        if written:
            entry = replace(record.entry_for(home, ledger, added, file.path, today), file=path.name, sha256=written[0], rows=written[1])
            entry = batches.append_written(home, ledger, entry).entries[-1]
        record.remember(home, added.reading, answers)
    return replace(added, entry=entry, rejected_file=record.write_rejected(home, added.reading, added.rejected))


def _read_until_settled(
    file: LongFile, current: _Current, answers: Answers | None, tell: Callable[[int], None], path: Path | None
) -> tuple[_Tally, Changes, tuple[str, int] | None]:
    """Read the blocks into `path`; once more where the whole file shows other marks than its first lines, or where numbers come again with other content.

    Returns the tally, what the rows in waiting do, and (SHA-256, rows) of the batch, None where nothing had to be written.
    """
    import contextlib

    last: Changes | None = None
    for _ in range(4):
        with writing(path) if path is not None else contextlib.nullcontext() as out:
            writer = stream.BatchWriter(out, {heading.column for heading in file.prepared.rules.headings})
            tally = _stream(file, current, writer, tell)
            if last is not None and last.rows:
                writer.write(table_of(last.rows))  # a made-up number is the row's number and key
            writer.close()
            settled = file.settled()
            changes = last
            if settled and changes is None:
                changes = _compare(file, tally, current, out, answers)
            whole = settled and changes is not None and (last is not None or not changes.rows or path is None)
            if out is not None:
                out.keep = whole and writer.rows > 0
                digest = out.digest
        if whole and changes is not None:
            return tally, changes, (digest, writer.rows) if path is not None and writer.rows else None
        last = changes if settled else None
    raise AssertionError("the file changed while it was read")


def _stream(file: LongFile, current: _Current, writer: stream.BatchWriter, tell: Callable[[int], None]) -> _Tally:
    """Write every row whose number is new; keep the others for comparison."""
    tally = _Tally(skipped=list(file.prepared.skipped))
    seen = stream.Seen()
    for block in file.blocks():
        _one_block(block, current, writer, tally, seen, {heading.column for heading in file.prepared.rules.headings})
        tell(tally.seen)
    return tally


def _one_block(block: Block, current: _Current, writer: stream.BatchWriter, tally: _Tally, seen: stream.Seen, columns: set[str]) -> None:
    import numpy as np
    import pyarrow as pa

    tally.rejected += block.rejected
    tally.skipped += block.skipped
    for row in block.others:
        tally.notes += row.notes if len(tally.notes) < MOST_NOTES else ()
        tally.filled.update(row.values)
    numbered = [row for row in block.others if row.values.get("unit")]
    tally.waiting += [_new_row(row, tally) for row in block.others if not row.values.get("unit")]
    others = table_of([_stored(row) for row in numbered])
    plain = _with_key(block.table) if block.table is not None else others.slice(0, 0)
    for name in plain.column_names:
        tally.filled[name] += plain.num_rows - plain.column(name).null_count
    keys = pa.chunked_array([plain.column("key").combine_chunks(), others.column("key").combine_chunks()], pa.string()).combine_chunks()
    lines = np.concatenate((plain.column("line").to_numpy(), others.column("line").to_numpy()))
    codes = stream.hashes(keys)
    if others.num_rows:
        order = np.argsort(lines, kind="stable")
        again = np.empty(len(codes), dtype=bool)
        again[order] = seen.again(codes[order])
    else:
        again = seen.again(codes)
    tally.repeated.update(lines[again].tolist())
    same = np.zeros(len(codes), dtype=bool)
    if current.rows:
        known = current.seen.contains(codes)
        same[: plain.num_rows], newest = current.unchanged(plain, known[: plain.num_rows] & ~again[: plain.num_rows], columns)
        tally.newest_known = max(tally.newest_known, newest)
        again |= known & ~same
    tally.unchanged += int(same.sum())
    new = ~again & ~same
    n = plain.num_rows
    for table, mine, waits in ((plain, new[:n], again[:n]), (others, new[n:], again[n:])):
        fresh = table if mine.all() else table.filter(pa.array(mine))
        writer.write(fresh)
        tally.plain += fresh.num_rows
        if waits.any():
            tally.waiting += [as_new_row(stored) for stored in table.filter(pa.array(waits)).to_pylist()]
    tally.total += block.total + sum((row.values["price"] for row in block.others if "price" in row.values), Decimal(0))


def _with_key(table: pa.Table) -> pa.Table:
    return table.append_column("key", table.column("unit"))


def _new_row(row: Row, tally: _Tally) -> NewRow:
    tally.cells[row.line] = row
    return NewRow(row.line, row.values, row.said, row.extra)


def _stored(row: Row) -> dict[str, Any]:
    return dict(row.values) | {
        "extra": json.dumps(row.extra, ensure_ascii=False) if row.extra else None,
        "said": json.dumps(row.said, ensure_ascii=False) if row.said else None,
        "line": row.line,
        "key": str(row.values["unit"]),
    }


class _Current:
    """The record that a long file meets."""

    def __init__(self, home: Home, ledger: Ledger) -> None:
        self.history = read_entries(home, ledger.counting())
        self.newest = newest(self.history)
        self.rows = self.newest.num_rows
        self.seen = stream.Seen()
        if self.rows:
            self.seen.add(stream.hashes(self.newest.column("key").combine_chunks()))

    def unchanged(self, table: pa.Table, known: np.ndarray, columns: set[str]) -> tuple[np.ndarray, int]:
        """Which rows say what the record says already, in every column that the file has; and the newest batch that they know."""
        import numpy as np
        import pyarrow as pa
        import pyarrow.compute as pc

        same = np.zeros(table.num_rows, dtype=bool)
        rows = np.flatnonzero(known)
        if not len(rows):
            return same, 0
        mine = table.take(pa.array(rows))
        place = pc.index_in(mine.column("key"), value_set=self.newest.column("key"))
        theirs = self.newest.take(place.fill_null(0))
        equal = place.is_valid().to_numpy()
        for name in (*(column for column in columns if column in BY_NAME), "outcome", "said", "extra"):
            kind = theirs.column(name).type
            left = mine.column(name) if name in mine.column_names else pa.nulls(len(rows), kind)
            left = left.cast(kind)
            right = theirs.column(name)
            both_blank = pc.and_(pc.is_null(left), pc.is_null(right))
            equal &= pc.or_(pc.fill_null(pc.equal(left, right), False), both_blank).to_numpy()
        same[rows[equal]] = True
        batches_known = theirs.column("batch").filter(pa.array(equal))
        return same, int(pc.max(batches_known).as_py() or 0)


def _compare(file: LongFile, tally: _Tally, current: _Current, out: Writing | None, answers: Answers | None) -> Changes:
    """What the rows in waiting do, against the record and the rows of this file that went in before them."""
    import pyarrow as pa
    import pyarrow.compute as pc

    rows = sorted(tally.waiting, key=lambda row: row.line)
    numbers = pa.array([str(row.values["unit"]) for row in rows if row.values.get("unit")], pa.string())
    mine = pc.is_in(current.history.column("key"), value_set=numbers)
    if len(numbers) < len(rows):
        mine = pc.or_(mine, pc.starts_with(current.history.column("key"), MADE_UP))
    history = current.history.filter(mine)
    if out is not None and len(numbers):
        history = pa.concat_tables([history, _first_rows(out, numbers, history.schema)])
    columns = {heading.column for heading in file.prepared.rules.headings if heading.column}
    unknown = {heading.text for heading in file.prepared.rules.headings if not heading.column}
    return compare(rows, history, columns, unknown, str(file.path), bool(answers and answers.take_older), tally.newest_known, frozenset(tally.repeated))


def _first_rows(out: Writing, numbers: pa.Array, like: pa.Schema) -> pa.Table:
    """The rows of the batch in the making that have one of these numbers."""
    import pyarrow as pa
    import pyarrow.compute as pc
    import pyarrow.parquet as pq

    out.flush()
    found = []
    if out.size:
        for batch in pq.ParquetFile(out.so_far).iter_batches(batch_size=1 << 17):
            mine = pc.is_in(batch.column("unit"), value_set=numbers)
            if pc.any(mine).as_py():
                found.append(pa.Table.from_batches([batch.filter(mine)]))
    if not found:
        return like.empty_table()
    table = pa.concat_tables(found)
    table = table.append_column("key", table.column("unit"))
    columns = [table.column(field.name).cast(field.type) if field.name in table.column_names else pa.nulls(table.num_rows, field.type) for field in like]
    return pa.table(columns, schema=like).set_column(like.get_field_index("batch"), "batch", pa.array([IN_THIS_FILE] * table.num_rows, pa.int32()))


def _added(file: LongFile, tally: _Tally, changes: Changes, dry_run: bool) -> Added:
    from pricing.pipeline.record import Added

    prepared = file.prepared
    turned_away = [Rejected(line, 0, tally.cells[line].cells if line in tally.cells else (), (problem,)) for line, problem in changes.rejected]
    rejected = tuple(sorted((*tally.rejected, *turned_away), key=lambda row: row.line))
    counts = {
        "accepted": tally.plain + changes.accepted,
        "changed": changes.changed,
        "unchanged": tally.unchanged + changes.unchanged - changes.again,
        "duplicates": changes.duplicates + changes.again,
        "rejected": len(rejected),
        "skipped": len(tally.skipped),
    }
    if sum(counts.values()) != tally.seen:
        raise AssertionError(f"rows do not tie out: {counts} of {tally.seen}")
    out = {line for line, _ in changes.rejected} | set(changes.duplicate_lines)
    off = sum((row.values["price"] for row in tally.waiting if row.line in out and "price" in row.values), Decimal(0))
    notes = (*prepared.notes, *closing_notes(prepared.rules, prepared.decoded), *changes.notes)
    reading = Reading(str(file.path), (), tuple(tally.rejected), tuple(tally.skipped), notes, tuple(waiting(prepared.asked, rejected, prepared.rules.today)), prepared.facts())
    return Added(
        str(file.path), tally.seen, counts, tally.total - off, reading, rejected, notes, tuple(changes.older), (), dry_run=dry_run,
        filled=dict(tally.filled), n_units=tally.plain + tally.unchanged + len(tally.waiting), row_notes=tuple(tally.notes),
    )  # fmt: skip
