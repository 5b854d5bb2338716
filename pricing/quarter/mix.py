"""What if: the best mix of types for the hours and spots that a week has. A small linear program
over the groups of `compare`.

    maximise  sum_g profit_g x_g     over x_g units a week
    with      sum_g hours_g x_g <= hours a week,   sum_g days_g / 7 x_g <= spots,   0 <= x_g <=
        REACH x own pace of g

profit_g is the pooled return per hour times the usual hours of a unit of the group, failed ones
counted; days_g from got to ended.
Assumed: a unit more of a type pays what the last ones did, more than REACH times the usual number
of a type cannot be found, and nothing changes with the season. Below LEAST ended units it is not
offered at all.
"""

import numpy as np

from pricing.basis.frozen import frozen
from pricing.quarter.compare import Comparison
from pricing.quarter.money import Books

LEAST = 100  # ended units
REACH = 1.5  # times the own pace of a type; own judgement
SEEN = 4  # units of a type before it enters


@frozen
class Mix:
    """parts: (group, units a week now, units a week best) for groups that have either; profit now
    and best; worth_of_hour, worth_of_spot: what one more would add a week, 0 where it does not
    bind."""

    hours: float
    spots: float
    parts: tuple[tuple[str, float, float], ...]
    profit: float
    profit_now: float
    hours_now: float
    worth_of_hour: float
    worth_of_spot: float


def weeks_of(books: Books, rows: np.ndarray) -> float:
    """Weeks from the first unit of `rows` (mask) got to the last ended; 0 where not written."""
    got, ended = books.units.number("got")[rows], books.day[rows]
    known = np.concatenate([got[np.isfinite(got)], ended[np.isfinite(ended)]])
    return float(known.max() - known.min()) / 7 if len(known) else 0.0


def best_mix(comparison: Comparison, weeks: float, hours: float | None, spots: float) -> Mix | None:
    """The best mix for `hours` a week (None: as many as so far) and `spots`; None with too few
    units, no weeks, or no group with days and hours. weeks: what the units compared took."""
    groups = [
        group
        for group in comparison.groups
        if group.n >= SEEN and group.days_held is not None and group.hours > 0
    ]
    if comparison.n < LEAST or weeks < 4 or not groups:
        return None
    from scipy.optimize import linprog  # a quarter of a second, only where it is asked for

    pace = np.array([group.n / weeks for group in groups])
    each_hours = np.array([group.hours / group.n for group in groups])
    each_days = np.array([group.days_held or 0.0 for group in groups])
    profit = np.array([group.pooled for group in groups]) * each_hours
    limit = float(each_hours @ pace) if hours is None else hours
    # Maximize profit x over x units a week of each group, with hours x <= limit and (days / 7) x <=
    # spots: a unit of two weeks fills two spots of each week's one.
    bounds, most = np.vstack([each_hours, each_days / 7]), [(0, REACH * each) for each in pace]
    found = linprog(-profit, A_ub=bounds, b_ub=[limit, spots], bounds=most, method="highs")
    if found.status != 0:
        return None
    best = np.where(found.x < 1e-9, 0.0, found.x)
    names = [group.name for group in groups]
    parts = tuple(zip(names, pace.tolist(), best.tolist(), strict=True))
    # The price of a bound: what one more hour, one more spot a week would bring.
    worth = [float(each) + 0.0 for each in -found.ineqlin.marginals]
    made, made_now = float(profit @ best), float(profit @ pace)
    return Mix(limit, spots, parts, made, made_now, float(each_hours @ pace), worth[0], worth[1])
