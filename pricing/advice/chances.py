"""The chance to lose money and to make the hour's pay, over the whole law of price, parts and
hours. Repair and fix are summed exactly; price, parts and hours are drawn at the same 2,048 evenly
spread points for every question (`model/points`), so that answers move smoothly with what is
asked."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pricing.advice.costs import Stakes, Worth
from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.model import points
from pricing.model.price import price

THINNED = 4
PRICE, NO_PART, PART, BENCH, SELL = range(5)  # the dimensions of the points


@frozen
class Chances:
    """Per case, (n,), loss and cautious of going on, as long as that brings more money than leaving
    it; target of what the bench would then do. loss: P(profit < 0); target: P(profit >= hours x
    target), at the price paid; cautious: the most to pay at `cautious_loss_chance`."""

    loss: np.ndarray
    target: np.ndarray
    cautious: np.ndarray


def chances(at: Stakes, worth: Worth, paid: np.ndarray, settings: Settings) -> Chances:
    """At these prices paid, (n,). Profit counts all money and no hours; a dud's has a spread."""
    owner = at.owner
    uniform, normal = points.lattice(5), points.normal_points(5)

    def own(name: str) -> np.ndarray:
        each = [question.known.get(name, np.nan) for question in at.questions]
        return np.array(each)[owner, None]

    def told(name: str, drawn: np.ndarray) -> np.ndarray:
        if not any(name in question.known for question in at.questions):
            return drawn
        value = own(name)
        return np.where(np.isfinite(value), value, drawn)

    view = at.view
    # one that is not fixed has no sale price, so that the same dimension serves for what it brings
    dud = np.exp(assumed.DUD_SD * normal[:, PRICE] - assumed.DUD_SD**2 / 2)
    sale = told("price", price.draws(at.law, uniform[:, PRICE]) * at.over_usual[owner, None])
    apart = np.sqrt(view.parts_var)[:, None] * normal[:, PART]
    size = told("parts", np.exp(view.parts_log[:, None] + apart))
    bought = np.isfinite(own("parts")) | (uniform[:, NO_PART] >= view.no_parts[:, None])
    bench = np.exp(view.hours_log[:, None] + np.sqrt(view.hours_var)[:, None] * normal[:, BENCH])
    sell = np.exp(view.sell_log[:, None] + np.sqrt(view.sell_var)[:, None] * normal[:, SELL])
    trip, trip_hours = worth.trip_money[owner, None], worth.trip_hours[owner, None]
    fees = sale * settings.selling_fee_share + settings.selling_fee_fixed
    done = sale - fees - size * bought - trip
    hours = told("hours", bench + sell + at.comeback_hours[owner, None])
    lost = at.if_not[owner, None] * dud - trip  # not fixed, no part wasted
    lost_part = lost - size
    lost_hours = told("hours", bench * np.exp(view.failed_log) + at.rest[owner, None])
    target = settings.hourly_target
    price_paid = paid[owner, None]

    back = at.back[owner]
    # The few that come back cost all of it, the others none
    done_back = done - settings.comeback_cost

    def share(so: Callable[[np.ndarray, np.ndarray], np.ndarray]) -> np.ndarray:
        kept, come = (so(money, hours).mean(axis=1) for money in (done, done_back))
        whole, part = (so(money, lost_hours).mean(axis=1) for money in (lost, lost_part))
        failed = (1 - view.waste) * whole + view.waste * part
        return at.fix * ((1 - back) * kept + back * come) + (1 - at.fix) * failed

    def reaches(money: np.ndarray, work: np.ndarray) -> np.ndarray:
        return money - price_paid >= target * (work + trip_hours)

    as_it_is = (np.outer(at.if_not, dud) < (worth.trip_money + paid)[:, None]).mean(axis=1)
    loss = np.where(worth.pays, at.total(share(lambda money, _: money < price_paid)), as_it_is)
    left = reaches(lost, at.left[1][:, None] + at.looked[:, None]).mean(axis=1)
    reached = at.total(at.goes * share(reaches) + (1 - at.goes) * left)
    ends = (done, done_back, lost, lost_part)
    cautious = _cautious(at, worth, dud, ends, settings.cautious_loss_chance)
    return Chances(np.clip(loss, 0, 1), np.clip(reached, 0, 1), cautious)


def _cautious(
    at: Stakes,
    worth: Worth,
    dud: np.ndarray,
    ends: tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray],
    chance: float,
) -> np.ndarray:
    """The `chance` quantile of the gain at nothing paid: more paid loses more often. ends: gains of
    fixed, back, not fixed, part wasted, (c, m) each; dud: factor of what a dud brings, (m,)."""
    # every fourth point is a lattice too, and a quantile to the dollar needs no more
    thin = [gain[:, ::THINNED] for gain in ends]
    m = thin[0].shape[1]
    limits = np.empty(at.n)
    starts = np.searchsorted(at.owner, np.arange(at.n + 1))
    even = np.full(m, 1.0)
    for i in range(at.n):
        part = slice(starts[i], starts[i + 1])
        if not worth.pays[i]:
            brought = at.if_not[i] * dud[::THINNED] - worth.trip_money[i]
            limits[i] = quantile(brought, even, chance)
            continue
        fixed, failed = at.chance[part] * at.fix[part], at.chance[part] * (1 - at.fix[part])
        back, waste = at.back[i], at.view.waste
        shares = (fixed * (1 - back), fixed * back, failed * (1 - waste), failed * waste)
        gains = np.concatenate([gain[part].ravel() for gain in thin])
        weights = np.concatenate([np.repeat(one / m, m) for one in shares])
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
