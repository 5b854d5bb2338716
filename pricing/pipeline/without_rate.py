"""What a home without a rate for its currency can say: cautions and what to set, no amount."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from pricing.advice import cautions
from pricing.basis.own_rows import rate
from pricing.basis.problems import Problem, Refused
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.pipeline import question_from


def hold(
    text: str, options: Mapping[str, Any], purpose: str, settings: Settings, as_of: date
) -> None:
    """`hold_question` for a line of words and options, read only where no money can be told."""
    if settings.dollar is None:
        question = question_from.read(text, options, settings, as_of, None, purpose)
        hold_question(question, purpose, settings, as_of)


def hold_question(question: Question, purpose: str, settings: Settings, as_of: date) -> None:
    """Raises Refused where no money can be told: the dangers of the unit, then what to set."""
    if settings.dollar is not None:
        return
    dangers = cautions.dangers_first(question, purpose, settings, as_of)
    said = [Problem(one, kind="danger") for one in dict.fromkeys(one.full for one in dangers)]
    try:
        rate(settings)
    except Refused as refusal:
        raise Refused(*said, *refusal.problems) from None
