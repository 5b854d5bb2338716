"""A row as a whole: its type, age, outcome, money, the order of its events, impossible figures."""

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from pricing.basis.columns import EVENTS
from pricing.basis.own_rows import assumed_types
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.basis.words import TYPE_KEYS, canonical, squash, type_in
from pricing.ingest import cells, real_sheets
from pricing.ingest.dialect import Record
from pricing.ingest.draft import EXPECTED, FIXES, Draft, Rules, memo
from pricing.ingest.headings import IGNORED, Heading, listed
from pricing.ingest.reading import Rejected, Row

NO_WORDS = frozenset(listed("no"))
MOST_AGE = 40  # years; own judgement: few appliances that are still sold are older
TOO_HIGH, TOO_LOW = 5.0, 20.0  # times what is usual; own judgement
MOST_HOURS = 60  # of work on one unit, above which minutes are more likely


_BESIDE_A_COST = {"unit", "type", "maker", "got", "paid", "parts", "note"}
_NO_TYPE = "write what it is: electric dryer, gas range, …"


def settle_type(draft: Draft) -> None:
    """A unit needs a type; else it is a trip, an expense, or stands below the head of its group."""
    rules, row = draft.rules, draft.values
    open_column = rules.describe if not rules.described else ""
    if row.get("type"):
        _check_type(draft, open_column)
    elif open_column and not rules.has("type"):
        _ask_description(draft, "", open_column)
    elif filled := rules.fills.get(draft.record.line):
        row["type"] = canonical("type", filled, rules.settings)
        if row["type"] != filled:
            draft.said["type"] = filled
        draft.note(f"the type is blank; {filled!r} was taken from above")
    elif row.get("expense") is not None and "price" not in row:
        row["outcome"] = "expense"
    elif (outcome := row.get("outcome", "")) in ("expense", "trip"):
        if outcome == "expense" and "paid" in row:
            row["expense"] = row.pop("paid")
    elif row.get("trip") and "price" not in row and ("miles" in row or "drive_min" in row):
        row["outcome"] = "trip"
    else:
        draft.reject("the type is missing", "type", fix=_NO_TYPE)


def _check_type(draft: Draft, open_column: str) -> None:
    """A cell of a type that stands for several units, for none, or is a description."""
    rules, text = draft.rules, draft.cell("type").strip()
    count = memo(draft, "quantity", text, lambda: real_sheets.quantity_of(text, rules.settings))
    if count > 1:
        draft.reject_quantity(count)
    elif not any(sign.isalpha() for sign in text) and text:
        draft.reject("this is no type", "type", fix=_NO_TYPE)
    elif rules.knows_types and not (draft.values.keys() - _BESIDE_A_COST or _is_known(text, rules)):
        fix = "if it is a cost, write expense under its outcome; else say its age or condition"
        draft.reject(f"{text!r} is no appliance that I know, and says little else", "type", fix)
    elif (
        open_column
        and rules.headings[rules.place("type") or 0].text == open_column
        and not _is_plain_type(text, rules)
    ):
        _ask_description(draft, "type", open_column)


def _ask_description(draft: Draft, column: str, header: str) -> None:
    fix = f'if so, say --describe "{header}"'
    draft.reject("the type stands inside a description", column, fix=fix, option="describe")


def _is_known(text: str, rules: Rules) -> bool:
    return squash(canonical("type", text, rules.settings)) in TYPE_KEYS


def _is_plain_type(text: str, rules: Rules) -> bool:
    return _is_known(text, rules) or not type_in(text, rules.settings)[0]


def settle_age(draft: Draft) -> None:
    """The age on the day got (else listed, else sold), from the year made if only that is known."""
    row, made = draft.values, draft.values.get("made", "")
    if "age" in row or not made:
        return
    years = [int(year) for year in re.findall(r"(?<!\d)(?:19|20)\d\d(?!\d)", made)]
    today = draft.rules.today
    day = row.get("got") or row.get("listed") or row.get("sold") or today
    if years and all(1950 <= year <= today.year + 1 for year in years):
        if min(years) > day.year:
            draft.note("made after the day it was got; the age is left blank", "made")
            return
        row["age"] = max(0.0, round(day.year - sum(years) / len(years), 2))


def settle_outcome(draft: Draft) -> None:
    """What became of the unit, and where its money belongs: a price only for a sold unit."""
    values_, said = draft.values, draft.cell("outcome").strip()
    outcome = values_.get("outcome", "")
    price: Decimal | None = values_.get("price")
    if outcome in ("trip", "expense"):
        return
    if price is not None and price < 0:
        what = "a sale price cannot be below 0: a refund is no sale"
        draft.reject(what, "price", fix="put money given back under refund")
        return
    if outcome in _NOT_SOLD:
        _drop_what_says_nothing(draft)
        price = values_.get("price")
    outcome = outcome or _worked_out(draft)
    if outcome in _IN_HAND:
        if not _settle_in_hand(draft, said):
            return
    elif outcome in ("parted", "scrapped") and price is not None:
        if price > 0:
            values_.setdefault("salvage", price)
            draft.note("scrap and parts money is no sale price; it was kept as salvage", "price")
        del values_["price"]
    elif outcome == "kept" and price is not None and price > 0:
        _contradicts(draft, said, "a sale price", "write sold, or empty the price")
    elif outcome == "sold":
        outcome = _settle_sale(draft, price, said)
    values_["outcome"] = outcome


def _contradicts(draft: Draft, said: str, there: str, fix: str, option: str = "") -> None:
    what = f"the outcome says {said!r}, yet there is {there}"
    draft.reject(what, "outcome", fix=fix, option=option)


_IN_HAND = ("listed", "in work", "waiting for part")
_NOT_SOLD = (*_IN_HAND, "parted", "scrapped", "kept")


# "scrapped $18" that ends or is a note, and not "may be scrapped", "for scrap"
_END = re.compile(
    r"(?:^|[,;:.(–—-]\s*|\s)(scrapped|scrap|junked|parted(?: out)?)\s*(?:for\s*)?"
    r"(?:[$€£]?\s?(\d{1,4}(?:[.,]\d{2})?)\s?[€£]?)?[\s.!)]*$",
    re.IGNORECASE,
)
_NOT_YET = re.compile(
    r"\b(?:may|maybe|might|will|would|could|to|for|as|not|if|or|probably|a|be)\s*$", re.I
)
_ENDED_AS = {"scrap": "scrapped", "junked": "scrapped", "parted out": "parted"}


def _end_in_note(draft: Draft) -> str:
    """What became of a unit that only its note tells, with the money it brought; told."""
    values_ = draft.values
    text = str(values_.get("note") or "")
    match = _END.search(text)
    if match is None or _NOT_YET.search(text[: match.start(1)]):
        return ""
    word = match[1].lower()
    if match[2] and "salvage" not in values_:
        values_["salvage"] = round(Decimal(match[2].replace(",", ".")), 2)
    said = match[0].strip(" ,;:.(–—-")
    draft.said.setdefault("outcome", said)
    draft.note(f"{said!r} was read as what became of it", "note")
    return _ENDED_AS.get(word, word)


def _worked_out(draft: Draft) -> str:
    """What became of it where no word of the outcome says so."""
    values_ = draft.values
    said = draft.cell("outcome").strip()
    if values_.get("price") is not None:
        return "sold"
    if ("word", "outcome", said) in draft.counted:
        fix = f'say what it means: --word "{said}=scrapped"'
        draft.reject(f"I do not know what {said!r} says of it", "outcome", fix, option="word")
    if "sold" in values_:
        return draft.rules.ended if not said and draft.rules.ended else "sold"
    return _end_in_note(draft) or (
        "listed" if "listed" in values_ or "asked" in values_ else "in work"
    )


def _settle_in_hand(draft: Draft, said: str) -> bool:
    """A unit still there has no sale price but an ask. False where the row contradicts itself."""
    values_ = draft.values
    price = values_.get("price")
    if not price:
        values_.pop("price", None)
        if squash(said) not in NO_WORDS:
            return True
        if "sold" not in values_ or draft.rules.ended:
            values_["outcome"] = draft.rules.ended if "sold" in values_ else _worked_out(draft)
        else:
            there = "a day on which the unit ended"
            _contradicts(draft, said, there, FIXES["ended"], option="ended")
        return False
    if "sold" in values_:
        fix = "write sold, or empty the price and the date"
        _contradicts(draft, said, "a sale price and a sale date", fix)
        return False
    if "asked" not in values_:
        values_["asked"] = f"{price.normalize():f}"
        draft.note("not sold yet: this was taken as the ask", "price")
    else:
        draft.note("not sold yet: the price was left blank", "price")
    del values_["price"]
    return True


def _drop_what_says_nothing(draft: Draft) -> None:
    """A price or a day of sale without a figure ("x", "not yet", "0") of a unit that was not sold
    is a blank."""
    left, of_sale = [], (draft.header("price"), draft.header("sold"))
    for problem in draft.problems:
        text = problem.value or ""
        if problem.column in of_sale and not re.search(r"[1-9]", text):
            draft.counted.append(("none yet", problem.column or "", text[:20]))
        else:
            left.append(problem)
    draft.problems[:] = left


def _settle_sale(draft: Draft, price: Decimal | None, said: str) -> str:
    if price is None:
        if "price" in draft.said:
            pass  # traded, and told
        elif squash(said).startswith("trade"):
            draft.note("traded: the price is unknown, not 0", "outcome")
        elif not draft.problems:
            fix = "write what the buyer paid; free if it was given away"
            fix, option = (fix, "") if said else (f"{fix}; {FIXES['ended']}", "ended")
            what = "sold, but the sale price is missing"
            draft.reject(what, "price", fix, EXPECTED["money"], option)
    elif price == 0:
        draft.note("given away: kept in the record, no sale to learn from", "price")
        return "kept"
    elif draft.rules.has("sold") and "sold" not in draft.values and not draft.problems:
        draft.note("sold, but the sale date is missing", "sold")
    return "sold"


def check_events(draft: Draft) -> None:
    """Events in an order that cannot be: the row is set aside, one of its days must be wrong."""
    told = {name: draft.values.get(name) for name in EVENTS}
    days = {name: day for name, day in told.items() if isinstance(day, date)}
    for name, day in days.items():
        if day > draft.rules.today:
            what = f"{name} on {day}, which is still to come"
            draft.reject(what, name, fix="correct the date")
        elif day.year < 1970:
            what = f"{name} in {day.year}: too long ago to be so"
            draft.reject(what, name, fix="correct the date")
    for first, second in (("got", "sold"), ("listed", "sold"), ("got", "listed")):
        if first in days and second in days and days[second] < days[first] and not draft.problems:
            what = f"{second} on {days[second]}, before it was {first} on {days[first]}"
            if second == "sold":
                draft.reject(what, "sold", fix="swap the dates, or empty one of them")
            else:
                draft.note(what, "listed")


def usual_prices(kind: str, rules: Rules) -> tuple[float, float]:
    """Sale prices below and above which a slip is likelier: so many times off the ends of what the
    kind brings by the starting figures, and off the middle price of the sheet. (0, inf) where the
    figures tell nothing."""
    if rules.settings.dollar is None or kind not in (table := assumed_types(rules.settings)):
        return 0.0, float("inf")
    row, middle = table[kind], rules.middle_price
    return min(row.low, middle) / TOO_LOW, max(row.high, middle) * TOO_HIGH


def _check_noughts(draft: Draft) -> None:
    price = float(draft.values.get("price") or 0)
    least, most = usual_prices(str(draft.values.get("type") or ""), draft.rules)
    if price > most or 0 < price < least:
        near = most / TOO_HIGH / 2 < price / 10 < 2 * most / TOO_HIGH
        meant = f"did you mean {price / 10:g}?" if near else "a slip?"
        draft.note(f"sold for {price:g}: {meant}", "price")


def _check_price(draft: Draft, asked: Decimal | None) -> None:
    paid, price = draft.values.get("paid", 0), draft.values.get("price")
    if asked is None or price is None:  # an ask beside the price says it a second time
        _check_noughts(draft)
    elif 4 * price < asked < 4 * paid <= 4 * asked:
        draft.note(f"paid {paid:f}, sold for {price:f}, asked {asked:f}: are they exchanged?")
    elif price and not asked / 10 < price < asked * 4:
        draft.note(f"sold for {price:f}, asked {asked:f}: a slip in one of them?", "price")


def check_figures(draft: Draft) -> None:
    """Figures that are possible but look like slips: told, not turned away."""
    row = draft.values
    text = row.get("asked", "")
    asked = Decimal(text) if text and ":" not in text and ";" not in text else None
    _check_price(draft, asked)
    if (hours := row.get("hours")) is not None and hours > MOST_HOURS:
        draft.note(f"{hours:g} hours of work on one unit: are these minutes?", "hours")
    if row.get("age", 0) > MOST_AGE:
        draft.note(f"{row['age']:g} years old: a slip?", "age")
    for column in ("paid", "parts", "fees", "refund", "helper", "haul_cost", "cost_in"):
        if (amount := row.get(column)) is not None and amount < 0:
            draft.note("below 0: money that came in?", column)


def read_row(record: Record, number: int, rules: Rules) -> Row | Rejected:
    """The row of one record. number: its place among the file's rows, from 1."""
    draft = Draft(record, number, rules)
    _check_shape(draft)
    if draft.problems:
        return draft.done()
    if record.line in rules.stray_lines:
        what = "a character on this line could not be read for sure"
        draft.note(what, fix="look at the accents on this line")
    for place, heading in enumerate(rules.headings):
        text = record.cells[place] if place < len(record.cells) else ""
        if text and heading.column != IGNORED:
            if cells.differs_by_row(rules, heading, record.line):
                cells.read_cell(draft, heading, text)
            else:
                draft.take(cells.read_alone(rules, place, text))
    settle_type(draft)
    if rules.question:
        return draft.done()
    settle_age(draft)
    settle_outcome(draft)
    check_events(draft)
    check_figures(draft)
    return draft.done()


def _check_shape(draft: Draft) -> None:
    """Too many cells shift values; too few, where nothing says why, may have lost the price."""
    record, rules = draft.record, draft.rules
    width = len(rules.headings)
    if record.broken:
        fix = (
            "save that table as a file of its own"
            if record.foreign
            else "mend the quotation marks on this line"
        )
        draft.reject(record.broken, fix=fix)
        return
    if any(cell.strip() for cell in record.cells[width:]):
        what = (
            f"this row has {len(record.cells)} cells, the header has {width}: its values may stand"
            " in the wrong columns"
        )
        draft.reject(what, fix="put the cell that holds the delimiter in quotes")
        return
    missing = [heading.column for heading in rules.headings[len(record.cells) :]]
    essential = {"price", "sold", "outcome", "type"} & set(missing)
    if essential - {"outcome"} and not rules.trims and not rules.question:
        draft.reject(
            f"this row stops after {len(record.cells)} of {width} cells",
            fix="fill in the missing cells, or empty ones",
        )


def read_cells(cells: Mapping[str, str], settings: Settings, today: date) -> Row:
    """The row that some cells say; days as 2026-03-01, amounts as 12.50. Raises Refused with the
    column of each cell that cannot be read.

    >>> cells = {"unit": "7", "type": "electric dryer", "paid": "20"}
    >>> read_cells(cells, Settings(), date(2026, 3, 1)).values["paid"]
    Decimal('20.00')
    """
    named = tuple(Heading(name, name) for name in cells)
    rules = Rules("", named, settings, today, ".", "ymd", "")
    found = read_row(Record(1, tuple(cells.values())), 1, rules)
    if isinstance(found, Rejected):
        raise Refused(*(replace(problem, file=None, line=None) for problem in found.problems))
    return found
