"""The first page: what was kept against the quarter before, what to stop, what to do more of, what
to do now. One object for `compare`, the report, the page and JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pricing.advice.unsold import TAKE_DOWN
from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.quarter.compare import Comparison
from pricing.quarter.mix import Mix
from pricing.quarter.money import Books, add_up
from pricing.quarter.period import Quarter
from pricing.quarter.shelf import OnShelf
from pricing.quarter.standouts import Standout, standouts

STUCK = 30  # days in the shop, long for a repair of a few hours; own judgement


@frozen
class Due:
    """A listed unit whose next step is due. days: listed; to: the ask to go to; least: to take
    today, money."""

    unit: str
    type: str
    step: str
    days: int | None
    to: float | None
    least: float | None


@frozen
class Kept:
    """What a quarter came to. per_hour: None without hours."""

    quarter: str
    n_ended: int
    n_sold: int
    profit: float
    hours: float
    per_hour: float | None


@frozen
class Front:
    """now, before: this quarter and the one before; target: the person's hour; due: the one to
    clear first first; stuck: units in the shop for over STUCK days, stuck_money in them."""

    now: Kept
    before: Kept
    target: float
    stops: tuple[Standout, ...]
    mores: tuple[Standout, ...]
    due: tuple[Due, ...]
    stuck: tuple[str, ...]
    stuck_money: float


@frozen
class Compared:
    """What `compare` answers: the first page, the groups, and the best mix where it was asked
    for."""

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
) -> Front:
    """The first page of a quarter. waiting: the units that have not ended, with their next
    steps."""
    groups = standouts(books, settings, seed)
    due = [one for one in waiting if one.step and one.on is not None and one.on <= as_of]
    stuck = [one for one in waiting if one.state != "listed" and (one.days or 0) > STUCK]
    return Front(
        now=_kept(books, quarter),
        before=_kept(books, quarter.before),
        target=settings.hourly_target,
        stops=groups.stops,
        mores=groups.mores,
        due=tuple(
            Due(one.unit, one.type, one.step, one.days, one.to, one.least)
            for one in sorted(due, key=lambda one: (one.step != TAKE_DOWN, not one.first))
        ),
        stuck=tuple(one.unit for one in stuck),
        stuck_money=round(sum(one.put_in for one in stuck), 2),
    )


def _kept(books: Books, quarter: Quarter) -> Kept:
    sums = add_up(books, quarter.holds(books.day))
    return Kept(quarter.name, sums.n_ended, sums.n_sold, sums.profit, sums.hours, sums.per_hour)
