"""The record as it stands: one row a unit, in the order in which units were last written; and the
same as the models read it.

Everything is read in the order in which it was written, and each row is checked by its checksum: a
record that rotted is named, never answered from.
"""

from __future__ import annotations

import gc
import json
import sqlite3
from array import array
from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import contextmanager
from decimal import Decimal
from typing import Any

from pricing.basis.columns import BY_NAME
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.late import np, pa, pc
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units, below, from_arrow
from pricing.record import entries
from pricing.record.entries import states_of
from pricing.record.rows import Cells, state_sum
from pricing.record.store import CELLS, COUNTS, damaged, reading, record_file

ROWS, BLOCK = 65_536, 16_384  # of a table, and of what is read to be put together
CHECKED = 200_000  # rows that are compared with their checksums whenever they are read
_BESIDE = ("extra", "said", "line", "key", "file", "batch")
_IN_STATE = ("said", "extra", "given", "same", "kept", "sum")
_CENT = Decimal("0.01")


def schema() -> pa.Schema:
    """Every column of a unit with its type, then extra, said, line, key, file, batch."""
    kinds = {"number": pa.float64(), "money": pa.decimal128(12, 2), "date": pa.date32()}
    types = {name: kinds.get(column.kind, pa.string()) for name, column in BY_NAME.items()}
    types |= dict.fromkeys(_BESIDE, pa.string()) | {"line": pa.int32(), "batch": pa.int32()}
    return pa.schema(list(types.items()))


def read_current(home: Home) -> pa.Table:
    """One row a unit. Raises Refused where the record is damaged."""
    with reading(home) as db:
        found = list(tables(db, home))
    return pa.concat_tables(found) if found else schema().empty_table()


def read_units(home: Home, settings: Settings) -> Units:
    """The record as it stands as the models and the books read it, in one stream: memory holds a
    block of rows, and of each row some ten bytes for every column that is filled.

    Raises Refused where the record is damaged.
    """
    beside = ("extra",) if settings.attributes else ()
    with reading(home) as db:
        db.execute("pragma cache_size = -4096")  # nothing is read twice
        most = db.execute("select coalesce(max(id), 0) from state").fetchone()[0]
        blocks = tables(db, home, BLOCK, beside)
        return below((units_for_models(one, settings) for one in blocks), most)


def tables(
    db: sqlite3.Connection, home: Home, rows: int = ROWS, beside: Sequence[str] = _BESIDE
) -> Iterator[pa.Table]:
    """The record as it stands in tables of at most `rows` rows; memory holds one of them, and some
    twenty bytes for each row of the record. beside: what is told of a row beside its cells; where
    not all of it is wanted, columns that no row fills are left away."""
    ledger = entries.of(db, home)
    names = {entry.number: entry.name for entry in ledger.entries}
    newest = newest_rows(db, home, ledger)
    filled = {name for entry in ledger.entries for name in entry.filled}
    # The checksum of each row takes a third of the time: of a long record `verify` looks at it,
    # here the file's own structure and the number of rows must do.
    check = len(newest) <= CHECKED
    reader = Reader([x for x in CELLS if x in filled or x == "sold"], beside, check)
    found = db.execute(f"select {reader.columns} from state not indexed order by id")
    chunk: list[tuple[Any, ...]] = []
    with no_collecting():
        while piece := found.fetchmany(2_000):
            chunk += [row for row in piece if newest[row[0]]]
            if check and not all(map(reader.is_whole, piece)):
                raise Refused(damaged(record_file(home)))
            if len(chunk) >= rows:
                yield reader.as_table(chunk, names)
                chunk = []
    if chunk:
        yield reader.as_table(chunk, names)


@contextmanager
def no_collecting() -> Iterator[None]:
    """Without Python's search for circles, which takes half of the time and finds none."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


class Reader:
    """Rows of `state` with only those columns that hold anything in them. whole: with all that the
    checksum of a row is over, else only with what `beside` asks for."""

    def __init__(
        self, kept: Sequence[str], beside: Sequence[str] = _BESIDE, whole: bool = True
    ) -> None:
        self.kept, self.beside = kept, beside
        last = _IN_STATE if whole else beside
        first = ("id", "source", "line", "unit", "gone")
        self.names = [*first, *(f'"{x}"' for x in kept), *(x for x in last if x in _IN_STATE)]
        self.columns = ", ".join(self.names)
        # the text of a row's cells as `rows.body_of` makes it, blanks filled in
        self._body = f"({', '.join('%r' if name in kept else 'None' for name in CELLS)})"
        self._cells = slice(5, 5 + len(kept))

    def is_whole(self, row: tuple[Any, ...]) -> bool:
        """Whether a row is as it was written."""
        body = self._body % row[self._cells]
        return bool(state_sum(row[:5], body, row[self._cells.stop : -1]) == row[-1])

    def as_table(self, chunk: list[tuple[Any, ...]], names: dict[int, str]) -> pa.Table:
        """Rows as a table; names: of the acts."""
        columns = dict(zip(self.names, zip(*chunk, strict=True), strict=True))
        arrays = {"unit": pa.array(columns["unit"], pa.string())}
        for name in self.kept:
            arrays[name] = _as_arrow(BY_NAME[name].kind, columns[f'"{name}"'])
        for name in {"extra", "said"} & set(self.beside):
            arrays[name] = pa.array(columns[name], pa.string())
        if "batch" in self.beside:
            sources, place = np.unique(np.array(columns["source"]), return_inverse=True)
            files = pa.array([names.get(source, "") for source in sources.tolist()])
            arrays |= {
                "line": pa.array(columns["line"], pa.int32()),
                "key": arrays["unit"],
                "file": files.take(pa.array(place)),
                "batch": pa.array(columns["source"], pa.int32()),
            }
        form = schema()
        if self.beside != _BESIDE:
            form = pa.schema([field for field in form if field.name in arrays])
        blank = {field.name: pa.nulls(len(chunk), field.type) for field in form}
        return pa.table([(blank | arrays)[field.name] for field in form], schema=form)


def newest_rows(db: sqlite3.Connection, home: Home, ledger: entries.Ledger) -> bytearray:
    """Which rows of `state` are the newest that counts of their unit and no drop, one byte for each
    id.

    Raises Refused where an act has not the rows that it wrote: they were lost, or became others.
    """
    wrote = {entry.number: entry.rows for entry in ledger.entries if entry.rows}
    found = db.execute("select count(*), coalesce(max(id), -1) from state not indexed").fetchone()
    counted = dict(db.execute("select source, count(*) from state group by source"))
    if counted != wrote or found[0] != sum(wrote.values()):
        raise Refused(damaged(record_file(home)))
    newest = "select max(id) from state s group by unit"
    if ledger.undone:
        newest = newest.replace("group", f"where {COUNTS} group")
    rows = np.fromiter((number for (number,) in db.execute(newest)), dtype=np.int64)
    marked = bytearray(found[1] + 1)
    view = np.frombuffer(marked, dtype=np.uint8)
    gone = [number for (number,) in db.execute("select id from state where gone != 0")]
    # an index that tells of a row beyond the table's last one: a file that was cut
    if max(int(np.max(rows, initial=-1)), *gone, -1) >= len(marked):
        raise Refused(damaged(record_file(home)))
    view[rows] = 1
    view[gone] = 0
    return marked


def _as_arrow(kind: str, column: Sequence[Any]) -> pa.Array:
    if kind == "money":
        cents = pa.array(column, pa.int64()).cast(pa.decimal128(19, 0))
        return pc.multiply(cents, pa.scalar(_CENT, pa.decimal128(3, 2))).cast(pa.decimal128(12, 2))
    if kind == "date":
        return pa.array(column, pa.string()).cast(pa.date32())
    return pa.array(column, pa.float64() if kind == "number" else pa.string())


@frozen
class Standing:
    """The record as it stands, row by row in the order in which units were last written. ids: of
    `state`, (n,)."""

    ids: np.ndarray
    outcome: Coded

    def having(self, outcomes: Collection[str]) -> np.ndarray:
        """Ids of the rows with one of some outcomes; "" is a blank one."""
        return self.ids[self.outcome.each(outcomes.__contains__, "" in outcomes, bool)]


def standing(home: Home) -> Standing:
    """Which rows stand, and their outcomes: nothing else of a row is read."""
    place: dict[str | None, int] = {None: -1}
    ids, codes = array("q"), array("i")
    with reading(home) as db, no_collecting():
        newest = newest_rows(db, home, entries.of(db, home))
        found = db.execute("select id, outcome from state order by id")
        while piece := found.fetchmany(10_000):
            numbers, told = zip(*piece, strict=True)
            ids.extend(numbers)
            codes.extend([place.setdefault(word, len(place) - 1) for word in told])
    every = np.array(ids, dtype=np.int64)
    stands = np.frombuffer(newest, dtype=np.uint8)[every] == 1
    levels = tuple(word for word in place if word is not None)
    return Standing(every[stands], Coded(np.array(codes, dtype=np.int32)[stands], levels))


def rows_at(home: Home, ids: Iterable[int]) -> pa.Table:
    """Some rows of the record, each checked. Raises Refused where one is damaged."""
    with reading(home) as db:
        names = {entry.number: entry.name for entry in entries.of(db, home).entries}
        reader = Reader(CELLS)
        one = f"select {reader.columns} from state where id = ?"
        rows = [db.execute(one, (int(number),)).fetchone() for number in ids]
    if not all(map(reader.is_whole, rows)):
        raise Refused(damaged(record_file(home)))
    return reader.as_table(rows, names) if rows else schema().empty_table()


def row_of(home: Home, unit: str) -> dict[str, Any] | None:
    """One unit as it stands, or None."""
    with reading(home) as db:
        found = list(states_of(db, unit, entries.counts_now(db)))
    if not found or found[-1][3]:
        return None
    return rows_at(home, [found[-1][0]]).to_pylist()[0]


def order_by(home: Home, ids: np.ndarray, column: str) -> np.ndarray:
    """The order of some rows, whose ids rise, by a column: blanks first, equal ones as before."""
    wanted = bytearray(int(ids[-1]) + 1 if len(ids) else 0)
    np.frombuffer(wanted, dtype=np.uint8)[ids] = 1
    with reading(home) as db:
        read = db.execute(
            f'select id, "{column}" from state where id < ? order by id', (len(wanted),)
        )
        values = [value for number, value in read if wanted[number]]
    kinds = {"money": pa.int64(), "number": pa.float64()}
    table = pa.table({"x": pa.array(values, kinds.get(BY_NAME[column].kind, pa.string()))})
    return pc.sort_indices(table, [("x", "ascending")], null_placement="at_start").to_numpy()


def one(home: Home, unit: str) -> tuple[int, Cells] | None:
    """(the act that wrote it, its cells) of one unit as it stands, or None."""
    with reading(home) as db:
        return one_of(db, unit, entries.counts_now(db))


def acts_of(home: Home, keys: Sequence[str]) -> dict[str, int]:
    """The act that wrote each of some units last, by its number; units of no record left out."""
    if not record_file(home).exists():
        return {}
    with reading(home) as db:
        counts = entries.counts_now(db)
        found = {key: one_of(db, key, counts) for key in keys}
    return {key: state[0] for key, state in found.items() if state is not None}


def one_of(db: sqlite3.Connection, unit: str, counts: entries.Counts) -> tuple[int, Cells] | None:
    """The same of a record that is open."""
    found = list(states_of(db, unit, counts))
    if not found or found[-1][3]:
        return None
    return found[-1][1], found[-1][4]


def units_for_models(table: pa.Table, settings: Settings) -> Units:
    """The record as the models read it; the person's own attributes are taken out of `extra`."""
    units = from_arrow(table.select([name for name in BY_NAME if name in table.column_names]))
    if not settings.attributes:
        return units
    texts = table.column("extra").to_pylist()
    rows: list[dict[str, Any]] = [json.loads(text) if text else {} for text in texts]
    added: dict[str, Any] = {}
    for name, kind in settings.attributes.items():
        told = [row.get(name) for row in rows]
        if kind in ("number", "log"):
            numbers = [float(x) if isinstance(x, (int, float)) else np.nan for x in told]
            added[name] = np.array(numbers)
        else:
            added[name] = Coded.of(None if x is None else str(x) for x in told)
    return units.replaced(**added)
