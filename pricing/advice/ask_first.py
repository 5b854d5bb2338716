"""What to ask the owner first: each unknown by what knowing it is worth, in money.

    value = E[max(0, worth | answer - price)] - max(0, E[worth | answer] - price)

worth | answer is the limit that `offer` gives when the question is asked again with that answer, up
to the steps that asks are written in: it goes on by the plan of the unit as it was told, moved with
its price (`by_plan`). Answers are weighed by how often the person heard them, over labelled
starting shares.
"""

from collections.abc import Sequence
from datetime import date
from typing import Any

from pricing.advice import costs
from pricing.advice.by_plan import Plans, by_plan
from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_faults
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.words import family_of
from pricing.formulas import unknowns as formulas
from pricing.model.repair import outlook
from pricing.model.saved import Saved


@frozen
class Unknown:
    """One thing that is not told. question: as said on the phone; answers: label, chance (sum 1),
    the question asked again with it; values: what each writes into the field."""

    name: str
    question: str
    answers: tuple[tuple[str, float, Question], ...]
    values: tuple[str, ...]


@frozen
class AskFirst:
    """An unknown by its worth in money. name: the field it fills; answers: (label, chance,
    pay_up_to then); values: what each writes into the field, "" where it stays."""

    name: str
    question: str
    worth: float
    answers: tuple[tuple[str, float, float], ...]
    values: tuple[str, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        return {
            "name": self.name,
            "question": self.question,
            "worth": self.worth,
            "answers": [
                {"answer": label, "chance": chance, "pay_up_to": limit, "value": value}
                for (label, chance, limit), value in zip(self.answers, self.values, strict=True)
            ],
        }


def ask_first(
    question: Question, price: float, numbers: Saved, settings: Settings, as_of: date
) -> list[AskFirst]:
    """Unknowns of this question, the most worth first; those worth less than half a unit of money
    are left out."""
    view = outlook.outlook(numbers.repair, [question.unit], settings)
    named = list(zip(view.repair, view.chance.tolist(), strict=True))
    return ask_first_many([question], [price], numbers, settings, as_of, {}, [named])[0]


Named = Sequence[tuple[str, float]]  # repairs that a unit may need, each with its chance


def ask_first_many(
    questions: Sequence[Question],
    prices: Sequence[float],
    numbers: Saved,
    settings: Settings,
    as_of: date,
    kept: Plans,
    named: Sequence[Named],
) -> list[list[AskFirst]]:
    """The same for many questions together. kept: plans found; named: candidate repairs."""
    unknowns = [
        unknowns_of(question, numbers, settings, as_of, repairs)
        for question, repairs in zip(questions, named, strict=True)
    ]
    every = (unknown.answers for found in unknowns for unknown in found)
    again = [variant for told in every for _, _, variant in told]
    if not again:
        return [[] for _ in questions]
    planned = [
        one
        for found, question in zip(unknowns, questions, strict=True)
        for unknown in found
        for one in _planned_as(unknown, question)
    ]
    by = by_plan(planned, numbers, settings, as_of, kept)
    limits = costs.limits(again, numbers, settings, as_of, by).tolist()
    answers, place = [], 0
    for found, price in zip(unknowns, prices, strict=True):
        ranked = []
        for unknown in found:
            worths = limits[place : place + len(unknown.answers)]
            place += len(worths)
            chances = [chance for _, chance, _ in unknown.answers]
            worth = formulas.value_of_answers(worths, chances, price)
            if worth >= formulas.LEAST_WORTH:
                labels = [label for label, _, _ in unknown.answers]
                heard = tuple(zip(labels, chances, worths, strict=True))
                told = (unknown.name, unknown.question, worth, heard, unknown.values)
                ranked.append(AskFirst(*told))
        answers.append(sorted(ranked, key=lambda one: (-one.worth, one.question)))
    return answers


def _planned_as(unknown: Unknown, question: Question) -> Sequence[Question]:
    """By whose plan the unit goes at each answer, up to its price: of kinds and years each by its
    own; of ages by that of the middle one; else as it stands."""
    told = [again for _, _, again in unknown.answers]
    if unknown.name in formulas.OWN_PLAN:
        return told
    return [told[len(told) // 2] if unknown.name == "age" else question] * len(told)


def unknowns_of(
    question: Question, numbers: Saved, settings: Settings, as_of: date, likely: Named
) -> list[Unknown]:
    """The things left blank that an owner can tell, each with its answers."""
    kind, model = question.type, numbers.repair

    def kinds_of(name: str) -> Sequence[str]:
        return assumed.fault_families(name, family_of(name, settings))

    def faults() -> list[tuple[str, float]]:
        rows, fixed = assumed_faults(settings), model.fixed_of.items()
        return formulas.faults_of(kind, rows, fixed, kinds_of, assumed.ANY_FAULTS)

    # the person has figures of his own for such a name
    own = kind in settings.assumed_types or kind in settings.usual_price
    made = list(zip(question.made, question.ages(as_of), strict=False))
    family, kinds = family_of(kind, settings), {} if own else assumed.plain_kinds(kind)
    told = (question.unit, made, model.heard)
    found = formulas.unknowns(*told, family, kinds, faults, lambda: likely)
    return [
        Unknown(
            name,
            text,
            tuple((label, chance, question.with_unit(**told)) for label, chance, told, _ in each),
            tuple(value for _, _, _, value in each),
        )
        for name, text, each in found
    ]
