"""One question before a sale: the unit as far as it is told, the numbers that the person knows
better, and what was understood; checked here once, at the door."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import field, replace
from datetime import date
from typing import Any

from pricing.basis.columns import BY_NAME, CONDITIONS
from pricing.basis.frozen import frozen
from pricing.basis.problems import Problem, Refused, meant, option_of
from pricing.basis.settings import Settings
from pricing.basis.word_tables import known_names
from pricing.words.as_question import of_other_trade


@frozen
class Known:
    """A number that the person knows better than any estimate, without a range. low and high bound
    what is possible at all: more than that is a slip of the pen."""

    name: str
    low: float
    high: float
    unit: str
    meaning: str

    @property
    def option(self) -> str:
        return option_of(self.name)


KNOWN = tuple(
    Known(name, float(low), float(high), *rest) for name, low, high, *rest in known_names("known")
)
BY_KNOWN = {known.name: known for known in KNOWN}
UNIT_LIMITS = {"age": (0.0, 120.0), "size": (0.0, 1e5), "warranty_days": (0.0, 3_650.0)}
OLDEST_MADE = 1930


@frozen
class Question:
    """unit: typed canonical columns and own attributes (blank ones left out); known: see KNOWN;
    made: the years it may be from; at_curb: the drive out is spent; warnings: what was not
    understood; as_read: the question in our words; heard: how the line was read (`pricing read`);
    said: the line itself; each: the units of a line that tells of several."""

    unit: Mapping[str, Any] = field(default_factory=dict)
    known: Mapping[str, float] = field(default_factory=dict)
    made: tuple[int, ...] = ()
    at_curb: bool = False
    warnings: tuple[str, ...] = ()
    as_read: str = ""
    heard: Mapping[str, Any] = field(default_factory=dict)
    said: str = ""
    each: tuple[Question, ...] = ()

    @property
    def asked_back(self) -> list[str]:
        """Fields whose number was said, not understood: no verdict rests on a default there."""
        asked = self.heard.get("asks_back", ())
        return [name for name in asked if name in BY_KNOWN and name not in self.known]

    @property
    def heard_still(self) -> dict[str, Any]:
        """`heard`, with the fields that still wait for a number under "waits"."""
        return {**self.heard, "waits": self.asked_back} if self.heard else {}

    @property
    def type(self) -> str:
        return str(self.unit.get("type") or "")

    def ages(self, as_of: date) -> tuple[float | None, ...]:
        """The ages it may have: one, several where `made` does, (None,) where nothing is known.

        >>> Question({"type": "gas dryer"}, made=(2006, 2016)).ages(date(2026, 4, 30))
        (20.0, 10.0)
        """
        if self.made:
            return tuple(float(max(as_of.year - year, 0)) for year in self.made)
        age = self.unit.get("age")
        return (None if age is None else float(age),)

    def with_unit(self, **columns: Any) -> Question:
        """The same question with some columns told; None takes one back."""
        told = {**self.unit, **columns}
        unit = {name: value for name, value in told.items() if value is not None}
        return replace(self, unit=unit, made=() if "age" in columns else self.made)


def checked(question: Question, settings: Settings, as_of: date) -> Question:
    """The question itself, or Refused with every number that cannot be."""
    problems = [*_known_problems(question.known), *_unit_problems(question, settings)]
    problems += _made_problems(question, as_of)
    other = of_other_trade(dict(question.heard), question.type)
    if other:
        problems.insert(0, Problem(other[0], other[1], option="type"))
    if not question.type:
        what = "I do not know what it is"
        fix = "name the type: electric dryer, front-load washer, gas range, …"
        problems.insert(0, Problem(what, fix, option="type"))
    if problems:
        raise Refused(*problems)
    return question


def _known_problems(known: Mapping[str, float]) -> Iterable[Problem]:
    for name, value in known.items():
        if name not in BY_KNOWN:
            fix = meant(name, tuple(BY_KNOWN), "leave it out")
            yield Problem(f"there is no number called {name}", fix)
            continue
        rule = BY_KNOWN[name]
        if not (math.isfinite(value) and rule.low <= value <= rule.high):
            hint = f"write {rule.meaning} in that range, or leave it out"
            if name == "fix_chance" and 1 < value <= 100:
                hint = f"0.9 means 9 in 10; write {value / (10 if value <= 10 else 100):g}"
            what = f"{value:g} is not from {rule.low:,g} to {rule.high:,.0f} ({rule.unit})"
            yield Problem(what, hint, option=name)


def _unit_problems(question: Question, settings: Settings) -> Iterable[Problem]:
    for name, (low, high) in UNIT_LIMITS.items():
        value = question.unit.get(name)
        if value is not None and not (
            isinstance(value, (int, float)) and math.isfinite(value) and low <= value <= high
        ):
            what = f"{value} is not from {low:g} to {high:g} ({BY_NAME[name].unit})"
            yield Problem(what, f"give the {name} in that range, or leave it out", option=name)
    condition = question.unit.get("condition")
    if condition is not None and condition not in CONDITIONS:
        fix = meant(str(condition), CONDITIONS, f"one of: {', '.join(CONDITIONS)}")
        yield Problem(f"condition {condition!r} is not one I know", fix, option="condition")
    for name in settings.number_attributes:
        value = question.unit.get(name)
        if value is not None and not (isinstance(value, (int, float)) and math.isfinite(value)):
            what = f"{name} {value!r} is not a number"
            yield Problem(what, f"give {name} as a number, or leave it out", option=name)


def _made_problems(question: Question, as_of: date) -> Iterable[Problem]:
    for year in question.made:
        if not OLDEST_MADE <= year <= as_of.year:
            why = "too old" if year < OLDEST_MADE else "still to come"
            fix = f"give a year from {OLDEST_MADE} to {as_of.year}"
            yield Problem(f"{year} is {why}", fix, option="made")
    age = question.unit.get("age")
    born = as_of.year - age if isinstance(age, (int, float)) else math.nan
    if question.made and all(abs(year - born) > 1.5 for year in question.made):
        years = ", ".join(map(str, question.made))
        what = f"{age:g} years old and made in {years} contradict each other"
        yield Problem(what, "give one of the two", option="made")


def years_in(text: str) -> tuple[int, ...]:
    """The years that "2016", "2014-2016" or "2006, 2016" may mean, sorted; () where it says none.

    >>> years_in("2014-2016"), years_in("2006 or 2016"), years_in("2016"), years_in("old")
    ((2014, 2015, 2016), (2006, 2016), (2016,), ())
    """
    import re

    years: set[int] = set()
    for first, last in re.findall(r"\b(\d{4})\b(?:\s*(?:-|–|to|until)\s*(\d{4})\b)?", text):
        low, high = sorted((int(first), int(last or first)))
        years.update(range(low, high + 1) if high - low <= 40 else (low, high))
    return tuple(sorted(years))
