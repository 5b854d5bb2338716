"""Rows put aside until a whole file is read, parted by the hash of their key, outside memory where
they are many."""

from __future__ import annotations

from typing import IO, TYPE_CHECKING

from pricing.ledger.known import by_part, part_of

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

_BITS = 5
PARTS = 1 << _BITS
_TOGETHER = 16_384  # rows parted at a time


class Pile:
    """Tables of one schema in a scratch file. All rows of a key are in one part, in the order in
    which they were put. Few rows stay in memory."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self._chunks: list[list[tuple[int, int]]] = [[] for _ in range(PARTS)]
        self._held: list[tuple[pa.Table, np.ndarray]] = []
        self._n_held = 0
        self.rows = 0

    def put(self, table: pa.Table, codes: np.ndarray) -> None:
        """codes: hashes of the keys of the rows."""
        self.rows += table.num_rows
        self._held.append((table, codes))
        self._n_held += table.num_rows
        if self._n_held >= _TOGETHER:
            self._flush()

    def _flush(self) -> None:
        import pyarrow as pa

        table, codes = self._together()
        for part, mine in by_part(codes, _BITS):
            sink = pa.BufferOutputStream()
            with pa.ipc.new_stream(
                sink, table.schema, options=pa.ipc.IpcWriteOptions(compression="lz4")
            ) as out:
                out.write_table(table.take(pa.array(mine)))
            data = sink.getvalue()
            self._chunks[part].append((self._file.seek(0, 2), data.size))
            self._file.write(memoryview(data))
        self._held, self._n_held = [], 0

    def _together(self) -> tuple[pa.Table, np.ndarray]:
        import numpy as np
        import pyarrow as pa

        return pa.concat_tables(
            [table for table, _ in self._held]
        ).combine_chunks(), np.concatenate([codes for _, codes in self._held])

    def part(self, number: int) -> pa.Table | None:
        """The rows of one part, or None where there are none."""
        import numpy as np
        import pyarrow as pa

        tables = []
        for start, size in self._chunks[number]:
            self._file.seek(start)
            tables.append(pa.ipc.open_stream(self._file.read(size)).read_all())
        if self._held:
            table, codes = self._together()
            self._held = [(table, codes)]
            mine = np.flatnonzero(part_of(codes, _BITS) == number)
            tables += [table.take(pa.array(mine))] if len(mine) else []
        return pa.concat_tables(tables).combine_chunks() if tables else None
