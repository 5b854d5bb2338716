"""The story of one change made by hand, on the page or by a command: typed cells, read like those
of a sheet and written down as one act, so that it can be undone like any other.

Only the columns that the form shows are named; what it does not name stays as the record knows it.
What was changed meanwhile in another window, or by a sheet, is seen inside the writer's transaction
and refused, never overwritten.
"""

import re
import sqlite3
from collections.abc import Mapping
from datetime import date
from typing import Any

from pricing.basis.home import DEMO_UNIT, Home
from pricing.basis.problems import Problem, Refused, refused
from pricing.basis.settings import Settings
from pricing.ingest.checks import read_cells
from pricing.ingest.reading import Row
from pricing.record import entries, store
from pricing.record.changes import Comparing, FileFacts
from pricing.record.current import one, one_of
from pricing.record.entries import ADD, Counts, Entry, as_row, forget
from pricing.record.rows import PLACE, Cells, incoming

# a row needs them; where the form does not show them they go along as they are
CARRIED = ("type", "price", "outcome")


class Changed(Refused):
    """The unit is no longer as the form showed it."""


def change_unit(
    home: Home,
    key: str,
    cells: Mapping[str, str],
    seen: int,
    settings: Settings,
    today: date,
    what: str,
) -> tuple[str, int]:
    """Write some columns of a unit; returns (its number, the act, 0 where nothing had to be
    written). seen: the act that the form was filled from; what: a word for the list of changes.

    Raises Changed where another change came between, Refused with the column of each cell that
    cannot be read; nothing is written then.
    """
    with store.writing(home) as db:
        counts = entries.counts_now(db)
        row, columns = _changed(db, counts, key, cells, seen, settings, today)
        return key, _write(db, counts, [row], columns, f"{key} {what}", today)


def change_units(
    home: Home,
    changed: Mapping[str, tuple[Mapping[str, str], int]],
    settings: Settings,
    today: date,
    what: str,
) -> int:
    """The same columns of many units as one act; returns the act. changed: number -> (cells, the
    act that the form was filled from). Nothing is written where one of them cannot be."""
    with store.writing(home) as db:
        counts = entries.counts_now(db)
        rows, columns = [], list[str]()
        for key, (cells, seen) in changed.items():
            row, columns = _changed(db, counts, key, cells, seen, settings, today)
            rows.append(row)
        return _write(db, counts, rows, [*CARRIED, *columns], what, today) if rows else 0


def _changed(
    db: sqlite3.Connection,
    counts: Counts,
    key: str,
    cells: Mapping[str, str],
    seen: int,
    settings: Settings,
    today: date,
) -> tuple[Row, list[str]]:
    """A unit's row with some cells changed, and the columns that are written."""
    before = one_of(db, key, counts)
    if before is None:
        raise Changed(Problem("this unit is no longer in your record", "look in My list"))
    left = [name for name in CARRIED if name not in cells]
    carried = {name: text for name in left if (text := _text(name, before[1]))}
    row = read_cells({"unit": key, **carried, **cells}, settings, today)
    if before[0] != seen:
        what = "this unit was changed in another window or by a sheet since you opened it"
        fix = "look at it as it is now, below, then write again what is still right"
        raise Changed(Problem(what, fix))
    return row, [*carried, *cells]


def new_unit(
    home: Home, cells: Mapping[str, str], settings: Settings, today: date, what: str = "got"
) -> tuple[str, int]:
    """Write down a new unit under its own number, or under the next free one; returns (number,
    act).

    Raises Refused where the number belongs to a unit already, or a cell cannot be read.
    """
    whose = {"owner": settings.owner} if settings.owner else {}
    wanted = cells.get("unit", "").strip()
    row = read_cells({**whose, **cells, "unit": wanted or "1"}, settings, today)
    with store.writing(home) as db:
        counts = entries.counts_now(db)
        number = wanted or _next_number(db, counts, home.is_demo)
        if one_of(db, number, counts) is not None:
            what = f"the number {number} belongs to another unit already"
            fix = "give this one another number, or leave it empty"
            raise Changed(Problem(what, fix, column="unit"))
        row.values["unit"] = number
        return number, _write(db, counts, [row], [*whose, *cells], f"{number} {what}", today)


def new_row(
    home: Home, kind: str, cells: Mapping[str, str], settings: Settings, today: date
) -> tuple[str, int]:
    """Write down a row that is no unit under a name of its day: `expense 2026-10-05`, the second
    one `expense 2026-10-05 b`; returns (name, act).

    kind: "trip" (a drive that brought nothing), "call" (passed on without a drive) or "expense";
    the outcome stands in the cells.
    """
    try:
        day = date.fromisoformat(cells.get("got", ""))
    except ValueError:
        day = today
    row = read_cells({"unit": "1", **cells}, settings, today)
    names = (
        f"{kind} {day.isoformat()}{letter}"
        for letter in ("", *(f" {letter}" for letter in "bcdefghijklmnopqrstuvwxyz"))
    )
    with store.writing(home) as db:
        counts = entries.counts_now(db)
        name = next((name for name in names if one_of(db, name, counts) is None), None)
        if name is None:
            raise refused(
                f"26 rows of one day are called {kind} already",
                "add more in a sheet, with outcome " + ("expense" if kind == "expense" else "trip"),
            )
        row.values["unit"] = name
        if kind == "trip":
            row.values["trip"] = name
        return name, _write(db, counts, [row], [*cells, "trip"], name, today)


def current(home: Home, key: str) -> dict[str, Any] | None:
    """One unit as it stands, with the number of the act that wrote it as "batch"; or None."""
    found = one(home, key)
    return None if found is None else as_row(key, 0, found[1]) | {"batch": found[0]}


def numbers(home: Home, end: str) -> list[str]:
    """The numbers of all units that end so."""
    with store.reading(home) as db:
        found = db.execute("select distinct unit from state where unit like ?", (f"%{end}",))
        return [unit for (unit,) in found]


def next_number(home: Home) -> str:
    """The number after the highest that the person gave, in its own style: 213 after 212, D-08
    after D-07; 1 where there are none. Numbers that the program made up do not count."""
    with store.reading(home) as db:
        return _next_number(db, entries.counts_now(db), home.is_demo)


_STYLED = re.compile(r"(?P<style>[A-Za-z]{0,12}[-./ #]?)(?P<digits>\d{1,9})")


def _next_number(db: sqlite3.Connection, counts: Counts, is_demo: bool) -> str:
    count: dict[str, int] = {}
    best: dict[str, tuple[int, int]] = {}  # of each style the highest number, and its digits
    told = ""
    for number, source, unit in db.execute("select id, source, unit from state order by unit"):
        if unit != told and counts(number, source) and (found := _STYLED.fullmatch(unit)):
            told = unit
            style, digits = found["style"], found["digits"]
            count[style] = count.get(style, 0) + 1
            best[style] = max(best.get(style, (0, 0)), (int(digits), len(digits)))
    style = max(count, key=lambda name: count[name], default=DEMO_UNIT if is_demo else "")
    number, width = best.get(style, (0, 0))
    return f"{style}{number + 1:0{width}d}"


def _write(
    db: sqlite3.Connection,
    counts: Counts,
    rows: list[Row],
    columns: list[str],
    what: str,
    today: date,
) -> int:
    """Write rows as an act of their own; returns its number, 0 where the record says so already."""
    number = store.next_id(db, "source")
    facts = FileFacts("", frozenset((*columns, "unit")), take_older=True)
    comparing = Comparing(db, number, facts, counts)
    comparing.put(incoming(rows))
    changes = comparing.finish()
    if changes.rejected:
        raise Refused(*(problem for _, problem in changes.rejected))
    if not changes.written:
        forget(db, number)
        return 0
    price = sum(row.values.get("price", 0) for row in rows)
    seen = {"accepted": changes.accepted, "changed": changes.changed}
    entry = Entry(
        number,
        ADD,
        today.isoformat(),
        rows=len(rows),
        by_hand=what,
        counts=seen,
        total=f"{price:.2f}",
        units=len(rows),
        filled=sorted(changes.filled),
    )
    return entries.write(db, entry).number


def _text(name: str, cells: Cells) -> str:
    """A cell as a form would show it."""
    value = cells[PLACE[name]]
    if value is None:
        return ""
    return f"{value / 100:.2f}" if name == "price" else str(value)
