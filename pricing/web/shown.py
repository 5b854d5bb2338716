"""How finished numbers are written on the page: the words of `pages/text`, with the currency of the settings."""

from __future__ import annotations

from datetime import date
from typing import Any

from flask import Flask

from pricing.pages import text
from pricing.web import drawn, forms
from pricing.web.place import here


def money(value: float | None, step: float = 1.0) -> str:
    return "–" if value is None else text.money(float(value), here().settings().currency, step)


def limit(value: float | None) -> str:
    """Limits and expected prices, to 5."""
    return "–" if value is None else text.limit(float(value), here().settings().currency)


def day(value: Any) -> str:
    """A day as a person says it; with the year where it is another year than today's."""
    if value is None or value == "":
        return "–"
    if isinstance(value, str):
        value = date.fromisoformat(value[:10])
    elif isinstance(value, int | float):
        value = date.fromordinal(int(value))
    said = text.day(value)
    return said if value.year == here().today().year else f"{said}, {value.year}"


def number(value: float | None, digits: int = 3) -> str:
    return "–" if value is None else f"{value:.{digits}g}" if abs(value) < 1e5 else f"{value:,.0f}"


def add_filters(app: Flask) -> None:
    app.jinja_env.filters.update(money=money, limit=limit, day=day, number=number, chance=text.chance, sentence=forms.sentence, short=forms.short)
    app.jinja_env.globals.update(sign=drawn.sign, money_line=drawn.money_line, bar=drawn.bar)
