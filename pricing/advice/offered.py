"""A buyer offers so much: take it, counter, or hold until a day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from pricing.basis.frozen import frozen

if TYPE_CHECKING:
    from pricing.advice.ask import Step
    from pricing.basis.settings import Settings

TAKE, COUNTER, HOLD = "take it", "counter", "hold"
NEAR = 0.75  # of the least to take: below it a counter is hardly ever met. Own judgement.


@frozen
class Verdict:
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
    offer: float,
    ask: float,
    value: Sequence[float],
    plan: Sequence[Step],
    as_of: date,
    settings: Settings,
) -> Verdict:
    """Take what is at least worth carrying on; else meet in the middle of offer and ask, never
    below the least; else hold until the plan comes down to it.

    value: the least to take at the start of each step, money. Splitting the difference is what
    buyers and sellers favor (Quarterly Journal of Economics 135(3), 2020, 25 million bargaining
    threads).
    """
    least = min(max(value[0], 0.0), ask) if value else 0.0
    if offer >= least:
        return Verdict(offer, TAKE, least, None, None)
    until = next((step.date for step in plan[1:] if step.take_at_least <= offer), None)
    if offer >= NEAR * least:
        middle = 5 * round((offer + ask) / 2 / 5)
        return Verdict(offer, COUNTER, least, float(max(middle, 5 * -(-least // 5))), until)
    return Verdict(offer, HOLD, least, None, until)
