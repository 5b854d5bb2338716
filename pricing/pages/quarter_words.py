"""The quarter's sentences: what the numbers say, and "too close to call" where their ranges say so.
Numbers come finished; only words here."""

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
    if report.state == "ahead":
        return (
            f"{span}. This quarter has not begun: nothing can have happened in it as of"
            f" {day(report.as_of)}, {report.as_of.year}."
        )
    if report.state == "running":
        return (
            f"{span}. This quarter is not over yet: it holds what was written up to"
            f" {day(report.as_of)}, {report.as_of.year}."
        )
    return f"{span}. As of {day(report.as_of)}, {report.as_of.year}."


def step_words(unit: OnShelf, report: QuarterReport) -> str:
    """What to do next with a waiting unit, and when; empty where nothing can be said."""
    if unit.step and unit.on is not None:
        when = "now" if unit.on <= report.as_of else f"on {day(unit.on)}"
        to = (
            f" at {limit(unit.to, report.currency)}"
            if unit.to is not None and unit.step == "clear it out"
            else f" to {money(unit.to, report.currency)}"
            if unit.to is not None
            else ""
        )
        do = {"clear it out": "sell it off", "come down": "drop the price"}.get(
            unit.step, unit.step
        )
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
    if now.n_ended == 0:
        return f"Nothing was finished in {report.quarter.name}."
    if before.n_ended == 0:
        return (
            f"{report.quarter.name} kept {money(now.profit, currency)}; there is no quarter before"
            " it to compare with."
        )
    gap = now.profit - before.profit
    text = (
        f"{report.quarter.name} kept {money(now.profit, currency)}, {money(abs(gap), currency)}"
        f" {'more' if gap >= 0 else 'less'} than the quarter before"
    )
    low, high, was = report.front.now.low, report.front.now.high, before.per_hour
    if low is not None and high is not None and was is not None and low <= was <= high:
        most = f"{money(low, currency)} to {money(high, currency)}"
        was_said = f"last quarter {money(was, currency)}"
        return f"{text}; per hour it is too early to say: now {most}, {was_said}."
    return f"{text}."


def waiting_takeaway(curve: Curve | None) -> str:
    """One sentence on how long listings take, or that it cannot be told yet."""
    if curve is None:
        return "No listed unit has sold yet, so how long they take cannot be told yet."
    half = curve.half_sold_by
    text = (
        f"Half of your listings sell within {half:.0f} days"
        if half is not None
        else "Under half of your listings have sold so far"
    )
    few = "; with so few sales that is rough" if len(curve.days) < 8 else ""
    return (
        f"{text}; {count_word(curve.n_unsold)} of {curve.n:,} had not sold by then and"
        f" {'are' if curve.n_unsold != 1 else 'is'} counted as waiting{few}."
    )
