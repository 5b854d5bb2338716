"""The daily verbs: got, spent, listed, dropped, bid, sold, parted, scrapped, back and passed. One
line of words each; the columns they write are those of the page's small forms."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

import click

from pricing.advice import cautions, history
from pricing.advice.unsold import said as in_words
from pricing.basis.columns import ENDED
from pricing.basis.frozen import frozen
from pricing.basis.problems import refused
from pricing.basis.question import Question
from pricing.cli import COMMANDS
from pricing.cli.common import Now, beside, flag, home_options, learn_again, no_fit_option, say
from pricing.cli.completing import units
from pricing.model.own_words import known_words
from pricing.model.saved import load
from pricing.pages import laid_out
from pricing.pipeline import by_hand, day_line, offering, question_from
from pricing.pipeline.day_line import NUMBER, Told, number
from pricing.web import fields
from pricing.web import listed as in_list
from pricing.web.fields import StepForm
from pricing.wording import ask_words

PAID = re.compile(rf"\b(?:i )?paid\s+{NUMBER}", re.IGNORECASE)
SAID = ("outcome", "type", "maker", "age", "condition", "note")
LISTED, IN_SHOP = ("listed",), ("in work", "waiting for part", "")


@frozen
class Verb:
    """One verb: the page's small form and field that it fills in.

    needs: said where no amount is told; usual: the states that such a unit is in.
    """

    form: str
    field: str
    needs: str
    usual: tuple[str, ...]
    example: str


VERBS = {
    "spent": Verb("bench", "parts", "", IN_SHOP, "212 24 fuse, 45 minutes"),
    "listed": Verb("list", "ask", "how much do you ask", IN_SHOP, "212 at 210"),
    "dropped": Verb("down", "ask", "to how much", LISTED, "212 to 189"),
    "bid": Verb("offer", "offer", "how much was bid", LISTED, "212 170"),
    "sold": Verb("sold", "price", "for how much", LISTED, "212 for 260 cash"),
    "parted": Verb("parted", "salvage", "", IN_SHOP, "212 for 60"),
    "scrapped": Verb("scrapped", "salvage", "", IN_SHOP, "212 for 14"),
    "back": Verb("comeback", "back_cost", "", (), "212 2 hours 15"),
}


def _write(name: str, line: str, now: Now) -> dict[str, Any]:
    """Fill in the page's form by a line and write it down; returns what changed."""
    verb, record = VERBS[name], load(now.home)
    example = f"pricing {name} {verb.example}"
    row, rest = day_line.unit_of(line, verb.usual, example, *now.all)
    form = fields.find(verb.form, now.settings)
    assert form is not None
    day, rest = day_line.day_of(rest, *now.told)
    said = day_line.told(rest, row, now.settings, known_words(record), now.as_of)
    _check_amounts(said, name, str(row["key"]))
    before = in_list.typed(row | {"own": ()})
    typed = _typed(name, form, said, before, day)
    filled = fields.cells(form, typed, before, day)
    cells = {column: value for column, value in filled.items() if value or before.get(column)}
    if said.note and name not in ("listed", "dropped", "bid"):
        note = f"{day.isoformat()}: {said.note}"
        # the same line said twice leaves one note
        notes = [part for part in before.get("note", "").split("; ") if part]
        cells["note"] = "; ".join(dict.fromkeys((*notes, note)))
    seen, what = int(row["batch"]), form.done or name
    _, act = by_hand.change_unit(now.home, str(row["key"]), cells, seen, *now.told, what)
    other = ((x, value) for x, value in cells.items() if value != str(before.get(x) or ""))
    changed = {column: value for column, value in other if column != "type"}
    found = {"unit": row["key"], "said": in_words(row), "number": act}
    return found | {"dangers": list(said.dangers), "changed": changed if act else {}}


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
    typed = fields.shown(form, before, today)
    if form.today:
        typed[form.today] = today.isoformat()
    if said.amounts:
        value = said.amounts[0]
        # money is spent more than once on a unit; the column holds parts in all
        if name == "spent":
            value += float(before.get("parts") or 0)
        typed[verb.field] = f"{value:.2f}".removesuffix(".00")
    spent = float(before.get("repair_min") or 0) + 60 * said.hours
    column, time = {
        "spent": ("repair_min", spent), "sold": ("sell_min", 60 * said.hours),
        "back": ("back_hours", said.hours),
    }.get(name, ("", 0.0))  # fmt: skip
    if column and said.hours:
        typed[column] = f"{time:g}"
    return typed | _other(said.cells, form, before)


def _other(cells: Mapping[str, str], form: StepForm, before: dict[str, str]) -> dict[str, str]:
    """The other fields of a form that a line fills in."""
    told = {one.name: cells[one.name] for one in form.fields if cells.get(one.name)}
    if before.get("found"):  # what it was is found once; what was done to it can be more
        told.pop("found", None)
    if "repair" in told:
        done = [*before.get("repair", "").split("; "), *told["repair"].split("; ")]
        told["repair"] = "; ".join(dict.fromkeys(filter(None, done)))
    return told


def _tell(found: dict[str, Any], now: Now, no_fit: bool) -> None:
    """What was written down, the dangers first; of a unit that ended also what it brought."""
    key = str(found["unit"])
    head = f"{key} {found['said']}".strip()
    if not found["changed"]:
        say(found, f"{head}: nothing new; the record says that already.")
        return
    learn_again(now, no_fit)
    row = by_hand.current(now.home, key) or {}
    # what the head says, the state that the amount tells and today's day are not said once more
    names = [name for name in found["changed"] if name not in SAID and row.get(name) != now.as_of]
    told = in_list.told(row | {"own": ()}, names, now.as_of, now.settings)
    what = "; ".join(f"{words}: {value}" for words, value in told) or str(row["outcome"])
    lines = [*found["dangers"], f"{head}: {what}."]
    lines += _beside(found, row, now)
    say(found, "\n".join([*filter(None, lines), "Take it back: pricing undo"]))


def _beside(found: dict[str, Any], row: Mapping[str, Any], now: Now) -> list[str]:
    """What the change means: the money that a sale brought, or a figure that looks like a slip; of
    a bid what to answer."""
    from pricing.pages.compare_text import doubt_lines
    from pricing.pipeline import asking, reporting

    key = str(found["unit"])
    if row.get("outcome") in ENDED:
        books = reporting.books_of(*now.all)
        doubted = [one for one in books.doubts if one.unit == key]
        lines = doubt_lines(doubted, now.settings.currency)
        return lines or [reporting.brought(books, key, now.settings)]
    record = load(now.home)
    learned = {one["unit"] for one in record.open_units()}
    if "offers" not in found["changed"] or key not in learned:
        return []
    bid = {"offered": history.dated(str(row["offers"]))[-1][1]}
    one = question_from.from_unit(key, record, bid, *now.told)
    view = laid_out.worded(ask_words.view, asking.ask(one, record, *now.told), now.settings, True)
    return laid_out.lines(view, more=False)[:4]


def _command(name: str) -> click.Command:
    @click.argument("words", nargs=-1, shell_complete=_complete)
    @no_fit_option
    @home_options
    def run(words: tuple[str, ...], no_fit: bool, now: Now) -> None:
        if not words:
            needs = VERBS[name].needs
            what = f"which unit, and {needs}?" if needs else "which unit?"
            raise refused(what, f"pricing {name} {VERBS[name].example}")
        found = _write(name, " ".join(words), now)
        _tell(found, now, no_fit)

    text = f"{COMMANDS[name][1]} Prints what changed; pricing undo takes it back."
    text += f"\n\n\b\npricing {name} {VERBS[name].example}"
    return click.command(name=name, help=text)(run)


def _complete(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    return units(ctx, param, begun) if not ctx.params.get("words") else []


spent, listed, dropped, bid, sold, parted, scrapped, back = map(_command, VERBS)


@click.command(short_help="A unit came in.")
@click.argument("words", nargs=-1, required=True)
@no_fit_option
@home_options
def got(words: tuple[str, ...], no_fit: bool, now: Now) -> None:
    """A unit came in: what it is and what you paid. It gets the next free number.

    \b
    pricing got "electric dryer, 8 years, no heat, paid 20, 12 miles"
    pricing got gas range, 9 years, free
    """
    asked, cells = _came_in(" ".join(words), now)
    unit, act = by_hand.new_unit(now.home, cells, *now.told)
    dangers = [one.short for one in cautions.dangers_first(asked, "bench", *now.told)]
    found = {"unit": unit, "said": in_words(asked.unit), "number": act, "dangers": dangers}
    left = asked.heard.get("not_understood") or []
    _tell(found | {"changed": cells}, now, no_fit)
    if left:
        beside(f"I did not understand {' and '.join(map(repr, left))} and left it out.")


def _came_in(line: str, now: Now) -> tuple[Question, dict[str, str]]:
    """What a line tells of a unit, and its columns."""
    paid = PAID.search(line)
    rest = PAID.sub(" ", line) if paid else line
    one = question_from.read(rest, {}, *now.told, known_words(load(now.home)), "offer")
    if one.asked_back or one.each:
        what = "that is more than one unit" if one.each else "a number was not understood"
        raise refused(what, 'say one unit a line: pricing got "gas range, paid 20"')
    price = number(paid["number"], now.settings) if paid else one.known.get("their_price")
    told = dict(one.unit) | {
        x: one.known[x] for x in ("miles", "drive_min", "parts") if x in one.known
    }
    cells = {
        name: f"{value:g}" if isinstance(value, float) else str(value)
        for name, value in told.items()
        if name != "unit"
    }
    if price is not None:
        cells["paid"] = f"{price:g}"
    # the words themselves stay beside what was read of them
    came = {"got": now.as_of.isoformat(), "outcome": "in work", "note": f"said: {line}"}
    return one, cells | came


@click.command(short_help="You passed on a call, or drove for nothing.")
@click.argument("words", nargs=-1, required=True)
@flag("--trip", "You drove there for nothing.")
@home_options
def passed(words: tuple[str, ...], trip: bool, now: Now) -> None:
    """You passed on a call, or drove for nothing (--trip): its time and truck count in what pays.

    \b
    pricing passed "gas range, 14 years, wants 100"
    pricing passed "electric dryer, wants 40, 12 miles" --trip
    """
    numbers = load(now.home)
    one = question_from.read(" ".join(words), {}, *now.told, known_words(numbers), "offer")
    said = offering.write_passed(offering.offer(one, numbers, *now.told), trip, *now.all)
    say({"said": said}, said)
