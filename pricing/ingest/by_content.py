"""A heading proposes what a column is; its values decide, told with the way to say otherwise."""

import re
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial

from pricing.basis.columns import OUTCOMES
from pricing.basis.problems import Problem
from pricing.basis.settings import Settings
from pricing.basis.words import TYPE_KEYS, canonical, squash
from pricing.ingest import measures, values
from pricing.ingest.dialect import Record
from pricing.ingest.headings import Heading
from pricing.ingest.sheet import Sheet

# An amount as a till prints it: a sign of money, or exactly two places.
_AMOUNT = re.compile(r"^[^\w\s.,-]?\s?-?\d[\d.,]*[.,]\d{2}$|^[$€£]\s?\d[\d.,]*$|^\d[\d.,]*\s?[€£]$")
_PLAIN_AMOUNT = re.compile(
    r"^(?:[$€£¥]|R\$)?\s?\d{1,3}(?:[., ]?\d{3})*(?:[.,](?:\d{1,2}|-))?"
    r"\s?(?:[€£]|kr|kč|zł|tl|руб\.?)?$",
    re.IGNORECASE,
)
_OPEN = ("listed", "in work", "waiting for part")


def settle(
    headings: list[Heading],
    body: Sequence[Record],
    settings: Settings,
    name: str,
    own: Mapping[str, str],
) -> list[Problem]:
    """Put headings right, in place, where the values show something else; each told."""
    sheet = Sheet(headings, body, settings, name, own)
    checks: tuple[Callable[[Sheet], Problem | None], ...] = (
        _remarks_for_numbers,
        _number_that_repeats,
        *(partial(_amounts_for, column=column) for column in ("pair", "from_unit", "trip")),
        partial(_day_in_money, day="sold", money="price"),
        partial(_day_in_money, day="got", money="paid"),
        *measures.CHECKS,
        _date_of_units_in_hand,
        _year_of_the_sale,
        _outcomes_under_a_name,
    )
    return [note for check in checks if (note := check(sheet)) is not None]


def _number_that_repeats(sheet: Sheet) -> Problem | None:
    """A lot, a code of the type, a number anew each year: the same on rows of different units."""
    place = sheet.place("unit")
    told = [at for name in ("got", "sold", "price", "serial") if (at := sheet.place(name))]
    if place is None or not told:
        return None
    units: dict[str, set[tuple[str, ...]]] = {}
    filled = 0
    for record in sheet.body:
        if number := sheet.cell(record, place):
            filled += 1
            units.setdefault(number, set()).add(tuple(sheet.cell(record, at) for at in told))
    extra = sum(len(rows) - 1 for rows in units.values())
    if extra < 3 or extra < 0.15 * filled:
        return None
    number, rows = max(units.items(), key=lambda one: len(one[1]))
    return sheet.take(
        place, "", f"is no number of one unit ({number} stands on {len(rows)} different rows)"
    )


def _remarks_for_numbers(sheet: Sheet) -> Problem | None:
    """Words under "N": notes, no numbers."""
    place = sheet.place("unit")
    texts = sheet.texts(place) if place is not None else []
    words = sum(len(re.findall(r"[^\W\d_]{2,}", text)) > 1 for text in texts)
    if place is None or len(texts) < 3 or words < 0.3 * len(texts):
        return None
    return sheet.take(place, "" if sheet.has("note") else "note", "holds words, not numbers")


def _outcomes_under_a_name(sheet: Sheet) -> Problem | None:
    """An unknown column that says sold, listed, scrapped: "Where now"."""
    for place, heading in enumerate(sheet.headings):
        if heading.column or not heading.text or sheet.has("outcome"):
            continue
        said = Counter(text.casefold() for text in sheet.texts(place))
        known = {text: canonical("outcome", text, sheet.settings) for text in said}
        n_known = sum(n for text, n in said.items() if known[text] in OUTCOMES)
        kinds = {*known.values()} & {*OUTCOMES} if not said.keys() <= _ANSWERS else set()
        if len(kinds) > 1 and "sold" in kinds and n_known >= 0.95 * said.total():
            return sheet.take(place, "outcome", f"holds words like {max(said)!r}")
    return None


def sure_among(column: str, columns: Sequence[Sequence[str]]) -> int:
    """Which of several columns is the one a heading says, by its cells; -1 where they do not show
    it. A number of a unit is nowhere twice; a day of sale is no yes or no."""
    columns = [[text for text in texts if text] for texts in columns]
    if column == "unit":
        own = [
            at
            for at, texts in enumerate(columns)
            if len({*texts}) == len(texts) > 2 and not _counts_rows(texts)
        ]
    elif column == "sold":
        said = [{text.casefold() for text in texts} for texts in columns]
        own = [at for at, texts in enumerate(said) if not texts <= _ANSWERS]
    else:
        return -1
    return own[0] if len(own) == 1 else -1


def without_amounts(
    column: str, places: list[int], headings: list[Heading], body: Sequence[Record]
) -> list[int]:
    """The places of a day's column, but for one that holds amounts: that is its money."""
    money = {"got": "paid", "sold": "price"}.get(column, "")
    if len(places) != 2 or not money or any(one.column == money for one in headings):
        return places
    for at, other in (places, places[::-1]):
        texts = [text for one in body if (text := "".join(one.cells[at : at + 1]).strip())]
        if sum(bool(_PLAIN_AMOUNT.match(text)) for text in texts) > 0.8 * len(texts):
            headings[at] = replace(headings[at], column=money, how="values")
            return [other]
    return places


_ANSWERS = frozenset((
    *("y", "n", "yes", "no", "true", "false", "0", "1", "x", "✓", "✗", "✔", "☑", "☐", "ja", "nein"),
    *("oui", "non", "sí", "si", "sì", "tak", "nie", "да", "нет", "sim", "não", "nej", "nei", "nee"),
    *("ano", "ne", "evet", "hayır", "はい", "いいえ", "是", "否"),
))  # fmt: skip


def take_for_outcome(
    headings: list[Heading], places: Sequence[int], columns: Sequence[Sequence[str]]
) -> None:
    """A second column "Sold" that answers yes or no says what became of the unit."""
    for place, texts in zip(places, columns, strict=True):
        said = {text.casefold() for text in texts if text}
        if not headings[place].column and len(said) > 1 and said <= _ANSWERS:
            headings[place] = replace(headings[place], column="outcome", how="values")
            return


def _counts_rows(texts: Sequence[str]) -> bool:
    """1, 2, 3, …"""
    return list(texts) == [str(at) for at in range(1, len(texts) + 1)]


def _amounts_for(sheet: Sheet, column: str) -> Problem | None:
    """Amounts under a heading of names: no other unit, no trip."""
    place = sheet.place(column)
    texts = sheet.texts(place) if place is not None else []
    if not texts or sum(bool(_AMOUNT.match(text)) for text in texts) < 0.6 * len(texts):
        return None
    return sheet.take(place or 0, "", f"holds amounts ({texts[0]}), not names")


def _day_in_money(sheet: Sheet, day: str, money: str) -> Problem | None:
    """Amounts under "Sold" or "Bought"."""
    place = sheet.place(day)
    texts = sheet.texts(place) if place is not None else []
    if place is None or len(texts) < 2 or sheet.has(money):
        return None
    if sum(bool(_PLAIN_AMOUNT.match(text)) for text in texts) < 0.8 * len(texts):
        return None
    return sheet.take(place, money, f"holds amounts ({texts[0]}), not days")


def _date_of_units_in_hand(sheet: Sheet) -> Problem | None:
    """A plain "Date" that units not sold yet have too is no day of sale."""
    place, outcome = sheet.place("sold"), sheet.place("outcome")
    if place is None or outcome is None or sheet.has("got") or not sheet.headings[place].weak:
        return None
    in_hand = [
        bool(sheet.cell(record, place))
        for record in sheet.body
        if canonical("outcome", sheet.cell(record, outcome), sheet.settings) in _OPEN
    ]
    if not in_hand or sum(in_hand) < 0.5 * len(in_hand):
        return None
    return sheet.take(place, "got", "stands on units that are not sold too")


def _year_of_the_sale(sheet: Sheet) -> Problem | None:
    """A "Year" that goes with the day of sale is no year made."""
    place, sold = sheet.place("made"), sheet.place("sold")
    if place is None or sold is None or sheet.has("age"):
        return None
    both = [
        (year, day)
        for record in sheet.body
        if (year := sheet.cell(record, place)) and (day := sheet.cell(record, sold))
    ]
    same = sum(year.isdecimal() and len(year) == 4 and year in day for year, day in both)
    if len(both) < 3 or same < 0.9 * len(both):
        return None
    return sheet.take(place, "", "is the year of the sale")


def sums_of_rows(
    headings: Sequence[Heading], body: Sequence[Record], decimal: str, settings: Settings
) -> list[Record]:
    """Rows whose price is the sum of two or more prices above, since the last such row, under a
    name that is no type of appliance."""
    places = {heading.column: place for place, heading in enumerate(headings)}
    if "price" not in places or "type" not in places:
        return []
    kinds = ["".join(one.cells[places["type"] :][:1]).strip() for one in body]
    # a word that stands on other rows too is a kind of appliance, known or not
    once = {kind for kind, n in Counter(kinds).items() if n == 1} | {""}
    found: list[Record] = []
    part = whole = Decimal(0)
    n_part = n_whole = 0
    for record, kind in zip(body, kinds, strict=True):
        price = _price(record.cells, places["price"], decimal)
        if price is None:
            continue
        sums = (n_part > 1 and price == part) or (n_whole > 1 and price == whole)
        if sums and kind in once and not _is_type(kind, settings):
            found.append(record)
            part, n_part = Decimal(0), 0
            continue
        part, n_part, whole, n_whole = part + price, n_part + 1, whole + price, n_whole + 1
    return found


def _price(cells: Sequence[str], place: int, decimal: str) -> Decimal | None:
    text = cells[place].strip() if place < len(cells) else ""
    cell = values.read_money(text, decimal) if text else values.BLANK
    return cell.value if isinstance(cell.value, Decimal) and cell.value > 0 else None


def _is_type(text: str, settings: Settings) -> bool:
    return squash(canonical("type", text, settings)) in TYPE_KEYS
