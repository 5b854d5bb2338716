"""What stands behind an offer: candidate repairs, range, costs, standing, reasons, warnings."""

import math
from collections.abc import Sequence
from types import SimpleNamespace

import numpy as np

from pricing.advice import chances, costs
from pricing.advice.by_plan import ByPlan
from pricing.advice.offer_record import ByYear, Candidate, Costs, Sold
from pricing.basis import assumed, own_rows
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.words import column_words, family_of, squash
from pricing.formulas import faults, nearest_word, offer_sums
from pricing.formulas.nearest_word import nearest
from pricing.model import points
from pricing.model.price import price
from pricing.model.saved import Saved
from pricing.wording import unknown_words

# What the sums of an offer read of each case, and of each repair that it may turn out to need:
# numbers of `costs.Stakes`, `costs.Worth`, `outlook.Outlook` and `chances.Chances` by their names.
OF_STAKES = ("if_not", "rest", "comeback", "comeback_hours")
OF_WORTH = ("money", "hours", "tries", "worth", "trip_money", "trip_hours", "keeping")
OF_VIEW, OF_ODDS = ("fix_known", "parts_known", "hours_known"), ("loss", "target", "cautious")
OF_EACH = (
    *("chance", "fix", "price", "net", "parts", "wasted", "hours_fixed", "hours_failed"),
    *("looked", "goes"),
)
OF_AHEAD = ("hours_mean", "parts_log", "parts_var", "no_parts")
Case = SimpleNamespace


def cases_of(
    at: costs.Stakes,
    worth: costs.Worth,
    base: price.PriceLaw,
    ages: Sequence[float | None],
    odds: chances.Chances,
) -> list[Case]:
    """The evaluated cases of a block. center, left, before: of ln price, the middle, the variance
    that is left and that before any sale; failed: hours of a failed try, as a share; each: the
    repairs, keeping of which is what it costs on the bench, and listed once fixed."""
    view, ahead = at.view, ahead_of(at)
    ends = np.searchsorted(at.owner, np.arange(at.n + 1)).tolist()
    of_law = {"center": base.center, "left": base.spread**2 - base.blank}
    of_law |= {"before": base.prior_spread**2, "owner": np.arange(at.n)}
    read = ((at, OF_STAKES), (worth, OF_WORTH), (view, OF_VIEW), (odds, OF_ODDS))
    found = _records(*read, **of_law)
    for case in found:
        case.each = ahead[ends[case.owner] : ends[case.owner + 1]]
        case.age, case.failed = ages[case.owner], math.exp(view.failed_log)
        case.trip, case.row = at.trips[case.owner], view.rows[case.owner]
    return found


def ahead_of(at: costs.Stakes) -> list[SimpleNamespace]:
    """The repairs of all cases, case by case."""
    more = {"repair": np.array(at.view.repair), "keeping": at.keeping.T}
    return _records((at, OF_EACH), (at.view, OF_AHEAD), **more)


def _records(*of: tuple[object, tuple[str, ...]], **more: np.ndarray) -> list[SimpleNamespace]:
    """Columns, of records by the names read, as rows that have them by name."""
    columns = {name: getattr(one, name) for one, names in of for name in names} | more
    rows = zip(*(column.tolist() for column in columns.values()), strict=True)
    return [SimpleNamespace(**dict(zip(columns, row, strict=True))) for row in rows]


def candidates(cases: Sequence[Case]) -> tuple[Candidate, ...]:
    """The repairs it may turn out to need, likeliest first."""
    return tuple(Candidate(*row) for row in offer_sums.candidates(cases))


def sold(question: Question, plan: ByPlan) -> Sold:
    """What it sells for once fixed, as `ask` would list it; or the person's own number."""
    told = question.known.get("price")
    if told is not None:
        return Sold(told, told, told, told)
    return Sold(plan.span.median, plan.span.low, plan.span.high, plan.sale)


def spent(cases: Sequence[Case], question: Question, settings: Settings) -> Costs:
    """Expected money and hours by kind, duds counted."""
    low, high = _parts_spread(cases, question, settings)
    sums = offer_sums.spent(cases, question.at_curb, question.known, settings)
    return Costs(**sums, parts_low=low, parts_high=high)


def _parts_spread(
    cases: Sequence[Case], question: Question, settings: Settings
) -> tuple[float, float]:
    """Ends of the parts money of the fixed ones, over the candidate repairs."""
    told = question.known.get("parts")
    if told is not None:
        return told, told
    normal = points.normal_points(1)[::16, 0]
    each = [one for case in cases for one in case.each]
    chance = np.array([one.chance * one.fix for one in each])
    none, log, var = np.array([(one.no_parts, one.parts_log, one.parts_var) for one in each]).T
    bought = np.exp(log[:, None] + np.sqrt(var)[:, None] * normal)
    value = np.column_stack([np.zeros(len(each)), bought]).ravel()
    paid = np.repeat((chance * (1 - none) / len(normal))[:, None], len(normal), axis=1)
    share = np.column_stack([chance * none, paid]).ravel()
    tail = (1 - settings.coverage) / 2
    return chances.quantile(value, share, tail), chances.quantile(value, share, 1 - tail)


def standings(
    question: Question, cases: Sequence[Case], k_of_n: tuple[int, int, int], numbers: Saved
) -> dict[str, str]:
    """How much of each line is the person's own."""
    left = sum(one.left for one in cases) / max(sum(one.before for one in cases), 1e-300)
    known = [sum(getattr(one, name) for one in cases) / len(cases) for name in OF_VIEW]
    removed = dict(zip(offer_sums.TOLD_AS, (1 - left, *known), strict=True))
    kind = question.type
    own = (price.n_of_type(numbers.price, kind), price.n_of_family(numbers.price, kind))
    return offer_sums.standings(removed, own, k_of_n, question.known)


def by_year(question: Question, cases: Sequence[Case]) -> tuple[ByYear, ...]:
    """Price and limit for each year it may have been made; none where there is only one."""
    if len(question.made) < 2:
        return ()
    told = question.known.get("price")
    return tuple(
        ByYear(year, one.age or 0.0, math.exp(one.center) if told is None else told, one.worth)
        for year, one in zip(question.made, cases, strict=True)
    )


def by_repair(cases: Sequence[Case], settings: Settings) -> tuple[tuple[float, float], ...]:
    """What the limit would be for each repair it may need, knowing which, and its chance."""
    target = settings.hour_worth
    found = []
    for case in cases:
        trip = case.trip_money + target * case.trip_hours
        for one in case.each:
            money, hours, keeping = offer_sums.as_done(one, (case.if_not, case.rest))
            found.append((money - target * hours - keeping - trip, one.chance / len(cases)))
    return tuple(found)


def warnings(
    question: Question, of: tuple[assumed.AssumedFault, bool], numbers: Saved, settings: Settings
) -> list[str]:
    """What was not known and what was taken for it. of: the row taken, is the fault known."""
    kind, types = question.type, list(own_rows.assumed_types(settings))
    said = fault_not_known(question, of[1], numbers, settings)
    if kind not in types and not price.n_of_type(numbers.price, kind):
        said.append(unknown_words.type_of_offer(kind, nearest(kind, types)))
    if of[0].fault == faults.UNTOLD and not question.unit.get("fault"):
        said.append(unknown_words.NO_FAULT_TOLD)
    return said


def fault_not_known(
    question: Question, known: bool, numbers: Saved, settings: Settings
) -> list[str]:
    """One sentence where the fault that was told is not known."""
    fault = str(question.unit.get("fault") or "")
    if not fault or known:
        return []
    return [unknown_words.fault(fault, nearest_faults(fault, question.type, numbers, settings))]


def nearest_faults(fault: str, type_name: str, numbers: Saved, settings: Settings) -> list[str]:
    """Up to three known faults of this kind that are spelled or worded most like it."""
    kinds = assumed.fault_families(type_name, family_of(type_name, settings))
    names = dict.fromkeys(
        [row.fault for row in own_rows.assumed_faults(settings) if row.family in kinds]
        + [what for what, which in numbers.repair.fixed_of if what and which == type_name]
    )
    return nearest_word.nearest_faults(fault, squash(fault), list(names), column_words("fault"))
