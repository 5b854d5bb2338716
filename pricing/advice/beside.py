"""What stands beside a decision, each by its key in the JSON, where there is anything to say."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from pricing.advice.ads_like import ads_like
from pricing.advice.warranty import promised

if TYPE_CHECKING:
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved


def of_sale(
    question: Question, price: float, numbers: Saved, settings: Settings, as_of: date
) -> dict[str, Any]:
    """Beside an ask, at the price that it expects."""
    told = promised(question, price, numbers, settings)
    return _ads(question, numbers, as_of) | ({} if told is None else {"warranty": told})


def of_call(question: Question, numbers: Saved, settings: Settings, as_of: date) -> dict[str, Any]:
    """Beside an offer."""
    return _ads(question, numbers, as_of)


def _ads(question: Question, numbers: Saved, as_of: date) -> dict[str, Any]:
    if not numbers.price.ads:
        return {}
    found = ads_like(question, numbers, as_of)
    return {} if found is None else {"ads": found.as_dict()}
