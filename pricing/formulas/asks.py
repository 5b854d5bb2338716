"""Asks of a unit as people write them and keep to them: step by step, and in the usual way."""

import math
from collections.abc import Callable, Sequence
from typing import Any

from pricing.formulas.usual_way import left_of_ask

WEEK = 7.0
# The most that an ask comes down at once, and never sooner than a week. Common practice.
ASK_STEP = 0.15
# Of the recommended asks: the two others that are shown. Own judgement.
QUICK, PATIENT = (0.88, 1.10)
PLAN, USUAL = ("this plan", "your usual way")


def rounded(ask: float, highest: float = math.inf) -> float:
    """An ask as people write it: to 1, 5, 25 or 50, or ending in 9; the next lower one at the
    highest.

    >>> [rounded(ask) for ask in (13.4, 83.0, 268.0, 321.0, 302.0, 1130.0)]
    [13.0, 85.0, 269.0, 319.0, 300.0, 1149.0]
    """
    if ask < 20:
        near = max(float(round(ask)), 1.0)
        return max(float(math.floor(ask)), 1.0) if near > highest * (1 + 1e-9) else near
    step = 5.0 if ask < 100 else 25.0 if ask < 1000 else 50.0
    nine = 10.0 if ask < 1000 else 50.0
    one = round(ask / step) * step
    other = round((ask + 1) / nine) * nine - 1
    near = one if abs(one - ask) <= abs(other - ask) else other
    if near <= highest * (1 + 1e-9):
        return near
    return max(math.floor(ask / step) * step, math.floor((ask + 1) / nine) * nine - 1, 1.0)


def waits(spells: Sequence[Sequence[float]]) -> float:
    """Days for which the ask in force is still to be kept: the rest of its first week, or 0."""
    left = WEEK - spells[-1][0] if len(spells) > 0 else 0.0
    return left if left >= 1 else 0.0


def in_force(spells: Sequence[Any]) -> float | None:
    """The ask that stands now, None where none was told. spells: days and ask of each so far."""
    return float(spells[-1][1]) if len(spells) > 0 else None


def spells_of(
    entries: Sequence[Any], listed: int, today: int, now: float | None
) -> list[tuple[float, float]]:
    """Days and ask of each spell since a unit was listed. entries: day (None: since then) and ask;
    now: the ask to reckon with where there is none."""
    told = [(max(day or listed, listed), ask) for day, ask in entries if (day or listed) <= today]
    if len(told) == 0 and now is not None:
        told = [(listed, now)]
    # of several on one day the last counts
    last = [told[i] for i in range(len(told)) if all(one[0] != told[i][0] for one in told[i + 1 :])]
    last = sorted(last, key=lambda one: one[0])
    ends = [*[day for day, _ in last[1:]], today]
    starts = [listed, *ends]
    return [(float(ends[i] - starts[i]), last[i][1]) for i in range(len(last))]


def steps(left: float, spells: Sequence[Sequence[float]]) -> list[float]:
    """Lengths of the steps over the days left: weeks, a short last one, first the rest of a week.

    >>> steps(60.0, []), steps(-3.0, []), steps(14.0, [(2.0, 200.0)])
    ([7.0, 7.0, 7.0, 7.0, 7.0, 7.0, 7.0, 7.0, 4.0], [], [5.0, 7.0, 2.0])
    """
    first = waits(spells)
    if first > 0 and left - first >= 0:
        return [first, *steps(left - first, [])]
    whole = math.floor(max(left, 0.0) / WEEK)
    rest = max(left, 0.0) - whole * WEEK
    return [WEEK] * whole + ([rest] if rest >= 1 else [])


def exposure(shape: float, start: float, end: float) -> float:
    """Days that count between two times on the market: a Weibull clock, right after `WEEK` days."""
    apart = math.pow(end, shape) - math.pow(start, shape)
    return end - start if shape == 1.0 else apart * math.pow(WEEK, 1 - shape)


def gently(asks: Sequence[float], highest: float, spells: Sequence[Sequence[float]]) -> list[float]:
    """The asks of a plan as a seller would go through with them: none above the one before, none
    more than `ASK_STEP` under it, and the one in force kept for its week. An ask in force at more
    than twice the highest that is looked at is a slip of the pen and binds nobody.

    >>> gently([300.0, 200.0, 210.0], 400.0, [])
    [300.0, 259.0, 225.0]
    """
    last = spells[-1][1] if len(spells) > 0 else math.inf
    last = last if last <= 2 * highest else math.inf
    out: list[float] = []
    for wanted in asks:
        ask = min(wanted, last)
        least = last * (1 - ASK_STEP)
        # The ask in force stays for its first week: a listing that moves every day looks desperate.
        # Common practice.
        if len(out) == 0 and waits(spells) > 0 and last < math.inf:
            ask = last
        elif last < math.inf and ask < least:
            # A figure as people write it, at or above the least step: 259 after 300, never 255.
            written = [rounded(least * factor) for factor in (1.0, 1.02, 1.04)]
            ask = next((one for one in written if one >= least), float(math.ceil(least)))
        out.append(ask)
        last = ask
    return out


def usual_asks(
    estimate: float,
    habit: Sequence[float],
    highest: float,
    days: Sequence[float],
    spells: Sequence[Sequence[float]],
) -> list[float]:
    """What the person would usually ask in each step: the first ask at its usual height, or the one
    in force, and a usual drop whenever one is due. habit: ln(first ask / estimate), ln of each
    drop, days from one to the next; days: of each step.

    >>> usual_asks(200.0, (0.1, 0.08, 14.0), 300.0, [7.0] * 5, [])
    [219.0, 219.0, 200.0, 200.0, 189.0]
    """
    held = 0.0 if len(spells) == 0 else spells[-1][0]
    start = estimate * math.exp(habit[0]) if len(spells) == 0 else spells[-1][1]
    out = []
    for length in days:
        left = left_of_ask(held, habit[1], habit[2])
        out.append(rounded(min(start, highest) * left, highest))
        held = held + length
    return out


def dated(
    starts: Sequence[float], asks: Sequence[float], value: Sequence[float]
) -> list[tuple[int, float, float]]:
    """The days from now on which the ask changes, the ask and the least to take then. value: of
    carrying on at each step."""
    new = [t for t in range(len(asks)) if t == 0 or asks[t] < asks[t - 1]]
    return [(round(starts[t]), asks[t], min(max(value[t], 0.0), asks[t])) for t in new]


def choices(
    found: Any,
    times: Callable[[float], Any],
    off_at: Callable[[float], float],
    median_days: Callable[[Any], float],
) -> list[tuple[str, float, float, float, float]]:
    """The plan's asks, a good step lower and higher, and the usual way: name, first ask, days by
    which half sell, price, money left. times: the plan at asks so much higher; off_at: talked
    off."""
    if len(found.asks) == 0:
        return []
    own = [(PLAN, found)]
    if found.usual is not None:
        same = all(found.usual.asks[t] == found.asks[t] for t in range(len(found.asks)))
        own = [(USUAL, found)] if same else [(PLAN, found), (USUAL, found.usual)]
    out = []
    for name, one in [("quick", times(QUICK)), *own, ("patient", times(PATIENT))]:
        sold = one.course.sold
        if name != "patient" or one.asks[0] > found.asks[0]:
            asks = one.asks
            parts = [sold[t] * asks[t] * (1 - off_at(asks[t])) for t in range(len(asks))]
            brought = sum(parts) / max(sum(sold), 1e-12)
            first, left = (float(one.asks[0]), float(one.value[0]))
            out.append((name, first, median_days(one), float(brought), left))
    return out
