"""From an answer to a unit of the list by one press: the columns that a question told."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from pricing.advice import cautions
from pricing.basis.problems import Problem, Refused
from pricing.basis.question import Question
from pricing.pipeline import asking, offering, proving, question_from
from pricing.web.asked import AskedPage, asked_as, own_words
from pricing.web.place import here

TOLD = (
    "type", "maker", "age", "features", "condition", "fault", "found", "repair", "size", "finish",
    "fuel", "model",
)  # fmt: skip


def _new(asked: AskedPage) -> Question | None:
    """What was asked, of a unit that does not stand in the list already."""
    return None if asked.filled.typed.get("unit") else asked.question


def _costs(question: Question) -> dict[str, str]:
    """What they want is what was paid; how far it was."""
    pairs = (("their_price", "paid"), ("miles", "miles"))
    known = question.known
    return {column: f"{known[name]:.10g}" for name, column in pairs if name in known}


def of_offer(asked: AskedPage) -> Mapping[str, str] | None:
    """Picked up today at their price; None where it stands in the list already."""
    question = _new(asked)
    if question is None:
        return None
    when = {"got": here().today().isoformat(), "what": "kept from an offer"}
    return {**told(question), **when, **_question(asked), **_costs(question)}


def of_words(words: str) -> tuple[dict[str, str], str, tuple[Problem, ...]]:
    """A unit told in a sentence as the columns of the list, how it was read, and its dangers."""
    settings, today = here().settings(), here().today()
    as_call = re.sub(r"\b(paid|gave|cost me|spent|for)\s+(?=\W?\d)", "wants ", words, flags=re.I)
    found = question_from.understood(as_call, settings, today, own_words(), "offer")
    dangers = cautions.verdict_of(replace(found, said=words), cautions.BENCH, settings, today)
    read = question_from.said_back(found, settings).replace(", wants ", ", paid ")
    return told(found) | _costs(found), read, as_problems(dangers)


def as_problems(verdict: cautions.Verdict) -> tuple[Problem, ...]:
    """The dangers of a unit as they stand above a form."""
    return tuple(Problem(said.short, kind="danger") for said in verdict.dangers)


def passed_on(asked: AskedPage) -> str:
    """The form's address for a call that was passed on, or the trip; "" where it is listed."""
    question = _new(asked)
    if question is None:
        return ""
    row = {"type": question.type, "note": question.as_read[:300], "question": asked.query}
    if question.at_curb and "miles" in question.known:
        row["miles"] = f"{question.known['miles']:.10g}"
    return f"/records/new/{'trip' if question.at_curb else 'call'}?{urlencode(row)}"


def of_bench(asked: AskedPage) -> Mapping[str, str] | None:
    if (question := _new(asked)) is None:
        return None
    return {**told(question), "got": here().today().isoformat(), "what": "kept from the bench"}


def of_ask(asked: AskedPage, ask: float) -> Mapping[str, str] | None:
    """Listed today at the recommended ask."""
    question = _new(asked)
    if question is None:
        return None
    when = {"listed": here().today().isoformat(), "asked": f"{ask:.10g}", "outcome": "listed"}
    return {**told(question), **when, "what": "kept from an ask", **_question(asked)}


def _question(asked: AskedPage) -> dict[str, str]:
    return {"answer_of": asked.name, "question": asked.query}


def keep_answer(name: str, query: str, unit: str) -> None:
    """Keep the answer that a unit came from, for `pricing accuracy`, where that can be."""
    place = here()
    if name not in ("offer", "ask"):
        return
    try:
        question = asked_as(name, query)
        story = offering.offer if name == "offer" else asking.ask
        answer: dict[str, Any] = story(question, *place.now()).as_dict()
    except Refused:
        return
    answer["unit"] = {**answer["unit"], "unit": unit}
    proving.keep_answer(place.home, answer, None, place.today())


def told(question: Question) -> dict[str, str]:
    """The columns of a unit that a question told."""
    own = tuple(here().settings().attributes)
    row = {
        name: f"{value:.10g}" if isinstance(value, float) else str(value)
        for name in (*TOLD, *own)
        if (value := question.unit.get(name)) not in (None, "")
    }
    if question.made:
        row["made"] = ", ".join(map(str, question.made))
    return row
