"""The fields of every form, as `forms.toml` has them, named as columns or `KNOWN`."""

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from pricing.basis.columns import CONDITIONS
from pricing.basis.money_form import place_of_money
from pricing.basis.question import BY_KNOWN, UNIT_LIMITS
from pricing.basis.settings import Settings
from pricing.web.forms import Field

SAY_IT = Field("words", "Say it in your words", "area")
LIKE = {
    "offer": "Example: electric dryer, 8 years, no heat, wants 40, 12 miles",
    "bench": "Example: electric dryer, 8 years, drum won't turn, belt",
    "ask": "Example: front-load washer, 7 years, good, steam",
}
_GRADES = tuple((grade, grade) for grade in CONDITIONS)
_BOUNDS = {**UNIT_LIMITS, **{name: (known.low, known.high) for name, known in BY_KNOWN.items()}}


@cache
def tables() -> Mapping[str, Any]:
    """What `forms.toml` says."""
    return tomllib.loads(Path(__file__).with_name("forms.toml").read_text(encoding="utf-8"))


def say_it(page: str) -> Field:
    """The field for words, with an example of this page."""
    return replace(SAY_IT, hint=LIKE[page])


def unit_of_list(units: Sequence[tuple[str, str]]) -> Field:
    """Pick one of the open units."""
    return Field("unit", "From your list", "pick", choices=tuple(units))


def own_attributes(settings: Settings) -> tuple[Field, ...]:
    """The person's own attributes, as fields."""
    return tuple(
        Field(name, name.replace("_", " "), "number" if kind in ("number", "log") else "text")
        for name, kind in settings.attributes.items()
    )


def fields_of(told: Sequence[Any], settings: Settings) -> tuple[Field, ...]:
    """The fields of a form: names, or names with what they say otherwise here."""
    found: list[Field] = []
    for one in told:
        own = {"name": one} if isinstance(one, str) else one
        found += own_attributes(settings) if one == "own" else [_field(own, settings)]
    return tuple(found)


def _field(own: Mapping[str, Any], settings: Settings) -> Field:
    told = {**tables()["field"].get(own["name"], {}), **own}
    if told.get("kind") == "money":
        told["ends"] = str(place_of_money(settings.currency)["sign"]).strip()
    elif told.get("ends") == "distance":
        told["ends"] = settings.distance_unit
    bounds = _BOUNDS.get(told["name"], (-math.inf, math.inf))
    told = dict(zip(("low", "high"), bounds, strict=True)) | told
    some = told.get("choices", ())
    return Field(**told | {"choices": _GRADES if some == "grades" else tuple(map(tuple, some))})


def question(name: str, settings: Settings) -> tuple[tuple[Field, ...], tuple[Field, ...]]:
    """Fields of `offer`, `bench` or `ask`: those that matter on the phone, and the rest."""
    told = tables()["question"][name]
    return fields_of(told["first"], settings), fields_of(told["more"], settings)


# ---- The small forms that move a unit: got -> repaired -> listed -> sold, parted or scrapped
OPEN = ("", "in work", "waiting for part", "listed")


@dataclass(frozen=True)
class StepForm:
    """One form, which writes the columns it shows and no other. sets: columns that the press itself
    writes; adds_to: field -> dated column that it adds to; today: field filled with the day; done:
    what the list of changes calls it."""

    name: str
    words: str
    button: str
    fields: tuple[Field, ...]
    sets: Mapping[str, str] = field(default_factory=dict)
    adds_to: Mapping[str, str] = field(default_factory=dict)
    today: str = ""
    done: str = ""


def step(name: str, settings: Settings) -> StepForm:
    """A form of `forms.toml` by its name."""
    told = tables()["step"][name]
    return StepForm(name, **{**told, "fields": fields_of(told["fields"], settings)})


def steps_of(outcome: str, settings: Settings) -> tuple[StepForm, ...]:
    """What can happen next to a unit, the likeliest first."""
    told = tables()["next"]
    names = told.get(outcome) or told["open" if outcome in OPEN else "ended"]
    return tuple(step(name, settings) for name in names)


def correction(settings: Settings) -> StepForm:
    """Everything that the first form asked, to put right."""
    told = tuple(one for one in step("got", settings).fields if one.name != "unit")
    return StepForm("correct", "Put something right", "Save", told, done="put right")


def find(name: str, settings: Settings) -> StepForm | None:
    """A step by its name, usual now or not: another window may have moved the unit."""
    if name == "correct":
        return correction(settings)
    known = {"got", *(each for names in tables()["next"].values() for each in names)}
    return step(name, settings) if name in known else None


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
    """The columns that a press writes; an empty field empties its column. before: the unit as it
    was, for columns that grow (asks, offers, comebacks)."""
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
