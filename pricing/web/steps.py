"""The small forms that move a unit: got -> repaired -> listed -> sold, parted or scrapped. Each
writes the columns it shows, and no other."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from pricing.basis.settings import Settings
from pricing.web import fields
from pricing.web.forms import Field

OPEN = ("", "in work", "waiting for part", "listed")


@dataclass(frozen=True)
class StepForm:
    """One form. sets: columns that the press itself writes; adds_to: field -> dated column that it
    adds an entry to; today: field filled with the day.

    done: what the list of changes calls it, where that is not its words.
    """

    name: str
    words: str
    button: str
    fields: tuple[Field, ...]
    sets: Mapping[str, str] = field(default_factory=dict)
    adds_to: Mapping[str, str] = field(default_factory=dict)
    today: str = ""
    done: str = ""


def got(settings: Settings) -> StepForm:
    """A unit comes in."""
    money = fields.money_ends(settings)
    form = (
        fields.TYPE,
        fields.MAKER,
        fields.AGE,
        fields.MADE,
        fields.FAULT,
        Field("paid", "Paid", "money", ends=money, low=-1e6, high=1e6),
        Field("got", "Got on", "date"),
        Field("got_from", "Came from", complete="got_from"),
        Field(
            "miles", "How far, one way", "number", ends=settings.distance_unit, low=0, high=2_000
        ),
        Field("drive_min", "Driving in all", "number", ends="min", low=0, high=6_000),
        fields.FEATURES,
        *fields.own_attributes(settings),
        Field("model", "Model on the plate"),
        Field("serial", "Serial on the plate"),
        Field("unit", "Your number", hint="empty: the next free one"),
        Field("note", "Note", "area"),
    )
    return StepForm(
        "got", "Write down a unit", "Keep it", form, {"outcome": "in work"}, today="got"
    )


def steps_of(outcome: str, settings: Settings) -> tuple[StepForm, ...]:
    """What can happen next to a unit, the likeliest first."""
    money = fields.money_ends(settings)
    bench, sold = _bench(money), _sold(money)
    parted, scrapped = _ended("parted", "Parted out", money), _ended("scrapped", "Scrapped", money)
    if outcome == "listed":
        return (sold, _new_ask(money), _bid(money), bench, parted, scrapped)
    if outcome == "sold":
        return (_comeback(money), sold, bench)
    if outcome in OPEN:
        return (bench, _listing(money), sold, parted, scrapped)
    return (sold, parted, scrapped, bench)


def _bench(money: str) -> StepForm:
    now = (("in work", "in work"), ("waiting for part", "waiting for a part"))
    form = (
        fields.FOUND,
        fields.REPAIR,
        Field("parts", "Parts in all", "money", ends=money, low=0, high=1e6),
        _minutes("diagnose_min", "Finding it"),
        _minutes("repair_min", "Repairing"),
        _minutes("clean_min", "Cleaning"),
        Field("outcome", "Now it is", "choice", choices=now),
    )
    return StepForm("bench", "Bench work", "Write it down", form)


def _listing(money: str) -> StepForm:
    form = (
        Field("ask", "Asking", "money", ends=money, low=0.01, high=1e7),
        Field("listed", "Listed on", "date"),
        fields.CONDITION,
        fields.FEATURES,
        Field("recall_checked", "Recalls looked up on", "date"),
    )
    sets, adds = {"outcome": "listed"}, {"ask": "asked"}
    return StepForm("list", "List it", "Listed", form, sets, adds, today="listed", done="listed")


def _sold(money: str) -> StepForm:
    form = (
        Field("price", "Sold for", "money", ends=money, low=0, high=1e7),
        Field("sold", "Sold on", "date"),
        Field("sold_where", "Sold where", complete="sold_where"),
        _minutes("sell_min", "Photos, messages, loading"),
        Field("delivery", "Charged for delivery", "money", ends=money, low=0, high=1e6),
        Field("fees", "Fees to the place it sold at", "money", ends=money, low=0, high=1e6),
        Field("warranty_days", "Promise given", "number", ends="days", low=0, high=3_650),
    )
    return StepForm("sold", "Sold", "Sold", form, {"outcome": "sold"}, today="sold")


def _new_ask(money: str) -> StepForm:
    form = (
        Field("ask", "Asking now", "money", ends=money, low=0.01, high=1e7),
        Field("on", "Since", "date"),
    )
    return StepForm("down", "New ask", "Change the ask", form, {}, {"ask": "asked"}, today="on")


def _bid(money: str) -> StepForm:
    bid = Field("offer", "Bid", "money", ends=money, low=0.01, high=1e7)
    form, adds = (bid, Field("on", "On", "date")), {"offer": "offers"}
    done = "bid of a buyer"
    return StepForm("offer", "A buyer bids", "Write it down", form, {}, adds, today="on", done=done)


def _ended(outcome: str, words: str, money: str) -> StepForm:
    """Parted out or scrapped: what it brought, and when."""
    form = (
        Field("salvage", "Got for parts or scrap", "money", ends=money, low=0, high=1e6),
        Field("sold", "Done on", "date"),
    )
    return StepForm(outcome, words, words, form, {"outcome": outcome}, today="sold")


def _comeback(money: str) -> StepForm:
    form = (
        Field("on", "Came back on", "date"),
        Field("back_hours", "Hours on it", "number", low=0, high=500),
        Field("back_cost", "What it cost", "money", ends=money, low=0, high=1e6),
    )
    words, button = "It came back", "Write it down"
    return StepForm("comeback", words, button, form, today="on", done="came back")


def _minutes(name: str, words: str) -> Field:
    return Field(name, words, "number", ends="min", low=0, high=100_000)


def correction(settings: Settings) -> StepForm:
    """Everything that the first form asked, to put right."""
    step = got(settings)
    return replace(
        step,
        name="correct",
        words="Put something right",
        button="Save",
        sets={},
        today="",
        done="put right",
        fields=tuple(one for one in step.fields if one.name != "unit"),
    )


def find(name: str, settings: Settings) -> StepForm | None:
    """A step by its name, whether or not it is the usual one now: another window may have moved the
    unit."""
    every = [
        *steps_of("listed", settings),
        *steps_of("", settings),
        *steps_of("sold", settings),
        correction(settings),
        got(settings),
    ]
    return next((step for step in every if step.name == name), None)


def shown(step: StepForm, known: Mapping[str, str], today: date) -> dict[str, str]:
    """What stands in a form when it is opened: what is known, and today where it asks for a day."""
    typed = {
        one.name: known[one.name]
        for one in step.fields
        if one.name in known and (not one.choices or known[one.name] in dict(one.choices))
    }
    if step.today and not typed.get(step.today):
        typed[step.today] = today.isoformat()
    return typed


def cells(
    step: StepForm, typed: Mapping[str, str], before: Mapping[str, Any], today: date
) -> dict[str, str]:
    """The columns that a press writes, as a sheet would hold them; a field left empty empties its
    column.

    before: the unit as it was, for columns that grow (asks, offers, comebacks).
    """
    row = {
        one.name: typed.get(one.name, "")
        for one in step.fields
        if one.name not in step.adds_to and one.name not in ("on", "back_hours", "back_cost")
    }
    row |= step.sets
    on = typed.get("on") or typed.get("listed") or today.isoformat()
    for name, column in step.adds_to.items():
        if amount := typed.get(name):
            row[column] = _grown(str(before.get(column) or ""), before, on, amount)
    if step.name == "comeback":
        known = f"{before['comeback']}; " if before.get("comeback") else ""
        spent = f"{typed.get('back_hours') or 0}: {typed.get('back_cost') or 0}"
        row["comeback"] = f"{known}{on}: {spent}"
    if step.name == "bench" and not row.get("outcome"):
        row.pop("outcome", None)
    return row


def _grown(known: str, before: Mapping[str, Any], on: str, amount: str) -> str:
    """A dated list with one more entry; a bare first value gets the day it was listed."""
    entries = [part.strip() for part in known.split(";") if part.strip()]
    if len(entries) == 1 and ":" not in entries[0] and before.get("listed"):
        entries = [f"{str(before['listed'])[:10]}:{entries[0]}"]
    # A second ask on one day takes the place of the first
    entries = [entry for entry in entries if not entry.startswith(f"{on}:")]
    return "; ".join([*entries, f"{on}:{amount}"])
