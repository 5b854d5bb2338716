"""Headings that nobody knows, proposed from what their cells do. Asked, never taken."""

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import combinations, pairwise, permutations
from statistics import median

from pricing.basis.columns import EVENTS, MEANT
from pricing.basis.words import type_in
from pricing.ingest import dates, values
from pricing.ingest.headings import is_computed
from pricing.ingest.reading import FileQuestion
from pricing.ingest.sheet import Sheet

FEW = 2  # rows that must show the order of days
ENOUGH = 3  # rows that must show how amounts stand to each other
MOST = 0.8  # of the filled cells of a column that are days, or amounts
NEARLY_ALL = 0.9
SAMPLE = 400  # rows that are looked at, of a long sheet every so many
MOST_COLUMNS = 5  # unknown columns of days that are tried on the events
# what a column may be -> what its cells do
DOES = {
    "got": "holds days before the other ones",
    "listed": "holds days between got and sold",
    "sold": "holds days only where there is a price",
    "asked": "is the price or a little over it",
    "paid": "holds amounts under the sale price",
    "parts": "holds amounts under the sale price",
}
Day = date | tuple[int, int] | None  # (month, day) where no year is written
Days = Sequence[date | None]
Amounts = Sequence[float | None]


def proposals(sheet: Sheet, today: date, order: str) -> list[FileQuestion]:
    """A question for each unknown column that its cells explain. order: of the file's dates."""
    if not _unknown(sheet):
        return []
    every = max(1, len(sheet.body) // SAMPLE)
    sheet = sheet._replace(body=sheet.body[::every])
    found = {**_of_days(sheet, today, order), **_of_amounts(sheet)}
    return [_question(sheet.headings[place].text, may_be) for place, may_be in found.items()]


def likely_type(sheet: Sheet) -> str:
    """The unknown heading whose cells name most appliances; "…" where there is none."""
    named = {
        sheet.headings[place].text: sum(
            bool(type_in(text, sheet.settings)[0]) for text in sheet.texts(place)
        )
        for place in _unknown(sheet)
    }
    return max(named, key=lambda text: named[text], default="…")


def likely_price(sheet: Sheet) -> str:
    """The unknown heading whose amounts are most like sale prices: they stand where a day of sale
    does, and an ask a little over them; "…" where there is none."""
    headings = sheet.headings
    sold = sheet.place("sold")
    days = [sold is not None and bool(sheet.cell(record, sold)) for record in sheet.body]
    asks = [_amounts(sheet, at) for at, one in enumerate(headings) if one.column in ("", "asked")]

    def likely(place: int) -> tuple[bool, int, float]:
        each = _amounts(sheet, place)
        beside = sum((one is not None) == day for one, day in zip(each, days, strict=True))
        asked = any(_stand_over(other, each) for other in asks)
        return asked, beside // 5, median([one or 0.0 for one in each] or [0.0])

    unknown = [at for at in _unknown(sheet) if not is_computed(headings[at].text)]
    return headings[max(unknown, key=likely)].text if unknown else "…"


def _unknown(sheet: Sheet) -> list[int]:
    return [at for at, one in enumerate(sheet.headings) if not one.column and one.text]


def _question(heading: str, may_be: Sequence[str]) -> FileQuestion:
    why = DOES[may_be[0]]
    meant = " or the ".join(MEANT[name] for name in may_be)
    return FileQuestion(
        f"{heading!r} {why}. Is it the {meant}?",
        tuple(f'--header "{heading}={name}"' for name in may_be),
    )


# ---- days
def _of_days(sheet: Sheet, today: date, order: str) -> dict[int, list[str]]:
    places = {event: at for event in EVENTS if (at := sheet.place(event)) is not None}
    read = {
        place: [_told(sheet.cell(record, place), today, order) for record in sheet.body]
        for place in (*places.values(), *_unknown(sheet))
    }
    days = {place: _with_years(cells, list(read.values())) for place, cells in read.items()}
    unknown = [
        place
        for place in _unknown(sheet)
        if sum(map(bool, days[place])) >= max(FEW, MOST * len(sheet.texts(place)))
    ][:MOST_COLUMNS]
    missing = [event for event in EVENTS if not sheet.has(event)]
    known = {event: days[at] for event, at in places.items()}
    ways = _ways(known, {place: days[place] for place in unknown}, missing)
    if (price := sheet.place("price")) is not None and "sold" in missing:
        paid = [bool(sheet.cell(record, price)) for record in sheet.body]
        ends = [place for place in unknown if _where(days[place], paid)]
        by_price = [way for way in ways if way.get("sold", -1) in ends]
        alone = [{"sold": place} for place in ends]
        ways = by_price or [way for way in ways if "sold" not in way] or alone
    found = {
        place: [event for event in EVENTS if any(way.get(event) == place for way in ways)]
        for place in unknown
    }
    return {place: may_be for place, may_be in found.items() if 0 < len(may_be) < len(EVENTS)}


def _told(text: str, today: date, order: str) -> Day:
    reading = dates.read_date(text, today) if text else None
    if reading is None or reading.problem:
        return None
    if bare := reading.no_year:
        return bare.get(order) or next(iter(bare.values()))
    days = reading.orders or {}
    return reading.day or days.get(order) or next((day for day in days.values() if day), None)


def _with_years(cells: Sequence[Day], read: Sequence[Sequence[Day]]) -> Days:
    """Days without a year: nearest to the row's day with one, of the column they lie nearest to."""
    ways = [[_beside(cell, other) for cell, other in zip(cells, one, strict=True)] for one in read]
    n = sum(isinstance(cell, tuple) for cell in cells)
    best = min(
        (way for way in ways if sum(gap is not None for _, gap in way) >= MOST * n),
        key=lambda way: median([gap for _, gap in way if gap is not None] or [0]),
        default=[(None, None)] * len(cells),
    )
    both = zip(cells, best, strict=True)
    return [cell if isinstance(cell, date) else day for cell, (day, _) in both]


def _beside(cell: Day, other: Day) -> tuple[date | None, int | None]:
    """(a day without a year in the year that brings it nearest to another day, days between)."""
    near: list[date] = []
    if isinstance(cell, tuple) and isinstance(other, date):
        for year in (other.year - 1, other.year, other.year + 1):
            try:
                near.append(date(year, *cell))
            except ValueError:
                continue
        day = min(near, key=lambda one: abs((one - other).days), default=None)
        return day, None if day is None else abs((day - other).days)
    return None, None


def _ways(
    known: Mapping[str, Days], unknown: Mapping[int, Days], missing: Sequence[str]
) -> list[dict[str, int]]:
    """Every way to give the most missing events an unknown column so that the order holds."""
    for n in range(min(len(unknown), len(missing)), 0, -1):
        ways = [
            dict(zip(events, places, strict=True))
            for events in combinations(missing, n)
            for places in permutations(unknown, n)
        ]
        good = [w for w in ways if _in_order({**known, **{e: unknown[at] for e, at in w.items()}})]
        if good:
            return good
    return []


def _in_order(days: Mapping[str, Days]) -> bool:
    told = [days[event] for event in EVENTS if event in days]
    return len(told) > 1 and all(_before(first, last) for first, last in pairwise(told))


def _before(first: Days, last: Days) -> bool:
    """Whether one event comes before the other in nearly all rows that tell both."""
    gaps = [(b - a).days for a, b in zip(first, last, strict=True) if a and b]
    right, apart = sum(gap >= 0 for gap in gaps), sum(gap > 0 for gap in gaps)
    return len(gaps) >= FEW and right >= 0.95 * len(gaps) and apart >= 0.3 * len(gaps)


def _where(days: Days, paid: Sequence[bool]) -> bool:
    """Whether a day stands where a price does, and nowhere else."""
    same = sum(bool(day) == one for day, one in zip(days, paid, strict=True))
    return same >= NEARLY_ALL * len(paid)


# ---- amounts
def _of_amounts(sheet: Sheet) -> dict[int, list[str]]:
    price = sheet.place("price")
    sold: Amounts = [] if price is None else _amounts(sheet, price)
    found: dict[int, list[str]] = {}
    for place in _unknown(sheet) if sold else []:
        amounts, texts = _amounts(sheet, place), sheet.texts(place)
        filled = [amount for amount in amounts if amount is not None]
        if len(filled) < MOST * len(texts):
            continue
        if not sheet.has("asked") and _stand_over(amounts, sold):
            found[place] = ["asked"]
        elif not sheet.has("paid") and _is_money(texts, filled) and _stand_under(amounts, sold):
            found[place] = [name for name in ("paid", "parts") if not sheet.has(name)]
    return found


def _amounts(sheet: Sheet, place: int) -> list[float | None]:
    read = [values.read_money(sheet.cell(record, place)) for record in sheet.body]
    return [None if one.value is None or one.problem else float(one.value) for one in read]


def _shares(amounts: Amounts, sold: Amounts) -> list[float]:
    return [a / b for a, b in zip(amounts, sold, strict=True) if a is not None and b]


def _stand_over(amounts: Amounts, sold: Amounts) -> bool:
    """Whether amounts stand at or a little over prices in nearly all rows, as asks do."""
    shares = _shares(amounts, sold)
    over = sum(share >= 1 for share in shares) >= NEARLY_ALL * len(shares)
    return len(shares) >= ENOUGH and over and max(shares) > 1 and median(shares) <= 1.6


def _stand_under(amounts: Amounts, sold: Amounts) -> bool:
    shares = _shares(amounts, sold)
    under = sum(share < 1 for share in shares) >= NEARLY_ALL * len(shares)
    return len(shares) >= ENOUGH and under and 0 < median(shares) < 0.6


def _is_money(texts: Sequence[str], amounts: Sequence[float]) -> bool:
    """A sign of money, a word such as "free", or the round figures that people pay."""
    signed = any(not text.replace(".", "").replace(",", "").isdecimal() for text in texts)
    some = [amount for amount in amounts if amount]
    rounded = sum(amount % 5 == 0 for amount in some) >= 0.6 * len(some)
    return max(some, default=0.0) >= 10 and (signed or rounded)
