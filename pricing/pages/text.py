"""Plain text for a person: money as people write it, lines of at most 60 signs, columns."""

import os
import textwrap
import unicodedata
from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from pricing.basis.money_form import decimals, place_of_money
from pricing.wording import plain

# as wide as a person reads easily, or as the screen is
WIDTH = max(20, min(60, int(width) if (width := os.environ.get("COLUMNS", "")).isdigit() else 60))


def money(value: float, currency: str = "USD", step: float = 1.0) -> str:
    """Money to the nearest `step`, the sign before the currency, thousands apart.

    >>> money(1234.4), money(-12.6), money(52, step=5)
    ('$1,234', '-$13', '$50')
    """
    if step < 1:
        return exact(round(value / step) * step, currency)
    return plain.in_steps(value, int(step), place_of_money(currency))


def exact(value: float | Decimal, currency: str) -> str:
    """Money to the cent or what the currency has for it, so that printed rows add up.

    >>> exact(-1234.5, "USD"), exact(27000, "JPY"), exact(1.25, "KWD")
    ('-$1,234.50', '¥27,000', 'KWD\\xa01.250')
    """
    place, places = place_of_money(currency), decimals(currency)
    whole, _, cents = f"{abs(value):.{places}f}".partition(".")
    digits = plain.grouped(whole, place["group"], place["second"])
    form = place["less" if round(float(value), places) < 0 else "more"]
    return str(form).replace("#", digits + (f"{place['point']}{cents}" if cents else ""))


def limit(value: float, currency: str = "USD") -> str:
    """Limits and expected prices, to 5; small sums to 1."""
    return plain.limit(value, place_of_money(currency))


def day(value: date, today: date | None = None) -> str:
    """A day as a person says it: Apr 30; with its year where that is another one than today's."""
    return plain.day_and_year(value.isoformat(), (today or value).isoformat())


def width_of(text: str) -> int:
    """Columns on a screen: wide characters take two, combining ones none."""
    wide = (2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)
    return sum(n for c, n in zip(text, wide, strict=True) if not unicodedata.combining(c))


def columns(rows: Sequence[Sequence[str]], right: Sequence[int] = (), gap: int = 2) -> list[str]:
    """Rows of cells as aligned lines; `right` names the columns that align right."""
    if not rows:
        return []
    most = max(map(len, rows))
    widths = [max(width_of(row[i]) for row in rows if i < len(row)) for i in range(most)]
    lines = []
    for row in rows:
        cells = []
        for i, cell in enumerate(row):
            pad = " " * (widths[i] - width_of(cell))
            cells.append(pad + cell if i in right else cell + pad)
        lines.append((" " * gap).join(cells).rstrip())
    return lines


def wrap(text: str, indent: str = "") -> list[str]:
    """Text in lines of at most WIDTH; later lines begin with `indent`."""
    return textwrap.wrap(
        text, WIDTH, subsequent_indent=indent, break_long_words=True, break_on_hyphens=False
    ) or [""]
