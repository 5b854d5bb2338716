"""Calendar-year tables for the tax folder: arithmetic on what was written, nothing put in for
blanks, no advice.

    stock at cost on a day = paid + parts + lump of the units in hand at its end
    cost of goods sold     = opening stock + bought in the year - taken for own use - closing stock

A part bought for a unit counts on the day the unit was got, because the record keeps no other day
for it. A unit whose day got is blank counts from the day it was listed, else from the day it ended.
What a doubted unit brought (`doubts`) is in none of them until the person has answered.
"""

from __future__ import annotations

from datetime import date

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.quarter.blanks import cents
from pricing.quarter.money import Books


@frozen
class TaxSheet:
    """A table with typed cells for a CSV file: text, dates, floats of money, distance or
    hours."""

    name: str
    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[object, ...], ...]


@frozen
class Year:
    """The year's tables; until: the last day that they hold (the year's end, or today in a year
    that still runs)."""

    year: int
    until: date
    goods: TaxSheet
    receipts: TaxSheet
    unsold: TaxSheet
    expenses: TaxSheet
    sales_tax: TaxSheet
    mileage: TaxSheet

    @property
    def sheets(self) -> tuple[TaxSheet, ...]:
        return (self.goods, self.receipts, self.unsold, self.expenses, self.sales_tax, self.mileage)


def make_year(books: Books, settings: Settings, year: int) -> Year:
    """The tables of one calendar year, up to the day of the books."""
    first = date(year, 1, 1).toordinal()
    last = max(min(date(year, 12, 31).toordinal(), books.as_of), first - 1)
    until = date.fromordinal(max(last, 1))
    cost = cents(sum(books.written[name] for name in ("paid", "parts", "lump")))
    numbers = books.units.number
    got = numbers("got")
    for other in (numbers("listed"), numbers("sold")):
        got = np.where(np.isfinite(got), got, other)
    kept = books.units.word("outcome").lookup(["kept"]) == 0
    # An ended unit with no day at all can be in no year; a unit kept for own use leaves on its day,
    # or on the day it was got.
    gone = np.where(
        books.ended,
        books.day,
        np.where(kept, np.where(np.isfinite(numbers("sold")), numbers("sold"), got), np.inf),
    )
    unit = books.unit & np.isfinite(got) & ~np.isnan(gone)
    gone = np.where(np.isnan(gone), np.inf, np.maximum(gone, np.where(np.isfinite(got), got, gone)))

    def stock(day: int) -> np.ndarray:
        in_hand: np.ndarray = unit & (got <= day) & (gone > day)
        return in_hand

    inside = (books.day >= first) & (books.day <= last)
    bought = unit & (got >= first) & (got <= last)
    own_use = unit & kept & (gone >= first) & (gone <= last)
    ended = unit & books.ended & inside
    return Year(
        year,
        until,
        _goods(cost, stock(first - 1), bought, own_use, stock(last), ended),
        _receipts(books, inside & ~books.doubted),
        _unsold(books, cost, stock(last), got, until),
        _expenses(books, inside, got, first, last),
        _sales_tax(books, inside & ~books.doubted, year),
        _mileage(books, settings, got, first, last),
    )


def _total(values: np.ndarray, rows: np.ndarray) -> float:
    return round(float(values[rows].sum()), 2) + 0.0


def _goods(
    cost: np.ndarray,
    opening: np.ndarray,
    bought: np.ndarray,
    own_use: np.ndarray,
    closing: np.ndarray,
    ended: np.ndarray,
) -> TaxSheet:
    parts = (
        _total(cost, opening),
        _total(cost, bought),
        _total(cost, own_use),
        _total(cost, closing),
    )
    sold = round(parts[0] + parts[1] - parts[2] - parts[3], 2) + 0.0
    rows: list[tuple[object, ...]] = [
        ("stock at cost when the year began", int(opening.sum()), parts[0]),
        ("units and parts bought in the year", int(bought.sum()), parts[1]),
        ("less taken for own use", int(own_use.sum()), -parts[2] + 0.0),
        ("less stock at cost at the end", int(closing.sum()), -parts[3] + 0.0),
        ("cost of goods sold", int(ended.sum()), sold),
    ]
    return TaxSheet(
        "cost-of-goods-sold", "Cost of goods sold", ("line", "units", "money"), tuple(rows)
    )


def _receipts(books: Books, inside: np.ndarray) -> TaxSheet:
    rows: list[tuple[object, ...]] = []
    names = ("price", "delivery", "salvage", "refund", "fees", "helper", "haul")
    picked = np.flatnonzero(inside & (books.ended | books.empty))
    picked = picked[np.argsort(books.day[picked], kind="stable")]
    units, types = (books.units.word(name).take(picked).texts() for name in ("unit", "type"))
    for i, row in enumerate(picked.tolist()):
        rows.append(
            (
                date.fromordinal(int(books.day[row])),
                units[i],
                types[i],
                *[float(books.written[name][row]) for name in names],
            )
        )
    rows.append(("total", "", "", *[_total(books.written[name], picked) for name in names]))
    return TaxSheet(
        "receipts-and-selling-costs",
        "What came in, and what selling cost",
        (
            "day",
            "unit",
            "type",
            "price",
            "delivery",
            "parts and scrap sold",
            "refund",
            "fees",
            "helper",
            "truck and dump as written",
        ),
        tuple(rows),
    )


def _unsold(
    books: Books, cost: np.ndarray, closing: np.ndarray, got: np.ndarray, until: date
) -> TaxSheet:
    picked = np.flatnonzero(closing)
    picked = picked[np.argsort(got[picked], kind="stable")]
    units, types = (books.units.word(name).take(picked).texts() for name in ("unit", "type"))
    rows: list[tuple[object, ...]] = [
        (units[i], types[i], date.fromordinal(int(got[row])), float(cost[row]))
        for i, row in enumerate(picked.tolist())
    ]
    rows.append(("total", f"in hand on {until.isoformat()}", "", _total(cost, picked)))
    return TaxSheet(
        "unsold-at-cost", "Unsold at cost", ("unit", "type", "got", "cost"), tuple(rows)
    )


def _expenses(books: Books, inside: np.ndarray, got: np.ndarray, first: int, last: int) -> TaxSheet:
    day = np.where(np.isfinite(books.day), books.day, got)
    picked = np.flatnonzero((day >= first) & (day <= last) & (books.spent != 0))
    picked = picked[np.argsort(day[picked], kind="stable")]
    notes = books.units.word("note").take(picked).texts()
    rows: list[tuple[object, ...]] = [
        (date.fromordinal(int(day[row])), notes[i], float(books.spent[row]))
        for i, row in enumerate(picked.tolist())
    ]
    rows.append(("total", "", _total(books.spent, picked)))
    return TaxSheet(
        "expenses", "Expenses that belong to no unit", ("day", "what", "money"), tuple(rows)
    )


def _sales_tax(books: Books, inside: np.ndarray, year: int) -> TaxSheet:
    tax = cents(np.nan_to_num(books.units.number("tax")))
    rows: list[tuple[object, ...]] = []
    for month in range(1, 13):
        end = date(year + month // 12, month % 12 + 1, 1).toordinal()
        here = (
            inside
            & books.ended
            & (books.day >= date(year, month, 1).toordinal())
            & (books.day < end)
        )
        rows.append(
            (
                f"{year}-{month:02d}",
                int(books.sold[here].sum()),
                _total(books.written["price"], here),
                _total(tax, here),
            )
        )
    whole = inside & books.ended
    rows.append(
        (
            "total",
            int(books.sold[whole].sum()),
            _total(books.written["price"], whole),
            _total(tax, whole),
        )
    )
    return TaxSheet(
        "sales-tax-by-month",
        "Sales tax collected by month",
        ("month", "sold", "price", "tax collected"),
        tuple(rows),
    )


def _mileage(books: Books, settings: Settings, got: np.ndarray, first: int, last: int) -> TaxSheet:
    """One line a drive: both ways, a drive for several units once."""
    miles = books.units.number("miles")
    day = np.where(books.trip, books.day, got)
    picked = np.flatnonzero(
        (books.unit | books.trip) & np.isfinite(miles) & (day >= first) & (day <= last)
    )
    picked = picked[np.argsort(day[picked], kind="stable")]
    trips, units, types, notes, places = (
        books.units.word(name).take(picked).texts()
        for name in ("trip", "unit", "type", "note", "got_from")
    )
    drives: dict[object, list[int]] = {}
    for i, trip in enumerate(trips):
        drives.setdefault((trip, int(day[picked[i]])) if trip else i, []).append(i)
    rows: list[tuple[object, ...]] = []
    total = 0.0
    for members in drives.values():
        lead = picked[members[0]]
        own = [float(miles[picked[i]]) for i in members]
        # Rows that repeat the same figure are one drive; rows that differ each carry their part of
        # it.
        way = own[0] if len(set(own)) == 1 else sum(own)
        what = ", ".join(
            f"{types[i] or 'unit'} {units[i]}".strip() for i in members if types[i] or units[i]
        )
        place = next((places[i] for i in members if places[i]), "")
        purpose = (
            f"fetched {what}" + (f" ({place})" if place else "")
            if what
            else notes[members[0]] or "drive with nothing brought home"
        )
        rows.append((date.fromordinal(int(day[lead])), purpose, round(2 * way, 2)))
        total += round(2 * way, 2)
    rows.append(("total", "", round(total, 2)))
    return TaxSheet(
        "mileage-log",
        "Mileage log",
        ("day", "purpose", f"{settings.distance_unit}, both ways"),
        tuple(rows),
    )
