"""The ask on one phone screen: the decision first, then the range and the days, the plan if it
sits, and why. No arithmetic on answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pricing.advice.offered import COUNTER, TAKE
from pricing.pages.text import (
    GUESS_LEGEND,
    WIDTH,
    chance,
    columns,
    day,
    limit,
    money,
    width_of,
    wrap,
)

if TYPE_CHECKING:
    from pricing.advice.ask import AskAnswer
    from pricing.basis.settings import Settings

MOST_LINES = 30
PLAN_COLUMNS = 4


def ask_lines(answer: AskAnswer, settings: Settings, reminders: Sequence[str]) -> list[str]:
    """At most 30 lines of at most 60 characters. reminders: the sentences of `answer.cautions`, as
    they are to be shown."""
    parts: list[tuple[int, list[str]]] = [
        (9, [*decision(answer, settings), ""]),
        (9, [*wrap(f"I read: {answer.question.as_read}. {_since(answer)}"), ""]),
        (9, _table(answer, settings)),
        (0, [""]),
        (8, _plan(answer, settings)),
        (0, [""]),
        (6, _choices(answer, settings)),
        (1, [""]),
        (8, _pair(answer, settings)),
        (7, _why(answer, settings)),
        (1, [""]),
        (4, _closest(answer, settings)),
        (2, ["What you have in it is not in the ask."]),
        (
            8,
            [
                line
                for text in answer.warnings
                for line in wrap(text[0].upper() + text[1:] + ".", "  ")
            ],
        ),
        (5, wrap(f"Held back: {answer.ceiling}.", "  ") if answer.ceiling else []),
        (9, [line for text in reminders for line in wrap(text, "  ")]),
        (3, [GUESS_LEGEND] if "GUESS" in answer.standing.values() else []),
    ]
    while sum(len(lines) for _, lines in parts) > MOST_LINES:
        lowest = min((rank for rank, lines in parts if lines), default=9)
        if lowest >= 8:
            break
        parts = [(rank, [] if rank == lowest else lines) for rank, lines in parts]
    lines = [line for _, part in parts for line in part]
    return [line for line, before in zip(lines, ["", *lines], strict=False) if line or before][
        :MOST_LINES
    ]


def decision(answer: AskAnswer, settings: Settings) -> list[str]:
    """What to ask, what to expect, the least to take today; with an offer on the table, what to say
    to it first."""
    currency = settings.currency
    lines: list[str] = []
    if answer.offer is not None:
        offer = answer.offer
        if offer.say == TAKE:
            lines += wrap(
                f"TAKE the {money(offer.offered, currency)}: today anything from"
                f" {limit(offer.least, currency)} is worth taking."
            )
        elif offer.say == COUNTER and offer.counter is not None:
            lines += wrap(
                f"COUNTER at {money(offer.counter, currency)}; walk away under"
                f" {limit(offer.least, currency)} today."
            )
        else:
            lines += wrap(
                f"HOLD. {money(offer.offered, currency)} is under the"
                f" {limit(offer.least, currency)} that waiting is worth."
            )
        if offer.until is not None:
            lines += wrap(
                f"Still there on {day(offer.until)}? Then take {money(offer.offered, currency)}."
            )
    if not answer.plan:
        return [
            *lines,
            *wrap(
                f"CLEAR IT OUT at about {limit(answer.clear_at, currency)}: its time on the market"
                " is up."
            ),
        ]
    lines += wrap(
        f"ASK {money(answer.ask, currency)}. Expect about"
        f" {limit(answer.price_at_ask.median, currency)}. Today take"
        f" {limit(answer.take_at_least, currency)} or more."
    )
    return [
        *lines,
        (
            f"Half like this sell within {answer.median_days:.0f}"
            f" day{'s' if round(answer.median_days) != 1 else ''}."
        ),
    ]


def _since(answer: AskAnswer) -> str:
    today = f"Today {day(answer.as_of)}."
    if answer.listed_days is None:
        return f"Not listed yet. {today}"
    return f"Listed {answer.listed_days:.0f} days. {today}"


def _table(answer: AskAnswer, settings: Settings) -> list[str]:
    currency = settings.currency
    sold, sells = answer.chance_sold, answer.price_at_ask
    rows = [
        (
            "Will sell for",
            limit(sells.median, currency),
            (
                f"{chance(answer.coverage)}:"
                f" {limit(sells.low, currency)}-{limit(sells.high, currency)}"
            ),
            answer.standing["price"],
        ),
        (
            "They talk down",
            f"{answer.off * 100:.0f}%",
            "off what you ask",
            answer.standing["haggle"],
        ),
    ]
    if answer.plan:
        rows[1:1] = [
            ("Sold by", "7 days", f"{chance(sold[7])}, 14 days {chance(sold[14])},", ""),
            ("", "30 days", chance(sold[30]), answer.standing["days"]),
        ]
    lines = []
    for label, value, rest, standing in rows:
        line = f"{label:<15}{value:<8}{rest}".rstrip()
        gap = WIDTH - width_of(line) - width_of(standing)
        if standing and gap < 2:
            lines += [line, " " * (WIDTH - width_of(standing)) + standing]
        else:
            lines.append(line + " " * gap + standing if standing else line)
    return lines


def _plan(answer: AskAnswer, settings: Settings) -> list[str]:
    """The dated plan in columns: as many steps as fit, the first and the last ones, then clearing
    out."""
    if not answer.plan:
        return []
    currency = settings.currency
    steps = list(answer.plan)
    if len(steps) > PLAN_COLUMNS:
        picked = sorted(
            {
                0,
                len(steps) - 1,
                *(round(i * (len(steps) - 1) / (PLAN_COLUMNS - 1)) for i in range(PLAN_COLUMNS)),
            }
        )
        steps = [steps[i] for i in picked]
    rows = [
        ["IF IT SITS", *(day(step.date) for step in steps), day(answer.clear_on)],
        ["  ask", *(money(step.ask, currency) for step in steps), "clear"],
        [
            "  take",
            *(limit(step.take_at_least, currency) for step in steps),
            limit(answer.clear_at, currency),
        ],
    ]
    lines = columns(rows, right=range(1, len(rows[0])))
    more = len(answer.plan) - len(steps)
    return [*lines, f"  ({more} smaller step{'s' if more != 1 else ''} between)"] if more else lines


def _choices(answer: AskAnswer, settings: Settings) -> list[str]:
    if not answer.choices:
        return []
    currency = settings.currency
    cost = (
        f"left after {money(answer.holding, currency)} a day"
        if not answer.spot
        else f"left; a spot earns {money(answer.holding, currency)} a day"
    )
    rows = [["YOUR CHOICE", "ask", "days", "sells at", cost]]
    for choice in answer.choices:
        rows.append(
            [
                f"  {choice.name}",
                money(choice.ask, currency),
                f"{choice.days:.0f}",
                money(choice.price, currency),
                money(choice.left, currency),
            ]
        )
    return columns(rows, right=(1, 2, 3))


def _why(answer: AskAnswer, settings: Settings) -> list[str]:
    currency = settings.currency
    if not answer.because or "price" in answer.question.known:
        return []
    (first, usual), *rest = answer.because
    shown = [(term, amount) for term, amount in rest if abs(amount) >= 1]
    said = [f"{'your ' if answer.sales_used else ''}{first} {money(usual, currency)}"]
    said += [
        f"{term} {'+' if amount > 0 else ''}{money(amount, currency)}" for term, amount in shown
    ]
    usual_range = f"{limit(answer.low, currency)}-{limit(answer.high, currency)}"
    return wrap(
        f"WORTH {limit(answer.median, currency)} the way you usually ask"
        f" ({chance(answer.coverage)}: {usual_range}): {', '.join(said)}"
    )


def _pair(answer: AskAnswer, settings: Settings) -> list[str]:
    """What both bring together, and each by itself."""
    if answer.pair is None:
        return []
    currency = settings.currency
    (one, first), (two, second) = answer.pair.as_two
    gain = limit(abs(answer.pair.as_pair - first - second), currency)
    more = f"{gain} {'more' if answer.pair.better_as_pair else 'less'} as a pair"
    two_apart = f"{limit(first, currency)} ({one}) + {limit(second, currency)} ({two})"
    return wrap(
        f"AS A PAIR {limit(answer.pair.as_pair, currency)}, as two {two_apart}: {more},"
        f" {answer.pair.standing}",
        "  ",
    )


def _closest(answer: AskAnswer, settings: Settings) -> list[str]:
    if not answer.similar:
        return []
    currency = settings.currency
    rows = [["CLOSEST OF YOURS", "sold", "as this, today"]]
    for one in answer.similar[:3]:
        name = f"  {one.unit} {one.said}".rstrip()
        rows.append(
            [
                name if width_of(name) <= 36 else name[:35] + "…",
                money(one.price, currency),
                money(one.adjusted, currency),
            ]
        )
    return columns(rows, right=(1, 2))
