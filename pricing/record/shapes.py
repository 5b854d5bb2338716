"""What is kept in the record beside its rows: what the person said about files with one header, for
the next file of that shape; and the rows of files that were set aside."""

import json
import sqlite3
from collections.abc import Container, Iterable, Mapping
from typing import Any

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.record.entries import counts_now
from pricing.record.rows import checksum
from pricing.record.store import damaged, next_id, reading, record_file

BY_ACT = "by"  # number of the act -> what was said with its file


def load(home: Home) -> dict[str, dict[str, Any]]:
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
