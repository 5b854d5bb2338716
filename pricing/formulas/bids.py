"""A buyer bids so much: take it, say another amount, or hold until a day."""

import math
from typing import Any

TAKE, COUNTER, HOLD = "take it", "counter", "hold"
NEAR = 0.75  # of the least to take: below it a counter is hardly ever met. Own judgement.


def judged(
    bid: float, ask: float, off: float, least: float, plan: list[dict[str, Any]]
) -> dict[str, Any]:
    """Take what a sale at this ask brings anyway; else meet in the middle of bid and ask, never
    below the least nor above the ask, and take a bid over the least that stands; else hold until
    the plan comes down to it (`until`, None where it never does).

    off: share that buyers talk off this ask on average; least: to take today; plan: its steps, each
    with `date` and `take_at_least`. A first bid is rarely the last, and a counter costs nothing.
    Splitting the difference is what buyers and sellers favor (Quarterly Journal of Economics
    135(3), 2020, 25 million bargaining threads).

    >>> [judged(bid, 200.0, 0.1, 150.0, [])["say"] for bid in (185.0, 160.0, 120.0, 90.0)]
    ['take it', 'counter', 'counter', 'hold']
    >>> judged(160.0, 200.0, 0.1, 150.0, [])["counter"]
    180.0
    """
    told = {"offered": bid, "say": TAKE, "take_at_least": least, "counter": None, "until": None}
    if bid >= max(least, ask * (1 - off)):
        return told
    middle = min(5.0 * math.floor((bid + ask) / 10 + 0.5), ask)
    counter = min(max(middle, 5.0 * math.ceil(least / 5)), ask)
    if bid >= least:
        return {**told, "say": COUNTER if counter > bid else TAKE, "counter": counter}
    until = None
    for step in plan[1:]:
        if until is None and step["take_at_least"] <= bid:
            until = step["date"]
    if bid >= NEAR * least:
        return {**told, "say": COUNTER, "counter": counter, "until": until}
    return {**told, "say": HOLD, "until": until}
