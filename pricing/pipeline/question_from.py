"""Questions from words, from options, from a sheet or from the person's own unit number. Imports
are light: every answer pays for them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

from pricing.advice import cautions
from pricing.basis import words
from pricing.basis.columns import BY_NAME, is_numeric
from pricing.basis.own_rows import rate
from pricing.basis.problems import Problem, Refused, meant, refused
from pricing.basis.question import BY_KNOWN, Question, checked, years_in
from pricing.basis.said_number import either, mark_of, typed
from pricing.basis.settings import Settings
from pricing.model.own_words import Words, known_words
from pricing.pipeline.hearing import heard, question_of
from pricing.words.as_question import at_curb

if TYPE_CHECKING:
    from pricing.ingest.reading import Row
    from pricing.model.saved import Saved


T = TypeVar("T")

_TOLD = (
    "type", "maker", "tier", "age", "features", "fuel", "finish", "size", "condition", "fault",
    "found", "repair", "got_from", "sold_where", "listed", "model", "owner",
)  # fmt: skip


def read(
    text: str,
    options: Mapping[str, Any],
    settings: Settings,
    as_of: date,
    known: Words | None = None,
    purpose: str = "offer",
) -> Question:
    """The question as understood. Raises Refused naming each number that cannot be.

    options: canonical column names, names of KNOWN, "made", "at_curb" and own attributes, typed or
    as text; None is "not given". purpose: "offer" (a bare amount is the owner's price), "bench" or
    "ask" ("offered" is only of use at a sale).
    """
    question = understood(text, settings, as_of, known, purpose)
    told = replace(with_options(question, options, settings), said=text)
    alone = {name: value for name, value in options.items() if name != "their_price"}
    each = [replace(with_options(one, alone, settings), said=text) for one in question.each]
    told = finished(told, settings, as_of)
    return replace(told, each=tuple(finished(one, settings, as_of) for one in each))


def understood(
    text: str, settings: Settings, as_of: date, known: Words | None = None, purpose: str = "offer"
) -> Question:
    """What a line of words says, before any option; nothing is refused."""
    if not text.strip():
        return Question()
    told = heard(text, purpose, settings, known or {}, as_of)
    question = question_of(told, settings, purpose, known)
    if purpose == "ask" and "days_listed" in told:  # "listed 3 weeks"
        since = float(as_of.toordinal() - int(told["days_listed"]))
        question = replace(question, unit={"listed": since, **question.unit})
    return replace(question, at_curb=at_curb(text))


def finished(question: Question, settings: Settings, as_of: date) -> Question:
    """Checked, the single year made turned into an age, and said back in our words."""
    unit = dict(question.unit)
    if len(question.made) == 1 and unit.get("age") is None and question.made[0] <= as_of.year:
        unit["age"] = float(as_of.year - question.made[0])
        question = replace(question, made=())
    if settings.owner and not unit.get("owner"):
        unit["owner"] = words.canonical("owner", settings.owner, settings)
    question = replace(question, unit=unit)
    checked(question, settings, as_of)
    return replace(question, as_read=said_back(question, settings))


def with_options(question: Question, options: Mapping[str, Any], settings: Settings) -> Question:
    """The question with the options put over the words. Raises Refused for text as a number."""
    unit, numbers = dict(question.unit), dict(question.known)
    made, at_curb = question.made, question.at_curb
    mark, problems = mark_of(settings), list[Problem]()
    for name, value in options.items():
        if value is None or (isinstance(value, str) and not value.strip()) or value is False:
            continue
        if name == "at_curb":
            at_curb = True
        elif name == "made":
            made = years_in(str(value))
            if not made:
                what, fix = f"{value!r} names no year", "write 2016, 2014-2016 or 2006,2016"
                problems.append(Problem(what, fix, option="made"))
            elif options.get("age") is None:
                unit.pop("age", None)
        elif name in BY_KNOWN or is_numeric(name) or name in settings.number_attributes:
            number = _option_number(name, value, mark, problems)
            if number is not None:
                (numbers if name in BY_KNOWN else unit)[name] = number
                made = () if name == "age" and options.get("made") is None else made
        elif name in settings.attributes:
            unit[name] = words.tidy(str(value))
        elif name in BY_NAME:
            if word := words.canonical(name, str(value), settings):
                unit[name] = word
        else:
            names = [*_TOLD, *settings.attributes, *BY_KNOWN]
            fix = meant(name, names, "name it under [attributes] in pricing.toml first")
            problems.append(Problem(f"there is nothing called {name!r} to set", fix))
    if problems:
        raise Refused(*problems)
    return replace(question, unit=unit, known=numbers, made=made, at_curb=at_curb)


def _option_number(name: str, value: Any, mark: str, problems: list[Problem]) -> float | None:
    if isinstance(value, date):
        return float(value.toordinal())
    if isinstance(value, (int, float)):
        return float(value)
    text = str(value).strip()
    column = BY_NAME.get(name)
    if column is not None and column.kind == "date":
        try:
            return float(date.fromisoformat(text).toordinal())
        except ValueError:
            what, fix = f"{value!r} is not a day", "write it as 2026-04-30"
    else:
        of = BY_KNOWN.get(name) or column
        found = typed(text, mark, of is not None and of.unit == "money")
        if len(found) == 1:
            return found[0] / 100 if text.endswith("%") and name == "fix_chance" else found[0]
        what = either(text, found) if found else f"{value!r} is not a number"
        fix = "write one of these" if found else "write digits, or leave it out"
    problems.append(Problem(what, fix, option=name))
    return None


def said_back(question: Question, settings: Settings) -> str:
    """The question in our words."""
    from pricing.pages.laid_out import place_of
    from pricing.wording.question_words import said_back as words

    return words(dict(question.unit), dict(question.known), list(question.made), place_of(settings))


def _typed(name: str, value: Any) -> Any:
    """A value of an open unit as models read it: days as ordinal numbers."""
    if name in BY_NAME and BY_NAME[name].kind == "date" and isinstance(value, str):
        return float(date.fromisoformat(value).toordinal())
    return value


HELD = ("got", "paid", "listed")  # filled once a unit is in the shop


class HasOpenUnits(Protocol):
    """What was learned last (`Saved`), or the record as it stands."""

    def open_units(self) -> list[dict[str, Any]]: ...


def unit_named(text: str, record: HasOpenUnits) -> tuple[str | None, str]:
    """The open unit whose number begins the line, and the words behind it ("DEMO-210 offered 200");
    (None, text) where the line names none."""
    said = text.strip().lower()
    for unit in record.open_units():
        name = str(unit.get("unit", "")).strip()
        key = name.lower()
        ends = (",",) if key.isdigit() else (",", " ")  # "40 bucks" names no unit 40
        if key and (said == key or said.startswith(tuple(key + end for end in ends))):
            return name, text.strip()[len(name) :].strip(" ,")
    return None, text


def open_unit(unit_id: str, record: HasOpenUnits) -> Mapping[str, Any]:
    """The row of a unit that has not ended. Raises Refused where there is none of that name."""
    units = record.open_units()
    names = [str(unit.get("unit", "")) for unit in units]
    for name, unit in zip(names, units, strict=True):
        if name.strip().lower() == unit_id.strip().lower():
            return unit
    fix = meant(unit_id, names, "see pricing unsold, or run pricing fit", 0.5)
    raise refused(f"unit {unit_id} is not open, or was added after the last fit", fix)


def asked(
    text: str,
    options: Mapping[str, Any],
    settings: Settings,
    day: date,
    numbers: Saved,
    purpose: str,
) -> Question:
    """The question of words and options; either may name a unit of the record."""
    told = dict(options)
    unit, rest = told.pop("unit", None), text
    if unit is None and text:
        unit, rest = unit_named(text, numbers)
    if unit is not None:
        return from_unit(str(unit), numbers, told, settings, day, rest, purpose)
    return read(rest, told, settings, day, known_words(numbers), purpose)


def from_unit(
    unit_id: str,
    record: HasOpenUnits,
    options: Mapping[str, Any],
    settings: Settings,
    as_of: date,
    text: str = "",
    purpose: str = "ask",
) -> Question:
    """An open unit by the person's own number; words and options go over what the record says."""
    row = open_unit(unit_id, record)
    if purpose == "offer" and any(row.get(name) not in (None, "") for name in HELD):
        what = f"unit {unit_id} is yours already: there is nothing left to offer for it"
        raise refused(what, f"ask what to do with it: pricing bench --unit {unit_id}")
    unit = {name: _typed(name, value) for name, value in _told(row, settings)}
    made = years_in(str(unit["made"])) if unit.get("made") and unit.get("age") is None else ()
    if unit.get("age") is not None and (unit.get("got") or unit.get("listed")) is not None:
        unit["age"] = float(unit["age"])
    question = Question(unit, made=made)
    if text:
        question = _with_words(question, text, settings, as_of, purpose)
    return finished(with_options(question, options, settings), settings, as_of)


def _told(row: Mapping[str, Any], settings: Settings) -> list[tuple[str, Any]]:
    """What a row says in columns of ours or the person's own."""
    ours = BY_NAME.keys() | set(settings.attributes)
    return [(name, at) for name, at in row.items() if name in ours and at not in (None, "")]


def _with_words(
    question: Question, text: str, settings: Settings, as_of: date, purpose: str
) -> Question:
    """The unit of the record with what the words beside its number say."""
    kind = str(question.unit.get("type", ""))
    told = heard(f"{kind}: {text}", purpose, settings, {"type": [kind]}, as_of)
    mine = {"fault": [str(question.unit.get("fault") or "")]}
    said = question_of(told, settings, purpose, mine)
    unit = dict(question.unit) | {x: at for x, at in said.unit.items() if x != "type"}
    known, made = {**question.known, **said.known}, said.made or question.made
    told_by = replace(question, warnings=said.warnings, heard=said.heard)
    return replace(told_by, unit=unit, known=known, made=made)


def from_file(path: Path, settings: Settings, as_of: date) -> list[Question | Problem]:
    """One Question or Problem for each row of a sheet. Raises Refused where it cannot be read."""
    from pricing.ingest.read import read_file

    reading = read_file(path, settings, as_of, question=True)
    answers: dict[int, Question | Problem] = {
        rejected.record: rejected.problems[0] for rejected in reading.rejected
    }
    for row in reading.rows:
        try:
            answers[row.record] = _from_row(row, settings, as_of)
        except Refused as refusal:
            answers[row.record] = replace(refusal.problems[0], file=str(path), line=row.line)
    if not answers:
        fix = "put one unit on a line below the header"
        raise refused("there are no rows to answer in this file", fix, file=str(path))
    return [answers[place] for place in sorted(answers)]


def answered(
    path: Path,
    settings: Settings,
    as_of: date,
    decide_many: Callable[[list[Question]], Sequence[T]],
) -> list[T | Problem]:
    """Answers and problems in the order of the sheet's rows."""
    asked = from_file(path, settings, as_of)
    answers = iter(decide_many([one for one in asked if not isinstance(one, Problem)]))
    return [one if isinstance(one, Problem) else next(answers) for one in asked]


def _from_row(row: Row, settings: Settings, as_of: date) -> Question:
    """A row of a sheet: its own columns, and the numbers that replace an estimate."""
    values = row.as_unit()
    numbers = {name: value for name, value in row.known.items() if name in BY_KNOWN}
    given = {name: values.get(name) for name in BY_KNOWN}
    numbers |= {name: float(at) for name, at in given.items() if isinstance(at, (int, float))}
    if values.get("on_trip"):
        # what is no number is refused with the other impossible ones
        numbers["on_trip"] = (typed(str(values["on_trip"])) or [0.0])[0]
    unit = {name: value for name, value in _told(values, settings) if name not in BY_KNOWN}
    made = years_in(str(unit.pop("made"))) if unit.get("made") and unit.get("age") is None else ()
    said = (f"{one.column}: {one.what}." if one.column else f"{one.what}." for one in row.notes)
    question = Question(unit, numbers, made, bool(row.known.get("at_curb")), tuple(said))
    return finished(question, settings, as_of)


# ---- What a home without a rate for its currency can say: cautions and what to set, no amount
def hold(
    text: str, options: Mapping[str, Any], purpose: str, settings: Settings, as_of: date
) -> None:
    """`hold_question` for a line of words and options, read only where no money can be told."""
    if settings.dollar is None:
        question = read(text, options, settings, as_of, None, purpose)
        hold_question(question, purpose, settings, as_of)


def hold_question(question: Question, purpose: str, settings: Settings, as_of: date) -> None:
    """Raises Refused where no money can be told: the dangers of the unit, then what to set."""
    if settings.dollar is not None:
        return
    dangers = cautions.dangers_first(question, purpose, settings, as_of)
    said = [Problem(one, kind="danger") for one in dict.fromkeys(one.full for one in dangers)]
    try:
        rate(settings)
    except Refused as refusal:
        raise Refused(*said, *refusal.problems) from None
