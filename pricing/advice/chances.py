"""The chance to lose money and to make the hour's pay, over the whole law of price, parts and
hours. Repair and fix are summed exactly; price, parts and hours are drawn at the same 2,048 evenly
spread points for every question (`model/points`), so that answers move smoothly with what is
asked."""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from numpy import ndarray as Array

from pricing.advice.costs import Stakes, Worth
from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.model import points
from pricing.model.price import price

AT_ONCE = 32
THINNED, NEAR = 16, 0.03  # of values, to find between which two a quantile lies
PRICE, NO_PART, PART, BENCH, SELL = range(5)  # the dimensions of the points


@frozen
class Chances:
    """Per case, (n,), loss and cautious of going on, as long as that brings more money than leaving
    it; target of what the bench would then do. loss: P(profit < 0); target: P(profit >= hours x
    target), at the price paid; cautious: the most to pay at `cautious_loss_chance`."""

    loss: Array
    target: Array
    cautious: Array


def chances(at: Stakes, worth: Worth, paid: Array, settings: Settings) -> Chances:
    """At these prices paid, (n,). Profit counts all money and no hours; a dud's has a spread."""
    # one that is not fixed has no sale price, so that the same dimension serves for what it brings
    normal = points.normal_points(5)[:, PRICE]
    dud = np.exp(assumed.DUD_SD * normal - assumed.DUD_SD**2 / 2)
    # some cases at a time: what is drawn of them stays in the processor's cache
    starts = np.searchsorted(at.owner, np.arange(at.n + 1))
    heads = np.unique(np.searchsorted(starts, np.arange(0, len(at.owner), AT_ONCE), "right") - 1)
    drawn = []
    for first, last in pairwise([*heads.tolist(), at.n]):
        rows = np.arange(starts[first], starts[last])
        under, reached, ends = _drawn(at, worth, paid, settings, dud, rows)
        mine = (ends[:, at.owner[rows] == i] for i in range(first, last))
        most = [_cautious(at, worth, dud, first + k, its, settings) for k, its in enumerate(mine)]
        drawn.append((under, reached, np.array(most)))
    under, reached, cautious = (np.concatenate([part[k] for part in drawn]) for k in range(3))
    as_it_is = (np.outer(at.if_not, dud) < (worth.trip_money + paid)[:, None]).mean(axis=1)
    loss = np.where(worth.pays, at.total(under), as_it_is)
    return Chances(np.clip(loss, 0, 1), np.clip(at.total(reached), 0, 1), cautious)


def _drawn(
    at: Stakes, worth: Worth, paid: Array, settings: Settings, dud: Array, rows: Array
) -> tuple[Array, Array, Array]:
    """Of some candidates, (k,): chance of a loss and of the target, and the gains of one fixed,
    fixed and back, not fixed, not fixed and a part wasted, (4, k, m)."""
    owner, view = at.owner[rows], at.view
    uniform, normal = points.lattice(5), points.normal_points(5)

    def own(name: str) -> Array:
        known = [at.questions[i].known.get(name, np.nan) for i in owner.tolist()]
        return np.array(known)[:, None]

    def told(name: str, drawn: Array) -> Array:
        value = own(name)
        return np.where(np.isfinite(value), value, drawn) if np.isfinite(value).any() else drawn

    def law(log: Array, variance: Array, dimension: int) -> Array:
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

    def share(so: Callable[[Array, Array], Array]) -> Array:
        work = (hours, hours, lost_hours, lost_hours)
        kept, come, whole, part = (
            so(money, spent).mean(axis=1) for money, spent in zip(ends, work, strict=True)
        )
        failed = (1 - view.waste) * whole + view.waste * part
        return fix * ((1 - back) * kept + back * come) + (1 - fix) * failed

    def reaches(money: Array, work: Array) -> Array:
        return money - price_paid >= settings.hourly_target * (work + trip_hours)

    goes = at.goes[rows]
    left = reaches(lost, at.rest[owner, None] + at.looked[rows][:, None]).mean(axis=1)
    reached = goes * share(reaches) + (1 - goes) * left
    return share(lambda money, _: money < price_paid), reached, np.stack(ends)


def _cautious(
    at: Stakes, worth: Worth, dud: Array, i: int, ends: Array, settings: Settings
) -> float:
    """The most to pay for case i at `cautious_loss_chance`, that quantile of the gain at nothing
    paid. ends: gains of fixed, back, not fixed, part wasted, (4, k, m); dud: factor of what a dud
    brings."""
    chance, mine = settings.cautious_loss_chance, at.owner == i
    if not worth.pays[i]:
        brought = at.if_not[i] * dud - worth.trip_money[i]
        return quantile(brought, np.full(len(dud), 1.0), chance)
    fixed, failed = at.chance[mine] * at.fix[mine], at.chance[mine] * (1 - at.fix[mine])
    back, waste = at.back[i], at.view.waste
    shares = (fixed * (1 - back), fixed * back, failed * (1 - waste), failed * waste)
    return quantile(ends.ravel(), np.repeat(np.concatenate(shares), len(dud)), chance)


def quantile(values: Array, weights: Array, chance: float) -> float:
    """The smallest value at or below which the weight is at least `chance` of the whole. Of many
    values only those between two of every sixteenth are put in order.

    >>> quantile(np.array([3.0, 1.0, 2.0]), np.array([1.0, 1.0, 2.0]), 0.5)
    2.0
    """
    wanted, below = chance * float(weights.sum()) - 1e-12, 0.0
    if len(values) > 64 * THINNED:
        some = (values[::THINNED], weights[::THINNED])
        low, high = (quantile(*some, one) for one in (chance - NEAR, chance + NEAR))
        under, near = values <= low, (values > low) & (values <= high)
        before, inside = float(weights[under].sum()), weights[near]
        if before < wanted <= before + float(inside.sum()):
            values, weights, below = values[near], inside, before
    order = np.argsort(values, kind="stable")
    reached = below + np.cumsum(weights[order])
    place = int(np.searchsorted(reached, wanted))
    return float(values[order[min(place, len(order) - 1)]])
