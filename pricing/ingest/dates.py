"""A date's text -> a day, under one order for the whole file that the evidence in the whole file
decides.

Evidence, strongest first: a part above 12; the order of events within a row (got, listed, sold) and
the future; what the person said. Where nothing decides, nothing is guessed: the cells that read two
ways wait for an answer.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

from pricing.basis.frozen import frozen
from pricing.basis.word_tables import sections
from pricing.ingest.headings import listed
from pricing.ingest.values import is_blank, scrub, unusable

ORDERS = ("mdy", "dmy", "ymd")
_MONTHS = {
    name: number
    for number, names in enumerate(
        sections(Path(__file__).with_name("month_names.txt"))["months"], start=1
    )
    for name in names.split()
}
_WEEKDAY = re.compile(
    rf"^(?:{'|'.join(listed('weekdays'))}|mar(?=\.? \d+[/.-]))\.?,?\s+", re.IGNORECASE
)
_TIME = re.compile(
    r"(?:T|,?\s+(?:at|um|à|om|kl\.?)\s|[ ,])\s*\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?\s*"
    r"(?:[AaPp]\.?[Mm]\.?)?\s*(?:Uhr\s*)?"
    r"(?:Z|UTC|GMT|[+-]\d{2}:?\d{2})?$"
)
# 2026年1月21日
_WITH_SIGNS = re.compile(r"^(\d{4})年\s*(\d{1,2})月\s*(\d{1,2})日$")
_REIGN = re.compile(r"^(令和|平成|[RH])\s*(元|\d{1,2})[年./-](\d{1,2})[月./-](\d{1,2})日?$")
_REIGNS = {"令和": 2018, "R": 2018, "平成": 1988, "H": 1988}
_ISO = re.compile(r"^(\d{4})([-/. ]|\. )(\d{1,2})\2(\d{1,2})\.?$")
_COMPACT = re.compile(r"^((?:19|20)\d{2})(\d{2})(\d{2})(?:[0-2]\d[0-5]\d[0-5]\d)?$")
# 2023-12-06 (Wed), 6 Dec (to a neighbor): words behind a date
BEHIND = re.compile(r"\s*(\([^\d()]*\))$")
_WEEK = re.compile(r"^(\d{4})-?W(\d{2})-?([1-7])$", re.IGNORECASE)
_NUMERIC = re.compile(r"^(\d{1,2})\s*([-/. ])\s*(\d{1,2})\s*\2\s*('?\d{2}|\d{4})\.?$")
_NO_YEAR = re.compile(r"^(\d{1,2})[-/.](\d{1,2})\.?$")
_DAY_NAME_YEAR = re.compile(
    r"^(?:den )?(\d{1,2})(?:st|nd|rd|th|er|º|\.)?[-/. ]*(?:of |de )?"
    r"([^\W\d_]{3,}|[ivx]{1,4})\.?,?[-/. ]*"
    r"(?:de )?('?\d{2}|\d{4})$",
    re.IGNORECASE,
)
_NAME_DAY_YEAR = re.compile(
    r"^([^\W\d_]{3,})\.?[-/. ]*(\d{1,2})(?:st|nd|rd|th)?,?[-/. ]+('?\d{2}|\d{4})$", re.IGNORECASE
)
_YEAR_NAME_DAY = re.compile(r"^(\d{4})[-/. ]*([^\W\d_]{3,})\.?[-/. ]*(\d{1,2})$", re.IGNORECASE)
_DAY_NAME = re.compile(
    r"^(?:(\d{1,2})(?:st|nd|rd|th|\.)?[-/. ]*(?:of )?([^\W\d_]{3,})|([^\W\d_]{3,})\.?[-/."
    r" ]*(\d{1,2})(?:st|nd|rd|th)?)\.?$",
    re.IGNORECASE,
)
_SERIAL = re.compile(r"^(\d{5})(?:[.,]\d+)?$")
_FIRST_SERIAL, _LAST_SERIAL = 29221, 62093  # 1980-01-01 and 2069-12-31 as spreadsheets count days


class DateReading(NamedTuple):
    """What a date's text can be. day: its only reading; orders: order -> day (None: no such day)
    for all-number forms; no_year: order -> (month, day) for a day without a year; serial: a
    spreadsheet's count of days; problem: why it is no date."""

    day: date | None = None
    orders: dict[str, date | None] | None = None
    no_year: dict[str, tuple[int, int]] | None = None
    serial: bool = False
    dotted: bool = False
    problem: str = ""


def read_date(text: str, today: date) -> DateReading:
    """All readings of a date's text.

    >>> today = date(2026, 4, 30)
    >>> read_date("2024-03-15T10:22:00", today).day, read_date("Fri 18-Jun-24", today).day
    (datetime.date(2024, 3, 15), datetime.date(2024, 6, 18))
    >>> read_date("13/02/2024", today).orders
    {'mdy': None, 'dmy': datetime.date(2024, 2, 13)}
    """
    plain = scrub(text)
    if problem := unusable(plain):
        return DateReading(problem=problem)
    if is_blank(plain) or plain.lower() in ("never", "not yet", "no"):
        return DateReading()
    plain = plain.lstrip("'").strip()
    if _SERIAL.match(plain):
        number = int(plain[:5])
        if _FIRST_SERIAL <= number <= _LAST_SERIAL:
            return DateReading(date(1899, 12, 30) + timedelta(days=number), serial=True)
    plain = _WEEKDAY.sub("", _TIME.sub("", BEHIND.sub("", plain))).strip().rstrip(",")
    plain = re.sub(r"(?<=\d)\s*(?:г|р|года|r|roku)\.?$", "", plain)
    if match := _REIGN.match(plain):
        plain = f"{_REIGNS[match[1]] + int(match[2].replace('元', '1'))}-{match[3]}-{match[4]}"
    try:
        found = _one_form(plain, today)
    except ValueError:
        return DateReading(problem="there is no such day")
    return found or DateReading(problem=_why_no_date(plain))


def words_behind(text: str) -> str:
    """What stands in brackets behind a day, the name of a weekday apart.

    >>> words_behind("2024-03-05 (returned)"), words_behind("2024-03-05 (Tue)")
    ('(returned)', '')
    """
    match = BEHIND.search(text.strip())
    return "" if match is None or _WEEKDAY.match(match[1].strip("()") + " ") else match[1]


def _one_form(plain: str, today: date) -> DateReading | None:
    if match := _ISO.match(plain):
        return DateReading(date(int(match[1]), int(match[3]), int(match[4])))
    if match := _COMPACT.match(plain) or _WITH_SIGNS.match(plain):
        return DateReading(date(*map(int, match.groups())))
    if match := _WEEK.match(plain):
        return DateReading(date.fromisocalendar(*map(int, match.groups())))
    if match := _NUMERIC.match(plain):
        first, second, third = match[1], int(match[3]), match[4]
        year = _year(third, today)
        orders = {
            "mdy": _day_or_none(year, int(first), second),
            "dmy": _day_or_none(year, second, int(first)),
        }
        if len(third.lstrip("'")) == 2 and len(first) == 2:
            orders["ymd"] = _day_or_none(_year(first, today), second, int(third.lstrip("'")))
        dotted = match[2] == "."
        return DateReading(orders=orders, dotted=dotted) if any(orders.values()) else _NO_SUCH_DAY
    for form, year_at, month_at, day_at in _NAMED:
        if (match := form.match(plain)) and (month := _month(match[month_at])):
            return DateReading(date(_year(match[year_at], today), month, int(match[day_at])))
    if match := _NO_YEAR.match(plain):
        pair = int(match[1]), int(match[2])
        parts = {"mdy": pair, "dmy": pair[::-1]}
        possible = {x: part for x, part in parts.items() if _day_or_none(2024, *part)}
        return DateReading(no_year=possible) if possible else _NO_SUCH_DAY
    if match := _DAY_NAME.match(plain):
        month, day = _month(match[2] or match[3]), int(match[1] or match[4])
        if month and _day_or_none(2024, month, day):
            return DateReading(no_year={"mdy": (month, day), "dmy": (month, day)})
    return None


_NO_SUCH_DAY = DateReading(problem="there is no such day")
# a month by its name, and the groups of year, month and day
_NAMED = ((_DAY_NAME_YEAR, 3, 2, 1), (_NAME_DAY_YEAR, 3, 1, 2), (_YEAR_NAME_DAY, 1, 2, 3))


def _why_no_date(plain: str) -> str:
    if re.match(
        r"^(?:[^\W\d_]{3,}\.?[-/ ,]*\d{2,4}|\d{1,2}[-/.]\d{4}|\d{4}[-/.]\d{1,2}|(?:19|20)\d{2})$",
        plain,
    ):
        return "there is no day in this date"
    return "there is no such day" if re.match(r"^[\d/.\- ]+$", plain) else "this is not a date"


def _year(text: str, today: date) -> int:
    """Two digits: the year nearest below one year from now."""
    number = int(text.lstrip("'"))
    if number > 99 or len(text.lstrip("'")) == 4:
        return number
    century = today.year // 100 * 100
    return century + number if century + number <= today.year + 1 else century - 100 + number


def _month(name: str) -> int:
    return _MONTHS.get(name.casefold(), 0)


def _day_or_none(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


@frozen
class OrderVerdict:
    """The date order of a file. order: "" where nothing decides; how: "said", "proved", "events",
    "points", ""; mixed: both habits occur; undecided: cells that read two ways."""

    order: str
    how: str = ""
    mixed: bool = False
    undecided: int = 0
    serials: bool = False


class _Counted(NamedTuple):
    """How many cells only one order can read (proof), no order or the events speak against it
    (against), it can read (seen); cells that read two ways, those of them without points, and
    spreadsheets' counts of days."""

    proof: dict[str, int]
    against: dict[str, int]
    seen: dict[str, int]
    undecided: int
    slashed: int
    serials: int


def _counted(rows: Iterable[Sequence[DateReading | None]], today: date) -> _Counted:
    proof, against, seen = (dict.fromkeys(ORDERS, 0) for _ in range(3))
    undecided = serials = slashed = 0
    for row in rows:
        readings = [reading for reading in row if reading is not None]
        for reading in readings:
            serials += reading.serial
            if reading.no_year and len(reading.no_year) == 1:
                proof[next(iter(reading.no_year))] += 1
            if not reading.orders:
                continue
            can = [order for order in ("mdy", "dmy") if reading.orders.get(order)]
            if len(can) == 1:
                proof[can[0]] += 1
            elif len(can) == 2 and reading.orders["mdy"] != reading.orders["dmy"]:
                undecided += 1
                slashed += not reading.dotted
            for order in ORDERS:
                seen[order] += reading.orders.get(order) is not None
                against[order] += reading.orders.get(order) is None
        if any(reading.orders for reading in readings):
            for order in ORDERS:
                against[order] += _breaks(row, order, today)
    return _Counted(proof, against, seen, undecided, slashed, serials)


def decide_order(
    rows: Iterable[Sequence[DateReading | None]], said: str, today: date
) -> OrderVerdict:
    """The order of all-number dates from every row's readings, in the order of events (got, listed,
    sold; None where blank).

    said: "mdy", "dmy" or "ymd" by the person, else "" or "auto". A proof is a cell that only one
    order can read.
    """
    proof, against, seen, undecided, slashed, serials = _counted(rows, today)
    if said in ORDERS:
        return OrderVerdict(said, "said", False, undecided, serials > 0)
    if not any(seen.values()) and not any(proof.values()):
        return OrderVerdict("", "", False, 0, serials > 0)
    # yy/mm/dd reads as dd/mm/yy too: only the order of events and the future tell them apart
    if (
        seen["ymd"]
        and against["ymd"] * 4 <= min(against["mdy"], against["dmy"])
        and min(against["mdy"], against["dmy"]) >= 3
    ):
        return OrderVerdict("ymd", "events", False, 0, serials > 0)
    strong, weak = sorted(("mdy", "dmy"), key=lambda order: -proof[order])
    if proof[strong] and (
        not proof[weak] or (proof[strong] >= 20 and proof[weak] * 50 <= proof[strong])
    ):
        return OrderVerdict(strong, "proved", proof[weak] > 0, 0, serials > 0)
    if proof[strong] and proof[weak]:
        return OrderVerdict("", "", True, undecided, serials > 0)
    if undecided:
        better, worse = sorted(("mdy", "dmy"), key=lambda order: against[order])
        if against[worse] >= 3 and against[better] * 6 <= against[worse]:
            return OrderVerdict(better, "events", False, undecided, serials > 0)
        # 01.02.2024: with points the day comes first, by common practice
        if not slashed and against["dmy"] <= against["mdy"]:
            return OrderVerdict("dmy", "points", False, undecided, serials > 0)
        return OrderVerdict("", "", False, undecided, serials > 0)
    return OrderVerdict("", "", False, 0, serials > 0)


def _breaks(row: Sequence[DateReading | None], order: str, today: date) -> int:
    """How often a row's events run backwards, or lie in the future or far back, under an order."""
    days = [resolve(reading, order)[0] for reading in row if reading is not None]
    known = [day for day in days if day is not None]
    return sum(later < earlier for earlier, later in pairwise(known)) + sum(
        day > today or day.year < today.year - 30 for day in known
    )


def resolve(reading: DateReading, order: str) -> tuple[date | None, str]:
    """(day, problem) of a reading under the file's order ("" where none was decided)."""
    if reading.orders is None:
        return reading.day, reading.problem or ("the year is missing" if reading.no_year else "")
    if order and (day := reading.orders.get(order)):
        return day, ""
    told = {name: day for name, day in reading.orders.items() if day is not None}
    possible = {day for name, day in told.items() if name != "ymd"} or set(told.values())
    if len(possible) == 1:
        return possible.pop(), ""
    first, second = (f"{day:%B} {day.day}, {day.year}" for day in sorted(possible)[:2])
    return None, f"this can be read as {first} or as {second}"
