"""Several units in one call: each answered, then which to take, and the most for them together.

One drive serves all that are taken. With k of n units on it each bears a k-th of the drive, so
that the k best are those with the largest limits at k, and the lot is worth

    W = max over k of  sum of the k largest limits at k units on the drive

What is dangerous is never among them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from pricing.advice import costs, offer
from pricing.advice.offer_record import OfferAnswer
from pricing.basis.frozen import frozen
from pricing.wording.plain import down

if TYPE_CHECKING:
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved

ALL, SOME, NONE = "take all", "take some", "pass"


@frozen
class Lot:
    """each: the answers, with one drive for all; take: places (0 first) of those worth taking,
    () for none; pay_up_to: the most for those together; all_pay_up_to: the most for all of them,
    None where one may not be taken; their_price: for the lot, None where none was named.
    """

    each: tuple[OfferAnswer, ...]
    take: tuple[int, ...]
    pay_up_to: float
    all_pay_up_to: float | None
    their_price: float | None

    @property
    def advice(self) -> str:
        """What to do with the lot."""
        if not self.take or (
            self.their_price is not None and self.their_price > down(self.pay_up_to)
        ):
            return NONE
        return ALL if len(self.take) == len(self.each) else SOME

    def as_dict(self) -> dict[str, Any]:
        """The JSON of `lot`."""
        return {
            "advice": self.advice,
            "units": len(self.each),
            "take": [place + 1 for place in self.take],
            "pay_up_to": self.pay_up_to,
            "all_pay_up_to": self.all_pay_up_to,
            "their_price": self.their_price,
            "each": [one.as_dict() for one in self.each],
        }


def judge(question: Question, numbers: Saved, settings: Settings, as_of: date) -> Lot:
    """The lot of a question with several units."""
    n = len(question.each)
    each = offer.decide_many(_sharing(question.each, n), numbers, settings, as_of)
    barred = [place for place, one in enumerate(each) if one.verdict.decision]
    best: tuple[float, tuple[int, ...]] = (0.0, ())
    for k in range(1, n - len(barred) + 1):
        limits = costs.limits(_sharing(question.each, k), numbers, settings, as_of).tolist()
        free = [place for place in range(n) if place not in barred]
        taken = sorted(sorted(free, key=lambda place: (-limits[place], place))[:k])
        worth = sum(limits[place] for place in taken)
        if worth > best[0]:
            best = worth, tuple(taken)
    return Lot(
        tuple(each),
        best[1],
        best[0],
        None if barred else sum(one.pay_up_to for one in each),
        _price(question),
    )


def _sharing(questions: Sequence[Question], k: int) -> list[Question]:
    """The questions with k units on the drive, where the person did not tell how many."""
    return [
        replace(one, known={"on_trip": float(k), **one.known}) if k > 1 else one
        for one in questions
    ]


def _price(question: Question) -> float | None:
    """What they want for all: told for the lot, or the sum of what is told for each."""
    told = question.heard.get("read", {}).get("their_price")
    own = [one.known.get("their_price") for one in question.each]
    if all(price is not None for price in own):
        return float(sum(price for price in own if price is not None))
    told = question.known.get("their_price") if told is None else told
    return None if told is None else float(told)
