"""One record of a file -> one unit's row, or the reasons why not. Every rule of a row stands here; what holds for a file is in `Rules`."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from pricing.ingest import dates, real_sheets, values
from pricing.ingest.dialect import Record
from pricing.ingest.headings import IGNORED, QUESTION_COLUMNS, Heading, plain
from pricing.ingest.reading import Rejected, Row
from pricing.ingest.values import Age, Cell
from pricing.records.columns import BY_NAME, CONDITIONS, MINUTES, OUTCOMES
from pricing.records.problems import Problem
from pricing.records.settings import Settings
from pricing.records.words import TYPE_KEYS, canonical, squash, type_in

_EXPECTED = {
    "money": "120, $1,250.00, (10.00), free",
    "date": "2026-04-30, 30 Apr 2026, 4/30/2026",
    "number": "a number, 4.5",
    "hours": "1.5, 1:30, 90 min",
    "age": "7, 18 months, 2016",
}
_DISARMED = re.compile("^'(?='*[\\s\"\ufeff]*[=+\\-@\uff1d\uff0b\uff0d\uff20])")  # the quote that an export puts before what would start a formula
_KM_PER_MILE = 1.609344
_QUANTITY_HEADERS = frozenset({"qty", "quantity", "how many", "pcs", "pieces", "units", "no of units", "number of units"})


@dataclass
class Rules:
    """What was decided for the whole file; `memo` keeps each distinct cell's reading, so that a value is worked out once."""

    file: str
    headings: tuple[Heading, ...]
    settings: Settings
    today: date
    decimal: str
    date_order: str
    currency: str
    question: bool = False
    trims: bool = False  # the program that wrote the file leaves empty cells at the end of a row away
    year_made: bool = False  # ages stand as years made throughout
    stray_lines: frozenset[int] = frozenset()
    memo: dict[str, dict[str, Any]] = field(default_factory=dict)
    years: Mapping[int, int] = field(default_factory=dict)  # line -> year, where dates carry none
    fills: Mapping[int, str] = field(default_factory=dict)  # line -> type of the group the row stands in
    describe: str = ""  # the header of a column that holds descriptions: to be read as such where `described`, else still to be asked
    described: bool = False
    slash: bool = False  # "300/275" under the price is the ask and the price
    unknown_words: dict[str, dict[str, int]] = field(default_factory=dict)  # column -> word -> rows

    def place(self, column: str) -> int | None:
        return next((place for place, heading in enumerate(self.headings) if heading.column == column), None)

    def has(self, column: str) -> bool:
        return self.place(column) is not None


class _Draft:
    """A row in the making."""

    def __init__(self, record: Record, number: int, rules: Rules) -> None:
        self.record, self.number, self.rules = record, number, rules
        self.values: dict[str, Any] = {}
        self.said: dict[str, str] = {}
        self.extra: dict[str, Any] = {}
        self.known: dict[str, float] = {}
        self.notes: list[Problem] = []
        self.problems: list[Problem] = []

    def header(self, column: str) -> str:
        place = self.rules.place(column)
        return self.rules.headings[place].text if place is not None else column

    def cell(self, column: str) -> str:
        place = self.rules.place(column)
        return self.record.cells[place] if place is not None and place < len(self.record.cells) else ""

    def note(self, what: str, column: str = "", fix: str = "") -> None:
        self.notes.append(Problem(what, fix, self.rules.file, self.record.line, self.header(column) if column else None, self.cell(column)[:80] if column else None))

    def reject(self, what: str, column: str = "", fix: str = "", expected: str = "") -> None:
        value = self.cell(column)[:80] if column else None
        self.problems.append(Problem(what, fix, self.rules.file, self.record.line, self.header(column) if column else None, value, expected or None))

    def notes_of_quantity(self, count: int | str) -> None:
        self.reject(f"{count} units on one row, one price", fix="write one row for each unit, each with its own price")

    def done(self) -> Row | Rejected:
        if self.problems:
            return Rejected(self.record.line, self.number, self.record.cells, tuple(self.problems))
        values = {name: value for name, value in self.values.items() if value is not None and value != ""}
        return Row(self.record.line, self.number, values, self.said, self.extra, self.known, tuple(self.notes), self.record.cells)


def read_row(record: Record, number: int, rules: Rules) -> Row | Rejected:
    """The row of one record. number: its place among the file's rows, from 1."""
    draft = _Draft(record, number, rules)
    _check_shape(draft)
    if draft.problems:
        return draft.done()
    if record.line in rules.stray_lines:
        draft.note("a character on this line could not be read for sure", fix="look at the accents on this line")
    for place, heading in enumerate(rules.headings):
        text = record.cells[place] if place < len(record.cells) else ""
        if text and heading.column != IGNORED:
            _read_cell(draft, heading, text)
    _settle_type(draft)
    if rules.question:
        return draft.done()
    _settle_age(draft)
    _settle_outcome(draft)
    _check_events(draft)
    _check_figures(draft)
    return draft.done()


def _check_shape(draft: _Draft) -> None:
    """Too many cells shift values into wrong columns; too few, where nothing says why, may have lost the price."""
    record, rules = draft.record, draft.rules
    width = len(rules.headings)
    if record.broken:
        draft.reject(record.broken, fix="mend the quotation marks on this line")
        return
    if any(cell.strip() for cell in record.cells[width:]):
        what = f"this row has {len(record.cells)} cells, the header has {width}: its values may stand in the wrong columns"
        draft.reject(what, fix="put the cell that holds the delimiter in quotes")
        return
    missing = [heading.column for heading in rules.headings[len(record.cells) :]]
    essential = {"price", "sold", "outcome", "type"} & set(missing)
    if essential - {"outcome"} and not rules.trims and not rules.question:
        draft.reject(f"this row stops after {len(record.cells)} of {width} cells", fix="fill in the missing cells, or empty ones")


def _read_cell(draft: _Draft, heading: Heading, text: str) -> None:
    if "\x00" in text:
        draft.notes.append(Problem("a NUL character was taken out", "", draft.rules.file, draft.record.line, heading.text, text.replace("\x00", "␀")[:80]))
        text = text.replace("\x00", "")
    text = _DISARMED.sub("", text.strip())
    if not text:
        return
    column = heading.column
    if draft.rules.describe and heading.text == draft.rules.describe and draft.rules.described:
        _read_described(draft, heading, text)
        return
    if not column:
        draft.extra[heading.text or "?"] = text
        if plain(heading.text) in _QUANTITY_HEADERS and re.fullmatch(r"\d+(?:[.,]0+)?", text) and float(text.replace(",", ".")) > 1:
            draft.notes_of_quantity(text)
        return
    if column in QUESTION_COLUMNS:
        _read_known(draft, heading, text)
        return
    if column not in BY_NAME:
        _read_own(draft, heading, text)
        return
    kind = BY_NAME[column].kind
    if kind in ("word", "words", "graded"):
        _read_word(draft, column, kind, text)
    elif kind == "text":
        _read_text(draft, column, text)
    elif kind == "money":
        _read_money(draft, heading, text)
    elif kind == "date":
        _read_date(draft, heading, text)
    elif kind == "dated":
        _read_dated(draft, heading, text)
    else:
        _read_number(draft, heading, text)


def _read_described(draft: _Draft, heading: Heading, text: str) -> None:
    """A description: what it names fills blank columns; the text itself is kept."""
    draft.extra[heading.text] = text
    for name, value in real_sheets.read_description(text, draft.rules.settings).items():
        if name == "type" or not draft.rules.has(name):
            draft.values.setdefault(name, value)


def _memo(draft: _Draft, column: str, text: str, read: Callable[[], Any]) -> Any:
    kept = draft.rules.memo.setdefault(column, {})
    if text not in kept:
        kept[text] = read()
    return kept[text]


def _read_text(draft: _Draft, column: str, text: str) -> None:
    if column in ("unit", "pair", "from_unit") and values.is_blank(text):
        return
    draft.values[column] = text


def _read_word(draft: _Draft, column: str, kind: str, text: str) -> None:
    word = _memo(draft, column, text, lambda: canonical(column, text, draft.rules.settings))
    known = OUTCOMES if column == "outcome" else CONDITIONS if kind == "graded" else ()
    if known and word and word not in known:
        counts = draft.rules.unknown_words.setdefault(column, {})
        counts[text] = counts.get(text, 0) + 1
        word = ""
    if word != text:
        draft.said[column] = text
    if word:
        draft.values[column] = word


def _read_money(draft: _Draft, heading: Heading, text: str) -> None:
    column, rules = heading.column, draft.rules
    cell: Cell = _memo(draft, "money", text, lambda: values.read_money(text, rules.decimal))
    if cell.problem:
        if column != "price" or not _read_price_words(draft, text):
            _unreadable(draft, column, cell.problem, "money")
        return
    if not same_currency(cell.currency, rules.currency):
        draft.reject(f"this amount is in {cell.currency}, the file's others are in {rules.currency}", column, fix=f"change it into {rules.currency}")
        return
    if cell.note:
        draft.note(cell.note, column)
    elif cell.ask_words and column == "price":
        draft.note("these words belong to an ask; the amount was taken as the price", column)
    if cell.value is None:
        return
    value: Decimal = cell.value / 100 if heading.unit == "cents" else cell.value
    draft.values[column] = round(value, 2)


def _read_price_words(draft: _Draft, text: str) -> bool:
    """A price cell that is no amount but says something: a trade, a deposit, "300/275". True where it was dealt with."""
    words = squash(text)
    if re.match(r"^(trade|traded|swap|swapped|barter|bartered|exchanged)\b", words):
        draft.said["price"] = text
        draft.note("traded: the price is unknown, not 0", "price")
        return True
    if re.search(r"\b(dep|deposit|down|partial|half now|owes|owed)\b", words):
        draft.reject("a deposit is not the whole price", "price", fix="write what the buyer paid in all")
        return True
    parts = [values.read_money(part, draft.rules.decimal) for part in text.split("/")]
    if len(parts) == 2 and all(part.value is not None and not part.problem for part in parts):
        if not draft.rules.slash:
            draft.reject("two amounts in one cell: asked and sold?", "price", fix="if so, say --slash asked/sold")
            return True
        if not draft.rules.has("asked"):
            draft.values["asked"] = f"{parts[0].value.normalize():f}"
        draft.values["price"] = round(parts[1].value, 2)
        return True
    return False


def same_currency(one: str, other: str) -> bool:
    """Whether two currencies may be the same; "$" stands for any dollar, blank for any.

    >>> same_currency("$", "CAD"), same_currency("GBP", "EUR"), same_currency("", "EUR")
    (True, False, True)
    """
    if not one or not other or one == other:
        return True
    dollars = ("$", "USD", "CAD", "AUD", "NZD", "MXN", "SGD", "HKD")
    crowns = ("kr", "SEK", "NOK", "DKK")
    return any({one, other} <= set(group) and group[0] in (one, other) for group in (dollars, crowns))


def _read_date(draft: _Draft, heading: Heading, text: str) -> None:
    rules, column = draft.rules, heading.column
    reading: dates.Reading = _memo(draft, "date", text, lambda: dates.read_date(text, rules.today))
    if column == "recall_checked" and text.casefold() in ("no", "not yet"):
        return
    if reading.no_year and (year := rules.years.get(draft.record.line)):
        _read_day_without_year(draft, column, reading, year)
        return
    day, problem = dates.resolve(reading, rules.date_order)
    if problem:
        _unreadable(draft, column, problem, "date")
    elif day is not None:
        draft.values[column] = day


def _read_day_without_year(draft: _Draft, column: str, reading: dates.Reading, year: int) -> None:
    order, today = draft.rules.date_order, draft.rules.today
    part = _month_day(reading, order)
    if part is None:
        draft.reject("this day can be read as day first or month first", column, fix=_fix("can be read as", "date"))
        return
    events = [dates.read_date(draft.cell(name), today) for name in ("sold", "listed", "got") if draft.cell(name).strip()]
    last = next((found for event in events if event.no_year and (found := _month_day(event, order))), None)
    try:
        draft.values[column] = date(real_sheets.year_for(part, last, year), *part)
    except ValueError:
        _unreadable(draft, column, "there is no such day", "date")


def _month_day(reading: dates.Reading, order: str) -> tuple[int, int] | None:
    possible = reading.no_year or {}
    if order in possible:
        return possible[order]
    return next(iter(possible.values())) if len(set(possible.values())) == 1 else None


def _read_number(draft: _Draft, heading: Heading, text: str) -> None:
    column, rules = heading.column, draft.rules
    if column == "age":
        cell: Cell = _memo(draft, column, text, lambda: values.read_age(text, rules.decimal, heading.unit or "years", rules.today.year))
        if cell.problem:
            _unreadable(draft, column, cell.problem, "age")
            return
        if cell.value is not None:
            age: Age = cell.value
            if age.made:
                draft.values["made"] = age.made
            else:
                draft.values["age"] = round(age.years or 0.0, 4)
            if cell.note and not (age.made and rules.year_made):
                draft.note(cell.note, column)
        return
    if column == "hours" or column in MINUTES:
        unit = heading.unit if heading.unit in ("hours", "minutes") else "minutes" if column in MINUTES else "hours"
        cell = _memo(draft, column, text, lambda: values.read_hours(text, rules.decimal, unit))
        scale = 60.0 if column in MINUTES else 1.0
        expected = "hours"
    else:
        cell = _memo(draft, column, text, lambda: values.read_number(text, rules.decimal))
        scale, expected = _distance_scale(heading, rules.settings) if column == "miles" else 1.0, "number"
    if cell.problem:
        if column == "size":
            draft.extra[heading.text] = text  # "full size" is worth keeping and no mistake
        else:
            _unreadable(draft, column, cell.problem, expected)
    elif cell.value is not None:
        draft.values[column] = round(cell.value * scale, 4)
        if cell.note:
            draft.note(cell.note, column)


def _distance_scale(heading: Heading, settings: Settings) -> float:
    if heading.unit == "km" and settings.distance_unit == "mi":
        return 1 / _KM_PER_MILE
    return _KM_PER_MILE if heading.unit == "miles" and settings.distance_unit == "km" and "mile" in heading.text.casefold().split("(")[-1] and "(" in heading.text else 1.0


def _read_dated(draft: _Draft, heading: Heading, text: str) -> None:
    """A list of amounts, each with its day or bare: "320", "2026-03-01:320; 2026-03-15:295"."""
    rules, column = draft.rules, heading.column
    whole: Cell = _memo(draft, "money", text, lambda: values.read_money(text, rules.decimal))
    if not whole.problem:
        if not same_currency(whole.currency, rules.currency):
            draft.reject(f"this amount is in {whole.currency}, the file's others are in {rules.currency}", column)
        elif whole.value is not None and whole.value > 0:
            draft.values[column] = f"{whole.value.normalize():f}"
            if whole.note:
                draft.note(whole.note, column)
        elif whole.value is not None and whole.value < 0:
            draft.note("an ask cannot be below 0; left blank", column)
        return
    parts = []
    for part in text.replace("\n", ";").split(";"):
        if not part.strip():
            continue
        day_text, colon, amount_text = part.rpartition(":")
        amount = values.read_money(amount_text, rules.decimal)
        day = dates.resolve(dates.read_date(day_text, rules.today), rules.date_order)[0] if colon else None
        if amount.problem or amount.value is None or (colon and day is None):
            _unreadable(draft, column, whole.problem or "this is no dated list of amounts", "money")
            return
        parts.append((f"{day.isoformat()}:" if day else "") + f"{amount.value.normalize():f}")
    draft.values[column] = "; ".join(parts)


def _read_own(draft: _Draft, heading: Heading, text: str) -> None:
    kind = draft.rules.settings.attributes.get(heading.column, "category")
    if kind in ("number", "log"):
        cell = _memo(draft, heading.column, text, lambda: values.read_number(text, draft.rules.decimal))
        if cell.problem or (kind == "log" and cell.value is not None and cell.value <= 0):
            draft.note(f"{cell.problem or 'this must be above 0'}; left blank", heading.column)
        elif cell.value is not None:
            draft.extra[heading.column] = cell.value
    elif not values.is_blank(text):
        draft.extra[heading.column] = " ".join(text.split()).lower()


def _read_known(draft: _Draft, heading: Heading, text: str) -> None:
    column, rules = heading.column, draft.rules
    if column == "at_curb":
        draft.known[column] = float(squash(text) in ("yes", "y", "true", "1", "x"))
        return
    if column == "fix_chance":
        percent = text.strip().endswith("%")
        cell = values.read_number(text.strip().rstrip("%"), rules.decimal)
        value = cell.value / 100 if cell.value is not None and (percent or cell.value > 1) else cell.value
        if cell.problem or (value is not None and not 0 <= value <= 1):
            draft.reject(cell.problem or "a chance is between 0 and 1", column, expected="0.9, 90 %")
            return
    else:
        cell = values.read_money(text, rules.decimal) if column != "minutes" else values.read_number(text, rules.decimal)
        value = cell.value
        if cell.problem:
            draft.reject(cell.problem, column, expected=_EXPECTED["money"])
            return
    if value is not None:
        draft.known[column] = float(value)


def _unreadable(draft: _Draft, column: str, problem: str, expected: str) -> None:
    """An essential cell sets the row aside; any other is left blank, and said so."""
    if column in ("price", "sold") or draft.rules.question or "can be read as" in problem:
        draft.reject(problem, column, fix=_fix(problem, expected), expected=_EXPECTED[expected])
    else:
        draft.note(f"{problem}; left blank", column, fix=_fix(problem, expected))


def _fix(problem: str, expected: str) -> str:
    if "can be read as" in problem:  # the question that these rows wait for is made from these words
        return "say which with --date-order mdy or --date-order dmy" if expected == "date" else 'say which with --decimal "." or --decimal ","'
    if "year is missing" in problem:
        return "say the year of the first row: --year 2026"
    return "correct the cell"


def _settle_type(draft: _Draft) -> None:
    """A unit needs a type; a row without one may be a trip or an expense, or stand below the head of its group."""
    rules = draft.rules
    if draft.values.get("type"):
        text = draft.cell("type").strip()
        if (count := _memo(draft, "quantity", text, lambda: real_sheets.quantity_of(text, rules.settings))) > 1:
            draft.notes_of_quantity(count)
        elif not any(sign.isalpha() for sign in text) and text:
            draft.reject("this is no type", "type", fix="write what it is: electric dryer, gas range, …")
        elif rules.describe and not rules.described and rules.headings[rules.place("type") or 0].text == rules.describe and not _is_plain_type(text, rules.settings):
            draft.reject("the type stands inside a description", "type", fix=f'if so, say --describe "{rules.describe}"')
        return
    if rules.describe and not rules.described and not rules.has("type"):
        draft.reject("the type stands inside a description", fix=f'if so, say --describe "{rules.describe}"')
        return
    if filled := draft.rules.fills.get(draft.record.line):
        draft.values["type"] = canonical("type", filled, draft.rules.settings)
        if draft.values["type"] != filled:
            draft.said["type"] = filled
        draft.note(f"the type is blank; {filled!r} was taken from above")
        return
    outcome = draft.values.get("outcome", "")
    if draft.values.get("expense") is not None and "price" not in draft.values:
        draft.values["outcome"] = "expense"
    elif outcome in ("expense", "trip"):
        if outcome == "expense" and "paid" in draft.values:
            draft.values["expense"] = draft.values.pop("paid")
    elif draft.values.get("trip") and "price" not in draft.values and ("miles" in draft.values or "drive_min" in draft.values):
        draft.values["outcome"] = "trip"
    else:
        draft.reject("the type is missing", "type", fix="write what it is: electric dryer, gas range, …")


def _is_plain_type(text: str, settings: Settings) -> bool:
    return squash(canonical("type", text, settings)) in TYPE_KEYS or not type_in(text, settings)[0]


def _settle_age(draft: _Draft) -> None:
    """The age on the day the unit was got (else listed, else sold), from the year made where only that is known."""
    made = draft.values.get("made", "")
    if "age" in draft.values or not made:
        return
    years = [int(part) for part in made.replace("-", ",").replace("/", ",").split(",") if part.strip().isdecimal()]
    day = draft.values.get("got") or draft.values.get("listed") or draft.values.get("sold") or draft.rules.today
    if years and all(1950 <= year <= draft.rules.today.year + 1 for year in years):
        if min(years) > day.year:
            draft.note("made after the day it was got; the age is left blank", "made")
            return
        draft.values["age"] = max(0.0, round(day.year - sum(years) / len(years), 2))


def _settle_outcome(draft: _Draft) -> None:
    values_, said = draft.values, draft.cell("outcome").strip()
    outcome = values_.get("outcome", "")
    price: Decimal | None = values_.get("price")
    if outcome in ("trip", "expense"):
        return
    if price is not None and price < 0:
        draft.reject("a sale price cannot be below 0: a refund is no sale", "price", fix="put money given back under refund")
        return
    if not outcome:
        outcome = "sold" if price is not None or "sold" in values_ else "listed" if "listed" in values_ or "asked" in values_ else "in work"
    if outcome in ("listed", "in work", "waiting for part") and price is not None and price > 0:
        if "sold" in values_:
            draft.reject(f"the outcome says {said!r}, yet there is a sale price and a sale date", "outcome", fix="write sold, or empty the price and the date")
            return
        if "asked" not in values_:
            values_["asked"] = f"{price.normalize():f}"
            draft.note("not sold yet: this was taken as the ask", "price")
        else:
            draft.note("not sold yet: the price was left blank", "price")
        del values_["price"]
    elif outcome in ("parted", "scrapped") and price is not None:
        if price > 0:
            values_.setdefault("salvage", price)
            draft.note("scrap and parts money is no sale price; it was kept as salvage", "price")
        del values_["price"]
    elif outcome == "kept" and price is not None and price > 0:
        draft.reject(f"the outcome says {said!r}, yet there is a sale price", "outcome", fix="write sold, or empty the price")
    elif outcome == "sold":
        outcome = _settle_sale(draft, price, said)
    values_["outcome"] = outcome


def _settle_sale(draft: _Draft, price: Decimal | None, said: str) -> str:
    if price is None:
        if "price" in draft.said:
            pass  # traded, and told
        elif squash(said).startswith("trade"):
            draft.note("traded: the price is unknown, not 0", "outcome")
        elif not draft.problems:
            draft.reject("sold, but the sale price is missing", "price", fix="write what the buyer paid; free if it was given away", expected=_EXPECTED["money"])
    elif price == 0:
        draft.note("given away: kept in the record, no sale to learn from", "price")
        return "kept"
    elif draft.rules.has("sold") and "sold" not in draft.values and not draft.problems:
        draft.note("sold, but the sale date is missing", "sold")
    return "sold"


def _check_events(draft: _Draft) -> None:
    """Events in an order that cannot be: the row is set aside, for one of its days must be wrong."""
    today = draft.rules.today
    days = {name: draft.values[name] for name in ("got", "listed", "sold") if isinstance(draft.values.get(name), date)}
    words = {"got": "got", "listed": "listed", "sold": "sold"}
    for name, day in days.items():
        if day > today:
            draft.reject(f"{words[name]} on {day}, which is still to come", name, fix="correct the date")
        elif day.year < 1970:
            draft.reject(f"{words[name]} in {day.year}: too long ago to be so", name, fix="correct the date")
    for first, second in (("got", "sold"), ("listed", "sold"), ("got", "listed")):
        if first in days and second in days and days[second] < days[first] and not draft.problems:
            if second == "sold":
                draft.reject(f"sold on {days['sold']}, before it was {words[first]} on {days[first]}", "sold", fix="swap the dates, or empty one of them")
            else:
                draft.note(f"listed on {days['listed']}, before it was got on {days['got']}", "listed")


def _check_figures(draft: _Draft) -> None:
    row = draft.values
    if (hours := row.get("hours")) is not None and hours > 200:
        draft.note(f"{hours:g} hours of work on one unit: are these minutes?", "hours")
    for column in ("parts", "fees", "refund", "helper", "haul_cost", "cost_in"):
        if (amount := row.get(column)) is not None and amount < 0:
            draft.note("below 0: money that came in?", column)
