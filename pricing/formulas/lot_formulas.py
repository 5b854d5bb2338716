"""Several units in one call: which to take, and the most for them together.

One drive serves all that are taken. With k of n units on it each bears a k-th of the drive, so
that the k best are those with the largest limits at k, and the lot is worth

    W = max over k of  sum of the k largest limits at k units on the drive

What is dangerous is never among them.
"""

import math
from collections.abc import Callable, Sequence
from typing import Any

from pricing.wording.plain import down

ALL, SOME, NONE = "take all", "take some", "pass"


def best_of(
    n: int, barred: list[int], limits_at: Callable[[int], list[float]]
) -> tuple[float, list[int]]:
    """The most for the best units together, money, and their places (0 first).

    limits_at: the limit of each of the n units with so many on the drive, (n,); barred: places of
    those that may not be taken.

    >>> best_of(3, [2], lambda k: [10.0 - 12 / k, 30.0 - 12 / k, 90.0])
    (28.0, [0, 1])
    """
    worth = 0.0
    take: list[int] = []
    free = [place for place in range(n) if place not in barred]
    for k in range(1, len(free) + 1):
        limits = limits_at(k)
        ranked = sorted(free, key=lambda place: [-limits[place], place])
        taken = sorted(ranked[:k])
        total = sum([limits[place] for place in taken])
        if total > worth:
            worth = total
            take = taken
    return worth, take


def together_of(n: int, barred: list[int], take: list[int]) -> list[int]:
    """Places of those whose sales are added up: the ones to take, else all that may be."""
    return take if len(take) > 0 else [place for place in range(n) if place not in barred]


def price_of(for_all: float | None, own: list[float | None]) -> float | None:
    """What they want for all: the sum of what is told for each, or what was told for the lot."""
    if all(price is not None for price in own):
        return sum([float(price) for price in own if price is not None])
    return for_all


def advice_of(take: list[int], n: int, their_price: float | None, pay_up_to: float) -> str:
    """What to do with the lot."""
    if len(take) == 0 or (their_price is not None and their_price > down(pay_up_to)):
        return NONE
    return ALL if len(take) == n else SOME


def sells_for(each: Sequence[Any], common: Any, z: float) -> dict[str, float]:
    """What units sell for together once fixed: mean, middle and the ends of the range, z standard
    deviations off. What is not known of their estimates is common to them and does not cancel:

        variance = sum of sd_i^2 + sum over i != j of moves_i moves_j common_ij

    and the sum is taken for lognormal. each: plans, with the sale's mean and sd, its span, and what
    it moves by with ln price; common: covariance of the errors of ln price, (n, n).
    """
    if len(each) == 1:
        span = each[0].span
        return {"mean": each[0].sale, "median": span.median, "low": span.low, "high": span.high}
    mean = sum([one.sale for one in each])
    variance = sum([one.sd**2 for one in each])
    for i in range(len(each)):
        for j in range(i):
            variance = variance + 2 * each[i].moves * each[j].moves * common[i][j]
    sd = math.sqrt(math.log(1 + max(variance, 0.0) / max(mean * mean, 1e-12)))
    middle = mean * math.exp(-sd * sd / 2)
    low, high = middle * math.exp(-z * sd), middle * math.exp(z * sd)
    return {"mean": mean, "median": middle, "low": low, "high": high}


def told(
    each: list[dict[str, Any]],
    take: list[int],
    pay_up_to: float,
    their_price: float | None,
    sold: dict[str, float],
) -> dict[str, Any]:
    """The JSON of `lot`; all_pay_up_to is None where one of them may not be taken. sold: what those
    to take sell for together once fixed, of none all that may be taken."""
    barred = any(one["decision"] != "" for one in each)
    return {
        "advice": advice_of(take, len(each), their_price, pay_up_to),
        "units": len(each),
        "take": [place + 1 for place in take],
        "pay_up_to": pay_up_to,
        "all_pay_up_to": None if barred else sum([one["pay_up_to"] for one in each]),
        "their_price": their_price,
        "sells_for": sold,
        "each": each,
    }


def over_first(lot: dict[str, Any]) -> dict[str, Any]:
    """What stands in place of the first unit's JSON: the lot's advice, the dangers of them all."""
    each = lot["each"]
    barred = all(one["decision"] != "" for one in each)
    return {
        "lot": lot,
        "advice": lot["advice"],
        "pay_up_to": lot["pay_up_to"],
        "their_price": lot["their_price"],
        "decision": each[0]["decision"] if barred else "",
        **{
            name: list(dict.fromkeys([said for one in each for said in one[name]]))
            for name in ("dangers", "tags", "cautions")
        },
    }
