"""The record on disk: numbered immutable Parquet batches, and `record.json`, which says which of
them count.

An add is one new batch file, then one replacement of `record.json`: that rename is the moment at
which the add is true. A batch that `record.json` does not name is left over from a kill and counts
for nothing. `record.json` carries the SHA-256 of every batch, and its own:

    {"version": 2, "sha256": "SHA-256 of all lines below", "entries": [
    {"number": 1, …},
    {"number": 2, …}
    ]}

Order is the number of an entry, never a clock. An undo is an entry too, and can itself be undone.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, fields, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from pricing.basis.columns import BY_NAME
from pricing.basis.files import make_folder, read_bytes, sha256, write_bytes
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused

if TYPE_CHECKING:
    import pyarrow as pa

T = TypeVar("T")
VERSION = 2
_SMALL = 32_768  # bytes of a batch whose rows are kept in memory for the next reading
_HEAD = '{"version": %d, "sha256": "%s", "entries": [\n'
RESTORE = (
    "restore your last backup (pricing restore), or add your files again into a new home: the"
    " originals are in data/originals"
)


@dataclass(frozen=True)
class Entry:
    """One act on the record. kind: "add" or "undo" (of: the entry it takes back).

    file, sha256, first, rows: the batch file, and which of its rows are this entry's (a compacted
    file holds several).
    source: name and SHA-256 of the person's file. counts: rows seen by outcome. total: control
    total of prices as text. shape: fingerprint of the header. rejected: {name, sha256} of the rows
    set aside. day: the day it was done, for reading only.
    """

    number: int
    kind: str
    day: str = ""
    of: int = 0
    file: str = ""
    sha256: str = ""
    rows: int = 0
    source: Mapping[str, Any] = field(default_factory=dict)
    counts: Mapping[str, int] = field(default_factory=dict)
    total: str = "0.00"
    shape: str = ""
    rejected: Mapping[str, str] = field(default_factory=dict)
    units: int = 0
    first: int = 0


@dataclass(frozen=True)
class Ledger:
    """All entries in order of their numbers."""

    entries: tuple[Entry, ...] = ()

    @property
    def next_number(self) -> int:
        return self.entries[-1].number + 1 if self.entries else 1

    def undone(self) -> frozenset[int]:
        """Numbers of the entries that a later one takes back; an undo that is itself taken back
        takes nothing back."""
        cancelled: set[int] = set()
        for entry in reversed(self.entries):
            if entry.kind == "undo" and entry.number not in cancelled:
                cancelled.add(entry.of)
        return frozenset(cancelled)

    def counting(self) -> tuple[Entry, ...]:
        """The batches that count, oldest first."""
        undone = self.undone()
        return tuple(
            entry for entry in self.entries if entry.kind == "add" and entry.number not in undone
        )


def steadily(home: Home, read: Callable[[], T]) -> T:
    """What `read` gives of the batches that count; read once more where they were put together
    meanwhile. Nobody waits for a reader."""
    before = load(home).counting()
    try:
        return read()
    except Refused:
        if load(home).counting() == before:
            raise
        return read()


def record_file(home: Home) -> Path:
    return home.data / "record.json"


def batch_file(home: Home, entry: Entry) -> Path:
    return home.batches / entry.file


def load(home: Home) -> Ledger:
    """The entries of a record, checked; an empty ledger where there is no record yet. Raises
    Refused naming the file where it is damaged."""
    path = record_file(home)
    if not path.exists():
        strays = sorted(home.batches.glob("[0-9]*.parquet")) if home.batches.is_dir() else []
        if strays:
            raise Refused(
                Problem(
                    f"this file is missing: {path.name} says which batches count",
                    RESTORE,
                    file=str(path),
                )
            )
        return Ledger()
    return parse(read_bytes(path), str(path))


def parse(data: bytes, name: str) -> Ledger:
    """Entries from the bytes of `record.json`. Raises Refused where a single bit is not as it was
    written."""
    found = _parsed(data)
    if isinstance(found, Problem):
        raise Refused(replace(found, file=name))
    return found


@lru_cache(
    maxsize=2
    # one press on the page reads the same bytes several times, and after thousands of presses they
    # are
    # a megabyte
)
def _parsed(data: bytes) -> Ledger | Problem:
    try:
        if data.startswith(b"{\n"):
            return _first_form(data)
        head, _, rest = data.partition(b"\n")
        found = re.fullmatch(
            rb'\{"version": (\d{1,9}), "sha256": "([0-9a-f]{64})", "entries": \[', head
        )
        if found is None or sha256(rest) != found[2].decode():
            return Problem("this file is damaged: it is not as it was written", RESTORE)
        if int(found[1]) != VERSION:
            return Problem(
                f"this record was written by a newer program (form {int(found[1])}, mine is"
                f" {VERSION})",
                "update pricing",
            )
        return Ledger(
            tuple(Entry(**entry) for entry in json.loads(b"[" + rest.removesuffix(b"}\n")))
        )
    except (ValueError, KeyError, TypeError, RecursionError):
        return Problem("this file is damaged: it cannot be read", RESTORE)


def _first_form(data: bytes) -> Ledger | Problem:
    """Version 1, one word a line: read, never written any more."""
    table = json.loads(data)
    body, digest = table["body"], table["sha256"]
    as_written = (
        json.dumps(
            {"version": 1, "sha256": digest, "body": body}, sort_keys=True, indent=0
        ).encode()
        + b"\n"
    )
    if (
        data != as_written
        or sha256(json.dumps(body, sort_keys=True, separators=(",", ":")).encode()) != digest
    ):
        return Problem("this file is damaged: it is not as it was written", RESTORE)
    return Ledger(tuple(Entry(**entry) for entry in body["entries"]))


def save(home: Home, ledger: Ledger) -> None:
    """Replace `record.json`; from this rename on the new entries are true. Under the lock only."""
    names = [one.name for one in fields(Entry)]
    lines = ",\n".join(
        json.dumps({name: getattr(entry, name) for name in names}, default=dict)
        for entry in ledger.entries
    )
    rest = f"{lines}\n]}}\n".encode()
    write_bytes(record_file(home), (_HEAD % (VERSION, sha256(rest))).encode() + rest)


def content_hash(home: Home) -> str:
    """SHA-256 over the batches that count, in order, without reading a batch."""
    return content_of(load(home).counting())


def content_of(entries: Iterable[Entry]) -> str:
    """The same of entries at hand."""
    return sha256("\n".join(f"{entry.sha256} {entry.first}" for entry in entries).encode())


def append(home: Home, ledger: Ledger, entry: Entry, batch: bytes | None) -> Ledger:
    """Write a batch under its number, then make it count. Under the lock only. Returns the new
    ledger."""
    begin(home, ledger)
    if batch is not None:
        make_folder(home.batches)
        path = home.batches / f"{entry.number:06d}.parquet"
        clear_leftovers(home, ledger)
        write_bytes(path, batch, replace=False)
        entry = replace(entry, file=path.name, sha256=sha256(batch))
    ledger = Ledger((*ledger.entries, entry))
    save(home, ledger)
    return ledger


def begin(home: Home, ledger: Ledger) -> None:
    """Write `record.json` where there is none, so that from now on a missing one is damage, never a
    fresh home. Under the lock only."""
    if not record_file(home).exists():
        save(home, ledger)


def append_written(home: Home, ledger: Ledger, entry: Entry) -> Ledger:
    """Make a batch count that was written under its number already. Under the lock only."""
    ledger = Ledger((*ledger.entries, entry))
    save(home, ledger)
    return ledger


def clear_leftovers(home: Home, ledger: Ledger) -> None:
    """Remove what a killed writer left: batches that no entry names, and temporary files. Under the
    lock only."""
    named = {entry.file for entry in ledger.entries}
    for path in leftovers(home):
        if path.name not in named:
            path.unlink(missing_ok=True)


def leftovers(home: Home) -> list[Path]:
    """Batch files that no entry names, and temporary files of writers."""
    if not home.batches.is_dir():
        return []
    named = {entry.file for entry in load(home).entries}
    found = [path for path in home.batches.iterdir() if path.name not in named]
    return [
        path
        for path in found
        if path.name.endswith(".tmp")
        or (path.suffix == ".parquet" and path.stem.replace("-", "").isdigit())
    ]


def schema() -> pa.Schema:
    """The columns of a batch: every column of a unit with its exact type, then what says where the
    row came from."""
    import pyarrow as pa

    kinds = {"number": pa.float64(), "money": pa.decimal128(12, 2), "date": pa.date32()}
    fields = [
        pa.field(name, kinds.get(column.kind, pa.string())) for name, column in BY_NAME.items()
    ]
    return pa.schema(
        [
            *fields,
            pa.field("extra", pa.string()),
            pa.field("said", pa.string()),
            pa.field("line", pa.int32()),
            pa.field("key", pa.string()),
        ]
    )


def in_schema(table: pa.Table) -> pa.Table:
    """The columns of the record, words as plain text; what the table lacks is blank."""
    import pyarrow as pa

    columns = [
        (
            table.column(one.name).cast(one.type)
            if one.name in table.column_names
            else pa.nulls(table.num_rows, one.type)
        )
        for one in schema()
    ]
    return pa.table(columns, schema=schema())


def batch_bytes(table: pa.Table) -> bytes:
    """A batch as Parquet bytes with a checksum on every page; columns that are blank throughout are
    left away."""
    import pyarrow.parquet as pq
    from pyarrow import BufferOutputStream

    kept = [
        name
        for name in table.column_names
        if name in ("key", "line") or table.column(name).null_count < table.num_rows
    ]
    sink = BufferOutputStream()
    pq.write_table(
        table.select(kept),
        sink,
        compression="zstd",
        write_page_checksum=True,
        row_group_size=131_072,
    )
    return bytes(sink.getvalue().to_pybytes())


def read_runs(home: Home, entries: Iterable[Entry]) -> Iterator[tuple[list[Entry], pa.Table]]:
    """The rows of entries with all columns of the schema, run by run; a file that several share is
    opened and checked once.

    Raises Refused naming the file where one is missing or damaged.
    """
    file, whole = None, None
    for run in runs_of(entries):
        first, rows = run[0], sum(entry.rows for entry in run)
        if whole is None or file != (first.file, first.sha256):
            file, whole = (first.file, first.sha256), _whole(home, first)
        table = whole.slice(first.first, rows)
        if table.num_rows != rows:
            raise Refused(
                Problem(
                    "this batch does not hold the rows that were written",
                    RESTORE,
                    file=str(batch_file(home, first)),
                )
            )
        yield run, table


def _whole(home: Home, entry: Entry) -> pa.Table:
    """All rows of a file with all columns of the schema."""
    import pyarrow as pa

    data = batch_bytes_checked(home, entry)
    try:
        return _small_rows(data) if len(data) <= _SMALL else _rows(data)
    except (pa.ArrowException, OSError) as error:
        raise Refused(
            Problem("this batch cannot be read", RESTORE, file=str(batch_file(home, entry)))
        ) from error


@lru_cache(
    maxsize=64
    # dozens of presses on the page, each read again by the next one: their bytes are checked each
    # time,
    # and decoded once
)
def _small_rows(data: bytes) -> pa.Table:
    return _rows(data)


def _rows(data: bytes) -> pa.Table:
    import pyarrow as pa
    import pyarrow.parquet as pq

    table = pq.ParquetFile(pa.BufferReader(data), page_checksum_verification=True).read()
    if "key" not in table.column_names:  # every row has a number of its own
        table = table.append_column("key", table.column("unit"))
    return in_schema(table)


def runs_of(entries: Iterable[Entry]) -> list[list[Entry]]:
    """Neighbours whose rows stand one after the other in one file."""
    runs: list[list[Entry]] = []
    for entry in entries:
        last = runs[-1][-1] if runs else None
        if last is not None and (entry.file, entry.sha256, entry.first) == (
            last.file,
            last.sha256,
            last.first + last.rows,
        ):
            runs[-1].append(entry)
        else:
            runs.append([entry])
    return runs


def batch_bytes_checked(home: Home, entry: Entry) -> bytes:
    """The bytes of a batch file, as they were written. Raises Refused naming the file where it is
    missing or damaged."""
    path = batch_file(home, entry)
    if not path.exists():
        raise Refused(Problem("this batch of the record is missing", RESTORE, file=str(path)))
    data = read_bytes(path)
    if sha256(data) != entry.sha256:
        raise Refused(
            Problem(
                "this batch of the record is damaged: it is not as it was written",
                RESTORE,
                file=str(path),
            )
        )
    return data
