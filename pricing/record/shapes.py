"""What is kept in the record beside its rows: what the person said about files with one header, for
the next file of that shape; and the rows of files that were set aside."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Mapping
from typing import Any

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.record.rows import checksum
from pricing.record.store import damaged, next_id, reading, record_file


def load(home: Home) -> dict[str, dict[str, Any]]:
    """Shape of a header -> what was said. Empty where nothing was said yet."""
    with reading(home) as db:
        rows = db.execute("select shape, said, sum from shape").fetchall()
    if any(checksum(shape, said) != total for shape, said, total in rows):
        raise Refused(damaged(record_file(home)))
    return {shape: json.loads(said) for shape, said, _ in rows}


def remember(db: sqlite3.Connection, shape: str, said: Mapping[str, Any]) -> None:
    """Add what was said about one shape."""
    if not said:
        return
    found = db.execute("select said from shape where shape = ?", (shape,)).fetchone()
    known = json.loads(found[0]) if found else {}
    headers = {**known.get("headers", {}), **said.get("headers", {})}
    text = json.dumps({**known, **said, "headers": headers}, ensure_ascii=False)
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
