"""How finished numbers are written on the page: `pages/text` in the settings' currency."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from flask import Flask
from markupsafe import Markup

from pricing.basis import said_number
from pricing.pages import text
from pricing.pages.parts import money_line
from pricing.pages.quarter_words import capital
from pricing.web import forms, listed
from pricing.web.place import here
from pricing.wording import drawing
from pricing.wording.question_words import name_of_maker


def money(value: float | None, step: float = 1.0) -> str:
    return "–" if value is None else text.money(float(value), here().settings().currency, step)


def day(value: Any) -> str:
    """A day as a person says it; with the year where it is another year than today's."""
    if value is None or value == "":
        return "–"
    if isinstance(value, str):
        value = date.fromisoformat(value[:10])
    elif isinstance(value, int | float):
        value = date.fromordinal(int(value))
    return text.day(value, here().today())


def number(value: float | None, digits: int = 3) -> str:
    return "–" if value is None else f"{value:.{digits}g}" if abs(value) < 1e5 else f"{value:,.0f}"


def name_of(unit: Any) -> str:
    """The person's own number; numbers that the program made up are told as none."""
    return "(no number)" if str(unit).startswith("~") else str(unit)


def what(row: Mapping[str, Any]) -> str:
    """What a row of the list is about: the type of a unit; what an expense or a trip was for."""
    if row.get("outcome") in listed.NOT_UNITS:
        return ", ".join(str(row[name]) for name in ("type", "note") if row.get(name))
    return str(row.get("type") or "not said")


def state(row: Mapping[str, Any]) -> str:
    return listed.state(row, here().today())


def much(row: Mapping[str, Any]) -> str:
    """The amount that matters of a unit: sold for, else asked, else paid."""
    if row.get("price") is not None:
        return money(row["price"])
    if row.get("expense") is not None:
        return money(row["expense"])
    ask = said_number.typed(listed.last_of(row.get("asked")))
    if row.get("outcome") == "listed" and ask:
        return f"asks {money(ask[0])}"
    return f"got {money(row['salvage'])}" if row.get("salvage") else ""


def maker(name: Any) -> str:
    """A maker's name with capitals."""
    return name_of_maker(str(name))


def add_filters(app: Flask) -> None:
    """The words and figures that templates write, as filters of the page's templates."""
    for one in (day, number, name_of, what, state, much, maker):
        app.jinja_env.filters[one.__name__] = one
    app.jinja_env.filters |= {"sentence": forms.sentence, "short": forms.short, "first_up": capital}
    app.jinja_env.globals.update(
        money_line=money_line,
        sign=lambda *given: Markup(drawing.sign(*given)),
        bar=lambda *given: Markup(drawing.bar(*given)),
        against=lambda share: Markup(drawing.against(share)),
        strip=lambda *given: Markup(drawing.strip(*given)),
    )
