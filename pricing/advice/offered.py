"""A buyer offers so much: take it, counter, or hold until a day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from pricing.basis.frozen import frozen


@frozen
class Step:
    """One line of the dated plan: from this day ask so much; take at least so much on that day."""

    date: date
    ask: float
    take_at_least: float


TAKE, COUNTER, HOLD = "take it", "counter", "hold"
NEAR = 0.75  # of the least to take: below it a counter is hardly ever met. Own judgement.


@frozen
class OfferedVerdict:
    """say: take it, counter or hold; counter: what to say instead; until: the first day of the plan
    on which this offer would do, None where it never does; least: the least to take today."""

    offered: float
    say: str
    least: float
    counter: float | None
    until: date | None

    def as_dict(self) -> dict[str, Any]:
        return {
            "offered": self.offered,
            "say": self.say,
            "take_at_least": self.least,
            "counter": self.counter,
            "until": self.until.isoformat() if self.until else None,
        }


def judge(
    bid: float, ask: float, off: float, value: Sequence[float], plan: Sequence[Step]
) -> OfferedVerdict:
    """Take what a sale at this ask brings anyway; else meet in the middle of bid and ask, never
    below the least nor above the ask, and take a bid over the least that stands; else hold until
    the plan comes down to it.

    off: share that buyers talk off this ask on average; value: the least to take at the start of
    each step, money. A first bid is rarely the last, and a counter costs nothing. Splitting the
    difference is what buyers and sellers favor (Quarterly Journal of Economics 135(3), 2020, 25
    million bargaining threads).
    """
    least = min(max(value[0], 0.0), ask) if value else 0.0
    if bid >= max(least, ask * (1 - off)):
        return OfferedVerdict(bid, TAKE, least, None, None)
    middle = min(5 * round((bid + ask) / 2 / 5), ask)
    counter = float(min(max(middle, 5 * -(-least // 5)), ask))
    if bid >= least:
        return OfferedVerdict(bid, COUNTER if counter > bid else TAKE, least, counter, None)
    until = next((step.date for step in plan[1:] if step.take_at_least <= bid), None)
    if bid >= NEAR * least:
        return OfferedVerdict(bid, COUNTER, least, counter, until)
    return OfferedVerdict(bid, HOLD, least, None, until)
