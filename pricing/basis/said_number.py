"""One number that a person typed where one is asked for: a field, an option, an answer of setup."""

import math
import unicodedata

from pricing.basis.settings import Settings
from pricing.words.digits import said_number


def mark_of(settings: Settings) -> str:
    """The decimal mark of what is typed: the one of the sheets where the settings name it."""
    return "," if settings.decimal == "," else "."


def typed(text: str, mark: str = ".", money: bool = False) -> list[float]:
    """[the number], [one, other] where it can be read as either, [] where it is none.

    >>> typed("$1,250.50"), typed("٣"), typed("1.250", money=True), typed("about ten")
    ([1250.5], [3.0], [1250.0, 1.25], [])
    """
    text = text if text.isascii() else unicodedata.normalize("NFKC", text)
    digit = {sign: str(unicodedata.decimal(sign)) for sign in {*text} if sign.isdecimal()}
    plain = "".join(digit.get(sign, sign) for sign in text)
    return [value for value in said_number(plain, mark, money) if math.isfinite(value)]


def either(text: str, found: list[float]) -> str:
    """What is wrong with a number that can be read in two ways."""
    one, other = (f"{value:.10g}" for value in found)
    return f"{text!r} can be read as {one} or as {other}"
