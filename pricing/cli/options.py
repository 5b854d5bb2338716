"""The words and options that tell a unit, shared by offer, bench and ask, or questions instead."""

import functools
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click

from pricing.basis.frozen import frozen
from pricing.basis.problems import Problem, Refused
from pricing.basis.question import BY_KNOWN, Question
from pricing.cli import completing
from pricing.cli.common import Now, file_named, option, told
from pricing.model.saved import Saved

T = TypeVar("T")
Words = tuple[str, ...]
_UNIT_OPTIONS: tuple[tuple[str, str, str], ...] = (
    ("type", "TYPE", 'What it is: "electric dryer", "front-load washer", …'),
    ("maker", "NAME", "Brand."),
    ("tier", "WORD", "plain, middle or upper make."),
    ("age", "YEARS", "Years old."),
    ("made", "YEARS", "Year made, or the years it may be: 2016, 2014-2016, 2006,2016."),
    ("condition", "WORD", "As it will be listed, cleaned: rough, fair, good, like new."),
    ("features", "LIST", '"steam; ice maker"'),
    ("fuel", "WORD", "gas or electric, where the type does not say it."),
    ("finish", "WORD", "stainless, white, …"),
    ("size", "NUMBER", "Tub or box size, in your own unit."),
    ("fault", "WORDS", "What the owner says is wrong."),
    ("found", "WORDS", "What it turned out to be."),
    ("repair", "LIST", "What was, or must be, done."),
    ("owner", "NAME",
        "Who asks, in a record that several keep together (or owner in pricing.toml)."),
)  # fmt: skip


@frozen
class Asked:
    """What the command line says of the unit. options: those given; file: --from; unit: --unit."""

    words: str
    options: Mapping[str, Any]
    file: Path | None
    unit: str | None


FROM = "Many at once, one a row; columns named like the options. - is what comes in."
OPEN = "A unit of your record that is still open."
# a buyer bids; the question's field and the JSON say offered, and so may who types
HIDDEN = {"offered": "--offered"}


def _number_option(name: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """The option of a number that the person knows, and the name that goes on working."""
    one = BY_KNOWN[name]
    text = f"{one.meaning[0].upper()}{one.meaning[1:]} ({one.unit})."

    def decorate(command: Callable[..., Any]) -> Callable[..., Any]:
        command = click.option(one.option, name, metavar="NUMBER", help=text)(command)
        if name not in HIDDEN:
            return command
        return click.option(HIDDEN[name], f"{name}_too", metavar="NUMBER", hidden=True)(command)

    return decorate


def _given(rest: dict[str, Any], names: list[str]) -> dict[str, Any]:
    """The options that were given, taken out of what click hands over."""
    too = {name: rest.pop(f"{name}_too") for name in HIDDEN if name in names}
    given = {name: rest.pop(name) for name in names}
    given |= {name: value for name, value in too.items() if given[name] is None}
    return {name: value for name, value in given.items() if value is not None}


def unit_options(*known: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Adds WORDS…, the options of a unit, --set, --from, --unit and the named numbers of `KNOWN`;
    the command receives `asked: Asked`."""

    def decorate(command: Callable[..., Any]) -> Callable[..., Any]:
        names = [name for name, _, _ in _UNIT_OPTIONS] + list(known)

        @functools.wraps(command)
        def read(
            words: Words, own: Words, file: str | None, unit_id: str | None, **rest: Any
        ) -> Any:
            options = _given(rest, names)
            for pair in own:
                name, equals, value = pair.partition("=")
                if not equals or not name.strip():
                    raise click.UsageError(f"--set takes NAME=VALUE, not {pair!r}")
                options[name.strip()] = value
            if file is not None and (words or unit_id):
                what = "--from answers for a whole sheet: give no words and no --unit with it"
                raise click.UsageError(what)
            path = Path(file_named(file)) if file else None
            return command(asked=Asked(" ".join(words), options, path, unit_id), **rest)

        own_names: Any = {"metavar": "NAME=VALUE", "multiple": True}
        rest = [
            option(("--set", "own"), "One of your own attributes; may be repeated.", **own_names),
            option(("--from", "file"), FROM, metavar="FILE.csv"),
            option(("--unit", "unit_id"), OPEN, metavar="ID", shell_complete=completing.units),
            *map(_number_option, known),
        ]
        told = [
            option(f"--{name}", text, metavar=metavar, shell_complete=completing.OPTIONS.get(name))
            for name, metavar, text in _UNIT_OPTIONS
        ]
        collected: Callable[..., Any] = read
        for one in reversed([*told, *rest]):
            collected = one(collected)
        return click.argument("words", nargs=-1)(collected)

    return decorate


_QUESTIONS = {
    "type": "What is it (electric dryer, front-load washer, …)",
    "age": "How old, in years, or the year it was made",
    "fault": "What is wrong with it, in their words",
    "found": "What did you find",
    "condition": "How will it look once cleaned (rough, fair, good, like new)",
    "maker": "Maker",
    "features": "Features (steam, ice maker, …)",
    "repair": "What did you do to it",
    "their_price": "What do they want for it (0 for free, -20 if they pay you 20)",
    "miles": "How far, one way",
}
_ONE_BY_ONE = {
    "offer": ("type", "age", "fault", "condition", "maker", "features", "their_price", "miles"),
    "bench": ("type", "age", "fault", "found", "condition"),
    "ask": ("type", "age", "condition", "maker", "features", "repair"),
}


def _prompt(question: str) -> str | None:
    """A reply, without the blanks around it; None where the input has ended."""
    try:
        return str(click.prompt(question, default="", show_default=False)).strip()
    except click.Abort:
        if sys.stdin.isatty():  # Ctrl-C
            raise
        return None


def ask_one_by_one(purpose: str, now: Now) -> dict[str, Any]:
    """Answers by name; Enter is "don't know". An answer that cannot be is said and asked again.
    Stops at the end of the input."""
    from pricing.pipeline import question_from

    click.echo("One question at a time; Enter = don't know.")
    answers: dict[str, Any] = {}
    waiting = list(_ONE_BY_ONE[purpose])
    while waiting and (reply := _prompt(_QUESTIONS[waiting[0]])) is not None:
        name = waiting[0]
        if not reply or reply.lower() in ("?", "don't know", "dont know"):
            if name == "type":
                break
            waiting.pop(0)
            continue
        if name == "age" and reply.isdigit() and len(reply) == 4:
            name = "made"
        try:
            question_from.read("", {"type": "electric dryer", **answers, name: reply}, *now.told)
        except Refused as refusal:
            click.echo(str(refusal.problems[0]))
            continue
        answers[name] = reply
        waiting.pop(0)
    return answers


def one_question(asked: Asked, purpose: str, now: Now, numbers: Saved) -> Question:
    """The question of one unit: of the record, in words and options, said, or asked one by one. A
    number whose meaning is open is asked about where a person sits at the screen."""
    from pricing.model.own_words import known_words
    from pricing.pipeline import question_from
    from pricing.words.as_question import open_number

    text, options = asked.words, dict(asked.options)
    if asked.unit is not None:
        options["unit"] = asked.unit
    if not text and not set(options) - {"at_curb", "owner"}:
        if told("json"):
            raise click.UsageError("tell the unit in words or options, or many with --from FILE")
        text = _prompt("Say it (Enter: one question at a time)") or ""
        if not text:
            options = ask_one_by_one(purpose, now) | options
    one = question_from.asked(text, options, *now.told, numbers, purpose)
    number = open_number(dict(one.heard)) if one.heard else None
    field = PRICE_OF[purpose]
    if number is None or field not in one.asked_back or one.unit.get("unit"):
        return one
    at_screen = sys.stdin.isatty() and not told("json")
    if not at_screen or not click.confirm(f"{number:g}: {IS_IT[field]}", default=True):
        return one
    options[field] = number
    return question_from.read(text, options, *now.told, known_words(numbers), purpose)


PRICE_OF = {"offer": "their_price", "bench": "parts", "ask": "asked_now"}
IS_IT = {
    "their_price": "is that the price?",
    "parts": "is that what the parts cost?",
    "asked_now": "is that what you ask now?",
}


def of_sheet(asked: Asked, answers_of: Callable[[Path], list[T | Problem]]) -> list[T | Problem]:
    """The answers of every row of a sheet. Refused where an option stands beside it, or no row
    could be read."""
    if asked.options or asked.file is None:
        told = ", ".join(asked.options)
        raise click.UsageError(f"--from takes everything from the sheet: put {told} into columns")
    answers = answers_of(asked.file)
    problems = [one for one in answers if isinstance(one, Problem)]
    if len(problems) == len(answers):
        raise Refused(*problems)
    return answers
