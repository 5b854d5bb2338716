"""Rows of a file against the record: new, changed, unchanged, repeated, or older than what the
record already knows.

A unit is recognised by its number; where it has none, by its content: the same row again is the
same unit, and a row that fills in or moves on a unit of the same kind, maker, serial and day got is
that unit grown on. A file that only knows an earlier state of a unit does not undo a later one,
unless it also knows news that came with or after the correction: then it was written later.
"""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from pricing.basis.columns import BY_NAME
from pricing.basis.files import sha256
from pricing.basis.problems import Problem

if TYPE_CHECKING:
    import pyarrow as pa

IN_THIS_FILE = 2**31 - 1  # the batch number of rows that the same long file brought further up
MADE_UP = "~"  # begins the numbers that we make for units without one
STABLE = (
    "type",
    "maker",
    "model",
    "serial",
    "got",
    "paid",
    "made",
    "got_from",
)  # what a unit keeps while it is worked on and sold
TOLD_BY = (
    "got",
    "serial",
    "listed",
)  # one of these must be known of a unit before another row can be that unit grown on
ENDED = ("sold", "scrapped", "parted", "returned")
OPEN = "open"
FEW = 6  # filled columns below which two equal rows without a number may well be two units


@dataclass(frozen=True)
class NewRow:
    """A row on its way into the record. values hold no blanks; columns: what the file has a column
    for (None: all)."""

    line: int
    values: Mapping[str, Any]
    said: Mapping[str, str]
    extra: Mapping[str, Any]


class Earlier(NamedTuple):
    """A row that says what an earlier state of its unit said, and the batch that corrected that
    state."""

    line: int
    key: str
    stored: dict[str, Any]
    corrected_in: int


@dataclass
class Changes:
    """rows: what is to be written, with keys; the counts add up to the rows given; keys: of every
    unit the file speaks of."""

    rows: list[dict[str, Any]] = field(default_factory=list)
    accepted: int = 0
    changed: int = 0
    unchanged: int = 0
    duplicates: int = 0
    rejected: list[tuple[int, Problem]] = field(default_factory=list)
    older: list[tuple[int, str]] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    duplicate_lines: list[int] = field(default_factory=list)
    changed_lines: list[int] = field(default_factory=list)
    accepted_lines: list[int] = field(default_factory=list)
    keys: set[str] = field(default_factory=set)
    again: int = 0  # of `unchanged`: rows that repeat one further up in the same long file
    newest_known: int = 0
    earlier: list[Earlier] = field(default_factory=list)

    def count(self, verdict: str, line: int, stored: dict[str, Any]) -> None:
        """Book a row: new and changed ones are to be written, "older" ones wait."""
        if verdict == "new":
            self.accepted += 1
            self.accepted_lines.append(line)
            self.rows.append(stored)
        elif verdict == "changed":
            self.changed += 1
            self.changed_lines.append(line)
            self.rows.append(stored)
        elif verdict == "unchanged":
            self.unchanged += 1
        elif verdict == "duplicate":
            self.duplicates += 1
            self.duplicate_lines.append(line)


def content(values: Mapping[str, Any], said: Mapping[str, str], extra: Mapping[str, Any]) -> str:
    """A row's content as one text: equal texts are equal rows. The number, made up or not, is no
    part of it."""
    kept = {
        name: plain_value(value)
        for name, value in values.items()
        if name != "unit" and value is not None and value != ""
    }
    words = {
        name: " ".join(word.split()).casefold()
        for name, word in said.items()
        if name not in kept or BY_NAME.get(name) is None
    }
    return json.dumps(
        [kept, words, {name: plain_value(value) for name, value in extra.items()}],
        sort_keys=True,
        ensure_ascii=False,
    )


def plain_value(value: Any) -> Any:
    """A cell as it is compared: money to the cent, numbers to six places."""
    if isinstance(value, Decimal):
        return f"{value:.2f}"
    if isinstance(value, float):
        return repr(round(value, 6) + 0.0)
    return str(value)


def as_new_row(stored: Mapping[str, Any]) -> NewRow:
    """A stored row as a row: blanks out, said and extra unpacked."""
    values = {name: stored[name] for name in BY_NAME if stored.get(name) is not None}
    return NewRow(
        int(stored["line"] or 0),
        values,
        json.loads(stored["said"] or "{}"),
        json.loads(stored["extra"] or "{}"),
    )


@dataclass(frozen=True)
class FileFacts:
    """What a comparison must know of a file. columns, unknown: what it has a column for, of ours
    and of the person's own; what it has none for stays as the record knows it. take_older: rows
    that say an earlier state count."""

    name: str
    columns: frozenset[str]
    unknown: frozenset[str] = frozenset()
    take_older: bool = False


def compare(rows: Sequence[NewRow], history: pa.Table, file: FileFacts) -> Changes:
    """What a file's rows do to the record: `classify`, and then what rows that say an earlier state
    come to.

    >>> row = NewRow(2, {"unit": "1", "type": "oven"}, {}, {})
    >>> facts = FileFacts("a.csv", frozenset(("unit", "type")))
    >>> compare([row], table_of([]), facts).accepted
    1
    """
    changes = classify(rows, history, file)
    for earlier in changes.earlier:
        settle(changes, earlier, changes.newest_known)
    return changes


def settle(changes: Changes, earlier: Earlier, newest_known: int) -> None:
    """A row that says an earlier state: taken where the whole file knows news as late as the
    correction, else left and told."""
    if newest_known >= earlier.corrected_in:
        changes.count("changed", earlier.line, earlier.stored)
    else:
        changes.unchanged += 1
        changes.older.append((earlier.line, earlier.key))


def classify(
    rows: Sequence[NewRow],
    history: pa.Table,
    file: FileFacts,
    newest_known: int = 0,
    repeated: frozenset[int] = frozenset(),
) -> Changes:
    """What each row does to the record; rows that say an earlier state of a unit are left in
    `earlier`, as only the whole file can tell.

    history: every row of the counting batches that may concern them (same numbers; of units without
    numbers those alike), oldest first, with `batch`.
    newest_known: the latest batch whose news this file is known to know. repeated: lines whose
    number stood further up in the same long file, be it among these rows or not.
    """
    known = _Known(history)
    has, has_unknown = set(file.columns), set(file.unknown)
    matched = _match_without_numbers([row for row in rows if not row.values.get("unit")], known)
    changes = Changes()
    seen: dict[str, list[_Mark]] = defaultdict(list)  # key -> its rows in this file, in order
    waiting: list[tuple[Earlier, int]] = []
    anonymous = iter(matched)
    repeats: Counter[str] = Counter()
    elsewhere: set[str] = set()  # keys of which the file's first row is not among these
    for row in rows:
        number = str(row.values.get("unit") or "")
        key = number or next(anonymous) or ""
        if not number:
            text = content(row.values, row.said, row.extra)
            repeats[text] += (
                # a row that is known counts too: what came once and stood twice is not two units
                # when it comes again
                1
            )
        if not key:  # without a number, and new
            if repeats[text] > 1 and len(row.values) >= FEW:
                changes.duplicates += 1
                changes.duplicate_lines.append(row.line)
                changes.notes.append(counted_once(file.name, row.line))
                continue
            if repeats[text] > 1:
                changes.notes.append(counted_twice(file.name, row.line))
            key = _made_up(text, repeats[text], known, seen)
        if row.line in repeated and key not in changes.keys:
            elsewhere.add(key)
        changes.keys.add(key)
        stored = known.current.get(key)
        merged = _merge(row, stored, has, has_unknown)
        text = content(merged.values, merged.said, merged.extra)
        here = seen[key]
        written = next((mark for mark in reversed(here) if mark.written), None)
        state = known.states.get(key, [])
        before = written.text if written else state[-1][0] if state else ""
        verdict = "new" if not before else "changed"
        if (here and here[-1].text == text) or (written and text == before):
            verdict = "duplicate"
        elif text == before:
            verdict = "unchanged"
            if key in elsewhere and not here:  # what it repeats is not among these rows
                changes.again += 1
                changes.duplicate_lines.append(row.line)
            else:
                newest_known = max(newest_known, state[-1][1])
        elif clash := _another_unit(merged.values, written.values if written else stored or {}):
            first = (
                written.line
                if written
                else int(stored["line"])
                if stored and state and state[-1][1] == IN_THIS_FILE
                else 0
            )
            where = f"on line {first}" if first else "in your record"
            changes.rejected.append(
                (row.line, _number_taken(key, where, clash, file.name, row.line))
            )
            continue
        elif not written and not file.take_older and any(text == earlier for earlier, _ in state):
            verdict = "older"
            corrected_in = next(
                state[place + 1][1]
                for place in range(len(state) - 2, -1, -1)
                if state[place][0] == text
            )
            waiting.append((Earlier(row.line, key, _stored(merged, key), corrected_in), len(here)))
        here.append(_Mark(text, row.line, dict(merged.values), verdict in ("new", "changed")))
        changes.count(verdict, row.line, _stored(merged, key))
    for earlier, place in waiting:
        if len(seen[earlier.key]) > place + 1:  # a later row of this file speaks for the unit
            changes.unchanged += 1
        else:
            changes.earlier.append(earlier)
    changes.newest_known = newest_known
    return changes


class _Mark(NamedTuple):
    """A row of this file under one key: its content, where it stands, and whether it is to be
    written."""

    text: str
    line: int
    values: dict[str, Any]
    written: bool


class _Known:
    """The record by key: the current row, and every state a unit went through as (content,
    batch)."""

    def __init__(self, history: pa.Table) -> None:
        self.current: dict[str, dict[str, Any]] = {}
        self.states: dict[str, list[tuple[str, int]]] = defaultdict(list)
        for stored in history.to_pylist():
            row = as_new_row(stored)
            self.current[stored["key"]] = stored
            self.states[stored["key"]].append(
                (content(row.values, row.said, row.extra), int(stored["batch"]))
            )


def taken_from_row(has: Collection[str]) -> set[str]:
    """The columns of which a row has the last word, blank or not, where its file has these
    columns."""
    derived = {"outcome"} if "outcome" not in has and ("price" in has or "sold" in has) else set()
    if "age" in has or "made" in has:
        derived |= {"age", "made"}
    return {*has} | derived


def _merge(
    row: NewRow, stored: Mapping[str, Any] | None, has: set[str], has_unknown: set[str]
) -> NewRow:
    """The row with what the record knows under columns that the file does not have."""
    if stored is None:
        return row
    old = as_new_row(stored)
    own = taken_from_row(has) | {"unit"}
    values = {name: value for name, value in old.values.items() if name not in own} | dict(
        row.values
    )
    said = {name: word for name, word in old.said.items() if name not in has} | dict(row.said)
    extra = {name: value for name, value in old.extra.items() if name not in has_unknown} | dict(
        row.extra
    )
    return NewRow(row.line, values, said, extra)


def _stored(row: NewRow, key: str) -> dict[str, Any]:
    values = dict(row.values)
    values.setdefault("unit", key)
    return values | {
        "extra": json.dumps(dict(row.extra), ensure_ascii=False) if row.extra else None,
        "said": json.dumps(dict(row.said), ensure_ascii=False) if row.said else None,
        "line": row.line,
        "key": key,
    }


def _another_unit(new: Mapping[str, Any], old: Mapping[str, Any]) -> str:
    """Why two rows with one number are not one unit: another type or another owner, and no day nor
    price in common; else ""."""
    other_type, other_owner = (
        bool(new.get(name) and old.get(name) and new[name] != old[name])
        for name in ("type", "owner")
    )
    if not other_type and not other_owner:
        return ""
    shared = [
        name
        for name in ("got", "listed", "sold", "price", "paid", "serial", "model")
        if new.get(name) is not None and old.get(name) is not None
    ]
    if len(shared) >= (1 if other_owner else 2) and all(
        new[name] != old[name] for name in shared if name != "paid"
    ):
        return f"{old['owner']}'s {old.get('type') or 'unit'}" if other_owner else str(old["type"])
    return ""


def _number_taken(key: str, where: str, type_name: str, file: str, line: int) -> Problem:
    return Problem(
        f"the number {key} belongs to another unit already ({type_name}, {where})",
        "give this unit a number of its own",
        file=file,
        line=line,
        value=key,
    )


def counted_once(file: str, line: int) -> Problem:
    """The note on a row without a number that says all that one further up says, and says enough to
    be the same unit."""
    what = "the same row again, letter by letter, and neither has a number: counted once"
    return Problem(what, "give them numbers if they are two units", file=file, line=line)


def counted_twice(file: str, line: int) -> Problem:
    """The note on such a row where it says too little for that."""
    return Problem(
        "the same row again, and neither has a number: counted as two units",
        "take one out if it is one unit",
        file=file,
        line=line,
    )


def made_up_number(text: str, tries: int) -> str:
    """The number of a unit without one: of its content, and of how often that was tried."""
    return MADE_UP + sha256(f"{text}#{tries}".encode())[:8]


def _made_up(text: str, count: int, known: _Known, pending: Mapping[str, Any]) -> str:
    for tries in range(count, count + 1000):
        key = made_up_number(text, tries)
        if key not in known.current and key not in pending:
            return key
    raise AssertionError("a thousand equal rows got one number")


def _match_without_numbers(rows: Sequence[NewRow], known: _Known) -> list[str | None]:
    """For each row without a number the made-up number of the unit it is, or None where it
    is new."""
    free: dict[str, list[str]] = defaultdict(list)  # content -> keys
    for key, states in known.states.items():
        if key.startswith(MADE_UP):
            for text in dict.fromkeys(state for state, _ in reversed(states)):
                free[text].append(key)
    taken: set[str] = set()
    found: list[str | None] = []
    for row in rows:  # the same content first, so that no row takes another's place
        text = content(row.values, row.said, row.extra)
        same = next((key for key in free.get(text, ()) if key not in taken), None)
        if same:
            taken.add(same)
        found.append(same)
    if all(found):
        return found
    groups: dict[tuple[Any, ...], dict[str, None]] = defaultdict(
        dict
    )  # what a unit keeps, and the state it is in -> keys that are still free
    for key, stored in known.current.items():
        if key.startswith(MADE_UP) and key not in taken and (state := _state_of(stored)):
            groups[_stable(stored), state][key] = None
    for place, row in enumerate(rows):
        if found[place] is None:
            stable = _stable(row.values)
            may_be = [
                keys
                for state in _states_before(row.values)
                if (keys := groups.get((stable, state)))
            ]
            if len(may_be) == 1 and len(may_be[0]) == 1:
                found[place] = may_be[0].popitem()[0]
    return found


def _stable(values: Mapping[str, Any]) -> tuple[Any, ...]:
    return tuple(
        plain_value(values[name]) if values.get(name) is not None else None for name in STABLE
    )


def _state_of(old: Mapping[str, Any]) -> tuple[Any, ...]:
    """The state that a unit known as `old` is in, as far as it decides what the unit may by now
    read; () where nothing tells it from others of its kind."""
    if not any(old.get(name) is not None for name in TOLD_BY):
        return ()
    return (old["outcome"], old.get("sold")) if old.get("outcome") in ENDED else (OPEN,)


def _states_before(new: Mapping[str, Any]) -> list[tuple[Any, ...]]:
    """The states from which a unit may have come to read `new`: nothing that ended is taken
    back."""
    if new.get("outcome") not in ENDED:
        return [(OPEN,)]
    return list(dict.fromkeys([(OPEN,), (new["outcome"], None), (new["outcome"], new.get("sold"))]))


def table_of(rows: Sequence[Mapping[str, Any]]) -> pa.Table:
    """Rows to be written as an Arrow table of the record's schema."""
    import pyarrow as pa

    from pricing.ledger.batches import schema

    return pa.Table.from_pylist([dict(row) for row in rows], schema=schema())
