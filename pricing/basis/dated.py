"""Dated amounts as the record keeps them: "2026-03-01:320; 2026-03-15:295", or a bare "320"."""

import math
from datetime import date


def entries(text: str) -> list[tuple[float, float]]:
    """(day, amount) in order of the day; the day is ordinal, NaN for a bare amount. What is no
    amount is passed over.

    >>> entries("320"), [day for day, _ in entries("1970-01-02:300; 1970-01-01:320")]
    ([(nan, 320.0)], [719163.0, 719164.0])
    """
    found = []
    for entry in text.split(";"):
        day, sep, amount = entry.strip().rpartition(":")
        try:
            on = float(date.fromisoformat(day.strip()).toordinal()) if sep else math.nan
            found.append((on, float(amount)))
        except ValueError:
            continue
    return sorted(found, key=lambda pair: -math.inf if math.isnan(pair[0]) else pair[0])


def steps(text: str, start: float, end: float) -> list[tuple[float, float]]:
    """(day, amount) in force from `start` to `end`, with each change before `end`. A bare amount,
    and the last one dated by `start`, hold from `start`; where all are later, the earliest does.

    >>> steps("1970-01-01:350; 1970-01-09:320; 1970-01-20:300", 719171.0, 719180.0)
    [(719171.0, 320.0)]
    """
    held: list[tuple[float, float]] = []
    for day, amount in entries(text):
        if not amount > 0 or not math.isfinite(amount):
            continue
        day = start if math.isnan(day) else max(day, start)
        if held and held[-1][0] == day:
            held[-1] = (day, amount)
        elif day < end or not held:
            held.append((day if held else start, amount))
    return held
