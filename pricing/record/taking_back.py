"""Taking an act back, or an undo of it; dropping a unit.

An act that is taken back counts no more, and with it go the rows that it wrote. Where a unit was
changed again since, its newer rows hold what the act had said as well: there the undo writes a row
of its own, in which every column that still says what the act said goes back to what stood there
before. What was changed again since stays, and is told.
"""

import json
import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pricing.basis.files import copy_by_content
from pricing.basis.home import Home
from pricing.basis.problems import Refused, refused
from pricing.record import ad_rows, entries
from pricing.record.ad_rows import SEEN
from pricing.record.entries import (
    ADD,
    DROP,
    UNDO,
    Counts,
    Entry,
    Ledger,
    state_row,
    states_of,
    write_states,
)
from pricing.record.rows import EXTRA, SAID, Cells, as_json
from pricing.record.store import CELLS, damaged, next_id, open_copy, writing

MOST_TOLD = 20


@dataclass(frozen=True)
class TakenBack:
    """entry: the undo; target: what it takes back; stayed: what of it was changed again since."""

    entry: Entry
    target: Entry
    stayed: tuple[tuple[str, tuple[str, ...]], ...] = ()


def undo(home: Home, name: str | None, day: str, back: bool = False) -> TakenBack:
    """Take back the newest act that counts, or the one of this name or number; with `back` an undo.
    Raises Refused where there is none, or nothing of it could be taken back."""
    with writing(home) as db:
        ledger = entries.of(db, home)
        target = _target(ledger, name, back)
        number = ledger.next_number
        act = _undone_by(ledger, target) if target.kind == UNDO else target
        forth = target.kind == UNDO
        before = entries.counts_now(db)
        undo = Entry(number, UNDO, day, of=target.number, name=act.words)
        entry = entries.write(db, undo)
        without = before if forth else entries.counts_now(db)
        rows, stayed = _turned(db, act, number, without, forth)
        if rows:
            filled = sorted(write_states(db, rows))
            entry = entries.write(db, replace(entry, rows=len(rows), filled=filled))
    return TakenBack(entry, act, tuple(stayed[:MOST_TOLD]))


def drop(home: Home, unit: str, day: str) -> Entry:
    """Take a unit out of the record; its past stays, an undo brings it back. Raises Refused."""
    with writing(home) as db:
        ledger = entries.of(db, home)
        found = list(states_of(db, unit, entries.counts_now(db)))
        if not found or found[-1][3]:
            raise refused(f"no unit has the number {unit!r}", "see pricing history, or My list")
        number = ledger.next_number
        row = state_row(next_id(db, "state"), number, 0, unit, found[-1][4], gone=1)
        filled, said = sorted(write_states(db, [row])), f"{unit} dropped"
        return entries.write(db, Entry(number, DROP, day, rows=1, by_hand=said, filled=filled))


def _turned(
    db: sqlite3.Connection, act: Entry, number: int, without: Counts, forth: bool
) -> tuple[list[tuple[object, ...]], list[tuple[str, tuple[str, ...]]]]:
    """(rows for units changed since, which of them keep something of the act) for an undone act."""
    rows: list[tuple[object, ...]] = []
    stayed: list[tuple[str, tuple[str, ...]]] = []
    first = next_id(db, "state")
    # Only units with a later row by another act need a row: of the others the newest one that
    # counts is right by itself once the act counts no more.
    changed_since = db.execute(
        "select distinct s.unit from state s where s.source = ? and exists (select 1 from state t"
        " where t.unit = s.unit and t.id > s.id and t.source != s.source)",
        (act.number,),
    ).fetchall()
    for (unit,) in changed_since:
        states = list(states_of(db, unit, without))
        earlier = [state for state in states if state[1] < act.number]
        later = [state for state in states if state[1] > act.number]
        # of a unit that was dropped since, the rows before are right by themselves once it is back
        if not later or later[-1][3]:
            continue
        # What the act said is read among all rows: it counts no more, or not yet again.
        said = [state for state in states_of(db, unit, Counts()) if state[1] == act.number]
        old = earlier[-1][4] if earlier and not earlier[-1][3] else None
        new = said[-1][4]
        # The act brought the unit in and something was said of it since: there is no state to go
        # back to.
        if old is None and not forth:
            stayed.append((unit, ("the unit itself",)))
            continue
        blank = (None,) * (EXTRA + 1)
        source, aim = (old or blank, new) if forth else (new, old or blank)
        cells, kept = _moved(later[-1][4], source, aim)
        if kept:
            stayed.append((unit, kept))
        if cells != later[-1][4]:
            place = first + len(rows)
            rows.append(state_row(place, number, 0, unit, cells, gone=later[-1][3]))
    return rows, stayed


def _moved(now: Cells, source: Cells, aim: Cells) -> tuple[Cells, tuple[str, ...]]:
    """(cells moved from what `source` says to what `aim` says, columns that say something else)."""
    cells, kept = list(now), []
    for place, name in enumerate(CELLS):
        if source[place] != aim[place]:
            if now[place] == source[place]:
                cells[place] = aim[place]
            elif now[place] != aim[place]:
                kept.append(name)
    for place in (SAID, EXTRA):
        cells[place] = _words_moved(now[place], source[place], aim[place])
    return tuple(cells), tuple(kept)


def _words_moved(now: str | None, source: str | None, aim: str | None) -> str | None:
    was, will, found = (json.loads(text or "{}") for text in (source, aim, now))
    for name in {*was, *will}:
        if was.get(name) != will.get(name) and found.get(name) == was.get(name):
            if name in will:
                found[name] = will[name]
            else:
                found.pop(name, None)
    return as_json(found)


def _undone_by(ledger: Ledger, entry: Entry) -> Entry:
    """The add or drop at the end of a chain of undos."""
    by_number: Mapping[int, Entry] = {one.number: one for one in ledger.entries}
    while entry.kind == UNDO:
        entry = by_number[entry.of]
    return entry


def _target(ledger: Ledger, name: str | None, back: bool) -> Entry:
    undone = ledger.undone
    acts = [
        entry
        for entry in ledger.entries
        if entry.kind in (ADD, DROP, SEEN) and (entry.number in undone) == back
    ]
    if not acts:
        if back:
            raise refused("nothing to redo", "see pricing files")
        raise refused("there is no change to take back", "see pricing files")
    named = [entry for entry in acts if name is None or _is_named(entry, name)]
    if not named:
        known = ", ".join(dict.fromkeys(entry.words for entry in acts[-5:]))
        what = "nothing called" if back else "no file or change called"
        raise refused(f"there is {what} {name!r} to take back", f"name one of: {known}")
    if not back:
        return named[-1]
    undos = {entry.of: entry for entry in ledger.entries if entry.number not in undone}
    if name is None:
        return max((undos[entry.number] for entry in named), key=lambda entry: entry.number)
    return undos[named[-1].number]


def _is_named(entry: Entry, name: str) -> bool:
    return name in (str(entry.number), entry.name, entry.by_hand) or (
        bool(entry.name) and Path(name).name == entry.name
    )


# ---- Two copies of a record that went apart, put together: a synced folder's second copy, a copied
# home. Acts are known by their marks, so what both copies have is left alone. The other's acts come
# in after ours, with their rows. A unit that both changed since gets one more row, in which each
# side's changes stand; where both changed one column to different things, the later day's stands.
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
