"""What a column is by what stands in it, where its heading says nothing or something else: types,
days, amounts, ticks, what became of the units. Each is told with the way to say otherwise."""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from itertools import combinations, pairwise, permutations
from statistics import median

from pricing.basis.columns import BY_NAME, EVENTS, MEANT, OUTCOMES
from pricing.basis.problems import Problem
from pricing.basis.words import TYPE_KEYS, canonical, squash
from pricing.ingest import dates, values
from pricing.ingest.by_content import ANSWERS
from pricing.ingest.checks import NO_WORDS
from pricing.ingest.headings import IGNORED, Heading, is_computed, plain
from pricing.ingest.reading import FileQuestion
from pricing.ingest.sheet import Amounts, Sheet

FEW = 3  # cells that show nothing of a column
MOST, SURELY = 0.8, 0.95  # of the cells of a column that must say the same of it
_MONEY_OF = {"got": "paid", "listed": "asked", "sold": "price"}
_DAY_OF = {money: day for day, money in _MONEY_OF.items()}
_DAY_OF |= {"sold_where": "sold", "got_from": "got"}  # "sold_at", "bought_at"
_OTHERS = ("pair", "from_unit", "trip")  # columns of names of other units and drives
_NO_DIGITS = frozenset(word for word in ANSWERS if not word.isdecimal())
_NUMBER = re.compile(r"^\d+(?:[.,]\d+)?$")
# An amount as a till prints it: a sign of money, or exactly two places.
_PRINTED = re.compile(
    r"^[^\w\s.,-]?\s?-?\d[\d.,]*[.,]\d{2}$|^[$€£]\s?\d[\d.,]*$|^\d[\d.,]*\s?[€£]$"
)


def _share(texts: Sequence[str], test: Callable[[str], object]) -> float:
    return sum(bool(test(text)) for text in texts) / len(texts) if texts else 0.0


def is_amount(text: str) -> bool:
    cell = values.read_money(text)
    return cell.value is not None and not cell.problem


def is_day(text: str, today: date) -> bool:
    """Whether a text can be a day, and is no plain number."""
    read = dates.read_date(text, today)
    number = _NUMBER.match(text) and len(text) < 8 and not read.serial
    return bool(not read.problem and not number and (read.day or read.orders or read.no_year))


def _over(high: Amounts, low: Amounts) -> float:
    """In which share of the rows that hold both one amount is at least the other; 1 without any."""
    both = [(a, b) for a, b in zip(high, low, strict=True) if a is not None and b is not None]
    return sum(a >= b for a, b in both) / len(both) if both else 1.0


def misfits(sheet: Sheet, today: date) -> list[Problem]:
    """Put right each heading of days or money whose cells are the other, or ticks."""
    notes = []
    for place, heading in enumerate(sheet.headings):
        texts = sheet.texts(place)
        least = 1 if heading.text.endswith("?") or heading.column in _OTHERS else FEW
        if plain(heading.text) not in sheet.own and len(texts) >= least:
            twice = sum(one.column == heading.column for one in sheet.headings) > 1
            if found := _misfit(heading, texts, today, twice):
                column, what = found
                column = "" if sheet.has(column) else column
                notes.append(sheet.take(place, column, f"holds {what} ({texts[0]})"))
    return notes


def _misfit(
    heading: Heading, texts: Sequence[str], today: date, twice: bool
) -> tuple[str, str] | None:
    """(the column, what it holds) where a heading says another one; twice: another says so too."""
    column = heading.column
    kind = BY_NAME[column].kind if column in BY_NAME else ""
    if column in _OTHERS and _share(texts, _PRINTED.match) >= 0.6:
        return "", "amounts, not names"
    if column == "features" and heading.weak and len({*texts}) >= max(10, 0.8 * len(texts)):
        return "note", "a remark of its own on each row"
    if kind not in ("money", "dated", "date") and column not in (*_DAY_OF, "made"):
        return None
    days = _share(texts, lambda text: is_day(text, today))
    answers = ANSWERS if twice else _NO_DIGITS
    if _share(texts, lambda text: text.casefold() in answers) >= MOST:
        return "", "ticks or answers"
    return _other_event(heading, days, _share(texts, is_amount) >= MOST, twice)


def _other_event(
    heading: Heading, days: float, amounts: bool, twice: bool
) -> tuple[str, str] | None:
    column = heading.column
    if column in _DAY_OF:
        return (_DAY_OF[column], "days, not what it says") if days >= MOST else None
    if column == "made":
        return ("", "amounts, not years") if amounts and heading.currency else None
    if column not in _MONEY_OF or days >= 0.2 or not (amounts or twice):
        return None
    return (_MONEY_OF[column], "amounts, not days") if amounts else ("", "words, not days")


def _types_in(sheet: Sheet, place: int) -> float:
    """The share of a column's cells that name an appliance that we know."""
    named = (squash(canonical("type", text, sheet.settings)) for text in sheet.texts(place))
    return _share([*named], TYPE_KEYS.__contains__)


def knows_types(sheet: Sheet) -> bool:
    """Whether nearly all of ten types or more are known: one that is not may be no unit."""
    place = next((at for at, one in enumerate(sheet.headings) if one.column == "type"), -1)
    return place >= 0 and len(sheet.texts(place)) > 9 and _types_in(sheet, place) >= 0.85


def the_type(sheet: Sheet) -> list[Problem]:
    """The one column that names appliances, where no heading says type."""
    may_be = ("", "unit", "features", "note", "model", "repair", "fault")
    shares = {
        place: _types_in(sheet, place)
        for place, heading in enumerate(sheet.headings)
        if heading.column in may_be and len(sheet.texts(place)) >= FEW
    }
    best, *others = sorted(shares, key=lambda place: -shares[place]) or [0]
    if sheet.has("type") or shares.get(best, 0) < 0.6:
        return []
    if others and shares[others[0]] > 0.9 * shares[best]:
        return []
    return [sheet.take(best, "type", f"names appliances ({sheet.texts(best)[0]})")]


def the_money(sheet: Sheet, today: date) -> list[Problem]:
    """What was paid and the price, where their headings ("for", "got", "took") do not say which:
    the price stands where a day of sale does, that too if no heading names it."""
    may_be = [at for at, one in enumerate(sheet.headings) if sheet.may_be_money(one)]
    sure = {one.column for at, one in enumerate(sheet.headings) if at not in may_be}
    ends = _last_days(sheet, today)
    ways = [(end, at) for end in ends for at in may_be if _is_price(sheet, end, at)]
    found = () if "price" in sure else _one_way(sheet, ways, may_be, "paid" in sure)
    if not found:
        return []
    meant = [(found[0], "sold", "holds days after the other ones")]
    meant += [] if "paid" in sure else _paid_beside(sheet, {*may_be} - {found[1]})
    meant.append((found[1], "price", "holds amounts where there is a day of sale"))
    return [sheet.take(*one) for one in meant if sheet.headings[one[0]].column != one[1]]


def _paid_beside(sheet: Sheet, may_be: Iterable[int]) -> list[tuple[int, str, str]]:
    """The column of what was paid: next to the day got, else one whose heading may mean it."""
    beside = (sheet.place("got") or -2) + 1
    others = [at for at in may_be if at == beside or sheet.headings[at].column]
    others.sort(key=lambda at: (at != beside, at))
    return [(at, "paid", "stands beside the day it was got") for at in others[:1]]


def _one_way(
    sheet: Sheet, ways: Sequence[tuple[int, int]], may_be: Sequence[int], paid_is_known: bool
) -> tuple[int, ...]:
    """(the column of the last day, that of the price), () where the rows do not show them."""
    middle = {at: median([*filter(None, sheet.amounts(at))] or [0.0]) for at in may_be}
    best = [(end, at) for end, at in ways if at == end + 1] or ways
    if len(best) == 2 and not paid_is_known:  # what was paid, and the price
        best = sorted(best, key=lambda way: middle[way[1]])
        best = best[1:] if 2 * middle[best[0][1]] < middle[best[1][1]] else []
    if len(best) != 1:
        return ()
    price = middle[best[0][1]]
    near = sum(0.6 < one / price < 1.7 for one in middle.values())  # an ask is as near as that
    return best[0] if near == 1 else ()


def _last_days(sheet: Sheet, today: date) -> list[int]:
    """The column of the day of sale; where none is, the unknown ones of days behind a known one."""
    known = [at for name in ("got", "listed", "sold") if (at := sheet.place(name)) is not None]
    if not known or sheet.has("sold"):
        return [at for at in known if sheet.headings[at].column == "sold"]
    behind = (at for at in sheet.unknown() if at > max(known))
    return [at for at in behind if _share(sheet.texts(at), lambda x: is_day(x, today)) >= MOST]


def _is_price(sheet: Sheet, end: int, place: int) -> bool:
    """Whether amounts stand where the last day does, over what was paid and not over the ask."""
    days = [bool(sheet.cell(record, end)) for record in sheet.body]
    each = sheet.amounts(place)
    told = [day for amount, day in zip(each, days, strict=True) if amount]
    if len(told) < max(FEW, 0.6 * sum(days), MOST * len(sheet.texts(place))):
        return False
    paid = next((at for at, one in enumerate(sheet.headings) if one.column == "paid"), None)
    asked, cost = (
        sheet.amounts(sheet.place("asked")),
        sheet.amounts(None if paid == place else paid),
    )
    shown = not all(days) or place == end + 1 or any(asked) or any(cost)
    fits = _over(asked, each) >= 0.9 and (_over(each, cost) >= 0.7 or place == end + 1)
    return shown and fits and sum(told) >= SURELY * len(told)


def ticks(sheet: Sheet) -> list[Problem]:
    """Columns of ticks headed by what became of a unit ("Sold?", "Scrap?") as one such column."""
    found = {place: word for place in range(len(sheet.headings)) if (word := _ticked(sheet, place))}
    if sheet.place("outcome") not in (None, *found) or not found:
        return []
    if {*found.values()} == {"sold"}:  # yes and no are read as they stand
        places = [at for at in found if len({*sheet.texts(at)}) > 1][:1]
        return [sheet.take(at, "outcome", "answers whether it was sold") for at in places]
    for at, record in enumerate(sheet.body):
        cells = {word: sheet.cell(record, place).casefold() for place, word in found.items()}
        said = filter(lambda word: cells[word] not in {"", *NO_WORDS}, cells)
        sheet.write(at, min(found), " and ".join(said))
    for place in found:
        column = "outcome" if place == min(found) else IGNORED
        sheet.headings[place] = replace(sheet.headings[place], column=column, how="values")
    names = ", ".join(repr(sheet.headings[place].text) for place in found)
    return [Problem(f"the ticks under {names} say what became of each unit", "", sheet.name)]


def _ticked(sheet: Sheet, place: int) -> str:
    """The outcome that ticks under a heading mean, "" where it is none."""
    heading, texts = sheet.headings[place], {text.casefold() for text in sheet.texts(place)}
    word = canonical("outcome", plain(heading.text), sheet.settings)
    free = not heading.column or (heading.column == "outcome" and heading.how == "values")
    ticks = free and texts <= ANSWERS and texts - NO_WORDS
    return word if ticks and word in OUTCOMES[:7] else ""


def the_outcome(sheet: Sheet) -> list[Problem]:
    """The column that says sold, listed, scrapped; or whose one word, in any language or color,
    stands on all units with a price and on no other: "sold". Its other words are asked for."""
    brought = [bool(amount) for amount in sheet.amounts(sheet.place("price"))]
    for place, heading in enumerate(sheet.headings):
        if sheet.has("outcome") or heading.column not in ("", "finish", "condition", "sold_where"):
            continue
        cells = [sheet.cell(record, place).casefold() for record in sheet.body]
        known = {cell: canonical("outcome", cell, sheet.settings) for cell in {*cells} - {""}}
        if heading.text and _are_outcomes(cells, known):
            return [sheet.take(place, "outcome", f"holds words like {max(known)!r}")]
        word = _word_of_sales(cells, brought)
        if word and known[word] not in OUTCOMES[1:]:
            for at in (at for at, cell in enumerate(cells) if cell == word):
                sheet.write(at, place, "sold" if known[word] != "sold" else word)
            return [sheet.take(place, "outcome", f"says {word!r} of all units with a price")]
    return []


def _are_outcomes(cells: Sequence[str], known: Mapping[str, str]) -> bool:
    """Whether words say what became of units: sold and others, nearly all of them known."""
    said = [known[cell] in OUTCOMES for cell in cells if cell]
    kinds = {*known.values()} & {*OUTCOMES}
    sure = len(kinds) > 1 and "sold" in kinds and not known.keys() <= ANSWERS
    return sure and sum(said) >= SURELY * len(said)


def _word_of_sales(cells: Sequence[str], brought: Sequence[bool]) -> str:
    """The one word of all units with a price, where some others say other words; "" for none."""
    here = Counter(cell for cell, sale in zip(cells, brought, strict=True) if sale)
    rest = {cell for cell, sale in zip(cells, brought, strict=True) if not sale} - {""}
    word, n = here.most_common(1)[0] if here else ("", 0)
    alone = word not in rest and here.keys() <= {"", word} and n >= 0.98 * here.total()
    return word if alone and here.total() > 8 and 1 < len(rest) < 8 else ""


def settle(sheet: Sheet, today: date) -> list[Problem]:
    """Find what the headings do not say; headings and rows are changed in place."""
    return the_type(sheet) + the_money(sheet, today) + ticks(sheet) + the_outcome(sheet)


# ---- headings that nobody knows, proposed from what their cells do: asked, never taken
PAIRS = 2  # rows that must show the order of days
ENOUGH = 3  # rows that must show how amounts stand to each other
NEARLY_ALL = 0.9
SAMPLE = 400  # rows that are looked at, of a long sheet every so many
MOST_COLUMNS = 5  # unknown columns of days that are tried on the events
# what a column may be -> what its cells do
DOES = {
    "got": "holds days before the other ones",
    "listed": "holds days between got and sold",
    "sold": "holds days only where there is a price",
    "asked": "is the price or a little over it",
    **dict.fromkeys(("paid", "parts"), "holds amounts under the sale price"),
}
Day = date | tuple[int, int] | None  # (month, day) where no year is written
Days = Sequence[date | None]


def proposals(sheet: Sheet, today: date, order: str) -> list[FileQuestion]:
    """A question for each unknown column that its cells explain. order: of the file's dates."""
    if not sheet.unknown():
        return []
    every = max(1, len(sheet.body) // SAMPLE)
    sheet = sheet._replace(body=sheet.body[::every])
    found = {**_of_days(sheet, today, order), **_of_amounts(sheet)}
    return [_question(sheet.headings[place].text, may_be) for place, may_be in found.items()]


def likely_type(sheet: Sheet) -> str:
    """The unknown heading whose cells name most appliances; "…" where there is none."""
    named = {at: _types_in(sheet, at) for at in sheet.unknown()}
    likely = max(named, key=lambda at: named[at], default=0)
    return sheet.headings[likely].text if named.get(likely) else "…"


def likely_price(sheet: Sheet) -> str:
    """The unknown heading whose amounts are most like sale prices: an ask stands a little over
    them, else the highest; "…" where there is none."""
    unknown = [at for at in sheet.unknown() if not is_computed(sheet.headings[at].text)]
    each = {at: sheet.amounts(at) for at in unknown}
    asks = [*each.values(), sheet.amounts(sheet.place("asked"))]

    def likely(at: int) -> tuple[bool, float]:
        asked = any(_stand_over(ask, each[at]) for ask in asks)
        return asked, median([one or 0.0 for one in each[at]] or [0.0])

    return sheet.headings[max(unknown, key=likely)].text if unknown else "…"


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
        for place in (*places.values(), *sheet.unknown())
    }
    days = {place: _with_years(cells, list(read.values())) for place, cells in read.items()}
    unknown = [
        place
        for place in sheet.unknown()
        if sum(map(bool, days[place])) >= max(PAIRS, MOST * len(sheet.texts(place)))
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
    return len(gaps) >= PAIRS and right >= 0.95 * len(gaps) and apart >= 0.3 * len(gaps)


def _where(days: Days, paid: Sequence[bool]) -> bool:
    """Whether a day stands where a price does, and nowhere else."""
    same = sum(bool(day) == one for day, one in zip(days, paid, strict=True))
    return same >= NEARLY_ALL * len(paid)


# ---- amounts
def _of_amounts(sheet: Sheet) -> dict[int, list[str]]:
    price = sheet.place("price")
    sold: Amounts = [] if price is None else sheet.amounts(price)
    found: dict[int, list[str]] = {}
    for place in sheet.unknown() if sold else []:
        amounts, texts = sheet.amounts(place), sheet.texts(place)
        filled = [amount for amount in amounts if amount is not None]
        if len(filled) < MOST * len(texts):
            continue
        if not sheet.has("asked") and _stand_over(amounts, sold):
            found[place] = ["asked"]
        elif not sheet.has("paid") and _is_money(texts, filled) and _stand_under(amounts, sold):
            found[place] = [name for name in ("paid", "parts") if not sheet.has(name)]
    return found


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
