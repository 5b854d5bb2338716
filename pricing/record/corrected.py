"""Units without a number that a sheet no longer has, beside new rows that differ in one cell."""

import sqlite3
from collections.abc import Sequence

from pricing.basis.problems import Problem
from pricing.record.rows import MADE_UP, typed
from pricing.record.store import CELLS

_MOST = 2_000  # pairs that are looked at: a sheet with more news than this was written anew
_COLUMNS = ", ".join(f'"{name}"' for name in CELLS)


def look_alikes(
    db: sqlite3.Connection, first: int, gone: Sequence[str], file: str
) -> list[Problem]:
    """One note for all, with the commands that put them right. first: where own rows begin."""
    lost = [unit for unit in gone if unit.startswith(MADE_UP)][:_MOST]
    new = db.execute(
        f"select line, unit, {_COLUMNS} from state where id >= ? and unit like ? limit ?",
        (first, f"{MADE_UP}%", _MOST // max(1, len(lost))),
    ).fetchall()
    newest = f"select {_COLUMNS} from state where unit = ? and id < ? order by id desc limit 1"
    found = []
    for unit in lost:
        before = db.execute(newest, (unit, first)).fetchone()
        for line, _, *cells in new if before else ():
            both = zip(CELLS, before, cells, strict=True)
            moved = [(name, old, now) for name, old, now in both if old != now]
            if len(moved) == 1:
                (name, *values), what = moved[0], before[CELLS.index("type")] or "unit"
                old, now = (typed(name, value) for value in values)
                told = f"{old or 'blank'} then, {now or 'blank'} now"
                found.append((line, unit, f"{what}, {name}: {told}"))
                break
    if not found:
        return []
    lines = "; ".join(f"line {line} and {unit} ({what})" for line, unit, what in found[:5])
    more = f" and {len(found) - 5:,} more" if len(found) > 5 else ""
    what = (
        "these differ in one cell from units that the sheet no longer has, and may be the"
        f" same unit: {lines}{more}"
    )
    drops = "; ".join(f"pricing drop {unit}" for _, unit, _ in found[:5])
    return [Problem(what, f"if so, take the old ones out: {drops}", file=file)]
