"""The books: what each unit brought, cost and took in hours, the one table that every total of the
quarter is added up from.

    profit = price - fees - refund + salvage + delivery - paid - parts - lump - haul - helper -
        comebacks
    hours  = driving + finding + repairing + cleaning + selling + not split + comebacks

Sales tax collected belongs to somebody else and stays out. A blank is unknown, never 0. What is
done about it is kept apart from what was written, cell by cell, so that a page can say so and the
tax tables can leave it out:

* paid, parts, minutes of a task that most of the person's units of that outcome have: the person's
usual for the type;
* hauling and driving, where the miles are known: the miles at the rate and speed of the settings;
* selling fees, where the settings name some: the settings;
* a unit with no hours at all: the person's usual for the type, else the starting figures;
* a unit with a value that looks like a slip of the pen (`doubts`) stands in no sum until the person
has answered;
* everything else (a task that is never written, refunds, a helper, salvage): nothing; for an empty
trip nothing but its miles.

A sold unit whose price is blank cannot be counted in money and is named instead. All money is
rounded to the cent and all hours to the hundredth here, once, so that printed rows add up to
printed totals.
"""

from collections.abc import Mapping
from datetime import date
from functools import cached_property
from typing import Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units
from pricing.quarter.blanks import cents, comebacks, fill, some_cents, types_of
from pricing.quarter.doubts import Doubt, doubts
from pricing.quarter.worked import TASKS, hours_of

IN = ("price", "salvage", "delivery")
OUT = ("fees", "refund", "paid", "parts", "lump", "haul", "helper", "comebacks")


@frozen
class Books:
    """One row for each row of the record, in its order. Money in the currency's unit, hours in
    hours, days as ordinals.

    unit, trip, expense: what kind of row it is (masks, exclusive). sold, failed (scrapped or
    parted), returned: how a unit ended by `as_of`; ended is any of them; doubted: ended, with one
    of `doubts`; counted: ended, its money known and not doubted; open: still in the shop or listed.
    day: the day it ended, or the day of a trip or expense; NaN where not written. empty: a drive
    that no unit shares.
    written, assumed: name of IN and OUT -> (n,) money as written, and money put in for a blank.
    hours, assumed_hours: name of TASKS -> (n,) hours, and the part of them that was put in for a
    blank.
    """

    units: Units
    as_of: int
    unit: np.ndarray
    trip: np.ndarray
    expense: np.ndarray
    sold: np.ndarray
    failed: np.ndarray
    returned: np.ndarray
    open: np.ndarray
    doubted: np.ndarray
    counted: np.ndarray
    empty: np.ndarray
    day: np.ndarray
    written: Mapping[str, np.ndarray]
    assumed: Mapping[str, np.ndarray]
    hours: Mapping[str, np.ndarray]
    assumed_hours: Mapping[str, np.ndarray]
    doubts: tuple[Doubt, ...] = ()

    @property
    def ended(self) -> np.ndarray:
        """Sold, failed or returned, shape (n,)."""
        return self.sold | self.failed | self.returned

    def money(self, name: str) -> np.ndarray:
        """One column of money, written and put in together, shape (n,)."""
        return self.written[name] + self.assumed[name]

    @property
    def put_in(self) -> np.ndarray:
        """Money into each unit: paid, parts, lump, hauling and helper, shape (n,)."""
        return cents(sum(self.money(name) for name in ("paid", "parts", "lump", "haul", "helper")))

    @cached_property
    def profit(self) -> np.ndarray:
        """Shape (n,); expenses that belong to no unit are not in it."""
        return cents(sum(self.money(name) for name in IN) - sum(self.money(name) for name in OUT))

    @cached_property
    def worked(self) -> np.ndarray:
        """Hours of each row, shape (n,)."""
        return cents(sum(self.hours[name] for name in TASKS))

    @property
    def unpriced(self) -> np.ndarray:
        """Sold without a price, shape (n,)."""
        return self.ended & ~self.counted & ~self.doubted

    @property
    def spent(self) -> np.ndarray:
        """Expenses that belong to no unit, shape (n,)."""
        return cents(np.nan_to_num(self.units.number("expense")))


def keep_books(
    units: Units,
    settings: Settings,
    as_of: date,
    right: frozenset[tuple[str, str, float]] = frozenset(),
) -> Books:
    """The books of a record as they stood at the end of `as_of`; rows of units got after it are in
    none of the masks. right: values that the person said are right though they look like slips.

    >>> from pricing.basis.units import from_rows
    >>> row = {"type": "electric dryer", "outcome": "sold", "sold": 739000.0, "paid": 40.0}
    >>> row |= {"parts": 25.0, "price": 250.0, "hours": 1.0}
    >>> books = keep_books(from_rows([row]), Settings(), date(2026, 1, 1))
    >>> (books.profit.tolist(), books.worked.tolist())
    ([185.0], [1.0])
    """
    today = as_of.toordinal()
    outcomes, price = units.word("outcome"), units.number("price")
    unit, trip, expense = _kinds(units, today)
    # An outcome that lies after `as_of` has not happened yet; a price without an outcome is a sale.
    day = units.number("sold")
    happened = unit & ~(day > today)
    sold = happened & (_is(outcomes, "sold") | ((outcomes.codes < 0) & np.isfinite(price)))
    returned = happened & _is(outcomes, "returned")
    failed = happened & (_is(outcomes, "parted") | _is(outcomes, "scrapped"))
    ended = sold | returned | failed
    open_ = unit & ~ended & ~_is(outcomes, "kept")
    trip, expense = (kind & ~(_first_day(units) > today) for kind in (trip, expense))
    day = np.where(trip | expense, _first_day(units), np.where(ended, day, np.nan))

    class_of = np.where(sold | returned, 1, np.where(failed, 2, 0)).astype(np.int8)
    alone, shares = _drives(units, trip, unit)
    written, assumed = _money(units, settings, unit, unit | trip, sold, class_of, shares, ended)
    hours, assumed_hours = hours_of(units, settings, unit, unit | trip, class_of, shares)
    # A trip row of a drive that brought something home is that drive: its cost and time go to the
    # units of it.
    for table in (written, assumed, hours, assumed_hours):
        for name in set(table) & {"haul", "drive", "not split"}:
            table[name] = _hand_on(table[name], units.word("trip").codes, trip & ~alone, unit)
    suspects = tuple(one for one in doubts(units, right) if ended[one.row])
    doubted = np.zeros(units.n, dtype=bool)
    doubted[[one.row for one in suspects]] = True
    counted, empty = ended & ~doubted & ~(sold & ~np.isfinite(price)), trip & alone
    kinds = (unit, trip, expense, sold, failed, returned, open_, doubted, counted, empty)
    return Books(units, today, *kinds, day, written, assumed, hours, assumed_hours, suspects)


def _kinds(units: Units, today: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Which rows are units got by `today`, which trips, which expenses: masks, exclusive. A row
    without a type is an expense where it names one, and a trip where it names a drive and no
    price."""
    outcomes, nameless = units.word("outcome"), units.word("type").codes < 0
    has_expense = nameless & np.isfinite(units.number("expense"))
    expense = _is(outcomes, "expense") | (has_expense & ~_is(outcomes, "trip"))
    drive = nameless & (units.word("trip").codes >= 0) & ~np.isfinite(units.number("price"))
    trip = ~expense & (_is(outcomes, "trip") | drive)
    return ~expense & ~trip & ~(units.number("got") > today), trip, expense


def _is(coded: Coded, word: str) -> np.ndarray:
    """Which rows hold `word`, shape (n,)."""
    return coded.lookup([word]) == 0


def _first_day(units: Units) -> np.ndarray:
    """The day of a trip or expense row: whichever of the dates is written."""
    day = units.number("sold")
    for name in ("got", "listed"):
        day = np.where(np.isfinite(day), day, units.number(name))
    return day


def _drives(units: Units, trip: np.ndarray, unit: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Whether a trip row stands alone, and the share of its drive that each row carries.

    Rows of one `trip` that all repeat the same miles and minutes carry the whole drive each, so
    each takes an equal share; where they differ, each row already carries its own part.
    """
    codes = units.word("trip").codes
    shares = np.ones(units.n)
    k = len(units.word("trip").levels)
    if not k:
        return np.ones(units.n, dtype=bool), shares
    on = unit & (codes >= 0)
    count = np.bincount(codes[on], minlength=k)
    same = np.ones(k, dtype=bool)
    for name in ("miles", "drive_min", "haul_cost"):
        values = np.nan_to_num(units.number(name), nan=-1.0)
        low, high = np.full(k, np.inf), np.full(k, -np.inf)
        np.minimum.at(low, codes[on], values[on])
        np.maximum.at(high, codes[on], values[on])
        same &= ~(high > low)
    split = on & same[codes] & (count[codes] > 1)
    shares[split] = 1.0 / count[codes[split]]
    return (codes < 0) | (count[codes] == 0), shares


def _hand_on(
    values: np.ndarray, codes: np.ndarray, givers: np.ndarray, unit: np.ndarray
) -> np.ndarray:
    if not (givers & (values != 0)).any():
        return values
    k = int(codes.max()) + 1
    takers = unit & (codes >= 0)
    given = np.bincount(codes[givers], values[givers], minlength=k)
    count = np.bincount(codes[takers], minlength=k)
    out = np.where(givers, 0.0, values)
    out[takers] += given[codes[takers]] / count[codes[takers]]
    return cents(out)


def _money(
    units: Units,
    settings: Settings,
    unit: np.ndarray,
    rows: np.ndarray,
    sold: np.ndarray,
    class_of: np.ndarray,
    shares: np.ndarray,
    ended: np.ndarray,
) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    of_type, n_types = types_of(units)
    zero, number = np.broadcast_to(np.int8(0), units.n), units.number
    raw = {name: number(name) for name in (*IN, "fees", "refund", "paid", "parts", "helper")}
    raw["haul"] = number("haul_cost") * shares
    raw["comebacks"] = comebacks(units)[1]
    raw["price"] = np.where(ended, raw["price"], np.nan)
    # A lump "in it" is paid and parts together: what is known of the two comes off it.
    lump = number("cost_in")
    raw["lump"] = np.maximum(lump - np.nan_to_num(raw["paid"]) - np.nan_to_num(raw["parts"]), 0)
    written = {
        name: some_cents(np.where(rows, np.nan_to_num(raw[name]), 0.0)) for name in (*IN, *OUT)
    }
    assumed = dict.fromkeys((*IN, *OUT), np.broadcast_to(0.0, units.n))
    no_lump = unit & ~np.isfinite(lump) & (units.word("type").codes >= 0)
    for name, by in (("paid", zero), ("parts", class_of)):
        assumed[name] = some_cents(fill(raw[name], no_lump, by, of_type, n_types))
    by_miles = np.nan_to_num(2 * number("miles") * shares * settings.cost_per_distance)
    assumed["haul"] = some_cents(np.where(rows & ~np.isfinite(raw["haul"]), by_miles, 0))
    fee = np.nan_to_num(raw["price"]) * settings.selling_fee_share + settings.selling_fee_fixed
    unsaid = sold & ~np.isfinite(raw["fees"]) & np.isfinite(raw["price"])
    assumed["fees"] = some_cents(np.where(unsaid, fee, 0))
    return written, assumed


@frozen
class Totals:
    """What a set of rows adds up to, by the books; per_hour is None without hours."""

    n_ended: int
    n_sold: int
    n_failed: int
    n_returned: int
    n_uncounted: int
    n_doubted: int
    n_trips: int
    money: Mapping[str, float]
    hours_by_task: Mapping[str, float]
    hours: float
    trip_hours: float
    expenses: float
    assumed_money: float
    assumed_hours: float
    profit: float

    @property
    def taken_in(self) -> float:
        return round(sum(self.money[name] for name in IN), 2)

    @property
    def per_hour(self) -> float | None:
        return self.profit / self.hours if self.hours > 0 else None


def add_up(books: Books, rows: np.ndarray) -> Totals:
    """Totals of counted units, empty trips and expenses among `rows` (mask), profit after all."""
    trips = rows & books.empty
    both = rows & books.counted | trips
    money = {name: _sum(books.money(name), both) for name in (*IN, *OUT)}
    hours = {task: _sum(books.hours[task], both) for task in TASKS}
    expenses = _sum(books.spent, rows & (books.expense | books.unit | books.trip))
    kinds = {
        "ended": books.ended, "sold": books.sold, "failed": books.failed, "trips": books.empty,
        "returned": books.returned, "uncounted": books.unpriced, "doubted": books.doubted,
    }  # fmt: skip
    n: dict[str, Any] = {f"n_{name}": int((rows & kind).sum()) for name, kind in kinds.items()}
    return Totals(
        **n,
        money=money,
        hours_by_task=hours,
        hours=round(sum(hours.values()), 2),
        trip_hours=_sum(books.worked, trips),
        expenses=expenses,
        assumed_money=round(sum(_sum(books.assumed[name], both) for name in OUT), 2),
        assumed_hours=round(sum(_sum(books.assumed_hours[task], both) for task in TASKS), 2),
        profit=round(sum(money[x] for x in IN) - sum(money[x] for x in OUT) - expenses, 2),
    )


def _sum(values: np.ndarray, rows: np.ndarray) -> float:
    return round(float(values[rows].sum()), 2)
