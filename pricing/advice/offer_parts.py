"""What stands behind an offer, in the words and sums of a page: candidate repairs, range, costs,
standing, reasons, warnings."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from pricing.advice import costs
from pricing.advice.chances import Chances, quantile
from pricing.advice.offer_record import ByYear, Candidate, Costs, Sold
from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_faults, assumed_types
from pricing.basis.words import column_words, family_of, squash
from pricing.formulas import nearest_word
from pricing.formulas.faults import UNTOLD
from pricing.formulas.nearest_word import nearest
from pricing.formulas.repairs_needed import ELSE
from pricing.model import points
from pricing.model.price import price
from pricing.model.standing import standing
from pricing.wording import unknown_words

if TYPE_CHECKING:
    from pricing.advice.by_plan import ByPlan
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved


@frozen
class Cases:
    """The evaluated cases of a block: which question each belongs to, its weight there, and all
    about it."""

    owner: np.ndarray
    weight: np.ndarray
    ages: Sequence[float | None]
    at: costs.Stakes
    worth: costs.Worth
    base: price.PriceLaw
    odds: Chances


def candidates(at: costs.Stakes, mine: np.ndarray, weight: np.ndarray) -> tuple[Candidate, ...]:
    """The repairs it may turn out to need, likeliest first, over the years it may have been
    made."""
    sums: dict[str, np.ndarray] = {}
    for case, share in zip(mine.tolist(), weight.tolist(), strict=True):
        for j in np.flatnonzero(at.owner == case).tolist():
            one = (
                share
                * at.chance[j]
                * np.array([1.0, at.fix[j], at.parts[j], at.view.hours_mean[j]])
            )
            sums[at.view.repair[j]] = sums.get(at.view.repair[j], np.zeros(4)) + one
    ranked = sorted(sums.items(), key=lambda pair: (pair[0] == ELSE, -pair[1][0], pair[0]))
    return tuple(
        Candidate(
            name or "something else",
            *(float(total[0]), *(float(value) for value in total[1:] / total[0])),
        )
        for name, total in ranked
        if total[0] > 0
    )


def sold(question: Question, plan: ByPlan) -> Sold:
    """What it sells for once it is fixed, as `ask` would list it; the person's own number where
    there is one."""
    told = question.known.get("price")
    if told is not None:
        return Sold(told, told, told, told)
    return Sold(plan.span.median, plan.span.low, plan.span.high, plan.sale)


def spent(
    at: costs.Stakes,
    worth: costs.Worth,
    mine: np.ndarray,
    weight: np.ndarray,
    trip: costs.Trip,
    question: Question,
    settings: Settings,
) -> Costs:
    """Expected money and hours by kind, duds counted."""

    def mean(values: np.ndarray) -> float:
        return float(weight @ at.total(values)[mine])

    fixed = mean(at.fix)
    left = 0.5 if question.at_curb else 1.0
    tries = bool(worth.tries[mine].any())
    bench = (
        mean(
            at.fix * at.view.hours_mean
            + (1 - at.fix) * at.view.hours_mean * math.exp(at.view.failed_log)
        )
        if tries
        else 0.0
    )
    back = float(weight @ at.comeback_hours[mine]) * fixed if tries else 0.0
    total = float(weight @ worth.hours[mine])
    if "hours" in question.known:
        bench, back = min(bench, total), 0.0
    parts = _parts_spread(at, mine, weight, question, settings)
    return Costs(
        truck=trip.truck * left,
        helper=trip.helper,
        parts=mean(at.fix * at.parts + (1 - at.fix) * at.wasted) if tries else 0.0,
        parts_if_fixed=mean(at.fix * at.parts) / max(fixed, 1e-9),
        parts_low=parts[0],
        parts_high=parts[1],
        comebacks=float(weight @ at.comeback[mine]) * fixed if tries else 0.0,
        fees=(
            mean(at.fix * (at.price * settings.selling_fee_share + settings.selling_fee_fixed))
            if tries
            else 0.0
        ),
        drive_hours=(trip.hours - trip.load_hours) * left,
        load_hours=trip.load_hours,
        bench_hours=bench,
        clean_sell_hours=max(total - bench - back, 0.0),
        comeback_hours=back,
    )


def _parts_spread(
    at: costs.Stakes, mine: np.ndarray, weight: np.ndarray, question: Question, settings: Settings
) -> tuple[float, float]:
    """Ends of the parts money of the fixed ones, over the candidate repairs."""
    told = question.known.get("parts")
    if told is not None:
        return told, told
    normal = points.normal_points(1)[::16, 0]
    values, weights = [np.zeros(0)], [np.zeros(0)]
    for case, share in zip(mine.tolist(), weight.tolist(), strict=True):
        for j in np.flatnonzero(at.owner == case).tolist():
            each = share * at.chance[j] * at.fix[j]
            bought = np.exp(at.view.parts_log[j] + math.sqrt(at.view.parts_var[j]) * normal)
            values.append(np.concatenate([[0.0], bought]))
            weights.append(
                each
                * np.concatenate(
                    [
                        [at.view.no_parts[j]],
                        np.full(len(normal), (1 - at.view.no_parts[j]) / len(normal)),
                    ]
                )
            )
    value, share_of = np.concatenate(values), np.concatenate(weights)
    return quantile(value, share_of, (1 - settings.coverage) / 2), quantile(
        value, share_of, (1 + settings.coverage) / 2
    )


def standings(
    question: Question,
    cases: Cases,
    mine: np.ndarray,
    weight: np.ndarray,
    k_of_n: tuple[int, int, int],
    numbers: Saved,
    days: str,
) -> dict[str, str]:
    """How much of each line is the person's own. days: the line of the plan's days."""
    view = cases.at.view

    def mean(values: np.ndarray) -> float:
        return float(weight @ values[mine])

    _, n, near = k_of_n
    told = question.known
    spread, prior = cases.base.spread, cases.base.prior_spread
    removed = 1 - float(weight @ (spread[mine] ** 2 - cases.base.blank[mine])) / max(
        float(weight @ (prior[mine] ** 2)), 1e-300
    )
    own_price = price.n_of_type(numbers.price, question.type)
    lines = {
        "price": standing(removed, own_price, price.n_of_family(numbers.price, question.type)),
        "fix": standing(mean(view.fix_known), n, near),
        "parts": standing(mean(view.parts_known), n, near),
        "hours": standing(mean(view.hours_known), n, near),
        "days": days,
    }
    for name, option in (
        ("price", "price"),
        ("fix", "fix_chance"),
        ("parts", "parts"),
        ("hours", "hours"),
    ):
        if option in told:
            lines[name] = "your number"
    return lines


def by_year(question: Question, cases: Cases, mine: np.ndarray) -> tuple[ByYear, ...]:
    """Price and limit for each year it may have been made; none where there is only one."""
    if len(question.made) < 2:
        return ()
    told = question.known.get("price")
    return tuple(
        ByYear(
            year,
            float(cases.ages[case] or 0.0),
            told if told is not None else float(np.exp(cases.base.center[case])),
            float(cases.worth.worth[case]),
        )
        for year, case in zip(question.made, mine.tolist(), strict=True)
    )


def by_repair(
    at: costs.Stakes, worth: costs.Worth, mine: np.ndarray, weight: np.ndarray, settings: Settings
) -> tuple[tuple[float, float], ...]:
    """What the limit would be for each repair it may need, knowing which, and its chance."""
    target = settings.hour_worth
    money = at.fix * (at.net - at.parts) + (1 - at.fix) * (at.if_not[at.owner] - at.wasted)
    hours = at.fix * at.hours_fixed + (1 - at.fix) * at.hours_failed
    trip = (worth.trip_money + target * worth.trip_hours)[at.owner]
    left = (at.if_not - target * at.rest)[at.owner]
    kept = money - target * hours - at.keeping.sum(axis=0) + (1 - at.fix) * at.keeping[1]
    limits = np.where(worth.tries[at.owner], kept, left) - trip
    share = np.zeros(at.n)
    share[mine] = weight
    return tuple(
        (float(limits[j]), float(at.chance[j] * share[at.owner[j]]))
        for j in np.flatnonzero(share[at.owner] > 0).tolist()
    )


def because(
    at: costs.Stakes, worth: costs.Worth, mine: np.ndarray, weight: np.ndarray, settings: Settings
) -> tuple[tuple[str, float], ...]:
    """Terms that add up to pay_up_to."""

    def mean(values: np.ndarray) -> float:
        return float(weight @ values[mine])

    tries = worth.tries.astype(float)
    fee = at.price * settings.selling_fee_share + settings.selling_fee_fixed
    owner = at.owner
    terms = [
        ("sold, when fixed", mean(tries * at.total(at.fix * at.price))),
        ("selling fees", -mean(tries * at.total(at.fix * fee))),
        ("set by for comebacks", -mean(tries * at.total(at.fix * at.comeback[owner]))),
        (
            "parts, duds counted",
            -mean(tries * at.total(at.fix * at.parts + (1 - at.fix) * at.wasted)),
        ),
        ("if it beats you", mean(tries * at.total(1 - at.fix) * at.if_not)),
        ("left as it is", mean((1 - tries) * at.if_not)),
        ("truck and helper", -mean(worth.trip_money)),
        ("keeping it until it sells", -mean(worth.keeping)),
        ("your hours", -settings.hour_worth * mean(worth.hours + worth.trip_hours)),
    ]
    return tuple((term, amount) for term, amount in terms if abs(amount) > 1e-9)


def warnings(
    question: Question, row: assumed.AssumedFault, known: bool, numbers: Saved, settings: Settings
) -> list[str]:
    """What was not known and what was taken for it, one sentence each."""
    said = []
    fault = str(question.unit.get("fault") or "")
    if fault and not known:
        near = nearest_faults(fault, question.type, numbers, settings)
        said.append(unknown_words.fault(fault, near))
    types = list(assumed_types(settings))
    if question.type not in types and not price.n_of_type(numbers.price, question.type):
        said.append(unknown_words.type_of_offer(question.type, nearest(question.type, types)))
    if row.fault == UNTOLD and not fault:
        said.append(unknown_words.NO_FAULT_TOLD)
    return said


def nearest_faults(fault: str, type_name: str, numbers: Saved, settings: Settings) -> list[str]:
    """Up to three known faults of this kind of appliance that are spelled or worded most like this
    one."""
    kinds = assumed.fault_families(type_name, family_of(type_name, settings))
    names = dict.fromkeys(
        [row.fault for row in assumed_faults(settings) if row.family in kinds]
        + [what for what, which in numbers.repair.fixed_of if what and which == type_name]
    )
    return nearest_word.nearest_faults(fault, squash(fault), list(names), column_words("fault"))
