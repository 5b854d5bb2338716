"""The stories before the drive: one offer, many from a sheet, and the calls of one evening."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from pricing.advice import beside, door_test
from pricing.advice import evening as choice
from pricing.advice.by_plan import by_plan
from pricing.advice.evening import Call, EveningPlan
from pricing.advice.lot import judge
from pricing.advice.offer import decide, decide_many
from pricing.advice.offer_record import ByKind, OfferAnswer
from pricing.advice.together import once_fixed
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Problem
from pricing.basis.question import Question
from pricing.basis.rules import Rules, said_of
from pricing.basis.settings import Settings
from pricing.formulas.limit import HAUL
from pricing.model.price.price import likely_kinds
from pricing.model.saved import Saved


def offer(
    question: Question, numbers: Saved, settings: Settings, as_of: date, rules: Rules = ()
) -> OfferAnswer:
    """One answer; of several units in one call each, and the lot. rules: the person's own."""
    answer = decide(question, numbers, settings, as_of)
    told = beside.of_call(question, numbers, settings, as_of)
    unit = dict(question.unit) | {"miles": question.known.get("miles")}
    answer = replace(
        answer,
        beside=told | _door_tests(answer, numbers, settings, as_of),
        warnings=(*said_of(rules, unit, answer.price.median), *answer.warnings),
    )
    if len(question.each) < 2:
        return replace(answer, by_kind=kinds_of(question, numbers, settings, as_of))
    return replace(answer, lot=judge(question, numbers, settings, as_of))


def _door_tests(
    answer: OfferAnswer, numbers: Saved, settings: Settings, as_of: date
) -> dict[str, Any]:
    """The two-minute tests worth most; none where a danger was told or a decision stands."""
    if answer.verdict.decision or answer.verdict.as_dict()["dangers"]:
        return {}

    def limits_of(questions: Sequence[Question]) -> list[float]:
        return [one.pay_up_to for one in decide_many(questions, numbers, settings, as_of)]

    tests = door_test.ranked(answer.question, answer.pay_up_to, answer.paid, limits_of)
    return {"door_tests": [one.as_dict() for one in tests]} if tests else {}


def kinds_of(
    question: Question, numbers: Saved, settings: Settings, as_of: date
) -> tuple[ByKind, ...]:
    """The limit of each likely kind where a plain word leaves the kind open (`open_kinds`)."""
    types, own = numbers.price.encoding.types, numbers.price.types
    kinds = likely_kinds(types, own, str(question.unit.get("type", "")))
    asked = [replace(question, unit=dict(question.unit) | {"type": kind}) for kind, _ in kinds]
    answers = decide_many(asked, numbers, settings, as_of)
    return tuple(
        ByKind(kind, share, one.pay_up_to)
        for (kind, share), one in zip(kinds, answers, strict=True)
        if not one.verdict.decision
    )


def offer_file(
    path: Path, numbers: Saved, settings: Settings, day: date
) -> list[OfferAnswer | Problem]:
    """Answers and problems in the order of the sheet's rows."""
    from pricing.pipeline.question_from import answered

    return answered(path, settings, day, lambda some: decide_many(some, numbers, settings, day))


def problem_json(problem: Problem) -> dict[str, Any]:
    """A row that could not be read, as the JSON object of its place."""
    told = problem.as_dict()
    names = [name for name in told if name in ("line", "column", "value", "fix")]
    return {"problem": str(problem)} | {name: told[name] for name in names}


@frozen
class EveningAnswer:
    """Which calls to take, by place in the list. hours_free, spots_free: as given, or as settings
    allow; look_first: where one spot is free, the order to look in, with the worth to stop at;
    sells_for: what the calls taken sell for together once fixed."""

    hours_free: float
    spots_free: int
    best: EveningPlan
    second: EveningPlan | None
    look_first: tuple[tuple[int, float], ...]
    sells_for: dict[str, float]


def evening(
    answers: Sequence[OfferAnswer | Problem],
    hours_free: float | None,
    spots_free: int | None,
    numbers: Saved,
    settings: Settings,
    as_of: date,
) -> EveningAnswer:
    """The best plan of an evening over the answered calls; by default no limit on hours, and the
    spots of the settings."""
    hours = 24.0 if hours_free is None else hours_free
    spots = int(settings.spots) if spots_free is None else spots_free
    none = choice.Call(0.0, 0.0)
    calls = [none if isinstance(one, Problem) else call_of(one, settings) for one in answers]
    plans = choice.choose(calls, hours, spots)
    look = []
    for place, (call, one) in enumerate(zip(calls, answers, strict=True)):
        fits = spots == 1 and call.worth > 0 and call.hours <= hours
        if fits and not isinstance(one, Problem) and one.advice == HAUL:
            out = one.at_curb_pay_up_to - one.pay_up_to
            look.append((place, choice.reservation(call.boxes, max(out, 0.0))))
    look.sort(key=lambda pair: (-pair[1], pair[0]))
    read = [answers[place] for place in plans.best.taken]
    taken = [one.question for one in read if not isinstance(one, Problem)]
    sold = once_fixed(taken, by_plan(taken, numbers, settings, as_of), numbers, settings, as_of)
    return EveningAnswer(hours, spots, plans.best, plans.second, tuple(look), sold)


def call_of(answer: OfferAnswer, settings: Settings) -> Call:
    """What an evening needs of an answer: worth at their price, hours, what a look may show."""
    spent = answer.costs
    worth = answer.pay_up_to - answer.paid if answer.advice == HAUL else 0.0
    out, paid = answer.at_curb_pay_up_to - answer.pay_up_to, answer.paid
    boxes = tuple((max(top - paid + out, 0.0), chance) for top, chance in answer.by_repair)
    return Call(worth, spent.drive_hours + spent.load_hours, boxes)


def plan_json(plan: EveningAnswer, place: int) -> dict[str, Any]:
    """What the evening's plan says of one row: its turn in the best plans; None where left out."""

    def turn(taken: tuple[int, ...]) -> int | None:
        return taken.index(place) + 1 if place in taken else None

    return {
        "evening": {
            "take": turn(plan.best.taken),
            "second_best": turn(plan.second.taken) if plan.second else None,
            "worth": plan.best.worth,
            "hours_left": plan.best.hours_left,
            "spots_left": plan.best.spots_left,
            "sells_for": plan.sells_for,
        }
    }


def write_passed(
    answer: OfferAnswer, drove: bool, home: Home, settings: Settings, as_of: date
) -> str:
    """Write down a call that was passed on: the drive where there was one, else the minutes on the
    phone (`--minutes`). One line that says so; `pricing undo` takes it back."""
    from pricing.pipeline import by_hand

    question, spent = answer.question, answer.costs
    cells = {
        "type": question.type,
        "outcome": "trip",
        "got": as_of.isoformat(),
        "note": f"{'empty trip' if drove else 'passed on'}: {question.as_read}",
    }
    minutes = question.known.get("minutes", 0.0)
    if drove:
        # At the curb the costs of the answer are the way home alone
        share = 2.0 if question.at_curb else 1.0
        cells |= {
            "drive_min": f"{60 * (spent.drive_hours * share + spent.load_hours):.0f}",
            "haul_cost": f"{spent.truck * share + spent.helper:.2f}",
        }
        if "miles" in question.known:
            cells["miles"] = f"{question.known['miles']:g}"
    elif minutes:
        cells["hours"] = f"{minutes / 60:.2f}"
    name, _ = by_hand.new_row(home, "trip" if drove else "call", cells, settings, as_of)
    return f"Written down as {name}: {cells['note']}. Take it back: pricing undo"
