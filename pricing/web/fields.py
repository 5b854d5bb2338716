"""The fields of every form, in the person's words. Names are those of the columns and of
`basis/question.KNOWN`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pricing.basis.columns import CONDITIONS
from pricing.basis.question import BY_KNOWN, UNIT_LIMITS
from pricing.basis.settings import Settings
from pricing.web.forms import Field

GRADES = tuple((grade, grade) for grade in CONDITIONS)
SAY_IT = Field("words", "Say it in your words", "area")
LIKE = {
    "offer": "Example: electric dryer, 8 years, no heat, wants 40, 12 miles",
    "bench": "Example: electric dryer, 8 years, drum won't turn, belt",
    "ask": "Example: front-load washer, 7 years, good, steam",
}


def say_it(page: str) -> Field:
    """The field for words, with an example of this page."""
    return replace(SAY_IT, hint=LIKE[page])


TYPE = Field("type", "What is it", complete="type")
AGE = Field("age", "Years old", "number", low=UNIT_LIMITS["age"][0], high=UNIT_LIMITS["age"][1])
MADE = Field("made", "Or year made", hint="2016, or 2014-2016")
MAKER = Field("maker", "Brand", complete="maker")
CONDITION = Field("condition", "Condition, once cleaned", "choice", choices=GRADES)
FEATURES = Field("features", "Features", hint="steam; ice maker", complete="features")
FAULT = Field("fault", "What's wrong", complete="fault")
FOUND = Field("found", "What it was", complete="found")
REPAIR = Field("repair", "What you did", hint="drain pump; belt", complete="repair")
SIZE = Field("size", "Size", "number", low=UNIT_LIMITS["size"][0], high=UNIT_LIMITS["size"][1])


def known(name: str, words: str, kind: str = "number", ends: str = "", hint: str = "") -> Field:
    """A number that the person knows better, with the bounds it is checked by."""
    bounds = BY_KNOWN[name]
    return Field(name, words, kind, hint, ends, bounds.low, bounds.high)


def unit_of_list(units: Sequence[tuple[str, str]]) -> Field:
    """Pick one of the open units."""
    return Field("unit", "From your list", "pick", choices=tuple(units))


def own_attributes(settings: Settings) -> tuple[Field, ...]:
    """The person's own attributes, as fields."""
    return tuple(
        Field(name, name.replace("_", " "), "number" if kind in ("number", "log") else "text")
        for name, kind in settings.attributes.items()
    )


def money_ends(settings: Settings) -> str:
    from pricing.pages.text import sign_of

    return str(sign_of(settings.currency)["sign"]).strip()


def _looks(settings: Settings) -> tuple[Field, ...]:
    return (CONDITION, MAKER, FEATURES, SIZE, *own_attributes(settings))


def offer(settings: Settings) -> tuple[tuple[Field, ...], tuple[Field, ...]]:
    """Fields of *Before the drive*: those that matter on the phone, and the rest."""
    money, distance = money_ends(settings), settings.distance_unit
    first = (
        TYPE,
        FAULT,
        AGE,
        MADE,
        known("their_price", "They want", "money", money),
        known("miles", "How far, one way", "number", distance),
        Field("they_pay", "They pay me", "tick"),
        Field("at_curb", "I'm already there", "tick"),
    )
    more = (
        *_looks(settings),
        known("price", "It will sell for", "money", money, "where you know better"),
        known("parts", "Parts will cost", "money", money, "where you know better"),
        known("hours", "My work on it", "number", "hours", "where you know better"),
        Field("of_ten", "I fix this", "number", "your own count", "of 10 times", 0, 10),
        known("on_trip", "Units on this drive", "number"),
    )
    return first, more


def bench(settings: Settings) -> tuple[tuple[Field, ...], tuple[Field, ...]]:
    """Fields of *On the bench*."""
    money = money_ends(settings)
    first = (
        TYPE,
        replace(FAULT, words="What's wrong"),
        FOUND,
        AGE,
        known("parts", "Parts still to buy", "money", money),
        known("hours", "Hours still to go", "number", "hours"),
        Field("of_ten", "I fix this", "number", "your own count", "of 10 times", 0, 10),
    )
    more = (
        MADE,
        *_looks(settings),
        known("price", "It will sell for", "money", money, "where you know better"),
        known("spent_money", "Already spent on it", "money", money, "shown, not counted"),
        known("spent_hours", "Hours already in it", "number", "hours", "shown, not counted"),
    )
    return first, more


def ask(settings: Settings) -> tuple[tuple[Field, ...], tuple[Field, ...]]:
    """Fields of *Set the ask*."""
    money = money_ends(settings)
    first = (
        TYPE,
        AGE,
        MADE,
        MAKER,
        replace(CONDITION, words="Condition"),
        FEATURES,
        replace(REPAIR, words="What was repaired"),
        known("offered", "A buyer bids", "money", money),
    )
    more = (
        SIZE,
        *own_attributes(settings),
        known("asked_now", "Listed now at", "money", money),
        Field("listed", "Listed on", "date"),
    )
    return first, more
