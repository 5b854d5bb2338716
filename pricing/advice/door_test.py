"""Two-minute tests for the phone and the door, each by what its answer is worth in money.

    value = E[max(0, limit | answer - price)] - max(0, E[limit | answer] - price)

The limit after an answer that makes a fault likely is the one that `offer` gives for that fault;
the answers that point to none share what is left, so that the answers weighed by their chances give
back the limit before asking. Tests with a caution beside them, or with a meter at an open back, are
never named here: those are no two minutes at a stranger's door.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from pricing.advice.ask_first import AskFirst
from pricing.basis.question import Question
from pricing.formulas.unknowns import LEAST_WORTH, value_of_answers
from pricing.words.tables import rows

MOST = 3
UNTOLD = 'not known / "doesn\'t work"'


def tests_for(type_name: str, fault: str) -> dict[str, list[dict[str, Any]]]:
    """The tests of a type and what was told, each with its answers."""
    told = fault or UNTOLD
    found: dict[str, list[dict[str, Any]]] = {}
    for row in rows("door_tests"):
        if type_name in row["types"] and row["told_before"] == told:
            found.setdefault(row["test"], []).append(row)
    return {
        name: answers
        for name, answers in found.items()
        if not any(row["danger_tag"] or "bench" in row["at"] for row in answers)
        and any(row["then_told_as"] for row in answers)
    }


def ranked(
    question: Question,
    limit: float,
    price: float,
    limits_of: Callable[[Sequence[Question]], Sequence[float]],
) -> list[AskFirst]:
    """The tests worth most first. limit: the most to pay before any; price: what is paid else."""
    tests = tests_for(question.type, str(question.unit.get("fault") or ""))
    # several tests lead to one fault: its limit is asked for once
    told = dict.fromkeys(
        row["then_told_as"] for each in tests.values() for row in each if row["then_told_as"]
    )
    asked = [replace(question, unit={**question.unit, "fault": fault}) for fault in told]
    by_fault = dict(zip(told, limits_of(asked), strict=True)) if asked else {}
    found = [_worth(each, by_fault, limit, price) for each in tests.values()]
    worth_it = (one for one in found if one.worth >= LEAST_WORTH)
    return sorted(worth_it, key=lambda one: -one.worth)[:MOST]


def _worth(
    answers: list[dict[str, Any]], by_fault: dict[str, float], limit: float, price: float
) -> AskFirst:
    chances = np.array([float(row["share_untold"]) for row in answers])
    chances = chances / chances.sum()
    named = np.array([bool(row["then_told_as"]) for row in answers])
    limits = np.array([by_fault.get(row["then_told_as"], 0.0) for row in answers])
    # an answer that names no fault has no limit of its own: it gets what keeps the mean as it was
    if not named.all():
        rest = float(chances[~named].sum())
        limits[~named] = (limit - float(chances[named] @ limits[named])) / rest
    return AskFirst(
        "fault",
        answers[0]["question"],
        value_of_answers(limits.tolist(), chances.tolist(), price),
        tuple(
            (row["answer"], float(chance), float(most))
            for row, chance, most in zip(answers, chances, limits, strict=True)
        ),
        tuple(row["then_told_as"] for row in answers),
    )
