"""The story on the bench: the ways on from here, and what was found written down."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from pricing.basis.problems import refused
from pricing.basis.rules import Rules, said_of

if TYPE_CHECKING:
    from pricing.advice.bench import BenchAnswer
    from pricing.basis.home import Home
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved


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
