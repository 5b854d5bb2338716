"""What a whole file shows of itself: decimal mark, date order, currency, dropped row ends."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from statistics import median
from typing import Any

from pricing.basis.columns import BY_NAME, EVENTS
from pricing.basis.words import squash
from pricing.ingest import dates, values
from pricing.ingest.dialect import Record
from pricing.ingest.headings import Heading, place_of
from pricing.ingest.reading import FileQuestion

SPENT = ("paid", "parts", "haul_cost", "fees", "refund", "helper", "cost_in", "expense")


@dataclass(frozen=True)
class Marks:
    """decimal: ".", "," or "" where no cell proves one; mixed: both are proved; ambiguous: an
    amount like 1,250 that reads two ways without proof."""

    decimal: str
    mixed: bool = False
    ambiguous: str = ""


def column_texts(records: Iterable[Record], place: int) -> dict[str, int]:
    """Distinct non-blank cells of a column, with how often each stands there."""
    cells = (record.cells[place].strip() for record in records if place < len(record.cells))
    return Counter(text for text in cells if text)


_ZERO = re.compile(r"^[^\w]*0+(?:[.,]0+)?[^\w]*$|^free$", re.IGNORECASE)


def of_kind(headings: Sequence[Heading], *kinds: str) -> list[tuple[int, Heading]]:
    """The columns of ours that hold values of these kinds, each with its place."""
    known = ((at, one) for at, one in enumerate(headings) if one.column in BY_NAME)
    return [(at, one) for at, one in known if BY_NAME[one.column].kind in kinds]


def of_nothing(records: Sequence[Record], headings: Sequence[Heading]) -> frozenset[str]:
    """Columns of money whose dashes and words say that nothing was spent: filled, and never 0."""
    found = set()
    for place, heading in of_kind(headings, "money"):
        texts = column_texts(records, place)
        full = sum(texts.values()) >= 0.98 * len(records)
        if full and not any(_ZERO.match(text) for text in texts):
            found.add(heading.column)
    return frozenset(found)


def spent_below(records: Sequence[Record], headings: Sequence[Heading]) -> frozenset[str]:
    """Columns of money spent in which hardly an amount stands above 0, as in a book of accounts."""
    found = set()
    for place, heading in enumerate(headings):
        if heading.column in SPENT:
            texts = column_texts(records, place)
            signs: Counter[bool] = Counter()
            for text, n in texts.items():
                if amount := values.read_money(text, "").value:
                    signs[amount < 0] += n
            if signs[True] >= 2 and signs[True] >= 0.9 * signs.total():
                found.add(heading.column)
    return frozenset(found)


def joiners(records: Sequence[Record], headings: Sequence[Heading]) -> dict[str, str]:
    """Signs between the words of a list: most pieces that they make are found again alone."""
    found = {}
    for place, heading in of_kind(headings, "words"):
        texts = column_texts(records, place)
        if signs := [sign for sign in "/+&" if _joins(sign, texts)]:
            found[heading.column] = "".join(signs)
    return found


def near_makers(
    records: Sequence[Record], headings: Sequence[Heading], said: Mapping[str, str]
) -> list[FileQuestion]:
    """A question for each maker that is written so once or twice and is nearly another one's name,
    which stands there ten times as often: "Norvnae" for Norvane."""
    place = place_of(headings, "maker")
    texts = column_texts(records, place) if place is not None else {}
    asked = []
    for text, n in texts.items():
        if n > 2 or len(text) < 5 or squash(text) in said:
            continue
        often = [one for one, m in texts.items() if m >= 10 * n and one[:1] == text[:1]]
        for name in get_close_matches(text, often, n=1, cutoff=0.82):
            rows = [one.line for one in records if text in map(str.strip, one.cells[place:][:1])]
            what = (
                f"{text!r} is nearly {name!r}, which stands on {texts[name]:,} rows. Is it a slip?"
            )
            asked.append(FileQuestion(what, (f'--word "{text}={name}"',), tuple(rows)))
    return asked


def _joins(sign: str, texts: Mapping[str, int]) -> bool:
    pieces: Counter[str] = Counter()
    for text in texts:
        pieces.update({piece.strip().casefold() for piece in text.split(sign)})
    split = (text.split(sign) for text in texts if sign in text)
    parted = {piece.strip().casefold() for pieces_ in split for piece in pieces_}
    return len(parted) > 1 and sum(pieces[piece] > 1 for piece in parted) >= 0.7 * len(parted)


def decimal_mark(texts: Iterable[str], said: str) -> Marks:
    """The decimal mark that the number cells prove; one seen twenty times as often leads.

    >>> (decimal_mark(["12,50", "1.250,00", "7"], "auto").decimal,
    ...  decimal_mark(["1,250"], "auto").ambiguous)
    (',', '1,250')
    """
    shown: Counter[str] = Counter()
    ambiguous = ""
    for text in texts:
        # 12,50 and 1.250,00 prove their mark, 1,250 proves none: it may be 1250 or one and a
        # quarter.
        mark = values.marks_shown(text)
        if mark:
            shown[mark] += 1
        elif not ambiguous and ("," in text or "." in text) and values.read_money(text, "").note:
            ambiguous = text
    if said in (".", ","):
        return Marks(said)
    if not shown:
        return Marks("", False, ambiguous)
    strong, count = shown.most_common(1)[0]
    other = shown["," if strong == "." else "."]
    if not other or count >= 20 * other:
        return Marks(strong, other > 0)
    return Marks("", True, ambiguous)


def currency_of(columns: Iterable[Mapping[str, int]], headings: Sequence[Heading], own: str) -> str:
    """The currency of a file: what most amounts of a column name, else the headings. Where some
    name one and most none, the record's own; "" where none is named. "$" is the record's dollar."""
    counts: Counter[str] = Counter()
    some = False
    for texts in columns:
        named: Counter[str] = Counter()
        for text, n in texts.items():
            if not text.isascii() or any(sign.isalpha() or sign == "$" for sign in text):
                named[values.read_money(text, "").currency] += n
        del named[""]
        some |= bool(named)
        if 2 * named.total() >= sum(texts.values()):
            counts += named
    head = [heading.currency for heading in headings if heading.currency]
    found = counts.most_common(1)[0][0] if counts else head[0] if head else own if some else ""
    return own if found == "$" and same_currency("$", own) else found


def date_order(
    records: Sequence[Record], headings: Sequence[Heading], said: str, today: date
) -> dates.OrderVerdict:
    """The date order of the file from all its date cells."""
    events = [at for name in EVENTS for at, one in enumerate(headings) if one.column == name]
    others = [at for at, _ in of_kind(headings, "date") if at not in events]
    memo: dict[str, dates.DateReading | None] = {}

    def reading(record: Record, place: int) -> dates.DateReading | None:
        text = record.cells[place].strip() if place < len(record.cells) else ""
        # Days repeat down a column: each text is read once.
        if text not in memo:
            found = dates.read_date(text, today) if text else None
            memo[text] = None if found is None or found == dates.DateReading() else found
        return memo[text]

    def rows() -> Iterable[Sequence[dates.DateReading | None]]:
        for record in records:
            # Got, listed and sold of one row stand together: an order under which a unit is sold
            # before it came is wrong. Other dates prove only by what they can be.
            yield [reading(record, place) for place in events]
            for place in others:
                yield [reading(record, place)]

    return dates.decide_order(rows(), said, today)


def middle_price(records: Sequence[Record], headings: Sequence[Heading], decimal: str) -> float:
    """The middle one of the sale prices that can be read; 0 for none."""
    texts = [
        text
        for place, heading in enumerate(headings)
        if heading.column == "price"
        for text in Counter(column_texts(records, place)).elements()
    ]
    read = (values.read_money(text, decimal).value for text in texts)
    return float(median([value for value in read if value] or [0]))


def without_year(
    records: Sequence[Record], headings: Sequence[Heading], today: date
) -> frozenset[str]:
    """Columns of days in which some stand without a year."""
    return frozenset(
        heading.column
        for place, heading in enumerate(headings)
        if heading.column in EVENTS
        and any(dates.read_date(text, today).no_year for text in column_texts(records, place))
    )


def of_columns(
    records: Sequence[Record], headings: Sequence[Heading], today: date
) -> dict[str, Any]:
    """What single columns show, by the names of `Rules`."""
    return {
        "spent_below": spent_below(records, headings),
        "nothing": of_nothing(records, headings),
        "joiners": joiners(records, headings),
        "bare": without_year(records, headings, today),
    }


def order_by_column(
    records: Sequence[Record], headings: Sequence[Heading], today: date
) -> dict[str, str]:
    """Column -> the order of its dates, where each proves one three times; {} else."""
    found = {}
    for place, heading in of_kind(headings, "date"):
        texts = column_texts(records, place)
        readings = [dates.read_date(text, today).orders for text in texts]
        can = Counter(order for orders in readings if (order := only_order(orders)))
        if not any(readings):
            continue
        if len(can) != 1 or max(can.values()) < 3:
            return {}
        found[heading.column] = next(iter(can))
    return found


def only_order(orders: Mapping[str, date | None] | None) -> str:
    """The order, month or day first, that alone can read a date; "" where both or none can."""
    can = [name for name in ("mdy", "dmy") if orders and orders.get(name)]
    return can[0] if len(can) == 1 else ""


def near_the_other_order(
    records: Sequence[Record], headings: Sequence[Heading], order: str, today: date
) -> tuple[frozenset[int], list[tuple[int, str]]]:
    """(lines whose dates are not to be guessed, the cells that only the other order can read) of a
    file in which nearly all dates are of one order."""
    places = [place for place, _ in of_kind(headings, "date")]
    kinds: list[str] = []
    odd: list[tuple[int, str]] = []
    for record in records:
        kind = ""
        for place in places:
            text = record.cells[place].strip() if place < len(record.cells) else ""
            if only := only_order(dates.read_date(text, today).orders if text else None):
                kind = "own" if only == order else "other"
                if kind == "other":
                    odd.append((record.line, text))
        kinds.append(kind)
    unsure = set()
    for place in (at for at, kind in enumerate(kinds) if kind == "other"):
        for step in (1, -1):
            at = place + step
            while 0 <= at < len(kinds) and kinds[at] != "own":
                unsure.add(records[at].line)
                at += step
    return frozenset(unsure), odd


_ISO = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$")
_SLASHED = re.compile(r"^(\d{1,2})[/.](\d{1,2})[/.]\d{2,4}$")
# ISO dates with a day up to 12 by chance: (12 / 30.4)^8, less than one in a thousand
FEW_TURNED = 8


def are_turned(records: Sequence[Record], headings: Sequence[Heading]) -> bool:
    """Whether a program that reads days and months the other way had the sheet: it turned every
    date that it could read, and left the others as text; or years stand before the day."""
    texts = [x for at, _ in of_kind(headings, "date") for x in column_texts(records, at)]
    iso = [(int(match[2]), int(match[3])) for text in texts if (match := _ISO.match(text))]
    if sum(first > 12 for first, _ in iso) >= 3 and not any(second > 12 for _, second in iso):
        return True
    found = [match for text in texts if (match := _SLASHED.match(text))]
    slashed = [(int(match[1]), int(match[2])) for match in found]
    enough = len(iso) >= FEW_TURNED and len(slashed) >= 3
    turned = all(max(pair) <= 12 for pair in iso)
    return enough and turned and all(max(pair) > 12 for pair in slashed)


def turned_back(text: str) -> str:
    """An ISO date with day and month in each other's place.

    >>> turned_back("2024-05-03"), turned_back("25/03/2024")
    ('2024-03-05', '25/03/2024')
    """
    match = _ISO.match(text.strip())
    return f"{match[1]}-{int(match[3]):02d}-{int(match[2]):02d}" if match else text


def trims_rows(records: Sequence[Record], width: int) -> bool:
    """Whether empty cells at the end of a row are left away: rows often end early, never in one."""
    short = sum(len(record.cells) < width for record in records)
    explicit = sum(
        len(record.cells) >= width and not record.cells[width - 1].strip() for record in records
    )
    return short >= 3 and short >= 0.05 * len(records) and explicit <= 0.02 * len(records)


def same_currency(one: str, other: str) -> bool:
    """Whether two currencies may be the same; "$" stands for any dollar, blank for any.

    >>> same_currency("$", "CAD"), same_currency("GBP", "EUR"), same_currency("", "EUR")
    (True, False, True)
    """
    if not one or not other or one == other:
        return True
    groups = (("$", "USD", "CAD", "AUD", "NZD", "MXN", "SGD", "HKD"), ("kr", "SEK", "NOK", "DKK"))
    return any({one, other} <= set(group) and group[0] in (one, other) for group in groups)
