"""Rules worth taking over, searched on the record and judged on the months after the search.

A rule before the drive (type, age, distance) saves the whole unit: its worth is what the unit
brought less the person's hour for its hours. A rule on the bench (a finding, and what the unit
would bring) saves what comes after it was found: the sale, its costs, the parts and the bench and
selling hours; what such units bring as they are (the usual of those that were parted or scrapped)
comes off. What a unit would bring is taken as the usual sale of its type before it was got.

The search is that of `standouts`: worths shuffled over the units, one false in ten. What a rule
will save is drawn: so many units as the record's rate gives (Poisson), each worth the rule's mean
after all rules have lent each other strength (`best.pool`), with the scatter of single units.
"""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy import ndarray as Array

from pricing.basis.frozen import frozen
from pricing.basis.rules import StopRule
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.quarter.best import pool, shared_variance
from pricing.quarter.groups import round_number
from pricing.quarter.money import Books
from pricing.quarter.standouts import Key, same, told, years_of

AGES = (6.0, 8.0, 10.0, 12.0, 15.0)
MILES = (8.0, 10.0, 12.0, 15.0, 20.0)
LEAST_UNITS, LEAST_RECORD = 5, 30
SEARCHED = 2 / 3  # of the record's units; the months after judge
MOST_RULES = 5
MOST_UNITS = 3_000  # the newest ones


@frozen
class Saving:
    """What a rule saves a year: worth in money and hours, with low and high; n: units refused."""

    n: float
    money: float
    hours: float
    worth: float
    low: float
    high: float


@frozen
class Proposal:
    """A rule worth taking over. a_year: by the whole record; judged: found on the earlier part
    alone, what it promised for the months after and would have saved; n: units behind it."""

    rule: StopRule
    words: str
    n: int
    a_year: Saving
    promised: Saving | None
    saved: float | None
    months: int


@frozen
class Did:
    """What a rule did since it was taken over: units a year before, and since, with their sums."""

    rule: StopRule
    words: str
    before: float
    n: int
    money: float
    hours: float


@frozen
class StopRules:
    """own: the rules in force with what they did; proposed: rules worth taking over."""

    own: tuple[Did, ...]
    proposed: tuple[Proposal, ...]


@frozen
class _Table:
    """Counted units by the day they were got. door, bench: (n,) worth of the whole unit, and of
    what comes after the finding; money, hours: of both, (n, 2); price: what it would bring; years:
    that they ended in, by which the first page counts too."""

    units: Units
    got: Array
    door: Array
    bench: Array
    money: Array
    hours: Array
    price: Array
    years: float


def proposals(books: Books, settings: Settings, seed: int = 0) -> tuple[Proposal, ...]:
    """Rules worth taking over, the one that saves most a year first."""
    table = _table(books, settings)
    n = len(table.got)
    if n < LEAST_RECORD:
        return ()
    cut = round(SEARCHED * n)
    # Rows stand by the day they were got, so that the judged ones lie after all searched ones.
    early = np.arange(n) < cut
    later = float(table.got[-1] - table.got[cut]) / 365.25
    found = search(table, np.ones(n, dtype=bool), table.years, settings, seed)
    before = dict(search(table, early, years_of(table.got[:cut]), settings, seed, later))
    out = []
    for rule, saving in found:
        mask = masks_of(table, [rule])[rule]
        stage = 1 if rule.found else 0
        worth = (table.bench if stage else table.door)[mask & ~early]
        promised = before.get(rule)
        came = None if promised is None else -float(worth.sum())
        told_of = (saving, promised, came, round(12 * later))
        out.append(Proposal(rule, rule.words, int(mask.sum()), *told_of))
    return tuple(out)


def search(
    table: _Table, rows: Array, years: float, settings: Settings, seed: int = 0, ahead: float = 1.0
) -> list[tuple[StopRule, Saving]]:
    """Rules told from chance on some rows, with what each will save in `ahead` years."""
    masks = {
        rule: mask & rows
        for rule, mask in masks_of(table, candidates(table, rows)).items()
        if (mask & rows).sum() >= LEAST_UNITS
    }
    found: list[tuple[StopRule, Saving]] = []
    for stage, worth in ((0, table.door), (1, table.bench)):
        some = {rule: mask[rows] for rule, mask in masks.items() if bool(rule.found) == bool(stage)}
        numbered = enumerate(some.values())
        keys: dict[Key, Array] = {((), str(place)): mask for place, mask in numbered}
        low, _ = told(worth[rows], keys, np.ones(int(rows.sum()), dtype=bool), seed)
        rules = list(some)
        named = [rules[int(key[1])] for key in low]
        found += _savings(table, masks, list(some), named, stage, settings, (years, ahead, seed))
    found.sort(key=lambda pair: -pair[1].worth)
    kept: list[tuple[StopRule, Saving]] = []
    for rule, saving in found:
        worth = table.bench if rule.found else table.door
        if saving.low > 0 and not any(same(masks[rule], masks[other], worth) for other, _ in kept):
            kept.append((rule, saving))
    return kept[:MOST_RULES]


def _savings(
    table: _Table,
    masks: Mapping[StopRule, Array],
    rules: Sequence[StopRule],
    named: Sequence[StopRule],
    stage: int,
    settings: Settings,
    time: tuple[float, float, int],
) -> list[tuple[StopRule, Saving]]:
    """What each of the named rules will save, drawn from all of its stage pooled."""
    years, ahead, seed = time
    if not named:
        return []
    worth = table.bench if stage else table.door
    groups = [worth[masks[rule]] for rule in rules]
    n = np.array([len(group) for group in groups], dtype=float)
    value = np.array([group.mean() for group in groups])
    own = np.array([group.var(ddof=1) for group in groups])
    scale = max(float(worth.std()), 1e-9)
    variance = np.maximum(shared_variance(own, n, value, scale, scale**2), (1e-6 * scale) ** 2)
    draws = pool(value, variance, n, scale=scale, target=0.0, seed=seed).draws
    rng = np.random.default_rng(seed)
    out = []
    for rule in named:
        place = rules.index(rule)
        # The rate itself is known from n units only: gamma, as after a flat prior on its root.
        units = rng.poisson(rng.gamma(n[place] + 0.5, ahead / years, len(draws)))
        scatter = rng.normal(size=len(draws)) * np.sqrt(variance[place] * units)
        saved = -(units * draws[:, place] + scatter)
        edges = (0.5 - settings.coverage / 2, 0.5 + settings.coverage / 2)
        low, high = np.quantile(saved, edges)
        mask, share = masks[rule], ahead / years
        money, hours = -table.money[mask, stage].sum(), table.hours[mask, stage].sum()
        so_far = (float(n[place]) * share, float(money) * share, float(hours) * share)
        out.append((rule, Saving(*so_far, float(np.mean(saved)), float(low), float(high))))
    return out


def candidates(table: _Table, rows: Array) -> list[StopRule]:
    """All rules that are looked at."""
    told_of = (table.units.word(name).take(rows).texts() for name in ("type", "found"))
    types, found = ([word for word in dict.fromkeys(texts) if word] for texts in told_of)
    types.insert(0, "")
    prices = table.price[rows & np.isfinite(table.price)]
    quarters = np.quantile(prices, (0.25, 0.5, 0.75)).tolist() if len(prices) else []
    edges = sorted(set(map(round_number, quarters)))
    rules = [StopRule(type=word) for word in types if word]
    rules += [StopRule(type=word, over_miles=edge) for word in types for edge in MILES]
    rules += [StopRule(type=word, over_age=edge) for word in types for edge in AGES]
    return rules + [StopRule(found=word, under=edge) for word in found for edge in (None, *edges)]


def masks_of(table: _Table, rules: Sequence[StopRule]) -> dict[StopRule, Array]:
    """Which units each rule would have refused, (n,) bool each."""
    number, word = table.units.number, table.units.word
    out = {}
    for rule in rules:
        mask = np.ones(len(table.got), dtype=bool)
        for name, wanted in (("type", rule.type), ("found", rule.found)):
            if wanted:
                mask &= word(name).lookup([wanted]) == 0
        with np.errstate(invalid="ignore"):
            if rule.under is not None:
                mask &= table.price < rule.under
            if rule.over_miles is not None:
                mask &= number("miles") >= rule.over_miles
            if rule.over_age is not None:
                mask &= number("age") >= rule.over_age
        out[rule] = mask
    return out


def did(books: Books, settings: Settings, rules: Sequence[StopRule]) -> tuple[Did, ...]:
    """What each rule did since it was taken over."""
    if not rules:
        return ()
    table = _table(books, settings)
    out = []
    for rule, mask in masks_of(table, rules).items():
        stage = 1 if rule.found else 0
        since = table.got >= rule.since
        rows = mask & since
        years = max((rule.since - float(table.got[0])) / 365.25, 0.25) if len(table.got) else 1.0
        before, n = float((mask & ~since).sum()) / years, int(rows.sum())
        sums = (float(table.money[rows, stage].sum()), float(table.hours[rows, stage].sum()))
        out.append(Did(rule, rule.words, before, n, *sums))
    return tuple(out)


def _table(books: Books, settings: Settings) -> _Table:
    """The units that rules are searched on, by the day they were got."""
    got = books.units.number("got")
    rows = np.flatnonzero(books.counted & np.isfinite(got))
    rows = rows[np.argsort(got[rows], kind="stable")][-MOST_UNITS:]
    units, money, hours = books.units.take(rows), books.money, books.hours
    after = sum(money(name) for name in ("price", "salvage", "delivery")) - sum(
        money(name) for name in ("fees", "refund", "parts", "comebacks")
    )
    # What a unit brings that is not repaired comes off what a rule on the bench saves.
    as_is = np.where(books.failed, money("salvage"), np.nan)[rows]
    usual = float(np.nanmedian(as_is)) if np.isfinite(as_is).any() else 0.0
    bench_hours = sum(hours[task] for task in ("repair", "clean", "sell", "not split", "comebacks"))
    both = np.column_stack([books.profit[rows], np.asarray(after)[rows] - usual])
    worked = np.column_stack([books.worked[rows], np.asarray(bench_hours)[rows]])
    worth = both - settings.hourly_target * worked
    price = _would_bring(units, got[rows], books.sold[rows], books.day[rows])
    years = years_of(books.day[rows])
    return _Table(units, got[rows], worth[:, 0], worth[:, 1], both, worked, price, years)


def _would_bring(units: Units, got: Array, sold: Array, day: Array) -> Array:
    """The usual sale of the type before each unit was got, NaN where there is none, (n,)."""
    price, codes = units.number("price"), units.word("type").codes
    out = np.full(units.n, np.nan)
    for code in np.unique(codes[codes >= 0]).tolist():
        sales = np.flatnonzero((codes == code) & sold & (price > 0))
        sales = sales[np.argsort(day[sales], kind="stable")]
        for row in np.flatnonzero(codes == code).tolist():
            known = sales[: int(np.searchsorted(day[sales], got[row]))]
            # One sale says little of a type; blank meets no rule.
            if len(known) >= 2:
                out[row] = float(np.median(price[known]))
    return out
