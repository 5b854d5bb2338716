"""Several units in one call: each answered, then which to take (`formulas/lot_formulas`)."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from pricing.advice import costs, offer
from pricing.advice import together as sums
from pricing.advice.by_plan import by_plan
from pricing.advice.offer_record import Lot
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.formulas import lot_formulas as formulas
from pricing.model.saved import Saved


def judge(question: Question, numbers: Saved, settings: Settings, as_of: date) -> Lot:
    """The lot of a question with several units."""
    n = len(question.each)
    each = offer.decide_many(_sharing(question.each, n), numbers, settings, as_of)
    barred = [place for place, one in enumerate(each) if one.verdict.decision]

    plans = by_plan(question.each, numbers, settings, as_of)

    def limits_at(k: int) -> list[float]:
        return list(costs.limits(_sharing(question.each, k), numbers, settings, as_of, plans))

    worth, take = formulas.best_of(n, barred, limits_at)
    told = question.heard.get("read", {}).get("their_price")
    for_all = question.known.get("their_price") if told is None else float(told)
    own = [one.known.get("their_price") for one in question.each]
    ours = formulas.together_of(n, barred, take)
    asked, theirs = [question.each[i] for i in ours], formulas.price_of(for_all, own)
    sold = sums.once_fixed(asked, [plans[i] for i in ours], numbers, settings, as_of)
    return Lot(tuple(each), tuple(take), float(worth), theirs, sold)


def _sharing(questions: Sequence[Question], k: int) -> list[Question]:
    """The questions with k units on the drive, where the person did not tell how many."""
    return [
        replace(one, known={"on_trip": float(k), **one.known}) if k > 1 else one
        for one in questions
    ]
