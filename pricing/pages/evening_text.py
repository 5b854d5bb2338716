"""An evening's calls as a table: which to take, in what order, and the second-best plan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pricing.basis.problems import Problem
from pricing.formulas.limit import HAUL, IF_FREE, IF_PAID
from pricing.pages.text import columns, limit, money, wrap

if TYPE_CHECKING:
    from pricing.advice.evening import EveningPlan
    from pricing.advice.offer_record import OfferAnswer
    from pricing.basis.settings import Settings
    from pricing.pipeline.offering import EveningAnswer

WORD = {HAUL: "GO", IF_FREE: "IF FREE", IF_PAID: "IF PAID"}
MOST_ROWS = 40
ENDS = ("median", "low", "high")


def evening_lines(
    answers: Sequence[OfferAnswer | Problem], plan: EveningAnswer, settings: Settings
) -> list[str]:
    """The plan first, then every call; rows that could not be read are named last."""
    currency = settings.currency
    rows = [("", "call", "pay up to", "they want", "per hour", "fix")]
    order = {place: turn for turn, place in enumerate(plan.best.taken, start=1)}
    read = [(place, one) for place, one in enumerate(answers) if not isinstance(one, Problem)]
    read.sort(key=lambda pair: (order.get(pair[0], 999), pair[0]))
    for place, one in read[:MOST_ROWS]:
        wants = "?" if one.their_price is None else money(one.their_price, currency)
        left = "-" if one.advice == HAUL else WORD.get(one.advice, "PASS")
        turn = str(order[place]) if place in order else left
        most, per_hour = limit(one.pay_up_to, currency), money(one.return_per_hour, currency)
        chance = f"{one.fix_chance * 100:.0f}%"
        rows.append((turn, _short(one, place), most, wants, per_hour, chance))
    lines = [*_decision(answers, plan, settings), "", *columns(rows, right=(2, 3, 4, 5), gap=1)]
    if len(read) > MOST_ROWS:
        lines.append(f"… and {len(read) - MOST_ROWS} more; --json shows all")
    unread = (one for one in answers if isinstance(one, Problem))
    return [*lines, *(line for one in unread for line in wrap(f"Not read: {one}", "  "))]


def _short(one: OfferAnswer, place: int) -> str:
    unit = one.question.unit
    text = f"{place + 1} {unit.get('unit') or ''} {one.question.type}".replace("  ", " ")
    return text if len(text) <= 24 else text[:23] + "…"


def _decision(
    answers: Sequence[OfferAnswer | Problem], plan: EveningAnswer, settings: Settings
) -> list[str]:
    currency = settings.currency
    if not plan.best.taken:
        return wrap("TAKE NONE of them at these prices, hours and spots.")
    many = len(plan.best.taken) > 1
    order = f"call{'s' * many} {_names(plan.best)}{', in this order' * many}"
    ahead, hour = limit(plan.best.worth, currency), money(settings.hour_worth, currency)
    lines = wrap(f"TAKE {order}: about {ahead} ahead after your {hour} an hour.")
    if many:
        about, low, high = (limit(plan.sells_for[one], currency) for one in ENDS)
        lines += wrap(f"Fixed, in all: {about}, most likely {low} to {high}.")
    left = f"{plan.best.hours_left:.1f} of {plan.hours_free:g} hours, " * (plan.hours_free < 24)
    lines += wrap(f"Left: {left}{plan.best.spots_left} of {plan.spots_free} spots.")
    if plan.second is not None:
        second = _names(plan.second) if plan.second.taken else "none"
        lines += wrap(f"Second best: {second}, {limit(plan.second.worth, currency)}.")
    if len(plan.look_first) > 1:
        looks = ((place + 1, limit(stop, currency)) for place, stop in plan.look_first[:3])
        steps = "; then ".join(f"{n} (stop there if it looks worth {stop})" for n, stop in looks)
        lines += wrap(f"One spot: look at {steps}.", "  ")
    return lines


def _names(plan: EveningPlan) -> str:
    names = [str(place + 1) for place in plan.taken]
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
