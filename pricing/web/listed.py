"""The record as the list shows it: one row a unit, a page of rows at a time."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np

from pricing.basis import said_number
from pricing.basis.columns import BY_NAME, ENDED
from pricing.basis.home import Home
from pricing.basis.late import pa, pc
from pricing.basis.settings import Settings
from pricing.pages import text
from pricing.pipeline import keeping
from pricing.record import current
from pricing.record.entries import load
from pricing.record.store import reading
from pricing.wording import plain
from pricing.wording.question_words import name_of_maker

PAGE = 50  # units on one page
OPEN = ("in work", "waiting for part", "listed")
SORTS = (
    ("", "last changed"), ("got", "newest got"), ("sold", "last sold"),
    ("price", "highest price"), ("paid", "most paid"), ("age", "oldest"),
)  # fmt: skip
TABS = (("open", "Not sold yet"), ("ended", "Done"), ("all", "All"), ("other", "Trips, expenses"))
NOT_UNITS = ("trip", "expense")
WORDS = {
    "made": "year made", "maker": "brand", "fault": "what's wrong", "found": "what it was",
    "repair": "done to it", "got_from": "came from", "got": "got on", "listed": "listed on",
    "sold": "sold or done on", "parts": "parts in all", "price": "sold for",
    "salvage": "parts and scrap brought", "drive_min": "driving", "diagnose_min": "finding it",
    "repair_min": "repairing", "clean_min": "cleaning", "sell_min": "selling",
    "miles": "distance, one way", "outcome": "state", "offers": "buyers bid",
    "comeback": "came back", "recall_checked": "recalls looked up on",
    "warranty_days": "promise given",
}  # fmt: skip
OTHER_WORDS = {
    "got": "on", "note": "why, what for", "hours": "time", "haul_cost": "truck and tolls",
    "outcome": "what it is",
}  # fmt: skip


@dataclass(frozen=True)
class Listed:
    """One page of the list. counts: units by tab, search applied; more: another page follows."""

    rows: tuple[Mapping[str, Any], ...]
    counts: Mapping[str, int]
    page: int
    more: bool


def page_of(text: str) -> int:
    """The page that an address asks for."""
    return max(int(text), 1) if text.isdigit() and len(text) < 7 else 1


def has_all(text: str, search: str) -> bool:
    """Whether a text holds every word that is looked for, in any order."""
    return all(word in text.lower() for word in search.lower().split())


def _holding(home: Home, search: str) -> np.ndarray:
    """Which rows of the record as it stands hold every word that is looked for, (n,) bool."""
    found = [np.zeros(0, dtype=bool)]
    with reading(home) as db:
        for table in current.tables(db, home):
            columns = [
                pc.fill_null(pc.utf8_lower(table.column(name).cast(pa.string())), "")
                for name in table.column_names
                if name not in ("line", "key", "file", "batch", "said")
            ]
            words = pc.binary_join_element_wise(*columns, " ")
            holds = [pc.match_substring(words, word) for word in search.lower().split()]
            found.append(np.all([one.to_numpy() for one in holds], axis=0))
    return np.concatenate(found)


def listed(
    home: Home, standing: current.Standing, tab: str, search: str, page: int, sort: str = ""
) -> Listed:
    """The units of a tab; only those of the page are read. sort: "" last changed, or a column."""
    words = [*standing.outcome.levels, ""]
    kinds = ["other" if word in NOT_UNITS else word or "in work" for word in words]
    names = list(dict.fromkeys(kinds))
    kind = np.array([names.index(one) for one in kinds])[standing.outcome.codes]
    rows = np.flatnonzero(_holding(home, search)) if search else np.arange(len(kind))
    counted = zip(names, np.bincount(kind[rows], minlength=len(names)).tolist(), strict=True)
    each = {name: n for name, n in counted if n}
    of_tab = {name: sum(each.get(one, 0) for one in states(name, each)) for name, _ in TABS}
    wanted = [names.index(one) for one in states(tab, each) if one in names]
    rows = rows[np.isin(kind[rows], wanted)]
    if sort and sort in dict(SORTS):
        rows = rows[current.order_by(home, standing.ids[rows], sort)]
    last = max(len(rows) - (page - 1) * PAGE, 0)
    first = max(last - PAGE, 0)
    shown = current.rows_at(home, standing.ids[rows[first:last]]).to_pylist()
    return Listed(tuple(map(_plain, reversed(shown))), {**each, **of_tab}, page, first > 0)


def states(tab: str, each: Mapping[str, int]) -> list[str]:
    """The states that a tab holds; a tab may be a single state."""
    if tab == "open":
        return [*OPEN]
    if tab in ("all", "ended"):
        gone = ("other", *OPEN) if tab == "ended" else ("other",)
        return [name for name in each if name not in gone]
    return [tab]


def one(home: Home, unit: str) -> Mapping[str, Any] | None:
    """One unit by its number, or None."""
    row = current.row_of(home, unit)
    return None if row is None else _plain(row)


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
        return _of_no_unit(row, outcome, today)
    if outcome in ENDED and row.get("sold"):
        return f"{outcome} {text.day(row['sold'], today)}"
    since = row.get("listed" if outcome == "listed" else "got") if outcome in OPEN else None
    days = -1 if since is None else (today - since).days
    if days < 0:
        return outcome
    return f"{outcome} {days} day{'' if days == 1 else 's'}" if days else f"{outcome} today"


def _of_no_unit(row: Mapping[str, Any], outcome: str, today: date) -> str:
    """`expense Mar 3`, `trip Mar 3`; a trip without a drive is a call."""
    days = [row[name] for name in ("sold", "got", "listed") if row.get(name) is not None]
    drove = any(row.get(name) is not None for name in ("miles", "drive_min", "haul_cost"))
    kind = "call" if outcome == "trip" and not drove and row.get("hours") else outcome
    return f"{kind} {text.day(days[0], today)}" if days else kind


def last_of(dated: Any) -> str:
    """The last amount of a dated list: 295 of "2026-03-01:320; 2026-03-15:295"."""
    return str(dated or "").split(";")[-1].split(":")[-1].strip()


def facts(row: Mapping[str, Any], today: date, settings: Settings) -> list[tuple[str, str]]:
    """What is known of a unit, in the order of the columns, blanks left out."""
    return told(row, [name for name in (*BY_NAME, *row["own"]) if name != "unit"], today, settings)


def told(
    row: Mapping[str, Any], names: Sequence[str], today: date, settings: Settings
) -> list[tuple[str, str]]:
    """Some columns of a unit in words, blanks left out."""
    words = WORDS | (OTHER_WORDS if row.get("outcome") in NOT_UNITS else {})
    return [
        (words.get(name, name.replace("_", " ")), _fact(name, row[name], today, settings))
        for name in names
        if row.get(name) not in (None, "")
    ]


def history(home: Home, key: str, today: date, settings: Settings) -> list[str]:
    """What each change did to a unit, the first one first."""
    entries = {entry.number: entry for entry in load(home).entries}
    lines, before = [], None
    for row in map(_plain, keeping.history(home, key)):
        entry, told = entries[int(row["batch"])], list[str]()
        for name in (*BY_NAME, *row["own"]):
            value = row.get(name)
            if name != "unit" and before is not None and value != before.get(name):
                empty = value in (None, "")
                said = "emptied" if empty else _fact(name, value, today, settings)
                told.append(f"{WORDS.get(name, name.replace('_', ' '))} {said}")
        where = "here" if entry.by_hand else f"from {entry.name}"
        what = "; ".join(told) or ("written down" if before is None else "nothing new")
        lines.append(f"{text.day(date.fromisoformat(entry.day), today)}, {where}: {what}")
        before = row
    return lines


def _fact(name: str, value: Any, today: date, settings: Settings) -> str:
    column = BY_NAME.get(name)
    kind = column.kind if column is not None else ""
    if isinstance(value, date):
        return text.day(value, today)
    if name == "maker":
        return name_of_maker(str(value))
    if name == "comeback":
        return "; ".join(_came_back(entry, today, settings) for entry in str(value).split(";"))
    if kind == "money":
        return _money(float(value), settings)
    if kind == "dated":
        sign = text.money(0, settings.currency)[:-1]
        told = []
        for day, _, amount in (entry.strip().rpartition(":") for entry in str(value).split(";")):
            on = f" on {text.day(date.fromisoformat(day), today)}" if _is_day(day) else ""
            told.append(f"{sign}{amount.strip()}{on}")
        return ", ".join(told)
    if isinstance(value, float):
        unit = column.unit if column is not None else ""
        return f"{_text(value)} {settings.distance_unit if name == 'miles' else unit}".rstrip()
    return str(value)


def _money(value: float, settings: Settings) -> str:
    return text.money(value, settings.currency, 1.0 if value == round(value) else 0.01)


def _came_back(entry: str, today: date, settings: Settings) -> str:
    """`2026-03-01: 1: 9.8` as `Mar 1, 1 hour, $9.80`; anything else as it is written."""
    day, *rest = (part.strip() for part in entry.split(":"))
    numbers = [said_number.typed(part) for part in rest]
    if not _is_day(day) or len(numbers) != 2 or not all(numbers):
        return entry.strip()
    (hours, *_), (cost, *_) = numbers
    on = text.day(date.fromisoformat(day), today)
    return f"{on}, {plain.hours(hours)}, {_money(cost, settings)}"


def _is_day(given: str) -> bool:
    try:
        date.fromisoformat(given.strip())
    except ValueError:
        return False
    return True


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
