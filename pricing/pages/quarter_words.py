"""The quarter's sentences: what the numbers say, and "too close to call" where ranges say so."""

from pricing.pages.text import day, limit, money
from pricing.quarter.gaps import Gap
from pricing.quarter.quarter import QuarterReport
from pricing.quarter.shelf import OnShelf
from pricing.quarter.survival import Curve

N_WORDS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip


def count_word(n: int) -> str:
    """`three`, `27`."""
    return N_WORDS[n] if 0 <= n < len(N_WORDS) else f"{n:,}"


def plural(name: str, n: int = 2) -> str:
    """`dishwashers`, `slide-in ranges (gas or electric)`; one of them stays as it is.

    >>> (plural("dishwasher"), plural("slide-in range (gas or electric)"), plural("hob switch"),
    ...  plural("dryer", 1))
    ('dishwashers', 'slide-in ranges (gas or electric)', 'hob switches', 'dryer')
    """
    if n == 1 or not name:
        return name
    stem, bracket, rest = name.partition(" (")
    ending = "" if stem.endswith("s") else "es" if stem.endswith(("ch", "sh", "x")) else "s"
    return f"{stem}{ending}{bracket}{rest}"


def units_word(n: int) -> str:
    """`1 unit`, `27 units`."""
    return f"{n:,} unit{'' if n == 1 else 's'}"


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def headline(report: QuarterReport) -> str:
    """One line under the title: the days it covers, and whether it is over."""
    span = f"{day(report.quarter.first)} to {day(report.quarter.last)}, {report.quarter.last.year}"
    if report.first_day is not None and report.first_day > report.quarter.last:
        span += f". Your record begins on {day(report.first_day)}, {report.first_day.year}"
    as_of = f"{day(report.as_of)}, {report.as_of.year}"
    if report.state == "ahead":
        return f"{span}. This quarter has not begun: nothing can have happened in it as of {as_of}."
    if report.state == "running":
        return f"{span}. This quarter is not over yet: it holds what was written up to {as_of}."
    return f"{span}. As of {as_of}."


def step_words(unit: OnShelf, report: QuarterReport) -> str:
    """What to do next with a waiting unit, and when; empty where nothing can be said."""
    if unit.step and unit.on is not None:
        when = "now" if unit.on <= report.as_of else f"on {day(unit.on)}"
        off = unit.step == "clear it out"
        to = ""
        if unit.to is not None:
            said = limit if off else money
            to = f" {'at' if off else 'to'} {said(unit.to, report.currency)}"
        do = "sell it off" if off else {"come down": "drop the price"}.get(unit.step, unit.step)
        return f"{do}{to} {when}"
    if unit.state == "listed":
        return "see pricing unsold"
    return "finish it or part it out" if (unit.days or 0) > 30 else ""


def gap_name(gap: Gap) -> str:
    """What is missing, in the person's words."""
    names = {
        "listed": "the listed date", "price": "the price", "day sold": "the day it ended",
        "got": "the day you got it", "paid": "what you paid", "parts": "what parts cost",
        "age": "the age", "condition": "the condition", "asked": "what you asked",
        "haul_cost": "truck and dump fees", "drive_min or miles": "the drive",
    }  # fmt: skip
    return names.get(gap.column, gap.column)


def trend_takeaway(report: QuarterReport) -> str:
    """This quarter against the last in money, and whether the hourly figures can be told apart."""
    now, before, currency = report.now, report.before, report.currency
    name, kept = report.quarter.name, money(now.profit, currency)
    if now.n_ended == 0:
        return f"Nothing was finished in {name}."
    if before.n_ended == 0:
        return f"{name} kept {kept}; there is no quarter before it to compare with."
    gap = now.profit - before.profit
    more = f"{money(abs(gap), currency)} {'more' if gap >= 0 else 'less'}"
    text = f"{name} kept {kept}, {more} than the quarter before"
    low, high, was = report.front.now.low, report.front.now.high, before.per_hour
    if low is not None and high is not None and was is not None and low <= was <= high:
        most = f"{money(low, currency)} to {money(high, currency)}"
        was_said = f"last quarter {money(was, currency)}"
        return f"{text}; per hour it is too early to say: now {most}, {was_said}."
    return f"{text}."


def shelf_takeaway(report: QuarterReport) -> list[str]:
    """What the listed units should bring in all, what their prices have in common counted."""
    total, currency = report.sells_for, report.currency
    if total.n < 2:
        return []
    listed = sum(each.state == "listed" for each in report.waiting)
    which = "listed units" if total.n == listed else "that can be told about of the listed units"
    about, low, high = (limit(x, currency) for x in (total.median, total.low, total.high))
    should = f"The {count_word(total.n)} {which} should bring {about} together"
    return [f"{should}, most likely {low} to {high}."]


def waiting_takeaway(curve: Curve | None) -> str:
    """One sentence on how long listings take, or that it cannot be told yet."""
    if curve is None:
        return "No listed unit has sold yet, so how long they take cannot be told yet."
    half = curve.half_sold_by
    text = "Under half of your listings have sold so far"
    if half is not None:
        text = f"Half of your listings sell within {half:.0f} days"
    few = "; with so few sales that is rough" if len(curve.days) < 8 else ""
    left = f"{count_word(curve.n_unsold)} of {curve.n:,} had not sold by then"
    return f"{text}; {left} and {'are' if curve.n_unsold != 1 else 'is'} counted as waiting{few}."
