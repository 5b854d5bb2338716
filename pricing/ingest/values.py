"""One cell's text -> a number, an amount, hours, an age: exact, or a reason why not. No value is
guessed: what reads two ways says so.

Every reader returns a Cell: the value (None for blank), a note where something was taken in a way
that should be told, a problem where it cannot be read. Amounts are Decimal. Only the digits 0-9
count after other scripts' digits were turned into them.
"""

import re
import unicodedata
from decimal import Decimal
from typing import Any, NamedTuple

from pricing.basis.word_tables import read
from pricing.basis.words import BLANK_WORDS, squash
from pricing.ingest.headings import CURRENCY_CODES, CURRENCY_SIGNS, HELD, listed
from pricing.words.digits import read_digits


class Cell(NamedTuple):
    """value: None where blank or unreadable; note: told, not held against the row; problem:
    unreadable, with `expected`; asks: the option that would settle it, "" where none does."""

    value: Any = None
    note: str = ""
    problem: str = ""
    currency: str = ""
    ask_words: bool = False  # "250 OBO": words that belong to an ask
    asks: str = ""


BLANK = Cell()
FREE_WORDS = frozenset(listed("free"))
_BLANK_SIGNS = re.compile(r"^[\s\-–—.?*_/]*$")
_ERRORS = re.compile(
    r"^#(REF|N/?A|VALUE|DIV/0|NAME|NUM|NULL|ERROR|SPILL|CALC|#+)[!?]?$|^#+$|^Err:\d+$",
    re.IGNORECASE,
)
_APPROX = re.compile(
    r"^(?:[~≈]|(?:approx(?:imately)?|about|around|circa|ca|est|roughly|maybe|abt|appx)\b\.?|c\.)\s*",
    re.IGNORECASE,
)
_ISH = re.compile(r"\s*(?:-?ish|or so|or thereabouts|approx\.?|est\.?|\?)$", re.IGNORECASE)
_ASK_WORDS = re.compile(
    r"\s*(?:\(?(?:o\.?b\.?o\.?|or best offer|or best|o\.?n\.?o\.?|or near(?:est)?"
    r" offer|firm|neg(?:otiable)?\.?|asking|ask|vh?b\.?|fp|fix|festpreis|à débattre|négociables?"
    r"|à déb\.?|prix ferme|negociables?|trattabil[ei]|do negocjacji|do neg\.?|торг)\)?)\s*$",
    re.IGNORECASE,
)
_DOLLARS = re.compile(r"^(us|ca?|au?|nz|hk|s|mx)\$", re.IGNORECASE)
_WHOSE_DOLLAR = {"us": "USD", "c": "CAD", "ca": "CAD", "a": "AUD", "au": "AUD", "nz": "NZD",
                 "hk": "HKD", "s": "SGD", "mx": "MXN"}  # fmt: skip
_BESIDE = re.compile(
    r"^([^\W\d_]{1,8})[.:]?\s*(?=[-(\d.,]|for )|(?<=[\d.,)\-])\s*\(?([^\W\d_]{2,8}|円|元|р)\)?\.?$"
)
# Currencies as people write them beside an amount; "" where nothing more is known.
_CURRENCY_WORDS = {
    **{code.casefold(): code for code in CURRENCY_CODES},
    **{sign: code for sign, code in CURRENCY_SIGNS.items() if sign[0].isalpha()},
    **read(HELD["currency words"]),
    **dict.fromkeys(("rs", "dm"), ""),
}
# A lost sign in place of the blank between thousands: 1?030,00
_LOST_BLANK = re.compile(r"(?<=\d)[?\ufffd](?=\d{3}(?!\d))")
# Behind an amount: a star that points to a note, how it was paid
_BEHIND = re.compile(
    r"(?<=[\d.,)])\s*(?:\*+|\((?!o\.?[bn]|or |firm|neg|ask|dep|part|down|half|ow|tra|swap|each|for"
    r"|pair|both|refund|plus)[a-z ]{2,20}\)|(?:paid\s+)?(?:by|via|in)\s+(?:bank\s+)?"
    r"(?:cash|card|check|cheque|transfer|app))$",
    re.IGNORECASE,
)
# An older amount crossed out, or with an arrow to the one that holds
_CROSSED = re.compile(
    r"^(?:was\s+)?~*([^~>→]*?\d[^~>→]*?)(?:~+|\s*(?:-+>|=+>|→)|,?\s*now\b)\s*(\S.*)$", re.IGNORECASE
)
# How it was paid, or that it was: the amount beside it is the amount.
_PAID_WORDS = (*listed("paid beside"),)
_SIGNS = re.compile(
    "[" + "".join(re.escape(sign) for sign in CURRENCY_SIGNS if not sign[0].isalpha()) + "]"
)
_FRACTIONS = {"½": ".5", "¼": ".25", "¾": ".75", "⅓": ".333", "⅔": ".667"}


def scrub(text: str) -> str:
    """A number's text with one kind of blank, minus and digit; zero-width signs off."""
    if text.isascii():
        return text.strip()
    out = []
    for sign in text:
        kind = unicodedata.category(sign)
        if kind == "Nd":
            out.append(str(unicodedata.decimal(sign)))
        elif kind == "Zs":
            out.append(" ")
        elif kind == "Cf":
            continue
        elif sign in "−–‒﹣－":
            out.append("-")
        elif sign in "（）．，＄￥￡％":
            out.append(unicodedata.normalize("NFKC", sign))
        else:
            out.append(sign)
    return "".join(out).strip()


def is_blank(text: str) -> bool:
    """Whether a cell says nothing: empty, dashes, "n/a", "unknown".

    >>> [is_blank(text) for text in ("", " - ", "N/A", "?", "0", "free")]
    [True, True, True, True, False, False]
    """
    return not text or bool(_BLANK_SIGNS.match(text)) or squash(text) in BLANK_WORDS


def unusable(text: str) -> str:
    """Why a cell can hold no value of any kind: a formula, or a spreadsheet's error."""
    if text.startswith("=") or (text.startswith(("+", "@")) and re.search(r"[A-Za-z(]", text)):
        return "this is a formula, not its result: copy the column and paste it as values"
    if _ERRORS.match(text):
        return "the spreadsheet shows an error here"
    return ""


NOT_A_NUMBER = "this is not a number"


def decimal_of(digits: str, mark: str, money: bool) -> Cell:
    """The value of digits with separators under the file's decimal mark ("." or ",", "" where the
    file shows neither).

    >>> (decimal_of("1.250,50", ",", True).value, decimal_of("1,250", ".", True).value,
    ...  decimal_of("12,5", ",", True).value)
    (Decimal('1250.50'), Decimal('1250'), Decimal('12.5'))
    >>> decimal_of("1,250", "", True).note
    "'1,250' was read as 1250"
    """
    plain, other, taken = read_digits(digits, mark, money)
    if not plain:
        return Cell(problem=NOT_A_NUMBER)
    if other:
        said = f"this can be read as {plain} or as {Decimal(other).normalize():f}"
        return Cell(problem=said, asks="decimal")
    notes = {
        "thousands": f"{digits!r} was read as {plain}",
        "mark": f"{digits!r} has the other decimal mark; it was read as {plain}",
    }
    return Cell(Decimal(plain), notes.get(taken, ""))


def marks_shown(text: str) -> str:
    """The decimal mark that a number's text proves: ".", "," or ""."""
    digits = re.sub(r"[^\d.,'’ ]", "", scrub(text)).strip()
    separators = [sign for sign in digits if not sign.isdigit()]
    if not separators or separators[-1] not in ".,":
        return ""
    plain = read_digits(digits, "", False)[0]
    if not plain:
        return ""
    last = separators[-1]
    if len(separators) > 1:
        return last if "." in plain else {".": ",", ",": "."}[last]
    whole, _, part = digits.partition(last)
    return "" if len(part) == 3 and 0 < len(whole) <= 3 else last


def read_money(text: str, mark: str = "") -> Cell:
    """An amount: currency signs and codes off, parentheses and minus signs negative, thousands
    apart.

    >>> (read_money("$1,250.50").value, read_money("(10.00)").value, read_money("free").value,
    ...  read_money("n/a").value)
    (Decimal('1250.50'), Decimal('-10.00'), Decimal('0'), None)
    >>> read_money("=60+25").problem
    'this is a formula, not its result: copy the column and paste it as values'
    """
    plain = scrub(text)
    if problem := unusable(plain):
        return Cell(problem=problem)
    if is_blank(plain):
        return BLANK
    if squash(plain) in FREE_WORDS:
        return Cell(Decimal(0))
    return _amount(plain, mark)


def _without_slips(text: str) -> str:
    """An amount without what a lost sign, a footnote, a full stop or how it was paid left there."""
    rest = _BEHIND.sub("", _LOST_BLANK.sub(" ", text))
    rest = re.sub(r"^[?\ufffd]\s*(?=\d)", "", rest)  # a lost sign of money
    return re.sub(r"(?<=[.,]\d\d)\.$", "", rest)


_ABOUT = re.compile(r"(?<=\d)\s*(?:ish|\?|approx\.?|or so|\+|\(approx\.?\))$", re.IGNORECASE)
NO_AMOUNT = "this is not an amount of money"


def _amount(plain: str, mark: str) -> Cell:
    told = _without_slips(plain)
    asked = _ASK_WORDS.sub("", told)
    ask_words = bool(_ASK_WORDS.search(told))
    about = _ABOUT.sub("", _APPROX.sub("", asked, count=1))
    rest, currency, is_told = _currency_off(about)
    noted = told != plain or about != asked or is_told
    negative = False
    if match := re.match(r"^\((.*)\)$", rest):
        negative, rest = True, _SIGNS.sub("", match.group(1)).strip()
    if whole := re.match(r"^(.*\d)([.,:])[-–—]+$", rest):
        # 250,- and 250.- and 450:-; in 1.250,- the comma is the decimal mark
        rest = whole[1]
        mark = whole[2] if whole[2] != ":" and {".": ",", ",": "."}[whole[2]] in rest else mark
    if rest.startswith("-") or rest.endswith("-"):
        negative, rest = not negative, rest.strip("- ")
    rest = rest.removeprefix("+").strip()
    if pence := re.fullmatch(r"(\d{1,6})\s*(?:p|pence|¢|cts?|cents?)\.?", rest, re.IGNORECASE):
        return Cell(Decimal(pence[1]) / (-100 if negative else 100), f"{plain!r} was read as cents")
    thousand = re.match(r"^([\d.,]+)\s*k$", rest, re.IGNORECASE)
    rest = thousand[1] if thousand else rest
    if not rest or rest[0] not in "0123456789.,":
        return Cell(problem=NO_AMOUNT, ask_words=ask_words, currency=currency)
    if re.match(r"^\d[\d.,]*\s*(?:-|to|or)\s*\d", rest):
        return Cell(problem="this is a range, not one amount", currency=currency)
    cell = Cell(problem=NOT_A_NUMBER)
    if not thousand:
        cell = decimal_of(rest, mark, money=True)
    elif re.fullmatch(r"\d+(?:[.,]\d+)?", rest):
        cell = Cell(Decimal(rest.replace(",", ".")) * 1000)
    if cell.problem:
        why = NO_AMOUNT if cell.problem == NOT_A_NUMBER else cell.problem
        return Cell(problem=why, currency=currency, asks=cell.asks, ask_words=ask_words)
    value = cell.value
    if value.as_tuple().exponent < -2 and value != round(value, 2):
        return Cell(problem="money has at most two decimals", currency=currency)
    if value >= Decimal(10) ** 9:
        return Cell(problem="this is more money than any appliance costs", currency=currency)
    note = cell.note or (f"{plain!r} was read as {value:f}" if noted else "")
    return Cell(-value if negative else value, note, "", currency, ask_words)


def _currency_off(text: str) -> tuple[str, str, bool]:
    """(the amount alone, its currency, whether a word was left out that is no currency)."""
    rest = text.replace("â‚¬", "€").replace("Â£", "£")
    rest = re.sub(r"^(\d+)\s*€\s*(\d\d)$", r"\1,\2 €", rest)  # 120 €50
    rest = re.sub(r"^\\(?=\d)", "¥", rest)  # where the yen stands in Japanese alphabets
    rest = re.sub(r"\bm\. ?n\.?$", "MXN", rest, flags=re.IGNORECASE)  # moneda nacional
    currency, is_told = "", False
    if rest[:2].casefold() == "r$":
        currency, rest = "BRL", rest[2:]
    if whose := _DOLLARS.match(rest):
        currency, rest = _WHOSE_DOLLAR[whose[1].casefold()], rest[whose.end() :]
    for _ in range(3):
        for sign in _SIGNS.findall(rest):
            currency = currency or CURRENCY_SIGNS[sign]
        rest = _SIGNS.sub("", rest).strip()
        match = _BESIDE.search(rest)
        word = (match[1] or match[2]).casefold() if match else ""
        if word in _CURRENCY_WORDS:
            currency = currency or _CURRENCY_WORDS[word]
        elif word in _PAID_WORDS:
            is_told = True
        else:
            break
        rest = _BESIDE.sub("", rest, count=1).strip()
    return rest, currency, is_told


def crossed_out(text: str) -> tuple[str, str] | None:
    """(the amount that was, the amount that holds) of a cell in which one is crossed out or
    replaced.

    >>> crossed_out("~~240~~ 210"), crossed_out("was 240, now 210"), crossed_out("240 -> 210")
    (('240', '210'), ('240', '210'), ('240', '210'))
    >>> crossed_out("240")
    """
    match = _CROSSED.match(text)
    return (match[1].strip(), match[2].strip()) if match else None


def read_number(text: str, mark: str = "") -> Cell:
    """A plain number, a unit of measure behind it allowed.

    >>> read_number("4.5 cu ft").value, read_number("about 7").note
    (4.5, "'about 7' was read as 7")
    """
    plain = scrub(text)
    if problem := unusable(plain):
        return Cell(problem=problem)
    if is_blank(plain):
        return BLANK
    rest, approx = plain, False
    if match := _APPROX.match(rest):
        rest, approx = rest[match.end() :], True
    match = re.match(r"^([-+]?)([\d.,'’ ]*\d)\s*([A-Za-z\"'″°%. ]*)$", rest)
    if not match:
        return Cell(problem=NOT_A_NUMBER)
    cell = decimal_of(match.group(2).strip(), mark, money=False)
    if cell.problem or cell.value is None:
        return cell
    value = float(-cell.value if match.group(1) == "-" else cell.value)
    return Cell(value, cell.note or (f"{plain!r} was read as {value:g}" if approx else ""))


_CLOCK = re.compile(r"^(\d{1,3}):([0-5]\d)(?::([0-5]\d))?(?:\s*h(?:rs?|ours)?\.?)?$")
# a length of time as ISO 8601 writes it
_ISO_LENGTH = re.compile(r"^pt(?:(\d+)h)?(?:(\d+)m)?$")
_HOUR_WORD = r"(?:h|hr|hrs|hour|hours|std|u|stunden|heures?)\.?"
_MINUTE_WORD = r"(?:(?:m|min|mins|minute|minutes|'|′|mn)\.?)"
_HOUR_COUNT = r"(\d+(?:[.,]\d+)?|\d*\s*[½¼¾⅓⅔]|\d+ \d/\d|\d/\d|half(?: an?)?|an?|one)"
_HOURS = re.compile(
    rf"^(?:{_HOUR_COUNT}\s*{_HOUR_WORD})?\s*(?:and\s*)?(?:(\d+(?:[.,]\d+)?)\s*{_MINUTE_WORD}?)?$",
    re.IGNORECASE,
)


def read_hours(text: str, mark: str = "", unit: str = "hours") -> Cell:
    """Hours of work. A bare number is in `unit` ("hours" or "minutes").

    >>> said = ("1:30", "90 min", "1h30", "1.5 hrs", "1½", "2 h", "1 hr 15 min")
    >>> [read_hours(text).value for text in said]
    [1.5, 1.5, 1.5, 1.5, 1.5, 2.0, 1.25]
    """
    plain = scrub(text).lower()
    if problem := unusable(plain):
        return Cell(problem=problem)
    if is_blank(plain):
        return BLANK
    factor = 1 / 60 if unit == "minutes" else 1.0
    rest, approx = plain, False
    if match := _APPROX.match(rest):
        rest, approx = rest[match.end() :], True
    note = f"{plain!r} was read as about that" if approx else ""
    rest = re.sub(r"(?<=\d)\s+(?:and|&)\s+(?:a\s+)?half\b", "½", rest)
    if match := re.match(r"^(.*\w)\.?\s*(\([^()]*\))$", rest):
        rest, note = match[1], f"{match[2]} was left out"
    if match := _CLOCK.match(rest):
        hours = int(match.group(1)) + int(match.group(2)) / 60 + int(match.group(3) or 0) / 3600
        return Cell(hours, note)
    if (match := _ISO_LENGTH.match(rest)) and rest != "pt":
        return Cell(int(match.group(1) or 0) + int(match.group(2) or 0) / 60, note)
    if match := re.match(r"^(\d*)\s*([½¼¾⅓⅔])$", rest):
        return Cell(float((match.group(1) or "0") + _FRACTIONS[match.group(2)]) * factor, note)
    if match := re.match(r"^(?:(\d+) )?(\d)/(\d)$", rest):
        share = int(match.group(2)) / max(1, int(match.group(3)))
        return Cell((int(match.group(1) or 0) + share) * factor, note)
    if re.match(r"^[-+]?[\d.,]+$", rest):
        cell = decimal_of(rest.lstrip("+-"), mark, money=False)
        if cell.problem:
            return cell
        if rest.startswith("-"):
            return Cell(problem="work cannot take less than no time")
        return Cell(float(cell.value) * factor, cell.note or note)
    match = _HOURS.match(rest)
    if match and (match.group(1) or match.group(2)):
        hours = _hour_part(match.group(1)) if match.group(1) else 0.0
        minutes = float(match.group(2).replace(",", ".")) if match.group(2) else 0.0
        if match.group(1) is None or minutes < 60:
            return Cell(hours + minutes / 60, note)
    return Cell(problem="this is not a length of time")


def _hour_part(text: str) -> float:
    text = text.strip()
    if text.startswith("half"):
        return 0.5
    if text in ("a", "an", "one"):
        return 1.0
    if match := re.match(r"^(\d*)\s*([½¼¾⅓⅔])$", text):
        return float((match.group(1) or "0") + _FRACTIONS[match.group(2)])
    if match := re.match(r"^(?:(\d+) )?(\d)/(\d)$", text):
        return int(match.group(1) or 0) + int(match.group(2)) / max(1, int(match.group(3)))
    return float(text.replace(",", "."))


class Age(NamedTuple):
    """years: age, or None; made: the year made as text, where the cell gives that instead."""

    years: float | None = None
    made: str = ""


_YEARS = r"(?:y|yr|yrs|year|years|ys|jahre|ans|años|anni|jaar|lat|let|år)\.?(?:\s*old|/?o)?"
_MONTHS = r"(?:m|mo|mos|mth|mths|month|months|monate|mois)\.?(?:\s*old)?"


def read_age(text: str, mark: str = "", unit: str = "years", this_year: int = 9999) -> Cell:
    """Years of age, or the year made where the cell names a year; `value` is an Age.

    >>> said = ("7", "5 yrs", "18 months", "~5", "<1", "10+", "5-6", "1y 6m", "new")
    >>> [read_age(text).value.years for text in said]
    [7.0, 5.0, 1.5, 5.0, 0.5, 10.0, 5.5, 1.5, 0.0]
    >>> read_age("2016", this_year=2026).value.made
    '2016'
    """
    plain = scrub(text).lower()
    if problem := unusable(plain):
        return Cell(problem=problem)
    if is_blank(plain):
        return BLANK
    if plain in ("new", "brand new", "unused"):
        return Cell(Age(0.0))
    rest = _ISH.sub("", _APPROX.sub("", plain)).strip()
    if (made := _year_made(rest, plain, this_year)) is not None:
        return made
    scale = {"months": 1 / 12, "days": 1 / 365.25}.get(unit, 1.0)
    number = r"(\d+(?:[.,]\d+)?)"
    if match := re.match(rf"^{number}\s*(?:{_YEARS})?$", rest):
        return _aged(match.group(1), mark, 1.0 if re.search(r"[a-z]", rest) else scale, plain)
    if match := re.match(rf"^{number}\s*{_MONTHS}$", rest):
        return _aged(match.group(1), mark, 1 / 12, plain)
    if match := re.match(rf"^{number}\s*(?:w|wk|wks|week|weeks)\.?(?:\s*old)?$", rest):
        return _aged(match.group(1), mark, 7 / 365.25, plain)
    if match := re.match(rf"^{number}\s*{_YEARS}\s*(?:and\s*)?,?\s*{number}\s*{_MONTHS}$", rest):
        return Cell(
            Age(
                float(match.group(1).replace(",", "."))
                + float(match.group(2).replace(",", ".")) / 12
            )
        )
    if (about := _age_about(rest, plain, scale)) is not None:
        return about
    if rest.startswith("-") or re.match(r"^\(.*\)$", rest):
        return Cell(problem="an age cannot be below 0")
    return Cell(problem="this is not an age in years, nor a year")


def _year_made(rest: str, plain: str, this_year: int) -> Cell | None:
    """The year, or two, that a cell names: "2016", "made 2015-2017"; None where none."""
    if match := re.match(
        r"^(?:made|built|from|mfg|yr|year|since)?\s*(?:in\s*)?((?:19[5-9]|20[0-9])\d)(?:\s*(?:-|to|/|or|,)\s*((?:19[5-9]|20[0-9])\d))?$",
        rest,
    ):
        first, last = int(match.group(1)), int(match.group(2) or match.group(1))
        if last > this_year + 1:
            return Cell(problem="this year has not come yet")
        return Cell(
            Age(None, f"{first}-{last}" if last != first else str(first)),
            f"{plain!r} was read as the year made",
        )
    return None


def _age_about(rest: str, plain: str, scale: float) -> Cell | None:
    """An age that is a bound, a range or a fraction: "<1", "10+", "5-6", "1½"."""
    number = r"(\d+(?:[.,]\d+)?)"
    if match := re.match(rf"^(?:<|under|less than|up to|max)\s*{number}\s*(?:{_YEARS})?$", rest):
        return Cell(
            Age(float(match.group(1).replace(",", ".")) / 2 * scale),
            f"{plain!r} taken as half of it",
        )
    if match := re.match(
        rf"^(?:>|over|more than|at least|min)?\s*{number}\s*(?:{_YEARS})?\s*(?:\+|plus|or more|or"
        r" older|and up)?$",
        rest,
    ):
        return Cell(
            Age(float(match.group(1).replace(",", ".")) * scale),
            f"{plain!r} was read as {match.group(1)}",
        )
    if match := re.match(rf"^{number}\s*(?:-|to|or|/)\s*{number}\s*(?:{_YEARS})?$", rest):
        low, high = (float(part.replace(",", ".")) for part in match.groups())
        if low <= high <= 60:
            return Cell(
                Age((low + high) / 2 * scale), f"{plain!r} was read as {(low + high) / 2:g}"
            )
    if match := re.match(r"^(?:(\d+)\s*)?([½¼¾])\s*(?:" + _YEARS + ")?$", rest):
        return Cell(Age(float((match.group(1) or "0") + _FRACTIONS[match.group(2)])))
    return None


def _aged(digits: str, mark: str, scale: float, plain: str) -> Cell:
    cell = decimal_of(digits, mark, money=False)
    if cell.problem:
        return cell
    years = float(cell.value) * scale
    if years > 100:
        return Cell(problem="no appliance is that old")
    approx = f"{plain!r} was read as {years:g}" if _APPROX.match(plain) else ""
    return Cell(Age(years), cell.note or approx)
