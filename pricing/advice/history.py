"""What a unit's own record says of its time on the market: the asks so far, with their days."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from pricing.advice.listing import Past


def day_of(value: Any) -> int | None:
    """The ordinal day of a date as the record or a question keeps it: ISO text or ordinal number; None for anything else.

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
    """Entries of a dated list with their days, sorted; a bare number has no day. What cannot be read is left out.

    >>> dated("2026-03-15:295; 2026-03-01:320"), dated("250"), dated("soon")
    ([(738945, 320.0), (738959, 295.0)], [(None, 250.0)], [])
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


def past_of(unit: Mapping[str, Any], as_of: date, asked_now: float | None = None) -> Past | None:
    """The asks so far as spells, or None for a unit that is not listed. Asks dated before the listing count from the listing on; those
    dated later than `as_of` are not yet. asked_now: the ask in force, where the person tells it."""
    listed, today = day_of(unit.get("listed")), as_of.toordinal()
    if listed is None or listed > today:
        return None
    entries = [(max(day or listed, listed), amount) for day, amount in dated(str(unit.get("asked") or "")) if (day or listed) <= today]
    if asked_now is not None and not entries:
        entries = [(listed, asked_now)]
    latest: dict[int, float] = dict(entries)  # of several on one day the last counts
    starts = sorted(latest)
    spells = [(float(end - start), latest[start]) for start, end in zip(starts, [*starts[1:], today], strict=True) if end > start]
    if not spells and today > listed:
        return None if not starts else Past(((float(today - listed), latest[starts[-1]]),))
    return Past(tuple(spells))
