"""One line about a unit of the record, as `sold`, `spent` and the like take it: which unit, the
amounts, the time, what is left to note down.

A unit is named by its number, by the end of it ("198" for DEMO-198), anywhere behind "on" or "#",
or by what it is ("the Norvane dryer") where one alone can be meant.
"""

import calendar
import re
from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta
from typing import Any

from pricing.advice import cautions
from pricing.advice.unsold import said
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import meant, refused
from pricing.basis.said_number import either, mark_of, typed
from pricing.basis.settings import Settings
from pricing.ingest.dates import read_date, resolve
from pricing.model.own_words import Words, known_words
from pricing.model.saved import load
from pricing.pipeline import by_hand
from pricing.pipeline.hearing import heard, question_of
from pricing.words.tokens import tokens_of

# a sign of money may stand before a number; a letter may not: F21 is an error code, no amount
NUMBER = r"(?<!\w)[^\w\s.,-]?(?P<number>\d+(?:[.,]\d+)*)"
TIME = re.compile(rf"{NUMBER}\s*(?P<unit>minutes?|mins?|hours?|hrs?|h)\b", re.IGNORECASE)
AMOUNT = re.compile(
    rf"(?:\b(?P<word>for|at|to|paid|cost|bid|of|lost)\s+)?{NUMBER}(?![\w.,]*\w)", re.I
)
FREE = re.compile(r"\b(?:for free|free|for nothing)\b", re.IGNORECASE)
# "20 for delivery", "delivery 20": beside the price, not of it
JOINED, BESIDE = r"(?:\b(?:plus|with|and|less|minus)\s+|\+\s*)?", r"(?P<what>delivery|fees?)\b"
ASIDE = (
    re.compile(rf"{JOINED}{NUMBER}\s*(?:for\s+(?:the\s+)?)?{BESIDE}", re.IGNORECASE),
    re.compile(rf"{JOINED}\b{BESIDE}\s*(?:was\s+|of\s+)?{NUMBER}", re.IGNORECASE),
)
NAMED = re.compile(r"(?:\b(?:on|unit|no\.?)\s+#?|#)(?P<unit>[\w./-]*\d)\b", re.IGNORECASE)
JOINING = {"a", "an", "and", "at", "bucks", "dollars", "for", "in", "it", "of", "on", "the", "took"}
_WEEK = ("mon", "tues", "wednes", "thurs", "fri", "satur", "sun")
DAY = re.compile(
    r"\b(?:on\s+)?(?:(?P<word>today|yesterday)|(?P<ago>\d{1,3})\s+days?\s+ago"
    rf"|(?:last\s+)?(?P<week>{'|'.join(_WEEK)})day"
    r"|(?P<date>\d{4}-\d\d-\d\d|\d{1,2}/\d{1,2}(?:/\d{2,4})?"
    r"|[a-z]{3,9}\.?\s\d{1,2}(?:st|nd|rd|th)?(?:,?\s20\d\d)?))(?![\w.,/-]*\d)\b",
    re.IGNORECASE,
)
AMOUNTS = ("offered", "price", "asked_now", "mine", "their_price", "parts", "spent_money")


@frozen
class Told:
    """A line taken apart. cells: other columns that it fills; note: the line as said, where it
    holds more than amounts; dangers: those that it names."""

    amounts: tuple[float, ...]
    hours: float
    cells: Mapping[str, str]
    note: str
    dangers: tuple[str, ...] = ()


def told(line: str, unit: Mapping[str, Any], settings: Settings, known: Words, today: date) -> Told:
    """Amounts, time and the rest of a line about a unit.

    >>> dryer, day = {"type": "electric dryer"}, date(2026, 5, 1)
    >>> one = told("for $1,260 cash, 20 for delivery", dryer, Settings(), {}, day)
    >>> one.amounts, one.cells["delivery"], one.note
    ((1260.0,), '20', 'for $1,260 cash, 20 for delivery')
    >>> told("half an hour, belt twelve dollars", dryer, Settings(), {}, day).hours
    0.5
    """
    amounts, hours, cells, rest = _in_figures(line, settings)
    kind, mark = str(unit.get("type") or ""), mark_of(settings)
    found = heard(f"{kind}: {line}", "bench", settings, {**known, "type": [kind]}, today)
    read = found["read"]
    amounts = amounts or _in_words(found, mark)
    hours = hours or read.get("hours", 0.0) + read.get("spent_hours", 0.0)
    cells |= {"found": read.get("found") or "", "repair": "; ".join(read.get("repair") or ())}
    asked = question_of(found, settings, "bench")
    dangers = cautions.dangers_first(asked, "bench", settings, today)
    left = {word.casefold() for word in re.findall(r"[^\W\d_]+", rest)} - JOINING
    # a danger stands by its name in the note, so that the unit warns of it from now on
    named = ", ".join(dict.fromkeys(one.name for one in dangers))
    note = line.strip(" ,;") + f" (careful: {named})" * bool(named) if left else ""
    shown = tuple(dict.fromkeys(one.short for one in dangers))
    return Told(tuple(map(float, amounts)), hours, cells, note, shown)


def _in_words(found: Mapping[str, Any], mark: str) -> list[float]:
    """Amounts that the reader of words found, or left open: two hundred fifty."""
    bare = [one["n"] for text in found["not_understood"] for one in tokens_of(text, mark)]
    read = found["read"]
    return [read[name] for name in AMOUNTS if name in read] or [one for one in bare if one]


def _in_figures(line: str, settings: Settings) -> tuple[list[float], float, dict[str, str], str]:
    """What a line says in figures: amounts, hours, cells beside the price; and the rest."""
    hours, amounts, cells = 0.0, list[float](), dict[str, str]()

    def aside(found: re.Match[str]) -> str:
        column = "delivery" if found["what"].lower() == "delivery" else "fees"
        cells[column] = f"{number(found['number'], settings):g}"
        return " "

    def time(found: re.Match[str]) -> str:
        nonlocal hours
        value = number(found["number"], settings)
        hours += value / 60 if found["unit"].lower().startswith("m") else value
        return " "

    def amount(found: re.Match[str]) -> str:
        amounts.append(number(found["number"], settings))
        return " "

    rest = re.sub(r"\b(\d+)\s?h\s?(\d\d)\b", r"\1 hours \2 minutes", line)
    for pattern in ASIDE:
        rest = pattern.sub(aside, rest)
    # times before money: 45 of "45 minutes" is no money
    rest = AMOUNT.sub(amount, TIME.sub(time, rest))
    if FREE.search(rest) and not amounts:
        amounts, rest = [0.0], FREE.sub(" ", rest)
    return amounts, hours, cells, rest


def day_of(line: str, settings: Settings, today: date) -> tuple[date, str]:
    """The day that a line names, else today, and the line without it. Raises Refused for a day
    still to come, and for one that could be two.

    >>> day_of("for 175 yesterday", Settings(), date(2026, 5, 1))
    (datetime.date(2026, 4, 30), 'for 175 ')
    >>> day_of("on Apr 3 for 90", Settings(), date(2026, 5, 1))
    (datetime.date(2026, 4, 3), ' for 90')
    """
    for found in DAY.finditer(line):
        day = _day(found, settings, today)
        if day is not None and day > today:
            raise refused(f"{found[0]!r} is still to come", "name the day it was, or leave it out")
        if day is not None:
            return day, line[: found.start()] + line[found.end() :]
    return today, line


def _day(found: re.Match[str], settings: Settings, today: date) -> date | None:
    if found["word"]:
        return today - timedelta(days=found["word"].lower() == "yesterday")
    if found["ago"]:
        return today - timedelta(days=int(found["ago"]))
    if found["week"]:  # the last one, a week ago where it is today's
        back = (today.weekday() - _WEEK.index(found["week"].lower()) - 1) % 7 + 1
        return today - timedelta(days=back)
    order = {"auto": "mdy" if settings.currency == "USD" else ""}
    reading = read_date(found["date"], today)
    if reading.no_year:
        told = reading.no_year.get(order.get(settings.date_order, settings.date_order))
        days = {told} if told else set(reading.no_year.values())
        if len(days) > 1:
            raise refused(f"{found['date']!r} can be two days", "write the month as a word")
        month, of_month = days.pop()
        return next(
            date(year, month, of_month)
            for year in range(today.year, 0, -1)
            if (month, of_month) != (2, 29) or calendar.isleap(year)
            if date(year, month, of_month) <= today
        )
    day, problem = resolve(reading, order.get(settings.date_order, settings.date_order))
    if problem and found["date"][0].isdigit():
        raise refused(f"{found['date']!r}: {problem}", "write it as 2026-04-30")
    return day


def number(text: str, settings: Settings) -> float:
    """One plain number. Raises Refused where it is none, or could be two."""
    found = typed(text, mark_of(settings), money=True)
    if len(found) != 1:
        what = either(text, found) if found else f"{text!r} is no number"
        raise refused(what, "write it plainly, like 1250 or 12.50")
    return found[0]


def unit_of(
    line: str, usual: Collection[str], example: str, home: Home, settings: Settings, today: date
) -> tuple[dict[str, Any], str]:
    """The unit that a line is about, as it stands, and the words that are left.

    usual: the states that such a unit is in: among several that fit the words, those count alone.
    Raises Refused where there is none, and where several could be meant, with their numbers.
    """
    example = f"begin with its number: {example}"
    record = load(home)
    units = record.open_units()
    first, _, rest = line.strip().lstrip("#").partition(" ")
    first = first.rstrip(",:;")
    told = [(first, rest), *_behind(line)]
    # "35 igniter on 209": a number that opens the line is a unit's only where no other one is named
    open_ones = {_ending(name, [str(one["unit"]) for one in units]): left for name, left in told}
    open_ones.pop("", None)
    if len(open_ones) > 1:
        raise refused(f"which unit is it: {' or '.join(open_ones)}", example)
    key, left = next(iter(open_ones.items()), (first, rest))
    row = by_hand.current(home, key)
    if row is None and not usual:  # one that was sold comes back
        row = by_hand.current(home, _ending(first, by_hand.numbers(home, first)))
    if row is not None:
        return row, left.strip(" ,:;")
    kinds, fitting = _by_words(
        heard(line, "ask", settings, known_words(record), today), units, usual
    )
    if len(fitting) == 1 and (row := by_hand.current(home, str(fitting[0]["unit"]))):
        return row, _without(line, fitting[0])
    if fitting:
        shown = "; ".join(f"{one['unit']} {said(one)}" for one in fitting[:4])
        more = f" and {len(fitting) - 4} more" if len(fitting) > 4 else ""
        raise refused(f"which one is it: {shown}{more}", example)
    if kinds:
        what = f"no unit of yours that is not sold is a {' or '.join(kinds[:3])} like that"
        raise refused(what, f"see pricing unsold, then {example}")
    fix = meant(first, [str(one["unit"]) for one in units], example, 0.5)
    raise refused(f"there is no unit {first!r} in your record", fix)


def _without(line: str, unit: Mapping[str, Any]) -> str:
    """The line without the words that named the unit."""
    line = re.sub(r"\b\d+[- ]?(?:years?|yrs?|yo|y)\b(?:[- ]old)?", " ", line, flags=re.IGNORECASE)
    name = " ".join(str(unit.get(name) or "") for name in ("maker", "type", "finish", "condition"))
    words = {*re.findall(r"\w+", name.casefold()), "the", "my", "that", "old"}
    return " ".join(word for word in line.split() if word.strip(",.:;").casefold() not in words)


def _behind(line: str) -> list[tuple[str, str]]:
    """Numbers that stand behind "on", "unit" or "#", each with the line without them."""
    return [
        (found["unit"], f"{line[: found.start()]} {line[found.end() :]}")
        for found in NAMED.finditer(line)
    ]


def _ending(name: str, numbers: Sequence[str]) -> str:
    """The unit whose number is this but for capitals, or ends in these figures; "" for none and
    for several.

    >>> _ending("198", ["DEMO-198", "DEMO-199"]), _ending("d-98", ["D-98", "X-198"])
    ('DEMO-198', 'D-98')
    """
    same = [one for one in numbers if one.casefold() == name.casefold()]
    end = re.compile(rf".*[^0-9]0*{re.escape(name)}")
    found = same or [one for one in numbers if name.isdigit() and end.fullmatch(one)]
    return found[0] if len(found) == 1 else ""


def _by_words(
    found: Mapping[str, Any], units: Sequence[Mapping[str, Any]], usual: Collection[str]
) -> tuple[list[str], list[Mapping[str, Any]]]:
    """The kinds that the words name, and the open units that they may mean."""
    kinds = list(found.get("kinds") or filter(None, [found["read"].get("type")]))
    fitting = [
        one
        for one in units
        if one.get("type") in kinds
        and all(
            str(one.get(name) or "").casefold() == str(found["read"][name]).casefold()
            for name in ("maker", "finish", "condition")
            if found["read"].get(name)
        )
    ]
    likely = [one for one in fitting if str(one.get("outcome") or "") in usual]
    return kinds, likely or fitting
