"""What a unit's own record says of its time on the market: the asks so far, with their days."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from pricing.advice.listing import Past
from pricing.formulas import asks


def day_of(value: Any) -> int | None:
    """The ordinal day of a date as the record or a question keeps it: ISO text or ordinal number;
    None for anything else.

    >>> day_of("1970-01-02"), day_of(719164.0), day_of("soon")
    (719164, 719164, None)
    """
    if isinstance(value, bool):
        return None
    if isinstance(value, (int, float)):
        return int(value) if 1 <= value < 4e6 else None
    if isinstance(value, date):
        return value.toordinal()
    try:
        return date.fromisoformat(str(value)[:10]).toordinal()
    except ValueError:
        return None


def dated(text: str) -> list[tuple[int | None, float]]:
    """Entries of a dated list with their days, sorted; a bare number has no day. What cannot be
    read is left out.

    >>> dated("2026-03-15:295; 2026-03-01:320"), dated("250"), dated("soon")
    ([(739676, 320.0), (739690, 295.0)], [(None, 250.0)], [])
    """
    out: list[tuple[int | None, float]] = []
    for entry in str(text).split(";"):
        head, colon, tail = entry.strip().rpartition(":")
        try:
            amount = float(tail)
        except ValueError:
            continue
        day = day_of(head.strip()) if colon else None
        if (colon and day is None) or not 0 < amount < 1e9:
            continue
        out.append((day, amount))
    return sorted(out, key=lambda pair: (pair[0] is not None, pair[0] or 0))


def past_of(
    unit: Mapping[str, Any],
    as_of: date,
    asked_now: float | None = None,
    unwritten: float | None = None,
) -> Past | None:
    """The asks so far as spells from the day it was listed, or None for a unit that is not listed.

    Asks dated before the listing hold from the listing on; the first one holds from there too,
    where it is dated later; those dated after `as_of` are not yet. asked_now: the ask in force,
    where the person tells it and the record has none; unwritten: the ask to reckon with where
    neither is known, for a unit that sat there unpriced tells little but has used up its time.

    >>> unit = {"listed": "2026-03-01", "asked": "2026-02-01:320; 2026-03-15:295"}
    >>> past_of(unit, date(2026, 3, 25)).spells
    ((14.0, 320.0), (10.0, 295.0))
    >>> (past_of({"listed": "2026-03-01"}, date(2026, 3, 25), unwritten=301.4).spells,
    ...  past_of({}, date(2026, 3, 25)))
    (((24.0, 300.0),), None)
    """
    listed, today = day_of(unit.get("listed")), as_of.toordinal()
    # told what it is up for and not since when: its week begins today, and no ask goes over that
    listed = today if listed is None and asked_now is not None else listed
    if listed is None or listed > today:
        return None
    # rounded, for the plan may well say to keep it
    now = asked_now if asked_now is not None or unwritten is None else asks.rounded(unwritten)
    return Past(tuple(asks.spells_of(dated(str(unit.get("asked") or "")), listed, today, now)))
