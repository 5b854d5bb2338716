"""What is missing in the record, and what each gap costs in certainty."""

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.quarter.money import Books
from pricing.quarter.worked import TASKS

FLATTERS = "counted as nothing, which flatters"


@frozen
class Gap:
    """One column with blanks where there should be none. n_blank of n rows; what: is done about
    them; per_hour: how far the return per hour may be off, money either way, or None; wider: how
    many times as wide a range is because of them; weight: for the order."""

    column: str
    n_blank: int
    n: int
    what: str
    per_hour: float | None
    wider: float
    weight: float


@frozen
class _Column:
    """A column to look at. should: rows that ought to have it, has: that do; off, lost: `_gap`."""

    name: str
    should: np.ndarray
    has: np.ndarray
    what: str
    off: float | None = None
    is_range: bool = False
    lost: float = 0.05


def find_gaps(books: Books, settings: Settings) -> tuple[Gap, ...]:
    """Gaps, the one that costs most first; columns without blanks are not listed."""
    counted = books.counted
    total = float(books.worked[counted].sum())
    value = float(books.profit[counted].sum()) / total if total > 0 else 0.0
    looked_at = (*_money(books, total), _time(books, total, value), *_descriptions(books))
    found = [_gap(column, value, settings) for column in looked_at]
    return tuple(sorted(filter(None, found), key=lambda gap: (-gap.weight, gap.column)))


def _gap(column: _Column, value: float, settings: Settings) -> Gap | None:
    """The gap of one column, or None. Its weight: what it may move the return per hour by, as a
    share; a range wider by a tenth weighs .03; `lost` where all is blank. Own judgement."""
    n, blank = int(column.should.sum()), int((column.should & ~column.has).sum())
    if blank == 0:
        return None
    # A range shrinks with the root of the rows that it rests on.
    wider = float(np.sqrt(n / max(n - blank, 1))) if column.is_range else 1.0
    least = max(abs(value), settings.hourly_target / 2, 1e-9)
    share = abs(column.off) / least if column.off is not None else 0.0
    weight = share + (wider - 1) * 0.3 + column.lost * blank / n
    return Gap(column.name, blank, n, column.what, column.off, wider, weight)


def _money(books: Books, total: float) -> list[_Column]:
    """Prices, what went out, and the truck. total: hours of all counted units."""
    numbers, counted = books.units.number, books.counted
    has_price = np.isfinite(numbers("price"))
    out = [_Column("price", books.sold, has_price, "left out of all money")]
    for name in ("paid", "parts"):
        has = np.isfinite(numbers(name)) | np.isfinite(numbers("cost_in"))
        blank = counted & ~has
        put_in = bool((books.assumed[name][blank] > 0).any())
        scatter = _scatter(numbers(name)[counted & np.isfinite(numbers(name))])
        # Each blank is off by about the scatter of the known ones, and blanks cancel in part: n of
        # them are off together by root n times as much. 9 blanks with $20: $60 over all hours.
        known = put_in and total > 0 and np.isfinite(scatter)
        off = float(scatter * np.sqrt(blank.sum()) / total) if known else None
        what = "your usual for the type is put in" if put_in else FLATTERS
        out.append(_Column(name, counted, has, what, off))
    by_miles = bool((books.assumed["haul"] > 0).any())
    what = "the truck is put in by the miles" if by_miles else FLATTERS
    has_haul = np.isfinite(numbers("haul_cost"))
    return [*out, _Column("haul_cost", counted, has_haul, what, lost=0.0)]


def _time(books: Books, total: float, value: float) -> _Column:
    """Hours, as one number or by task."""
    numbers, counted = books.units.number, books.counted
    worked = np.isfinite(numbers("hours"))
    for task in ("diagnose", "repair", "clean", "sell"):
        worked = worked | np.isfinite(numbers(f"{task}_min"))
    own = books.worked[counted & worked]
    n_blank = int((counted & ~worked).sum())
    scatter = _scatter(own)
    off = None
    if total > 0 and np.isfinite(scatter):
        off = float(abs(value) * scatter * np.sqrt(n_blank) / total)
    elif n_blank:
        off = abs(value) * 0.5  # nothing of one's own to go by: half of it, own judgement
    what = "your usual for the type is put in" if len(own) else "starting figures are put in"
    return _Column("hours or minutes", counted, worked, what, off)


def _descriptions(books: Books) -> list[_Column]:
    """Days, the drive, and what a price range rests on."""
    numbers, word, counted = books.units.number, books.units.word, books.counted
    driven = np.isfinite(numbers("drive_min")) | np.isfinite(numbers("miles"))
    was_listed = books.sold | (books.open & (word("outcome").lookup(["listed"]) == 0))
    has_age = np.isfinite(numbers("age")) | (word("made").codes >= 0)
    has_listed, has_got = np.isfinite(numbers("listed")), np.isfinite(numbers("got"))
    graded, asked = word("condition").codes >= 0, word("asked").codes >= 0
    days, wider = "days to sell rest on the others", "the price range is wider for them"
    talked = "what buyers talk down is not learned from them"
    held = "days held and the stop rules leave them out"
    return [
        _Column("listed", was_listed, has_listed, days, is_range=True),
        _Column("drive_min or miles", counted, driven, _drive_words(books, counted & ~driven)),
        _Column("day sold", books.ended, np.isfinite(books.day), "in no quarter"),
        _Column("got", books.unit, has_got, held),
        _Column("age", books.sold, has_age, wider, is_range=True),
        _Column("condition", books.sold, graded, wider, is_range=True),
        _Column("asked", was_listed, asked, talked, is_range=True),
    ]


def _scatter(values: np.ndarray) -> float:
    """Standard deviation, nan under two values."""
    return float(values.std(ddof=1)) if len(values) > 1 else float("nan")


def _drive_words(books: Books, blank: np.ndarray) -> str:
    put_in = bool((books.assumed_hours[TASKS[0]][blank] > 0).any())
    none = "no driving is counted for them, which flatters"
    return "your usual drive is put in" if put_in else none
