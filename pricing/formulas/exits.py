"""What a unit that is not fixed still brings, and what comes back: own units over starting ones."""

from collections.abc import Sequence
from typing import Any

import numpy as np

FAILED_HOURS = 0.90  # hours of a try that failed, as a share of one that worked. Own judgement.
FAILED_REST_HOURS = 0.25  # to take it to the yard or hand it on. Own judgement.
# Bench hours to find what it needs, as a share of those to find and mend it. Own judgement.
FINDING_SHARE = 1 / 3
# to sell one broken and said so, and to part one out. Own judgement.
AS_IS_HOURS, PARTED_HOURS = 0.6, 1.0
SALVAGE_WEIGHT = 3.0  # units that the assumed scrap money counts for
COMEBACKS_OF_100 = {"cold": 8.0, "dryer": 4.0, "": 6.0}  # within 30 days. Common practice.


def scrap_money(usual: float, price_per_weight: float, in_pounds: bool) -> float:
    """Scrap by weight: the table's money, moved with the person's own price of scrap."""
    return usual * price_per_weight / (0.07 if in_pounds else 0.07 / 0.45359237)


def if_not_fixed(failed: Sequence[float], scrap: float, ratio: float) -> float:
    """Money of one not fixed. failed: own units and what they brought; ratio: of the scrap."""
    return (failed[1] + SALVAGE_WEIGHT * scrap * ratio) / (failed[0] + SALVAGE_WEIGHT)


def share_of_price(sold: Any, own: Sequence[float], share: Any) -> Any:
    """Money as it is or in parts. sold: once fixed; own: units, sum of shares; share: usual."""
    return sold * (own[1] + 3 * share) / (own[0] + 3)


def tried(way: Any, own: float, failed: float, rest: Any) -> tuple[Any, Any]:
    """Money and hours of a way out that is tried first; what nobody takes ends at the yard. way,
    rest: money and hours of either; own: units that went this way; failed: all that were not
    fixed.

        share taken = (own + 3) / (failed + 3),    the mean of a Beta(3 + own, failed - own)

    What the table says a broken one brings counts as three units that went that way. A person of
    whose 27 duds none was sold as it is has found no buyer, or looks for none.

    >>> tried((40.0, 0.6), 0.0, 27.0, (10.0, 0.2))
    (13.0, 0.78)
    """
    share = (own + SALVAGE_WEIGHT) / (max(own, failed) + SALVAGE_WEIGHT)
    return share * way[0] + (1 - share) * rest[0], way[1] + (1 - share) * rest[1]


def rest_hours(own: Sequence[float]) -> float:
    """Hours to be rid of one. own: units, and hours in all."""
    return (own[1] + 3 * FAILED_REST_HOURS) / (own[0] + 3)


def best(money: Any, hours: Any, may_be_sold: Any, target: float) -> Any:
    """Place of the way with the most worth. money, hours: of each way, to sell it as it is first;
    may_be_sold: whether no danger forbids that; target: money an hour.

    >>> [int(best([40.0, 20.0], [0.5, 0.2], able, 30.0)) for able in (True, False)]
    [0, 1]
    """
    place: Any = 0
    worth = np.where(may_be_sold, money[0] - target * hours[0], -1e300)
    for k in range(1, len(money)):
        other = money[k] - target * hours[k]
        place = np.where(other > worth, k, place)
        worth = np.maximum(worth, other)
    return place


def comeback_share(type_name: str, family: str, own: Sequence[float]) -> float:
    """Share of sold units that come back: own over the starting figure (20 units)."""
    start = COMEBACKS_OF_100.get(family, COMEBACKS_OF_100[""])
    if "dryer" in type_name and "washer" not in type_name:
        start = COMEBACKS_OF_100["dryer"]
    return (own[1] + 20 * start / 100) / (own[0] + 20)


def usual_paid(of_type: Sequence[float] | None, of_all: Sequence[float] | None) -> float | None:
    """What the person usually pays: the type's middle from five units on, of all from three."""
    if of_type is not None and of_type[0] >= 5:
        return of_type[5]
    return of_all[5] if of_all is not None and of_all[0] >= 3 else None
