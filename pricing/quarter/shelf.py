"""What waits: units not ended, how long, their next step; listings of the waiting curve."""

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
    """A unit that has not ended. state: "listed" or its outcome; days: since listed, else got;
    step, on, to, least: what to do next, when, to which ask, and the least to take; first: of
    all."""

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
    """Days listed, whether sold, and type of every unit listed by then, as known at that time."""
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
    texts = (books.units.word(x).take(rows).texts() for x in ("unit", "type", "outcome", "asked"))
    dates = (books.units.number(name)[rows] for name in ("listed", "got"))
    numbers = (*dates, books.put_in[rows])
    out = []
    for name, kind, outcome, asks, listed, got, put_in in zip(*texts, *numbers, strict=True):
        is_listed = bool(listed <= books.as_of)
        since = listed if is_listed else got
        state = "listed" if is_listed or outcome == "listed" else outcome
        state = "in work" if state in ("", "sold") else state
        days = int(books.as_of - since) if np.isfinite(since) else None
        told = (kind or "type not written", state, days, last_ask(asks, as_of), float(put_in))
        out.append(OnShelf(name, *told))

    def order(each: OnShelf) -> tuple[bool, int, str]:
        return each.state != "listed", -(-1 if each.days is None else each.days), each.unit

    return tuple(sorted(out, key=order))


def planned(waiting: Sequence[OnShelf], plans: Sequence[Plan]) -> tuple[OnShelf, ...]:
    """The waiting units with the next step of those that `plans` names."""
    by_unit = {plan.unit: plan for plan in plans if plan.unit}

    def with_step(each: OnShelf) -> OnShelf:
        plan = by_unit.get(each.unit) if each.state == "listed" else None
        if plan is None:
            return each
        told = {name: getattr(plan, name) for name in ("step", "on", "to", "least")}
        return replace(each, **told, first=plan.order == 1)

    return tuple(map(with_step, waiting))


def last_ask(text: str, as_of: date) -> float | None:
    """The newest ask up to `as_of` in `320` or `2026-03-01:320; 2026-03-15:295`.

    >>> (last_ask("2026-03-01:320; 2026-03-15:295", date(2026, 3, 10)),
    ...  last_ask("85", date(2026, 3, 10)), last_ask("", date(2026, 1, 1)))
    (320.0, 85.0, None)
    """
    known = [amount for day, amount in dated(text) if day is None or day <= as_of.toordinal()]
    return known[-1] if known else None
