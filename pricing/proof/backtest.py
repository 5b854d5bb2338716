"""The record replayed month by month: each estimate from what was known on the last day of the
month before the unit was listed.

A question is the unit as it stood when listed: what it is, never its price, its asks or its days on
the market. The answer comes from a learner that was shown `known_by` the last day of the month
before, so that features, words, the level of prices and the corrections of ranges all come from
then. Any learner will do: the price model and the yardsticks go through the same replay.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units
from pricing.model.known import known_by

# What a person can tell of a unit at listing. `sold_where` is known only at the end.
QUESTION = (
    "unit", "type", "maker", "tier", "age", "made", "features", "fuel", "finish", "size",
    "condition", "fault", "found", "repair", "got_from", "got", "listed", "owner",
)  # fmt: skip
MOST_MONTHS = 24  # refits of one replay


@dataclass(frozen=True)
class Estimates:
    """Estimates of k units, money. median, low, high: (k,), NaN where there is no answer;
    quantiles: (k, m) at the midpoints of m equal parts, or None."""

    median: np.ndarray
    low: np.ndarray
    high: np.ndarray
    quantiles: np.ndarray | None = None


# Units as listed, the day each is asked about (ordinal) -> answers
Ask = Callable[[Units, np.ndarray], Estimates]
Learn = Callable[[Units, date], Ask]  # the record as it stood, that day -> how to answer


@dataclass(frozen=True)
class BackTest:
    """Every sale that was estimated, (k,) each. rows: position in the units given; as_of: last day
    that the learner saw, ordinal; price: what it brought; n_known: sales the learner had seen;
    n_of_type: of them, of this type; n_left: sales that were not estimated, too old or without a
    day; answers: by learner's name."""

    rows: np.ndarray
    as_of: np.ndarray
    price: np.ndarray
    n_known: np.ndarray
    n_of_type: np.ndarray
    n_left: int
    answers: Mapping[str, Estimates]


def replay(
    units: Units,
    settings: Settings,
    end: date,
    learners: Mapping[str, Learn],
    months: int = MOST_MONTHS,
) -> BackTest:
    """Refit each learner as of the end of each month, and estimate what was listed in the month
    that followed and was sold by `end`.

    months: at most so many refits, the latest. A sale without a listed day counts as listed in the
    month it was sold. Complexity: months x fit.
    """
    units = dated(units)
    sold = sales_by(units, end)
    day_sold, listed = units.number("sold"), units.number("listed")
    asked_day = np.where(np.isfinite(listed), np.minimum(listed, day_sold), np.nan)
    month_of = np.where(np.isfinite(asked_day), asked_day, day_sold)
    cutoffs = np.full(units.n, np.nan)
    cutoffs[sold] = [month_before(day) for day in month_of[sold]]
    used = np.unique(cutoffs[sold])[-months:]
    parts: list[tuple[np.ndarray, float, int, np.ndarray, dict[str, Estimates]]] = []
    for cutoff in used.tolist():
        rows = sold[cutoffs[sold] == cutoff]
        as_of = date.fromordinal(int(cutoff))
        known = without_unused_words(known_by(units, cutoff))
        before = sales_by(known, as_of)
        question = as_listed(units.take(rows), settings)
        # The day sold is the future: not used
        days = np.where(np.isfinite(asked_day[rows]), asked_day[rows], cutoff + 1)
        levels = question.word("type").levels
        types = known.word("type").lookup(levels)[before]
        counts = np.append(np.bincount(types[types >= 0], minlength=len(levels)), 0)
        asks = {name: learn(known, as_of) for name, learn in learners.items()}
        answers = {name: _one_by_one(ask, question, days) for name, ask in asks.items()}
        parts.append((rows, cutoff, len(before), counts[question.word("type").codes], answers))
    every = _joined([part[0] for part in parts]).astype(int)
    n_left = int((units.number("price") > 0).sum()) - len(every)
    return BackTest(
        rows=every,
        as_of=_joined([np.full(len(part[0]), part[1]) for part in parts]),
        price=units.number("price")[every],
        n_known=_joined([np.full(len(part[0]), part[2]) for part in parts]).astype(int),
        n_of_type=_joined([part[3] for part in parts]).astype(int),
        n_left=max(n_left, 0),
        answers={name: _answers([part[4][name] for part in parts]) for name in learners},
    )


def model_learner(settings: Settings, coverage: float) -> Learn:
    """The price model as a learner, refitted from the start each time."""

    def learn(known: Units, as_of: date) -> Ask:
        from pricing.model.price import price, price_fit

        model = price_fit.fit_price(known, settings, as_of)

        def ask(units: Units, days: np.ndarray) -> Estimates:
            law = price.law(model, units, days)
            low, high = price.range_of(law, coverage)
            hundredths = price.quantiles(law, (np.arange(99) + 0.5) / 99)
            return Estimates(np.exp(law.center), low, high, hundredths)

        return ask

    return learn


def dated(units: Units) -> Units:
    """The units that can be placed in time: with any date, and a sale with the day it was sold."""
    days = np.vstack([units.number(name) for name in ("got", "listed", "sold")])
    undated_sale = (units.number("price") > 0) & ~np.isfinite(units.number("sold"))
    return units.take(np.isfinite(days).any(axis=0) & ~undated_sale)


def sales_by(units: Units, end: date) -> np.ndarray:
    """Positions of the units sold at a price by the end of a day."""
    outcome = units.word("outcome")
    with np.errstate(invalid="ignore"):
        by_then = (units.number("price") > 0) & (units.number("sold") <= end.toordinal())
    return np.flatnonzero(by_then & ((outcome.lookup(("sold",)) == 0) | (outcome.codes < 0)))


def as_listed(units: Units, settings: Settings) -> Units:
    """The units as questions: only what could be told at listing, and own attributes."""
    kept = {*QUESTION, *settings.attributes}
    numbers = {name: values for name, values in units.numbers.items() if name in kept}
    return Units(units.n, numbers, {x: words for x, words in units.words.items() if x in kept})


def without_unused_words(units: Units) -> Units:
    """The same units without the words that none of them says: later ones leave no trace."""
    words = {name: Coded.of(column.texts()) for name, column in units.words.items()}
    return Units(units.n, units.numbers, words)


def month_before(day: float) -> float:
    """Last day of the month before a day, ordinal.

    >>> date.fromordinal(int(month_before(date(2026, 3, 1).toordinal()))).isoformat()
    '2026-02-28'
    """
    return float((date.fromordinal(int(day)).replace(day=1) - timedelta(days=1)).toordinal())


def _one_by_one(ask: Ask, question: Units, days: np.ndarray) -> Estimates:
    """Each unit alone: in a product of matrices the last bit hangs on how many rows there are."""
    alone = ((question.take(np.array([i])), days[i : i + 1]) for i in range(question.n))
    return _answers([ask(unit, day) for unit, day in alone])


def _joined(parts: list[np.ndarray]) -> np.ndarray:
    return np.concatenate(parts) if parts else np.zeros(0)


def _answers(parts: list[Estimates]) -> Estimates:
    points = [part.quantiles for part in parts if part.quantiles is not None]
    quantiles = np.vstack(points) if points and len(points) == len(parts) else None
    names = ("median", "low", "high")
    joined = {name: _joined([getattr(part, name) for part in parts]) for name in names}
    return Estimates(**joined, quantiles=quantiles)
