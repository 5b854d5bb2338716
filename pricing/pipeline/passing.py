"""The rows of a sheet on their way into the record: read whole or in blocks, counted while they
pass."""

import heapq
import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from pricing.basis import late, problems
from pricing.basis.home import DEMO_UNIT
from pricing.ingest import Reading, blocks, closing, long
from pricing.ingest.headings import Heading
from pricing.ingest.reading import Rejected, Row, Skipped
from pricing.record.rows import Incoming, from_table, incoming

# columns in which the person is shown how their words were read
SHOWN = ("type", "condition", "outcome")
MOST_NOTES = 1_000
FIRST = 50  # rows of which a look is kept
Tell = Callable[[int], None]


def any_of_demo(rows: Iterable[Row]) -> bool:
    return any(str(row.values.get("unit", "")).startswith(DEMO_UNIT) for row in rows)


class _Tally:
    """What the rows of a file hold, counted while they pass."""

    def __init__(self) -> None:
        self.filled: Counter[str] = Counter()
        self.read_as: Counter[tuple[str, str]] = Counter()
        self.cents = self.units = 0
        self.has_demo = False
        self.first: list[dict[str, Any]] = []
        self.notes: list[problems.Problem] = []
        self.rejected: list[Rejected] = []
        self.skipped: list[Skipped] = []

    def rows(self, rows: Sequence[Row]) -> Iterator[Incoming]:
        """Rows read one by one."""
        self.units += len(rows)
        self.has_demo |= any_of_demo(rows)
        if len(self.first) < FIRST:
            self.first += [row.extra | row.values for row in rows[:FIRST]]
        for row in rows:
            self.filled.update(list(row.values))
            self.notes += row.notes if len(self.notes) < MOST_NOTES else ()
            self.cents += int(row.values.get("price", 0) * 100)
        self.read_as += _read_as(rows)
        return incoming(rows)

    def table(self, table: late.pa.Table) -> Iterator[Incoming]:
        """Plain rows, read in columns."""
        self.units += table.num_rows
        if len(self.first) < FIRST:
            rows_of = table.slice(0, FIRST).to_pylist()
            self.first += [json.loads(row.pop("extra", None) or "{}") | row for row in rows_of]
        for name in table.column_names:
            self.filled[name] += table.num_rows - table.column(name).null_count
        if "price" in table.column_names:
            self.cents += int((late.pc.sum(table.column("price")).as_py() or 0) * 100)
        if "unit" in table.column_names:
            starts = late.pc.starts_with(table.column("unit"), DEMO_UNIT)
            self.has_demo |= bool(late.pc.any(starts).as_py())
        self.read_as += _read_as_in(table)
        return from_table(table)

    def block(self, block: blocks.RowBlock) -> Iterator[Incoming]:
        """A block of a long file, in the order of its lines."""
        self.rejected += block.rejected
        self.skipped += block.skipped
        plain = self.table(block.table) if block.table is not None else iter(())
        return heapq.merge(plain, self.rows(block.others), key=lambda row: row.line)


class ShortSheet:
    """A sheet that was read whole."""

    def __init__(self, reading: Reading) -> None:
        self.reading, self.tally = reading, _Tally()
        self.name, self.headings = reading.file, reading.facts.headings
        self.shape, self.currency = reading.facts.shape, reading.facts.currency

    def pieces(self) -> Iterator[Iterator[Incoming]]:
        self.tally = _Tally()
        self.tally.rejected += self.reading.rejected
        self.tally.skipped += self.reading.skipped
        yield self.tally.rows(self.reading.rows)

    def settled(self) -> bool:
        return True

    def cells(self, lines: set[int]) -> dict[int, tuple[str, ...]]:
        return {row.line: row.cells for row in self.reading.rows if row.line in lines}

    def read(self, rejected: tuple[Rejected, ...]) -> Reading:
        return self.reading


class LongSheet:
    """A sheet that is read in blocks. tell: called with the rows seen so far."""

    def __init__(self, file: long.LongFile, tell: Tell) -> None:
        self.file, self.tell, self.tally = file, tell, _Tally()
        self.name = str(file.path)
        self.shape, self.currency = (f := file.prepared.facts()).shape, f.currency

    @property
    def headings(self) -> tuple[Heading, ...]:
        return self.file.prepared.rules.headings

    def pieces(self) -> Iterator[Iterator[Incoming]]:
        self.tally = _Tally()
        self.tally.skipped += self.file.prepared.skipped
        for block in self.file.blocks():
            yield self.tally.block(block)
            self.tell(self.tally.units + len(self.tally.rejected) + len(self.tally.skipped))

    def settled(self) -> bool:
        return self.file.settled()

    def cells(self, lines: set[int]) -> dict[int, tuple[str, ...]]:
        return self.file.cells_at(lines)

    def read(self, rejected: tuple[Rejected, ...]) -> Reading:
        prepared = self.file.prepared
        return Reading(
            self.name,
            (),
            tuple(self.tally.rejected),
            tuple(self.tally.skipped),
            (*prepared.notes, *closing.closing_notes(prepared.rules, prepared.decoded)),
            tuple(closing.waiting(prepared.asked, rejected, prepared.rules.today)),
            prepared.facts(),
        )


SheetPassing = ShortSheet | LongSheet


def _read_as(rows: Iterable[Row]) -> Counter[tuple[str, str]]:
    """Counts rows by (their word, our word), in the columns where that is shown."""
    return Counter(
        (theirs, str(row.values[name]))
        for row in rows
        for name, theirs in row.said.items()
        if name in SHOWN and name in row.values
    )


def _read_as_in(table: late.pa.Table) -> Counter[tuple[str, str]]:
    """The same of plain rows: each distinct saying is looked at once."""
    found: Counter[tuple[str, str]] = Counter()
    named = [name for name in SHOWN if name in table.column_names]
    if "said" not in table.column_names:
        return found
    grouped = table.select(["said", *named]).group_by(["said", *named])
    for row in grouped.aggregate([([], "count_all")]).to_pylist():
        for name, theirs in json.loads(row["said"] or "{}").items():
            if name in named and row[name] is not None:
                found[theirs, row[name]] += row["count_all"]
    return found
