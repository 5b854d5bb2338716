"""What is told of rows that cannot both be right: one number for two units, one row twice."""

import sqlite3
from collections.abc import Sequence
from typing import Any

from pricing.basis.problems import Problem
from pricing.record.rows import MADE_UP, PLACE, Cells, typed
from pricing.record.store import CELLS

_SHARED = ("got", "listed", "sold", "price", "paid", "serial", "model")
_TELLING = (*_SHARED, "type", "owner", "maker")


def _differing(pairs: dict[str, tuple[Any, Any]]) -> set[str]:
    return {name for name, (a, b) in pairs.items() if a and b and a != b}


def another_unit(new: Cells, old: Cells) -> str:
    """Why two rows with one number are not one unit: another type or another owner, and no day nor
    price in common, or all of its days and money are others; else ""."""

    pairs = {name: (new[PLACE[name]], old[PLACE[name]]) for name in _TELLING}
    differ = _differing(pairs)
    kind, owner = old[PLACE["type"]], old[PLACE["owner"]]
    if not differ & {"type", "owner"}:
        return str(kind) if differ >= {"got", "sold"} and len(differ) > 3 else ""
    shared = [name for name in _SHARED if None not in pairs[name]]
    same = {*shared} - differ - {"paid"}
    if same or len(shared) < (1 if "owner" in differ else 2):
        return ""
    return f"{owner}'s {kind or 'unit'}" if "owner" in differ else str(kind)


def number_taken(unit: str, where: str, type_name: str, file: str, line: int) -> Problem:
    """A row under the number of another unit; where: on which line, or in the record."""
    what = f"the number {unit} belongs to another unit already ({type_name}, {where})"
    return Problem(what, "give this unit a number of its own", file, line, value=unit)


def counted_once(file: str, line: int) -> Problem:
    """The note on a row without a number that says all that one further up says, and enough."""
    what = "the same row again, letter by letter, and neither has a number: counted once"
    return Problem(what, "give them numbers if they are two units", file, line)


def counted_twice(file: str, line: int) -> Problem:
    """The note on such a row where it says too little for that."""
    what = "the same row again, and neither has a number: counted as two units"
    return Problem(what, "take one out if it is one unit", file, line)


# ---- Units without a number that a sheet no longer has, beside new rows that differ in one cell
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
