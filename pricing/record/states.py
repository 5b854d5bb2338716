"""Rows of the table of states: how one is written and read. A state: a unit from an act on."""

import sqlite3
from collections.abc import Iterator, Sequence
from typing import Any

from pricing.basis.columns import BY_NAME
from pricing.record.entries import Counts
from pricing.record.rows import (
    EXTRA,
    MADE_UP,
    SAID,
    Cells,
    body_of,
    content,
    kept,
    state_sum,
    typed,
)
from pricing.record.store import CELLS

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
