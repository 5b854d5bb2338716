"""Every unit that has not sold: is it sitting longer than is normal, what to do next and when, the
least to take today, which to clear first."""

from __future__ import annotations

from array import array
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import numpy as np

from pricing.advice import ask, listing
from pricing.advice import together as sums
from pricing.advice.cautions import SALE, verdict_on
from pricing.advice.history import day_of, past_of
from pricing.advice.listing import Demand, Listing, Past
from pricing.basis.frozen import frozen
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.formulas import selling
from pricing.model.saved import Saved

A_YEAR = 365.0  # days: "half like it are gone by then" looks no further
TAKE_DOWN = "take it down"  # a danger stands above the money
SITS = 0.25  # a unit of which fewer than this share would still be there is sitting. Own judgement.


@frozen
class Waiting:
    """A listed unit. days: listed so far; normal: by which half like it sell at its first ask;
    still: share that would still be there; asked: the ask in force; step, on, to: what to do next,
    its day and ask; least: to take today; worth_a_day: what keeping it brings a day over clearing
    it out; clear_at: what that brings; order: 1 = clear first; decision, dangers: above the money;
    expects, brings: what it sells for by its plan, mean and draws (`advice/together`)."""

    unit: str
    said: str
    days: float
    normal: float
    still: float
    asked: float | None
    step: str
    on: date
    to: float
    least: float
    worth_a_day: float
    clear_at: float
    order: int = 0
    decision: str = ""
    dangers: tuple[str, ...] = ()
    expects: float = 0.0
    brings: array[float] = array("f")

    @property
    def sits(self) -> bool:
        return self.still < SITS

    def as_dict(self) -> dict[str, Any]:
        told = vars(self) | {"on": self.on.isoformat(), "sits": self.sits}
        return {name: value for name, value in told.items() if name != "brings"}


@frozen
class InWork:
    """A unit not listed yet. outcome: in work or waiting for part; days: since got, or None."""

    unit: str
    said: str
    outcome: str
    days: float | None


@frozen
class Unsold:
    """All of them. waiting: longest sitting first; undated: listed without a date; sells_for: what
    the waiting ones sell for together by their plans, without those a danger takes down."""

    as_of: date
    waiting: tuple[Waiting, ...]
    undated: tuple[InWork, ...]
    in_work: tuple[InWork, ...]
    sells_for: sums.Sum

    def as_dict(self) -> dict[str, Any]:
        """The JSON of `unsold --json`."""
        return {
            "as_of": self.as_of.isoformat(),
            "unsold": [one.as_dict() for one in self.waiting],
            "together": vars(self.sells_for),
            "no_listed_date": [vars(one) for one in self.undated],
            "in_work": [vars(one) for one in self.in_work],
        }


def unsold(
    units: Sequence[Mapping[str, Any]], numbers: Saved, settings: Settings, as_of: date
) -> Unsold:
    """The open units of the record as of a day: one listed later counts as in work, one that came
    later is not there."""
    listed, undated, in_work = told_apart(units, as_of)
    waiting = judged(listed, numbers, settings, as_of)
    return together(as_of, waiting, undated, in_work, settings.coverage)


def told_apart(
    units: Sequence[Mapping[str, Any]], as_of: date
) -> tuple[list[Mapping[str, Any]], list[InWork], list[InWork]]:
    """Rows listed on a day, the longest ago first; units listed without one; units in work."""
    listed, undated, in_work = [], [], []
    for row in units:
        outcome = str(row.get("outcome") or "")
        day = day_of(row.get("listed"))
        if (day_of(row.get("got")) or 0) > as_of.toordinal():
            continue
        up = outcome not in ("in work", "waiting for part")
        if up and day is not None and day <= as_of.toordinal():
            listed.append((day, row))
        elif outcome == "listed" and day is None:
            undated.append(_in_work(row, as_of, "listed, no date"))
        else:
            was = outcome if outcome != "listed" else ""
            in_work.append(_in_work(row, as_of, was or "in work"))
    in_work.sort(key=lambda one: (-(one.days or 0.0), one.unit))
    return [row for _, row in sorted(listed, key=lambda one: one[0])], undated, in_work


def together(
    as_of: date,
    waiting: Sequence[Waiting],
    undated: Sequence[InWork],
    in_work: Sequence[InWork],
    coverage: float,
) -> Unsold:
    """Judged units in both orders: sitting longest, to clear first; and their sum."""
    order = sorted(waiting, key=lambda one: (one.worth_a_day, -one.days, one.unit))
    ranked = [replace(one, order=place + 1) for place, one in enumerate(order)]
    ranked.sort(key=lambda one: (one.still, -one.days, one.unit))
    sells_for = sell_together(ranked, coverage)
    return Unsold(as_of, tuple(ranked), tuple(undated), tuple(in_work), sells_for)


def sell_together(waiting: Sequence[Waiting], coverage: float) -> sums.Sum:
    """What units sell for together by their plans; those that a danger takes down bring nothing."""
    selling = [one for one in waiting if not one.decision and len(one.brings)]
    draws, means = [np.array(one.brings) for one in selling], [one.expects for one in selling]
    return sums.summed(draws, means, coverage)


def judged(
    rows: Sequence[Mapping[str, Any]], numbers: Saved, settings: Settings, as_of: date
) -> list[Waiting]:
    """Each listed unit by itself, in the order of the rows."""
    if not rows:
        return []
    questions = [Question(dict(row)) for row in rows]
    view = ask.look(questions, numbers, settings, as_of)
    names = [str(row.get("unit") or "") for row in rows]
    draws = sums.drawn(view, names, numbers, float(as_of.toordinal()))
    return [
        _one(view, i, question, row, draws, numbers, settings, as_of)
        for i, (question, row) in enumerate(zip(questions, rows, strict=True))
    ]


def _one(
    view: ask.View,
    place: int,
    question: Question,
    row: Mapping[str, Any],
    draws: sums.Draws,
    numbers: Saved,
    settings: Settings,
    as_of: date,
) -> Waiting:
    demand = view.demands[place]
    past = past_of(row, as_of) or Past()
    at, _ = ask.terms_of(question, view, place, numbers, settings)
    asked = past.spells[-1][1] if past.spells else None
    past = past if past.spells else past_of(row, as_of, unwritten=demand.estimate) or past
    best = listing.best(demand, at, past)
    days = float(as_of.toordinal() - (day_of(row.get("listed")) or as_of.toordinal()))
    # Cleared out today
    now = listing.at_asks(demand, replace(at, after=past.days), np.zeros(0), past)
    clear_at = listing.clearing_price(now, demand, at)
    least = min(max(selling.gross_of(at, float(best.value[0])), 0.0), asked or np.inf)
    step, on, to = _next(best, asked, clear_at, as_of)
    verdict = verdict_on(row, SALE, settings, as_of)
    if verdict.decision:
        step, on, to, least, clear_at = TAKE_DOWN, as_of, 0.0, 0.0, 0.0
    kept = replace(at, after=A_YEAR)  # what is normal is no matter of when this seller clears out
    first = past.spells[0][1] if past.spells else demand.estimate
    start = listing.at_asks(demand, kept, np.full(len(listing.steps(A_YEAR)), first))
    ahead = (
        float(
            best.course.left * best.sale.days.sum()
            + (best.course.sold * (best.starts + best.sale.days / 2)).sum()
        )
        if len(best.asks)
        else 0.0
    )
    gain = (float(best.value[0]) - float(selling.net_of(at, np.array(clear_at)))) / max(ahead, 1.0)
    return Waiting(
        str(row.get("unit") or ""),
        said(row),
        days,
        listing.day_sold(start),
        _still(demand, at, past),
        asked,
        step,
        on,
        to,
        least,
        gain,
        clear_at,
        decision=verdict.decision,
        dangers=tuple(said.short for said in verdict.dangers),
        expects=sums.expected(best, view, place, at),
        brings=array("f", sums.brings(best, view, place, at, draws)),
    )


def _still(demand: Demand, at: listing.Terms, past: Past) -> float:
    """Share of units like it, asked the same, that would still be there."""
    weight = demand.latent[2]
    gone = listing.told_by(demand, at, past) if past.spells else np.zeros_like(weight)
    return min(float(weight @ np.exp(-gone)), 1.0)


def _next(
    best: Listing, asked: float | None, clear_at: float, as_of: date
) -> tuple[str, date, float]:
    """The next thing to do: come down now, come down later, or clear it out."""
    if not len(best.asks):
        return "clear it out", as_of, clear_at
    if asked is None:
        return "put a price on it", as_of, float(best.asks[0])
    if best.asks[0] < asked * 0.985:
        return "come down", as_of, float(best.asks[0])
    lower = np.flatnonzero(best.asks < asked * 0.985)
    if len(lower):
        return (
            "come down",
            as_of + timedelta(days=round(float(best.starts[lower[0]]))),
            float(best.asks[lower[0]]),
        )
    return "clear it out", as_of + timedelta(days=round(float(best.sale.days.sum()))), clear_at


def _in_work(row: Mapping[str, Any], as_of: date, outcome: str) -> InWork:
    got = day_of(row.get("got"))
    return InWork(
        str(row.get("unit") or ""),
        said(row),
        outcome,
        None if got is None else float(as_of.toordinal() - got),
    )


def said(row: Mapping[str, Any]) -> str:
    """A unit in a few words: "wall oven, 6y, good"."""
    age = row.get("age")
    name = f"{str(row.get('maker') or '').title()} {row.get('type') or ''}".strip()
    years = f"{float(age):.0f}y" if isinstance(age, (int, float)) else ""
    return ", ".join(filter(None, (name, years, str(row.get("condition") or ""))))
