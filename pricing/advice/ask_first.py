"""What to ask the owner first: each unknown by what knowing it is worth, in money.

    value = E[max(0, worth | answer - price)] - max(0, E[worth | answer] - price)

worth | answer is the limit that `offer` gives when the question is asked again with that answer, up
to the steps that asks are written in: it goes on by the plan of the unit as it was told, moved with
its price (`by_plan`). Answers are weighed by how often the person heard them, over labelled
starting shares.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.advice import costs
from pricing.advice.by_plan import Plans, by_plan
from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_faults
from pricing.basis.words import family_of
from pricing.formulas.faults import qualifier_fits
from pricing.model.repair import outlook
from pricing.model.repair.repair import RepairModel

if TYPE_CHECKING:
    from pricing.basis.question import Question
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved

MOST_ANSWERS = 6
LEAST_WORTH = 0.5  # money: an answer worth less is not worth the breath
OWN_PLAN = ("type", "made")  # kinds and years far apart are asked for in ways far apart
START_WEIGHT = 4.0  # units that the starting shares of ages and conditions count for
# Of the units on offer that have a feature, before any was heard. Own judgement.
FEATURE_SHARE = 0.25


@frozen
class Unknown:
    """One thing that is not told. question: as said on the phone; answers: label, chance (sum 1),
    the question asked again with it."""

    name: str
    question: str
    answers: tuple[tuple[str, float, Question], ...]


@frozen
class AskFirst:
    """An unknown by its worth in money. name: the field it fills; answers: (label, chance,
    pay_up_to if that is the answer); values: what each answer writes into the field, "" where it
    leaves it as it is."""

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


def value_of_answers(worths: np.ndarray, chances: np.ndarray, price: float) -> float:
    """Value of hearing the answer before deciding, money. worths: limit at each answer, (k,);
    chances: (k,), sum 1.

    Two answers, as likely, worth 100 and -60 at a price of 0: without asking 20, asked first 50.

    >>> value_of_answers(np.array([100.0, -60.0]), np.array([0.5, 0.5]), 0.0)
    30.0
    """
    gains = worths - price
    return float(chances @ np.maximum(gains, 0.0) - max(0.0, float(chances @ gains)))


def ask_first(
    question: Question, price: float, numbers: Saved, settings: Settings, as_of: date
) -> list[AskFirst]:
    """Unknowns of this question, the most worth first; those worth less than half a unit of money
    are left out."""
    return ask_first_many([question], [price], numbers, settings, as_of, {})[0]


Named = Sequence[tuple[str, float]]  # repairs that a unit may need, each with its chance


def ask_first_many(
    questions: Sequence[Question],
    prices: Sequence[float],
    numbers: Saved,
    settings: Settings,
    as_of: date,
    kept: Plans,
    named: Sequence[Named] | None = None,
) -> list[list[AskFirst]]:
    """The same for many questions, evaluated together. kept: plans found already, as in `by_plan`;
    named: the candidate repairs of each, where they are known already."""
    likely = (
        named
        if named is not None
        else [_named(question, numbers, settings) for question in questions]
    )
    unknowns = [
        unknowns_of(question, numbers, settings, as_of, repairs)
        for question, repairs in zip(questions, likely, strict=True)
    ]
    again = [
        variant for found in unknowns for unknown in found for _, _, variant in unknown.answers
    ]
    if not again:
        return [[] for _ in questions]
    planned = [
        one
        for found, question in zip(unknowns, questions, strict=True)
        for unknown in found
        for one in _planned_as(unknown, question)
    ]
    by = by_plan(planned, numbers, settings, as_of, kept)
    limits = costs.limits(again, numbers, settings, as_of, by)
    answers, place = [], 0
    for found, price in zip(unknowns, prices, strict=True):
        ranked = []
        for unknown in found:
            k = len(unknown.answers)
            worths, chances = (
                limits[place : place + k],
                np.array([chance for _, chance, _ in unknown.answers]),
            )
            place += k
            worth = value_of_answers(worths, chances, price)
            heard = tuple(
                (label, chance, float(limit))
                for (label, chance, _), limit in zip(unknown.answers, worths, strict=True)
            )
            if worth >= LEAST_WORTH:
                values = tuple(_value(unknown.name, *one) for one in unknown.answers)
                ranked.append(AskFirst(unknown.name, unknown.question, worth, heard, values))
        answers.append(sorted(ranked, key=lambda one: (-one.worth, one.question)))
    return answers


def _planned_as(unknown: Unknown, question: Question) -> Sequence[Question]:
    """By whose plan the unit goes at each answer, up to its price: by the plan as it stands; of
    kinds and years each by its own; of ages by the plan of the middle one, which is told no more
    than the others, while one that nobody knows is asked for with more care."""
    told = [again for _, _, again in unknown.answers]
    if unknown.name in OWN_PLAN:
        return told
    return [told[len(told) // 2] if unknown.name == "age" else question] * len(told)


def _value(name: str, label: str, _chance: float, told: Question) -> str:
    """What a form's field `name` holds once the question is told so."""
    if name == "made":
        return label
    value = told.unit.get("repair" if name == "found" else name)
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _named(question: Question, numbers: Saved, settings: Settings) -> Named:
    view = outlook.outlook(numbers.repair, [question.unit], settings)
    return list(zip(view.repair, view.chance.tolist(), strict=True))


def unknowns_of(
    question: Question, numbers: Saved, settings: Settings, as_of: date, likely: Named
) -> list[Unknown]:
    """The things left blank that an owner can tell, each with its answers."""
    model = numbers.repair
    unit = question.unit
    family = family_of(question.type, settings)
    found: list[Unknown] = []

    def blank(
        name: str, text: str, answers: Sequence[tuple[Any, float]], field: str, said: str = "{}"
    ) -> None:
        """What may stand in a field, each with its chance."""
        told = tuple(
            (said.format(one), chance, question.with_unit(**{field: one}))
            for one, chance in answers
        )
        found.append(Unknown(name, text, told))

    if kinds := _kinds(question.type, settings):
        blank("type", f"which kind of {question.type}?", kinds, "type")
    if len(question.made) > 1:
        ages = question.ages(as_of)
        answers = [
            (str(year), 1 / len(ages), question.with_unit(age=age))
            for year, age in zip(question.made, ages, strict=True)
        ]
        found.append(Unknown("made", "which year was it made?", tuple(answers)))
    elif unit.get("age") is None:
        heard = _ages(model.heard.get("age", {}))
        blank("age", "how old is it?", heard, "age", "{:g} yr")
    if unit.get("condition") is None:
        shares = _shares(model.heard.get("condition", {}), assumed.CONDITIONS_HEARD)
        blank("condition", "how does it look?", shares, "condition")
    if not unit.get("fault"):
        if faults := _faults(question.type, family, model, settings):
            blank("fault", "what does it do, or not do?", faults, "fault")
    elif not unit.get("found") and not unit.get("repair"):
        named = [(name, chance) for name, chance in likely if name]
        total = sum(chance for _, chance in named)
        if len(named) > 1:
            each = [(name, chance / total) for name, chance in named]
            blank("found", "what exactly is wrong?", each, "repair")
    if not unit.get("maker"):
        makers = _top({name: count for name, count in model.heard.get("maker", {}).items() if name})
        if len(makers) > 1:
            blank("maker", "what make is it?", makers, "maker")
    if not unit.get("features"):
        for feature, share in _features(model.heard.get(f"features:{family}", {})):
            answers = [
                ("yes", share, question.with_unit(features=feature)),
                ("no", 1 - share, question),
            ]
            found.append(Unknown("features", f"does it have {feature}?", tuple(answers)))
    return found


def _kinds(type_name: str, settings: Settings) -> list[tuple[str, float]]:
    """The likeliest kinds that an everyday name may mean ("washer": top-load, front-load) with
    their shares; none where the name says the kind or the person has figures for it."""
    if type_name in settings.assumed_types or type_name in settings.usual_price:
        return []
    likely = list(assumed.plain_kinds(type_name).items())[:MOST_ANSWERS]
    whole = sum(share for _, share in likely)
    return [(name, share / whole) for name, share in likely]


def _ages(heard: Mapping[str, float]) -> list[tuple[float, float]]:
    """Five ages, a fifth of the units each: the middle of each fifth of those heard, over the
    starting ages."""
    start = {f"{age:g}": START_WEIGHT / len(assumed.AGES_HEARD) for age in assumed.AGES_HEARD}
    counts = {age: heard.get(age, 0.0) + start.get(age, 0.0) for age in {*heard, *start}}
    ages = np.array(sorted(map(float, counts)))
    reached = np.cumsum([counts[f"{age:g}"] for age in ages.tolist()])
    middles = [
        float(ages[np.searchsorted(reached, level * reached[-1])])
        for level in (0.1, 0.3, 0.5, 0.7, 0.9)
    ]
    return [(age, middles.count(age) / 5) for age in dict.fromkeys(middles)]


def _shares(heard: Mapping[str, float], start: Mapping[str, float]) -> list[tuple[str, float]]:
    counts = {word: heard.get(word, 0.0) + START_WEIGHT * share for word, share in start.items()}
    total = sum(counts.values())
    return [(word, count / total) for word, count in counts.items()]


def _top(counts: Mapping[str, float]) -> list[tuple[str, float]]:
    named = sorted(counts.items(), key=lambda pair: (-pair[1], pair[0]))[:MOST_ANSWERS]
    total = sum(count for _, count in named)
    return [(word, count / total) for word, count in named]


def _faults(
    type_name: str, family: str, model: RepairModel, settings: Settings
) -> list[tuple[str, float]]:
    """Faults of this kind of appliance: those ended on this type and its like, over the rows of the
    starting table."""
    kinds = assumed.fault_families(type_name, family)
    counts = {
        row.fault: 1.0
        for row in assumed_faults(settings)
        if row.family in kinds and row.family != "any" and row.fault not in assumed.ANY_FAULTS
    }
    for (fault, other), (n, _) in model.fixed_of.items():
        if fault and assumed.fault_families(other, family_of(other, settings)) == kinds:
            counts[fault] = counts.get(fault, 0.0) + n
    return _top({fault: n for fault, n in counts.items() if qualifier_fits(fault, type_name)})


def _features(heard: Mapping[str, float]) -> list[tuple[str, float]]:
    """The three features heard most in this family, with their share of its units."""
    n = heard.get("", 0.0)
    named = sorted(
        ((count, word) for word, count in heard.items() if word),
        key=lambda pair: (-pair[0], pair[1]),
    )[:3]
    return [(word, (count + 2 * FEATURE_SHARE) / (n + 2)) for count, word in named]
