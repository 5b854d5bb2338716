"""The finished ways on from the bench as the page shows them: words of `pages/bench_text`, amounts
of the answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pricing.advice.bench import AS_IS, GO_ON, PART_OUT
from pricing.pages import bench_text
from pricing.pages.text import GUESS_LEGEND, chance, limit, money
from pricing.web.drawn import Mark
from pricing.web.offered import Line

if TYPE_CHECKING:
    from pricing.advice.bench import BenchAnswer
    from pricing.basis.settings import Settings

STEPS = {
    GO_ON: "bench",
    AS_IS: "list",
    PART_OUT: "parted",
}  # the form of the unit that each way leads to; scrap: "scrapped"


@dataclass(frozen=True)
class ShownWay:
    """One way on. share: its worth on the scale of them all, 0-1; step: the form of the unit it
    leads to."""

    name: str
    best: bool
    worth: str
    money: str
    hours: str
    per_hour: str
    standing: str
    share: float
    step: str


@dataclass(frozen=True)
class ShownBench:
    """Everything that the template prints, in its order."""

    kind: str
    verdict: str
    lead: str
    first: str
    as_read: str
    target: str
    ways: Sequence[ShownWay]
    lines: Sequence[Line]
    spent: str
    repairs: Sequence[tuple[str, str, float, str]]
    cautions: Sequence[str]
    warnings: Sequence[str]
    legend: str
    marks: Sequence[Mark] = ()


def shown(answer: BenchAnswer, settings: Settings) -> ShownBench:
    """An answer for the template."""
    currency = settings.currency
    verdict, _, lead = bench_text.headline(answer).partition(". ")
    worths = [way.worth for way in answer.ways] + [0.0]
    room = max(max(worths) - min(worths), 1e-9)
    fixed, ended, _ = answer.k_of_n
    spent = [money(answer.spent_money, currency)] if answer.spent_money is not None else []
    spent += [f"{answer.spent_hours:.1f} hours"] if answer.spent_hours is not None else []
    return ShownBench(
        kind="go" if answer.best == GO_ON else "if",
        verdict=verdict.rstrip(".") + ".",
        lead=lead,
        first=answer.first.full if answer.first else "",
        as_read=answer.question.as_read,
        target=money(settings.hourly_target, currency),
        ways=[
            ShownWay(
                way.name,
                way.name == answer.best,
                limit(way.worth, currency),
                limit(way.money, currency),
                f"{way.hours:.1f} h",
                "–" if way.per_hour is None else f"{money(way.per_hour, currency)} an hour",
                way.standing,
                (way.worth - min(worths)) / room,
                STEPS.get(way.name, "scrapped"),
            )
            for way in answer.ways
        ],
        lines=[
            Line(
                "Chance you fix it from here",
                f"{answer.fix_chance:.0%}",
                f"you: {fixed} of {ended}" if ended else "none of yours yet",
                answer.standing["fix"],
            ),
            Line(
                "Fixed, it sells for", limit(answer.price, currency), "", answer.standing["price"]
            ),
        ],
        spent=(
            f"Already in it: {' and '.join(spent)}: gone whatever you do, and not counted."
            if spent
            else ""
        ),
        repairs=[
            (one.repair, chance(one.chance), one.chance, money(one.parts, currency))
            for one in answer.repairs[:5]
        ],
        cautions=[said.full for said in answer.cautions],
        warnings=answer.warnings,
        legend=GUESS_LEGEND if any(way.standing == "GUESS" for way in answer.ways) else "",
    )
