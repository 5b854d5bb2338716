"""The record as it stands as a Parquet data set by month of sale: what a long fit reads, here or on
a cluster. A folder `month=2026-03` for each month and `month=none` for units not sold, one row a
unit, in the order last written. `_dataset.json` lists the files with their SHA-256 and rows."""

from __future__ import annotations

import hashlib
import json
import shutil
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any

from pricing.basis.columns import BY_NAME
from pricing.basis.files import Writing, make_folder, sha256, write_bytes, writing
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.late import np, pa, pc, pq
from pricing.basis.problems import Problem, Refused, refused
from pricing.record.current import schema, tables
from pricing.record.store import CELLS, reading

VERSION = 1
LISTING = "_dataset.json"  # other readers of Parquet folders pass over names that begin so
ROWS = 65_536  # of a part: what is in memory at a time
HELD = 500_000  # rows sorted into months together
UNIQUE = ("unit", "serial", "note", "extra")  # columns whose texts hardly repeat
MOST_MONTHS = 400  # files written at once; the oldest months beyond go together
UNSOLD, EARLIER = "none", "earlier"
_ANEW = "make it anew: pricing fit does so for your own record, export --by-month for another"


@frozen
class File:
    """One file of a data set. path: from its folder, with "/"; groups: rows of each row group."""

    path: str
    sha256: str
    size: int
    groups: tuple[int, ...]

    @property
    def rows(self) -> int:
        return sum(self.groups)


@frozen
class DataSet:
    """A data set in a folder or at an address. content: identifies the record it was made of."""

    where: str
    content: str
    columns: tuple[str, ...]
    files: tuple[File, ...]

    @property
    def rows(self) -> int:
        return sum(file.rows for file in self.files)


@frozen
class Part:
    """Neighbouring row groups of at most about ROWS rows: the same parts in the same order wherever
    they are read. pieces: file, first row group and the one after the last."""

    where: str
    pieces: tuple[tuple[File, int, int], ...]


def parts(found: DataSet, unsold: bool | None = None) -> list[Part]:
    """The parts of a data set in fixed order. unsold: only of units not sold, or only of sales."""
    out: list[Part] = []
    pieces: list[tuple[File, int, int]] = []
    rows = 0
    for file in found.files:
        if unsold is not None and unsold != file.path.startswith(f"month={UNSOLD}/"):
            continue
        first = 0
        for group, size in enumerate(file.groups):
            if rows and rows + size > ROWS:
                if group > first:
                    pieces.append((file, first, group))
                out.append(Part(found.where, tuple(pieces)))
                pieces, rows, first = [], 0, group
            rows += size
        if first < len(file.groups):
            pieces.append((file, first, len(file.groups)))
    return [*out, Part(found.where, tuple(pieces))] if pieces else out


# ---- making one


def make(home: Home, folder: Path, content: str, columns: Sequence[str] | None = None) -> DataSet:
    """Write the record into a folder that is empty or not there, in one stream. columns: which
    (None: all); those that are blank throughout are left away. Memory: HELD rows. Raises Refused
    where the record is damaged or the folder cannot be written; an unfinished one has no
    `_dataset.json`."""
    with reading(home) as db, ExitStack() as stack:
        filled, known = _looked_through(db)
        wanted = [name for name in (*BY_NAME, "extra") if name in filled]
        if columns is not None:
            wanted = [name for name in columns if name in filled]
        files: dict[str, _MonthFile] = {}
        for held in _held(tables(db, home)):
            for month, table in _by_month(held, known):
                if month not in files:
                    path = f"month={month}/part-0.parquet"
                    out = stack.enter_context(writing(folder / path))
                    files[month] = _MonthFile(path, out, wanted)
                files[month].write(table.select(wanted))
        listed = tuple(files[month].close() for month in sorted(files))
    found = DataSet(str(folder), content, tuple(wanted), listed)
    write_bytes(folder / LISTING, _listing_bytes(found))
    return found


def _held(stream: Iterator[pa.Table]) -> Iterator[pa.Table]:
    """Tables put together, HELD rows at a time, words coded."""
    held: list[pa.Table] = []
    for table in stream:
        held.append(_coded(table))
        if sum(one.num_rows for one in held) >= HELD:
            yield pa.concat_tables(held).unify_dictionaries().combine_chunks()
            held = []
    if held:
        yield pa.concat_tables(held).unify_dictionaries().combine_chunks()


def _looked_through(db: sqlite3.Connection) -> tuple[set[str], frozenset[int] | None]:
    """(columns that any row holds, months that get a folder of their own, or None)."""
    names = [*CELLS, "extra"]
    asked = ", ".join(f'max("{name}" is not null)' for name in names)
    there = db.execute(f"select {asked} from state").fetchone()
    filled = {"unit", *(name for name, yes in zip(names, there, strict=True) if yes)}
    sold = "select distinct substr(sold, 1, 7) from state where sold is not null"
    months = [12 * int(month[:4]) + int(month[5:]) - 1 for (month,) in db.execute(sold)]
    most = min(MOST_MONTHS, _open_files() - 60)
    return filled, None if len(months) <= most else frozenset(sorted(months)[-most + 2 :]) | {0}


def _coded(table: pa.Table) -> pa.Table:
    """Words as codes into a list of words, where many rows share them; all else as it is."""

    def coded(name: str, column: pa.ChunkedArray) -> pa.ChunkedArray:
        if name in UNIQUE:
            words = pa.types.is_dictionary(column.type)
            return column.cast(pa.string()) if words else column
        return column.dictionary_encode() if pa.types.is_string(column.type) else column

    names = table.column_names
    columns = [coded(name, one) for name, one in zip(names, table.columns, strict=True)]
    return pa.table(columns, names=names)


class _MonthFile:
    """One month's file in the making: each piece written is one row group or more."""

    def __init__(self, path: str, out: Writing, columns: Sequence[str]) -> None:
        kinds = {field.name: field.type for field in schema()}
        self.path, self.out, self.groups = path, out, list[int]()
        words = [name for name in columns if pa.types.is_string(kinds[name]) and name not in UNIQUE]
        coded = dict.fromkeys(words, pa.dictionary(pa.int32(), pa.string()))
        self.schema = pa.schema([pa.field(name, (kinds | coded)[name]) for name in columns])
        told = {"compression": "zstd", "write_page_checksum": True, "write_statistics": False}
        self.writer = pq.ParquetWriter(out, self.schema, use_dictionary=words, **told)

    def write(self, table: pa.Table) -> None:
        self.writer.write_table(table.cast(self.schema), row_group_size=ROWS)
        n = table.num_rows
        self.groups += [min(ROWS, n - start) for start in range(0, n, ROWS)]

    def close(self) -> File:
        self.writer.close()
        return File(self.path, self.out.digest, self.out.size, tuple(self.groups))


def _open_files() -> int:
    """How many files this process may hold open; raised to what the system grants."""
    try:
        import resource
    except ImportError:  # Windows: no such limit in reach
        return 512
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = 1024 if hard == resource.RLIM_INFINITY else min(hard, 1024)
    if soft < wanted:
        resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
        soft = wanted
    return int(soft)


def _month_numbers(table: pa.Table) -> Any:
    """12 year + month - 1 of the day sold, 0 where there is none, shape (n,) int64."""
    sold = table.column("sold").combine_chunks()
    days = sold.cast("int32").fill_null(0).to_numpy(zero_copy_only=False)
    months = days.astype("datetime64[D]").astype("datetime64[M]").astype(np.int64)
    return np.where(pc.is_valid(sold).to_numpy(zero_copy_only=False), months + 1970 * 12, 0)


def _by_month(table: pa.Table, known: frozenset[int] | None) -> Iterator[tuple[str, pa.Table]]:
    """The rows of each month in their order."""
    months = _month_numbers(table)
    if known is not None:
        months = np.where(np.isin(months, list(known)), months, 1)
    if not table.num_rows:
        return
    order = np.argsort(months, kind="stable")
    numbers, starts = np.unique(months[order], return_index=True)
    named = {0: UNSOLD, 1: EARLIER}
    for number, rows in zip(numbers.tolist(), np.split(order, starts[1:]), strict=True):
        name = named.get(number, f"{number // 12:04d}-{number % 12 + 1:02d}")
        yield name, table.take(pa.array(rows))


def _sealed(body: object) -> str:
    return sha256(json.dumps(body, sort_keys=True, separators=(",", ":")).encode())


def _listing_bytes(found: DataSet) -> bytes:
    files = [vars(file) for file in found.files]
    body = {"content": found.content, "columns": list(found.columns), "files": files}
    told = {"version": VERSION, "sha256": _sealed(body), "body": body}
    return json.dumps(told, sort_keys=True, indent=0).encode() + b"\n"


# ---- the one of a home


def folder_of(home: Home) -> Path:
    return home.data / "by-month"


def of_home(home: Home, content: str) -> DataSet:
    """The data set of a home's record: the one that is there where it is whole and was made of this
    very record, else a new one in its place."""
    whole = folder_of(home) / content[:16]
    try:
        found = read_listing(str(whole))
        damaged = any(check_file(found.where, file) for file in found.files)
        if found.content == content and not damaged:
            return found
    except Refused:
        pass
    if folder_of(home).is_dir():  # of an older record, or unfinished
        shutil.rmtree(folder_of(home), ignore_errors=True)
    make_folder(folder_of(home))
    return make(home, whole, content)


def stored(home: Home) -> Iterator[tuple[Path, list[Problem]]]:
    """Every file of the home's data sets, with what is wrong with it."""
    for listing in sorted(folder_of(home).glob(f"*/{LISTING}")):
        try:
            found = read_listing(str(listing.parent))
        except Refused as refused:
            yield listing, list(refused.problems)
            continue
        yield listing, []
        for file in found.files:
            yield listing.parent / file.path, check_file(found.where, file)


# ---- reading


def read_listing(where: str) -> DataSet:
    """The data set in a folder or at an address. Raises Refused where none can be read."""
    place = f"{where.rstrip('/')}/{LISTING}"
    data = _bytes_of(place)
    try:
        table = json.loads(data)
        body, form = table["body"], table["version"]
        if form != VERSION:
            what = f"this data set was written by another program (form {form}, mine is {VERSION})"
            raise refused(what, "update pricing on both sides", file=place)
        if _sealed(body) != table["sha256"]:
            raise ValueError("seal")
        files = tuple(_file_of(**one) for one in body["files"])
        return DataSet(where.rstrip("/"), str(body["content"]), tuple(body["columns"]), files)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise refused("this list of the data set's files is damaged", _ANEW, file=place) from error


def _file_of(path: str, sha256: str, size: int, groups: list[int]) -> File:
    return File(str(path), str(sha256), int(size), tuple(map(int, groups)))


def check_file(where: str, file: File) -> list[Problem]:
    """Whether a file is as it was written, by its SHA-256: what is wrong, or nothing."""
    place = f"{where}/{file.path}"
    try:
        with _opened(place) as handle:
            digest = hashlib.file_digest(handle, "sha256")
    except Refused as refused:
        return list(refused.problems)
    what = "this file of the data set is damaged: it is not as it was written"
    return [Problem(what, _ANEW, place)] if digest.hexdigest() != file.sha256 else []


def read_part(part: Part, columns: Iterable[str]) -> pa.Table:
    """The rows of a part with those columns that it has. Raises Refused where a file is damaged."""
    names = list(columns)
    tables = [_read_piece(part.where, *piece, names) for piece in part.pieces]
    return tables[0] if len(tables) == 1 else pa.concat_tables(tables).unify_dictionaries()


def _read_piece(where: str, file: File, first: int, end: int, columns: Sequence[str]) -> pa.Table:
    place, groups = f"{where}/{file.path}", list(range(first, end))
    damaged = "this file of the data set is damaged"
    try:
        with (
            _opened(place) as handle,
            pq.ParquetFile(handle, page_checksum_verification=True) as stored,
        ):
            names = set(stored.schema_arrow.names)
            table = stored.read_row_groups(groups, columns=[x for x in columns if x in names])
    except (pa.ArrowException, OSError) as error:
        raise refused(damaged, _ANEW, file=place) from error
    if table.num_rows != sum(file.groups[first:end]):
        damaged = "this file of the data set does not hold the rows that were written"
        raise refused(damaged, _ANEW, file=place)
    return table


def _bytes_of(place: str) -> bytes:
    with _opened(place) as handle:
        return handle.read()


_STORAGE = ("botocore", "aiobotocore", "gcsfs", "google", "azure", "adlfs", "aiohttp", "s3fs",
            "fsspec")  # fmt: skip
# What a file that cannot be opened is told as, the closest kind of failure first.
_NOT_OPENED: tuple[tuple[type[Exception], str, str], ...] = (
    (FileNotFoundError, "there is no such file",
        "check the folder's name; on a cluster every worker must see it under the same name"),
    (PermissionError, "you are not allowed to read this",
        "ask its owner for the right to read, or check the key that this machine uses"),
    (ImportError, "this kind of address needs a library that is not here: {}",
        "install it on this machine and on every worker"),
    (ValueError, "this address cannot be read: {}",
        "name a folder, or an address like s3://bucket/folder"),
    (OSError, "this cannot be read: {}", "check the address, the network and the right to read"),
)  # fmt: skip


def _opened(place: str) -> Any:
    """A file in a folder or at an address, opened for reading. Raises Refused in one sentence."""
    try:
        if "://" not in place:
            return Path(place).open("rb")
        import fsspec

        return fsspec.open(place, "rb").open()
    except Exception as error:
        found = next((said for kind, *said in _NOT_OPENED if isinstance(error, kind)), None)
        # libraries of storage services raise kinds of their own
        if found is None and not type(error).__module__.startswith(_STORAGE):
            raise
        what, fix = found or _NOT_OPENED[-1][1:]
        raise refused(what.format(error), fix, file=place) from error
