"""What the record says of each unit, in twenty bytes a unit: enough to tell rows that say nothing
new from rows that must be looked at.

Of every unit: a hash of its key, a hash of its newest row in the columns that a file speaks of, and
the number of that row's batch. A row is taken as known only where both hashes agree. The second
hash is of the key too, by another factor, so that two keys are taken for one with a chance of about
2^-128 a pair, and a changed row of a known unit for an unchanged one with a chance of about 2^-64 a
row: less than 10^-12 for ten million of them. Whatever does not agree is compared cell by cell with
the stored rows themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from pricing.basis.columns import BY_NAME
from pricing.basis.home import Home
from pricing.ledger.batches import Entry, schema
from pricing.ledger.blocks import blocks, plain
from pricing.ledger.stream import hashes, mixed

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

_BITS = 6
PARTS = (
    1 << _BITS
)  # the units are kept in this many sorted parts, so that sorting one needs little room beside it
_OTHER_FACTOR = 0xD6E8FEB86659FD93  # odd, and not the one of `hashes`
_BLANK = 0x2545F4914F6CDD1D  # what a blank cell counts as


def part_of(codes: np.ndarray, bits: int = _BITS) -> np.ndarray:
    """The part that each key hash belongs to, shape (n,) int64, 0 <= part < 2^bits."""
    import numpy as np

    found: np.ndarray = (mixed(codes) >> np.uint64(64 - bits)).astype(np.int64)
    return found


def spoken_of(columns: Iterable[str]) -> list[str]:
    """The stored columns in which a row of a file with these columns can say something new."""
    named = {name for name in columns if name in BY_NAME} | {"outcome"}
    if named & {"age", "made"}:
        named |= {"age", "made"}
    return [*(name for name in BY_NAME if name in named and name != "unit"), "said", "extra"]


def contents(table: pa.Table, columns: Sequence[str]) -> np.ndarray:
    """A 64-bit hash of each row's key and of its cells in some columns, shape (n,) uint64. Rows
    that differ in one cell that is no text never hash equal."""
    import numpy as np

    found = mixed(_cells(table, "key") + np.uint64(1))
    for name in columns:
        found = mixed(found ^ _cells(table, name))
    return found


def _cells(table: pa.Table, name: str) -> np.ndarray:
    """A 64-bit number for each cell of a column; a column that the table lacks is blank
    throughout."""
    import numpy as np
    import pyarrow as pa

    n = table.num_rows
    if name not in table.column_names:
        return np.full(n, _BLANK, dtype=np.uint64)
    array = table.column(name).combine_chunks()
    if pa.types.is_dictionary(array.type):
        levels = mixed(hashes(array.dictionary.cast(pa.string()), _OTHER_FACTOR))
        codes = array.indices.fill_null(0).to_numpy(zero_copy_only=False)
        found = levels[codes] if len(levels) else np.zeros(n, dtype=np.uint64)
    elif pa.types.is_string(array.type):
        found = mixed(hashes(array, _OTHER_FACTOR))
    elif pa.types.is_null(array.type):
        found = np.zeros(n, dtype=np.uint64)
    else:
        found = whole_numbers(array.cast(schema().field(name).type))
    if array.null_count:
        found[array.is_null().to_numpy(zero_copy_only=False)] = _BLANK
    return found


def whole_numbers(array: pa.Array) -> np.ndarray:
    """Numbers, days and money as whole 64-bit numbers, a fresh array."""
    import numpy as np
    import pyarrow as pa

    if pa.types.is_decimal(array.type):  # 12 digits: the low of the two words says all
        words = np.frombuffer(array.buffers()[1], dtype=np.uint64)[
            2 * array.offset : 2 * (array.offset + len(array)) : 2
        ]
        return words.copy()
    if pa.types.is_date(array.type):
        return (
            array.cast(pa.int32())
            .fill_null(0)
            .to_numpy(zero_copy_only=False)
            .astype(np.int64)
            .view(np.uint64)
        )
    plain = array.fill_null(0.0).to_numpy(zero_copy_only=False) + 0.0  # -0.0 counts as 0.0
    found: np.ndarray = plain.view(np.uint64)
    return found


class Known:
    """The units of some entries by the hashes of their newest rows. columns: what the file that
    meets them has a column for."""

    def __init__(self, home: Home, entries: Sequence[Entry], columns: Iterable[str]) -> None:
        self.columns = spoken_of(columns)
        self._parts = [_Part(sum(entry.rows for entry in entries)) for _ in range(PARTS)]
        for block in blocks(home, entries, ["key", *self.columns]) if entries else ():
            codes = hashes(plain(block.table.column("key")))
            said = contents(block.table, self.columns)
            for part, mine in by_part(codes):
                self._parts[part].put(codes[mine], said[mine], block.entry.number)
        for one in self._parts:
            one.keep_newest()
        self.n_units = sum(part.n for part in self._parts)

    def contains(self, codes: np.ndarray) -> np.ndarray:
        """Which key hashes are of known units, shape (n,) bool."""
        import numpy as np

        found = np.zeros(len(codes), dtype=bool)
        if self.n_units:
            for part, mine in by_part(codes):
                found[mine] = self._parts[part].find(codes[mine])[1]
        return found

    def says(self, table: pa.Table, codes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """For each row whether the newest row of its unit says the same, and (where so) that row's
        batch; both shape (n,). codes: hashes of the keys."""
        import numpy as np

        same, batch = np.zeros(len(codes), dtype=bool), np.zeros(len(codes), dtype=np.int32)
        if self.n_units and len(codes):
            said = contents(table, self.columns)
            for part, mine in by_part(codes):
                same[mine], batch[mine] = self._parts[part].says(codes[mine], said[mine])
        return same, batch


class _Part:
    """The units whose key hash falls into one part: room for all is asked for at once, and touched
    as it fills."""

    def __init__(self, n_rows: int) -> None:
        import numpy as np

        room = n_rows // PARTS + 6 * int((n_rows / PARTS) ** 0.5) + 16
        self.n = 0
        self._code, self._said, self._batch = (
            np.empty(room, dtype=np.uint64),
            np.empty(room, dtype=np.uint64),
            np.empty(room, dtype=np.int32),
        )

    def put(self, codes: np.ndarray, said: np.ndarray, batch: int) -> None:
        """Rows that come after those put before."""
        import numpy as np

        end = self.n + len(codes)
        if end > len(self._code):  # units with many rows each fall into few parts
            more = np.zeros(end // 2, dtype=np.uint64)
            self._code, self._said = (
                np.concatenate((self._code, more)),
                np.concatenate((self._said, more)),
            )
            self._batch = np.concatenate((self._batch, more.astype(np.int32)))
        self._code[self.n : end], self._said[self.n : end], self._batch[self.n : end] = (
            codes,
            said,
            batch,
        )
        self.n = end

    def keep_newest(self) -> None:
        """Sort by key hash, and keep the last row of each."""
        import numpy as np

        order = np.argsort(self._code[: self.n], kind="stable")
        ordered = self._code[order]
        last = np.ones(self.n, dtype=bool)
        last[:-1] = ordered[1:] != ordered[:-1]
        kept = order[last]
        self._code, self._said, self._batch, self.n = (
            ordered[last],
            self._said[kept],
            self._batch[kept],
            len(kept),
        )

    def find(self, codes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(place, whether it is there) of each hash."""
        import numpy as np

        if not self.n:
            return np.zeros(len(codes), dtype=np.int64), np.zeros(len(codes), dtype=bool)
        place = np.minimum(np.searchsorted(self._code, codes), self.n - 1)
        return place, self._code[place] == codes

    def says(self, codes: np.ndarray, said: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(whether both hashes agree, the batch where they do) of each row."""
        import numpy as np

        place, known = self.find(codes)
        if not known.any():
            return known, np.zeros(len(codes), dtype=np.int32)
        same = known & (self._said[place] == said)
        return same, np.where(same, self._batch[place], 0)


def by_part(codes: np.ndarray, bits: int = _BITS) -> list[tuple[int, np.ndarray]]:
    """(part, places of the hashes that fall into it, in order) for each part that any falls
    into."""
    import numpy as np

    part = part_of(codes, bits)
    order = np.argsort(part.astype(np.uint8), kind="stable")
    ends = np.cumsum(np.bincount(part, minlength=1 << bits))
    return [
        (number, order[start:end])
        for number, (start, end) in enumerate(
            zip([0, *ends[:-1].tolist()], ends.tolist(), strict=True)
        )
        if end > start
    ]
