"""The unsold units as a list to work from, and the tag of one unit."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pricing.pages.text import WIDTH, chance, day, limit, money, wrap

if TYPE_CHECKING:
    from datetime import date

    from pricing.advice.card import Card
    from pricing.advice.unsold import InWork, Unsold, Waiting
    from pricing.basis.settings import Settings


def unsold_lines(answer: Unsold, settings: Settings) -> list[str]:
    """What sits, longest against its normal days first, each with its next step; then what is in
    work."""
    if not (answer.waiting or answer.undated or answer.in_work):
        return ["Nothing is waiting: every unit of your record has ended."]
    lines: list[str] = []
    if answer.waiting:
        sitting = sum(one.sits for one in answer.waiting)
        head = f"{len(answer.waiting)} listed" + (
            f", {sitting} sit{'s' if sitting == 1 else ''} longer than is normal."
            if sitting
            else ", none longer than is normal."
        )
        first = min(answer.waiting, key=lambda one: one.order)
        lines += wrap(head)
        if len(answer.waiting) > 1:
            lines += wrap(f"To free a spot, clear {first.unit} first ({first.said}).")
        for one in answer.waiting:
            lines += ["", *_one(one, answer, settings)]
    if answer.undated:
        lines += [
            "",
            *wrap(
                "No listed date, so nothing can be said of their days: "
                + "; ".join(_short(one) for one in answer.undated)
                + "."
            ),
        ]
    if answer.in_work:
        lines += ["", f"In the shop, not listed yet: {len(answer.in_work)}"]
        for unit in answer.in_work:
            since = "" if unit.days is None else f", {unit.days:.0f} day{'s' * (unit.days != 1)}"
            lines += wrap(f"  {_short(unit)}: {unit.outcome}{since}", "    ")
    return lines


def _one(one: Waiting, answer: Unsold, settings: Settings) -> list[str]:
    name = f"{one.unit}  {one.said}"
    days, step = waiting_words(one, answer.as_of, settings)
    return [
        name if len(name) <= WIDTH else name[: WIDTH - 1] + "…",
        *wrap(f"  {days}", "  "),
        *wrap(f"  {step}", "  "),
    ]


def waiting_words(one: Waiting, today: date, settings: Settings) -> tuple[str, str]:
    """How long a listed unit stands against what is normal, and its next step with the least to
    take today."""
    currency = settings.currency
    asked = f" at {money(one.asked, currency)}" if one.asked is not None else ""
    half = f"half like it are gone by day {one.normal:.0f}"
    sits = (
        f"SITS: {half}; {chance(one.still)} would still be there."
        if one.sits
        else f"Normal: {half}."
    )
    when = "today" if one.on == today else f"on {day(one.on)}"
    if one.step == "come down":
        step = f"Come down to {money(one.to, currency)} {when}."
    elif one.step == "put a price on it":
        step = f"Put a price on it: {money(one.to, currency)}."
    else:
        step = f"Clear it out {when} at about {limit(one.to, currency)}."
    return (
        f"{one.days:.0f} day{'s' * (one.days != 1)}{asked}. {sits}",
        f"{step} Take {limit(one.least, currency)} or more today.",
    )


def _short(one: InWork) -> str:
    return f"{one.unit} {one.said}".strip()


def card_lines(card: Card, settings: Settings) -> list[str]:
    """A tag to tape on, then the same as text for an ad; only what the record holds."""
    currency = settings.currency
    price = [f"{money(card.ask, currency)}"] if card.ask is not None else []
    tag = [f"No. {card.unit}", card.title.upper(), *price, *(f"- {fact}" for fact in card.facts)]
    tag += [f"- done: {', '.join(card.done)}"] if card.done else []
    tag += [f"- {test}" for test in card.tests]
    tag += [f"- {card.promise} days of promise"] if card.promise else []
    title = card.title[:1].upper() + card.title[1:]
    text = (
        f"{title}{f', {money(card.ask, currency)}' if card.ask is not None else ''}."
        f" {_sentence(card)}"
    )
    notes = (
        [] if card.finished else ["It is still in work: the repair is left out until it is listed."]
    )
    if not card.tests:
        notes.append("No test is in the record: write what you ran in its note.")
    if card.recall is None:
        notes.append("Recall check: not done yet. Do it before you sell it.")
    out = ["TAG", *tag, "", "FOR AN AD", *wrap(text)]
    return [
        line for text_ in out for line in (wrap(text_, "  ") if len(text_) > WIDTH else [text_])
    ] + (["", *(line for note in notes for line in wrap(note))] if notes else [])


def _sentence(card: Card) -> str:
    parts = []
    if card.facts:
        parts.append(f"{'; '.join(card.facts)}.")
    if card.done:
        parts.append(f"Done: {', '.join(card.done)}.")
    if card.tests:
        parts.append(f"Tested: {', '.join(card.tests)}.")
    if card.promise:
        parts.append(f"{card.promise} days of promise.")
    return " ".join(part[0].upper() + part[1:] for part in parts)
