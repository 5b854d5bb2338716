"""The words of one unit's record: every column, its kind, its unit and its meaning. The only list
of columns.

Kinds and how a value of each is kept:
    text      as written                     word     lower-case canonical word
    words     "a; b", canonical, sorted      graded   one of CONDITIONS
    number    float                          money    float, the currency's unit, exact to the cent
        in the record
    date      days (date.toordinal())        dated    "2026-03-01:320; 2026-03-15:295", or a bare
        first value
"""

from __future__ import annotations

from pricing.basis.frozen import frozen


@frozen
class Column:
    """One column of a unit: `unit` is its unit of measure, empty for words."""

    name: str
    kind: str
    unit: str
    meaning: str


COLUMNS: tuple[Column, ...] = (
    Column("unit", "text", "", "your own number for the unit"),
    Column("type", "word", "", "what it is: front-load washer, electric dryer, gas range, …"),
    Column("maker", "word", "", "brand"),
    Column("tier", "word", "", "plain, middle or upper make, if you say so"),
    Column("age", "number", "years", "years old on the day you got it"),
    Column("made", "text", "", "year made, or the years it may be: 2016, 2014-2016, 2006, 2016"),
    Column("features", "words", "", "steam; ice maker; …"),
    Column("fuel", "word", "", "gas or electric, where the type does not say it"),
    Column("finish", "word", "", "stainless, white, …"),
    Column("size", "number", "", "tub or box size, in your own unit"),
    Column("condition", "graded", "", "as listed, after cleaning: rough, fair, good, like new"),
    Column("fault", "word", "", "as first told"),
    Column("found", "word", "", "what it turned out to be"),
    Column("repair", "words", "", "what was done"),
    Column("got_from", "word", "", "where it came from"),
    Column("sold_where", "word", "", "where it sold"),
    Column("got", "date", "", "day you got it"),
    Column("listed", "date", "", "day it was listed"),
    Column("sold", "date", "", "day it was sold, scrapped or parted"),
    Column("paid", "money", "money", "paid for the broken unit; 0 for free"),
    Column("parts", "money", "money", "parts"),
    Column("haul_cost", "money", "money", "truck and dump fees"),
    Column("fees", "money", "money", "selling fees"),
    Column("refund", "money", "money", "given back to the buyer"),
    Column("helper", "money", "money", "paid to a helper"),
    Column("cost_in", "money", "money",
        "one lump of what went in, where the sheet has only that"),
    Column("asked", "dated", "money", "first ask, or dated asks"),
    Column("price", "money", "money", "what the buyer paid for the appliance"),
    Column("salvage", "money", "money", "from parts and scrap"),
    Column("delivery", "money", "money", "charged for delivery"),
    Column("tax", "money", "money", "sales tax collected"),
    Column("hours", "number", "hours", "own work without driving"),
    Column("drive_min", "number", "minutes", "driving"),
    Column("diagnose_min", "number", "minutes", "finding the fault"),
    Column("repair_min", "number", "minutes", "repairing"),
    Column("clean_min", "number", "minutes", "cleaning"),
    Column("sell_min", "number", "minutes", "photos, messages, meeting, loading"),
    Column("miles", "number", "distance", "one way"),
    Column("outcome", "word", "",
        "sold, listed, in work, waiting for part, parted, scrapped, kept, returned"),
    Column("offers", "dated", "money", "what buyers offered"),
    Column("comeback", "text", "", "date: hours: cost"),
    Column("pair", "text", "", "sold as a pair with"),
    Column("trip", "text", "", "one drive for several units"),
    Column("from_unit", "text", "", "unit a pulled part came from"),
    Column("model", "text", "", "model number on the plate"),
    Column("serial", "text", "", "serial number on the plate"),
    Column("recall_checked", "date", "", "day you looked up recalls"),
    Column("warranty_days", "number", "days", "days of promise given"),
    Column("owner", "word", "", "whose unit, in a shared record"),
    Column("expense", "money", "money", "an expense that belongs to no unit"),
    Column("note", "text", "", "anything else"),
)  # fmt: skip
# some columns as a question names them
MEANT = {
    "got": "day you got it",
    "listed": "day you put it up for sale",
    "sold": "day it sold",
    "asked": "first ask",
    "paid": "price you paid",
    "parts": "cost of parts",
}
BY_NAME = {column.name: column for column in COLUMNS}
CONDITIONS = ("rough", "fair", "good", "like new")
OUTCOMES = (
    "sold", "listed", "in work", "waiting for part", "parted", "scrapped", "kept", "returned",
    "trip", "expense",
)  # fmt: skip
ENDED = ("sold", "parted", "scrapped", "returned")
MINUTES = ("drive_min", "diagnose_min", "repair_min", "clean_min", "sell_min")
EVENTS = ("got", "listed", "sold")  # in the order in which they come
NUMERIC_KINDS = ("number", "money", "date")


def is_numeric(name: str) -> bool:
    """Whether values of this column are kept as floats (numbers, money, dates as ordinal days)."""
    return name in BY_NAME and BY_NAME[name].kind in NUMERIC_KINDS
