"""The chance to lose money and the chance to make the hour's pay, over the whole law of price,
parts and hours.

Repair and fix are summed exactly over their chances; price, parts and hours are drawn at the same
2,048 evenly spread points for every question (`model/points`), so the same question has the same
answer and answers move smoothly with what is asked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from pricing.advice.costs import Stakes, Worth
from pricing.basis.frozen import frozen
from pricing.model import points
from pricing.model.price import price

if TYPE_CHECKING:
    from pricing.basis.settings import Settings

THINNED = 4
PRICE, NO_PART, PART, BENCH, SELL = range(5)  # the dimensions of the points


@frozen
class Chances:
    """Per case, shape (n,), loss and cautious of going on with it, as long as that brings more
    money than leaving it as it is, hours not counted; target of whichever is worth more with the
    hours. loss: P(profit < 0); target: P(profit >= hours x target), both at the price paid;
    cautious: the most to pay at which the chance of loss is no more than `cautious_loss_chance`.
    """

    loss: np.ndarray
    target: np.ndarray
    cautious: np.ndarray


def chances(at: Stakes, worth: Worth, paid: np.ndarray, settings: Settings) -> Chances:
    """At these prices paid, shape (n,). Profit counts all money and no hours; the comeback reserve
    counts as spent."""
    owner = at.owner
    uniform, normal = points.lattice(5), points.normal_points(5)

    def own(name: str) -> np.ndarray:
        return np.array([question.known.get(name, np.nan) for question in at.questions])[
            owner, None
        ]

    def told(name: str, drawn: np.ndarray) -> np.ndarray:
        if not any(name in question.known for question in at.questions):
            return drawn
        value = own(name)
        return np.where(np.isfinite(value), value, drawn)

    view = at.view
    sale = told("price", price.draws(at.law, uniform[:, PRICE]))
    size = told(
        "parts",
        np.exp(view.parts_log[:, None] + np.sqrt(view.parts_var)[:, None] * normal[:, PART]),
    )
    bought = np.isfinite(own("parts")) | (uniform[:, NO_PART] >= view.no_parts[:, None])
    bench = np.exp(view.hours_log[:, None] + np.sqrt(view.hours_var)[:, None] * normal[:, BENCH])
    sell = np.exp(view.sell_log[:, None] + np.sqrt(view.sell_var)[:, None] * normal[:, SELL])
    trip, trip_hours = worth.trip_money[owner, None], worth.trip_hours[owner, None]
    done = (
        sale * (1 - settings.selling_fee_share)
        - settings.selling_fee_fixed
        - at.comeback[owner, None]
        - size * bought
        - trip
    )
    hours = told("hours", bench + sell + at.comeback_hours[owner, None])
    lost = at.if_not[owner, None] - trip  # not fixed, no part wasted
    lost_part = lost - size
    lost_hours = told("hours", bench * np.exp(view.failed_log) + view.failed_rest)
    target = settings.hourly_target
    price_paid = paid[owner, None]

    def share(done_so: np.ndarray, lost_so: np.ndarray, lost_part_so: np.ndarray) -> np.ndarray:
        failed = (1 - view.waste) * lost_so.mean(axis=1) + view.waste * lost_part_so.mean(axis=1)
        return at.total(at.fix * done_so.mean(axis=1) + (1 - at.fix) * failed)

    loss = share(done < price_paid, lost < price_paid, lost_part < price_paid)

    def reach(money: np.ndarray, work: np.ndarray) -> np.ndarray:
        reached_so: np.ndarray = money - price_paid >= target * (work + trip_hours)
        return reached_so

    reached = share(reach(done, hours), reach(lost, lost_hours), reach(lost_part, lost_hours))
    left = at.if_not - worth.trip_money - paid  # where nothing is tried
    rest = view.failed_rest + worth.trip_hours
    loss = np.where(worth.pays, loss, left < 0)
    reached = np.where(worth.tries, reached, left >= target * rest)
    return Chances(
        np.clip(loss, 0, 1),
        np.clip(reached, 0, 1),
        _cautious(at, worth, done, lost[:, 0], lost_part, settings.cautious_loss_chance),
    )


def _cautious(
    at: Stakes,
    worth: Worth,
    done: np.ndarray,
    lost: np.ndarray,
    lost_part: np.ndarray,
    chance: float,
) -> np.ndarray:
    """The `chance` quantile of the gain at nothing paid, per case: more paid than that loses more
    often."""
    done, lost_part = (
        done[:, ::THINNED],
        lost_part[:, ::THINNED],
    )  # every fourth point is a lattice too, and a quantile to the dollar needs no more
    m = done.shape[1]
    limits = np.empty(at.n)
    ends = np.searchsorted(at.owner, np.arange(at.n + 1))
    for i in range(at.n):
        part = slice(ends[i], ends[i + 1])
        if not worth.pays[i]:
            limits[i] = at.if_not[i] - worth.trip_money[i]
            continue
        fixed, failed = at.chance[part] * at.fix[part], at.chance[part] * (1 - at.fix[part])
        waste = at.view.waste
        gains = np.concatenate([done[part].ravel(), lost[part], lost_part[part].ravel()])
        weights = np.concatenate(
            [np.repeat(fixed / m, m), failed * (1 - waste), np.repeat(failed * waste / m, m)]
        )
        limits[i] = quantile(gains, weights, chance)
    return limits


def quantile(values: np.ndarray, weights: np.ndarray, chance: float) -> float:
    """The smallest value at or below which the weight is at least `chance` of the whole.

    >>> quantile(np.array([3.0, 1.0, 2.0]), np.array([1.0, 1.0, 2.0]), 0.5)
    2.0
    """
    order = np.argsort(values, kind="stable")
    reached = np.cumsum(weights[order])
    return float(
        values[order[min(np.searchsorted(reached, chance * reached[-1] - 1e-12), len(order) - 1)]]
    )
