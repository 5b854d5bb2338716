"""Values that look like slips of the pen: prices, costs and hours ten times off. The one place that
says which; a unit with one stands in no sum until the person has answered.

A price is held against the unit's own asks where it has any. Everything else (and a price without
an ask) is held against the usual of its type in logarithms, and a cost against the unit's own ask
or price as well: an appliance seldom costs more than it brings. A value is doubted where it lies
far off and, for what is held against a usual, a usual slip (a nought too many or too few, minutes
written as hours) brings it back among the others.
"""

from collections.abc import Sequence

import numpy as np

from pricing.basis import dated
from pricing.basis.frozen import frozen
from pricing.basis.units import Units

COSTS = ("paid", "parts", "haul_cost", "fees", "refund", "helper", "cost_in")
TIMES = ("hours", "drive_min", "diagnose_min", "repair_min", "clean_min", "sell_min")
# A sale at four times its highest ask or a tenth of its lowest; a cost of more than twice
# what the unit was asked or sold for. Own judgement.
OVER_ASK, UNDER_ASK, OVER_WORTH = 4.0, 0.12, 2.0
# robust sds and times of the usual from which a value is far off, and within which it is usual; a
# sd is never taken for smaller than LEAST_SD. Own judgement; tests hold how often it is wrong.
FAR, FAR_TIMES, NEAR, LEAST_SD = 4.0, 5.0, 1.6, 0.3
LEAST = 8  # values of a type (else of all) that make a usual
BACK = {"price": (0.1, 10.0, 0.01, 100.0), "hours": (0.1, 1 / 60)}


@frozen
class Doubt:
    """One value in doubt. row: its place; likely: what was probably meant, None if not known."""

    row: int
    unit: str
    column: str
    value: float
    likely: float | None


def doubts(
    units: Units, right: frozenset[tuple[str, str, float]] = frozenset()
) -> tuple[Doubt, ...]:
    """All values in doubt in order of the rows, without those in `right`: (unit, column, value)."""
    low, high = _asks(units)
    price = units.number("price")
    worth = np.fmax(high, price)
    found: list[Doubt] = []
    codes = units.word("type").codes
    order = np.argsort(codes, kind="stable").astype(np.int32)
    groups = np.split(order, np.searchsorted(codes[order], np.arange(codes.max(initial=-1) + 1)))
    for column in (x for x in ("price", *COSTS, *TIMES) if x in units.numbers):
        values = units.number(column)
        off, usual, sd = _off(values, groups[1:])
        # The unit's own asks tell more than any usual: where there are some, they alone decide.
        if column == "price":
            asked = np.isfinite(high)
            off = np.where(asked, (values > OVER_ASK * high) | (values < UNDER_ASK * low), off)
            usual, sd = np.where(asked, high, usual), np.where(asked, LEAST_SD, sd)
        elif column in COSTS:
            off |= (values > OVER_WORTH * worth) & (values > FAR_TIMES * usual)
            # Too little written for a part turns no sum by much, and cheap parts are common.
            off &= values > usual
        else:
            off &= values > usual
        for row in np.flatnonzero(off & (values > 0)).tolist():
            likely = _meant(column, float(values[row]), float(usual[row]), float(sd[row]))
            asked_too = column == "price" and np.isfinite(high[row])
            if likely is not None or asked_too:
                name = units.word("unit").take(np.array([row])).texts()[0]
                found.append(Doubt(row, name, column, float(values[row]), likely))
    kept = (one for one in found if (one.unit, one.column, one.value) not in right)
    return tuple(sorted(kept, key=lambda one: one.row))


def _off(
    values: np.ndarray, types: Sequence[np.ndarray]
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Which values lie far off the usual, that usual and its sd in logarithms, (n,) each. types:
    the rows of each type."""
    known = values > 0
    logs = np.log(np.where(known, values, 1.0))
    usual, sd = np.full(len(values), np.nan), np.full(len(values), np.nan)
    groups = [rows for rows in types if known[rows].sum() >= LEAST]
    # All values first, so that a type with enough of its own writes over them.
    if known.sum() >= LEAST:
        groups.insert(0, np.arange(len(values)))
    for rows in groups:
        some = logs[rows[known[rows]]]
        middle = float(np.median(some))
        usual[rows] = np.exp(middle)
        sd[rows] = max(1.4826 * float(np.median(np.abs(some - middle))), LEAST_SD)
    apart = np.abs(logs - np.log(usual))
    off: np.ndarray = known & (apart > FAR * sd) & (apart > np.log(FAR_TIMES))
    return off, usual, sd


def _meant(column: str, value: float, usual: float, sd: float) -> float | None:
    """The value that a usual slip would explain best, None where none does."""
    options = [value * times for times in BACK.get(column, (0.1,))]
    if not usual > 0:
        return None
    apart = [abs(np.log(option / usual)) for option in options]
    best = int(np.argmin(apart))
    return round(options[best], 2) if apart[best] < NEAR * sd else None


def _asks(units: Units) -> tuple[np.ndarray, np.ndarray]:
    """The lowest and the highest ask of each unit, NaN where none, (n,) each."""
    asked = units.word("asked")
    ends = [(np.nan, np.nan)] * len(asked.levels)
    for place, text in enumerate(asked.levels):
        amounts = [amount for _, amount in dated.entries(text) if amount > 0]
        if amounts:
            ends[place] = (min(amounts), max(amounts))
    table = np.array([*ends, (np.nan, np.nan)])
    return table[asked.codes, 0], table[asked.codes, 1]
