"""Rows of a file against the record: new, changed, unchanged, repeated, or older than what the
record knows.

A unit is recognised by its number. Where it has none, by its content: the same row again is the
same unit, and a row that fills in or moves on a unit of the same kind, maker, serial and day got
counts as an update of that unit. A file that only knows an earlier state of a unit does not undo a
later one, unless it also knows news that came with or after the correction: then it was written
later.

Rows come some thousands at a time and go in at once, inside one transaction. For most of them two
hashes decide; the others are looked at one by one with all that the record and the file said of
their unit.
"""

import json
import sqlite3
from array import array
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import Any

from pricing.basis.problems import Problem
from pricing.record import entries, store
from pricing.record.entries import KEPT_CELLS, state_row, write_states
from pricing.record.rows import (
    EXTRA,
    MADE_UP,
    PLACE,
    SAID,
    Cells,
    Incoming,
    as_json,
    body_of,
    content,
    filled,
    given,
    goes_on,
    hashed,
    is_sold_again,
    made_up_number,
    name_of_life,
    stages_before,
    typed,
)
from pricing.record.store import CELLS

FEW = 6  # filled columns below which two equal rows without a number may well be two units
MOST_NOTES = 1_000
CHUNK = 10_000
_PRICE, _OWNER = PLACE["price"], PLACE["owner"]


@dataclass(frozen=True)
class FileFacts:
    """What a comparison must know of a file. columns, unknown: what it has a column for; what it
    has none for stays as it is known. take_older: rows that say an earlier state count."""

    name: str
    columns: frozenset[str]
    unknown: frozenset[str] = frozenset()
    take_older: bool = False


@dataclass
class Changes:
    """What the rows of a file do to the record. written: rows of the record that came of them; off:
    cents of prices that do not count; gone: units that an earlier file of this kind had."""

    accepted: int = 0
    changed: int = 0
    unchanged: int = 0
    duplicates: int = 0
    rejected: list[tuple[int, Problem]] = field(default_factory=list)
    older: list[tuple[int, str]] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    written: int = 0
    off: int = 0
    again: int = 0
    filled: set[str] = field(default_factory=set)

    @property
    def rows(self) -> int:
        return self.accepted + self.changed + self.unchanged + self.duplicates + len(self.rejected)


def taken_from_row(has: Iterable[str]) -> set[str]:
    """The columns of which a row has the last word, blank or not, where its file has these columns.

    >>> sorted(taken_from_row(["price"]))
    ['outcome', 'price']
    """
    has = set(has)
    derived = {"outcome"} if "outcome" not in has and ("price" in has or "sold" in has) else set()
    if "age" in has or "made" in has:
        derived |= {"age", "made"}
    return has | derived


@dataclass(slots=True)
class _State:
    """One row of the record. cells: filled in where the unit is looked at closely."""

    id: int
    source: int
    line: int
    gone: int
    given: int
    same: int
    cells: Cells = ()


def _moved(before: _State, now: _State) -> set[str]:
    """The columns in which two rows of a unit differ."""
    pairs = zip(store.CELLS, before.cells, now.cells, strict=False)
    return {name for name, was, is_ in pairs if was != is_}


@dataclass
class _Waiting:
    """A row that says an earlier state of its unit, until all that its file knows is known."""

    row: Incoming
    merged: Cells
    corrected_in: int


class Comparing:
    """One file on its way into the record, under the number of its act."""

    def __init__(
        self, db: sqlite3.Connection, number: int, file: FileFacts, counts: entries.Counts
    ) -> None:
        self.db, self.number, self.file, self.counts = db, number, file, counts
        self.changes = Changes()
        self._own = taken_from_row(file.columns) | {"unit"}
        self._mine = [name in self._own for name in store.CELLS]
        self._columns = hashed(f"{sorted(file.columns)} {sorted(file.unknown)}")
        self._next = store.next_id(db, "state")
        self.first = self._next  # rows from here on are this file's own
        self._has_past = self.first > 1
        # which rows of the record this file said again, or moved on, by id: its units are spoken
        # for
        self._spoken = bytearray(self.first // 8 + 1)
        self._taken = bytearray(self.first // 8 + 1)  # those that are a row without a number
        self._seen = _Sieve()
        self._newest_known = 0
        self._again = array("q")  # rows of the record that the file said again
        self._waiting: dict[str, _Waiting] = {}
        self._late: list[tuple[Incoming, bool]] = []
        self._contents: set[int] = set()  # of the rows without a number so far
        self._pending: list[tuple[Any, ...]] = []
        db.execute("create temp table if not exists asked (name primary key) without rowid")

    # ---- the way through

    def put(self, rows: Iterable[Incoming]) -> None:
        """Take some rows, in the order of their lines."""
        remaining = iter(rows)
        while chunk := self._by_owner(list(islice(remaining, CHUNK))):
            self._numbered([row for row in chunk if row.unit])
            self._unnumbered([row for row in chunk if not row.unit])

    def _by_owner(self, rows: list[Incoming]) -> list[Incoming]:
        """The rows, one under the number of another owner's unit under a name of its own: "12
        (bob)". A press that changes the owner of a unit leaves it that unit."""
        theirs = {row.unit for row in rows if row.unit and row.cells[_OWNER]}
        if not theirs or not self.file.name:
            return rows
        self._flush()
        self._ask(theirs)
        told = self.db.execute(
            "select s.unit, s.owner, s.id, s.source from temp.asked a join state s"
            " on s.unit = a.name where s.owner is not null order by s.id"
        )
        owners = {unit: owner for unit, owner, *act in told if self.counts(*act)}
        for at, row in enumerate(rows):
            if row.unit not in theirs or not (owner := row.cells[_OWNER]):
                continue
            if owners.setdefault(row.unit, owner) != owner:
                rows[at] = row._replace(unit=f"{row.unit} ({owner})")
                what = f"the number {row.unit} is another owner's: this one is {rows[at].unit!r}"
                fix = f"if it is that unit, handed over: pricing drop {row.unit}"
                self._note(Problem(what, fix, self.file.name, row.line))
        return rows

    def finish(self) -> Changes:
        """What all of the rows came to, now that all that the file knows is known."""
        self._settle_late()
        for unit, one in self._waiting.items():
            if self._newest_known >= one.corrected_in:
                self.changes.changed += 1
                self._write(one.row.line, unit, one.merged, one.row.cells)
            else:
                self.changes.unchanged += 1
                self.changes.older.append((one.row.line, unit))
        self._flush()
        self.changes.again = len(self._again)
        self.db.executemany(
            "insert or ignore into again values (?, ?)",
            ((state, self.number) for state in sorted(self._again)),
        )
        self.changes.older.sort()
        self.changes.rejected.sort(key=lambda one: one[0])
        self.changes.notes.sort(key=lambda note: note.line or 0)
        return self.changes

    def spoken_of(self, state: int) -> bool:
        """Whether the file spoke of the unit whose newest row, before it, has this id."""
        return state >= self.first or _has(self._spoken, state)

    # ---- rows with a number

    def _numbered(self, rows: Sequence[Incoming]) -> None:
        again = self._seen.again([row.unit for row in rows])
        repeated = {row.unit for row, twice in zip(rows, again, strict=True) if twice}
        known = self._states({row.unit for row in rows} if self._has_past else repeated)
        closely = repeated | {
            row.unit
            for row in rows
            if row.unit in known and not self._says_the_same(row, known[row.unit])
        }
        whole = self._whole(closely, known)
        for row in rows:
            if row.unit in closely:
                self._decide(row, row.unit, whole[row.unit])
            elif row.unit in known:
                self._unchanged(known[row.unit][-1])
            else:
                self.changes.accepted += 1
                self._write(row.line, row.unit, row.cells)

    def _says_the_same(self, row: Incoming, states: list[_State]) -> bool:
        """Whether a row says what the newest row of its unit was written from, by a file with the
        same columns, and is the first of its file to do so."""
        newest = states[-1]
        return (
            newest.id < self.first
            and not newest.gone
            and not self.spoken_of(newest.id)
            and newest.given == self._given(row.cells)
        )

    def _given(self, cells: Cells) -> int:
        return given(self._columns, body_of(cells), cells)

    def _states(self, units: set[str]) -> dict[str, list[_State]]:
        """Every row that counts of some units, oldest first, without its cells."""
        found: dict[str, list[_State]] = defaultdict(list)
        if not units:
            return found
        self._flush()
        self._ask(units)
        for unit, *values in self.db.execute(
            "select s.unit, s.id, s.source, s.line, s.gone, s.given, s.same from temp.asked a"
            " join state s on s.unit = a.name order by s.unit, s.id"
        ):
            if self.counts(values[0], values[1]):
                found[unit].append(_State(*values))
        return found

    def _whole(self, units: set[str], known: Mapping[str, list[_State]]) -> dict[str, list[_State]]:
        """The rows of some units with their cells."""
        found = {unit: known.get(unit, []) for unit in units}
        by_id = {state.id: state for states in found.values() for state in states}
        if by_id:
            self._ask(by_id)
            for number, *cells in self.db.execute(
                f"select id, {KEPT_CELLS} from state where id in (select name from temp.asked)"
            ):
                by_id[number].cells = tuple(cells)
        return found

    def _ask(self, names: Iterable[Any]) -> None:
        self.db.execute("delete from temp.asked")
        self.db.executemany("insert into temp.asked values (?)", ((name,) for name in names))

    # ---- one row, looked at closely

    def _decide(self, row: Incoming, unit: str, states: list[_State]) -> None:
        """What a row does to its unit, of which all rows are given, this file's too."""
        newest = states[-1] if states else None
        merged = self._merged(row.cells, newest.cells if newest else None)
        same, says = content(merged), self._given(row.cells)
        told = self._told_before(unit, newest, same)
        if told == "again":
            self._duplicate(row)
        elif newest is None:
            self.changes.accepted += 1
            states.append(self._write(row.line, unit, merged, row.cells))
        elif same == newest.same and not newest.gone:
            self._duplicate(row) if told else self._unchanged(newest, self._stands_by(states))
        elif not newest.gone and (clash := another_unit(merged, newest.cells)):
            mine = newest.id >= self.first
            where = f"on line {newest.line}" if mine else "in your record"
            self._reject(row, number_taken(unit, where, clash, self.file.name, row.line))
        elif corrected := 0 if self.file.take_older else self._corrected_in(states, same, says):
            self._waiting[unit] = _Waiting(row, merged, corrected)
            self._speak(newest)
        else:
            self._speak(newest)
            self.changes.changed += 1
            if newest.gone:  # dropped, and said anew: what it was before stays gone
                merged = self._merged(row.cells, None)
            elif is_sold_again(newest.cells, merged):
                self._write(row.line, self._life_of(unit), newest.cells)
                merged = goes_on(newest.cells, merged)
            states.append(self._write(row.line, unit, merged, row.cells))

    def _life_of(self, unit: str) -> str:
        """The name under which a unit's sale so far is kept once it is for sale again."""
        self._flush()
        so_far = 0
        there = "select 1 from state where unit = ?"
        while self.db.execute(there, (name_of_life(unit, so_far),)).fetchone():
            so_far += 1
        return name_of_life(unit, so_far)

    def _told_before(self, unit: str, newest: _State | None, same: int) -> str:
        """Whether this file spoke of the unit before: "" not, "again" the very same, "yes"."""
        waits = self._waiting.get(unit)
        if waits is not None and content(waits.merged) == same:
            return "again"
        if waits is not None:  # a later row of this file speaks for the unit
            del self._waiting[unit]
            self.changes.unchanged += 1
            return ""
        return "yes" if newest is not None and self.spoken_of(newest.id) else ""

    def _corrected_in(self, states: Sequence[_State], same: int, says: int) -> int:
        """The act that corrected the last earlier state that said this; 0 for none."""
        if states[-1].id >= self.first:
            return 0
        if states[-1].gone and states[-1].same == same:
            return states[-1].source
        own = taken_from_row(self.file.columns)
        for place in range(len(states) - 2, -1, -1):
            if states[place].same == same:
                return states[place + 1].source
            if states[place].given == says:  # the same row; what it has no column for moved too
                later = (one for one in states[place + 1 :] if own & _moved(states[place], one))
                return next((one.source for one in later), 0)
        return 0

    def _merged(self, cells: Cells, before: Cells | None) -> Cells:
        """A row with what the record knows under columns that the file does not have."""
        if before is None:
            return cells
        body = [
            value if mine or value is not None else old
            for value, mine, old in zip(cells, self._mine, before, strict=False)
        ]
        return (
            *body,
            _joined(before[SAID], cells[SAID], self.file.columns),
            _joined(before[EXTRA], cells[EXTRA], self.file.unknown),
        )

    def _stands_by(self, states: Sequence[_State]) -> _State:
        """The row of the record that a row which changes nothing says again: the newest, or the one
        before where the newest only moved columns that this file does not have."""
        own = taken_from_row(self.file.columns)
        for at in range(len(states) - 1, 0, -1):
            before, now = states[at - 1], states[at]
            if before.gone or before.id >= self.first or own & _moved(before, now):
                return now
        return states[0]

    def _unchanged(self, newest: _State, said: _State | None = None) -> None:
        self.changes.unchanged += 1
        said = said or newest
        self._again.append(said.id)
        self._newest_known = max(self._newest_known, said.source)
        self._speak(newest)

    def _speak(self, newest: _State | None) -> None:
        if newest is not None and newest.id < self.first:
            self._spoken[newest.id >> 3] |= 1 << (newest.id & 7)

    def _duplicate(self, row: Incoming) -> None:
        self.changes.duplicates += 1
        self.changes.off += row.cells[_PRICE] or 0

    def _reject(self, row: Incoming, problem: Problem) -> None:
        self.changes.rejected.append((row.line, problem))
        self.changes.off += row.cells[_PRICE] or 0

    # ---- rows without a number

    def _unnumbered(self, rows: Sequence[Incoming]) -> None:
        """Those that say what a unit said, or what none may have become; the others wait."""
        if not rows:
            return
        sames = [content(row.cells) for row in rows]
        again = []
        for same in sames:
            again.append(same in self._contents)
            self._contents.add(same)
        grown = self._may_be_grown(rows)
        alike = self._alike(set(sames))
        units = [self._free(alike.get(same, [])) for same in sames]
        known = self._states({unit for unit in units if unit})
        closely = {
            unit
            for row, unit in zip(rows, units, strict=True)
            if unit and known[unit][-1].given != self._given(row.cells)
        }
        whole = self._whole(closely, known)
        for row, same, twice, unit, may_grow in zip(rows, sames, again, units, grown, strict=True):
            if unit in closely:
                self._decide(row, unit, whole[unit])
            elif unit:
                self._unchanged(known[unit][-1])
            elif may_grow:
                self._late.append((row, twice))
            else:
                self._new_or_repeated(row, same, twice)

    def _alike(self, sames: set[int]) -> dict[int, list[str]]:
        """The units without a number that ever said one of these contents, the oldest last."""
        found: dict[int, list[str]] = defaultdict(list)
        if self._has_past:
            self._ask(sames)
            for same, unit, number, source in self.db.execute(
                "select s.same, s.unit, s.id, s.source from temp.asked a join state s"
                " on s.same = a.name and s.kept is not null where s.id < ? order by s.id desc",
                (self.first,),
            ):
                if self.counts(number, source):
                    found[same].append(unit)
        return found

    def _free(self, units: list[str]) -> str | None:
        """The first of some units that is no other row of this file yet."""
        while units:
            unit = units.pop()
            newest = self._newest_of(unit)
            if newest and not self.spoken_of(newest) and not _has(self._taken, newest):
                self._taken[newest >> 3] |= 1 << (newest & 7)
                return unit
        return None

    def _newest_of(self, unit: str) -> int:
        """The id of the newest row that counts of a unit, of those from before this file."""
        earlier = "select id, source from state where unit = ? and id < ? order by id desc"
        rows = self.db.execute(earlier, (unit, self.first))
        return next((number for number, source in rows if self.counts(number, source)), 0)

    def _may_be_grown(self, rows: Sequence[Incoming]) -> list[bool]:
        """Whether any unit of the record may by now read as a row does."""
        if not self._has_past:
            return [False] * len(rows)
        stages = [stages_before(row.cells) for row in rows]
        self._ask({stage for of_row in stages for stage in of_row})
        there = {
            stage
            for (stage,) in self.db.execute(
                "select a.name from temp.asked a where exists (select 1 from state s"
                " where s.kept = a.name and s.id < ?)",
                (self.first,),
            )
        }
        return [not there.isdisjoint(of_row) for of_row in stages]

    def _settle_late(self) -> None:
        """Rows that a unit may have become: each where it is one unit alone, else new."""
        late = sorted(self._late, key=lambda one: one[0].line)
        for start in range(0, len(late), CHUNK):
            chunk = [(row, twice, self._grown_from(row)) for row, twice in late[start:][:CHUNK]]
            units = {unit for _, _, unit in chunk if unit}
            whole = self._whole(units, self._states(units))
            for row, twice, unit in chunk:
                if unit is None:
                    self._new_or_repeated(row, content(row.cells), twice)
                else:
                    self._decide(row, unit, whole[unit])
        self._late = []

    def _grown_from(self, row: Incoming) -> str | None:
        """The unit that a row may have grown from, where that is one alone."""
        found = []
        for stage in stages_before(row.cells):
            units = [
                unit
                for unit, number in self.db.execute(
                    "select unit, id from state indexed by grown where kept = ? and id < ?"
                    " and coalesce(owner, ?3) is coalesce(?3, owner)",
                    (stage, self.first, row.cells[_OWNER]),
                )
                if number == self._newest_of(unit)
                and not self.spoken_of(number)
                and not _has(self._taken, number)
            ]
            if units:
                found.append(units)
        if len(found) != 1 or len(found[0]) != 1:
            return None
        newest = self._newest_of(found[0][0])
        self._taken[newest >> 3] |= 1 << (newest & 7)
        return found[0][0]

    def _new_or_repeated(self, row: Incoming, same: int, twice: bool) -> None:
        if twice and filled(row.cells) >= FEW:
            self._duplicate(row)
            what = "the same row again, letter by letter, and neither has a number: counted once"
            fix = "give them numbers if they are two units"
            self._note(Problem(what, fix, self.file.name, row.line))
            return
        if twice:
            what = "the same row again, and neither has a number: counted as two units"
            fix = "take one out if it is one unit"
            self._note(Problem(what, fix, self.file.name, row.line))
        self._flush()
        tries = 1
        while self.db.execute(
            "select 1 from state where unit = ?", (unit := made_up_number(same, tries),)
        ).fetchone():
            tries += 1
        self.changes.accepted += 1
        self._write(row.line, unit, row.cells)

    def _note(self, note: Problem) -> None:
        if len(self.changes.notes) < MOST_NOTES:
            self.changes.notes.append(note)

    # ---- writing

    def _write(self, line: int, unit: str, cells: Cells, said: Cells | None = None) -> _State:
        """Put a row into the record. said: what the file's row says, where that is not all."""
        body = body_of(cells)
        says = given(self._columns, body if said is None else body_of(said), said or cells)
        row = state_row(self._next, self.number, line, unit, cells, body, says)
        self._pending.append(row)
        self._next += 1
        self.changes.written += 1
        if len(self._pending) >= CHUNK:
            self._flush()
        return _State(row[0], self.number, line, 0, says, row[-3], cells)

    def _flush(self) -> None:
        if self._pending:
            self.changes.filled |= write_states(self.db, self._pending)
            self._pending = []


def _has(bits: bytearray, number: int) -> bool:
    return bool(bits[number >> 3] & 1 << (number & 7))


class _Sieve:
    """Which numbers came before, in 16 MB: a Bloom filter with two places a number."""

    _BITS = 27

    def __init__(self) -> None:
        self._bits = bytearray(1 << self._BITS - 3)

    def again(self, names: Iterable[str]) -> list[bool]:
        """For each whether it came before, among these or earlier; True for a few that did not."""
        bits, mask, found = self._bits, (1 << self._BITS) - 1, []
        for name in names:
            code = hash(name)
            first, second = code & mask, code >> self._BITS & mask
            came = bits[first >> 3] >> (first & 7) & bits[second >> 3] >> (second & 7) & 1
            if not came:
                bits[first >> 3] |= 1 << (first & 7)
                bits[second >> 3] |= 1 << (second & 7)
            found.append(bool(came))
        return found


def _joined(old: str | None, new: str | None, has: Iterable[str]) -> str | None:
    """Two JSON objects: the old one's names that the file has not, and all of the new one."""
    if not old:
        return new
    kept = {name: value for name, value in json.loads(old).items() if name not in has}
    return as_json(kept | json.loads(new or "{}"))


def gone(comparing: Comparing, same: Sequence[int]) -> list[str]:
    """Units that earlier files of one shape had (`same`: their acts that count) and the file that
    was just compared no longer has, where it still has most of them."""
    ask, acts = comparing.db.execute, ", ".join(map(str, same))
    longest = f"select max(n_rows) from source where id in ({acts})"
    if not same or 2 * comparing.changes.rows < ask(longest).fetchone()[0]:
        return []
    undone = ", ".join(map(str, comparing.counts.undone)) or "0"
    newest = (
        "select max(id) from state t where t.unit = s.unit and t.id < ?"
        f" and (t.source not in ({undone}) or exists (select 1 from again a where a.state = t.id"
        f" and a.source not in ({undone})))"
    )
    rows = ask(
        f"select unit, ({newest}), (select max(id) from state t where t.unit = s.unit)"
        f" from (select unit from state where source in ({acts}) union select t.unit from again a"
        f" join state t on t.id = a.state where a.source in ({acts})) s",
        (comparing.first,),
    ).fetchall()
    silent = [(unit, id) for unit, id, last in rows if last < comparing.first]
    left = {unit for unit, id in silent if not comparing.spoken_of(id)}
    if 2 * len(left) > len(rows):
        return []
    dropped = "select gone from state where unit = ? order by id desc limit 1"
    return sorted(unit for unit in left if not ask(dropped, (unit,)).fetchone()[0])


_SHARED = ("got", "listed", "sold", "price", "paid", "serial", "model")
_TELLING = (*_SHARED, "type", "maker")


def another_unit(new: Cells, old: Cells) -> str:
    """Why two rows with one number are not one unit: another type, and no day nor price in common,
    or all of its days and money are others; else ""."""
    pairs = {name: (new[PLACE[name]], old[PLACE[name]]) for name in _TELLING}
    differ = {name for name, (a, b) in pairs.items() if a and b and a != b}
    kind = str(old[PLACE["type"]])
    if "type" not in differ:
        return kind if differ >= {"got", "sold"} and len(differ) > 3 else ""
    shared = [name for name in _SHARED if None not in pairs[name]]
    return "" if {*shared} - differ - {"paid"} or len(shared) < 2 else kind


def number_taken(unit: str, where: str, type_name: str, file: str, line: int) -> Problem:
    """A row under the number of another unit; where: on which line, or in the record."""
    what = f"the number {unit} belongs to another unit already ({type_name}, {where})"
    return Problem(what, "give this unit a number of its own", file, line, value=unit)


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
