"""Before the drive: the most to pay, what to start at, go or pass, and why. Every number a page or a program shows is finished here."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.advice import ask_first, cautions, costs
from pricing.advice.chances import Chances, chances
from pricing.model import points, price, repair
from pricing.model.standing import standing
from pricing.records import assumed
from pricing.records.problems import nearest
from pricing.records.words import family_of

if TYPE_CHECKING:
    from pricing.model.saved import Saved
    from pricing.records.question import Question
    from pricing.records.settings import Settings

BLOCK = 256  # questions answered together
HAUL, IF_FREE, IF_PAID, PASS = "haul", "haul if free", "only if paid", "pass"
WORTH_A_STOP = 5.0  # money: a limit below this is as good as free
MOST_REMOVAL_FEE = 75.0  # money: people do not pay more than about this to be rid of one. Common practice.


@dataclass(frozen=True)
class Candidate:
    """A repair it may turn out to need: chance that it is this one, chance to fix it then, expected parts and bench hours."""

    repair: str
    chance: float
    fix: float
    parts: float
    hours: float


@dataclass(frozen=True)
class Sold:
    """What it sells for once fixed."""

    median: float
    low: float
    high: float
    mean: float


@dataclass(frozen=True)
class Costs:
    """Expected money and hours, duds counted. parts_low, parts_high: four in five of the fixed ones (`coverage`) lie between."""

    truck: float
    helper: float
    parts: float
    parts_if_fixed: float
    parts_low: float
    parts_high: float
    comebacks: float
    fees: float
    drive_hours: float
    load_hours: float
    bench_hours: float
    clean_sell_hours: float
    comeback_hours: float


@dataclass(frozen=True)
class ByYear:
    """The answer for one of the years it may have been made."""

    made: int
    age: float
    price: float
    pay_up_to: float


@dataclass(frozen=True)
class OfferAnswer:
    """One answer. Money in the currency's unit, hours in hours, chances 0-1.

    pay_up_to: negative where they must pay; before_drive: the limit before the drive out was made, the same unless at the curb;
    their_price: None where the owner named none, and `paid` is then what the person usually pays; worth: pay_up_to - paid.
    tries: whether fixing it beats leaving it as it is. by_repair: (limit if it is this repair, chance), adding up to pay_up_to.
    k_of_n: own units of this fault: fixed, ended, ended on other types.
    """

    question: Question
    advice: str
    pay_up_to: float
    start_at: float
    their_price: float | None
    paid: float
    before_drive: float
    at_curb_pay_up_to: float
    cautious: float
    expected_gain: float
    hours: float
    return_per_hour: float
    chance_of_loss: float
    chance_of_target: float
    fix_chance: float
    tries: bool
    repairs: tuple[Candidate, ...]
    if_not_fixed: float
    price: Sold
    costs: Costs
    ask_first: tuple[ask_first.AskFirst, ...]
    standing: Mapping[str, str]
    k_of_n: tuple[int, int, int]
    days: Mapping[str, float]
    by_year: tuple[ByYear, ...]
    by_repair: tuple[tuple[float, float], ...]
    because: tuple[tuple[str, float], ...]
    first: cautions.Said | None
    cautions: tuple[cautions.Said, ...]
    warnings: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """The JSON of `offer --json`."""
        return {
            "unit": dict(self.question.unit) | ({"made": list(self.question.made)} if self.question.made else {}),
            "as_read": self.question.as_read,
            "advice": self.advice,
            "pay_up_to": self.pay_up_to,
            "start_at": self.start_at,
            "their_price": self.their_price,
            "paid_assumed": self.paid,
            "before_drive_pay_up_to": self.before_drive,
            "at_curb_pay_up_to": self.at_curb_pay_up_to,
            "cautious_pay_up_to": self.cautious,
            "expected_gain": self.expected_gain,
            "hours": self.hours,
            "return_per_hour": self.return_per_hour,
            "chance_of_loss": self.chance_of_loss,
            "chance_of_target": self.chance_of_target,
            "fix_chance": self.fix_chance,
            "go_on": self.tries,
            "repairs": [vars(one) for one in self.repairs],
            "if_not_fixed": self.if_not_fixed,
            "price": vars(self.price),
            "costs": vars(self.costs),
            "ask_first": [one.as_dict() for one in self.ask_first],
            "standing": dict(self.standing),
            "fixed_of": {"fixed": self.k_of_n[0], "ended": self.k_of_n[1], "other_types": self.k_of_n[2]},
            "days": dict(self.days),
            "by_year": [vars(one) for one in self.by_year],
            "because": [{"term": term, "amount": amount} for term, amount in self.because],
            "cautions": [said.full for said in ((self.first,) if self.first else ()) + self.cautions],
            "warnings": list(self.warnings),
        }


def decide(question: Question, numbers: Saved, settings: Settings, as_of: date) -> OfferAnswer:
    """One answer. The same question always has the same answer; pay_up_to falls as hours, parts and miles rise."""
    return decide_many([question], numbers, settings, as_of)[0]


def decide_many(questions: Sequence[Question], numbers: Saved, settings: Settings, as_of: date) -> list[OfferAnswer]:
    """Answers in the order of the questions, evaluated in blocks; each equals the answer asked alone."""
    answers: list[OfferAnswer] = []
    for start in range(0, len(questions), BLOCK):
        answers.extend(_decide_block(questions[start : start + BLOCK], numbers, settings, as_of))
    return answers


@dataclass(frozen=True)
class _Cases:
    """The evaluated cases of a block: which question each belongs to, its weight there, and all about it."""

    owner: np.ndarray
    weight: np.ndarray
    ages: Sequence[float | None]
    at: costs.Stakes
    worth: costs.Worth
    base: price.PriceLaw
    odds: Chances


def _decide_block(questions: Sequence[Question], numbers: Saved, settings: Settings, as_of: date) -> list[OfferAnswer]:
    owner_list, ages = costs.cases_of(questions, as_of)
    owner = np.array(owner_list, dtype=np.int64)
    n = len(questions)
    weight = 1 / np.bincount(owner, minlength=n)[owner]
    at = costs.stakes([questions[i] for i in owner_list], ages, numbers, settings, as_of)
    worth = costs.worth(at, settings)
    base = price.law(numbers.price, at.units, float(as_of.toordinal() + costs.DAYS_AHEAD))
    limit = np.bincount(owner, weight * worth.worth, n)
    usual = [repair.usual_paid(numbers.repair, question.type) for question in questions]
    starts = [start_at(question.known.get("their_price"), limit[i], usual[i]) for i, question in enumerate(questions)]
    paid = np.array([_paid(question, usual[i], starts[i]) for i, question in enumerate(questions)])
    odds = chances(at, worth, paid[owner], settings)
    cases = _Cases(owner, weight, ages, at, worth, base, odds)
    prices = [question.known.get("their_price", paid[i]) for i, question in enumerate(questions)]
    unknown = ask_first.ask_first_many(questions, prices, numbers, settings, as_of)
    return [_answer(i, question, cases, float(limit[i]), float(paid[i]), starts[i], unknown[i], numbers, settings, as_of) for i, question in enumerate(questions)]


def _paid(question: Question, usual: float | None, start: float) -> float:
    own = question.known.get("their_price")
    if own is not None:
        return own
    return start if usual is None else usual


def start_at(their_price: float | None, limit: float, usual: float | None) -> float:
    """What to say first: what the person usually pays for such a unit, else two fifths of the limit; never above it or the owner's price.

    >>> start_at(40.0, 52.0, None), start_at(None, 52.0, 30.0), start_at(0.0, 52.0, 30.0), start_at(None, -18.0, 30.0)
    (20.0, 30.0, 0.0, -25.0)
    """
    if limit <= 0:
        return float(min(5 * math.floor(limit * 1.25 / 5), their_price if their_price is not None else 0.0))
    wanted = assumed.USUAL_PAID_SHARE * limit if usual is None else usual
    first = 5 * math.floor(min(wanted, 0.8 * limit) / 5 + 1e-9)
    return float(max(min(first, their_price) if their_price is not None else first, min(0.0, their_price or 0.0)))


def advise(limit: float, their_price: float | None, capped: bool) -> str:
    """The advice word for a limit and what the owner wants.

    >>> [advise(52, 40, False), advise(52, 60, False), advise(3, None, False), advise(-20, None, False), advise(-200, None, False), advise(52, 40, True)]
    ['haul', 'pass', 'haul if free', 'only if paid', 'pass', 'pass']
    """
    if capped:
        return PASS
    if their_price is not None and limit >= their_price:
        return HAUL
    if limit >= WORTH_A_STOP:
        return HAUL if their_price is None else PASS
    if limit >= 0:
        return IF_FREE
    return IF_PAID if limit >= -MOST_REMOVAL_FEE else PASS


def _answer(
    i: int, question: Question, cases: _Cases, limit: float, paid: float, start: float, unknown: list[ask_first.AskFirst], numbers: Saved, settings: Settings, as_of: date
) -> OfferAnswer:
    at, worth, odds = cases.at, cases.worth, cases.odds
    mine = np.flatnonzero(cases.owner == i)
    weight = cases.weight[mine]

    def mean(values: np.ndarray) -> float:
        return float(weight @ values[mine])

    trip = at.trips[int(mine[0])]
    out = trip.out_money + settings.hourly_target * trip.out_hours
    before_drive = limit - out if question.at_curb else limit
    hours = mean(worth.hours) + mean(worth.trip_hours)
    gain = mean(worth.money) - mean(worth.trip_money) - paid
    first = cautions.first_of({**question.unit, "age": cases.ages[int(mine[0])]}, as_of, settings)
    row, known = at.view.rows[int(mine[0])]
    k_of_n = repair.k_of_n(numbers.repair, str(question.unit.get("fault") or ""), question.type)
    tries = bool(worth.tries[mine[0]]) if len(mine) == 1 else bool(mean(worth.tries.astype(float)) >= 0.5)
    return OfferAnswer(
        question=question,
        advice=advise(limit, question.known.get("their_price"), first is not None and first.cap == "pass"),
        pay_up_to=limit,
        start_at=start,
        their_price=question.known.get("their_price"),
        paid=paid,
        before_drive=before_drive,
        at_curb_pay_up_to=limit if question.at_curb else limit + out,
        cautious=mean(odds.cautious),
        expected_gain=gain,
        hours=hours,
        return_per_hour=gain / hours if hours > 0 else 0.0,
        chance_of_loss=mean(odds.loss),
        chance_of_target=mean(odds.target),
        fix_chance=mean(at.total(at.fix)),
        tries=tries,
        repairs=_candidates(at, mine, weight),
        if_not_fixed=mean(at.if_not),
        price=_sold(question, cases, mine, weight, settings),
        costs=_costs(at, worth, mine, weight, trip, question, settings),
        ask_first=tuple(unknown),
        standing=_standing(question, cases, mine, weight, k_of_n, numbers, settings),
        k_of_n=k_of_n,
        days={},
        by_year=_by_year(question, cases, mine),
        by_repair=_by_repair(at, worth, mine, weight, settings),
        because=_because(at, worth, mine, weight, settings),
        first=first,
        cautions=tuple(cautions.for_offer(question.unit, settings, as_of)),
        warnings=(*question.warnings, *_warnings(question, row, known, numbers, settings)),
    )


def _candidates(at: costs.Stakes, mine: np.ndarray, weight: np.ndarray) -> tuple[Candidate, ...]:
    sums: dict[str, np.ndarray] = {}
    for case, share in zip(mine.tolist(), weight.tolist(), strict=True):
        for j in np.flatnonzero(at.owner == case).tolist():
            one = share * at.chance[j] * np.array([1.0, at.fix[j], at.parts[j], at.view.hours_mean[j]])
            sums[at.view.repair[j]] = sums.get(at.view.repair[j], np.zeros(4)) + one
    ranked = sorted(sums.items(), key=lambda pair: (pair[0] == repair.ELSE, -pair[1][0], pair[0]))
    return tuple(Candidate(name or "something else", *(float(total[0]), *(float(value) for value in total[1:] / total[0]))) for name, total in ranked if total[0] > 0)


def _sold(question: Question, cases: _Cases, mine: np.ndarray, weight: np.ndarray, settings: Settings) -> Sold:
    """The range of one age, or of the mixture over the years it may have been made."""
    told = question.known.get("price")
    if told is not None:
        return Sold(told, told, told, told)
    at = cases.at
    sold = at.total(at.fix * at.price) / np.maximum(at.total(at.fix), 1e-9)
    average = float(weight @ sold[mine])
    law = replace(cases.base, **{name: getattr(cases.base, name)[mine] for name in ("center", "scale", "spread", "prior_spread")})
    if len(mine) == 1:
        low, high = price.range_of(law, settings.coverage)
        return Sold(float(np.exp(law.center[0])), float(low[0]), float(high[0]), average)
    drawn = np.sort(price.draws(law, points.lattice(1)[:, 0]).ravel())
    ends = [drawn[int(level * (len(drawn) - 1))] for level in (0.5, (1 - settings.coverage) / 2, (1 + settings.coverage) / 2)]
    return Sold(float(ends[0]), float(ends[1]), float(ends[2]), average)


def _costs(at: costs.Stakes, worth: costs.Worth, mine: np.ndarray, weight: np.ndarray, trip: costs.Trip, question: Question, settings: Settings) -> Costs:

    def mean(values: np.ndarray) -> float:
        return float(weight @ at.total(values)[mine])

    fixed = mean(at.fix)
    left = 0.5 if question.at_curb else 1.0
    tries = bool(worth.tries[mine].any())
    bench = mean(at.fix * at.view.hours_mean + (1 - at.fix) * at.view.hours_mean * math.exp(at.view.failed_log)) if tries else 0.0
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
        fees=mean(at.fix * (at.price * settings.selling_fee_share + settings.selling_fee_fixed)) if tries else 0.0,
        drive_hours=(trip.hours - trip.load_hours) * left,
        load_hours=trip.load_hours,
        bench_hours=bench,
        clean_sell_hours=max(total - bench - back, 0.0),
        comeback_hours=back,
    )


def _parts_spread(at: costs.Stakes, mine: np.ndarray, weight: np.ndarray, question: Question, settings: Settings) -> tuple[float, float]:
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
            weights.append(each * np.concatenate([[at.view.no_parts[j]], np.full(len(normal), (1 - at.view.no_parts[j]) / len(normal))]))
    value, share_of = np.concatenate(values), np.concatenate(weights)
    order = np.argsort(value, kind="stable")
    reached = np.cumsum(share_of[order])
    ends = [float(value[order[min(int(np.searchsorted(reached, level * reached[-1])), len(order) - 1)]]) for level in ((1 - settings.coverage) / 2, (1 + settings.coverage) / 2)]
    return ends[0], ends[1]


def _standing(question: Question, cases: _Cases, mine: np.ndarray, weight: np.ndarray, k_of_n: tuple[int, int, int], numbers: Saved, settings: Settings) -> dict[str, str]:
    view = cases.at.view

    def mean(values: np.ndarray) -> float:
        return float(weight @ values[mine])

    _, n, near = k_of_n
    told = question.known
    spread, prior = cases.base.spread, cases.base.prior_spread
    removed = 1 - float(weight @ (spread[mine] ** 2)) / max(float(weight @ (prior[mine] ** 2)), 1e-300)
    own_price = price.n_of_type(numbers.price, question.type)
    lines = {
        "price": standing(removed, own_price, price.n_of_family(numbers.price, question.type)),
        "fix": standing(mean(view.fix_known), n, near),
        "parts": standing(mean(view.parts_known), n, near),
        "hours": standing(mean(view.hours_known), n, near),
        "days": standing(0.0, 0),
    }
    for name, option in (("price", "price"), ("fix", "fix_chance"), ("parts", "parts"), ("hours", "hours")):
        if option in told:
            lines[name] = "your number"
    return lines


def _by_year(question: Question, cases: _Cases, mine: np.ndarray) -> tuple[ByYear, ...]:
    if len(question.made) < 2:
        return ()
    told = question.known.get("price")
    return tuple(
        ByYear(year, float(cases.ages[case] or 0.0), told if told is not None else float(np.exp(cases.base.center[case])), float(cases.worth.worth[case]))
        for year, case in zip(question.made, mine.tolist(), strict=True)
    )


def _by_repair(at: costs.Stakes, worth: costs.Worth, mine: np.ndarray, weight: np.ndarray, settings: Settings) -> tuple[tuple[float, float], ...]:
    """What the limit would be for each repair it may need, knowing which, and its chance."""
    target = settings.hourly_target
    money = at.fix * (at.net - at.parts) + (1 - at.fix) * (at.if_not[at.owner] - at.wasted)
    hours = at.fix * at.hours_fixed + (1 - at.fix) * at.hours_failed
    trip = (worth.trip_money + target * worth.trip_hours)[at.owner]
    left = (at.if_not - target * at.view.failed_rest)[at.owner]
    limits = np.where(worth.tries[at.owner], money - target * hours, left) - trip
    share = np.zeros(at.n)
    share[mine] = weight
    return tuple((float(limits[j]), float(at.chance[j] * share[at.owner[j]])) for j in np.flatnonzero(share[at.owner] > 0).tolist())


def _because(at: costs.Stakes, worth: costs.Worth, mine: np.ndarray, weight: np.ndarray, settings: Settings) -> tuple[tuple[str, float], ...]:
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
        ("parts, duds counted", -mean(tries * at.total(at.fix * at.parts + (1 - at.fix) * at.wasted))),
        ("if it beats you", mean(tries * at.total(1 - at.fix) * at.if_not)),
        ("left as it is", mean((1 - tries) * at.if_not)),
        ("truck and helper", -mean(worth.trip_money)),
        ("your hours", -settings.hourly_target * mean(worth.hours + worth.trip_hours)),
    ]
    return tuple((term, amount) for term, amount in terms if abs(amount) > 1e-9)


def _warnings(question: Question, row: assumed.AssumedFault, known: bool, numbers: Saved, settings: Settings) -> list[str]:
    said = []
    fault = str(question.unit.get("fault") or "")
    if fault and not known:
        near = nearest_faults(fault, question.type, numbers, settings)
        said.append(f'I do not know the fault "{fault}"' + (f"; nearest known: {', '.join(near)}" if near else "") + '. Answered as "not known".')
    if question.type not in assumed.assumed_types(settings) and not price.n_of_type(numbers.price, question.type):
        guess = nearest(question.type, list(assumed.assumed_types(settings)))
        said.append(f'I have no figures for "{question.type}": a wide guess' + (f". Did you mean {guess}?" if guess else "."))
    if row.fault == assumed.FAULTS[-2].fault and not fault:
        said.append("No fault was told: answered as not known.")
    return said


def nearest_faults(fault: str, type_name: str, numbers: Saved, settings: Settings) -> list[str]:
    """Up to three known faults of this kind of appliance that are spelled or worded most like this one."""
    kinds = assumed.fault_families(type_name, family_of(type_name, settings))
    names = dict.fromkeys(
        [row.fault for row in assumed.assumed_faults(settings) if row.family in kinds] + [what for what, which in numbers.repair.fixed_of if what and which == type_name]
    )
    words = set(fault.lower().replace("'", " ").split())
    shared = sorted(names, key=lambda name: -len(words & set(name.lower().replace("'", " ").replace("(", " ").split())))
    close = [name for name in shared if words & set(name.lower().replace("'", " ").split()) - {"won", "t", "or", "not"}][:3]
    spelled = nearest(fault, list(names), cutoff=0.4)
    return list(dict.fromkeys([*([spelled] if spelled else []), *close]))[:3]
