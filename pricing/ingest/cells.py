"""One cell of a row by the kind of its column: the value, a note, or the reason why not."""

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

from pricing.basis.columns import BY_NAME, CONDITIONS, EVENTS, MINUTES, OUTCOMES
from pricing.basis.problems import Problem
from pricing.basis.settings import Settings
from pricing.basis.words import canonical, squash
from pricing.ingest import dates, real_sheets, values
from pricing.ingest.dialect import Record
from pricing.ingest.draft import (
    EXPECTED,
    FIXES,
    MOST_KEPT,
    Draft,
    Rules,
    SaidCell,
    memo,
    unreadable,
)
from pricing.ingest.evidence import same_currency, turned_back
from pricing.ingest.headings import (
    BOTH_WAYS,
    QUESTION_COLUMNS,
    ROUND,
    ROUND_KM,
    SCALES,
    Heading,
    plain,
)
from pricing.ingest.values import Age, Cell

# The quote that an export puts before what would start a formula
_AS_TEXT = re.compile(r"^'(?=[\d$€£.(-][^']*$)")  # how some programs mark a number kept as text
_DISARMED = re.compile("^'(?='*[\\s\"\ufeff]*[=+\\-@\uff1d\uff0b\uff0d\uff20])")
# ="0101": how some programs keep the zeros of a number
_GUARDED = re.compile(r'="([^"]*)"')
_KM_PER_MILE = 1.609344
_DISTANCE = re.compile(
    r"\d\s*(?:mi|miles?|m|km|kms|kilomet(?:er|re)s?)?\.?\s*"
    rf"(?:\(?(?:one[ -]?way|{BOTH_WAYS.pattern})\)?)?\s*$|^\D*$",
    re.IGNORECASE,
)
_QUANTITY_HEADERS = frozenset(
    {"qty", "quantity", "how many", "pcs", "pieces", "units", "no of units", "number of units"}
)


_DROPS = re.compile(r"^[^>→\d]*\d[^>→]*(?:(?:>+|→)[^>→\d]*\d[^>→]*)+$")
_DASH = re.compile(r"[$€£]?\s*[-–—]\s*")
NEAR_YEAR = 300  # days: a day without a year that is further off may be of another one
NOTHING = ("nil", "none", "nothing", "no", "zero")
SPENT = ("parts", "haul_cost", "fees", "refund", "helper", "tax", "delivery", "salvage")


def read_alone(rules: Rules, place: int, text: str) -> SaidCell:
    """What a cell of the column at `place` says, read once however often it stands there."""
    kept = rules.memo.setdefault(f"cell {place}", {})
    said: SaidCell | None = kept.get(text)
    if said is None:
        said = say(rules, place, text)
        if len(kept) < MOST_KEPT:
            kept[text] = said
    return said


def say(rules: Rules, place: int, text: str) -> SaidCell:
    """What a cell of the column at `place` says."""
    heading = rules.headings[place]
    at = rules.place(heading.column) if heading.column else place
    draft = Draft(Record(0, ("",) * (place if at is None else at) + (text,)), 0, rules)
    read_cell(draft, heading, text)
    return draft.said_alone()


def differs_by_row(rules: Rules, heading: Heading, line: int) -> bool:
    """Whether the same cell may say different things in two rows, or is hardly ever there twice."""
    kind = BY_NAME[heading.column].kind if heading.column in BY_NAME else ""
    if kind == "date" and (rules.years or heading.column in rules.bare or line in rules.unsure):
        return True
    return kind == "text" or not heading.column or heading.text == rules.describe


def read_cell(draft: Draft, heading: Heading, text: str) -> None:
    """Read one non-blank cell into the row in the making, by what its header means."""
    if "\x00" in text:
        at = (draft.rules.file, draft.record.line, heading.text, text.replace("\x00", "␀")[:80])
        draft.notes.append(Problem("a NUL character was taken out", "", *at))
        text = text.replace("\x00", "")
    text = _AS_TEXT.sub("", _DISARMED.sub("", text.strip()))
    if guarded := _GUARDED.fullmatch(text):
        text = guarded[1].strip()
    if not text:
        return
    column, rules = heading.column, draft.rules
    if rules.describe and heading.text == rules.describe and rules.described:
        _read_described(draft, heading, text)
    elif not column:
        draft.extra[heading.text or "?"] = text
        many = plain(heading.text) in _QUANTITY_HEADERS and re.fullmatch(r"\d+(?:[.,]0+)?", text)
        if many and float(text.replace(",", ".")) > 1:
            draft.reject_quantity(text)
    elif column in QUESTION_COLUMNS:
        _read_known(draft, heading, text)
    elif column not in BY_NAME:
        _read_own(draft, heading, text)
    else:
        _READERS.get(BY_NAME[column].kind, _read_number)(draft, heading, text)


def _read_described(draft: Draft, heading: Heading, text: str) -> None:
    """A description: what it names fills blank columns; the text itself is kept."""
    draft.extra[heading.text] = text
    for name, value in real_sheets.read_description(text, draft.rules.settings).items():
        if name == "type" or not draft.rules.has(name):
            draft.values.setdefault(name, value)


def _read_text(draft: Draft, heading: Heading, text: str) -> None:
    column = heading.column
    if column in ("unit", "pair", "from_unit") and values.is_blank(text):
        return
    if column == "unit" and re.fullmatch(r"\d+\.0+", text):  # 101.0: a number stored as one
        text = text.partition(".")[0]
    draft.values[column] = text


def _read_word(draft: Draft, heading: Heading, text: str) -> None:
    column, settings, written = heading.column, draft.rules.settings, text
    text = draft.rules.words.get(squash(text), text)
    signs = draft.rules.joiners.get(column)
    parts = re.sub(rf"\s*[{re.escape(signs)}]\s*", "; ", text) if signs else text
    word = memo(draft, column, text, lambda: canonical(column, parts, settings))
    is_graded = BY_NAME[column].kind == "graded"
    known = OUTCOMES if column == "outcome" else CONDITIONS if is_graded else ()
    if known and word and word not in known:
        draft.counted.append(("word", column, text))
        word = ""
    if word != written:
        draft.said[column] = written
    if word:
        draft.values[column] = word


def _read_money(draft: Draft, heading: Heading, text: str) -> None:
    column, rules = heading.column, draft.rules
    cell: Cell = memo(draft, "money", text, lambda: values.read_money(text, rules.decimal))
    if (column in SPENT or column == "paid") and (word := _nothing(text)):
        _read_nothing(draft, heading, text, word)
        return
    if cell.problem:
        _read_no_amount(draft, column, text, cell)
        return
    if _is_foreign(draft, column, cell):
        return
    if cell.note:
        draft.note(cell.note, column)
    elif cell.ask_words and column == "price":
        draft.note("these words belong to an ask; the amount was taken as the price", column)
    if cell.value is None:
        return
    value = cell.value * SCALES.get(heading.unit, 1)
    if value < 0 and column in rules.spent_below:
        draft.counted.append(("below", heading.text, "below 0"))
        value = -value
    elif value > 0 and column in rules.spent_below:
        draft.note("above 0, where the others stand below: money that came in?", column)
    draft.values[column] = round(value, 2)


def _is_foreign(draft: Draft, column: str, cell: Cell) -> bool:
    """Whether an amount is in another currency than the file; it is turned away."""
    own = draft.rules.currency
    if same_currency(cell.currency, own):
        return False
    what = f"this amount is in {cell.currency}, the file's others are in {own}"
    draft.reject(what, column, fix=f"change it into {own}")
    return True


def _read_no_amount(draft: Draft, column: str, text: str, cell: Cell) -> None:
    """A cell under money that is no single amount."""
    if crossed := values.crossed_out(text):
        _read_crossed(draft, column, text, crossed[1])
    elif column != "price" or not (
        _says_the_end(draft, column, text) or _read_price_words(draft, text)
    ):
        unreadable(draft, column, cell.problem, "money", cell.asks)


def _read_crossed(draft: Draft, column: str, text: str, holds: str) -> None:
    """An amount that another was crossed out for."""
    cell = values.read_money(holds, draft.rules.decimal)
    if cell.problem or cell.value is None:
        unreadable(draft, column, "this is not an amount of money", "money", cell.asks)
        return
    draft.values[column] = round(cell.value, 2)
    draft.note(f"{text!r} was read as {cell.value:f}", column)


def _says_the_end(draft: Draft, column: str, text: str) -> bool:
    """Whether a unit's end stands in place of its price or last day ("scrapped"); taken so."""
    word = canonical("outcome", text, draft.rules.settings)
    if word not in ("scrapped", "parted", "kept", "listed", "in work"):
        return False
    draft.values.setdefault("outcome", word)
    draft.said.setdefault("outcome", text)
    draft.note(f"{text!r} was read as what became of it", column)
    return True


def _read_nothing(draft: Draft, heading: Heading, text: str, word: str) -> None:
    """A dash where money was spent is nothing spent, common practice of book-keeping programs; bare
    under what was paid, or a word for it, it is so where the column says nothing else for 0."""
    sure = heading.column in draft.rules.nothing or word == "nothing"
    if sure or (word == "-" and (heading.column != "paid" or text.strip("-–— "))):
        draft.counted.append(("dash", heading.text, word))
        draft.values[heading.column] = Decimal("0.00")
    else:
        draft.counted.append(("unknown", heading.text, word))


def _nothing(text: str) -> str:
    """The word of a cell that may say that nothing was spent: a dash, nil, none."""
    if _DASH.fullmatch(text):
        return "-"
    word = text.casefold()
    return word if word in NOTHING else ""


def _read_price_words(draft: Draft, text: str) -> bool:
    """A price cell that says something else: a trade, a deposit, "300/275". True if dealt with."""
    words = squash(text)
    if re.match(r"^(trade|traded|swap|swapped|barter|bartered|exchanged)\b", words):
        draft.said["price"] = text
        draft.note("traded: the price is unknown, not 0", "price")
        return True
    if re.search(r"\b(dep|deposit|down|partial|half now|owes|owed)\b", words):
        fix = "write what the buyer paid in all"
        draft.reject("a deposit is not the whole price", "price", fix)
        return True
    parts = [values.read_money(part, draft.rules.decimal) for part in text.split("/")]
    if len(parts) != 2 or any(part.value is None or part.problem for part in parts):
        return False
    if not draft.rules.slash:
        fix = "if so, say --slash asked/sold"
        draft.reject("two amounts in one cell: asked and sold?", "price", fix, option="slash")
        return True
    if not draft.rules.has("asked"):
        draft.values["asked"] = f"{parts[0].value.normalize():f}"
    draft.values["price"] = round(parts[1].value, 2)
    return True


def _read_date(draft: Draft, heading: Heading, text: str) -> None:
    rules, column = draft.rules, heading.column
    text = turned_back(text) if rules.turned else text
    reading: dates.DateReading = memo(
        draft, "date", text, lambda: dates.read_date(text, rules.today)
    )
    if column == "recall_checked" and text.casefold() in ("no", "not yet"):
        return
    if reading.no_year and _read_day_without_year(draft, heading, reading):
        return
    unsure = draft.record.line in rules.unsure
    day, problem = dates.resolve(reading, "" if unsure else rules.order_of(column))
    if left := dates.words_behind(text):
        draft.note(f"{left} was left out", column)
    if problem and not (column == "sold" and _says_the_end(draft, column, text)):
        option = "date_order" if reading.orders is not None else "year" if reading.no_year else ""
        unreadable(draft, column, problem, "date", option)
    elif day is not None:
        draft.values[column] = day


def _read_day_without_year(draft: Draft, heading: Heading, reading: dates.DateReading) -> bool:
    """Whether the year is known, by the line or by another day of the row."""
    column, year = heading.column, draft.rules.years.get(draft.record.line)
    if year:
        _read_day_of_year(draft, column, reading, year)
    elif beside := _by_day_beside(draft, column, reading):
        draft.values[column] = beside
        draft.rules.count([("year beside", heading.text, "")], 1)
    else:
        return False
    return True


def _read_day_of_year(draft: Draft, column: str, reading: dates.DateReading, year: int) -> None:
    order, today = draft.rules.date_order, draft.rules.today
    part = _month_day(reading, order)
    if part is None:
        what, option = "this day can be read as day first or month first", "date_order"
        draft.reject(what, column, FIXES[option], option=option)
        return
    cells = (draft.cell(name) for name in ("sold", "listed", "got"))
    events = [dates.read_date(cell, today) for cell in cells if cell.strip()]
    told = (_month_day(event, order) for event in events if event.no_year)
    last = next((found for found in told if found), None)
    try:
        draft.values[column] = date(real_sheets.year_for(part, last, year), *part)
    except ValueError:
        unreadable(draft, column, "there is no such day", "date")


def _by_day_beside(draft: Draft, column: str, reading: dates.DateReading) -> date | None:
    """A day without a year, next to a day of the same row that has one: the first after an earlier
    event, the last before a later one; None where that is most of a year away, or still to come."""
    part, rules = _month_day(reading, draft.rules.date_order), draft.rules
    if part is None or column not in EVENTS:
        return None
    for other in sorted(EVENTS, key=lambda event: event != "got"):
        text = draft.cell(other).strip() if other != column else ""
        told = dates.read_date(text, rules.today) if text else dates.DateReading()
        day, _ = dates.resolve(told, rules.order_of(other))
        if day is None:
            continue
        step = 1 if EVENTS.index(other) < EVENTS.index(column) else -1
        for year in (day.year, day.year + step):
            try:
                found = date(year, *part)
            except ValueError:
                continue
            if 0 <= (found - day).days * step <= NEAR_YEAR and found <= rules.today:
                return found
    return None


def _month_day(reading: dates.DateReading, order: str) -> tuple[int, int] | None:
    possible = reading.no_year or {}
    if order in possible:
        return possible[order]
    return next(iter(possible.values())) if len(set(possible.values())) == 1 else None


def _read_age(draft: Draft, heading: Heading, text: str) -> None:
    rules, unit = draft.rules, heading.unit or "years"
    cell: Cell = memo(
        draft, "age", text, lambda: values.read_age(text, rules.decimal, unit, rules.today.year)
    )
    if cell.problem:
        unreadable(draft, "age", cell.problem, "age", cell.asks)
    elif cell.value is not None:
        age: Age = cell.value
        if age.made:
            draft.values["made"] = age.made
        else:
            draft.values["age"] = round(age.years or 0.0, 4)
        if cell.note and not (age.made and rules.year_made):
            draft.note(cell.note, "age")


def _read_number(draft: Draft, heading: Heading, text: str) -> None:
    column, rules = heading.column, draft.rules
    if column == "age":
        _read_age(draft, heading, text)
        return
    scale, expected = 1.0, "number"
    if column == "hours" and heading.unit == "h.mm":
        text = re.sub(r"^(\d+)[.,](\d\d)$", r"\1:\2", text)
    if column == "hours" or column in MINUTES:
        usual = "minutes" if column in MINUTES else "hours"
        unit = heading.unit if heading.unit in ("hours", "minutes") else usual
        cell: Cell = memo(draft, column, text, lambda: values.read_hours(text, rules.decimal, unit))
        scale = 60.0 if column in MINUTES else 24.0 if heading.unit == "days" else 1.0
        expected = "hours"
    else:
        cell = memo(draft, column, text, lambda: values.read_number(text, rules.decimal))
    if column == "miles":
        scale = _distance_scale(_behind(heading, text), rules.settings)
        if not cell.problem and not _DISTANCE.search(text):
            cell = cell._replace(problem="these words belong to no distance that I know")
    if cell.problem and column == "size":
        draft.extra[heading.text] = text  # "full size" is worth keeping and no mistake
    elif cell.problem:
        unreadable(draft, column, cell.problem, expected, cell.asks)
    elif cell.value is not None:
        draft.values[column] = round(cell.value * scale, 4)
        if cell.note:
            draft.note(cell.note, column)


def _behind(heading: Heading, text: str) -> Heading:
    """The heading of a distance that says itself that it is in km, or there and back."""
    round_trip = heading.unit in (ROUND, ROUND_KM) or bool(BOTH_WAYS.search(text))
    in_km = heading.unit in ("km", ROUND_KM) or re.search(r"\d\s*km\b", text, re.IGNORECASE)
    unit = (ROUND_KM if in_km else ROUND) if round_trip else "km" if in_km else heading.unit
    return replace(heading, unit=unit)


def _distance_scale(heading: Heading, settings: Settings) -> float:
    if heading.unit in (ROUND, ROUND_KM):
        one_way = replace(heading, unit="km" if heading.unit == ROUND_KM else "")
        return _distance_scale(one_way, settings) / 2
    if heading.unit == "meters":
        return _distance_scale(replace(heading, unit="km"), settings) / 1000
    if heading.unit == "km" and settings.distance_unit == "mi":
        return 1 / _KM_PER_MILE
    text = heading.text.casefold()
    in_miles = heading.unit == "miles" and "(" in text and "mile" in text.split("(")[-1]
    return _KM_PER_MILE if in_miles and settings.distance_unit == "km" else 1.0


def _read_dated(draft: Draft, heading: Heading, text: str) -> None:
    """A list of amounts, each with its day or bare: "320", "2026-03-01:320; 2026-03-15:295"."""
    rules, column = draft.rules, heading.column
    whole: Cell = memo(draft, "money", text, lambda: values.read_money(text, rules.decimal))
    if not whole.problem:
        if _is_foreign(draft, column, whole) or not whole.value:
            return
        if whole.value < 0:
            draft.note("an ask cannot be below 0; left blank", column)
            return
        amount_value = whole.value * SCALES.get(heading.unit, 1)
        draft.values[column] = f"{amount_value.normalize():f}"
        if whole.note:
            draft.note(whole.note, column)
        return
    text = re.sub(r"\s*(?:>+|→)\s*(?=\S*\d)", "; ", text) if _DROPS.match(text) else text
    if crossed := values.crossed_out(text):
        text = "; ".join(crossed)
    parts = []
    for part in text.replace("\n", ";").split(";"):
        if not part.strip():
            continue
        day_text, colon, amount_text = part.rpartition(":")
        amount, day = values.read_money(amount_text, rules.decimal), None
        if colon:
            told = dates.read_date(day_text, rules.today)
            day = dates.resolve(told, rules.date_order)[0]
        if amount.problem or amount.value is None or (colon and day is None):
            problem = whole.problem or "this is no dated list of amounts"
            unreadable(draft, column, problem, "money", whole.asks)
            return
        parts.append((f"{day.isoformat()}:" if day else "") + f"{amount.value.normalize():f}")
    draft.values[column] = "; ".join(parts)


def _read_own(draft: Draft, heading: Heading, text: str) -> None:
    kind = draft.rules.settings.attributes.get(heading.column, "category")
    if kind in ("number", "log"):
        cell = memo(
            draft, heading.column, text, lambda: values.read_number(text, draft.rules.decimal)
        )
        if cell.problem or (kind == "log" and cell.value is not None and cell.value <= 0):
            draft.note(f"{cell.problem or 'this must be above 0'}; left blank", heading.column)
        elif cell.value is not None:
            draft.extra[heading.column] = cell.value
    elif not values.is_blank(text):
        draft.extra[heading.column] = " ".join(text.split()).lower()


def _read_known(draft: Draft, heading: Heading, text: str) -> None:
    column, mark = heading.column, draft.rules.decimal
    if column == "at_curb":
        draft.known[column] = float(squash(text) in ("yes", "y", "true", "1", "x"))
        return
    read, problem, expected = values.read_money, "", EXPECTED["money"]
    if column in ("minutes", "fix_chance"):
        read = values.read_number
    cell = read(text.strip().rstrip("%") if column == "fix_chance" else text, mark)
    value = cell.value
    if column == "fix_chance":
        expected = "0.9, 90 %"
        if value is not None and (text.strip().endswith("%") or value > 1):
            value = value / 100
        if value is not None and not 0 <= value <= 1:
            problem = "a chance is between 0 and 1"
    if cell.problem or problem:
        draft.reject(cell.problem or problem, column, expected=expected)
    elif value is not None:
        draft.known[column] = float(value)


_READERS = {
    "word": _read_word, "words": _read_word, "graded": _read_word, "text": _read_text,
    "money": _read_money, "date": _read_date, "dated": _read_dated,
}  # fmt: skip
