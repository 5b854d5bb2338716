"""The record block by block, so that its length does not matter: its rows in order, and which of
them a later row of the same unit replaced."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.ledger.batches import RESTORE, Entry, batch_file, in_schema, runs_of, schema
from pricing.ledger.stream import hashes

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

ROWS = 65_536  # of a block
BUCKET = 12_000_000  # rows whose hashes are looked at together: 32 bytes each


@frozen
class Block:
    """Neighbouring rows of one entry's file. first: place of the first of them among all rows of
    the entries asked for."""

    table: pa.Table
    first: int
    entry: Entry


def check(home: Home, entries: Sequence[Entry]) -> None:
    """Read every batch once and compare it with its SHA-256, in memory that does not grow. Raises
    Refused naming the file that is damaged or missing."""
    for entry in {entry.file: entry for entry in entries}.values():
        path = batch_file(home, entry)
        try:
            with path.open("rb") as handle:
                digest = hashlib.file_digest(handle, "sha256")
        except FileNotFoundError as error:
            raise Refused(
                Problem("this batch of the record is missing", RESTORE, file=str(path))
            ) from error
        except OSError as error:
            raise Refused(
                Problem(
                    f"this file cannot be read: {error.strerror or error}",
                    "check the disk, or copy the file elsewhere",
                    file=str(path),
                )
            ) from error
        if digest.hexdigest() != entry.sha256:
            raise Refused(
                Problem(
                    "this batch of the record is damaged: it is not as it was written",
                    RESTORE,
                    file=str(path),
                )
            )


def blocks(
    home: Home,
    entries: Sequence[Entry],
    columns: Sequence[str] | None = None,
    rows: int = ROWS,
    near: np.ndarray | None = None,
    by_entry: bool = True,
) -> Iterator[Block]:
    """The rows of entries, oldest first, in blocks of at most `rows`; columns: which of the
    schema's (None: all).

    near: places, in order; files and row groups that hold none of them are passed over. by_entry:
    False lets a block hold rows of several neighbouring entries, of which it names the first. A
    file that neighbours share is opened once.
    The files are taken as they are: call `check` first. A page that cannot be read raises Refused
    naming its file.
    """
    import numpy as np

    place = 0
    for shared in _sharing(entries):
        parts = [[entry] for entry in shared] if by_entry else runs_of(shared)
        first, n_rows = (
            np.array([part[0].first for part in parts]),
            np.array([sum(entry.rows for entry in part) for part in parts]),
        )
        begin, wanted = place + np.cumsum(n_rows) - n_rows, None
        place += int(n_rows.sum())
        if near is not None:
            some = near[np.searchsorted(near, begin[0]) : np.searchsorted(near, place)]
            part_of = np.searchsorted(begin, some, side="right") - 1
            wanted = some - begin[part_of] + first[part_of]
        for table, start in (
            _of_file(home, shared, columns, rows, wanted) if wanted is None or len(wanted) else ()
        ):
            end = start + table.num_rows
            for i in range(
                int(np.searchsorted(first + n_rows, start, side="right")),
                int(np.searchsorted(first, end)),
            ):
                low, high = max(start, int(first[i])), min(end, int(first[i] + n_rows[i]))
                if low < high:
                    yield Block(
                        table.slice(low - start, high - low),
                        int(begin[i]) + low - int(first[i]),
                        parts[i][0],
                    )


def _sharing(entries: Sequence[Entry]) -> list[list[Entry]]:
    """Neighbours whose rows stand one after the other in one file, be there others' between them or
    not."""
    found: list[list[Entry]] = []
    for entry in entries:
        last = found[-1][-1] if found else None
        if (
            last is not None
            and (entry.file, entry.sha256) == (last.file, last.sha256)
            and entry.first >= last.first + last.rows
        ):
            found[-1].append(entry)
        else:
            found.append([entry])
    return found


def stored_columns(home: Home, entries: Sequence[Entry]) -> set[str]:
    """The columns that at least one of the entries' files has; the others are blank throughout."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    found: set[str] = set()
    for path in {batch_file(home, entry) for entry in entries}:
        try:
            found |= set(pq.read_schema(path).names)
        except (pa.ArrowException, OSError) as error:
            raise Refused(Problem("this batch cannot be read", RESTORE, file=str(path))) from error
    return found


def _of_file(
    home: Home,
    shared: Sequence[Entry],
    columns: Sequence[str] | None,
    rows: int,
    near: np.ndarray | None,
) -> Iterator[tuple[pa.Table, int]]:
    """Blocks of the rows that entries have in the file they share, with the columns asked for, and
    where in the file each begins. near: rows of the file."""
    import numpy as np
    import pyarrow as pa
    import pyarrow.parquet as pq

    path = str(batch_file(home, shared[0]))
    kinds = {field.name: field.type for field in schema()}
    wanted = list(kinds) if columns is None else list(columns)
    first, end = shared[0].first, shared[-1].first + shared[-1].rows
    try:
        with pq.ParquetFile(
            path, page_checksum_verification=True, pre_buffer=False, buffer_size=1 << 20
        ) as file:
            stored = set(file.schema_arrow.names)
            stands_for = (
                "unit" if "key" not in stored else "key"
            )  # without a key every row has a number of its own
            read = [
                name
                for name in dict.fromkeys(stands_for if name == "key" else name for name in wanted)
                if name in stored
            ]
            starts, n_stored = [], 0
            for group in range(file.num_row_groups):
                starts.append(n_stored)
                n_stored += file.metadata.row_group(group).num_rows
            if n_stored < end:
                raise Refused(
                    Problem(
                        "this batch does not hold the rows that were written", RESTORE, file=path
                    )
                )
            groups = [
                g
                for g, start in enumerate(starts)
                if start < end and start + file.metadata.row_group(g).num_rows > first
            ]
            if near is not None:
                groups = np.unique(np.searchsorted(starts, near, side="right") - 1).tolist()
            for neighbours in _neighbours(groups):
                start = starts[neighbours[0]]
                for batch in file.iter_batches(
                    batch_size=rows, row_groups=neighbours, columns=read
                ):
                    low, high = max(first, start), min(end, start + batch.num_rows)
                    if low < high:
                        yield (
                            _conformed(
                                pa.Table.from_batches([batch]).slice(low - start, high - low),
                                wanted,
                                kinds,
                                stands_for,
                            ),
                            low,
                        )
                    start += batch.num_rows
    except (pa.ArrowException, OSError) as error:
        raise Refused(Problem("this batch cannot be read", RESTORE, file=path)) from error


def _neighbours(numbers: Sequence[int]) -> list[list[int]]:
    """Numbers in order, parted where one is left out."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return runs


def places(
    home: Home, entries: Sequence[Entry], mine: Callable[[pa.Array], np.ndarray]
) -> np.ndarray:
    """Places of the rows whose key is asked for, in order, shape (m,) int64. mine: which of some
    keys are (plain text -> bool); only keys are read."""
    import numpy as np

    found = [
        np.flatnonzero(mine(plain(block.table.column("key")))) + block.first
        for block in blocks(home, entries, ["key"], by_entry=False)
    ]
    return np.concatenate(found) if found else np.zeros(0, dtype=np.int64)


def at(
    home: Home, entries: Sequence[Entry], where: np.ndarray, columns: Sequence[str] | None = None
) -> Iterator[Block]:
    """The rows at some places, which are in order, block by block; `first` is the place of the
    block that they were taken from."""
    import numpy as np
    import pyarrow as pa

    for block in blocks(home, entries, columns, near=where):
        low, high = np.searchsorted(where, (block.first, block.first + block.table.num_rows))
        if low < high:
            yield Block(
                block.table.take(pa.array(where[low:high] - block.first)), block.first, block.entry
            )


def rows_of(
    home: Home, entries: Sequence[Entry], mine: Callable[[pa.Array], np.ndarray]
) -> pa.Table:
    """Every row of the units asked for, oldest first, with "file" and "batch" as
    `current.read_entries` gives them. mine: as for `places`.

    Call `check` first. Memory holds the rows found and one block.
    """
    import pyarrow as pa

    found = [with_source(block) for block in at(home, entries, places(home, entries, mine))]
    return (
        pa.concat_tables(found).unify_dictionaries()
        if found
        else with_source(Block(schema().empty_table(), 0, Entry(0, "add")))
    )


def with_source(block: Block) -> pa.Table:
    """The rows of a block with the name of the person's file and the number of their entry."""
    import pyarrow as pa

    table = in_schema(block.table)
    name = pa.DictionaryArray.from_arrays(
        pa.repeat(pa.scalar(0, pa.int32()), table.num_rows),
        pa.array([str(block.entry.source.get("name", ""))], pa.string()),
    )
    return table.append_column("file", name).append_column(
        "batch", pa.repeat(pa.scalar(block.entry.number, pa.int32()), table.num_rows)
    )


def keys_of(home: Home, entries: Sequence[Entry]) -> Iterator[pa.Array]:
    """The keys of all rows, in order, block by block. Call `check` first."""
    return (
        plain(block.table.column("key")) for block in blocks(home, entries, ["key"], by_entry=False)
    )


def _conformed(
    table: pa.Table, wanted: Sequence[str], kinds: dict[str, Any], stands_for: str
) -> pa.Table:
    """Exactly the columns wanted, words as plain or coded text, the others in the types of the
    record."""
    import pyarrow as pa

    arrays = []
    for name in wanted:
        source = stands_for if name == "key" else name
        if source not in table.column_names:
            arrays.append(pa.nulls(table.num_rows, kinds[name]))
            continue
        column = table.column(source)
        arrays.append(
            column
            if pa.types.is_dictionary(column.type) or column.type == kinds[name]
            else column.cast(kinds[name])
        )
    return pa.table(arrays, names=list(wanted))


def replaced(home: Home, entries: Sequence[Entry], bucket: int = BUCKET) -> np.ndarray:
    """Places of the rows that a later row of the same key replaces, in order, shape (m,) int64.

    Keys are hashed and looked at by hash, at most about `bucket` rows at a time: one pass over the
    key column for each bucket. Equal
    hashes are only a reason to look: the keys themselves decide. Memory O(bucket + m), time
    O(rows^2 / bucket), of which one pass over ten million keys takes two seconds.
    """
    import numpy as np

    total = sum(entry.rows for entry in entries)
    n_buckets = max(-(-total // bucket), 1)
    found = [_replaced_in(home, entries, n_buckets, number) for number in range(n_buckets)]
    return np.sort(np.concatenate(found)) if found else np.zeros(0, dtype=np.int64)


def _replaced_in(home: Home, entries: Sequence[Entry], n_buckets: int, number: int) -> np.ndarray:
    """`replaced` among the keys whose hash falls into one bucket."""
    import numpy as np
    import pyarrow as pa

    codes, places = [], []
    for block in blocks(home, entries, ["key"], by_entry=False):
        code = hashes(plain(block.table.column("key")))
        mine = (
            np.flatnonzero((code >> np.uint64(32)) % np.uint64(n_buckets) == number)
            if n_buckets > 1
            else np.arange(len(code))
        )
        codes.append(code[mine])
        places.append(mine + block.first)
    if not codes:
        return np.zeros(0, dtype=np.int64)
    code, place = np.concatenate(codes), np.concatenate(places)
    del codes, places
    order = np.argsort(code, kind="stable")
    code = code[order]
    twin = np.zeros(len(code), dtype=bool)
    twin[1:] = code[1:] == code[:-1]
    twin[:-1] |= twin[1:]
    suspects = np.sort(place[order[twin]])
    if not len(suspects):
        return suspects
    keys = pa.chunked_array(
        [plain(block.table.column("key")) for block in at(home, entries, suspects, ["key"])],
        pa.string(),
    )
    table = pa.table({"key": keys, "place": suspects})
    last = table.group_by("key").aggregate([("place", "max")]).column("place_max").to_numpy()
    return np.setdiff1d(suspects, last, assume_unique=True)


def plain(column: pa.ChunkedArray) -> pa.Array:
    """One array of plain text."""
    import pyarrow as pa

    array = column.combine_chunks()
    return array.cast(pa.string()) if pa.types.is_dictionary(array.type) else array


def current(
    home: Home,
    entries: Sequence[Entry],
    columns: Sequence[str] | None = None,
    gone: np.ndarray | None = None,
) -> Iterator[Block]:
    """The record as it stands, one row a unit, block by block in the order in which units were last
    written. gone: `replaced`, where it is at hand."""
    import numpy as np
    import pyarrow as pa

    gone = replaced(home, entries) if gone is None else gone
    for block in blocks(home, entries, columns):
        low, high = np.searchsorted(gone, (block.first, block.first + block.table.num_rows))
        if low == high:
            yield block
            continue
        keep = np.ones(block.table.num_rows, dtype=bool)
        keep[gone[low:high] - block.first] = False
        if keep.any():
            yield Block(block.table.filter(pa.array(keep)), block.first, block.entry)


def together(tables: Iterable[pa.Table], rows: int = ROWS) -> Iterator[list[pa.Table]]:
    """Small tables together, about `rows` rows at a time."""
    held: list[pa.Table] = []
    n_rows = 0
    for table in tables:
        held.append(table)
        n_rows += table.num_rows
        if n_rows >= rows:
            yield held
            held, n_rows = [], 0
    if held:
        yield held
