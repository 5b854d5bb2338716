"""Before the drive: the most to pay, what to start at, go or pass, and why. Every number a page or
a program shows is finished here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from pricing.advice import ask_first, cautions, costs, owner_asked
from pricing.advice import offer_parts as parts
from pricing.advice.by_plan import ByPlan, Plans, by_plan
from pricing.advice.chances import chances
from pricing.advice.offer_parts import Cases
from pricing.advice.offer_record import OfferAnswer
from pricing.basis import assumed
from pricing.formulas.limit import HAUL, IF_FREE, advise, opening
from pricing.model.price import price
from pricing.model.repair import repair
from pricing.wording.plain import down

if TYPE_CHECKING:
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved

BLOCK = 256  # questions answered together


def decide(question: Question, numbers: Saved, settings: Settings, as_of: date) -> OfferAnswer:
    """One answer. The same question always has the same answer; pay_up_to falls as hours, parts and
    miles rise."""
    return decide_many([question], numbers, settings, as_of)[0]


def decide_many(
    questions: Sequence[Question], numbers: Saved, settings: Settings, as_of: date
) -> list[OfferAnswer]:
    """Answers in the order of the questions, evaluated in blocks; each equals the answer asked
    alone."""
    answers: list[OfferAnswer] = []
    kept: Plans = {}
    for start in range(0, len(questions), BLOCK):
        block = questions[start : start + BLOCK]
        answers.extend(_decide_block(block, numbers, settings, as_of, kept))
    return answers


def _decide_block(
    questions: Sequence[Question], numbers: Saved, settings: Settings, as_of: date, kept: Plans
) -> list[OfferAnswer]:
    owner_list, ages = costs.cases_of(questions, as_of)
    owner = np.array(owner_list, dtype=np.int64)
    n = len(questions)
    weight = 1 / np.bincount(owner, minlength=n)[owner]
    plans = by_plan(questions, numbers, settings, as_of, kept)
    at = costs.stakes(
        [questions[i] for i in owner_list],
        ages,
        numbers,
        settings,
        as_of,
        costs.of_cases(plans, owner_list),
    )
    worth = costs.worth(at, settings)
    base = price.law(numbers.price, at.units, float(as_of.toordinal() + costs.DAYS_AHEAD))
    limit = np.bincount(owner, weight * worth.worth, n)
    opened = [
        opening(one.known.get("their_price"), whole, repair.usual_paid(numbers.repair, one.type),
                assumed.USUAL_PAID_SHARE)
        for one, whole in zip(questions, limit.tolist(), strict=True)
    ]  # fmt: skip
    paid = np.array([money for _, money in opened])
    odds = chances(at, worth, paid[owner], settings)
    cases = Cases(owner, weight, ages, at, worth, base, odds)
    ends = (
        np.searchsorted(at.owner, np.searchsorted(owner, np.arange(n))),
        np.searchsorted(at.owner, np.searchsorted(owner, np.arange(n)) + 1),
    )
    named = [
        list(zip(at.view.repair[start:end], at.chance[start:end].tolist(), strict=True))
        for start, end in zip(*ends, strict=True)
    ]
    unknown = ask_first.ask_first_many(
        questions, paid.tolist(), numbers, settings, as_of, kept, named
    )
    return [
        _answer(
            _Found(
                i, question, float(limit[i]), float(paid[i]), opened[i][0], unknown[i], plans[i]
            ),
            cases,
            numbers,
            settings,
            as_of,
        )
        for i, question in enumerate(questions)
    ]


class _Found(NamedTuple):
    """What was found for one question of a block. i: its place."""

    i: int
    question: Question
    limit: float
    paid: float
    start: float
    unknown: list[ask_first.AskFirst]
    plan: ByPlan


def _answer(
    found: _Found, cases: Cases, numbers: Saved, settings: Settings, as_of: date
) -> OfferAnswer:
    i, question, limit, paid, start, unknown, plan = found
    at, worth, odds = cases.at, cases.worth, cases.odds
    mine = np.flatnonzero(cases.owner == i)
    weight = cases.weight[mine]

    def mean(values: np.ndarray) -> float:
        return float(weight @ values[mine])

    trip = at.trips[int(mine[0])]
    out = trip.out_money + settings.hour_worth * trip.out_hours
    hours = mean(worth.hours) + mean(worth.trip_hours)
    gain = mean(worth.money) - mean(worth.trip_money) - paid
    verdict = cautions.verdict_of(question, cautions.CALL, settings, as_of)
    row, known = at.view.rows[int(mine[0])]
    k_of_n = repair.k_of_n(numbers.repair, str(question.unit.get("fault") or ""), question.type)
    if verdict.free_only:
        limit, start = min(limit, 0.0), min(start, 0.0)
    before_drive = limit - out if question.at_curb else limit
    advice = advise(down(limit), question.known.get("their_price"), verdict.decision)
    answer = OfferAnswer(
        question=question,
        advice=IF_FREE if verdict.free_only and advice == HAUL else advice,
        pay_up_to=limit,
        start_at=start,
        their_price=question.known.get("their_price"),
        paid=paid,
        before_drive=before_drive,
        at_curb_pay_up_to=limit if question.at_curb else limit + out,
        cautious=mean(odds.cautious),
        expected_gain=gain,
        hours=hours,
        return_per_hour=(gain - mean(worth.keeping)) / hours if hours > 0 else 0.0,
        chance_of_loss=mean(odds.loss),
        chance_of_target=mean(odds.target),
        fix_chance=mean(at.total(at.fix)),
        tries=mean(worth.tries.astype(float)) >= 0.5,
        repairs=parts.candidates(at, mine, weight),
        if_not_fixed=mean(at.if_not),
        price=parts.sold(question, plan),
        costs=parts.spent(at, worth, mine, weight, trip, question, settings),
        ask_first=tuple(unknown),
        standing=parts.standings(question, cases, mine, weight, k_of_n, numbers, plan.standing),
        k_of_n=k_of_n,
        days=dict(zip(("median", "low", "high"), plan.days, strict=True)),
        by_year=parts.by_year(question, cases, mine),
        by_repair=parts.by_repair(at, worth, mine, weight, settings),
        because=parts.because(at, worth, mine, weight, settings),
        verdict=verdict,
        warnings=(
            *question.warnings,
            *owner_asked.not_known(question, numbers),
            *parts.warnings(question, row, known, numbers, settings),
        ),
    )
    return without_money(answer) if verdict.decision else answer


def without_money(answer: OfferAnswer) -> OfferAnswer:
    """The answer where a decision stands above the money: no limit above nothing, nothing to open
    it for."""
    free = {
        name: min(getattr(answer, name), 0.0)
        for name in ("pay_up_to", "start_at", "before_drive", "at_curb_pay_up_to", "cautious")
    }
    none: dict[str, Any] = dict.fromkeys(
        ("repairs", "ask_first", "by_year", "by_repair", "because"), ()
    )
    return replace(answer, fix_chance=0.0, tries=False, **free, **none)
