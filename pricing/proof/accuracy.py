"""Were the estimates right: the figures of one replay, in all and by group, beside yardsticks."""

from collections import Counter
from dataclasses import dataclass
from datetime import date

import numpy as np

from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units
from pricing.model.known import known_by
from pricing.proof import scores
from pricing.proof.backtest import BackTest, Estimates, dated, model_learner, replay, sales_by
from pricing.proof.scores import RatioStudy, ratio_study
from pricing.proof.yardsticks import learners
from pricing.quarter.period import fair

OURS = "this program"
THICKNESS = (
    (0, 0, "none before"), (1, 4, "1 to 4 before"), (5, 19, "5 to 19 before"),
    (20, 10**9, "20 and more before"),
)  # fmt: skip
UNSOLD_SHARE = 0.8  # of the last ask: what an unsold unit is taken to bring. Own judgement.
MOST_UNITS = 3_000
LEAST_TO_JUDGE = 20  # sales before the reach of ranges is judged


@dataclass(frozen=True)
class Line:
    """The figures of n sales. off: median |estimate / price - 1|; high: median of estimate / price
    - 1; n_caught: inside the range; band: counts that a right range catches, 19 of 20 times;
    interval_score, crps: means on ln money."""

    name: str
    n: int
    off: float
    high: float
    n_caught: int
    band: tuple[int, int]
    width: float
    interval_score: float
    crps: float


@dataclass(frozen=True)
class Rule:
    """A yardstick on the sales where it has an answer. off: its median error; ours: ours on the
    same sales; ratio: our mean |ln error| over its, error: the standard error of that ratio;
    n_nearer: sales where ours was nearer."""

    name: str
    n: int
    off: float
    ours: float
    ratio: float
    error: float
    n_nearer: int


@dataclass(frozen=True)
class NotYetSold:
    """What the unsold units would change if they brought .8 of their last ask. shift: median change
    of the estimates of the last year's sales, a share; by_type: types with three and more."""

    n: int
    shift: float
    by_type: tuple[tuple[str, int, float], ...]


@dataclass(frozen=True)
class Accuracy:
    """One replay judged. widen: what half widths must be multiplied by to hold as promised."""

    coverage: float
    n_left: int
    first: date | None
    last: date | None
    overall: Line | None
    by_type: tuple[Line, ...]
    by_thickness: tuple[Line, ...]
    by_month: tuple[Line, ...]
    blank_age: Line | None
    ratios: RatioStudy | None
    rules: tuple[Rule, ...]
    unsold: NotYetSold | None
    widen: float
    replay: BackTest
    units: Units
    looked_at: int
    of: int


def judge(units: Units, settings: Settings, as_of: date, seed: int = 0) -> Accuracy:
    """Replay the record up to `as_of` and judge the estimates. units: the whole current record; of
    more than MOST_UNITS a fair sample by month, from which the replay learns too."""
    day, of, coverage = units.number("sold"), units.n, settings.coverage
    day = np.where(np.isfinite(day), day, units.number("listed"))
    units = units.take(fair(np.where(np.isfinite(day), day, units.number("got")), MOST_UNITS))
    looked_at, units = units.n, dated(units)
    asked = {OURS: model_learner(settings, coverage), **learners(settings)}
    replayed = replay(units, settings, as_of, asked)
    ours, n = replayed.answers[OURS], len(replayed.rows)
    sold = units.take(replayed.rows)
    types = np.array(sold.word("type").texts(), dtype=object)

    def line(name: str, some: np.ndarray) -> Line:
        return _line(name, np.flatnonzero(some), replayed, ours, coverage)

    by_type = [line(str(name) or "type not written", types == name) for name in set(types)]
    known = replayed.n_of_type
    thickness = [line(name, (known >= low) & (known <= high)) for low, high, name in THICKNESS]
    months = {day: date.fromordinal(int(day) + 1) for day in np.unique(replayed.as_of).tolist()}
    blank = ~np.isfinite(sold.number("age")) & (sold.word("made").codes < 0)
    overall = line("all", np.ones(n, dtype=bool)) if n else None
    rules = [_rule(x, told, replayed) for x, told in replayed.answers.items() if x != OURS]
    return Accuracy(
        coverage=coverage,
        n_left=replayed.n_left,
        first=min(months.values(), default=None),
        last=max(months.values(), default=None),
        overall=overall,
        by_type=tuple(sorted(by_type, key=lambda one: (-one.n, one.name))),
        by_thickness=tuple(one for one in thickness if one.n),
        by_month=tuple(line(f"{at:%Y-%m}", replayed.as_of == day) for day, at in months.items()),
        blank_age=line("age not known", blank) if blank.any() else None,
        ratios=ratio_study(ours.median, replayed.price, seed) if n else None,
        rules=tuple(rules),
        unsold=_unsold(units, settings, as_of),
        widen=_widen(overall, replayed, ours, coverage),
        replay=replayed,
        units=units,
        looked_at=looked_at,
        of=of,
    )


def _line(
    name: str, rows: np.ndarray, replayed: BackTest, ours: Estimates, coverage: float
) -> Line:
    if not len(rows):
        return Line(name, 0, np.nan, np.nan, 0, (0, 0), np.nan, np.nan, np.nan)
    price = replayed.price[rows]
    estimate, low, high = (x[rows] for x in (ours.median, ours.low, ours.high))
    y, l, h = np.log(price), np.log(low), np.log(high)  # noqa: E741
    crps = np.nan
    if ours.quantiles is not None:
        crps = float(scores.crps_quantiles(y, np.log(ours.quantiles[rows])).mean())
    return Line(
        name,
        len(rows),
        scores.median_ape(price, estimate),
        float(np.median(estimate / price) - 1),
        int(((price >= low) & (price <= high)).sum()),
        scores.binomial_band(len(rows), coverage),
        float((h - l).mean()),
        float(scores.interval_score(y, l, h, coverage).mean()),
        crps,
    )


def _rule(name: str, answers: Estimates, replayed: BackTest) -> Rule:
    theirs, ours = answers.median, replayed.answers[OURS].median
    both = np.isfinite(theirs) & np.isfinite(ours)
    price, theirs, ours = replayed.price[both], theirs[both], ours[both]
    n = len(price)
    if not n:
        return Rule(name, 0, np.nan, np.nan, np.nan, np.nan, 0)
    a, b = np.abs(np.log(ours / price)), np.abs(np.log(theirs / price))
    ratio = error = np.nan
    if b.mean() > 0:
        ratio = float(a.mean() / b.mean())
        error = float((a - ratio * b).std(ddof=1) / b.mean() / np.sqrt(n)) if n > 1 else np.nan
    off = scores.median_ape(price, theirs), scores.median_ape(price, ours)
    return Rule(name, n, *off, ratio, error, int((a < b).sum()))


def _widen(overall: Line | None, replayed: BackTest, ours: Estimates, coverage: float) -> float:
    """The factor on half widths (ln money) that would hold the share promised, 1 to 2."""
    if overall is None or overall.n < LEAST_TO_JUDGE or overall.n_caught >= overall.band[0]:
        return 1.0
    y, center = np.log(replayed.price), np.log(ours.median)
    below = (center - y) / (center - np.log(ours.low))
    needed = np.where(y < center, below, (y - center) / (np.log(ours.high) - center))
    k = min(int(np.ceil(round((len(y) + 1) * coverage, 9))), len(y))
    return float(np.clip(np.sort(needed)[k - 1], 1.0, 2.0))


def _unsold(units: Units, settings: Settings, as_of: date) -> NotYetSold | None:
    """Refit with the unsold units as if each brought .8 of its last ask."""
    from pricing.model.price import price, price_fit

    end = as_of.toordinal()
    known = known_by(units, end)
    asks = np.array([last_ask(text) for text in known.word("asked").texts()], dtype=float)
    waiting = (known.word("outcome").lookup(("listed",)) == 0) & (asks > 0)
    sold = sales_by(known, as_of)
    recent = sold[known.number("sold")[sold] > end - 365]
    if not waiting.any() or not len(recent):
        return None
    outcome = np.array(known.word("outcome").texts(), dtype=object)
    outcome[waiting] = "sold"
    filled = known.replaced(
        price=np.where(waiting, asks * UNSOLD_SHARE, known.number("price")),
        sold=np.where(waiting, end, known.number("sold")),
        outcome=Coded.of(outcome.tolist()),
    )
    asked = known.take(recent)
    models = (price_fit.fit_price(table, settings, as_of) for table in (known, filled))
    before, after = (price.law(model, asked, end).center for model in models)
    change = np.exp(after - before) - 1
    types = np.array(asked.word("type").texts(), dtype=object)
    waiting_of = Counter(known.take(waiting).word("type").texts())
    told = ((str(x), waiting_of[x], types == x) for x in set(types) if waiting_of[x] >= 3)
    by_type = [(name, n, float(np.median(change[some]))) for name, n, some in told]
    ordered = tuple(sorted(by_type, key=lambda one: (one[2], one[0])))
    return NotYetSold(int(waiting.sum()), float(np.median(change)), ordered)


def last_ask(text: str) -> float:
    """The last ask of "320" or "2026-03-01:320; 2026-03-15:295"; NaN where there is none.

    >>> last_ask("2026-03-01:320; 2026-03-15:295"), last_ask("320")
    (295.0, 320.0)
    """
    try:
        return float(text.split(";")[-1].split(":")[-1])
    except ValueError:
        return np.nan
