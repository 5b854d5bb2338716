"""What a unit still to be fixed is worth, what it costs in money and hours, before and after the
drive.

For each repair r that it may turn out to need (chance w_r, see `model/repair/repair`):

    fixed      sale (1 - fee) - fee_fixed - comebacks - parts          bench + clean and sell +
        comeback hours
    not fixed  what it brings then - a wasted part (for a share)       bench (shorter) + the hours
        to be rid of it
    found out  max(q_r fixed + (1 - q_r) not fixed, leave it as it is after the hours of finding it)
    worth      sum over the faults it may have of max(sum over r of w_r found out, leave it as it
        is) - trip, each less the hours at what an hour costs (`Settings.hour_worth`) and what
        keeping it costs; the fault itself is seen at once

The sale is that of the plan which `ask` would give the fixed unit (`by_plan`), moved with the price
of each repair; so are the days that it is kept.
Repair and fix are summed exactly; price, parts and hours enter by their means, which are exact too.
Chances of loss and of reaching the hourly target need the whole law: they are drawn
(`advice/chances`). Money in the currency's unit, hours in hours.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

import numpy as np
from numpy import ndarray as Array

from pricing.advice import cautions, ways
from pricing.advice.by_plan import ByPlan
from pricing.basis.frozen import frozen
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units, from_rows
from pricing.basis.words import family_of
from pricing.formulas import offer_sums
from pricing.formulas.exits import FINDING_SHARE
from pricing.model.price import price
from pricing.model.price.price import PriceLaw
from pricing.model.repair import outlook, repair
from pricing.model.saved import Saved

DAYS_AHEAD = 10  # the price is that of a sale about this many days after the question


@frozen
class Trip:
    """One drive there and back for one unit: money and hours in all, and of the way out."""

    money: float
    hours: float
    out_money: float
    out_hours: float
    truck: float
    helper: float
    load_hours: float

    def still(self, at_curb: bool) -> tuple[float, float]:
        """What is still to come of it: at the curb only the way home."""
        out = (self.out_money, self.out_hours) if at_curb else (0.0, 0.0)
        return self.money - out[0], self.hours - out[1]


@frozen
class Stakes:
    """n cases (a question, or one of the ages it may have) and their candidate repairs in arrays
    (c,), case by case.

    owner: case of each candidate; chance: sums to 1 a case; fix, parts, wasted, hours_fixed,
    hours_failed: means.
    price: mean sale price by the plan, net: after fees and the comeback reserve; law: the price law
    of each candidate at the person's usual way of asking; over_usual: (n,) sale by the plan
    over that.
    looked: hours until it is found which one it is; goes: 1 where the bench then goes on with it, 0
    where it leaves it as it is.
    ends: the ways to be rid of one that is not fixed; if_not, rest: (n,) money and hours of the
    best of them; back: (n,) share of sales that come back; comeback: (n,) money set by for them a
    sale;
    trips: n drives;
    barred: (n,) nobody opens this one at home, so that it can only be left as it is;
    keeping: (2, c) what keeping it costs: on the bench, where space is what is short, and listed
    once fixed.
    """

    questions: Sequence[Question]
    units: Units
    view: outlook.Outlook
    owner: Array
    chance: Array
    fix: Array
    price: Array
    net: Array
    parts: Array
    wasted: Array
    hours_fixed: Array
    hours_failed: Array
    looked: Array
    goes: Array
    law: PriceLaw
    over_usual: Array
    ends: tuple[ways.Exit, ...]
    if_not: Array
    rest: Array
    back: Array
    comeback: Array
    comeback_hours: Array
    trips: Sequence[Trip]
    barred: Array
    keeping: Array

    @property
    def left(self) -> tuple[Array, Array]:
        """Money and hours of one left as it is, by candidate."""
        return self.if_not[self.owner], self.rest[self.owner]

    @property
    def n(self) -> int:
        return len(self.questions)

    def total(self, values: Array) -> Array:
        """Sum over the candidates of each case, weighted by their chance, (n,)."""
        return np.bincount(self.owner, self.chance * values, self.n)


@frozen
class Worth:
    """Per case, (n,). money: expected before trip and price; hours: without the trip; tries:
    whether the bench would go on with some repair; worth: after trip and hours at the target, at
    nothing paid; trip_money, trip_hours: still to come of the drive (at the curb the way home);
    pays: whether going on brings more money than leaving it; keeping: what keeping it costs."""

    money: Array
    hours: Array
    tries: Array
    worth: Array
    trip_money: Array
    trip_hours: Array
    pays: Array
    keeping: Array


def trip_of(question: Question, usual_miles: float, settings: Settings) -> Trip:
    """The drive of one unit (`offer_sums.trip_of`)."""
    return Trip(**offer_sums.trip_of(question.known, usual_miles, settings))


def stakes(
    questions: Sequence[Question],
    ages: Sequence[float | None],
    numbers: Saved,
    settings: Settings,
    as_of: date,
    plans: Sequence[ByPlan],
) -> Stakes:
    """Everything at stake in each case; `ages` go over the age asked. plans: of each once fixed."""
    rows = [{**one.unit, "age": age} for one, age in zip(questions, ages, strict=True)]
    view = outlook.outlook(numbers.repair, rows, settings)
    units = from_rows(rows, settings.number_attributes)
    law = _law_once_fixed(view, units, numbers, as_of)
    known = [question.known for question in questions]

    def own(name: str) -> Array:
        return np.array([row.get(name, np.nan) for row in known])[view.owner]

    def told(name: str, estimate: Array) -> Array:
        value = own(name)
        return np.where(np.isfinite(value), value, estimate)

    over_usual = np.array([plan.sale / plan.usual for plan in plans])
    sale = told("price", price.mean(law) * over_usual[view.owner])
    part, fix = own("parts"), told("fix_chance", view.fix)
    net = sale * (1 - settings.selling_fee_share) - settings.selling_fee_fixed
    back = _comeback_shares(questions, numbers, settings)
    comeback, comeback_hours = back * settings.comeback_cost, back * settings.comeback_hours
    miles = offer_sums.usual_miles(numbers.repair.miles, settings.distance_unit)
    hours = view.hours_mean
    ends, left = _where_not_fixed(questions, view, fix, sale, numbers, settings, as_of)
    at = Stakes(
        questions=questions,
        units=units,
        view=view,
        owner=view.owner,
        chance=view.chance,
        fix=fix,
        price=sale,
        net=net - comeback[view.owner],
        parts=told("parts", view.parts_mean),
        wasted=np.where(np.isfinite(part), view.waste * part, view.wasted_mean),
        hours_fixed=told("hours", hours + view.sell_mean + comeback_hours[view.owner]),
        hours_failed=told("hours", hours * np.exp(view.failed_log) + left.hours[view.owner]),
        looked=FINDING_SHARE * told("hours", hours),
        goes=np.ones(len(view.owner)),
        law=law,
        over_usual=over_usual,
        keeping=_keeping(plans, view.owner, numbers, settings),
        ends=ends,
        if_not=left.money,
        rest=left.hours,
        back=back,
        comeback=comeback,
        comeback_hours=comeback_hours,
        trips=[trip_of(question, miles, settings) for question in questions],
        barred=_barred(questions, settings, as_of),
    )
    return _stopping(at, settings.hour_worth)


def _keeping(plans: Sequence[ByPlan], owner: Array, numbers: Saved, settings: Settings) -> Array:
    """What each candidate costs to keep: on the bench, and listed once fixed, (2, c)."""
    on_bench = ways.spot_a_day(numbers, settings) * ways.bench_days(numbers.repair)
    listed = np.array([plan.holding * plan.held for plan in plans])
    return np.stack([np.full(len(owner), on_bench), listed[owner]])


def once_found(at: Stakes, target: float) -> Stakes:
    """The same where it is known what it needs: the hours of finding it are behind."""
    saved = FINDING_SHARE * at.view.hours_mean
    hours = (at.hours_fixed - saved, at.hours_failed - saved)
    none = np.zeros(len(saved))
    return _stopping(replace(at, hours_fixed=hours[0], hours_failed=hours[1], looked=none), target)


def _stopping(at: Stakes, target: float) -> Stakes:
    """With which repairs the bench goes on: none where all together are worth less than to stop."""
    left = at.if_not - target * at.rest
    value, on = offer_sums.found_out(at, at.left, target)
    over = np.bincount(at.view.told, at.chance * (value - left[at.owner]))
    opened = ~at.barred[at.owner] & (over >= 0)[at.view.told]
    return replace(at, goes=1.0 * (opened & on), looked=np.where(opened, at.looked, 0.0))


def _comeback_shares(questions: Sequence[Question], numbers: Saved, settings: Settings) -> Array:
    back_of = {
        kind: repair.comeback_share(numbers.repair, kind, family_of(kind, settings), settings)
        for kind in {question.type for question in questions}
    }
    return np.array([back_of[question.type] for question in questions])


def _where_not_fixed(
    questions: Sequence[Question],
    view: outlook.Outlook,
    fix: Array,
    sale: Array,
    numbers: Saved,
    settings: Settings,
    as_of: date,
) -> tuple[tuple[ways.Exit, ...], ways.Left]:
    """(every way out of a unit that is not fixed, the best of them). fix, sale: by case."""
    worked = np.bincount(view.owner, view.chance * fix, len(questions))
    sold = np.bincount(view.owner, view.chance * fix * sale, len(questions))
    verdicts = [cautions.verdict_of(one, cautions.BENCH, settings, as_of) for one in questions]
    ends = ways.exits(
        [one.type for one in questions], sold / np.maximum(worked, 1e-9), numbers.repair, settings
    )
    as_is = np.array([one.as_is for one in verdicts])
    return ends, ways.best(ends, as_is, settings.hour_worth)


def _law_once_fixed(
    view: outlook.Outlook, units: Units, numbers: Saved, as_of: date
) -> price.PriceLaw:
    """Price law of each candidate repair; each (unit, repair) is read once."""
    pairs: dict[tuple[int, str], int] = {}
    each = zip(view.owner.tolist(), view.repair, strict=True)
    at = [pairs.setdefault(one, len(pairs)) for one in each]
    many = units.take(np.array([i for i, _ in pairs], dtype=np.int64))
    many = many.replaced(repair=Coded.of([name for _, name in pairs]))
    law = price.law(numbers.price, many, float(as_of.toordinal() + DAYS_AHEAD))
    return law.take(np.array(at, dtype=np.int64))


def _barred(questions: Sequence[Question], settings: Settings, as_of: date) -> Array:
    call = [cautions.verdict_of(one, cautions.CALL, settings, as_of) for one in questions]
    return np.array([verdict.decision != "" for verdict in call], dtype=bool)


def worth(at: Stakes, settings: Settings) -> Worth:
    """Expected money, hours and worth of each case."""
    sums = [at.total(one) for one in offer_sums.as_done(at, at.left)]
    still = [trip.still(one.at_curb) for trip, one in zip(at.trips, at.questions, strict=True)]
    goes, trip = at.total(at.goes), np.array(still).reshape(-1, 2).T
    pays = at.total(offer_sums.ended(at, at.left[0])[0]) >= at.if_not
    return Worth(**offer_sums.worth(sums, goes, pays, trip, at.barred, settings.hour_worth))


def limits(
    questions: Sequence[Question],
    numbers: Saved,
    settings: Settings,
    as_of: date,
    plans: Sequence[ByPlan],
) -> Array:
    """The most to pay for each question, (n,): the mean over the ages it may have."""
    owner, ages = cases_of(questions, as_of)
    if not owner:
        return np.zeros(0)
    each = [questions[i] for i in owner]
    at = stakes(each, ages, numbers, settings, as_of, of_cases(plans, owner))
    count = np.bincount(owner, minlength=len(questions))
    return np.bincount(owner, worth(at, settings).worth, len(questions)) / count


def of_cases(plans: Sequence[ByPlan], owner: Sequence[int]) -> list[ByPlan]:
    """What each case comes to once fixed, the cases of a question in the order of its ages."""
    first: dict[int, int] = {}
    return [plans[i].at(k - first.setdefault(i, k)) for k, i in enumerate(owner)]


def cases_of(questions: Sequence[Question], as_of: date) -> tuple[list[int], list[float | None]]:
    """The cases of many questions: place of the question, and one of the ages it may have."""
    owner, ages = [], []
    for place, question in enumerate(questions):
        for age in question.ages(as_of):
            owner.append(place)
            ages.append(age)
    return owner, ages
