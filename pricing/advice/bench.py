"""On the bench: go on, sell as-is, part out or scrap, side by side, counting only what is still to
spend; and when to quit looking.

What is already spent is the same whatever is done now, so it is shown and plays no part.

Quitting: the time to a working unit is the law of bench hours of those that get fixed; the others
never are. Looking dt longer costs dt x target and ends with a fixed unit with chance p(t), so that
by backward induction

    W(t) = max(best other, p(t) [money once fixed - hours still to clean and sell] + (1 - p(t)) W(t
        + dt) - target dt - parts wasted in dt)

and the minute to quit is the first at which the best other is taken.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np

from pricing.advice import ask, cautions, costs
from pricing.advice.by_plan import by_plan
from pricing.advice.offer_parts import Case, ahead_of, candidates, fault_not_known
from pricing.advice.offer_record import Candidate
from pricing.advice.ways import AS_IS, SCRAP
from pricing.basis.frozen import frozen, named
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.formulas import offer_sums
from pricing.formulas.offer_sums import TOLD_AS, standings
from pricing.formulas.standing import standing
from pricing.model.price import price
from pricing.model.repair import repair
from pricing.model.saved import Saved

GO_ON = "go on"
STEP_HOURS = 1 / 60  # of the search for the minute to quit
LONGEST_HOURS = 10.0


@frozen
class Way:
    """One way on. money: still to come in less still to go out; hours: still to work; worth: money
    - hours x target; standing: of the money."""

    name: str
    money: float
    hours: float
    worth: float
    standing: str

    @property
    def per_hour(self) -> float | None:
        """Money an hour still to be worked; None where there is next to none."""
        return self.money / self.hours if self.hours >= 0.05 else None

    def as_dict(self) -> dict[str, Any]:
        return vars(self) | {"per_hour": self.per_hour}


@frozen
class BenchAnswer:
    """ways: the best first; spent_money, spent_hours: in it already; quit_after: minutes from now
    after which to quit looking, 0: not worth starting, None: it pays for ten hours, or the laws are
    too near to tell; fix_chance: from here on."""

    question: Question
    best: str
    ways: tuple[Way, ...]
    spent_money: float | None
    spent_hours: float | None
    fix_chance: float
    k_of_n: tuple[int, int, int]
    repairs: tuple[Candidate, ...]
    price: float
    quit_after: float | None
    standing: dict[str, str]
    verdict: cautions.Verdict
    warnings: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """The JSON of `bench --json`."""
        return {
            "unit": dict(self.question.unit),
            "heard": self.question.heard_still,
            **named(self, "advice=best fix_chance price quit_after_minutes=quit_after standing"),
            "as_read": self.question.as_read,
            "ways": [way.as_dict() for way in self.ways],
            "spent": {"money": self.spent_money, "hours": self.spent_hours},
            "fixed_of": dict(zip(("fixed", "ended", "other_types"), self.k_of_n, strict=True)),
            "repairs": [vars(one) for one in self.repairs],
            **self.verdict.as_dict(),
            "warnings": list(self.warnings),
        }


def decide(question: Question, numbers: Saved, settings: Settings, as_of: date) -> BenchAnswer:
    """The ways on for a unit on the bench. known: parts still to buy, hours still to work,
    fix_chance, price, spent_money, spent_hours; what is spent changes no number but the two that
    show it."""
    age = question.ages(as_of)[0]
    plans = by_plan([question], numbers, settings, as_of)
    at = costs.stakes([question], [age], numbers, settings, as_of, plans)
    verdict = cautions.verdict_of(question, cautions.BENCH, settings, as_of)
    target, known = settings.hour_worth, question.known
    if (question.unit.get("found") or question.unit.get("repair")) and "hours" not in known:
        at = costs.once_found(at, target)
    # where it goes on with none, what going on all the same would bring
    going = at if at.goes.any() else replace(at, goes=np.ones(len(at.goes)))
    ended = offer_sums.as_done(going, at.left)
    money, hours, keeping = (float(at.total(one)[0]) for one in ended)
    fix = float(at.total(at.fix)[0])
    sold = float(at.total(at.fix * at.price)[0]) / max(fix, 1e-9)
    k_of_n = _k_of_n(question, numbers)
    lines = _standings(at, question, k_of_n, numbers)
    others = _others(at, target)
    best_other = max(way.worth for way in others)
    go_on = Way(GO_ON, money, hours, money - target * hours - keeping, lines["fix"])
    quit_after = quit_looking(at, best_other, settings)
    if best_other > go_on.worth:
        quit_after = 0.0
    elif quit_after == 0:
        quit_after = None  # no minute to quit is named beside the advice to go on
    ways = allowed([go_on, *others], verdict)
    ways.sort(key=lambda way: (-way.worth, way.name))
    stopped = verdict.decision != ""
    return BenchAnswer(
        question=question,
        best=verdict.decision or ways[0].name,
        ways=tuple(ways),
        spent_money=known.get("spent_money"),
        spent_hours=known.get("spent_hours"),
        fix_chance=0.0 if stopped else fix,
        k_of_n=k_of_n,
        repairs=() if stopped else candidates([Case(each=ahead_of(at))]),
        price=sold,
        quit_after=0.0 if stopped else quit_after,
        standing=lines,
        verdict=verdict,
        warnings=(
            *question.warnings,
            *ask.not_known(question, numbers),
            *fault_not_known(question, at.view.rows[0][1], numbers, settings),
        ),
    )


def allowed(ways: Sequence[Way], verdict: cautions.Verdict) -> list[Way]:
    """The ways that the dangers leave: a decision leaves the yard, or nothing at all."""
    if verdict.decision:
        return [way for way in ways if way.name == SCRAP and verdict.scrap]
    return [way for way in ways if way.name != AS_IS or verdict.as_is]


def _k_of_n(question: Question, numbers: Saved) -> tuple[int, int, int]:
    """Own ended units where this was found or done, on any type; else those of the fault."""
    for name in ("repair", "found"):
        word = str(question.unit.get(name) or "")
        if word:
            n, k = numbers.repair.turned_out.get(word, (0.0, 0.0))
            return int(k), int(n), 0
    return repair.k_of_n(numbers.repair, str(question.unit.get("fault") or ""), question.type)


def _others(at: costs.Stakes, target: float) -> list[Way]:
    """As-is, parts and scrap, the very ones that an offer reckons with."""
    return [
        Way(
            end.name,
            float(end.money[0]),
            float(end.hours[0]),
            float(end.money[0] - target * end.hours[0]),
            standing(end.n_own / (end.n_own + 3), end.n_own),
        )
        for end in at.ends
    ]


def quit_looking(at: costs.Stakes, other: float, settings: Settings) -> float | None:
    """Minutes from now after which looking on is worth less than the best other way; 0: not worth
    starting, None: it pays for ten hours. Hours spent (`spent_hours`) make the rest of the law."""
    spent = at.questions[0].known.get("spent_hours", 0.0)
    grid = spent + np.arange(0, LONGEST_HOURS + STEP_HOURS, STEP_HOURS)
    view = at.view
    share = at.chance * at.fix
    after = view.sell_mean + at.comeback_hours[at.owner]
    # hours that were told move the law of the bench to their mean
    told = np.log(np.maximum(at.hours_fixed - after, STEP_HOURS) / view.hours_mean)
    by_then = np.array(
        [
            _lognormal_cdf(grid, mean, math.sqrt(variance))
            for mean, variance in zip(view.hours_log + told, view.hours_var, strict=True)
        ]
    )
    reached = share @ by_then
    left = 1 - reached  # not fixed by then: still to be, or never
    # a part is wasted on those that are never fixed, by the same law as the others get theirs
    wasted = np.diff((at.chance * (1 - at.fix) * at.wasted) @ by_then)
    wasted = wasted / np.maximum(left[:-1], 1e-12)
    each = max(float(share.sum()), 1e-9)
    target = settings.hour_worth
    # worth once fixed, and as it goes on
    kept = float(at.total(at.fix * (at.net - at.parts - at.keeping[1]))[0]) / each
    fixed = kept - target * float(at.total(after)[0])
    chance = np.clip((reached[1:] - reached[:-1]) / np.maximum(left[:-1], 1e-12), 0, 1)
    ahead, quit_at = other, len(chance)
    for k in range(len(chance) - 1, -1, -1):
        going = float(chance[k]) * fixed + (1 - float(chance[k])) * ahead
        going -= target * STEP_HOURS + float(wasted[k])
        ahead, quit_at = (other, k) if going <= other else (going, quit_at)
    return None if quit_at == len(chance) else float(quit_at * STEP_HOURS * 60)


def _lognormal_cdf(x: np.ndarray, mean: float, sd: float) -> np.ndarray:
    z = (np.log(np.maximum(x, 1e-9)) - mean) / max(sd, 1e-9) / math.sqrt(2)
    return np.array([0.5 * math.erfc(-value) for value in z.tolist()])


def _standings(
    at: costs.Stakes, question: Question, k_of_n: tuple[int, int, int], numbers: Saved
) -> dict[str, str]:
    view, model, kind = at.view, numbers.price, question.type
    known = (at.law.removed, view.fix_known, view.parts_known, view.hours_known)
    removed = {name: float(of[0]) for name, of in zip(TOLD_AS, known, strict=True)}
    own = (price.n_of_type(model, kind), price.n_of_family(model, kind))
    return standings(removed, own, k_of_n, question.known)
