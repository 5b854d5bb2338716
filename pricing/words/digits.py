"""A number as people write it: the one reader for a cell of a sheet, a field of the page or of the
phone, an option, a question of `setup` and a number among words. No regular expression: the
phone's file holds the same code, translated.

The mark is the decimal mark that the file or the settings show, "." or ","; "" where neither does.
"""

from typing import Any

DIGITS = "0123456789"
APART = ".,'’ "
SIGNS = "$€£¥₹"
# Before a number: it is meant roughly. Behind it: its unit, which the field knows already.
ROUGHLY = ("about", "around", "approx", "approx.", "roughly", "circa", "ca", "ca.", "~")
CODES = ("usd", "cad", "aud", "nzd", "gbp", "eur", "jpy", "inr", "zar", "chf", "sek", "nok", "dkk")
UNITS = (
    *("", "%", "k", "of 10", "out of 10", "of ten", "out of ten", "/10", "/ 10", "units", "or so"),
    *("y", "yr", "yrs", "year", "years", "m", "month", "months", "mi", "mile", "miles", "km"),
    *("h", "hr", "hrs", "hour", "hours", "min", "mins", "minute", "minutes", "lb", "lbs", "kg"),
    *("dollar", "dollars", "buck", "bucks", "euro", "euros", "pounds", "quid", "cash", "each"),
    *CODES,
)
FREE = ("free", "nothing", "gratis", "for free")


def read_digits(text: str, mark: str, money: bool) -> list[str]:
    """[the number with a point and no signs apart, "" where there is none; another number that it
    may be as well; "thousands" or "mark" where one of two readings was taken without proof].

    >>> read_digits("1.250,50", "", True), read_digits("1,250", ".", True)
    (['1250.50', '', ''], ['1250', '', ''])
    >>> read_digits("12,5", ".", False), read_digits("1.250", "", True)
    (['12.5', '', 'mark'], ['1250', '1.250', ''])
    >>> read_digits("1,15,000", ".", True), read_digits("3.5.24", "", False)
    (['115000', '', ''], ['', '', ''])
    """
    taken = _taken_apart(text)
    parts = taken[0]
    apart = taken[1]
    n = len(apart)
    if n == 0:
        return [parts[0], "", ""]
    last = apart[n - 1]
    thousands = _are_groups(parts, apart)
    if not thousands and not _has_tail(parts, apart):
        return ["", "", ""]
    together = "".join(parts)
    if thousands and (n > 1 or last in " '’"):
        return [together, "", ""]
    value = ("".join(parts[0:n]) or "0") + "." + (parts[n] or "0")
    if not thousands or parts[0] == "0":
        return [value, "", "" if mark in ("", last) else "mark"]
    return _three_places(together, value, last, mark, money)


def _three_places(together: str, value: str, last: str, mark: str, money: bool) -> list[str]:
    """1,250: thousands, or a decimal with three places, which money has not."""
    if mark not in ("", last):
        return [together, "", ""]
    if mark == "" and last == "," and money:
        return [together, "", "thousands"]
    if money or (mark == "" and last == ","):
        return [together, value, ""]
    return [value, "", ""]


def _taken_apart(text: str) -> list[Any]:
    """[groups of digits, the signs between them]; none where anything else is there."""
    parts = []
    apart = ""
    group = ""
    for c in text:
        if c in DIGITS:
            group += c
        elif c in APART:
            apart += c
            parts.append(group)
            group = ""
        else:
            return [[""], ""]
    parts.append(group)
    return [parts, apart]


def _has_tail(parts: list[str], apart: str) -> bool:
    """Whether it ends as a decimal: 12.5, .5, 5., 1.250,50."""
    n = len(apart)
    last = apart[n - 1]
    if last not in ".,":
        return False
    if n == 1:
        return parts[0] != "" or parts[1] != ""
    return parts[n] != "" and last != apart[0] and _are_groups(parts[0:n], apart[0 : n - 1])


def _are_groups(parts: list[str], apart: str) -> bool:
    """Whether they are groups of thousands, or of lakhs: 1,250,000 or 12,50,000."""
    n = len(apart)
    if n == 0 or not 1 <= len(parts[0]) <= 3 or len(parts[n]) != 3:
        return False
    middle = len(parts[1]) if n > 1 else 3
    if middle < 2 or middle > 3 or (middle == 2 and (len(parts[0]) > 2 or apart[0] != ",")):
        return False
    for i in range(n):
        if apart[i] != apart[0] or (0 < i and len(parts[i]) != middle):
            return False
    return True


def said_number(text: str, mark: str, money: bool) -> list[float]:
    """What a person typed where one number is asked for: [the number], [one, other] where it can
    be read as either, [] where it is none.

    >>> said_number("$1,250.50", ".", True), said_number("12,5", ".", False)
    ([1250.5], [12.5])
    >>> said_number("1.250", ".", True), said_number("1.250", ",", True)
    ([1250.0, 1.25], [1250.0])
    >>> [said_number(said, ".", False) for said in ("8 out of 10", "about 200", "-20", "20 min")]
    [[8.0], [200.0], [-20.0], [20.0]]
    >>> said_number("free", ".", True), said_number("ten", ".", True), said_number("4-5", ".", True)
    ([0.0], [], [])
    """
    plain = _bare(text)
    if plain in FREE:
        return [0.0]
    plain = _after(plain, ROUGHLY)
    times = 1
    if plain.startswith("-"):
        times = -1
        plain = plain[1:].strip()
    elif plain.startswith("(") and plain.endswith(")"):
        times = -1
        plain = plain[1 : len(plain) - 1].strip()
    plain = _after(plain, CODES)
    end = 0
    while end < len(plain) and (plain[end] in DIGITS or plain[end] in APART):
        end += 1
    unit = plain[end:].strip()
    if unit.endswith("."):
        unit = unit[0 : len(unit) - 1]
    if end > 30 or unit not in UNITS:
        return []
    digits = plain[0:end].strip()
    while digits[len(digits) - 1 :] in (".", ","):
        digits = digits[0 : len(digits) - 1]
    if unit == "k":
        times = times * 1000
        money = False
    return [float(one) * times for one in read_digits(digits, mark, money)[0:2] if one != ""]


def _after(plain: str, words: tuple[str, ...]) -> str:
    """What follows the first of these words, where a number or a blank does."""
    for word in words:
        if plain.startswith(word) and plain[len(word) : len(word) + 1] in ("-", " ", *DIGITS):
            return plain[len(word) :].strip()
    return plain


def _bare(text: str) -> str:
    """Small letters, one sort of blank and minus, no sign of a currency."""
    out = ""
    for c in text.lower():
        if c in "\u00a0\u202f\u2009":
            out += " "
        elif c in "−–":
            out += "-"
        elif c not in SIGNS:
            out += c
    return out.strip()
