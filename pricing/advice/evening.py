"""One evening, several calls: which to take with the hours and the free spots there are, in what
order, and what is left. Exact.

    maximise  sum of worth_i over the calls taken      worth_i = pay_up_to_i - their price (each
        hour of work at its target)
    subject to  sum of trip hours_i <= hours free,  number taken <= spots free

by branch and bound; the bound fills the hours that are left with the best worth per hour, the last
one in part (Dantzig 1957), and takes no more than the spots left of the best. Calls that are worth
nothing at their price are never taken.
"""

from collections.abc import Sequence

import numpy as np

from pricing.basis.frozen import frozen


@frozen
class Call:
    """worth: money ahead at their price; hours: of the trip; boxes: (worth, chance) of a look."""

    worth: float
    hours: float
    boxes: tuple[tuple[float, float], ...] = ()


@frozen
class EveningPlan:
    """taken: places of the calls, in the order to go; worth: money ahead; what is left."""

    taken: tuple[int, ...]
    worth: float
    hours_left: float
    spots_left: int


@frozen
class Evening:
    """The best plan and the second best (None where there is no other)."""

    best: EveningPlan
    second: EveningPlan | None


def choose(calls: Sequence[Call], hours_free: float, spots_free: int) -> Evening:
    """The two plans with the most worth, of all that fit; of equals, the one with fewer hours, then
    the earlier calls.

    >>> calls = [Call(60, 2.0), Call(45, 1.5), Call(40, 1.5)]
    >>> choose(calls, 3.0, 2).best.taken, choose(calls, 3.0, 2).second.taken
    ((1, 2), (0,))
    """
    able = [i for i, call in enumerate(calls) if call.worth > 0 and call.hours <= hours_free + 1e-9]
    able.sort(key=lambda i: (-calls[i].worth / max(calls[i].hours, 1e-9), i))
    worth = [calls[i].worth for i in able]
    hours = [calls[i].hours for i in able]
    found: list[tuple[float, float, tuple[int, ...]]] = []  # worth, -hours, places; the two best

    def keep(total: float, used: float, taken: tuple[int, ...]) -> None:
        found.append((total, -used, taken))
        found.sort(key=lambda plan: (-round(plan[0], 9), -round(plan[1], 9), plan[2]))
        del found[2:]

    def search(start: int, total: float, used: float, taken: tuple[int, ...]) -> None:
        keep(total, used, tuple(sorted(able[k] for k in taken)))
        spots = spots_free - len(taken)
        for k in range(start, len(able)):
            if spots == 0:
                return
            if (
                len(found) == 2
                and total + _bound(worth, hours, k, hours_free - used, spots) < found[1][0] - 1e-9
            ):
                return
            if used + hours[k] <= hours_free + 1e-9:
                search(k + 1, total + worth[k], used + hours[k], (*taken, k))

    search(0, 0.0, 0.0, ())
    free = (hours_free, spots_free)
    plans = [_plan(calls, taken, total, -used, *free) for total, used, taken in found]
    return Evening(plans[0], plans[1] if len(plans) > 1 else None)


def _bound(
    worth: Sequence[float], hours: Sequence[float], start: int, hours_left: float, spots: int
) -> float:
    """No plan from here on brings more: hours filled in part, or the best that spots can hold."""
    filled = 0.0
    for k in range(start, len(worth)):
        if hours[k] > hours_left:
            filled += worth[k] * max(hours_left, 0.0) / max(hours[k], 1e-9)
            break
        filled += worth[k]
        hours_left -= hours[k]
    return min(filled, sum(sorted(worth[start:], reverse=True)[:spots]))


def _plan(
    calls: Sequence[Call],
    taken: tuple[int, ...],
    worth: float,
    hours: float,
    hours_free: float,
    spots_free: int,
) -> EveningPlan:
    ordered = tuple(sorted(taken, key=lambda i: (-calls[i].worth / max(calls[i].hours, 1e-9), i)))
    return EveningPlan(ordered, worth, hours_free - hours, spots_free - len(taken))


def reservation(boxes: Sequence[tuple[float, float]], cost: float) -> float:
    """Weitzman's index z of looking at a call: cost = E[(X - z)+]. Go in falling order of z; stop
    when the best in hand beats the next z.

    boxes: (worth, chance) of what the look may show; cost: of going to look, in money. A free look
    is worth its best case. Raises ValueError for a negative cost or chances that do not sum to 1.
    Source: Weitzman (1979), Econometrica 47(3):641-654.

    >>> reservation([(100, 0.5), (55, 0.5)], 15), reservation([(240, 0.2), (0, 0.8)], 20)
    (70.0, 140.0)
    """
    values = np.array([value for value, _ in boxes], dtype=float)
    chances = np.array([chance for _, chance in boxes], dtype=float)
    if cost < 0 or len(values) == 0 or abs(chances.sum() - 1) > 1e-6:
        raise ValueError("a look costs 0 or more and its chances sum to 1")
    order = np.argsort(-values)
    values, chances = values[order], chances[order]
    if cost == 0:
        return float(values[0])
    # between two values E[(X - z)+] is a straight line: sum of chance above x (mean above - z)
    above, money = 0.0, 0.0
    for k in range(len(values)):
        above += chances[k]
        money += chances[k] * values[k]
        z = (money - cost) / above
        if k + 1 == len(values) or z >= values[k + 1]:
            return float(z)
    raise AssertionError("the last value always ends the search")
