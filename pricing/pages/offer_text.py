"""The offer on one phone screen: the decision first, then why, then what would change it. No
arithmetic: every number is finished."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pricing.advice.offer_record import HAUL, IF_FREE, IF_PAID
from pricing.pages.text import GUESS_LEGEND, WIDTH, chance, limit, money, width_of, wrap

if TYPE_CHECKING:
    from pricing.advice.offer_record import OfferAnswer
    from pricing.basis.settings import Settings

MOST_LINES = 30


def offer_lines(answer: OfferAnswer, settings: Settings, reminders: Sequence[str]) -> list[str]:
    """At most 30 lines of at most 60 characters. reminders: the sentences of `answer.first` and
    `answer.cautions`, as they are to be shown."""
    first = list(reminders[:1]) if answer.first else []
    last = list(reminders[len(first) :])
    # what may go where the screen is too small, least needed first
    parts: list[tuple[int, list[str]]] = [
        (9, [*(line for text in first for line in wrap(text)), *decision(answer, settings), ""]),
        (9, [*wrap(f"I read: {answer.question.as_read}."), ""]),
        (9, [*_table(answer, settings), ""]),
        (6, _worth(answer, settings)),
        (2, [*_inside(answer, settings)]),
        (0, [""]),
        (8, _chances(answer, settings)),
        (3, _likely(answer)),
        (7, _by_year(answer, settings)),
        (1, [""]),
        (5, _ask_first(answer, settings)),
        (8, [line for text in answer.warnings for line in wrap(text, "  ")]),
        (9, [line for text in last for line in wrap(text, "  ")]),
        (4, [GUESS_LEGEND] if "GUESS" in answer.standing.values() else []),
    ]
    while sum(len(lines) for _, lines in parts) > MOST_LINES:
        lowest = min((rank for rank, lines in parts if lines), default=9)
        if lowest >= 8:
            break
        parts = [(rank, [] if rank == lowest else lines) for rank, lines in parts]
    return [line for _, lines in parts for line in lines][:MOST_LINES]


def decision(answer: OfferAnswer, settings: Settings) -> list[str]:
    """One or two sentences: go or pass, the most to pay, what to start at, and what is left at
    their price."""
    currency = settings.currency
    most = limit(answer.pay_up_to, currency)
    if answer.first is not None and answer.first.cap == "pass":
        return ["PASS."]
    if answer.advice == HAUL:
        start = (
            f" Start at {money(answer.start_at, currency)}."
            if answer.their_price is None or answer.their_price > 0
            else ""
        )
        text = f"GO GET IT. Pay up to {most}.{start}"
        if answer.pay_up_to < 0:
            text = f"GO GET IT while they pay you {money(-answer.pay_up_to, currency)} or more."
    elif answer.advice == IF_FREE:
        text = "ONLY IF FREE."
    elif answer.advice == IF_PAID:
        text = f"ONLY IF THEY PAY YOU {limit(-answer.pay_up_to, currency)} or more."
    elif answer.pay_up_to >= 5 and answer.their_price is not None:
        text = f"PASS at their {money(answer.their_price, currency)}. It pays only up to {most}."
    else:
        text = "PASS. It does not pay even where they pay you."
    if not answer.tries and answer.first is None:
        text += " Fixing it is not worth your hours."
    at = (
        f"At their {money(answer.their_price, currency)}"
        if answer.their_price is not None
        else "For free"
        if answer.paid == 0
        else f"At {money(answer.paid, currency)}"
    )
    if answer.their_price == 0:
        at = "For free"
    elif answer.their_price is not None and answer.their_price < 0:
        at = f"With their {money(-answer.their_price, currency)}"
    kept = (
        f"you keep about {limit(answer.expected_gain, currency)}"
        if answer.expected_gain >= 0
        else f"you lose about {limit(-answer.expected_gain, currency)}"
    )
    hour = (
        f": {money(answer.return_per_hour, currency)} an hour (you want"
        f" {money(settings.hourly_target, currency)})."
        if answer.hours > 0
        else "."
    )
    return [*wrap(text), *wrap(f"{at} {kept}{hour}")]


def _table(answer: OfferAnswer, settings: Settings) -> list[str]:
    currency, standing = settings.currency, answer.standing
    sold, spent = answer.price, answer.costs
    share = chance(settings.coverage)
    fixed, ended, near = answer.k_of_n
    own = (
        f"you: {fixed} of {ended}"
        if ended
        else f"{near} on other types"
        if near
        else "none of yours yet"
    )

    def spread(low: float, high: float) -> str:
        return f"{limit(low, currency)}-{limit(high, currency)}"

    rows = [
        (
            "Fixed, it sells for",
            limit(sold.median, currency),
            "" if sold.low == sold.high else f"{share}: {spread(sold.low, sold.high)}",
            standing["price"],
        ),
        ("Chance you fix it", f"{answer.fix_chance * 100:.0f}%", own, standing["fix"]),
        (
            "Parts, if fixed",
            money(spent.parts_if_fixed, currency),
            (
                ""
                if spent.parts_low == spent.parts_high
                else f"usual {spread(spent.parts_low, spent.parts_high)}"
            ),
            standing["parts"],
        ),
    ]
    if answer.days:
        rows.append(
            (
                "Days to sell",
                f"{answer.days['median']:.0f}",
                f"usual {answer.days['low']:.0f}-{answer.days['high']:.0f}",
                standing["days"],
            )
        )
    drive = spent.drive_hours + spent.load_hours
    lines = _fitted(
        [
            *rows,
            (
                "Your time",
                f"{answer.hours:.1f} h",
                f"drive {drive:.1f} bench {spent.bench_hours:.1f}",
                standing["hours"],
            ),
        ]
    )
    rest = f"clean, sell {spent.clean_sell_hours:.1f}" + (
        f", comebacks {spent.comeback_hours:.1f}" if spent.comeback_hours >= 0.05 else ""
    )
    return [*lines, " " * _WHY + rest]


_LABEL, _VALUE = 20, 6
_WHY = _LABEL + _VALUE + 2


def _fitted(rows: Sequence[tuple[str, str, str, str]]) -> list[str]:
    """Label, number, why and standing in columns; the standing goes to the right edge, on a line of
    its own where there is no room."""
    lines = []
    for label, value, why, standing in rows:
        line = f"{label:<{_LABEL}}{value:>{_VALUE}}  {why}".rstrip()
        room = WIDTH - width_of(line) - width_of(standing)
        if room >= 2:
            lines.append(line + " " * room + standing)
        else:
            lines += [line, " " * (WIDTH - width_of(standing)) + standing]
    return lines


def _worth(answer: OfferAnswer, settings: Settings) -> list[str]:
    currency = settings.currency
    terms = dict(answer.because)
    hours = terms.get("your hours", 0.0)
    rows = [
        ("Worth before you pay them, duds counted", limit(answer.pay_up_to - hours, currency)),
        (
            f"  less your {answer.hours:.1f} hours at {money(settings.hourly_target, currency)}",
            limit(-hours, currency),
        ),
        ("  = the most to pay", limit(answer.pay_up_to, currency)),
    ]
    return [f"{label:<42}{amount:>7}" for label, amount in rows]


def _inside(answer: OfferAnswer, settings: Settings) -> list[str]:
    currency, spent = settings.currency, answer.costs
    inside = [f"truck {money(spent.truck, currency)}"] if spent.truck >= 0.5 else []
    inside += [f"helper {money(spent.helper, currency)}"] if spent.helper >= 0.5 else []
    inside += [f"parts {money(spent.parts, currency)}"] if spent.parts >= 0.5 else []
    inside += [f"fees {money(spent.fees, currency)}"] if spent.fees >= 0.5 else []
    inside += (
        [f"{money(spent.comebacks, currency)} set by for comebacks"]
        if spent.comebacks >= 0.5
        else []
    )
    inside += (
        [f"{money(answer.if_not_fixed, currency)} if it beats you"]
        if answer.tries and answer.fix_chance < 0.995
        else []
    )
    return wrap(f"  (in it: {', '.join(inside)})", "  ") if inside else []


def _chances(answer: OfferAnswer, settings: Settings) -> list[str]:
    currency = settings.currency
    paid = (
        "For free"
        if answer.paid == 0
        else "For free"
        if answer.paid == 0
        else f"At {money(answer.paid, currency)}"
    )
    text = (
        f"{paid}: {_so_often(answer.chance_of_loss)} you lose money;"
        f" {_so_often(answer.chance_of_target)} you make your"
        f" {money(settings.hourly_target, currency)} an hour."
    )
    if answer.question.at_curb:
        text += f" Before the drive it was up to {limit(answer.before_drive, currency)}."
    elif answer.at_curb_pay_up_to > 0 and answer.at_curb_pay_up_to - answer.pay_up_to >= 1:
        text += f" Already at the curb? Up to {limit(answer.at_curb_pay_up_to, currency)}."
    return wrap(text)


def _so_often(share: float) -> str:
    words = chance(share)
    return f"{words} the time" if words == "half" else words


def _likely(answer: OfferAnswer) -> list[str]:
    named = [one for one in answer.repairs if one.repair != "something else" and one.chance >= 0.1][
        :3
    ]
    if not named or answer.question.unit.get("repair"):
        return []
    return wrap(
        "Likely: " + ", ".join(f"{one.repair} {chance(one.chance)}" for one in named) + ".", "  "
    )


def _by_year(answer: OfferAnswer, settings: Settings) -> list[str]:
    currency = settings.currency
    lines = [
        f"If made {one.made}: sells for {limit(one.price, currency)}, pay up to"
        f" {limit(one.pay_up_to, currency)}"
        for one in answer.by_year
    ]
    return (
        lines if len(lines) <= 4 else [lines[0], f"  … {len(lines) - 2} years between", lines[-1]]
    )


def _ask_first(answer: OfferAnswer, settings: Settings) -> list[str]:
    currency = settings.currency
    lines = []
    for start, unknown in zip(("ASK THEM FIRST: ", "Then: "), answer.ask_first, strict=False):
        ranked = sorted(unknown.answers, key=lambda told: -told[2])
        ends = list(dict.fromkeys([ranked[0], ranked[-1]]))
        told = "; ".join(f"{label}: {_may_pay(most, currency)}" for label, _, most in ends)
        lines += wrap(f"{start}{unknown.question} {told}", "  ")
    return lines


def _may_pay(most: float, currency: str) -> str:
    return f"up to {limit(most, currency)}" if most > 0 else "pass"
