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

THINNED, AT_ONCE = 4, 32
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
    # one that is not fixed has no sale price, so that the same dimension serves for what it brings
    normal = points.normal_points(5)[:, PRICE]
    dud = np.exp(assumed.DUD_SD * normal - assumed.DUD_SD**2 / 2)
    size = len(at.owner)
    # some candidates at a time: what is drawn of them stays in the processor's cache
    parts = [
        _drawn(at, worth, paid, settings, dud, np.arange(start, min(start + AT_ONCE, size)))
        for start in range(0, size, AT_ONCE)
    ]
    under, reached = (np.concatenate([part[k] for part in parts]) for k in (0, 1))
    ends = np.concatenate([part[2] for part in parts], axis=1)
    as_it_is = (np.outer(at.if_not, dud) < (worth.trip_money + paid)[:, None]).mean(axis=1)
    loss = np.where(worth.pays, at.total(under), as_it_is)
    cautious = _cautious(at, worth, dud, ends, settings.cautious_loss_chance)
    return Chances(np.clip(loss, 0, 1), np.clip(at.total(reached), 0, 1), cautious)


def _drawn(
    at: Stakes,
    worth: Worth,
    paid: np.ndarray,
    settings: Settings,
    dud: np.ndarray,
    rows: np.ndarray,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Of some candidates, (k,): chance of a loss and of the target, and the gains by the thinned
    points of one fixed, fixed and back, not fixed, not fixed and a part wasted, (4, k, m)."""
    owner, view = at.owner[rows], at.view
    uniform, normal = points.lattice(5), points.normal_points(5)

    def own(name: str) -> np.ndarray:
        known = [at.questions[i].known.get(name, np.nan) for i in owner.tolist()]
        return np.array(known)[:, None]

    def told(name: str, drawn: np.ndarray) -> np.ndarray:
        value = own(name)
        return np.where(np.isfinite(value), value, drawn) if np.isfinite(value).any() else drawn

    def law(log: np.ndarray, variance: np.ndarray, dimension: int) -> np.ndarray:
        spread = np.sqrt(variance[rows])[:, None] * normal[:, dimension]
        return np.exp(log[rows][:, None] + spread)

    prices = price.draws(at.law.take(rows), uniform[:, PRICE])
    sale = told("price", prices * at.over_usual[owner, None])
    size = told("parts", law(view.parts_log, view.parts_var, PART))
    bought = np.isfinite(own("parts")) | (uniform[:, NO_PART] >= view.no_parts[rows][:, None])
    bench, sell = (
        law(view.hours_log, view.hours_var, BENCH),
        law(view.sell_log, view.sell_var, SELL),
    )
    trip, trip_hours = worth.trip_money[owner, None], worth.trip_hours[owner, None]
    fees = sale * settings.selling_fee_share + settings.selling_fee_fixed
    done = sale - fees - size * bought - trip
    hours = told("hours", bench + sell + at.comeback_hours[owner, None])
    lost = at.if_not[owner, None] * dud - trip  # not fixed, no part wasted
    lost_hours = told("hours", bench * np.exp(view.failed_log) + at.rest[owner, None])
    price_paid, back, fix = paid[owner, None], at.back[owner], at.fix[rows]
    # The few that come back cost all of it, the others none
    ends = (done, done - settings.comeback_cost, lost, lost - size)

    def share(so: Callable[[np.ndarray, np.ndarray], np.ndarray]) -> np.ndarray:
        work = (hours, hours, lost_hours, lost_hours)
        kept, come, whole, part = (
            so(money, spent).mean(axis=1) for money, spent in zip(ends, work, strict=True)
        )
        failed = (1 - view.waste) * whole + view.waste * part
        return fix * ((1 - back) * kept + back * come) + (1 - fix) * failed

    def reaches(money: np.ndarray, work: np.ndarray) -> np.ndarray:
        return money - price_paid >= settings.hourly_target * (work + trip_hours)

    goes = at.goes[rows]
    left = reaches(lost, at.rest[owner, None] + at.looked[rows][:, None]).mean(axis=1)
    reached = goes * share(reaches) + (1 - goes) * left
    # every fourth point is a lattice too, and a quantile to the dollar needs no more
    thin = np.stack([gain[:, ::THINNED] for gain in ends])
    return share(lambda money, _: money < price_paid), reached, thin


def _cautious(
    at: Stakes, worth: Worth, dud: np.ndarray, thin: np.ndarray, chance: float
) -> np.ndarray:
    """The `chance` quantile of the gain at nothing paid: more paid loses more often. thin: gains of
    fixed, back, not fixed, part wasted, (4, c, m); dud: factor of what a dud brings."""
    m = thin.shape[2]
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
