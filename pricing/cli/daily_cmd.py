"""The daily verbs: got, spent, listed, dropped, bid, sold, back and passed. One line of words each;
the columns they write are those of the page's small forms."""

import re
from datetime import date
from typing import Any

import click

from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Refused, meant, refused
from pricing.basis.said_number import either, mark_of, typed
from pricing.basis.settings import Settings, load_settings
from pricing.cli import COMMANDS
from pricing.cli.common import flag, home_options, say
from pricing.cli.completing import open_units, units
from pricing.cli.record_cmd import learn_again
from pricing.model.own_words import known_words
from pricing.model.saved import load
from pricing.pipeline import by_hand, offering, question_from
from pricing.web import listed as in_list
from pricing.web import steps
from pricing.web.steps import StepForm

# a sign of money may stand before a number; a letter may not: F21 is an error code, no amount
NUMBER = r"(?<!\w)[^\w\s.,-]?(?P<number>\d[\d.,]*)"
TIME = re.compile(rf"{NUMBER}\s*(?P<unit>minutes?|mins?|hours?|hrs?|h)\b", re.IGNORECASE)
AMOUNT = re.compile(rf"(?:\b(for|at|to|paid|cost|bid|of|lost)\s+)?{NUMBER}(?![\w.,]*\w)", re.I)
FREE = re.compile(r"\b(?:for free|free|for nothing)\b", re.IGNORECASE)
PAID = re.compile(rf"\b(?:i )?paid\s+{NUMBER}", re.IGNORECASE)

SAID = {"price": "sold for", "asked": "asking", "offers": "bid", "outcome": "now"}


@frozen
class Verb:
    """One verb: the page's small form and field that it fills in; said where no amount is told."""

    form: str
    field: str
    needs: str
    example: str


VERBS = {
    "spent": Verb("bench", "parts", "", "212 24 fuse, 45 minutes"),
    "listed": Verb("list", "ask", "how much do you ask", "212 at 210"),
    "dropped": Verb("down", "ask", "to how much", "212 to 189"),
    "bid": Verb("offer", "offer", "how much was bid", "212 170"),
    "sold": Verb("sold", "price", "for how much", "212 for 260 cash"),
    "back": Verb("comeback", "back_cost", "", "212 2 hours 15"),
}


@frozen
class Told:
    """A line taken apart: amounts of money, hours, and the words that are left."""

    amounts: tuple[float, ...]
    hours: float
    words: str


def told(line: str, settings: Settings) -> Told:
    """Amounts, time and the rest of a line.

    >>> told("for $1,260 cash", Settings())
    Told(amounts=(1260.0,), hours=0.0, words='cash')
    >>> told("24 thermal fuse, 45 minutes", Settings())
    Told(amounts=(24.0,), hours=0.75, words='thermal fuse')
    """
    hours, amounts = 0.0, []

    def time(found: re.Match[str]) -> str:
        nonlocal hours
        value = _number(found["number"], settings)
        hours += value / 60 if found["unit"].lower().startswith("m") else value
        return " "

    def amount(found: re.Match[str]) -> str:
        amounts.append(_number(found["number"], settings))
        return " "

    # times first: 45 of "45 minutes" is no money
    rest = AMOUNT.sub(amount, TIME.sub(time, line))
    if FREE.search(rest) and not amounts:
        amounts, rest = [0.0], FREE.sub(" ", rest)
    return Told(tuple(amounts), hours, " ".join(rest.replace(" ,", " ").split()).strip(" ,;"))


def _number(text: str, settings: Settings) -> float:
    found = typed(text.rstrip(".,"), mark_of(settings), money=True)
    if len(found) != 1:
        what = either(text, found) if found else f"{text!r} is no number"
        raise refused(what, "write it plainly, like 1250 or 12.50")
    return found[0]


def _write(name: str, line: str, home: Home, settings: Settings, today: date) -> dict[str, Any]:
    """Fill in the page's form by a line and write it down; returns what changed."""
    verb = VERBS[name]
    unit, _, rest = line.strip().partition(" ")
    row = by_hand.current(home, unit.rstrip(","))
    if row is None:
        raise _no_unit(unit.rstrip(","), name, home)
    form = steps.find(verb.form, settings)
    assert form is not None
    said = told(rest, settings)
    _check_amounts(said, name, unit)
    before = in_list.typed(row | {"own": ()})
    typed = _typed(name, form, said, before, today)
    filled = steps.cells(form, typed, before, today)
    cells = {column: value for column, value in filled.items() if value or before.get(column)}
    if said.words and name not in ("listed", "dropped", "bid"):
        note = f"{today.isoformat()}: {said.words}"
        # the same line said twice leaves one note
        notes = [part for part in before.get("note", "").split("; ") if part]
        cells["note"] = "; ".join(dict.fromkeys((*notes, note)))
    seen, what = int(row["batch"]), form.done or name
    _, act = by_hand.change_unit(home, str(row["key"]), cells, seen, settings, today, what)
    other = ((x, value) for x, value in cells.items() if value != str(before.get(x) or ""))
    changed = {column: value for column, value in other if column != "type"}
    return {"unit": row["key"], "number": act, "changed": changed if act else {}}


def _check_amounts(said: Told, name: str, unit: str) -> None:
    """Exactly one amount where the verb needs one, never two."""
    verb = VERBS[name]
    if len(said.amounts) == 1 or (not said.amounts and not verb.needs):
        return
    shown = ", ".join(f"{one:g}" for one in said.amounts)
    what = f"which one is the amount: {shown}" if shown else f"unit {unit}: {verb.needs}"
    raise refused(what, f"pricing {name} {verb.example}")


def _typed(
    name: str, form: StepForm, said: Told, before: dict[str, str], today: date
) -> dict[str, str]:
    """The form as a person would have filled it in: what is known stays."""
    verb = VERBS[name]
    typed = steps.shown(form, before, today)
    if form.today:
        typed[form.today] = today.isoformat()
    if said.amounts:
        value = said.amounts[0]
        # money is spent more than once on a unit; the column holds parts in all
        if name == "spent":
            value += float(before.get("parts") or 0)
        typed[verb.field] = f"{value:.2f}".removesuffix(".00")
    if name == "spent" and said.hours:
        typed["repair_min"] = f"{float(before.get('repair_min') or 0) + 60 * said.hours:g}"
    if name == "sold" and said.hours:
        typed["sell_min"] = f"{60 * said.hours:g}"
    if name == "back" and said.hours:
        typed["back_hours"] = f"{said.hours:g}"
    return typed


def _no_unit(unit: str, name: str, home: Home) -> Refused:
    otherwise = f"begin with its number: pricing {name} {VERBS[name].example}"
    fix = meant(unit, open_units(load(home)), otherwise, 0.5)
    return refused(f"there is no unit {unit!r} in your record", fix)


def _tell(found: dict[str, Any], home: Home, as_of: date, no_fit: bool) -> None:
    if not found["changed"]:
        say(found, f"{found['unit']}: nothing new; the record says that already.")
        return
    learn_again(home, as_of, no_fit)
    changes = "; ".join(
        f"{SAID.get(column, column.replace('_', ' '))} {value.split('; ')[-1] or 'left empty'}"
        for column, value in found["changed"].items()
    )
    say(found, f"{found['unit']}: {changes}. Take it back: pricing undo")


def _command(name: str) -> click.Command:
    @click.argument("words", nargs=-1, required=True, shell_complete=_complete)
    @flag("--no-fit", "Do not learn again.")
    @home_options
    def run(words: tuple[str, ...], no_fit: bool, home: Home, as_of: date) -> None:
        found = _write(name, " ".join(words), home, load_settings(home), as_of)
        _tell(found, home, as_of, no_fit)

    text = f"{COMMANDS[name][1]} Prints what changed; pricing undo takes it back."
    text += f"\n\n\b\npricing {name} {VERBS[name].example}"
    return click.command(name=name, help=text)(run)


def _complete(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    return units(ctx, param, begun) if not ctx.params.get("words") else []


spent, listed, dropped, bid, sold, back = map(_command, VERBS)


@click.command(short_help="A unit came in.")
@click.argument("words", nargs=-1, required=True)
@flag("--no-fit", "Do not learn again.")
@home_options
def got(words: tuple[str, ...], no_fit: bool, home: Home, as_of: date) -> None:
    """A unit came in: what it is and what you paid. It gets the next free number.

    \b
    pricing got "electric dryer, 8 years, no heat, paid 20, 12 miles"
    pricing got gas range, 9 years, free
    """
    settings = load_settings(home)
    cells = _came_in(" ".join(words), home, settings, as_of)
    unit, act = by_hand.new_unit(home, cells, settings, as_of)
    found = {"unit": unit, "number": act, "changed": cells}
    _tell(found, home, as_of, no_fit)


def _came_in(line: str, home: Home, settings: Settings, today: date) -> dict[str, str]:
    """The columns of a unit that a line tells."""
    paid = PAID.search(line)
    rest = PAID.sub(" ", line) if paid else line
    one = question_from.read(rest, {}, settings, today, known_words(load(home)), "offer")
    if one.asked_back or one.each:
        what = "that is more than one unit" if one.each else "a number was not understood"
        raise refused(what, 'say one unit a line: pricing got "gas range, paid 20"')
    price = _number(paid["number"], settings) if paid else one.known.get("their_price")
    told = dict(one.unit) | {
        x: one.known[x] for x in ("miles", "drive_min", "parts") if x in one.known
    }
    cells = {name: _as_cell(value) for name, value in told.items() if name != "unit"}
    if price is not None:
        cells["paid"] = f"{price:g}"
    return cells | {"got": today.isoformat(), "outcome": "in work"}


def _as_cell(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


@click.command(short_help="You passed on a call, or drove for nothing.")
@click.argument("words", nargs=-1, required=True)
@flag("--trip", "You drove there for nothing.")
@home_options
def passed(words: tuple[str, ...], trip: bool, home: Home, as_of: date) -> None:
    """You passed on a call, or drove for nothing (--trip): its time and truck count in what pays.

    \b
    pricing passed "gas range, 14 years, wants 100"
    pricing passed "electric dryer, wants 40, 12 miles" --trip
    """
    settings, numbers = load_settings(home), load(home)
    one = question_from.read(" ".join(words), {}, settings, as_of, known_words(numbers), "offer")
    answer = offering.offer(one, numbers, settings, as_of)
    said = offering.write_passed(answer, trip, home, settings, as_of)
    say({"said": said}, said)
