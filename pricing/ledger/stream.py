"""A long batch in the making: rows written block by block, numbers seen before found again with
twelve bytes a row in memory."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING, Any

from pricing.basis.columns import BY_NAME
from pricing.basis.files import Writing
from pricing.ledger.batches import schema

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

_FACTOR = 0x9E3779B97F4A7C15  # odd, so that every power of it has an inverse modulo 2^64


def hashes(texts: pa.Array, factor: int = _FACTOR) -> np.ndarray:
    """A 64-bit polynomial hash of each text, shape (n,), uint64. Equal texts hash equal; equal
    hashes are only a reason to look.

    h = sum_i (byte_i + 1) * f^i  (mod 2^64), f = `factor`, odd; by prefix sums over the joined
    bytes. A null is hashed as the empty text.
    """
    import numpy as np
    import pyarrow as pa

    texts = texts.cast(pa.large_string())
    n = len(texts)
    offsets = np.frombuffer(texts.buffers()[1], dtype=np.int64)[texts.offset : texts.offset + n + 1]
    if n == 0 or offsets[-1] == offsets[0]:
        return np.zeros(n, dtype=np.uint64)
    data = np.frombuffer(texts.buffers()[2], dtype=np.uint8)[offsets[0] : offsets[-1]]
    starts = offsets[:-1] - offsets[0]
    ends = offsets[1:] - offsets[0]
    with np.errstate(over="ignore"):
        longest = int((ends - starts).max())
        powers = np.cumprod(
            np.concatenate(
                (np.ones(1, dtype=np.uint64), np.full(longest, factor, dtype=np.uint64))
            ),
            dtype=np.uint64,
        )
        within = np.arange(len(data)) - np.repeat(starts, ends - starts)
        terms = (data.astype(np.uint64) + np.uint64(1)) * powers[within]
        sums = np.concatenate((np.zeros(1, dtype=np.uint64), np.cumsum(terms, dtype=np.uint64)))
        found: np.ndarray = sums[ends] - sums[starts]
    return found


def mixed(codes: np.ndarray) -> np.ndarray:
    """Each 64-bit number stirred so that every bit depends on every other, shape (n,), uint64; one
    to one.

    Source: the finalizer of splitmix64, Steele, Lea & Flood (2014), OOPSLA,
    doi:10.1145/2660193.2660195.

    >>> import numpy as np
    >>> [hex(code) for code in mixed(np.array([0, 1], dtype=np.uint64)).tolist()]
    ['0x0', '0x5692161d100b05e5']
    """
    import numpy as np

    found = codes ^ (codes >> np.uint64(30))
    found *= np.uint64(0xBF58476D1CE4E5B9)
    found ^= found >> np.uint64(27)
    found *= np.uint64(0x94D049BB133111EB)
    found ^= found >> np.uint64(31)
    return found


def among(codes: np.ndarray, ordered: np.ndarray) -> np.ndarray:
    """Which of `codes` are among some numbers in order, shape (n,) bool."""
    import numpy as np

    if not len(ordered):
        return np.zeros(len(codes), dtype=bool)
    found: np.ndarray = (
        ordered[np.minimum(np.searchsorted(ordered, codes), len(ordered) - 1)] == codes
    )
    return found


class Seen:
    """A growing set of hashes as few sorted arrays: each is at least twice as long as the next, so
    that adding costs n log n in all."""

    def __init__(self) -> None:
        self._sorted: list[np.ndarray] = []

    @property
    def n(self) -> int:
        """How many hashes are in the set."""
        return sum(map(len, self._sorted))

    def contains(self, codes: np.ndarray) -> np.ndarray:
        """Which of `codes` are in the set, shape (n,) bool."""
        import numpy as np

        order = np.argsort(codes)
        found = np.zeros(len(codes), dtype=bool)
        found[order] = self._has(codes[order])
        return found

    def again(self, codes: np.ndarray) -> np.ndarray:
        """Which of `codes`, in the order given, were in the set or stood before in `codes`, shape
        (n,) bool; all are in the set afterwards."""
        import numpy as np

        order = np.argsort(codes, kind="stable")
        ordered = codes[order]
        repeated = np.zeros(len(codes), dtype=bool)
        repeated[1:] = ordered[1:] == ordered[:-1]
        repeated |= self._has(ordered)
        found = np.empty(len(codes), dtype=bool)
        found[order] = repeated
        self.add(ordered[~repeated])
        return found

    def _has(self, ordered: np.ndarray) -> np.ndarray:
        import numpy as np

        found = np.zeros(len(ordered), dtype=bool)
        for known in self._sorted:
            found |= among(ordered, known)
        return found

    def add(self, new: np.ndarray) -> None:
        """Put hashes into the set."""
        import numpy as np

        if not len(new):
            return
        self._sorted.append(np.sort(new, kind="stable"))
        while len(self._sorted) > 1 and len(self._sorted[-2]) < 2 * len(self._sorted[-1]):
            last = self._sorted.pop()
            self._sorted[-1] = np.sort(
                np.concatenate((self._sorted[-1], last)), kind="stable"
            )  # merges the two runs


class BatchWriter:
    """Writes the tables of one batch as one Parquet file, page checksums on, with the columns that
    are expected.

    `key` is left away: every row written here has its own number, which is its key. missing:
    columns in which a row held something and that were not expected; such a batch is not whole.
    """

    def __init__(self, out: Writing | None, columns: Collection[str]) -> None:
        """out: None for a dry run: rows are counted, nothing is written."""
        import pyarrow as pa

        self._out = out
        self._writer: Any = None
        self.rows = 0
        self.missing: set[str] = set()
        expected = {*columns, "extra", "said", "unit", "type", "outcome", "line"} - {"key"}
        self.schema = pa.schema(
            [self._stored(field) for field in schema() if field.name in expected]
        )

    @staticmethod
    def _stored(field: pa.Field) -> pa.Field:
        import pyarrow as pa

        word = field.name in ("said", "extra") or (
            field.name in BY_NAME
            and BY_NAME[field.name].kind in ("word", "words", "graded", "dated")
        )
        return pa.field(field.name, pa.dictionary(pa.int32(), pa.string())) if word else field

    def conform(self, table: pa.Table) -> pa.Table:
        """The table with exactly the columns of this batch."""
        import pyarrow as pa

        columns = []
        beside = set(table.column_names) - {"key", *self.schema.names}
        self.missing |= {name for name in beside if table.column(name).null_count < table.num_rows}
        for field in self.schema:
            if field.name not in table.column_names:
                columns.append(pa.nulls(table.num_rows, field.type))
                continue
            column = table.column(field.name)
            if pa.types.is_dictionary(field.type) and not pa.types.is_dictionary(column.type):
                column = (
                    column.combine_chunks().dictionary_encode()
                    if column.num_chunks
                    else pa.nulls(0, field.type)
                )
            columns.append(column if column.type == field.type else column.cast(field.type))
        return pa.table(columns, schema=self.schema)

    def write(self, table: pa.Table) -> None:
        import pyarrow as pa
        import pyarrow.parquet as pq

        if table.num_rows == 0:
            return
        self.rows += table.num_rows
        if self._out is None:
            return
        if self._writer is None:
            coded = [field.name for field in self.schema if pa.types.is_dictionary(field.type)]
            self._writer = pq.ParquetWriter(
                self._out,
                self.schema,
                compression="zstd",
                write_page_checksum=True,
                use_dictionary=coded,
                write_statistics=False,
            )
        self._writer.write_table(self.conform(table), row_group_size=1 << 20)

    def close(self) -> None:
        if self._writer is not None:
            self._writer.close()
