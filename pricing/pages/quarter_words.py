"""The quarter's sentences: what the numbers say, and "too close to call" where their ranges say so.
Numbers come finished; only words here."""

from __future__ import annotations

from collections.abc import Sequence

from pricing.pages.text import day, limit, money
from pricing.quarter.compare import Comparison
from pricing.quarter.gaps import Gap
from pricing.quarter.quarter import QuarterReport, TypeLine
from pricing.quarter.shelf import OnShelf
from pricing.quarter.survival import Curve
from pricing.wording.plain import percent

N_WORDS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


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
    return f"{span}. Written as if today were {day(report.as_of)}, {report.as_of.year}."


def five_sentences(report: QuarterReport, calls: str | None = None) -> list[str]:
    """The quarter in five sentences. calls: the sentence on how good the estimates were, where
    there are any."""
    return [
        _what_happened(report),
        _what_paid(report),
        _what_did_not(report),
        calls or _no_calls(report),
        _what_waits(report),
    ]


def _what_happened(report: QuarterReport) -> str:
    now, currency = report.now, report.currency
    if now.n_ended == 0:
        earlier = (
            ""
            if report.first_day is None or report.first_day <= report.quarter.last
            else f" Your record begins on {day(report.first_day)}, {report.first_day.year}."
        )
        spent = f" {_overhead(report)}" if now.profit != 0 or now.hours > 0 else ""
        return f"You sold nothing and finished no unit in {report.quarter.name}.{earlier}{spent}"
    after = (
        "everything you wrote down"
        if now.assumed_money == 0
        else f"everything you wrote down and {money(now.assumed_money, currency)} for blanks"
    )
    text = (
        f"You sold {now.n_sold:,} of the {units_word(now.n_ended)} you finished, took in"
        f" {money(now.taken_in, currency)}, "
    )
    text += f"kept {money(now.profit, currency)} after {after}, and worked {hours_word(now.hours)}"
    if now.per_hour is None:
        return f"{text}."
    text += f": {money(now.per_hour, currency)} an hour"
    if report.before.per_hour is not None and report.before.n_ended:
        return f"{text}, last quarter {money(report.before.per_hour, currency)}."
    return f"{text}; there is no quarter before it to compare with."


def _no_calls(report: QuarterReport) -> str:
    if report.now.n_sold == 0:
        return "No price range could be checked, because nothing was sold in the quarter."
    return "No price range could be checked: before this quarter there was no sale to learn from."


def hours_word(value: float) -> str:
    """`1 hour`, `14 hours`."""
    return f"{value:,.0f} hour{'' if f'{value:.0f}' == '1' else 's'}"


def _overhead(report: QuarterReport) -> str:
    return (
        f"Trips and expenses of the quarter: {money(-report.now.profit, report.currency)} and"
        f" {hours_word(report.now.hours)}."
    )


def _what_paid(report: QuarterReport) -> str:
    return pays_sentence(report.pays, report.currency)


def pays_sentence(pays: Comparison, currency: str) -> str:
    """What pays best so far, and how sure that is."""
    best = pays.best
    if best is None:
        return "Too early to say what pays: no unit is done with its money and hours known."
    expect = f"{money(best.pooled, currency)} per hour"
    if len(pays.groups) == 1:
        return f"{capital(plural(best.name))}: {expect}; nothing else to compare them with yet."
    if pays.sure:
        return (
            f"{capital(plural(best.name))} pay best: expect {expect} (chance they are the best:"
            f" {percent(best.chance_best)})."
        )
    rival = next((group for group in pays.groups if group.name == pays.rival), pays.groups[1])
    return (
        f"Too close to call between {plural(best.name)} ({expect}) and {plural(rival.name)}"
        f" ({money(rival.pooled, currency)})."
    )


def _what_did_not(report: QuarterReport) -> str:
    currency = report.currency
    weak = [
        line
        for line in report.types
        if line.per_hour is not None and line.per_hour < report.target and line.hours > 0
    ]
    weak.sort(key=lambda line: (line.profit - report.target * line.hours, line.type))
    text = ""
    if weak:
        picked = weak[:2]
        names = " and ".join(plural(line.type) for line in picked)
        rates = {money(line.per_hour or 0, currency) for line in picked}
        hours = (
            " and ".join(f"{line.hours:,.0f}" for line in picked[:-1])
            + (" and " if len(picked) > 1 else "")
            + hours_word(picked[-1].hours)
        )
        per_hour = (
            " and ".join(money(line.per_hour or 0, currency) for line in picked)
            if len(rates) > 1
            else rates.pop()
        )
        text = f"{capital(names)} took {hours} and paid {per_hour} an hour"
    dead = max(report.types, key=lambda line: (line.failed_cost, line.failed_hours), default=None)
    if dead is not None and dead.n_failed:
        failed = (
            f"{count_word(dead.n_failed)} dead {plural(dead.type, dead.n_failed)}"
            f" {_cost(dead, currency)}"
        )
        return (
            f"{text}; {failed}."
            if text
            else f"Nothing paid under your {money(report.target, currency)} an hour; {failed}."
        )
    if text:
        return f"{text}; no repair failed."
    if report.types:
        return (
            f"Nothing you finished paid under your {money(report.target, currency)} an hour, and no"
            " repair failed."
        )
    return "Nothing failed in the quarter, because nothing was finished in it."


def _cost(line: TypeLine, currency: str) -> str:
    if line.failed_cost > 0:
        return f"cost you {money(line.failed_cost, currency)} and {hours_word(line.failed_hours)}"
    return (
        f"took {hours_word(line.failed_hours)} and brought {money(-line.failed_cost, currency)} in"
        " parts and scrap"
    )


def _what_waits(report: QuarterReport) -> str:
    n = len(report.waiting)
    gap = gap_sentence(report.gaps)
    if n == 0:
        return f"Nothing is waiting to be sold; {gap}."
    listed = [each for each in report.waiting if each.state == "listed" and each.days is not None]
    text = f"{capital(count_word(n))} unit{'s are' if n != 1 else ' is'} waiting"
    lead = next((each for each in listed if each.first), listed[0] if listed else None)
    if lead is not None and lead.step:
        text += f": {lead_words(lead, report)}"
    elif lead is not None:
        text += (
            f": look first at the {lead.type} ({lead.unit}, {lead.days} days"
            f" listed{_asked(lead, report.currency)})"
        )
    return f"{text}; {gap}."


def lead_words(unit: OnShelf, report: QuarterReport) -> str:
    """`sell off the wall oven (U181, 69 days listed, not under $75) first`."""
    take = f", not under {limit(unit.least, report.currency)}" if unit.least is not None else ""
    do = {
        "clear it out": "sell off",
        "come down": "drop the price of",
        "put a price on it": "put a price on",
    }.get(unit.step, "look at")
    return f"{do} the {unit.type} ({unit.unit}, {unit.days} days listed{take}) first"


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


def _asked(unit: OnShelf, currency: str) -> str:
    return f", asked {money(unit.asked, currency)}" if unit.asked is not None else ""


def gap_sentence(gaps: Sequence[Gap]) -> str:
    """The gap that costs most."""
    if not gaps:
        return "nothing is missing in your records that would cost you certainty"
    gap = gaps[0]
    return (
        f"write down {gap_name(gap)}: it is blank on {gap.n_blank:,} of {gap.n:,}, which blurs"
        " your numbers most"
    )


def gap_name(gap: Gap) -> str:
    """What is missing, in the person's words."""
    names = {
        "listed": "the listed date",
        "price": "the price",
        "day sold": "the day it ended",
        "got": "the day you got it",
        "paid": "what you paid",
        "parts": "what parts cost",
        "age": "the age",
        "condition": "the condition",
        "asked": "what you asked",
        "haul_cost": "truck and dump fees",
        "drive_min or miles": "the drive",
    }
    return names.get(gap.column, gap.column)


def next_steps(report: QuarterReport) -> list[str]:
    """What to do now, at most five, the most telling first; computed, never a stock phrase."""
    steps = [*_steps_of_units(report), *_steps_of_types(report)]
    # A month in the shop is long for a repair of a few hours; own judgement.
    stuck = [each for each in report.waiting if each.state != "listed" and (each.days or 0) > 30]
    if stuck:
        first = f"the {stuck[0].type} ({stuck[0].unit}, {stuck[0].days} days) first"
        steps.append(
            f"Finish or part out the {units_word(len(stuck))} in the shop for over 30 days,"
            f" {first}."
        )
    if report.gaps:
        steps.append(f"{capital(gap_sentence(report.gaps))}.")
    return steps[:5] or ["Nothing stands out: go on as you are, and write down the hours."]


def _steps_of_units(report: QuarterReport) -> list[str]:
    """At most two listed units: those whose next step is due, then those that sit for twice the
    days by which half are sold."""
    currency, steps = report.currency, []
    half = report.curve.half_sold_by if report.curve is not None else None
    due = [
        each
        for each in report.waiting
        if each.step and each.on is not None and each.on <= report.as_of
    ]
    for unit in sorted(due, key=lambda each: not each.first)[:2]:
        least = "" if unit.least is None else limit(unit.least, currency)
        take = f"; today, don't take under {least}" if least else ""
        steps.append(
            f"{capital(unit.type)} ({unit.unit}, {unit.days} days listed{_asked(unit, currency)}):"
            f" {step_words(unit, report)}{take}."
        )
    listed = [each for each in report.waiting if each.state == "listed" and not each.step]
    slow = [each for each in listed if half is not None and (each.days or 0) > 2 * half]
    for unit in slow[: 2 - len(steps)]:
        since = f"{unit.days} days listed{_asked(unit, currency)}"
        steps.append(
            f"Drop the price of the {unit.type} ({unit.unit}): {since}, and half of your units"
            f" sell within {half:.0f} days. See pricing unsold."
        )
    return steps


def _steps_of_types(report: QuarterReport) -> list[str]:
    """At most two types to pass on and one to say yes to, where four in five chances say so."""
    currency, steps = report.currency, []
    target = money(report.target, currency)
    bad = [group for group in report.pays.groups if group.chance_target <= 0.2 and group.n >= 4]
    for group in sorted(bad, key=lambda each: each.chance_target)[:2]:
        why = (
            f"{money(group.per_hour, currency)} per hour over {group.n}; chance they reach your"
            f" {target}: {percent(group.chance_target)}"
        )
        steps.append(
            f"Pass on {plural(group.name)} unless they pay you or come free on the way: {why}."
        )
    good = next((group for group in report.pays.groups if group.chance_target >= 0.8), None)
    if good is not None:
        why = (
            f"{money(good.per_hour, currency)} per hour over {good.n}; chance they beat your"
            f" {target}: {percent(good.chance_target)}"
        )
        steps.append(f"Say yes to {plural(good.name)}: {why}.")
    return steps


def pays_takeaway(report: QuarterReport) -> str:
    return pays_sentence(report.pays, report.currency)


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
    if (
        report.low is not None
        and report.high is not None
        and before.per_hour is not None
        and report.low <= before.per_hour <= report.high
    ):
        return (
            f"{text}; per hour it is too early to say: now {money(report.low, currency)} to"
            f" {money(report.high, currency)}, last quarter {money(before.per_hour, currency)}."
        )
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


def replay_sentence(report: QuarterReport) -> str:
    """What refusing by the record would have done."""
    past, currency = report.replay, report.currency
    if past.n_judged == 0:
        return "The buying cannot be replayed: no ended unit of the quarter has the day you got it."
    rule = (
        f"If you had passed on types that paid under {money(report.target, currency)} an hour until"
        " then"
    )
    if past.n_refused == 0:
        return f"{rule}, you'd have skipped none of {past.n_judged} units."
    now = report.now.per_hour
    was = f" (it was {money(now, currency)})" if now is not None else ""
    gained = (
        f"{money(past.kept_per_hour, currency)} an hour{was}"
        if past.kept_per_hour is not None
        else "no hours at all"
    )
    kept = (
        f"{money(abs(past.refused_profit), currency)}"
        f" {'less' if past.refused_profit >= 0 else 'more'} kept"
    )
    return (
        f"{rule}, you'd have skipped {past.n_refused} of {past.n_judged} units: {kept},"
        f" {hours_word(past.refused_hours)} free, and {gained} on the rest."
    )
