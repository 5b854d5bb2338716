"""The record as the list shows it: one row a unit, read again only after a change; a page of rows
at a time leaves the table."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from pricing.basis.columns import BY_NAME, ENDED
from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.pages import text
from pricing.wording.question_words import name_of_maker

if TYPE_CHECKING:
    import pyarrow as pa

PAGE = 50  # units on one page
OPEN = ("in work", "waiting for part", "listed")
TABS = (("open", "Not sold yet"), ("ended", "Done"), ("all", "All"), ("other", "Trips, expenses"))
SEARCHED = (
    "unit",
    "type",
    "maker",
    "fault",
    "found",
    "repair",
    "features",
    "model",
    "serial",
    "note",
)
NOT_UNITS = ("trip", "expense")
WORDS = {
    "made": "year made",
    "maker": "brand",
    "fault": "what's wrong",
    "found": "what it was",
    "repair": "done to it",
    "got_from": "came from",
    "got": "got on",
    "listed": "listed on",
    "sold": "sold or done on",
    "parts": "parts in all",
    "price": "sold for",
    "salvage": "parts and scrap brought",
    "drive_min": "driving",
    "diagnose_min": "finding it",
    "repair_min": "repairing",
    "clean_min": "cleaning",
    "sell_min": "selling",
    "miles": "distance, one way",
    "outcome": "state",
    "offers": "buyers bid",
    "comeback": "came back",
    "recall_checked": "recalls looked up on",
    "warranty_days": "promise given",
}
OTHER_WORDS = {
    "got": "on",
    "note": "why, what for",
    "hours": "time",
    "haul_cost": "truck and tolls",
    "outcome": "what it is",
}


@dataclass(frozen=True)
class Listed:
    """One page of the list. counts: units by tab, the search applied; more: whether another page
    follows."""

    rows: tuple[Mapping[str, Any], ...]
    counts: Mapping[str, int]
    page: int
    more: bool


def listed(table: pa.Table, tab: str, search: str, page: int) -> Listed:
    """The units of a tab, the last changed first."""
    import pyarrow as pa
    import pyarrow.compute as pc

    if search:
        found = pa.array([False] * table.num_rows)
        for name in SEARCHED:
            found = pc.or_(
                found,
                pc.fill_null(
                    pc.match_substring(table.column(name), search, ignore_case=True), False
                ),
            )
        table = table.filter(found)
    other = pc.is_in(pc.fill_null(table.column("outcome"), ""), pa.array(NOT_UNITS))
    others, table = table.filter(other), table.filter(pc.invert(other))
    is_open = pc.is_in(pc.fill_null(table.column("outcome"), ""), pa.array(["", *OPEN]))
    n_open = int(pc.sum(is_open).as_py() or 0)
    counts = {
        "open": n_open,
        "ended": table.num_rows - n_open,
        "all": table.num_rows,
        "other": others.num_rows,
    }
    if tab == "other":
        table = others
    elif tab != "all":
        table = table.filter(is_open if tab == "open" else pc.invert(is_open))
    last = table.num_rows - (page - 1) * PAGE
    first = max(last - PAGE, 0)
    rows = table.slice(first, max(last - first, 0)).to_pylist() if last > 0 else []
    return Listed(tuple(_plain(row) for row in reversed(rows)), counts, page, first > 0)


def one(table: pa.Table, unit: str) -> Mapping[str, Any] | None:
    """One unit by its number, or None."""
    import pyarrow.compute as pc

    found = table.filter(pc.equal(table.column("key"), unit))
    return _plain(found.slice(found.num_rows - 1).to_pylist()[0]) if found.num_rows else None


def read(home: Home) -> pa.Table:
    """The record as it stands; an empty table where there is none yet."""
    from pricing.record.current import read_current

    return read_current(home)


def typed(row: Mapping[str, Any]) -> dict[str, str]:
    """A row as a form shows it: dates as days, numbers without needless digits, blanks left out."""
    return {
        name: _text(value)
        for name, value in row.items()
        if value not in (None, "") and (name in BY_NAME or name in row["own"])
    }


def state(row: Mapping[str, Any], today: date) -> str:
    """`listed 12 days`, `sold Mar 3`, `in work 4 days`, `expense Mar 3`: where a unit stands."""
    outcome = str(row.get("outcome") or "not sold yet")
    if outcome in NOT_UNITS:
        day = next(
            (row[name] for name in ("sold", "got", "listed") if row.get(name) is not None), None
        )
        return outcome if day is None else f"{outcome} {_day(day, today)}"
    if outcome in ENDED and row.get("sold"):
        return f"{outcome} {_day(row['sold'], today)}"
    since = (
        row.get("listed") if outcome == "listed" else row.get("got") if outcome in OPEN else None
    )
    if since is None:
        return outcome
    days = (today - since).days
    return (
        outcome
        if days < 0
        else f"{outcome} today"
        if days == 0
        else f"{outcome} {days} day{'' if days == 1 else 's'}"
    )


def last_of(dated: Any) -> str:
    """The last amount of a dated list: 295 of "2026-03-01:320; 2026-03-15:295"."""
    return str(dated or "").split(";")[-1].split(":")[-1].strip()


def facts(row: Mapping[str, Any], today: date, settings: Settings) -> list[tuple[str, str]]:
    """What is known of a unit, in the order of the columns, blanks left out."""
    words = WORDS | (OTHER_WORDS if row.get("outcome") in NOT_UNITS else {})
    return [
        (words.get(name, name.replace("_", " ")), _fact(name, row[name], today, settings))
        for name in (*BY_NAME, *row["own"])
        if row.get(name) not in (None, "") and name != "unit"
    ]


def history(home: Home, key: str, today: date, settings: Settings) -> list[str]:
    """What each change did to a unit, the first one first."""
    from pricing.pipeline import keeping
    from pricing.record.entries import load

    entries = {entry.number: entry for entry in load(home).entries}
    lines, before = [], None
    for row in map(_plain, keeping.history(home, key)):
        entry = entries[int(row["batch"])]
        told = [
            f"{WORDS.get(name, name.replace('_', ' '))}"
            " "
            + (
                _fact(name, row[name], today, settings)
                if row.get(name) not in (None, "")
                else "emptied"
            )
            for name in (*BY_NAME, *row["own"])
            if name != "unit" and before is not None and row.get(name) != before.get(name)
        ]
        where = "here" if entry.by_hand else f"from {entry.name}"
        lines.append(
            f"{_day(date.fromisoformat(entry.day), today)}, {where}:"
            f" {'; '.join(told) if told else 'written down' if before is None else 'nothing new'}"
        )
        before = row
    return lines


def _fact(name: str, value: Any, today: date, settings: Settings) -> str:
    column = BY_NAME.get(name)
    if isinstance(value, date):
        return _day(value, today)
    if name == "maker":
        return name_of_maker(str(value))
    if column is not None and column.kind == "money":
        return text.money(
            float(value), settings.currency, 1.0 if float(value) == round(float(value)) else 0.01
        )
    if column is not None and column.kind == "dated":
        entries = [entry.strip().rpartition(":") for entry in str(value).split(";")]
        sign = text.money(0, settings.currency)[:-1]
        return ", ".join(
            (
                f"{sign}{amount.strip()} on {_day(date.fromisoformat(day), today)}"
                if _is_day(day)
                else f"{sign}{amount.strip()}"
            )
            for day, _, amount in entries
        )
    if isinstance(value, float):
        unit = (
            settings.distance_unit if name == "miles" else column.unit if column is not None else ""
        )
        return f"{_text(value)} {unit}".rstrip()
    return str(value)


def _is_day(given: str) -> bool:
    try:
        date.fromisoformat(given.strip())
    except ValueError:
        return False
    return True


def _day(day: date, today: date) -> str:
    return text.day(day) if day.year == today.year else f"{text.day(day)}, {day.year}"


def _plain(row: Mapping[str, Any]) -> Mapping[str, Any]:
    """Money as numbers, the person's own columns from `extra` beside the others."""
    own = json.loads(row.get("extra") or "{}")
    values = {
        name: float(value) if isinstance(value, Decimal) else value
        for name, value in row.items()
        if name not in ("extra", "said")
    }
    own = {name: value for name, value in own.items() if name not in values}
    return {**own, **values, "own": own}


def _text(value: Any) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").rstrip(".")
    return str(value)
