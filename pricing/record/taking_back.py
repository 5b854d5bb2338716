"""Taking an act back, or an undo of it; dropping a unit.

An act that is taken back counts no more, and with it go the rows that it wrote. Where a unit was
changed again since, its newer rows hold what the act had said as well: there the undo writes a row
of its own, in which every column that still says what the act said goes back to what stood there
before. What was changed again since stays, and is told.
"""

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from pricing.basis.home import Home
from pricing.basis.problems import refused
from pricing.record import entries
from pricing.record.ad_rows import SEEN
from pricing.record.entries import ADD, DROP, UNDO, Counts, Entry, Ledger
from pricing.record.rows import EXTRA, SAID, Cells, as_json
from pricing.record.states import state_row, states_of, write_states
from pricing.record.store import CELLS, next_id, writing

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
