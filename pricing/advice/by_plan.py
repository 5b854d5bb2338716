"""What a fixed unit comes to when it is listed by the very plan that `ask` would give: sale price,
days, and what keeping it costs until then. Offer and bench reckon with these, so that no two
screens expect different things of one unit.

    value of a fixed unit = sale (1 - fee) - fee_fixed - a day's holding x days held

A like unit whose price stands at k times this one's sells by the same plan at k times its asks: it
brings k times the sale, in the same days. What a plan of its own would bring differs by the steps
that asks are written in, one part in a hundred.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import islice
from typing import Any

import numpy as np

from pricing.advice import ask, listing
from pricing.advice.ask import Span
from pricing.basis.columns import MINUTES
from pricing.basis.frozen import frozen
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.model.saved import Saved

OF_A_FIXED_ONE = ("price",)  # what a person knows of it that the plan needs
# What buyers of a fixed unit neither see nor pay for
NOT_PRICED = ("unit", "fault", "found", "miles", "hours", "note", "serial", "model", *MINUTES)


@frozen
class ByPlan:
    """One unit, as if it stood there fixed. sale: mean sale price along the plan, clearing out
    included, and sd its standard deviation; moves: what it rises by with ln of what the unit is
    worth; span: its middle and the ends of its range; days: by which half like it sell, and between
    which four in five do (`coverage`); usual: mean price at the usual way of asking, blanks
    apart; standing: whose the days are; held: mean days until it is sold or cleared; holding: money
    a day; by_age: the same at each of the ages that it may have, where they are several: years far
    apart are asked for in ways far apart."""

    sale: float
    sd: float
    moves: float
    span: Span
    days: tuple[float, float, float]
    standing: str
    usual: float
    held: float
    holding: float
    by_age: tuple[ByPlan, ...] = ()

    def at(self, age: int) -> ByPlan:
        """The plan at one of the ages it may have, by its place among them."""
        return self.by_age[age] if self.by_age else self


Key = tuple[Any, ...]
Plans = dict[Key, "ByPlan"]  # found already, for as long as the numbers and the day stay


def by_plan(
    questions: Sequence[Question],
    numbers: Saved,
    settings: Settings,
    as_of: date,
    found: Plans | None = None,
) -> list[ByPlan]:
    """The same for many units, each equal to what it is asked alone. found: kept from one call to
    the next; units that differ in nothing a buyer pays for share one."""
    known: Plans = {} if found is None else found
    fixed = [_fixed(one) for one in questions]
    keys = [_key(one) for one in fixed]
    new = {key: one for key, one in zip(keys, fixed, strict=True) if key not in known}
    if new:
        known.update(zip(new, _plans(list(new.values()), numbers, settings, as_of), strict=True))
    return [known[key] for key in keys]


def _key(fixed: Question) -> Key:
    """What a plan hangs on."""
    unit = tuple(sorted(one for one in fixed.unit.items() if one[0] not in NOT_PRICED))
    return unit, fixed.known.get("price"), fixed.made


def _plans(
    fixed: Sequence[Question], numbers: Saved, settings: Settings, as_of: date
) -> list[ByPlan]:
    ages = [one.ages(as_of) if len(one.made) > 1 else () for one in fixed]
    apart = [one.with_unit(age=age) for one, its in zip(fixed, ages, strict=True) for age in its]
    asked = [*fixed, *apart]
    view = ask.look(asked, numbers, settings, as_of)
    plans = [_one(view, place, one, numbers, settings) for place, one in enumerate(asked)]
    each = iter(plans[len(fixed) :])
    return [
        replace(plan, by_age=tuple(islice(each, len(its)))) if its else plan
        for plan, its in zip(plans, ages, strict=False)
    ]


def _fixed(question: Question) -> Question:
    """The unit as it will be listed: no days on the market yet."""
    unit = {name: value for name, value in question.unit.items() if name not in ("listed", "asked")}
    known = {name: question.known[name] for name in OF_A_FIXED_ONE if name in question.known}
    return replace(question, unit=unit, known=known)


def _one(
    view: ask.View, place: int, question: Question, numbers: Saved, settings: Settings
) -> ByPlan:
    at, _ = ask.terms_of(question, view, place, numbers, settings)
    found = listing.best(view.demands[place], at)
    prices, chance = ask.sale_law(view, place, found, at)
    sale = float(prices @ chance)
    # blanks are worth exp(b) of it, by the mean: E b = -blank / 2
    square = float(prices**2 @ chance) * float(np.exp(view.blank[place]))
    sd = float(np.sqrt(max(square - sale**2, 0.0)))
    talk = (float(view.haggle.full_share[place]), float(view.haggle.off_sd[place]))
    moves = listing.money_per_ln(found, view.demands[place], at.share, *talk)
    tail = (1 - settings.coverage) / 2
    low, middle, high = (listing.day_sold(found, level) for level in (tail, 0.5, 1 - tail))
    return ByPlan(
        sale=sale,
        sd=sd,
        moves=moves,
        span=ask.span_of(prices, chance, settings.coverage, view.wider[place]),
        days=(middle, max(low, 1.0), high),
        standing=ask.days_standing(view, place),
        usual=float(view.mean_known[place]),
        held=listing.days_held(found),
        holding=at.holding,
    )
