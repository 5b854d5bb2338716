"""What waits: units that have not ended, how long they have, their next step; and the listings
behind the waiting curve."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from pricing.advice.history import dated
from pricing.advice.unsold import Waiting as Plan
from pricing.basis.frozen import frozen
from pricing.quarter.money import Books
from pricing.quarter.period import Quarter


@frozen
class OnShelf:
    """A unit that has not ended. state: "listed" or as its outcome says; days: since listed, else
    since got, None where unknown.

    step, on, to, least: what to do next, when, to which ask, and the least to take, where `unsold`
    could say; first: clear this one first.
    """

    unit: str
    type: str
    state: str
    days: int | None
    asked: float | None
    put_in: float
    step: str = ""
    on: date | None = None
    to: float | None = None
    least: float | None = None
    first: bool = False


def listings(books: Books, quarter: Quarter) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Days listed, whether sold, and type of every unit listed by the quarter's end, as it was
    known on that day (or on `as_of`)."""
    end = float(min(quarter.last.toordinal(), books.as_of))
    listed = books.units.number("listed")
    rows = books.unit & (listed <= end)
    stop = np.where(books.ended & (books.day <= end), books.day, end)
    sold = books.sold & (books.day <= end)
    known = rows & ~(books.ended & ~np.isfinite(books.day)) & (stop >= listed)
    return (
        (stop - listed)[known],
        sold[known],
        np.array(books.units.word("type").texts(), dtype=object)[known],
    )


def largest(
    types: np.ndarray, sold: np.ndarray, most: int = 3, least: int = 8
) -> list[tuple[str, np.ndarray]]:
    """The types with most sales, if they have enough to draw."""
    names, counts = np.unique(types[sold].astype(str), return_counts=True)
    order = np.argsort(-counts, kind="stable")[:most]
    return [(str(names[i]), types == names[i]) for i in order if counts[i] >= least and names[i]]


def waiting_units(books: Books, as_of: date) -> tuple[OnShelf, ...]:
    """Units that have not ended by `as_of`, the longest wait first."""
    rows = np.flatnonzero(books.open)
    names, types, outcomes, asks = (
        books.units.word(column).take(rows).texts()
        for column in ("unit", "type", "outcome", "asked")
    )
    listed, got = books.units.number("listed")[rows], books.units.number("got")[rows]
    put_in = books.put_in[rows]
    out = []
    for i in range(len(rows)):
        is_listed = bool(listed[i] <= books.as_of)
        since = listed[i] if is_listed else got[i]
        state = (
            "listed"
            if is_listed
            else outcomes[i]
            if outcomes[i] not in ("", "listed", "sold")
            else "in work"
        )
        if not is_listed and outcomes[i] == "listed":
            state = "listed"
        days = int(books.as_of - since) if np.isfinite(since) else None
        out.append(
            OnShelf(
                names[i],
                types[i] or "type not written",
                state,
                days,
                last_ask(asks[i], as_of),
                float(put_in[i]),
            )
        )
    return tuple(
        sorted(
            out,
            key=lambda each: (
                each.state != "listed",
                -(each.days if each.days is not None else -1),
                each.unit,
            ),
        )
    )


def planned(waiting: Sequence[OnShelf], plans: Sequence[Plan]) -> tuple[OnShelf, ...]:
    """The waiting units with the next step of those that `plans` names."""
    by_unit = {plan.unit: plan for plan in plans if plan.unit}
    out = []
    for each in waiting:
        plan = by_unit.get(each.unit) if each.state == "listed" else None
        out.append(
            each
            if plan is None
            else replace(
                each,
                step=plan.step,
                on=plan.on,
                to=plan.to,
                least=plan.least,
                first=plan.order == 1,
            )
        )
    return tuple(out)


def last_ask(text: str, as_of: date) -> float | None:
    """The newest ask up to `as_of` in `320` or `2026-03-01:320; 2026-03-15:295`.

    >>> (last_ask("2026-03-01:320; 2026-03-15:295", date(2026, 3, 10)),
    ...  last_ask("85", date(2026, 3, 10)), last_ask("", date(2026, 1, 1)))
    (320.0, 85.0, None)
    """
    known = [amount for day, amount in dated(text) if day is None or day <= as_of.toordinal()]
    return known[-1] if known else None
