"""A heading proposes what a column is; its values decide, told with the way to say otherwise."""

import re
from collections import Counter
from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial

from pricing.basis.problems import Problem
from pricing.basis.settings import Settings
from pricing.basis.words import TYPE_KEYS, canonical, squash
from pricing.ingest import values
from pricing.ingest.dialect import Record
from pricing.ingest.headings import Heading, listed
from pricing.ingest.sheet import Sheet

_OPEN = ("listed", "in work", "waiting for part")


def settle(sheet: Sheet) -> list[Problem]:
    """Put headings right, in place, where the values show something else; each told."""
    checks: tuple[Callable[[Sheet], Problem | None], ...] = (
        _remarks_for_numbers,
        _number_that_repeats,
        _work_in_words,
        _clock_times,
        _parts_of_a_day,
        partial(_whole_numbers_above, column="hours", bound=12, unit="minutes", said="minutes"),
        partial(_whole_numbers_above, column="age", bound=24, unit="months", said="months"),
        _hours_and_minutes,
        _date_of_units_in_hand,
        _year_of_the_sale,
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


def sure_among(column: str, columns: Sequence[Sequence[str]]) -> int:
    """Which of several columns is the one a heading says, by its cells; -1 where they do not show
    it. A number of a unit is nowhere twice."""
    own = [
        at
        for at, texts in enumerate([text for text in texts if text] for texts in columns)
        if column == "unit" and len({*texts}) == len(texts) > 2 and not _counts_rows(texts)
    ]
    return own[0] if len(own) == 1 else -1


ANSWERS = frozenset(listed("answers"))


def _counts_rows(texts: Sequence[str]) -> bool:
    """1, 2, 3, …"""
    return list(texts) == [str(at) for at in range(1, len(texts) + 1)]


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


# ---- in which measure a column counts hours and ages, where its heading does not say
_CLOCK = re.compile(r"^(\d{1,2}):(\d{2})(?::\d{2})?(?:\s?[ap]\.?m\.?)?$", re.IGNORECASE)
# 1:30, 45', 1 h 30, 90 min
_LENGTH = re.compile(
    r"^(?:\d{1,2}:\d{2}|\d{1,3}\s?['′]|\d{1,3}\s?(?:min|mins|minutes)\.?"
    r"|\d{1,2}[.,]?\d*\s?(?:h|hrs?|hours?)\.?(?:\s?\d{1,2}\s?m?(?:in)?\.?)?)$",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"^\d*[.,]?\d+$")
_DAY = 24 * 12  # five-minute steps of a day
_FEW = 5  # values that show nothing of a column


def _work_in_words(sheet: Sheet) -> Problem | None:
    """Minutes or hours under a heading like "Work" that usually says what was done."""
    place = sheet.place("repair")
    texts = sheet.texts(place) if place is not None else []
    if place is None or not texts:
        return None
    if sum(bool(_LENGTH.match(text)) for text in texts) >= 0.8 * len(texts):
        return None if sheet.has("hours") else sheet.take(place, "hours", "holds lengths of time")
    if sum(bool(_NUMBER.match(text)) for text in texts) < 0.8 * len(texts):
        return None
    unit = sheet.headings[place].unit
    if not unit and all(text.isdecimal() for text in texts):
        large = sorted(map(int, texts))[len(texts) // 3] > 12
        unit = "minutes" if large else ""
    if unit == "minutes" and not sheet.has("repair_min"):
        return sheet.take(place, "repair_min", "holds numbers", unit)
    if unit == "hours" and not sheet.has("hours"):
        return sheet.take(place, "hours", "holds numbers", unit)
    return sheet.take(place, "", f"holds numbers ({texts[0]}), not what was done")


def _clock_times(sheet: Sheet) -> Problem | None:
    """The time of day under "Time": work of fourteen and a half hours on unit after unit."""
    place = sheet.place("hours")
    if place is None:
        return None
    times = [match for text in sheet.texts(place) if (match := _CLOCK.match(text))]
    late = [match for match in times if int(match[1]) >= 9 or match[0][-1:] in "mM."]
    if not times or len(times) < 0.8 * len(sheet.texts(place)) or len(late) < 0.5 * len(times):
        return None
    return sheet.take(place, "", f"holds times of day ({times[0][0]}), not hours of work")


def _parts_of_a_day(sheet: Sheet) -> Problem | None:
    """Durations as programs store them, 0.0625 for 1:30: whole five minutes of a day."""
    place = sheet.place("hours")
    texts = sheet.texts(place) if place is not None else []
    if place is None or len(texts) < 3 or sheet.headings[place].unit == "minutes":
        return None
    try:
        numbers = [float(text.replace(",", ".")) for text in texts]
    except ValueError:
        return None
    steps = [number * _DAY for number in numbers]
    fine = [
        number
        for number, text in zip(numbers, texts, strict=True)
        if len(re.sub(r"^\d*[.,]", "", text).rstrip("0")) > 3
    ]
    if max(numbers) >= 1 or len(fine) < 0.3 * len(texts):
        return None
    if any(abs(step - round(step)) > 0.02 for step in steps):
        return None
    return sheet.take(place, "hours", f"holds parts of a day ({texts[0]} is read × 24)", "days")


def _whole_numbers_above(
    sheet: Sheet, column: str, bound: int, unit: str, said: str
) -> Problem | None:
    """Whole numbers mostly too large for the heading's measure: of the next smaller one."""
    place = sheet.place(column)
    texts = sheet.texts(place) if place is not None else []
    if place is None or len(texts) < _FEW or sheet.headings[place].unit:
        return None
    if not all(text.isdecimal() and len(text) < 4 for text in texts):
        return None
    if sorted(map(int, texts))[len(texts) // 3] <= bound:
        return None
    return sheet.take(place, column, f"holds numbers like {max(texts, key=int)}: {said}", unit)


def _hours_and_minutes(sheet: Sheet) -> Problem | None:
    """1.30 for an hour and a half: two places, none of sixty or more, halves written .30."""
    place = sheet.place("hours")
    texts = sheet.texts(place) if place is not None else []
    if place is None or len(texts) < _FEW or sheet.headings[place].unit:
        return None
    found = [re.fullmatch(r"\d+[.,](\d\d)", text) for text in texts]
    ends = [match[1] for match in found if match]
    if len(ends) < len(texts) or max(ends) > "59" or not {"15", "30", "45"} & {*ends}:
        return None
    if sum(end in ("00", "15", "30", "45") for end in ends) < 0.8 * len(ends):
        return None
    why = f"is written like {texts[0]}: {texts[0]} is hours and minutes"
    return sheet.take(place, "hours", why, "h.mm")
