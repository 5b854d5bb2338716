"""What a limit means: the advice word, and what to say first."""

import math
from typing import Any

from pricing.wording.plain import down

HAUL, IF_FREE, IF_PAID, PASS = "haul", "haul if free", "only if paid", "pass"
WORTH_A_STOP = 5.0  # money: a limit below this is as good as free
# Money: people do not pay more than about this to be rid of one. Common practice.
MOST_REMOVAL_FEE = 75.0


def start_at(their_price: float | None, limit: float, usual: float) -> float:
    """What to say first: what the person usually pays, at most four fifths of limit or price.

    >>> (start_at(40.0, 52.0, 20.8), start_at(None, 52.0, 30.0), start_at(0.0, 52.0, 30.0),
    ...  start_at(None, -18.0, 30.0))
    (20.0, 30.0, 0.0, -25.0)
    """
    if limit <= 0:
        asked = their_price if their_price is not None else 0.0
        return min(5.0 * math.floor(limit * 1.25 / 5), asked)
    first = 5.0 * math.floor(min(usual, 0.8 * limit) / 5 + 1e-9)
    if their_price is None:
        return max(first, 0.0)
    return max(min(first, their_price), min(0.0, their_price))


def opening(
    their_price: float | None, limit: float, usual: float | None, share: float
) -> tuple[float, float]:
    """What to say first, and what is taken to be paid. share: of the limit, if nothing is usual."""
    start = start_at(their_price, limit, share * limit if usual is None else usual)
    if their_price is not None:
        return start, their_price
    return start, start if usual is None else usual


def advise(limit: float, their_price: float | None, decision: str) -> str:
    """The advice word for a limit and what the owner wants; a decision stands above both.

    >>> [advise(52, 40, ""), advise(52, 60, ""), advise(3, None, ""),
    ...  advise(-20, None, ""), advise(-200, None, ""), advise(52, 40, "leave")]
    ['haul', 'pass', 'haul if free', 'only if paid', 'pass', 'leave']
    """
    if decision != "":
        return decision
    if their_price is not None and limit >= their_price:
        return HAUL
    if limit >= WORTH_A_STOP:
        return HAUL if their_price is None else PASS
    if limit >= 0:
        return IF_FREE
    return IF_PAID if limit >= -MOST_REMOVAL_FEE else PASS


def limits(
    whole: float, start: float, out: float, at_curb: bool, their_price: float | None, gate: Any
) -> dict[str, Any]:
    """The most to pay before and after the way out, what to start at, the advice. out: its cost."""
    limit = min(whole, 0.0) if gate.free_only else whole
    advice = advise(down(limit), their_price, gate.decision)
    return {
        "advice": IF_FREE if gate.free_only and advice == HAUL else advice,
        "pay_up_to": limit,
        "start_at": min(start, 0.0) if gate.free_only else start,
        "before_drive": limit - out if at_curb else limit,
        "at_curb_pay_up_to": limit if at_curb else limit + out,
    }
