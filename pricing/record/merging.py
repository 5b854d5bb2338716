"""Two copies of a record that went apart, put together again: a synced folder's second copy, a
copied home.

Acts are known by their marks, so what both copies have is left alone. The other's acts come in
after ours, with their rows. A unit that both changed since they went apart gets one more row, in
which each side's changes stand; where both changed one column to different things, the later day's
stands, and it is told.
"""

import sqlite3
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pricing.basis.files import copy_by_content
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.record import ad_rows, entries
from pricing.record.entries import ADD, Counts, Entry, Ledger
from pricing.record.rows import Cells
from pricing.record.states import state_row, states_of, write_states
from pricing.record.store import CELLS, damaged, next_id, open_copy, writing

_ROW = ", ".join(f'"{name}"' for name in CELLS) + ", said, extra"


@dataclass(frozen=True)
class Merged:
    """acts: of the other copy that came in; units, differ: that both had changed, and columns."""

    acts: tuple[Entry, ...]
    units: tuple[str, ...]
    differ: tuple[tuple[str, str], ...]


def merge(home: Home, other: Path, day: str) -> Merged:
    """Take in what another copy of the record knows. Raises Refused where it is damaged."""
    with closing(open_copy(other)) as theirs, writing(home) as db:
        if theirs.execute("pragma integrity_check(1)").fetchone()[0] != "ok":
            raise Refused(damaged(other))
        mine, yours = entries.of(db, home), _ledger(theirs, other)
        counts = entries.counts_now(db)
        # Numbers of acts were given on either side since the copies parted; marks are by chance and
        # belong to one act only.
        marks = {entry.mark: entry.number for entry in mine.entries}
        new = [entry for entry in yours.entries if entry.mark not in marks]
        if not new:
            return Merged((), (), ())
        place = {entry.number: marks[entry.mark] for entry in yours.entries if entry.mark in marks}
        came: list[Entry] = []
        for number, entry in enumerate(new, mine.next_number):
            place[entry.number] = number
            came.append(entries.write(db, replace(entry, number=number, of=place.get(entry.of, 0))))
            # before the acts count: after a power cut none stands without its file
            kept = other.parent / "originals" / entry.original
            if entry.original and kept.exists():
                copy_by_content(kept, home.data / "originals", kept.suffix)
        touched = _copy_states(theirs, db, new, place)
        ad_rows.copy(theirs, db, {e.number: place[e.number] for e in new})
        both = _changed_in_both(mine, yours, touched, db)
        added, differ = _joined(db, theirs, mine, yours, counts, both)
        if added:
            what, filled = "two copies of the record put together", sorted(write_states(db, added))
            act = Entry(came[-1].number + 1, ADD, day, rows=len(added), by_hand=what, filled=filled)
            entries.write(db, act)
    return Merged(tuple(came), tuple(both), tuple(differ))


def _ledger(theirs: sqlite3.Connection, other: Path) -> Ledger:
    return entries.of(theirs, Home(other.parent.parent))


def _copy_states(
    theirs: sqlite3.Connection, db: sqlite3.Connection, new: list[Entry], place: dict[int, int]
) -> dict[str, None]:
    """Copy the rows of some acts; returns the units that they are of."""
    units: dict[str, None] = {}
    number = next_id(db, "state")
    pending: list[tuple[Any, ...]] = []
    for entry in new:
        for line, unit, gone, given, *cells in theirs.execute(
            f"select line, unit, gone, given, {_ROW} from state where source = ? order by id",
            (entry.number,),
        ):
            units[unit] = None
            at = (number, place[entry.number], line, unit)
            pending.append(state_row(*at, tuple(cells), says=given, gone=gone))
            number += 1
            if len(pending) >= 10_000:
                write_states(db, pending)
                pending = []
    if pending:
        write_states(db, pending)
    return units


def _changed_in_both(
    mine: Ledger, yours: Ledger, touched: dict[str, None], db: sqlite3.Connection
) -> list[str]:
    """Of the units that the other changed, those that an act of ours alone changed too."""
    known = {entry.mark for entry in yours.entries}
    ours = [entry.number for entry in mine.counting() if entry.mark not in known]
    if not ours:
        return []
    acts = ", ".join(map(str, ours))
    changed = {unit for (unit,) in db.execute(f"select unit from state where source in ({acts})")}
    return [unit for unit in touched if unit in changed]


def _age(ledger: Ledger, number: int) -> tuple[str, str]:
    found = ledger.find(number)
    return (found.day, found.mark) if found else ("", "")


def _joined(
    db: sqlite3.Connection,
    theirs: sqlite3.Connection,
    mine: Ledger,
    yours: Ledger,
    counts: Counts,
    units: list[str],
) -> tuple[list[tuple[Any, ...]], list[tuple[str, str]]]:
    """(rows in which both sides' changes stand, the (unit, column) changed differently)."""
    number = next_id(db, "source")
    known = {entry.mark for entry in yours.entries}
    new_here = frozenset(entry.number for entry in mine.entries if entry.mark not in known)
    their_counts = entries.counts_now(theirs)
    rows: list[tuple[Any, ...]] = []
    differ: list[tuple[str, str]] = []
    first = next_id(db, "state")
    blank: Cells = (None,) * (len(CELLS) + 2)
    for unit in units:
        here = [state for state in states_of(db, unit, counts) if state[1] < mine.next_number]
        there = list(states_of(theirs, unit, their_counts))
        if not here or not there or there[-1][3]:
            continue
        # The last state that both copies knew: what differs from it is a change of that side.
        shared = [state for state in here if state[1] not in new_here]
        before = shared[-1][4] if shared else blank
        cells, ours = list(there[-1][4]), here[-1][4]
        # whichever copy is given to the other, the same side must win
        theirs_win = _age(yours, there[-1][1]) > _age(mine, here[-1][1])
        for place in range(len(cells)):
            if ours[place] != before[place] and ours[place] != cells[place]:
                both = cells[place] != before[place]
                if both and place < len(CELLS):
                    differ.append((unit, CELLS[place]))
                if not (both and theirs_win):
                    cells[place] = ours[place]
        rows.append(state_row(first + len(rows), number, 0, unit, tuple(cells)))
    return rows, differ
