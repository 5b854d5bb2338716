"""The acts on a record in order: sheets and presses, drops, undos; which of them count."""

import json
import secrets
import sqlite3
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from typing import Any

from pricing.basis.columns import BY_NAME
from pricing.basis.files import sha256
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.record.rows import (
    EXTRA,
    MADE_UP,
    SAID,
    Cells,
    body_of,
    checksum,
    content,
    kept,
    state_sum,
    typed,
)
from pricing.record.store import CELLS, damaged, next_id, reading, record_file

ADD, DROP, UNDO = "add", "drop", "undo"


@dataclass(frozen=True)
class Entry:
    """One act. kind: "add", "drop", or "undo" (of: the act that it takes back); mark: the same act
    in two copies of a record; rows: how many it wrote; name, sha256, bytes, original: the person's
    file and its copy; by_hand: what a press changed, in words; counts: rows seen by outcome; total:
    of prices, as text; shape: fingerprint of the header; units: rows that spoke of a unit; filled:
    columns that its rows hold; again: rows that said what was known; day: for reading only."""

    number: int
    kind: str
    day: str = ""
    mark: str = ""
    of: int = 0
    rows: int = 0
    name: str = ""
    by_hand: str = ""
    sha256: str = ""
    bytes: int = 0
    original: str = ""
    counts: Mapping[str, int] = field(default_factory=dict)
    total: str = "0.00"
    shape: str = ""
    units: int = 0
    filled: Sequence[str] = ()
    again: int = 0

    @property
    def words(self) -> str:
        """`212 sold` for a change by hand, the name of the file for a sheet."""
        return self.by_hand or self.name


@dataclass(frozen=True)
class Counts:
    """Which rows count: those of acts not taken back, and those that a counting act said again."""

    undone: frozenset[int] = frozenset()
    kept: frozenset[int] = frozenset()

    def __call__(self, state: int, source: int) -> bool:
        return source not in self.undone or state in self.kept


def counts_now(db: sqlite3.Connection) -> Counts:
    """The rows that count in a record as it stands."""
    undone = frozenset(number for (number,) in db.execute("select id from undone"))
    if not undone:
        return Counts()
    # A row stands as long as one act that counts said it: undoing the first of two sheets that say
    # the same takes nothing away.
    kept = db.execute(
        "select a.state from again a join state s on s.id = a.state"
        " where s.source in (select id from undone) and a.source in (select id from counting)"
    )
    return Counts(undone, frozenset(state for (state,) in kept))


_FACTS = (
    *("name", "by_hand", "sha256", "bytes", "original"),
    *("counts", "total", "shape", "units", "filled", "again"),
)


@dataclass(frozen=True)
class Ledger:
    """All acts in order of their numbers. undone: numbers of those that a later one takes back."""

    entries: tuple[Entry, ...] = ()
    undone: frozenset[int] = frozenset()

    @property
    def next_number(self) -> int:
        return self.entries[-1].number + 1 if self.entries else 1

    def counting(self) -> tuple[Entry, ...]:
        """The acts that count, oldest first; an undo only where it had to write rows."""
        return tuple(
            entry
            for entry in self.entries
            if entry.number not in self.undone and (entry.kind != UNDO or entry.rows)
        )

    def find(self, number: int) -> Entry | None:
        return next((entry for entry in self.entries if entry.number == number), None)


def load(home: Home) -> Ledger:
    """The acts of a record, each checked; none where there is no record yet."""
    with reading(home) as db:
        return of(db, home)


def of(db: sqlite3.Connection, home: Home) -> Ledger:
    """The same of a record that is open."""
    entries = []
    rows = db.execute("select id, kind, day, mark, of, n_rows, facts, sum from source order by id")
    for *values, total in rows:
        if checksum(*values) != total:
            raise Refused(damaged(record_file(home)))
        number, kind, day, mark, taken_back, n_rows, facts = values
        entries.append(Entry(number, kind, day, mark, taken_back or 0, n_rows, **json.loads(facts)))
    return Ledger(tuple(entries), counts_now(db).undone)


def write(db: sqlite3.Connection, entry: Entry) -> Entry:
    """Write an act down, once more when it is known what it came to; its rows may stand there."""
    mark = entry.mark or secrets.token_hex(8)
    whole = asdict(entry)
    facts = json.dumps({name: whole[name] for name in _FACTS}, ensure_ascii=False)
    row = (entry.number, entry.kind, entry.day, mark, entry.of or None, entry.rows, facts)
    places = ", ".join("?" * 8)
    db.execute(f"insert or replace into source values ({places})", (*row, checksum(*row)))
    return Entry(**{**whole, "mark": mark})


def content_hash(home: Home) -> str:
    """What identifies the record as it stands: SHA-256 over the marks of the acts that count."""
    return content_of(load(home).counting())


def content_of(entries: Iterable[Entry]) -> str:
    """The same of acts at hand; "" where there are none."""
    marks = [entry.mark for entry in entries]
    return sha256("\n".join(marks).encode()) if marks else ""


# ---- rows of the table of states: how one is written and read. A state: a unit from an act on
KEPT_CELLS = ", ".join(f'"{name}"' for name in CELLS) + ", said, extra"
_FIRST, _LAST = ("id", "source", "line", "unit", "gone"), ("given", "same", "kept", "sum")
_STATE = (*_FIRST, *CELLS, "said", "extra", *_LAST)


def state_row(
    number: int,
    source: int,
    line: int,
    unit: str,
    cells: Cells,
    body: str = "",
    says: int = 0,
    gone: int = 0,
) -> tuple[Any, ...]:
    """A row of `state` as it is kept, with its hashes and its checksum."""
    body = body or body_of(cells)
    stage = kept(cells) if unit.startswith(MADE_UP) else None
    head = (number, source, line, unit, gone)
    tail = (cells[SAID], cells[EXTRA], says, content(cells, body), stage)
    return (*head, *cells, *tail[2:], state_sum(head, body, tail))


def write_states(db: sqlite3.Connection, rows: Sequence[tuple[Any, ...]]) -> set[str]:
    """Put rows of `state` in, naming only filled columns (a fifth of the time); returns these."""
    columns = list(zip(*rows, strict=True))
    used = [place for place, column in enumerate(columns) if column.count(None) < len(rows)]
    names = ", ".join(f'"{_STATE[place]}"' for place in used)
    db.executemany(
        f"insert into state ({names}) values ({', '.join('?' * len(used))})",
        zip(*(columns[place] for place in used), strict=True),
    )
    return {_STATE[place] for place in used} & set(CELLS)


def states_of(
    db: sqlite3.Connection, unit: str, counts: Counts
) -> Iterator[tuple[int, int, int, int, Cells]]:
    """(id, source, line, gone, cells) of every row of a unit that counts, oldest first."""
    told = f"select id, source, line, gone, {KEPT_CELLS} from state where unit = ? order by id"
    for number, source, line, gone, *cells in db.execute(told, (unit,)):
        if counts(number, source):
            yield number, source, line, gone, tuple(cells)


def as_row(unit: str, line: int, cells: Cells) -> dict[str, Any]:
    """A row of the record with all columns, typed, then extra, said, line and key."""
    values = {name: typed(name, value) for name, value in zip(CELLS, cells, strict=False)}
    return {
        **dict.fromkeys(BY_NAME),
        "unit": unit,
        **values,
        "extra": cells[EXTRA],
        "said": cells[SAID],
        "line": line,
        "key": unit,
    }


def forget(db: sqlite3.Connection, number: int) -> None:
    """Leave no trace of a comparison that wrote nothing and needs no act."""
    db.execute("delete from again where source = ?", (number,))


# ---- what the person said about files with one header; rows that were set aside
BY_ACT = "by"  # number of the act -> what was said with its file


def shapes_of(home: Home) -> dict[str, dict[str, Any]]:
    """Shape of a header -> what was said with the files that count. Empty where nothing was."""
    with reading(home) as db:
        rows = db.execute("select shape, said, sum from shape").fetchall()
        undone = counts_now(db).undone
    if any(checksum(shape, said) != total for shape, said, total in rows):
        raise Refused(damaged(record_file(home)))
    return {shape: _standing(json.loads(said), undone) for shape, said, _ in rows}


def _standing(kept: dict[str, Any], undone: Container[int]) -> dict[str, Any]:
    """What was said of one shape, without what was said with a file that was taken back."""
    said = {name: value for name, value in kept.items() if name != BY_ACT}
    for number, more in kept.get(BY_ACT, {}).items():
        if int(number) not in undone:
            headers = {**said.get("headers", {}), **more.get("headers", {})}
            said = {**said, **more, "headers": headers}
    return said


def remember(db: sqlite3.Connection, shape: str, said: Mapping[str, Any], act: int) -> None:
    """Add what was said about one shape with the file of an act."""
    if not said:
        return
    found = db.execute("select said from shape where shape = ?", (shape,)).fetchone()
    known = json.loads(found[0]) if found else {}
    known.setdefault(BY_ACT, {})[str(act)] = said
    text = json.dumps(known, ensure_ascii=False)
    db.execute(
        "insert into shape values (?, ?, ?) on conflict (shape) do update set said = excluded.said,"
        " sum = excluded.sum",
        (shape, text, checksum(shape, text)),
    )


def set_aside(db: sqlite3.Connection, source: int, rows: Iterable[Any]) -> None:
    """Keep rows of a file that could not be recorded: why, and their cells as written."""
    number = next_id(db, "remark")
    for place, row in enumerate(rows, number):
        why = "; ".join(problem.what for problem in row.problems)
        cells = json.dumps(row.cells, ensure_ascii=False)
        values = (place, source, row.line, why, cells)
        db.execute("insert into remark values (?, ?, ?, ?, ?, ?)", (*values, checksum(*values)))
