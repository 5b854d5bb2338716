"""At listing: what to ask, what it will really sell for, the days, the dated plan and the least to
take. Every number is finished here.

What was paid for the unit is not among the arguments of anything in this module.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from types import MappingProxyType
from typing import Any

import numpy as np

from pricing.advice import cautions, listing, pairs, ways
from pricing.advice.history import past_of
from pricing.advice.listing import Demand, Listing, Past, Terms
from pricing.basis.columns import BY_NAME
from pricing.basis.frozen import frozen, named
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.formulas import asks, bids, selling
from pricing.formulas.nearest_word import nearest
from pricing.formulas.standing import standing
from pricing.model.price import explain, price, similar
from pricing.model.price.member import told_apart
from pricing.model.saletime import saletime
from pricing.model.saved import Saved
from pricing.wording import unknown_words

DAYS, LAW = (7, 14, 30, 60), ("median", "mean", "low", "high")
TOLD_SD = 0.05  # log points: how sure a price is that the person states. Own judgement.


@frozen
class Step:
    """One line of the dated plan: from this day ask so much; take at least so much on that day."""

    date: date
    ask: float
    take_at_least: float

    def as_dict(self) -> dict[str, Any]:
        return vars(self) | {"date": self.date.isoformat()}


@frozen
class Choice:
    """One way of asking. days: by which half like it sell; price: what it then sells for; left:
    money after the cost of holding."""

    name: str
    ask: float
    days: float
    price: float
    left: float


@frozen
class Span:
    """The middle and the ends of a range, money."""

    median: float
    low: float
    high: float


_HANDED_ON = (
    "ask median mean low high coverage take_at_least median_days spot ceiling in_force pair"
    " sales_used talked_down=off holding_cost_per_day=holding days_listed=listed_days"
    " offered=offer ask_effect_from=eta_from"
)


@frozen
class AskAnswer:
    """One answer. Money in the currency's unit, chances 0-1.

    median, mean, low, high: the sale price at the person's usual way of asking; price_at_ask: by
    the plan. holding: money a day that the
    plan reckons with, spot: whether that is the price of a spot. off: mean share that buyers talk
    off the recommended ask.
    ceiling: why no higher ask was looked at, "" where it does not bind. listed_days: days on the
    market so far, and in_force: its ask now, None where not listed or not told. beside: what else
    there is to say, as it stands in the JSON (`wording/alongside`).
    """

    question: Question
    as_of: date
    ask: float
    median: float
    mean: float
    low: float
    high: float
    coverage: float
    price_at_ask: Span
    take_at_least: float
    median_days: float
    chance_sold: Mapping[int, float]
    plan: tuple[Step, ...]
    clear_on: date
    clear_at: float
    choices: tuple[Choice, ...]
    off: float
    holding: float
    spot: bool
    ceiling: str
    listed_days: float | None
    in_force: float | None
    eta_from: str
    offer: Mapping[str, Any] | None
    pair: dict[str, Any] | None
    sales_used: int
    standing: Mapping[str, str]
    because: tuple[tuple[str, float], ...]
    similar: tuple[similar.Similar, ...]
    verdict: cautions.Verdict
    warnings: tuple[str, ...]
    beside: Mapping[str, Any] = MappingProxyType({})

    def as_dict(self) -> dict[str, Any]:
        """The JSON of `ask --json`."""
        made = self.question.made
        return {
            "unit": dict(self.question.unit) | ({"made": list(made)} if made else {}),
            "as_read": self.question.as_read,
            "as_of": self.as_of.isoformat(),
            "heard": self.question.heard_still,
            **named(self, _HANDED_ON),
            "price_at_ask": vars(self.price_at_ask),
            "chance_sold": {str(days): chance for days, chance in self.chance_sold.items()},
            "plan": [step.as_dict() for step in self.plan],
            "clear": {"date": self.clear_on.isoformat(), "price": self.clear_at},
            "choices": [vars(choice) for choice in self.choices],
            "standing": dict(self.standing),
            "because": [{"term": term, "amount": amount} for term, amount in self.because],
            "similar": [vars(one) | {"sold": one.sold.isoformat()} for one in self.similar],
            **self.verdict.as_dict(),
            "warnings": list(self.warnings),
            **self.beside,
        }


def decide(question: Question, numbers: Saved, settings: Settings, as_of: date) -> AskAnswer:
    """One answer; the same question always has the same one."""
    return decide_many([question], numbers, settings, as_of)[0]


def decide_many(
    questions: Sequence[Question], numbers: Saved, settings: Settings, as_of: date
) -> list[AskAnswer]:
    """Answers in the order of the questions, each equal to the answer asked alone."""
    if not questions:
        return []
    view = look(questions, numbers, settings, as_of)
    types = dict.fromkeys(question.type for question in questions)
    past = {name: similar.looked_at(numbers.price, numbers.similar, name) for name in types}
    common = explain.behind(numbers.price, types, float(as_of.toordinal()), view.units)
    return [
        _answer(view, place, question, numbers, settings, as_of, past[question.type], common)
        for place, question in enumerate(questions)
    ]


@frozen
class View:
    """What the fitted numbers say of many units at once, one place a question: law of the price,
    demand, and what buyers talk off.

    mean_known: the mean price once age and grade are known, as they will be when it is listed: a
    plan does not fish with a high ask for what the seller can look up. wider: how much wider the
    two sides of the range are as long as they are not known, (n, 2), and blank: the variance of ln
    price by them. told_by_ask: what the person's own first ask moves the typical price by, log
    points, 0 for a unit that is not listed: who has the unit before him sees what no record says.
    """

    units: Units
    median: np.ndarray
    mean: np.ndarray
    mean_known: np.ndarray
    wider: np.ndarray
    blank: np.ndarray
    low: np.ndarray
    high: np.ndarray
    removed: np.ndarray
    told_by_ask: np.ndarray
    demands: tuple[Demand, ...]
    market: saletime.Market
    haggle: saletime.Haggle


def units_of(
    questions: Sequence[Question], settings: Settings, as_of: date
) -> tuple[Units, np.ndarray]:
    """One row for each age that each question may have, without its dates, and the place of the
    question of each row."""
    rows, owner = [], []
    for place, question in enumerate(questions):
        told = {
            name: value
            for name, value in question.unit.items()
            if name not in BY_NAME or BY_NAME[name].kind not in ("date", "money", "dated")
        }
        for age in question.ages(as_of):
            rows.append(told | {"age": age})
            owner.append(place)
    return from_rows(rows, settings.number_attributes), np.array(owner, dtype=np.int64)


def look(questions: Sequence[Question], numbers: Saved, settings: Settings, as_of: date) -> View:
    """Price and demand of many units as of a day. Several years made are mixed with equal
    weight."""
    rows, owner = units_of(questions, settings, as_of)
    day = float(as_of.toordinal())
    n = len(questions)
    law = price.law(numbers.price, rows, day)
    first = np.searchsorted(owner, np.arange(n))
    one = price.mixed(law, owner, np.ones(len(owner)))
    units = rows.take(first)
    one, told_by_ask = _with_first_asks(questions, units, one, numbers, as_of)
    center = one.center
    low, high = price.range_of(one, settings.coverage)
    told = np.array([question.known.get("price", np.nan) for question in questions])
    known = np.isfinite(told)
    median = np.where(known, told, np.exp(center))
    plain = price.without_blanks(one)
    sd = np.where(known, TOLD_SD, saletime.unseen_sd(numbers.saletime, plain))
    market = saletime.market(numbers.saletime, units, day)
    haggle = saletime.haggle(numbers.saletime, units, np.zeros(n))
    demands = listing.demands_of(median, sd, numbers.saletime, market, haggle)
    mean = np.where(known, told, price.mean(one))
    return View(
        units,
        median,
        mean,
        np.where(known, told, price.mean(plain)),
        np.where(known[:, None], 1.0, _wider(one, plain, settings.coverage)),
        np.where(known, 0.0, one.blank),
        np.where(known, told, low),
        np.where(known, told, high),
        one.removed,
        np.where(known, 0.0, told_by_ask),
        demands,
        market,
        haggle,
    )


def _with_first_asks(
    questions: Sequence[Question], units: Units, law: price.PriceLaw, numbers: Saved, as_of: date
) -> tuple[price.PriceLaw, np.ndarray]:
    """The law of each unit once the first ask that the person made for it is known, and by how much
    that moved its middle, (n,); both as they were where none was made."""
    asked = np.array([_first_ask(question, as_of) for question in questions])
    listed = np.isfinite(asked)
    if not listed.any():
        return law, np.zeros(len(asked))
    sd = saletime.unseen_sd(numbers.saletime, law)
    ratio = np.where(listed, np.log(np.where(listed, asked, 1.0)) - law.center, 0.0)
    moved, left = saletime.quality_from_ask(numbers.saletime, units, ratio, sd)
    moved, share = np.where(listed, moved, 0.0), np.where(listed, left / sd, 1.0)
    return replace(
        law,
        center=law.center + moved,
        scale=law.scale * share,
        spread=law.spread * share,
        blank=law.blank * share**2,
    ), moved


def _wider(law: price.PriceLaw, plain: price.PriceLaw, coverage: float) -> np.ndarray:
    """Both sides of the range with blanks over those without, on the log scale, (n, 2)."""
    sides = [
        np.abs(np.log(np.array(price.range_of(one, coverage))) - one.center) for one in (law, plain)
    ]
    return np.asarray((sides[0] / np.maximum(sides[1], 1e-12)).T)


def _told_asks(question: Question, as_of: date) -> Sequence[Any]:
    """Days and ask of each ask the person made for it, as told."""
    past = past_of(question.unit, as_of, question.known.get("asked_now"))
    return () if past is None else past.spells


def _first_ask(question: Question, as_of: date) -> float:
    """The first ask the person made for it, NaN where none is known."""
    spells = _told_asks(question, as_of)
    return spells[0][1] if spells else float("nan")


def terms_of(
    question: Question, view: View, place: int, numbers: Saved, settings: Settings
) -> tuple[Terms, str]:
    """The seller's terms for one unit, and which ceiling stands in the way ("" for none): no ask
    goes further over the estimate than the person ever tried, and a step
    (`selling.highest_ratio`)."""
    demand = view.demands[place]
    new = settings.new_price.get(question.type)
    highest, why = selling.ceiling(numbers.saletime, question.type, demand.estimate, new)
    times = numbers.saletime
    habit = (selling.usual_premium(times, question.type), times.drop_fall, times.drop_days)
    holding = holding_cost(numbers, settings)
    return listing.terms(settings, holding, highest, times.shape, habit), why


def holding_cost(numbers: Saved, settings: Settings) -> float:
    """Money a day that an unsold unit costs: holding, or the price of a spot where space is what is
    short."""
    return max(settings.holding_cost_per_day, ways.spot_a_day(numbers, settings))


def _answer(
    view: View,
    place: int,
    question: Question,
    numbers: Saved,
    settings: Settings,
    as_of: date,
    looked: similar.Looked | None,
    common: explain.Behind,
) -> AskAnswer:
    demand = view.demands[place]
    at, why = terms_of(question, view, place, numbers, settings)
    past = past_of(question.unit, as_of, question.known.get("asked_now"), demand.estimate)
    found = listing.best(demand, at, past or Past())
    cleared = listing.clearing_price(found, demand, at)
    value = [selling.gross_of(at, float(v)) for v in found.value]
    span = span_of(*sale_law(view, place, found, at), settings.coverage, view.wider[place])
    plan = _steps(found, value, as_of)
    ask = float(found.asks[0]) if len(found.asks) else cleared
    least = min(max(value[0], 0.0), ask)
    off = float(selling.off_at(demand, np.log(max(ask, 1e-9) / demand.estimate)))
    given, steps = question.known.get("offered"), [step.as_dict() for step in plan]
    behind = (view.units.take(np.array([place])), float(as_of.toordinal()))
    read = None if common.rows is None else (common.rows, place)
    like = similar.closest(numbers.price, numbers.similar, *behind, looked=looked, read=read)
    terms = explain.terms(numbers.price, *behind, common, place)
    law: dict[str, Any] = {name: float(getattr(view, name)[place]) for name in LAW}
    added = float(view.median[place]) * (1 - float(np.exp(-float(view.told_by_ask[place]))))
    verdict = cautions.verdict_of(question, cautions.SALE, settings, as_of)
    answer = AskAnswer(
        question=question,
        as_of=as_of,
        ask=ask,
        **law,
        coverage=settings.coverage,
        price_at_ask=span,
        take_at_least=least,
        median_days=listing.day_sold(found),
        chance_sold={days: listing.chance_by(found, days) for days in DAYS},
        plan=plan,
        clear_on=as_of + timedelta(days=round(float(found.sale.days.sum()))),
        clear_at=cleared,
        choices=_choices(found, demand, at, past or Past()),
        off=off,
        holding=at.holding,
        spot=settings.short_of == "space" and at.holding > settings.holding_cost_per_day,
        ceiling=why if len(found.asks) and asks.rounded(ask * 1.03) > at.highest else "",
        listed_days=None if past is None else past.days,
        in_force=asks.in_force(_told_asks(question, as_of)),
        eta_from=selling.learned_from(numbers.saletime),
        offer=None if given is None else bids.judged(given, ask, off, least, steps),
        pair=pairs.pair_of(question, numbers, settings, as_of),
        sales_used=numbers.price.n,
        standing=_standings(view, place, question, numbers),
        because=(*terms, *((("your own first ask", added),) if added else ())),
        similar=tuple(like),
        verdict=verdict,
        warnings=_warnings(question, numbers),
    )
    return without_sale(answer) if verdict.decision else answer


def _standings(view: View, place: int, question: Question, numbers: Saved) -> dict[str, str]:
    """Whose each number is: own sales, the kind's and its like, or the starting figures."""
    haggled, of_type = int(view.haggle.n[place]), price.n_of_type(numbers.price, question.type)
    of_family = price.n_of_family(numbers.price, question.type)
    own = standing(float(view.removed[place]), of_type, of_family)
    return {
        "price": "your number" if "price" in question.known else own,
        "days": days_standing(view, place),
        "haggle": standing(haggled / (haggled + 8.0), haggled),
    }


def days_standing(view: View, place: int) -> str:
    """Whose the days to sell are."""
    one, own = view.market, float(view.market.removed[place])
    return standing(own, int(one.n_type[place]), int(one.n_family[place]))


def without_sale(answer: AskAnswer) -> AskAnswer:
    """The answer where a decision stands above the money: nothing to ask, nothing to take."""
    none = Span(0.0, 0.0, 0.0)
    return replace(
        answer, ask=0.0, take_at_least=0.0, clear_at=0.0, price_at_ask=none, chance_sold={},
        plan=(), choices=(), offer=None, pair=None,
    )  # fmt: skip


def _steps(found: Listing, value: Sequence[float], as_of: date) -> tuple[Step, ...]:
    """The days on which the ask changes, the first one today."""
    each = asks.dated(found.starts.tolist(), found.asks.tolist(), value)
    return tuple(Step(as_of + timedelta(days=day), ask, least) for day, ask, least in each)


def sale_law(view: View, place: int, found: Listing, at: Terms) -> tuple[np.ndarray, np.ndarray]:
    """Prices that a sale may bring along a plan, sorted, and their chances."""
    full, off_sd = float(view.haggle.full_share[place]), float(view.haggle.off_sd[place])
    return listing.sale_prices(found, view.demands[place], at.share, full, off_sd)


def span_of(prices: np.ndarray, chance: np.ndarray, coverage: float, wider: np.ndarray) -> Span:
    """Middle and ends of sorted prices with their chances, the sides so much wider."""
    upto = np.cumsum(chance)
    middle, low, high = (
        float(prices[min(int(np.searchsorted(upto, level)), len(prices) - 1)])
        for level in (0.5, (1 - coverage) / 2, (1 + coverage) / 2)
    )
    ends = [
        middle * (max(end, 1e-9) / max(middle, 1e-9)) ** float(factor)
        for end, factor in zip((low, high), wider, strict=True)
    ]
    return Span(middle, *ends)


def _choices(found: Listing, demand: Demand, at: Terms, past: Past) -> tuple[Choice, ...]:
    """The plan's asks and the other ways that are shown (`asks.choices`)."""

    def times(factor: float) -> Listing:
        higher = [asks.rounded(ask, at.highest) for ask in (found.asks * factor).tolist()]
        return listing.at_asks(demand, at, higher, past)

    def off(ask: float) -> float:
        return float(selling.off_at(demand, np.log(ask / demand.estimate)))

    ways = asks.choices(found, times, off, listing.day_sold)
    return tuple(Choice(*one) for one in ways)


def _warnings(question: Question, numbers: Saved) -> tuple[str, ...]:
    """What was not understood, who is not known, how little the record tells of the kind."""
    out = [*question.warnings, *not_known(question, numbers)]
    kind, model = question.type, numbers.price
    if "price" in question.known:
        return tuple(out)
    if kind not in model.encoding.types and kind not in model.types:
        out.append(unknown_words.type_of_ask(kind, nearest(kind, tuple(model.encoding.types))))
    elif model.n and not price.n_of_type(model, kind):
        out.append(unknown_words.no_sale_yet(kind))
    return tuple(out)


def not_known(question: Question, numbers: Saved) -> list[str]:
    """One sentence where somebody asks whose sales the fit does not know, else none."""
    name = str(question.unit.get("owner") or "")
    people, named = list(told_apart(numbers.price)), list(numbers.words.get("owner", []))
    if "price" in question.known:
        return []
    return unknown_words.person(name, people, named, nearest(name, [*people, *named]))
