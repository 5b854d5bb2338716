"""Calendar-year tables for the tax folder: arithmetic on what was written, nothing put in for
blanks, no advice.

    stock at cost on a day = paid + parts + lump of the units in hand at its end
    cost of goods sold     = opening stock + bought in the year - taken for own use - closing stock

A part bought for a unit counts on the day the unit was got, because the record keeps no other day
for it. A unit whose day got is blank counts from the day it was listed, else from the day it ended.
What a doubted unit brought (`doubts`) is in none of them until the person has answered.
"""

from datetime import date
from itertools import pairwise
from typing import Any

import numpy as np
from numpy import ndarray as Array

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.quarter.blanks import cents
from pricing.quarter.money import Books


@frozen
class TaxSheet:
    """A table with typed cells for a CSV file: text, dates, floats."""

    name: str
    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[object, ...], ...]


@frozen
class Year:
    """The year's tables; until: the last day that they hold."""

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
    left = np.where(np.isfinite(numbers("sold")), numbers("sold"), got)
    gone = np.where(books.ended, books.day, np.where(kept, left, np.inf))
    unit = books.unit & np.isfinite(got) & ~np.isnan(gone)
    gone = np.where(np.isnan(gone), np.inf, np.maximum(gone, np.where(np.isfinite(got), got, gone)))

    def stock(day: int) -> Array:
        return unit & (got <= day) & (gone > day)

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
        _mileage(books, settings, got, (first, last), year),
    )


def _total(values: Array, rows: Array) -> float:
    return round(float(values[rows].sum()), 2) + 0.0


def _goods(
    cost: Array, opening: Array, bought: Array, own_use: Array, closing: Array, ended: Array
) -> TaxSheet:
    told = (
        ("stock at cost when the year began", opening, 1),
        ("units and parts bought in the year", bought, 1),
        ("less taken for own use", own_use, -1), ("less stock at cost at the end", closing, -1),
    )  # fmt: skip
    rows = [(what, int(some.sum()), sign * _total(cost, some) + 0.0) for what, some, sign in told]
    sold = round(sum(money for *_, money in rows), 2) + 0.0
    rows.append(("cost of goods sold", int(ended.sum()), sold))
    head = ("line", "units", "money")
    return TaxSheet("cost-of-goods-sold", "Cost of goods sold", head, tuple(rows))


def _in_order(books: Books, rows: Array, day: Array, *columns: str) -> tuple[Any, ...]:
    """The places of some rows by their day, their days, and words of each."""
    picked = np.flatnonzero(rows)
    picked = picked[np.argsort(day[picked], kind="stable")]
    days = [date.fromordinal(int(at)) for at in day[picked]]
    return picked, days, *(books.units.word(name).take(picked).texts() for name in columns)


def _receipts(books: Books, inside: Array) -> TaxSheet:
    names = ("price", "delivery", "salvage", "refund", "fees", "helper", "haul")
    some = inside & (books.ended | books.empty)
    picked, *told = _in_order(books, some, books.day, "unit", "type")
    money = [books.written[name][picked].tolist() for name in names]
    total = ("total", "", "", *[_total(books.written[name], picked) for name in names])
    rows = (*zip(*told, *money, strict=True), total)
    head = (
        "day", "unit", "type", "price", "delivery", "parts and scrap sold", "refund", "fees",
        "helper", "truck and dump as written",
    )  # fmt: skip
    title = "What came in, and what selling cost"
    return TaxSheet("receipts-and-selling-costs", title, head, rows)


def _unsold(books: Books, cost: Array, closing: Array, got: Array, until: date) -> TaxSheet:
    picked, days, units, types = _in_order(books, closing, got, "unit", "type")
    each = zip(units, types, days, cost[picked].tolist(), strict=True)
    total = ("total", f"in hand on {until.isoformat()}", "", _total(cost, picked))
    head = ("unit", "type", "got", "cost")
    return TaxSheet("unsold-at-cost", "Unsold at cost", head, (*each, total))


def _expenses(books: Books, inside: Array, got: Array, first: int, last: int) -> TaxSheet:
    day = np.where(np.isfinite(books.day), books.day, got)
    some = (day >= first) & (day <= last) & (books.spent != 0)
    picked, days, notes = _in_order(books, some, day, "note")
    each = zip(days, notes, books.spent[picked].tolist(), strict=True)
    rows = (*each, ("total", "", _total(books.spent, picked)))
    return TaxSheet("expenses", "Expenses that belong to no unit", ("day", "what", "money"), rows)


def _sales_tax(books: Books, inside: Array, year: int) -> TaxSheet:
    tax = cents(np.nan_to_num(books.units.number("tax")))
    whole = inside & books.ended

    def row(name: str, some: Array) -> tuple[object, ...]:
        sold, price = int(books.sold[some].sum()), books.written["price"]
        return name, sold, _total(price, some), _total(tax, some)

    starts = [date(year + month // 12, month % 12 + 1, 1).toordinal() for month in range(13)]
    rows = [
        row(f"{year}-{month:02d}", whole & (books.day >= begin) & (books.day < end))
        for month, (begin, end) in enumerate(pairwise(starts), 1)
    ]
    rows.append(row("total", whole))
    head = ("month", "sold", "price", "tax collected")
    return TaxSheet("sales-tax-by-month", "Sales tax collected by month", head, tuple(rows))


def _mileage(
    books: Books, settings: Settings, got: Array, span: tuple[int, int], year: int
) -> TaxSheet:
    """One line a drive: both ways, once for several units; in money at the rate of that year."""
    first, last = span
    miles = books.units.number("miles")
    day = np.where(books.trip, books.day, got)
    some = (books.unit | books.trip) & np.isfinite(miles) & (day >= first) & (day <= last)
    columns = ("trip", "unit", "type", "note", "got_from")
    picked, days, trips, units, types, notes, places = _in_order(books, some, day, *columns)
    drives: dict[object, list[int]] = {}
    for i, trip in enumerate(trips):
        drives.setdefault((trip, days[i]) if trip else i, []).append(i)
    rows: list[tuple[object, ...]] = []
    for members in drives.values():
        own = miles[picked[members]].tolist()
        # Rows that repeat the same figure are one drive; rows that differ each carry their part of
        # it.
        way = own[0] if len(set(own)) == 1 else sum(own)
        named = [i for i in members if types[i] or units[i]]
        what = ", ".join(f"{types[i] or 'unit'} {units[i]}".strip() for i in named)
        place = next((f" ({places[i]})" for i in members if places[i]), "")
        none = notes[members[0]] or "drive with nothing brought home"
        purpose = f"fetched {what}{place}" if what else none
        rows.append((days[members[0]], purpose, round(2 * way, 2)))
    rows.append(("total", "", round(sum(float(str(both)) for *_, both in rows), 2)))
    head: tuple[str, ...] = ("day", "purpose", f"{settings.distance_unit}, both ways")
    rate, unit, title = settings.mileage_rate, settings.distance_unit, "Mileage log"
    if rate is not None and settings.mileage_rate_year == year:
        source = settings.mileage_rate_source or "source not written"
        title += f", {rate:g} a {unit} in {year} ({source})"
        drove = [float(str(row[2])) for row in rows]
        money = [round(rate * way, 2) for way in drove[:-1]]
        rows = [(*row, at) for row, at in zip(rows, [*money, round(sum(money), 2)], strict=True)]
        head = (*head, "money")
    elif rate is not None:
        title += f", without money: no rate of {year} is set"
    return TaxSheet("mileage-log", title, head, tuple(rows))
