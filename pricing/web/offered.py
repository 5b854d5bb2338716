"""The finished offer as the page shows it: the words are those of `pages/offer_text`, the amounts
those of the answer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from pricing.advice.offer_record import HAUL, IF_FREE, IF_PAID
from pricing.pages import offer_text
from pricing.pages.text import GUESS_LEGEND, chance, limit, money
from pricing.web.drawn import Mark
from pricing.web.forms import number

if TYPE_CHECKING:
    from pricing.advice.ask_first import AskFirst
    from pricing.advice.offer_record import OfferAnswer
    from pricing.basis.settings import Settings
    from pricing.web.asked import Asked

KINDS = {HAUL: "go", IF_FREE: "if", IF_PAID: "if"}
FIELDS = {
    "how old is it?": "age",
    "how does it look?": "condition",
    "what does it do, or not do?": "fault",
    "what make is it?": "maker",
    "which year was it made?": "made",
}


@dataclass(frozen=True)
class Line:
    """One line of an answer: its name, its number, the spread or why in words, and how far it is
    the person's own."""

    words: str
    said: str
    spread: str = ""
    standing: str = ""


@dataclass(frozen=True)
class Told:
    """What an answer of the owner would change: the answer, the most to pay then, the address that
    asks again with it, "" where none."""

    answer: str
    most: str
    address: str


@dataclass(frozen=True)
class Shown:
    """Everything that the template prints, in its order."""

    kind: str
    verdict: str
    lead: str
    first: str
    as_read: str
    low: float
    high: float
    marks: Sequence[Mark]
    lines: Sequence[Line]
    odds: str
    because: Sequence[tuple[str, str]]
    most: str
    repairs: Sequence[tuple[str, str, float, str]]
    by_year: Sequence[tuple[int, str, str]]
    ask_first: Sequence[tuple[str, str, Sequence[Told]]]
    cautions: Sequence[str]
    warnings: Sequence[str]
    legend: str
    extra: Mapping[str, Any] = field(default_factory=dict)


def shown(asked: Asked, answer: OfferAnswer, settings: Settings) -> Shown:
    """An answer for the template."""
    currency = settings.currency
    said = " ".join(offer_text.decision(answer, settings))
    verdict, _, lead = said.partition(". ")
    capped = answer.first is not None and answer.first.cap == "pass"
    most = Mark("up", answer.pay_up_to, "pay up to", limit(answer.pay_up_to, currency))
    if answer.pay_up_to < 0:
        most = Mark("up", answer.pay_up_to, "they pay you", limit(-answer.pay_up_to, currency))
    marks = [
        Mark("disc", answer.price.median, "sells for", limit(answer.price.median, currency)),
        most,
    ]
    if answer.their_price is not None:
        marks.append(
            Mark("square", answer.their_price, "they want", money(answer.their_price, currency))
        )
    return Shown(
        kind="pass" if capped else KINDS.get(answer.advice, "pass"),
        verdict=verdict.rstrip(".") + ".",
        lead="" if capped else lead,
        first=answer.first.full if answer.first else "",
        as_read=answer.question.as_read,
        low=answer.price.low,
        high=answer.price.high,
        marks=() if capped else marks,
        lines=_lines(answer, settings),
        odds=_odds(answer, settings),
        because=[(term, money(amount, currency)) for term, amount in answer.because],
        most=money(answer.pay_up_to, currency),
        repairs=[
            (one.repair, chance(one.chance), one.chance, money(one.parts, currency))
            for one in answer.repairs[:5]
        ],
        by_year=[
            (one.made, limit(one.price, currency), limit(one.pay_up_to, currency))
            for one in answer.by_year
        ],
        ask_first=[
            (unknown.question, limit(unknown.worth, currency), _told(unknown, asked, currency))
            for unknown in answer.ask_first[:3]
        ],
        cautions=[said.full for said in answer.cautions],
        warnings=answer.warnings,
        legend=GUESS_LEGEND if "GUESS" in answer.standing.values() else "",
    )


def _lines(answer: OfferAnswer, settings: Settings) -> list[Line]:
    currency, standing, sold, spent = settings.currency, answer.standing, answer.price, answer.costs
    fixed, ended, near = answer.k_of_n
    own = (
        f"you: {fixed} of {ended}"
        if ended
        else f"{near} on other types"
        if near
        else "none of yours yet"
    )
    lines = [
        Line(
            "Fixed, it sells for",
            limit(sold.median, currency),
            _spread(sold.low, sold.high, f"{chance(settings.coverage)}:", currency),
            standing["price"],
        ),
        Line("Chance you fix it", f"{answer.fix_chance:.0%}", own, standing["fix"]),
        Line(
            "Parts, if fixed",
            money(spent.parts_if_fixed, currency),
            _spread(spent.parts_low, spent.parts_high, "usual", currency),
            standing["parts"],
        ),
    ]
    if answer.days:
        lines.append(
            Line(
                "Days to sell",
                f"{answer.days['median']:.0f}",
                f"usual {answer.days['low']:.0f} to {answer.days['high']:.0f}",
                standing["days"],
            )
        )
    back = f", comebacks {spent.comeback_hours:.1f}" if spent.comeback_hours >= 0.05 else ""
    work = (
        f"drive {spent.drive_hours:.1f}, load {spent.load_hours:.1f}, bench"
        f" {spent.bench_hours:.1f}, clean and sell {spent.clean_sell_hours:.1f}{back}"
    )
    return [*lines, Line("Your time", f"{answer.hours:.1f} h", work, standing["hours"])]


def _spread(low: float, high: float, words: str, currency: str) -> str:
    return "" if low == high else f"{words} {limit(low, currency)} to {limit(high, currency)}"


def _odds(answer: OfferAnswer, settings: Settings) -> str:
    currency = settings.currency
    at = "For free" if answer.paid == 0 else f"At {money(answer.paid, currency)}"
    said = (
        f"{at}: you lose money {chance(answer.chance_of_loss)}; you make your"
        f" {money(settings.hourly_target, currency)} an hour {chance(answer.chance_of_target)}."
    )
    if answer.question.at_curb:
        return said + f" Before the drive it was up to {limit(answer.before_drive, currency)}."
    return said + (
        f" Already at the curb? Up to {limit(answer.at_curb_pay_up_to, currency)}."
        if answer.at_curb_pay_up_to > 0
        else ""
    )


def _told(unknown: AskFirst, asked: Asked, currency: str) -> list[Told]:
    """The answers in the order of what they leave to pay; a press asks again with one of them."""
    ranked = sorted(unknown.answers, key=lambda told: -told[2])
    return [
        Told(
            label,
            f"up to {limit(most, currency)}" if most > 0 else "pass",
            _again(unknown.question, label, asked),
        )
        for label, _, most in ranked
    ]


def _again(question: str, label: str, asked: Asked) -> str:
    name = FIELDS.get(question)
    if name == "age":
        years = number(label)
        return asked.but(age=f"{years:g}") if years is not None else ""
    if name is not None:
        return asked.but(**{name: label})
    if question.startswith("does it have ") and label == "yes":
        return asked.but(features=question.removeprefix("does it have ").removesuffix("?"))
    return ""
