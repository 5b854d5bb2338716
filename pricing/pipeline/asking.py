"""The stories of a unit: ask, bench, unsold, card. Nothing is fitted and no Parquet is read."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pricing.advice import beside
from pricing.basis.home import Home
from pricing.basis.problems import refused
from pricing.basis.rules import Rules, said_of
from pricing.model import saved

if TYPE_CHECKING:
    from pricing.advice.ask import AskAnswer
    from pricing.advice.bench import BenchAnswer
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


# ---- The story on the bench: the ways on from here, and what was found written down
def bench(
    question: Question, numbers: Saved, settings: Settings, as_of: date, rules: Rules = ()
) -> BenchAnswer:
    """The ways on, with what is spent on a unit of the record, and the own `rules` against it."""
    from pricing.advice.bench import decide

    if question.unit.get("unit"):
        spent = spent_on(dict(question.unit))
        question = replace(question, known=spent | dict(question.known))
    answer = decide(question, numbers, settings, as_of)
    against = said_of([rule for rule in rules if rule.found], question.unit, answer.price)
    return replace(answer, warnings=(*against, *answer.warnings))


def spent_on(unit: dict[str, Any]) -> dict[str, float]:
    """What the record says is in a unit already: money and hours on it, as far as written."""

    def written(*names: str) -> list[float]:
        return [float(unit[name]) for name in names if unit.get(name) is not None]

    money = written("paid", "parts", "haul_cost", "helper", "cost_in")
    minutes = written("diagnose_min", "repair_min", "clean_min")
    hours = sum(written("hours")) if written("hours") else sum(minutes) / 60
    spent = {"spent_money": sum(money)} if money else {}
    return spent | ({"spent_hours": hours} if hours else {})


def write_found(unit_id: str, found: str, home: Home, settings: Settings, as_of: date) -> str:
    """Write what was found into the record; one line that says so. Refused where it cannot be."""
    from pricing.pipeline import by_hand

    before = by_hand.current(home, unit_id)
    if before is None:
        fix = "check the number, or leave --write out"
        raise refused(f"unit {unit_id!r} is not in your record", fix)
    by_hand.change_unit(home, unit_id, {"found": found}, before["batch"], settings, as_of, "found")
    return f"Written down: unit {unit_id}, found {found}. (pricing undo takes it back)"
