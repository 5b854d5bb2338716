"""Forms: their fields, typed words and numbers read, each mistake said beside its field."""

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from pricing.basis import said_number
from pricing.basis.problems import Problem

LONGEST = 2_000  # characters of one field


@dataclass(frozen=True)
class Field:
    """One field. name: as the stories call it; words: its label; kind: text, area, number, money,
    date, choice, pick or tick; hint: what may be written; ends: the unit behind a number; low,
    high: its bounds; choices: (value, words); complete: which list of own words completes it."""

    name: str
    words: str
    kind: str = "text"
    hint: str = ""
    ends: str = ""
    low: float = -math.inf
    high: float = math.inf
    choices: tuple[tuple[str, str], ...] = ()
    complete: str = ""


@dataclass(frozen=True)
class Filled:
    """A form as sent. values: read, no blanks; typed: as typed; wrong: field name -> sentence."""

    values: Mapping[str, Any] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)
    wrong: Mapping[str, str] = field(default_factory=dict)


def read(
    fields: Iterable[Field], given: Mapping[str, str], latest: date | None = None, mark: str = "."
) -> Filled:
    """What was typed, read field by field; a mistake keeps what was typed. latest: the last day
    that a day may be, where that is checked here; mark: the decimal mark of the settings."""
    values: dict[str, Any] = {}
    typed: dict[str, str] = {}
    wrong: dict[str, str] = {}
    for one in fields:
        text = given.get(one.name, "").strip()
        if not text:
            continue
        typed[one.name] = text
        if len(text) > LONGEST:
            wrong[one.name] = f"That is {len(text):,} characters; {LONGEST:,} fit here."
        elif one.kind in ("number", "money"):
            value = _number(one, text, mark)
            if isinstance(value, str):
                wrong[one.name] = value
            else:
                values[one.name] = value
        elif one.kind in ("choice", "pick"):
            if text in [value for value, _ in one.choices]:
                values[one.name] = text
            else:
                wrong[one.name] = f"“{short(text)}” is not one of the choices."
        elif one.kind == "date" and latest is not None and (mistake := _no_day(text, latest)):
            wrong[one.name] = mistake
        elif one.kind == "tick":
            values[one.name] = True
        else:
            values[one.name] = text
    return Filled(values, typed, wrong)


def _number(one: Field, text: str, mark: str) -> float | str:
    """The number that was typed, or what is wrong with it."""
    found = said_number.typed(text, mark, one.kind == "money")
    if not found:
        return (
            f"“{short(text)}” is not a number I can read. Write digits, like"
            f" {'40' if one.kind == 'money' else '8'}, or leave it empty."
        )
    if len(found) > 1:
        first, other = (f"{value:.10g}" for value in found)
        return f"“{short(text)}” can be read as {first} or as {other}. Write one of these."
    if not one.low <= found[0] <= one.high:
        low, high = _bound(one, one.low), _bound(one, one.high)
        return f"{short(text)} is not possible here: from {low} to {high}."
    return found[0]


def _bound(one: Field, value: float) -> str:
    """An end of what a number may be: `2,000 mi`, `$0.01`."""
    digits, sign = f"{abs(value):,.10g}", "-" if value < 0 else ""
    told = f"{one.ends}{digits}" if one.kind == "money" else f"{digits} {one.ends}".rstrip()
    return sign + told


def _no_day(text: str, latest: date) -> str:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return f"“{short(text)}” is not a day. Write it as {latest.isoformat()}."
    return "That day is still to come." if day > latest else ""


def given(fields: Iterable[Field], told: Mapping[str, str]) -> dict[str, str]:
    """What an address fills in."""
    return {one.name: told[one.name][:LONGEST] for one in fields if told.get(one.name)}


def refused_form(
    problems: Sequence[Problem], fields: Sequence[Field], filled: Filled
) -> tuple[Filled, list[Problem]]:
    """The form again with what was typed and what is wrong with it; problems of no field."""
    beside, above = place_problems(problems, fields, filled.typed)
    return Filled({}, filled.typed, beside), above


def with_wrong(filled: Filled, name: str, sentence: str) -> Filled:
    """The same form with one more mistake, unless that field has one already."""
    return Filled(filled.values, filled.typed, {name: sentence, **filled.wrong})


def plain(filled: Filled) -> dict[str, str]:
    """What was typed as a sheet would hold it: numbers as plain digits, the rest as typed."""
    return {
        name: f"{value:.4f}".rstrip("0").rstrip(".")
        if isinstance(value, float)
        else filled.typed[name]
        for name, value in filled.values.items()
    }


def short(text: str, most: int = 40) -> str:
    """The beginning of a long text."""
    return text if len(text) <= most else text[: most - 1] + "…"


def place_problems(
    problems: Sequence[Problem], fields: Sequence[Field], typed: Collection[str]
) -> tuple[dict[str, str], list[Problem]]:
    """Problems of a story in words of the page: beside the fields typed in, and on top."""
    words = {one.name: one.words for one in fields}
    beside: dict[str, str] = {}
    above: list[Problem] = []
    for problem in problems:
        name = problem.option or problem.column or ""
        if name == "age" and name not in typed:
            name = "made"  # the age was worked out from it
        if name in words and name in typed and name not in beside:
            beside[name] = sentence(problem)
        elif name in words:
            above.append(replace(problem, what=f"“{words[name]}”: {problem.what}"))
        else:
            above.append(problem)
    return beside, above


def sentence(problem: Problem) -> str:
    """A problem as one or two sentences, without its place."""
    what = problem.what[:1].upper() + problem.what[1:]
    expected = f" (expected: {problem.expected})" if problem.expected else ""
    fix = f" {problem.fix[:1].upper()}{problem.fix[1:]}." if problem.fix else ""
    return f"{what}{expected}.{fix}".replace("..", ".")
