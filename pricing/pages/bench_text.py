"""The ways on from the bench, on one phone screen. No arithmetic: every number is finished."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pricing.advice.bench import AS_IS, GO_ON, PART_OUT, SCRAP
from pricing.pages.text import GUESS_LEGEND, chance, columns, limit, money, wrap

if TYPE_CHECKING:
    from pricing.advice.bench import BenchAnswer
    from pricing.basis.settings import Settings

MOST_LINES = 30
_HEADLINE = {
    GO_ON: "GO ON and fix it.",
    AS_IS: "SELL IT AS-IS.",
    PART_OUT: "PART IT OUT.",
    SCRAP: "SCRAP IT.",
}


def bench_lines(answer: BenchAnswer, settings: Settings, reminders: Sequence[str]) -> list[str]:
    """At most 30 lines of at most 60 characters; `reminders` as in `offer_lines`."""
    currency = settings.currency
    first = list(reminders[:1]) if answer.first else []
    lines = [line for text in first for line in wrap(text)]
    lines += wrap(headline(answer))
    lines += [
        "",
        *wrap(f"I read: {answer.question.as_read}."),
        "",
        "From here on, money already spent left out:",
    ]
    rows = [("", "money", "hours", "an hour", "worth", "")]
    for way in answer.ways:
        hour = "-" if way.per_hour is None else money(way.per_hour, currency)
        rows.append(
            (
                way.name,
                limit(way.money, currency),
                f"{way.hours:.1f}",
                hour,
                limit(way.worth, currency),
                way.standing,
            )
        )
    lines += columns(rows, right=(1, 2, 3, 4))
    lines += wrap(
        f"(worth: the money less the hours at your {money(settings.hourly_target, currency)})"
    )
    own = (
        f"you: {answer.k_of_n[0]} of {answer.k_of_n[1]}"
        if answer.k_of_n[1]
        else "none of yours yet"
    )
    lines += [
        "",
        *wrap(
            f"Chance you fix it from here: {answer.fix_chance * 100:.0f}% ({own}),"
            f" {answer.standing['fix']}."
        ),
    ]
    lines += wrap(
        f"Fixed, it sells for about {limit(answer.price, currency)}, {answer.standing['price']}."
    )
    named = [one for one in answer.repairs if one.repair != "something else" and one.chance >= 0.1][
        :3
    ]
    if named and not answer.question.unit.get("repair"):
        lines += wrap(
            "Likely: " + ", ".join(f"{one.repair} {chance(one.chance)}" for one in named) + ".",
            "  ",
        )
    if answer.spent_money is not None or answer.spent_hours is not None:
        spent = [money(answer.spent_money, currency)] if answer.spent_money is not None else []
        spent += [f"{answer.spent_hours:.1f} hours"] if answer.spent_hours is not None else []
        lines += wrap(
            f"Already in it: {' and '.join(spent)}: gone whatever you do, and not counted."
        )
    lines += [line for text in answer.warnings for line in wrap(text, "  ")]
    lines += ["", *(line for text in reminders[len(first) :] for line in wrap(text, "  "))]
    if any(way.standing == "GUESS" for way in answer.ways) and len(lines) < MOST_LINES:
        lines.append(GUESS_LEGEND)
    return lines[:MOST_LINES]


def headline(answer: BenchAnswer) -> str:
    """What to do, and when to quit looking."""
    return f"{_HEADLINE[answer.best]} {_quit(answer)}".strip()


def _quit(answer: BenchAnswer) -> str:
    if answer.best != GO_ON or answer.question.unit.get("repair"):
        return ""
    if answer.quit_after is None:
        return ""
    return f"Not found? Quit looking after {_minutes(answer.quit_after)}."


def _minutes(value: float) -> str:
    if value >= 120:
        return f"{value / 60:.1f} hours"
    return f"{max(5, 5 * round(value / 5)):.0f} min"
