"""The first page: what was kept against the quarter before, what to stop, what to do more of, what
to do now. One object for `compare`, the report, the page and JSON."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np

from pricing.advice.unsold import TAKE_DOWN
from pricing.basis.frozen import frozen
from pricing.basis.rules import StopRule
from pricing.basis.settings import Settings
from pricing.quarter.blanks import cents
from pricing.quarter.compare import Comparison
from pricing.quarter.doubts import Doubt
from pricing.quarter.mix import Mix
from pricing.quarter.money import Books, add_up, keep_books
from pricing.quarter.period import Quarter, quarter_of
from pricing.quarter.ratio import interval, ratio_of_sums
from pricing.quarter.shelf import OnShelf
from pricing.quarter.standouts import Standout, standouts
from pricing.quarter.stop_rules import Did, did

MOST_ASKED = 20  # values in doubt that are worked out
STUCK = 30  # days in the shop, long for a repair of a few hours; own judgement


@frozen
class Due:
    """A listed unit whose next step is due. to: the ask to go to; least: to take today, money."""

    unit: str
    type: str
    step: str
    days: int | None
    to: float | None
    least: float | None


@frozen
class QuarterSums:
    """What a quarter came to. per_hour: None without hours; low, high: where it most likely lies
    by the scatter of its units, None of fewer than two."""

    quarter: str
    n_ended: int
    n_sold: int
    profit: float
    hours: float
    per_hour: float | None
    low: float | None = None
    high: float | None = None


@frozen
class InDoubt:
    """A value in doubt, and what it turns: the quarter its unit ended in (else the whole record)
    without the unit, with the value as written, and with the likely one."""

    unit: str
    column: str
    value: float
    likely: float | None
    without: QuarterSums
    written: QuarterSums
    meant: QuarterSums | None


@frozen
class Front:
    """asked: values in doubt, in no sum until answered; now, before: this quarter and the one
    before; target: the person's hour; due: the one to clear first first; rules: what the
    person's rules did; stuck: units in the shop for over STUCK days, stuck_money in them;
    looked_at, of: stops and mores were looked for in a fair sample by month of so many units."""

    asked: tuple[InDoubt, ...]
    now: QuarterSums
    before: QuarterSums
    target: float
    stops: tuple[Standout, ...]
    mores: tuple[Standout, ...]
    due: tuple[Due, ...]
    rules: tuple[Did, ...]
    stuck: tuple[str, ...]
    stuck_money: float
    looked_at: int
    of: int


@frozen
class Compared:
    """What `compare` answers: the first page, the groups, and the best mix if it was asked for."""

    front: Front
    comparison: Comparison
    mix: Mix | None


def make_front(
    books: Books,
    settings: Settings,
    quarter: Quarter,
    as_of: date,
    waiting: Sequence[OnShelf],
    seed: int = 0,
    rules: Sequence[StopRule] = (),
) -> Front:
    """The first page of a quarter. waiting: units that have not ended; rules: the person's own."""
    groups = standouts(books, settings, seed)
    due = [one for one in waiting if one.step and one.on is not None and one.on <= as_of]
    due.sort(key=lambda one: (one.step != TAKE_DOWN, not one.first))
    stuck = [one for one in waiting if one.state != "listed" and (one.days or 0) > STUCK]
    return Front(
        asked=tuple(_asked(books, settings, one) for one in books.doubts[:MOST_ASKED]),
        now=_kept(books, quarter, settings.coverage),
        before=_kept(books, quarter.before),
        target=settings.hourly_target,
        stops=groups.stops,
        mores=groups.mores,
        due=tuple(Due(x.unit, x.type, x.step, x.days, x.to, x.least) for x in due),
        rules=did(books, settings, rules),
        stuck=tuple(one.unit for one in stuck),
        stuck_money=round(sum(one.put_in for one in stuck), 2),
        looked_at=groups.looked_at,
        of=groups.of,
    )


def _asked(books: Books, settings: Settings, one: Doubt) -> InDoubt:
    """What a value in doubt turns: sums with the unit as written, and with what the likely value
    moves in its own row and in those of its trip. Blanks of other units are filled as they were."""
    units, day = books.units, books.day[one.row]
    quarter = quarter_of(date.fromordinal(int(day))) if np.isfinite(day) else None
    without = _kept(books, quarter)
    trips = units.word("trip").codes
    beside = trips == trips[one.row] if trips[one.row] >= 0 else np.arange(units.n) == one.row
    rows = np.flatnonzero(beside & np.isfinite(units.number(one.column)))
    few = units.take(rows)
    here = ((rows == one.row) | books.counted[rows]) & (
        quarter is None or quarter.holds(books.day[rows])
    )

    def sums(value: float) -> np.ndarray:
        column = np.where(rows == one.row, value, few.number(one.column))
        table = few.replaced(**{one.column: column})
        made = keep_books(table, settings, date.fromordinal(books.as_of))
        return np.array([made.profit[here].sum(), made.worked[here].sum()])

    def told(moved: np.ndarray) -> QuarterSums:
        if books.sold[one.row] and not np.isfinite(units.number("price")[one.row]):
            return without
        row = np.array([books.profit[one.row], books.worked[one.row]]) + moved
        profit, hours = cents(np.array([without.profit, without.hours]) + row).tolist()
        per_hour = profit / hours if hours > 0 else None
        return replace(without, profit=profit, hours=hours, per_hour=per_hour)

    return InDoubt(
        unit=one.unit,
        column=one.column,
        value=one.value,
        likely=one.likely,
        without=without,
        written=told(np.zeros(2)),
        meant=None if one.likely is None else told(sums(one.likely) - sums(one.value)),
    )


def _kept(books: Books, quarter: Quarter | None, coverage: float | None = None) -> QuarterSums:
    """A quarter's sums, or those of the whole record; with a coverage the range of an hour too."""
    rows = np.ones(books.units.n, dtype=bool) if quarter is None else quarter.holds(books.day)
    sums = add_up(books, rows)
    name = "the whole record" if quarter is None else quarter.name
    told = (name, sums.n_ended, sums.n_sold, sums.profit, sums.hours, sums.per_hour)
    rows = rows & books.counted
    if coverage is None or sums.per_hour is None or rows.sum() < 2 or books.worked[rows].sum() <= 0:
        return QuarterSums(*told)
    ratio = ratio_of_sums(books.profit[rows], books.worked[rows])
    # trips and expenses that belong to no unit move the whole range
    low, high = (end + sums.per_hour - ratio.value for end in interval(ratio, coverage))
    return QuarterSums(*told, low, high)
