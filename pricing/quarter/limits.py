"""What was paid against the limit that `offer` would have named: each unit as it was told before
the drive, by what was known before the quarter.

Nothing that came after the drive is told to it: not what the fault turned out to be, nor parts,
hours or the price. What the person paid stands for what the owner wanted. A unit got long before
the quarter is judged with a little more than was known on its day.
"""

from collections.abc import Sequence
from datetime import date

import numpy as np

from pricing.advice.offer import decide_many
from pricing.basis.frozen import frozen
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.model.saved import Saved
from pricing.quarter.money import Books
from pricing.quarter.period import fair

TOLD = (
    "type", "maker", "tier", "features", "fuel", "finish", "condition", "fault", "got_from",
    "owner",
)  # fmt: skip
MOST = 150  # units judged, a fair sample by month; each costs an answer of its own


@frozen
class Foretold:
    """What an offer says of a unit, and what it came to: the chance that it is fixed, its parts if
    it is, hours, days to sell (None: not known) and what is kept, in the currency's unit."""

    fixed: float
    parts: float
    hours: float
    days: float | None
    kept: float


@frozen
class Judged:
    """One unit: what was paid, the most to pay, what it came to, in the currency's unit; month it
    ended; said and was: what the offer said of it, and what it came to (parts only where it was
    fixed)."""

    unit: str
    type: str
    paid: float
    limit: float
    profit: float
    hours: float
    month: str
    said: Foretold
    was: Foretold

    @property
    def over(self) -> bool:
        return self.paid > self.limit


@frozen
class Limits:
    """units: those of the quarter that were judged, by day; n_left: ended units that were not (paid
    not written, or beyond MOST)."""

    units: tuple[Judged, ...]
    n_left: int

    def side(self, over: bool) -> tuple[int, float, float]:
        """Number, profit and hours of the units bought over the limit, or within it."""
        picked = [each for each in self.units if each.over == over]
        return (
            len(picked),
            round(sum(each.profit for each in picked), 2) + 0.0,
            round(sum(each.hours for each in picked), 2),
        )


def judge_limits(
    books: Books, inside: np.ndarray, numbers: Saved, settings: Settings, as_of: date
) -> Limits:
    """Judge the counted units among `inside` (mask) by what was known before, on `as_of`."""
    counted = np.flatnonzero(inside & books.counted)
    told = np.isfinite(books.units.number("paid")) & (books.units.word("type").codes >= 0)
    rows = counted[told[counted]]
    rows = rows[np.argsort(books.day[rows], kind="stable")]
    rows = rows[fair(books.day[rows], MOST)]
    if not len(rows):
        return Limits((), len(counted))
    words = {name: books.units.word(name).take(rows).texts() for name in (*TOLD, "unit")}
    age, miles, paid = (books.units.number(name)[rows] for name in ("age", "miles", "paid"))
    questions = []
    for i in range(len(rows)):
        unit: dict[str, object] = {name: words[name][i] for name in TOLD if words[name][i]}
        unit |= {"age": float(age[i])} if np.isfinite(age[i]) else {}
        far = {"miles": float(miles[i])} if np.isfinite(miles[i]) else {}
        questions.append(Question(unit, {"their_price": float(paid[i])} | far))
    answers = decide_many(questions, numbers, settings, as_of)
    limits = [float(one.pay_up_to) for one in answers]
    brought = (books.profit[rows].tolist(), books.worked[rows].tolist())
    said = [
        Foretold(one.fix_chance, one.costs.parts_if_fixed, one.hours, one.days.get("median"),
             one.expected_gain)
        for one in answers
    ]  # fmt: skip
    months = [date.fromordinal(int(at)).isoformat()[:7] for at in books.day[rows]]
    columns = (words["unit"], words["type"], paid.tolist(), limits, *brought, months, said)
    came = _came(books, rows)
    units = tuple(Judged(*each) for each in zip(*columns, came, strict=True))
    return Limits(units, len(counted) - len(rows))


def _came(books: Books, rows: np.ndarray) -> list[Foretold]:
    """What units came to, in the terms of an offer."""
    days = books.day[rows] - books.units.number("listed")[rows]
    days = np.where(books.sold[rows] & (days >= 0), days, np.nan)
    told = (~books.failed[rows], books.money("parts")[rows], books.worked[rows], days)
    return [
        Foretold(float(fixed), parts, hours, each if np.isfinite(each) else None, kept)
        for fixed, parts, hours, each, kept in zip(
            *(values.tolist() for values in (*told, books.profit[rows])), strict=True
        )
    ]


# key of the settings -> what it says now, what the record says, and how many rows say so
Fits = dict[str, tuple[float, float, int]]
FITS_FROM, FITS_OFF = 10, 0.15  # rows; share of what is set. Own judgement


def fitting_settings(books: Books, settings: Settings) -> Fits:
    """Settings that the record says otherwise: the speed of drives (by least squares beside the
    minutes that each takes), what a drive costs by distance, and the share that selling takes."""
    number = books.units.number
    way, minutes, haul = 2 * number("miles"), number("drive_min"), number("haul_cost")
    price, fees = number("price"), number("fees")
    drove, paid = (way > 0) & (minutes > 0), (way > 0) & (haul > 0)
    sold = books.sold & (price > 0) & (fees >= 0)
    found: Fits = {}
    if drove.sum() >= FITS_FROM and np.ptp(way[drove]) > 0:
        slope = float(np.polyfit(way[drove], minutes[drove] / 60, 1)[0])
        if slope > 0:
            found["average_speed"] = (settings.average_speed, 1 / slope, int(drove.sum()))
    for key, now, up, down, some in (
        ("cost_per_distance", settings.cost_per_distance, haul, way, paid),
        ("selling_fee_share", settings.selling_fee_share, fees, price, sold),
    ):
        if some.sum() >= FITS_FROM:
            share = float(up[some].sum()) / float(down[some].sum())
            found[key] = (now, share, int(some.sum()))
    return {
        key: (now, round(fits, 2 if fits < 5 else 0), n)
        for key, (now, fits, n) in found.items()
        if abs(fits - now) > max(FITS_OFF * abs(now), 0.01)
    }


# ---- Were the quarter's calls right: each sale against the range that was called before it
@frozen
class CalledSale:
    """One sale: what was paid, and the range and middle that were called before it. Money in the
    currency's unit."""

    unit: str
    type: str
    price: float
    low: float
    middle: float
    high: float

    @property
    def caught(self) -> bool:
        return self.low <= self.price <= self.high

    @property
    def off(self) -> float:
        """Called less paid, as a share of what was paid."""
        return self.middle / self.price - 1


@frozen
class Calls:
    """All calls of the quarter. n_caught of len(calls); off: middle of the shares called too high
    or low; by_type: type, n, money called less paid on average, for types with three and more;
    n_learned: sales before the quarter that the calls rest on; of: sales of the quarter where only
    a fair sample of them was called, else 0.
    """

    calls: tuple[CalledSale, ...]
    coverage: float
    n_learned: int
    n_caught: int
    off: float
    by_type: tuple[tuple[str, int, float], ...]
    of: int = 0

    @property
    def worst(self) -> tuple[CalledSale, ...]:
        return tuple(sorted(self.calls, key=lambda call: (-abs(call.off), call.unit))[:3])

    @property
    def best(self) -> tuple[CalledSale, ...]:
        return tuple(sorted(self.calls, key=lambda call: (abs(call.off), call.unit))[:3])


def judge(calls: Sequence[CalledSale], coverage: float, n_learned: int, of: int = 0) -> Calls:
    """The card of a set of calls; an empty set is fine.

    >>> high = CalledSale("1", "dryer", 100.0, 80.0, 110.0, 150.0)
    >>> low = CalledSale("2", "dryer", 60.0, 80.0, 90.0, 150.0)
    >>> judge([high, low], 0.8, 9).n_caught
    1
    """
    by_type: dict[str, list[float]] = {}
    for call in calls:
        by_type.setdefault(call.type, []).append(call.middle - call.price)
    ranked = sorted(by_type.items(), key=lambda item: (-len(item[1]), item[0]))
    lines = [(name, len(gaps), float(np.mean(gaps))) for name, gaps in ranked if len(gaps) >= 3]
    caught = sum(call.caught for call in calls)
    off = float(np.median([call.off for call in calls])) if calls else 0.0
    return Calls(tuple(calls), coverage, n_learned, caught, off, tuple(lines), of)
