"""The running week in money against those before it, by the quarter's books."""

from datetime import date
from typing import Any

from pricing.quarter.money import Books, add_up

N_WEEKS = 6  # with the running one


def last_weeks(books: Books, as_of: date) -> dict[str, Any]:
    """The weeks from Monday to Sunday, the running one last: `profit` after trips and expenses in
    money, `hours`, units `n_sold`, and the first day of each.

    >>> from pricing.basis.settings import Settings
    >>> from pricing.basis.units import from_rows
    >>> from pricing.quarter.money import keep_books
    >>> row = {"type": "gas range", "outcome": "sold", "sold": 739000.0, "paid": 40.0}
    >>> day = date.fromordinal(739001)
    >>> books = keep_books(from_rows([row | {"price": 250.0, "hours": 1.0}]), Settings(), day)
    >>> [week["profit"] for week in last_weeks(books, day)["weeks"]][-2:]
    [0.0, 210.0]
    """
    monday = as_of.toordinal() - as_of.weekday()
    weeks: list[dict[str, Any]] = []
    for first in range(monday - 7 * (N_WEEKS - 1), monday + 1, 7):
        total = add_up(books, (books.day >= first) & (books.day < first + 7))
        told = {name: getattr(total, name) for name in ("profit", "hours", "n_sold")}
        weeks.append({"first": date.fromordinal(first).isoformat(), **told})
    earned = sum(week["profit"] for week in weeks[:-1])
    return {"weeks": weeks, "usual": round(earned / (N_WEEKS - 1), 2)}
