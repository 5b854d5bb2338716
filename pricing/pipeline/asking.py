"""The stories of a sale: ask, unsold, card. Nothing is fitted and no Parquet is read."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from pricing.advice import beside
from pricing.basis.home import Home
from pricing.model import saved

if TYPE_CHECKING:
    from pricing.advice.ask import AskAnswer
    from pricing.advice.card import Card
    from pricing.advice.unsold import Unsold
    from pricing.basis.problems import Problem
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved
    from pricing.pages.charts import Picture


def ask(question: Question, numbers: Saved, settings: Settings, as_of: date) -> AskAnswer:
    """What to ask for one unit."""
    from pricing.advice import ask as asking

    answer = asking.decide(question, numbers, settings, as_of)
    # what is not sold needs no promise, and no ads
    if answer.verdict.decision:
        return answer
    told = beside.of_sale(question, answer.price_at_ask.median, numbers, settings, as_of)
    return replace(answer, beside=told)


def picture(
    question: Question, numbers: Saved, settings: Settings, home: Home, day: date
) -> Picture:
    """The ask against days and money. Raises Refused where there is nothing to draw."""
    from pricing.advice.ask_curve import curve
    from pricing.pages import charts

    drawn = curve(question, numbers, settings, day)
    title = charts.titled(f"First ask, {question.type}", home, day)
    return charts.ask_curve(drawn, settings.currency, title)


def ask_file(
    path: Path, numbers: Saved, settings: Settings, day: date
) -> list[AskAnswer | Problem]:
    """Answers and problems in the order of the sheet's rows."""
    from pricing.advice.ask import decide_many
    from pricing.pipeline.question_from import answered

    return answered(path, settings, day, lambda some: decide_many(some, numbers, settings, day))


def unsold(home: Home, settings: Settings, as_of: date) -> Unsold:
    """Every unit of the record that has not ended."""
    from pricing.advice import unsold as waiting

    numbers = saved.load(home)
    return waiting.unsold(numbers.open_units(), numbers, settings, as_of)


def card(home: Home, unit_id: str, settings: Settings, as_of: date) -> Card:
    """The card of one open unit. Raises Refused where there is none of that name."""
    from pricing.advice import card as cards
    from pricing.pipeline.question_from import open_unit

    return cards.card(open_unit(unit_id, saved.load(home)), settings, as_of)
