"""Every column of one unit's record: its kind, its unit and its meaning. The only such list.

Kinds and how a value of each is kept:
    text      as written                     word     lower-case canonical word
    words     "a; b", canonical, sorted      graded   one of CONDITIONS
    number    float                          money    float, exact to the cent in the record
    date      days (date.toordinal())        dated    "2026-03-01:320; 2026-03-15:295", or "320"
"""

from pricing.basis.frozen import frozen
from pricing.basis.word_tables import known_names


@frozen
class Column:
    """One column of a unit: `unit` is its unit of measure, empty for words."""

    name: str
    kind: str
    unit: str
    meaning: str


COLUMNS = tuple(Column(*parts) for parts in known_names("columns"))
# some columns as a question names them
MEANT = {
    "got": "day you got it", "listed": "day you put it up for sale", "sold": "day it sold",
    "asked": "first ask", "paid": "price you paid", "parts": "cost of parts",
}  # fmt: skip
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
