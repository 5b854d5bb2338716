"""Before the drive: the most to pay, what to start at, go or pass, and why, finished here."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np

from pricing.advice import ask, ask_first, cautions, costs
from pricing.advice import offer_parts as parts
from pricing.advice.by_plan import ByPlan, Plans, by_plan
from pricing.advice.chances import chances
from pricing.advice.offer_record import OfferAnswer
from pricing.basis import assumed
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.formulas import offer_sums
from pricing.formulas.limit import limits, opening
from pricing.model.price import price
from pricing.model.repair import repair
from pricing.model.saved import Saved

BLOCK = 64  # questions answered together


def decide(question: Question, numbers: Saved, settings: Settings, as_of: date) -> OfferAnswer:
    """One answer, always the same for a question; pay_up_to falls as hours, parts, miles rise."""
    return decide_many([question], numbers, settings, as_of)[0]


def decide_many(
    questions: Sequence[Question], numbers: Saved, settings: Settings, as_of: date
) -> list[OfferAnswer]:
    """Answers in the order of the questions, each equal to the answer asked alone."""
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
    cases = parts.cases_of(at, worth, base, ages, odds)
    ends = np.searchsorted(owner, np.arange(n + 1)).tolist()
    named = [[(one.repair, one.chance) for one in cases[start].each] for start in ends[:-1]]
    by = (numbers, settings, as_of, kept, named)
    unknown = ask_first.ask_first_many(questions, paid.tolist(), *by)
    mine = [cases[start:end] for start, end in pairwise(ends)]
    start, whole = [start for start, _ in opened], limit.tolist()
    each = zip(questions, mine, whole, start, paid.tolist(), unknown, plans, strict=True)
    return [_answer(_Found(*one), numbers, settings, as_of) for one in each]


class _Found(NamedTuple):
    """What was found for one question of a block."""

    question: Question
    cases: list[parts.Case]
    limit: float
    start: float
    paid: float
    unknown: list[ask_first.AskFirst]
    plan: ByPlan


def _answer(found: _Found, numbers: Saved, settings: Settings, as_of: date) -> OfferAnswer:
    question, cases = found.question, found.cases
    their_price = question.known.get("their_price")
    out = cases[0].trip.out_money + settings.hour_worth * cases[0].trip.out_hours
    verdict = cautions.verdict_of(question, cautions.CALL, settings, as_of)
    k_of_n = repair.k_of_n(numbers.repair, str(question.unit.get("fault") or ""), question.type)
    answer = OfferAnswer(
        question=question,
        their_price=their_price,
        paid=found.paid,
        **limits(found.limit, found.start, out, question.at_curb, their_price, verdict),
        **offer_sums.expected(cases, found.paid),
        repairs=parts.candidates(cases),
        price=parts.sold(question, found.plan),
        costs=parts.spent(cases, question, settings),
        ask_first=tuple(found.unknown),
        standing=parts.standings(question, cases, k_of_n, numbers) | {"days": found.plan.standing},
        k_of_n=k_of_n,
        days=dict(zip(("median", "low", "high"), found.plan.days, strict=True)),
        by_year=parts.by_year(question, cases),
        by_repair=parts.by_repair(cases, settings),
        because=tuple(offer_sums.because(cases, settings)),
        verdict=verdict,
        warnings=(
            *question.warnings,
            *ask.not_known(question, numbers),
            *parts.warnings(question, cases[0].row, numbers, settings),
        ),
    )
    return without_money(answer) if verdict.decision else answer


def without_money(answer: OfferAnswer) -> OfferAnswer:
    """The answer where a decision stands above the money: no limit above nothing."""
    free = {
        name: min(getattr(answer, name), 0.0)
        for name in ("pay_up_to", "start_at", "before_drive", "at_curb_pay_up_to", "cautious")
    }
    names = ("repairs", "ask_first", "by_year", "by_repair", "because")
    none: dict[str, Any] = dict.fromkeys(names, ())
    return replace(answer, fix_chance=0.0, tries=False, **free, **none)
