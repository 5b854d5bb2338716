"""The finished ask, the unsold units and the tag as the page shows them: words of `pages/`, amounts
of the answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from pricing.advice.offered import TAKE
from pricing.pages import ask_text, unsold_text
from pricing.pages.text import GUESS_LEGEND, chance, day, limit, money
from pricing.web.drawn import Mark
from pricing.web.offered import Line

if TYPE_CHECKING:
    from pricing.advice.ask import AskAnswer
    from pricing.advice.card import Card
    from pricing.advice.unsold import Unsold, Waiting
    from pricing.basis.settings import Settings


@dataclass(frozen=True)
class ShownAsk:
    """Everything that the template prints, in its order. sold_by: days, words and share; plan: day,
    ask, take at least."""

    kind: str
    verdict: str
    lead: str
    as_read: str
    low: float
    high: float
    marks: Sequence[Mark]
    lines: Sequence[Line]
    sold_by: Sequence[tuple[int, str, float]]
    days_standing: str
    plan: Sequence[tuple[str, str, str]]
    choices: Sequence[tuple[str, str, str, str, str]]
    choices_words: str
    middle: str
    because: Sequence[tuple[str, str]]
    similar: Sequence[tuple[str, str, str, str, str]]
    held_back: str
    cautions: Sequence[str]
    warnings: Sequence[str]
    legend: str
    ask: str


def shown_ask(answer: AskAnswer, settings: Settings) -> ShownAsk:
    """An answer for the template."""
    currency = settings.currency
    verdict, _, lead = " ".join(ask_text.decision(answer, settings)).partition(". ")
    marks = [
        Mark(
            "disc",
            answer.price_at_ask.median,
            "expect",
            limit(answer.price_at_ask.median, currency),
        )
    ]
    if answer.plan:
        marks = [
            Mark("up", answer.ask, "ask", money(answer.ask, currency)),
            *marks,
            Mark(
                "down", answer.take_at_least, "take at least", limit(answer.take_at_least, currency)
            ),
        ]
    if answer.offer is not None:
        marks.append(
            Mark(
                "square", answer.offer.offered, "they offer", money(answer.offer.offered, currency)
            )
        )
    return ShownAsk(
        kind=(
            "if"
            if not answer.plan or (answer.offer is not None and answer.offer.say != TAKE)
            else "go"
        ),
        verdict=verdict.rstrip(".") + ".",
        lead=lead,
        as_read=f"{answer.question.as_read}. {_since(answer)}",
        low=answer.low,
        high=answer.high,
        marks=marks,
        lines=[
            Line(
                "Will sell for",
                limit(answer.median, currency),
                f"{chance(answer.coverage)}: {limit(answer.low, currency)} to"
                f" {limit(answer.high, currency)}",
                answer.standing["price"],
            ),
            Line(
                "They talk down", f"{answer.off:.0%}", "off what you ask", answer.standing["haggle"]
            ),
        ],
        sold_by=[(days, chance(share), share) for days, share in answer.chance_sold.items()],
        days_standing=answer.standing["days"],
        plan=[
            *(
                (day(step.date), money(step.ask, currency), limit(step.take_at_least, currency))
                for step in answer.plan
            ),
            (day(answer.clear_on), "clear it out", limit(answer.clear_at, currency)),
        ],
        choices=[
            (
                one.name,
                money(one.ask, currency),
                f"{one.days:.0f}",
                money(one.price, currency),
                money(one.left, currency),
            )
            for one in answer.choices
        ],
        choices_words=f"“Left”: after {money(answer.holding, currency)} a day"
        + (", what a spot earns you." if answer.spot else "."),
        middle=limit(answer.median, currency),
        because=[(term, money(amount, currency)) for term, amount in answer.because],
        similar=[
            (
                one.unit,
                one.said,
                _year_day(one.sold, answer.as_of),
                money(one.price, currency),
                money(one.adjusted, currency),
            )
            for one in answer.similar[:5]
        ],
        held_back=answer.ceiling,
        cautions=[said.full for said in answer.cautions],
        warnings=[f"{text[:1].upper()}{text[1:].rstrip('.')}." for text in answer.warnings],
        legend=GUESS_LEGEND if "GUESS" in answer.standing.values() else "",
        ask=money(answer.ask, currency),
    )


def _since(answer: AskAnswer) -> str:
    if answer.listed_days is None:
        return "Not listed yet."
    return f"Listed {answer.listed_days:.0f} day{'' if round(answer.listed_days) == 1 else 's'}."


def _year_day(value: date, today: date) -> str:
    return day(value) if value.year == today.year else f"{day(value)}, {value.year}"


@dataclass(frozen=True)
class ShownWaiting:
    """One listed unit: how long against what is normal, the next step, and the address of the form
    that does it."""

    unit: str
    said: str
    sits: bool
    days: str
    step: str
    address: str


def shown_unsold(answer: Unsold, settings: Settings) -> Mapping[str, object]:
    """The list for the template: what sits first."""
    sitting = sum(one.sits for one in answer.waiting)
    n = len(answer.waiting)
    first = min(answer.waiting, key=lambda one: one.order, default=None)
    if n == 0:
        head = "Nothing is listed."
    elif sitting:
        head = f"{sitting} of {n} listed sit{'s' if sitting == 1 else ''} longer than is normal."
    else:
        head = f"{n} listed, none longer than is normal."
    return {
        "head": head,
        "clear_first": (
            f"To free a spot, clear {first.unit} first ({first.said})."
            if first is not None and n > 1
            else ""
        ),
        "waiting": [_waiting(one, answer.as_of, settings) for one in answer.waiting],
        "undated": [(one.unit, one.said) for one in answer.undated],
        "in_work": [
            (
                one.unit,
                one.said,
                one.outcome,
                "" if one.days is None else f"{one.days:.0f} day{'' if one.days == 1 else 's'}",
            )
            for one in answer.in_work
        ],
    }


def _waiting(one: Waiting, today: date, settings: Settings) -> ShownWaiting:
    days, step = unsold_text.waiting_words(one, today, settings)
    form = (
        {"unit": one.unit, "open": "down", "ask": f"{one.to:.10g}"}
        if one.step != "clear it out"
        else {"unit": one.unit, "open": "sold"}
    )
    return ShownWaiting(
        one.unit, one.said, one.sits, days, step, "/records/unit?" + urlencode(form)
    )


def shown_card(card: Card, settings: Settings) -> Mapping[str, object]:
    """Tag, text for an ad, and what is missing, each as lines of text."""
    lines = unsold_text.card_lines(card, settings)
    at = lines.index("FOR AN AD")
    rest = lines[at + 1 :]
    end = rest.index("") if "" in rest else len(rest)
    return {
        "tag": "\n".join(lines[1 : at - 1]),
        "ad": " ".join(rest[:end]),
        "notes": " ".join(rest[end:]).strip(),
    }
