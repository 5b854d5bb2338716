"""The rows of a long file that cannot go in unseen: set aside while it is read, and decided part by
part once all of it is known.

They lie in piles parted by key, so that each unit's rows and its past in the record come together
and a part fits in memory. Rows without a number join them once it is known which units they are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING

from pricing.basis.files import Writing, scratch
from pricing.basis.home import Home
from pricing.ledger import blocks, pile, stream
from pricing.ledger.batches import Entry, in_schema
from pricing.ledger.blocks import plain
from pricing.ledger.changes import (
    IN_THIS_FILE,
    Changes,
    Earlier,
    FileFacts,
    NewRow,
    as_new_row,
    classify,
    settle,
    table_of,
)
from pricing.ledger.pile import Pile
from pricing.ledger.plain_changes import decide

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

    from pricing.ledger.stream import BatchWriter

CHUNK = 20_000  # rows compared one by one together
_TOGETHER = 50_000  # rows written together
IN_MEMORY = 8 << 20


class Waiting:
    """Rows set aside. known: of numbers that the record knows, or that are held back; repeats: of
    numbers that went in further up in the file."""

    def __init__(self, stack: ExitStack) -> None:
        self._stack = stack
        self.known, self.repeats = self.new_pile(), self.new_pile()
        self._codes: dict[str, list[np.ndarray]] = {"known": [], "repeats": []}

    def new_pile(self) -> Pile:
        return Pile(self._stack.enter_context(scratch(IN_MEMORY)))

    def put(self, where: str, table: pa.Table, codes: np.ndarray, again: np.ndarray) -> None:
        """where: "known" or "repeats". again: whether the row's number stood further up in the
        file."""
        import pyarrow as pa

        pile_of = self.known if where == "known" else self.repeats
        pile_of.put(in_schema(table).append_column("again", pa.array(again)), codes)
        self._codes[where].append(codes)

    def codes(self, where: str) -> np.ndarray:
        """The key hashes of the rows set aside, in order, each once."""
        import numpy as np

        return np.unique(np.concatenate([np.zeros(0, dtype=np.uint64), *self._codes[where]]))

    @property
    def rows(self) -> int:
        return self.known.rows + self.repeats.rows


@dataclass
class Outcome:
    """What the rows set aside came to: counts and notes in `changes` (its rows are written
    already).

    off: the prices of those of them that do not count.
    """

    changes: Changes = field(default_factory=Changes)
    off: Decimal = Decimal(0)

    def book(self, part: Changes, rows: Sequence[NewRow]) -> None:
        """Add what some rows came to."""
        mine = self.changes
        mine.accepted += part.accepted
        mine.changed += part.changed
        mine.unchanged += part.unchanged - part.again
        mine.duplicates += part.duplicates + part.again
        mine.rejected += part.rejected
        mine.older += part.older
        mine.notes += part.notes
        mine.newest_known = max(mine.newest_known, part.newest_known)
        out = {line for line, _ in part.rejected} | set(part.duplicate_lines)
        self.off += sum(
            (row.values["price"] for row in rows if row.line in out and "price" in row.values),
            Decimal(0),
        )


class _Together:
    """Rows on their way into a batch, written many at a time."""

    def __init__(self, writer: BatchWriter) -> None:
        self._writer, self._tables, self._rows = writer, [table_of([])], 0

    def put(self, table: pa.Table) -> None:
        self._tables.append(table)
        self._rows += table.num_rows
        if self._rows >= _TOGETHER:
            self.flush()

    def flush(self) -> None:
        import pyarrow as pa

        self._writer.write(pa.concat_tables(self._tables))
        self._tables, self._rows = [table_of([])], 0


def settle_known(
    home: Home,
    entries: Sequence[Entry],
    waiting: Waiting,
    writer: BatchWriter,
    file: FileFacts,
    outcome: Outcome,
) -> None:
    """Decide the rows of known numbers against the record, and write what is new or changed."""
    out, late = _Together(writer), waiting.new_pile()
    past = _past_of(home, entries, waiting)
    for number in range(pile.PARTS):
        rows = waiting.known.part(number)
        if rows is None:
            continue
        _settle_part(rows, past.part(number), outcome, out, late, file)
    for number in range(pile.PARTS):
        _settle_late(late.part(number), outcome, out)
    out.flush()


def settle_repeats(
    waiting: Waiting, so_far: Writing | None, file: FileFacts, outcome: Outcome
) -> np.ndarray:
    """Decide the rows whose number went in further up in the file, which is whole by now. Returns
    the key hashes of those of which more than a
    repetition is to be told: their rows must be held back when the file is read once more. Without
    a batch in the making that is all of them.
    """
    import numpy as np

    wanted = waiting.codes("repeats")
    if so_far is None:
        return wanted
    first, held = _first_rows(so_far, wanted, waiting.new_pile()), [np.zeros(0, dtype=np.uint64)]
    found = Outcome()
    for number in range(pile.PARTS):
        rows = waiting.repeats.part(number)
        if rows is not None:
            seen = _Unwritten()
            _settle_part(rows, first.part(number), found, seen, None, file)
            held += [stream.hashes(plain(table.column("key"))) for table in seen.tables]
    codes = np.unique(np.concatenate(held))
    if not len(codes):
        outcome.book(found.changes, ())
        outcome.off += found.off
    return codes


class _Unwritten:
    """Rows that would have to be written."""

    def __init__(self) -> None:
        self.tables: list[pa.Table] = []

    def put(self, table: pa.Table) -> None:
        if table.num_rows:
            self.tables.append(table.select(["key"]))


def _settle_part(
    rows: pa.Table,
    past: pa.Table | None,
    outcome: Outcome,
    out: _Together | _Unwritten,
    late: Pile | None,
    file: FileFacts,
) -> None:
    """The rows of some units and their past: in columns where that is plain, one by one
    where not."""
    import pyarrow as pa
    import pyarrow.compute as pc

    decided = decide(rows, past, file.columns, file.unknown)
    out.put(decided.changed)
    repeated = rows.take(pa.array(decided.unchanged)).filter(pc.field("again"))
    changes = outcome.changes
    changes.changed += decided.changed.num_rows
    changes.unchanged += len(decided.unchanged) - repeated.num_rows
    changes.duplicates += repeated.num_rows
    changes.newest_known = max(changes.newest_known, decided.newest_known)
    outcome.off += pc.sum(repeated.column("price")).as_py() or Decimal(0)
    for some in _by_unit(rows.take(pa.array(decided.rest))):
        mine = (
            table_of([]).append_column("batch", pa.array([], pa.int32()))
            if past is None
            else past.filter(pc.is_in(past.column("key"), value_set=some.column("key")))
        )
        again = frozenset(some.filter(pc.field("again")).column("line").to_pylist())
        _one_by_one(
            [as_new_row(stored) for stored in some.to_pylist()],
            mine,
            again,
            outcome,
            out,
            late,
            file,
        )


def _by_unit(rows: pa.Table) -> Iterator[pa.Table]:
    """The rows in pieces of about CHUNK, all rows of a unit in one and in the order of
    their lines."""
    import numpy as np
    import pyarrow as pa

    codes = stream.hashes(plain(rows.column("key")))
    order = np.argsort(codes, kind="stable")
    ordered = codes[order]
    start = 0
    while start < len(order):
        end = int(
            np.searchsorted(ordered, ordered[min(start + CHUNK, len(order)) - 1], side="right")
        )
        piece = rows.take(pa.array(order[start:end]))
        yield piece.take(pa.array(np.argsort(piece.column("line").to_numpy(), kind="stable")))
        start = end


def _one_by_one(
    rows: Sequence[NewRow],
    past: pa.Table,
    again: frozenset[int],
    outcome: Outcome,
    out: _Together | _Unwritten,
    late: Pile | None,
    file: FileFacts,
) -> None:
    """Decide rows by `classify`."""
    changes = classify(rows, past, file, outcome.changes.newest_known, again)
    _put_late([one for one in changes.earlier if changes.newest_known < one.corrected_in], late)
    for one in changes.earlier:
        if changes.newest_known >= one.corrected_in:
            settle(changes, one, changes.newest_known)
    out.put(table_of(changes.rows))
    outcome.book(changes, rows)


def _put_late(earlier: Sequence[Earlier], late: Pile | None) -> None:
    """Keep rows that say an earlier state until all that the file knows is known."""
    import pyarrow as pa

    if not earlier:
        return
    if late is None:
        raise AssertionError("a number that the record does not know has no earlier state")
    table = table_of([one.stored for one in earlier]).append_column(
        "corrected_in", pa.array([one.corrected_in for one in earlier], pa.int32())
    )
    late.put(table, stream.hashes(plain(table.column("key"))))


def _settle_late(rows: pa.Table | None, outcome: Outcome, out: _Together) -> None:
    """Rows that say an earlier state, now that all that the file knows is known: `changes.settle`,
    in columns."""
    import pyarrow.compute as pc

    if rows is None:
        return
    taken = rows.filter(pc.field("corrected_in") <= outcome.changes.newest_known)
    left = rows.filter(pc.field("corrected_in") > outcome.changes.newest_known).select(
        ["line", "key"]
    )
    out.put(taken.drop_columns(["corrected_in"]))
    outcome.changes.changed += taken.num_rows
    outcome.changes.unchanged += left.num_rows
    outcome.changes.older += zip(
        left.column("line").to_pylist(), left.column("key").to_pylist(), strict=True
    )


def _past_of(home: Home, entries: Sequence[Entry], waiting: Waiting) -> Pile:
    """Every row that the record has of the numbers set aside."""
    import pyarrow as pa

    found = waiting.new_pile()
    if not waiting.known.rows:
        return found
    wanted = waiting.codes("known")
    where = blocks.places(home, entries, _hashed_among(wanted))
    for block in blocks.at(home, entries, where):
        table = in_schema(block.table)
        found.put(
            table.append_column(
                "batch", pa.repeat(pa.scalar(block.entry.number, pa.int32()), table.num_rows)
            ),
            stream.hashes(plain(table.column("key"))),
        )
    return found


def _hashed_among(wanted: np.ndarray) -> Callable[[pa.Array], np.ndarray]:
    return lambda keys: stream.among(stream.hashes(keys), wanted)


def _first_rows(out: Writing, wanted: np.ndarray, found: Pile) -> Pile:
    """The rows of the batch in the making whose number's hash is wanted."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    out.flush()
    if out.size:
        with pq.ParquetFile(out.so_far) as file:
            for batch in file.iter_batches(batch_size=blocks.ROWS):
                table = pa.Table.from_batches([batch])
                codes = stream.hashes(plain(table.column("unit")))
                mine = stream.among(codes, wanted)
                if mine.any():
                    first = in_schema(table.filter(pa.array(mine)))
                    first = first.set_column(
                        first.column_names.index("key"), "key", first.column("unit")
                    )
                    found.put(
                        first.append_column(
                            "batch", pa.repeat(pa.scalar(IN_THIS_FILE, pa.int32()), first.num_rows)
                        ),
                        codes[mine],
                    )
    return found
