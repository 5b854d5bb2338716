"""The rows of a long file that have no number: most are plain at once, new or known to the letter;
the others wait until the file is read.

A row is new where nothing in the record says the same or may have grown into it, and nothing
further up in the file says the same. It is known where one unit of the record says just that, has
never said anything else, and no row further up was it. Whatever else there is lies in a pile; once
the file is read each of these rows is matched with the units that are still free, and goes on as a
row with that unit's number, or as a new unit, or as the same row again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from decimal import Decimal
from typing import TYPE_CHECKING

from pricing.basis.columns import BY_NAME
from pricing.basis.files import scratch
from pricing.basis.home import Home
from pricing.ingest.blocks import MOST_NOTES
from pricing.ledger import pile, stream
from pricing.ledger.batches import Entry, in_schema
from pricing.ledger.changes import FEW, counted_once, counted_twice
from pricing.ledger.pile import Pile
from pricing.ledger.unnumbered import Unnumbered, keys_of_units, said_in

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

    from pricing.ledger.stream import BatchWriter
    from pricing.pipeline.record_waiting import Outcome, Waiting


class Loose:
    """The rows without a number of one reading of a file. new, unchanged: how many were plain at
    once; newest_known: the latest batch that those know;
    n_new: how many units they add in all."""

    def __init__(self, known: Unnumbered, stack: ExitStack, in_memory: int) -> None:
        self.known, self.taken = known, known.nobody()
        self.new = self.unchanged = self.newest_known = self.waiting = self.n_new = 0
        self._seen = stream.Seen()
        self._pile = Pile(stack.enter_context(scratch(in_memory)))
        self._codes: list[
            tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]
        ] = []  # line, content, kept, state of the rows that wait

    def put(self, tables: Sequence[pa.Table], writer: BatchWriter) -> None:
        """Rows without a number, those of the later tables to be put in among those of the first by
        their lines."""
        import numpy as np
        import pyarrow as pa

        tables = [table for table in tables if table.num_rows]
        if not tables:
            return
        said = [said_in(table) for table in tables]
        lines = [table.column("line").to_numpy() for table in tables]
        order = np.argsort(np.concatenate(lines), kind="stable")
        again = np.empty(len(order), dtype=bool)
        again[order] = self._seen.again(np.concatenate([one.content for one in said])[order])
        end = 0
        for table, one, line in zip(tables, said, lines, strict=True):
            repeated = again[end : (end := end + table.num_rows)]
            there, single, unit, batch = self.known.says(one.content)
            same = single & ~repeated
            self.taken[unit[same]] = True
            self.newest_known = max(self.newest_known, int(batch[same].max(initial=0)))
            self.unchanged += int(same.sum())
            new = ~(there | repeated | self.known.may_be_grown(one))
            if new.any():
                fresh = table if new.all() else table.filter(pa.array(new))
                writer.write(
                    _numbered(
                        fresh,
                        self.known.made_up(
                            one.content[new], np.ones(fresh.num_rows, dtype=np.int64)
                        ),
                    )
                )
                self.new, self.n_new = self.new + fresh.num_rows, self.n_new + fresh.num_rows
            rest = ~(same | new)
            if rest.any():
                self.waiting += int(rest.sum())
                self._codes.append((line[rest], one.content[rest], one.kept[rest], one.state[rest]))
                put_aside = in_schema(table.filter(pa.array(rest))).append_column(
                    "again", pa.array(repeated[rest])
                )
                self._pile.put(
                    put_aside.append_column("content", pa.array(one.content[rest])),
                    one.content[rest],
                )

    @property
    def rows(self) -> int:
        """How many rows were put here."""
        return self.new + self.unchanged + self.waiting

    def settle(
        self,
        home: Home,
        entries: Sequence[Entry],
        waiting: Waiting,
        writer: BatchWriter,
        file: str,
        numbers: stream.Seen,
        outcome: Outcome,
    ) -> None:
        """Decide the rows that wait: those that are units of the record join the rows with a number
        in `waiting`; the new ones are written. numbers: the hashes of the numbers in the file."""
        import numpy as np
        import pyarrow as pa

        if not self.waiting:
            return
        line, content, kept, state = (
            np.concatenate(column) for column in zip(*self._codes, strict=True)
        )
        self._codes = []
        order = np.argsort(line, kind="stable")
        line = line[order]
        units = self.known.match(content[order], kept[order], state[order], self.taken)
        del content, kept, state, order
        chosen = self.known.nobody()
        chosen[units[units >= 0]] = True
        names = pa.chunked_array(
            [*(keys_of_units(home, entries, chosen) if chosen.any() else ())], pa.string()
        )
        rank = np.cumsum(chosen) - 1
        told: list[tuple[np.ndarray, np.ndarray]] = []
        for number in range(pile.PARTS):
            rows = self._pile.part(number)
            if rows is None:
                continue
            rows = rows.take(pa.array(np.argsort(rows.column("line").to_numpy(), kind="stable")))
            unit = units[np.searchsorted(line, rows.column("line").to_numpy())]
            matched = unit >= 0
            count = _how_manieth(
                rows.column("content").to_numpy(),
                rows.column("again").to_numpy(zero_copy_only=False),
            )
            if matched.any():
                keys = names.take(pa.array(rank[unit[matched]])).combine_chunks()
                codes = stream.hashes(keys)
                mine = _numbered(
                    rows.filter(pa.array(matched)).drop_columns(["again", "content"]), keys
                )
                waiting.put("known", mine, codes, numbers.contains(codes))
                self.waiting -= mine.num_rows
            if not matched.all():
                told.append(
                    self._book(rows.filter(pa.array(~matched)), count[~matched], writer, outcome)
                )
        self.n_new += outcome.changes.accepted
        _tell(told, file, outcome)

    def _book(
        self, rows: pa.Table, count: np.ndarray, writer: BatchWriter, outcome: Outcome
    ) -> tuple[np.ndarray, np.ndarray]:
        """Rows that are no unit of the record: new, or the same again. Returns (line, whether
        counted once) of the latter."""
        import numpy as np
        import pyarrow as pa
        import pyarrow.compute as pc

        filled = np.zeros(rows.num_rows, dtype=np.int64)
        for name in BY_NAME:
            filled += rows.column(name).is_valid().to_numpy()
        twice = (count > 1) & (filled >= FEW)
        repeated = rows.filter(pa.array(twice))
        outcome.changes.duplicates += repeated.num_rows
        outcome.off += pc.sum(repeated.column("price")).as_py() or Decimal(0)
        new = rows.filter(pa.array(~twice))
        writer.write(
            _numbered(
                new.drop_columns(["again", "content"]),
                self.known.made_up(new.column("content").to_numpy(), count[~twice]),
            )
        )
        outcome.changes.accepted += new.num_rows
        return rows.column("line").to_numpy()[count > 1], twice[count > 1]

    def spoken_of(self, home: Home, entries: Sequence[Entry]) -> Iterator[pa.Array]:
        """The numbers that we once made up for the units that these rows are."""
        return keys_of_units(home, entries, self.taken) if self.taken.any() else iter(())


def _numbered(table: pa.Table, keys: pa.Array) -> pa.Table:
    """The rows with a number for each."""
    for name in ("unit", "key"):
        place = table.column_names.index(name) if name in table.column_names else -1
        table = (
            table.append_column(name, keys) if place < 0 else table.set_column(place, name, keys)
        )
    return table


def _how_manieth(content: np.ndarray, again: np.ndarray) -> np.ndarray:
    """For each row, in order, the how manieth of the file it is that says this: the first one may
    have been plain and not be among these."""
    import numpy as np

    order = np.argsort(content, kind="stable")
    ordered = content[order]
    first = np.ones(len(order), dtype=bool)
    first[1:] = ordered[1:] != ordered[:-1]
    start = np.maximum.accumulate(np.where(first, np.arange(len(order)), 0))
    found = np.empty(len(order), dtype=np.int64)
    found[order] = np.arange(len(order)) - start + 1 + again[order][start]
    return found


def _tell(told: list[tuple[np.ndarray, np.ndarray]], file: str, outcome: Outcome) -> None:
    """Notes on rows that were there before, the first ones of the file."""
    import numpy as np

    if told:
        lines, once = (np.concatenate(column) for column in zip(*told, strict=True))
        for place in np.argsort(lines, kind="stable")[:MOST_NOTES].tolist():
            outcome.changes.notes.append(
                (counted_once if once[place] else counted_twice)(file, int(lines[place]))
            )
