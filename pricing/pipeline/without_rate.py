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
    """Nothing where money can be told; else raises Refused: the dangers of the unit first, then
    what to set. purpose: as `cautions.STAGES`."""
    if settings.dollar is not None:
        return
    told = cautions.dangers_first(question, purpose, settings, as_of)
    dangers = dict.fromkeys(one.full for one in told)
    said = [Problem(one, kind="danger") for one in dangers]
    try:
        rate(settings)
    except Refused as refusal:
        raise Refused(*said, *refusal.problems) from None
