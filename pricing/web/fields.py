"""The fields of every form, as `forms.toml` has them, named as columns or `KNOWN`."""

import math
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
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
