"""Learn from sold units how units are read: levels, knots, starting figures, which products occur. numpy only.

One pass over the units counts words, numbers, days and ages, and keeps the sales with the smallest hash of what they say: all of them
up to SAMPLE, a fair sample beyond. Everything else is learned from that sample, so that nothing depends on the order of the rows.
"""

from __future__ import annotations

import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from pricing.model import ages, encode
from pricing.model.ages import AgeTable
from pricing.model.encode import Block, Encoding, Margin, Smooth, TypePrior
from pricing.records import assumed
from pricing.records.columns import CONDITIONS
from pricing.records.settings import Settings
from pricing.records.units import Coded, Units
from pricing.records.words import family_of

SAMPLE, SMOOTHED = 20_000, 500  # sales kept from the pass; of these, those that landmarks are chosen from
LANDMARKS, MOST_LEVELS, MOST_PAIRS = 64, 150, 150
MOST_TELLING = 8  # margins of own attributes of which products are formed
LEVEL_SD, LOOSE_SD = 0.30, 3.0  # of the general price level: where starting prices are given, and where not
AGE_BENDS, AGE_JUMPS = (2.0, 5.0, 8.0, 11.0, 15.0), tuple(float(a) for a in range(2, 19))
TAU, LOOSE_TAU = 0.4, 1.0  # sd of ln scale: labelled scales, and scales of the person's own attributes

READ_NUMBERS = ("price", "sold", "listed", "got", "age", "size")
READ_WORDS = ("type", "maker", "tier", "features", "fuel", "finish", "condition", "repair", "sold_where", "outcome")
LISTED = ("features", "repair")

Batches = Iterable[Units]


@dataclass
class Seen:
    """What one pass over the units found. words: how many sold units say each word; numbers: lowest and highest of each number;
    sample: the sold units with the smallest hashes, in their order, with their days."""

    n: int = 0
    n_all: int = 0
    words: dict[str, Counter[str]] = field(default_factory=dict)
    blanks: Counter[str] = field(default_factory=Counter)
    numbers: dict[str, list[float]] = field(default_factory=dict)
    first_day: float = np.inf
    last_day: float = -np.inf
    ages: AgeTable | None = None
    hashes: np.ndarray = field(default_factory=lambda: np.zeros(0, dtype=np.uint64))
    sample: Units = field(default_factory=lambda: Units(0, {}, {}))
    sample_days: np.ndarray = field(default_factory=lambda: np.zeros(0))
    log_sum: float = 0.0
    log_square: float = 0.0


def sold_rows(units: Units, as_of: date) -> tuple[np.ndarray, np.ndarray]:
    """Rows that are sales by `as_of`, and their days. A sale has a price above 0, and the outcome sold, or none but a day it was sold.

    The day is the day sold, else listed, else got, else `as_of`; a table without a sold column holds sales only.
    """
    end = float(as_of.toordinal())
    price, sold = units.number("price"), units.number("sold")
    outcome = units.word("outcome").lookup(("sold",))
    blank = units.word("outcome").codes < 0
    dated = np.isfinite(sold) | ("sold" not in units.numbers)
    day = sold
    for other in ("listed", "got"):
        day = np.where(np.isfinite(day), day, units.number(other))
    day = np.where(np.isfinite(day), day, end)
    with np.errstate(invalid="ignore"):
        rows = np.flatnonzero((price > 0) & np.isfinite(price) & ((outcome == 0) | (blank & dated)) & (day <= end))
    return rows, day[rows]


def sales(batches: Batches, as_of: date) -> Iterator[tuple[Units, np.ndarray]]:
    """The sold units of each block with their days."""
    for units in batches:
        rows, days = sold_rows(units, as_of)
        yield units.take(rows), days


def look(batches: Batches, settings: Settings, as_of: date) -> Seen:
    """The one pass. Complexity O(rows), memory O(levels + SAMPLE)."""
    seen = Seen()
    for units in batches:
        _look_at(seen, units, settings, as_of)
    return seen


def _look_at(seen: Seen, units: Units, settings: Settings, as_of: date) -> None:
    seen.n_all += units.n
    types = units.word("type")
    family = encode.mapped(types, [family_of(level, settings) for level in types.levels])
    seen.ages = ages.count(units, family, start=True, before=seen.ages)
    rows, days = sold_rows(units, as_of)
    read = {*READ_NUMBERS, *READ_WORDS, *settings.attributes}
    sold = Units(units.n, {k: v for k, v in units.numbers.items() if k in read}, {k: v for k, v in units.words.items() if k in read}).take(rows)
    seen.n += sold.n
    if not sold.n:
        return
    logs = np.log(sold.number("price"))
    seen.log_sum += float(logs.sum())
    seen.log_square += float((logs**2).sum())
    seen.first_day, seen.last_day = min(seen.first_day, float(days.min())), max(seen.last_day, float(days.max()))
    for name, column in sold.words.items():
        counts = np.bincount(column.codes[column.codes >= 0], minlength=len(column.levels))
        seen.blanks[name] += int((column.codes < 0).sum())
        found = seen.words.setdefault(name, Counter())
        for level, times in zip(column.levels, counts.tolist(), strict=True):
            for word in dict.fromkeys(part.strip() for part in level.split(";")) if name in LISTED else (level,):
                if word and times:
                    found[word] += times
    for name, values in sold.numbers.items():
        good = values[np.isfinite(values)]
        if len(good):
            low, high = seen.numbers.get(name, [np.inf, -np.inf])
            seen.numbers[name] = [min(low, float(good.min())), max(high, float(good.max()))]
    _keep_sample(seen, sold, days)


def _keep_sample(seen: Seen, sold: Units, days: np.ndarray) -> None:
    fresh = row_hashes(sold)
    if len(seen.hashes) == SAMPLE:
        below = np.flatnonzero(fresh <= seen.hashes[-1])
        fresh, sold, days = fresh[below], sold.take(below), days[below]
    hashes = np.concatenate([seen.hashes, fresh])
    both = joined([seen.sample, sold])
    order = np.lexsort((both.number("price"), hashes))[:SAMPLE]
    seen.hashes, seen.sample, seen.sample_days = hashes[order], both.take(order), np.concatenate([seen.sample_days, days])[order]


def row_hashes(units: Units) -> np.ndarray:
    """A 64-bit hash of what each row says but for its price, the same in every order of rows and columns, shape (n,). Blank columns do not count.

    Without the price, so that sales in another currency are taken in the same order.
    """
    total = np.zeros(units.n, dtype=np.uint64)
    with np.errstate(over="ignore"):
        for name in sorted(set(units.numbers) - {"price"}):
            value = units.numbers[name] + 0.0
            seed = np.uint64(zlib.crc32(name.encode()) * 2 + 1)
            total += np.where(np.isnan(value), np.uint64(0), _mix(value.view(np.uint64) * seed + seed))
        for name in sorted(units.words):
            column = units.words[name]
            table = np.array([*(zlib.crc32(f"{name}={level}".encode()) + 1 for level in column.levels), 0], dtype=np.uint64)
            total += np.where(column.codes < 0, np.uint64(0), _mix(table[column.codes]))
    return total


def _mix(x: np.ndarray) -> np.ndarray:
    """splitmix64 (Steele, Lea, Flood 2014)."""
    x = x + np.uint64(0x9E3779B97F4A7C15)
    x = (x ^ (x >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    x = (x ^ (x >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return x ^ (x >> np.uint64(31))


def joined(parts: list[Units]) -> Units:
    """Units one below the other; a column that a part lacks is blank there."""
    parts = [part for part in parts if part.n] or parts[:1]
    if len(parts) == 1:
        return parts[0]
    number_names = sorted({name for part in parts for name in part.numbers})
    word_names = sorted({name for part in parts for name in part.words})
    words = {}
    for name in word_names:
        levels = tuple(sorted({level for part in parts for level in part.word(name).levels}))
        place = {level: index for index, level in enumerate(levels)}
        tables = [np.array([*(place[level] for level in part.word(name).levels), -1], dtype=np.int32) for part in parts]
        words[name] = Coded(np.concatenate([table[part.word(name).codes] for table, part in zip(tables, parts, strict=True)]), levels)
    return Units(sum(part.n for part in parts), {name: np.concatenate([part.number(name) for part in parts]) for name in number_names}, words)


# ---- starting figures ----------------------------------------------------------------------------------------------------


def type_priors(seen: Seen, settings: Settings, use_assumed: bool) -> tuple[dict[str, TypePrior], TypePrior, dict[str, float]]:
    """Starting figures by type, for a type nobody named, and what the person's usual prices say beyond the common ratio ("anchor").

    Prices the person told move the prices of the other types by their common ratio: who sells washers at twice our figure sells dryers so too.
    """
    words = sorted(seen.words.get("type", {}))
    if not use_assumed:
        return {word: TypePrior("", 0.0, 0.0, 1.0) for word in words}, TypePrior("", 0.0, 0.0, 1.0), {}
    table = assumed.assumed_types(settings)
    plain = assumed.assumed_types(replace(settings, usual_price={}))
    told = {name: np.log(price) - np.log(plain[name].price if name in plain else assumed.GENERIC_TYPE.price) for name, price in settings.usual_price.items()}
    ratio = float(np.mean(list(told.values()))) if told else 0.0
    priors = {}
    for word in sorted({*table, *words}):
        row = table.get(word, assumed.GENERIC_TYPE)
        family = row.family if word in table else family_of(word, settings)
        moved = 0.0 if word in told else ratio
        priors[word] = TypePrior(family, float(np.log(row.price) + moved), row.slope_5y, _doubt(row))
    other = assumed.GENERIC_TYPE
    anchors = {name: float(value - ratio) for name, value in told.items() if abs(value - ratio) > 1e-12}
    return priors, TypePrior("other", float(np.log(other.price) + ratio), other.slope_5y, 1.0), anchors


def _doubt(row: assumed.AssumedType) -> float:
    """How unsure the starting price is, so that with no sale four in five lie about between its low and high.

    Half of ln(high / low) is 1.2816 sd; less the unit's own spread of about .2, over the sds of family and type.
    """
    total = (np.log(row.high / row.low) / 2 / 1.2816) ** 2
    return float(np.clip(np.sqrt(max(total - 0.2**2, 0.0) / (0.35**2 + 0.25**2)), 0.6, 1.5))


# ---- margins and blocks --------------------------------------------------------------------------------------------------


@dataclass
class _Plan:
    """Margins and blocks as they are laid out. loose: no starting assumptions, all scales times `wide` and free.

    own: columns of ours that the person declared as attributes of their own; the blocks we would make of them are left out.
    """

    margins: list[Margin]
    blocks: list[Block]
    loose: bool
    wide: float
    own: frozenset[str]

    def margin(self, column: str, kind: str, labels: tuple[str, ...], values: tuple[float, ...] = ()) -> int:
        self.margins.append(Margin(column, kind, labels, values))
        return len(self.margins) - 1

    def block(self, name: str, term: str, left: int, scale: float, right: int = 0, mean: np.ndarray | None = None, tau: float = TAU, width: int | None = None) -> None:
        """Add a block; the pairs of a product are filled in later (`_products`)."""
        if self.own & {self.margins[left].column, self.margins[right].column}:
            return
        k = encode._margin_width(self.margins[left]) if width is None else width
        pairs = np.column_stack([np.arange(k), np.zeros(k, dtype=int)]) if right == 0 else np.zeros((0, 2), dtype=int)
        scale, tau = (scale * self.wide, LOOSE_TAU if tau else 0.0) if self.loose else (scale, tau)
        self.blocks.append(Block(name, term, left, right, pairs, np.zeros(k) if mean is None else mean, scale, tau))


def learn(batches: Batches, settings: Settings, as_of: date, *, use_assumed: bool = True, interactions: bool = True) -> tuple[Encoding, Seen]:
    """The encoding of all units in `batches`, and what the pass over them found."""
    seen = look(batches, settings, as_of)
    types, other, anchors = type_priors(seen, settings, use_assumed)
    sd = np.sqrt(max(seen.log_square / seen.n - (seen.log_sum / seen.n) ** 2, 0.0)) if seen.n > 1 else 0.0
    own = frozenset(settings.attributes) | (frozenset(("family",)) if "type" in settings.attributes else frozenset())
    plan = _Plan([], [], not use_assumed, float(np.clip(sd / 0.4, 0.25, 5.0)) if sd > 0 else 1.0, own)
    last_day = seen.last_day if seen.n else float(as_of.toordinal())
    table = replace(seen.ages or ages.count(Units(0, {}, {}), Coded.of([]), True), start=use_assumed)
    bare = Encoding((), (), None, types, other, table, last_day, (), np.zeros(0), np.zeros(0))
    _lay_out(plan, seen, settings, bare, anchors, interactions)
    spread, spread_mean, spread_sd = _spread(plan)
    encoding = replace(bare, margins=tuple(plan.margins), blocks=tuple(plan.blocks), spread_margins=spread, spread_mean=spread_mean, spread_sd=spread_sd)
    if interactions:
        encoding = _with_smooth(encoding, seen, plan)
    return _products(encoding, seen), seen


def _levels(seen: Seen, column: str, most: int | None = None) -> tuple[str, ...]:
    """The levels kept: all, or the most frequent; a blank is a level where some sold units say it and some do not."""
    counts = seen.words.get(column, Counter())
    kept = sorted(sorted(counts, key=lambda word: (-counts[word], word))[: most or MOST_LEVELS])
    if kept and seen.blanks[column] > 0 and column not in ("type",):
        kept.append("")
    return tuple(kept)


def _lay_out(plan: _Plan, seen: Seen, settings: Settings, bare: Encoding, anchors: Mapping[str, float], interactions: bool) -> None:
    one = plan.margin("", "one", ("level",))
    plan.block("level", "level", one, LOOSE_SD if plan.loose else LEVEL_SD, tau=0.0)
    family_names = tuple(sorted({bare.types[word].family for word in seen.words.get("type", {}) if bare.types[word].family}))
    family = plan.margin("family", "word" if plan.loose else "doubt", family_names)
    type_names = _levels(seen, "type")
    type_ = plan.margin("type", "word" if plan.loose else "doubt", type_names)
    flat_family, flat_type = plan.margin("family", "word", family_names), plan.margin("type", "word", type_names)
    plan.block("family", "type", family, 0.35)
    plan.block("type", "type", type_, 0.25)
    tiers = _levels(seen, "tier")
    tier = plan.margin("tier", "word", tiers)
    if tiers:
        plan.block("tier", "maker", tier, 0.15, mean=np.array([0.0 if plan.loose else assumed.TIER_EFFECT.get(t, 0.0) for t in tiers]))
    maker = plan.margin("maker", "word", _levels(seen, "maker"))
    plan.block("maker", "maker", maker, 0.10 if tiers else 0.23)  # without a tier the maker carries it: .10, .15 and the tiers' own sd of .145
    has_age = "age" not in plan.own and (not plan.loose or bool(bare.ages.counts.any()))
    line = plan.margin("age", "age line", ("age",)) if has_age else -1
    if has_age:
        bend, hinges = plan.margin("age", "age bend", ("early loss",)), plan.margin("age", "age hinges", tuple(f"age above {a:g}" for a in AGE_BENDS), AGE_BENDS)
        steps, blank = plan.margin("age", "age steps", tuple(f"age {a:g}" for a in AGE_JUMPS), AGE_JUMPS), plan.margin("age", "blank", ("age not known",))
        plan.block("age", "age", line, 0.15, tau=0.0 if not plan.loose else TAU)
        plan.block("age bend", "age", bend, 0.15)
        since_new = plan.margin("age", "age since new", ("age",))
        plan.block("age hinges", "age", hinges, 0.06)
        plan.block("age steps", "age", steps, 0.04)
        plan.block("age x family", "age", since_new, 0.08, right=flat_family)
        plan.block("age x type", "age", since_new, 0.08, right=flat_type)
        plan.block("age not known", "age not known", blank, 0.10, tau=0.0)
    grades = tuple(CONDITIONS)
    if seen.words.get("condition") or not plan.loose:
        effects = np.array([assumed.CONDITION_EFFECT[g] for g in CONDITIONS])
        usual = _usual_steps(seen)
        condition = plan.margin("condition", "steps", grades, usual)
        grade = plan.margin("condition", "grade", ("grade",))
        plan.block("condition", "condition", condition, 0.10, mean=np.zeros(3) if plan.loose else np.diff(effects))
        plan.block("condition x family", "condition", grade, 0.05, right=flat_family)
    names = tuple(word for word in _levels(seen, "features") if word)
    features = plan.margin("features", "words", names, tuple(_share(seen, "features", word) for word in names))
    plan.block("features", "features", features, 0.08, mean=np.array([0.0 if plan.loose else assumed.FEATURE_EFFECT.get(f, assumed.OTHER_FEATURE_EFFECT) for f in names]))
    for column, scale in (("fuel", 0.08), ("finish", 0.06), ("sold_where", 0.06)):
        if seen.words.get(column):
            labels = _levels(seen, column)
            mean = np.array([assumed.FEATURE_EFFECT.get(word, 0.0) if column == "finish" and not plan.loose else 0.0 for word in labels])
            plan.block(column, column, plan.margin(column, "word", labels), scale, mean=mean)
    repairs = tuple(word for word in _levels(seen, "repair") if word)
    repair = plan.margin("repair", "words", repairs, (0.0,) * len(repairs))
    plan.block("repair", "repair", repair, 0.06)
    if "size" in seen.numbers and "size" not in plan.own:
        size = plan.margin("size", "number", ("size",), _number_values(seen, "size", False))
        plan.block("size", "size", size, 0.08)
        plan.block("size x type", "size", size, 0.05, right=flat_type)
    _lay_out_time(plan, seen, flat_family)
    if anchors:
        told = tuple(sorted(anchors))
        plan.block("usual price", "usual price", plan.margin("type", "anchor", told, tuple(anchors[name] for name in told)), 0.25, tau=0.0)
    if interactions:
        if has_age:
            plan.block("age x maker", "maker", since_new, 0.06 if tiers else 0.08, right=maker)
            plan.block("age x features", "features", line, 0.05, right=features)
            if tiers:
                plan.block("age x tier", "maker", line, 0.06, right=tier)
        plan.block("features x family", "features", features, 0.05, right=flat_family)
        plan.block("maker x family", "maker", maker, 0.05, right=flat_family)
        plan.block("maker x type", "maker", maker, 0.05, right=flat_type)
        fuels = next((i for i, m in enumerate(plan.margins) if m.column == "fuel"), None)
        if fuels is not None and "fuel" not in plan.own:
            plan.block("fuel x type", "fuel", fuels, 0.07, right=flat_type)
    ours = [margin for margin in (flat_type, maker, *(i for i, m in enumerate(plan.margins) if m.column in ("fuel", "finish"))) if plan.margins[margin].labels]
    ours = [margin for margin in ours if plan.margins[margin].column not in plan.own]
    plan.own = frozenset()
    _lay_out_own(plan, seen, settings, ours, line, interactions)


def _share(seen: Seen, column: str, word: str) -> float:
    """Share of sold units that say the word: the starting price of a type is that of a unit with the usual features."""
    return round(seen.words[column][word] / (seen.n + 2.0), 6)


def _usual_steps(seen: Seen) -> tuple[float, ...]:
    """Share of sold units at or above each grade but the lowest, with two units of each grade added: what a blank grade is taken for."""
    counts = np.array([seen.words.get("condition", Counter())[grade] + 2.0 for grade in CONDITIONS])
    return tuple((np.cumsum(counts[::-1])[::-1] / counts.sum())[1:].tolist())


def _lay_out_time(plan: _Plan, seen: Seen, family: int) -> None:
    if not seen.n or "sold" not in seen.numbers:
        return
    months = (seen.last_day - seen.first_day) / encode.DAYS_A_MONTH
    edges = walk_edges(months)
    walk, trend, season = plan.margin("sold", "walk", tuple(f"{e:g} months ago" for e in edges[1:]), edges), plan.margin("sold", "trend", ("year",)), plan.margin("sold", "season", ("cos", "sin"))
    plan.block("level over time", "prices lately", walk, 0.015)
    plan.block("trend", "prices lately", trend, 0.05, tau=0.0)
    plan.block("season", "season", season, 0.04)
    if plan.margins[family].labels:
        plan.block("season x family", "season", season, 0.04, right=family)


def walk_edges(months: float) -> tuple[float, ...]:
    """Months back at which the level may have moved: monthly for two years, then by quarters to eight, then by years, at least one step.

    >>> len(walk_edges(3)), len(walk_edges(360))
    (5, 72)
    """
    edges = [0.0]
    while edges[-1] <= months and len(edges) < 120:
        edges.append(edges[-1] + (1 if edges[-1] < 24 else 3 if edges[-1] < 96 else 12))
    return tuple(edges)


def _number_values(seen: Seen, name: str, log: bool, quantiles: tuple[float, ...] = ()) -> tuple[float, ...]:
    """Centre, spread, lowest, highest and knots of a number, from the sample; ends from all rows."""
    ends = np.array(seen.numbers[name])
    values = seen.sample.number(name)
    values = values[np.isfinite(values)]
    with np.errstate(invalid="ignore", divide="ignore"):
        if log:
            values, ends = np.log(values), np.log(ends)
    values = values[np.isfinite(values)]
    if not len(values):
        return (0.0, 1.0, 0.0, 0.0, *([0.0] if quantiles else []))
    low, high = (float(e) if np.isfinite(e) else float(v) for e, v in zip(ends, (values.min(), values.max()), strict=True))
    centre, spread = float(np.median(values)), float(values.std())
    spread = spread if spread > 1e-9 * max(1.0, abs(centre)) else 1.0
    knots = np.unique(np.round((np.quantile(values, quantiles) - centre) / spread, 6)).tolist() if quantiles else []
    width = high - low
    return (centre, spread, low - 0.25 * width, high + 0.25 * width, *knots)


def _lay_out_own(plan: _Plan, seen: Seen, settings: Settings, ours: list[int], line: int, interactions: bool) -> None:
    """The person's own attributes: lines and hinges of numbers, levels of categories, steps of ordered ones, and products of each two.

    ours, line: margins of our own columns that stand for categories, and the line of age (-1: none); products with them are made too.
    """
    lines, words = ([line] if line >= 0 and plan.loose else []), list(ours if plan.loose else ours[:1])
    scale = 0.25 if plan.loose else 0.10
    for name, kind in sorted(settings.attributes.items()):
        if kind in ("number", "log") and name in seen.numbers:
            log = kind == "log" and seen.numbers[name][0] > 0
            label = (f"ln {name}" if log else name,)
            number = plan.margin(name, "number", label, _number_values(seen, name, log))
            plan.block(name, name, number, scale, tau=LOOSE_TAU)
            bends = _number_values(seen, name, log, (0.1, 0.3, 0.5, 0.7, 0.9))
            if len(bends) > 6:  # three knots and more: a number of two values has no bend
                plan.block(f"{name} bends", name, plan.margin(name, "hinges", label, bends), scale * 0.4, tau=LOOSE_TAU)
            lines.append(number)
        elif kind == "ordered" and seen.words.get(name):
            labels = tuple(sorted(seen.words[name], key=_natural))
            if len(labels) > 1:
                plan.block(name, name, plan.margin(name, "steps", labels, (0.5,) * (len(labels) - 1)), scale, tau=LOOSE_TAU)
        elif kind == "category" and seen.words.get(name):
            word = plan.margin(name, "word", _levels(seen, name, 100))
            plan.block(name, name, word, scale, tau=LOOSE_TAU)
            words.append(word)
    if not interactions:
        return
    telling = _telling(plan, seen, [*lines, *words])
    lines, words = [i for i in lines if i in telling], [i for i in words if i in telling]
    pairs = [(a, b) for a in lines for b in words] + [(a, b) for i, a in enumerate(words) for b in words[i + 1 :]]
    for first, second in pairs:
        left, right = plan.margins[first], plan.margins[second]
        if left.column in settings.attributes or right.column in settings.attributes:
            term = right.column if left.kind == "word" else left.column
            plan.block(f"{left.column} x {right.column}", term, first, scale * 0.3, right=second, tau=LOOSE_TAU)


def _telling(plan: _Plan, seen: Seen, margins: list[int]) -> set[int]:
    """The margins that by themselves explain most of ln price in the sample: products of the others are not worth their columns."""
    if len(margins) <= MOST_TELLING:
        return set(margins)
    y = np.log(seen.sample.number("price"))
    y = y - y.mean()
    square = max(float(y @ y), 1e-12)
    shares = []
    for index in margins:
        margin = plan.margins[index]
        if margin.kind == "word":
            codes = seen.sample.word(margin.column).lookup(margin.labels) + 1
            counts = np.bincount(codes)
            means = np.bincount(codes, weights=y) / np.maximum(counts, 1)
            free = len(y) - int((counts > 0).sum())
            share = 1 - float(((y - means[codes]) ** 2).sum()) / square * (len(y) - 1) / free if free > 0 else 0.0
        else:
            x = seen.sample.number(margin.column)
            x = np.where(np.isfinite(x), x - x[np.isfinite(x)].mean(), 0.0) if np.isfinite(x).any() else np.zeros(len(y))
            share = float(x @ y) ** 2 / max(float(x @ x) * square, 1e-300)
        shares.append(round(share, 9))  # a last bit must not decide between two
    best = sorted(range(len(margins)), key=lambda place: (-shares[place], place))[:MOST_TELLING]
    return {margins[place] for place in best}


def _natural(word: str) -> tuple[int, float, str]:
    """Numbers by value first, then words by letter."""
    try:
        return 0, float(word), word
    except ValueError:
        return 1, 0.0, word


def _spread(plan: _Plan) -> tuple[tuple[int, ...], np.ndarray, np.ndarray]:
    """Margins of the spread model with the means and sds of their coefficients: family, rough and fair, age, blank age, own attributes."""
    found: list[tuple[int, list[float], list[float]]] = []
    used = {index for block in plan.blocks for index in (block.left, block.right)}
    for index, margin in enumerate(plan.margins):
        width = encode._margin_width(margin) if index in used else 0
        if margin.column == "family" and margin.kind == "word" and width:
            found.append((index, [0.0] * width, [0.15] * width))
        elif margin.kind == "steps" and margin.labels == CONDITIONS:
            found.append((index, [-0.05, -0.05, 0.0], [0.15, 0.15, 0.10]))
        elif margin.kind == "age line":
            found.append((index, [0.0 if plan.loose else 0.10], [0.10]))
        elif margin.kind == "blank":
            found.append((index, [0.0], [0.20]))
        elif margin.kind == "number" and plan.loose:
            found.append((index, [0.0], [0.10]))
        elif margin.kind == "word" and plan.loose and 0 < width <= 30 and margin.column not in ("family",):
            found.append((index, [0.0] * width, [0.15] * width))
    return tuple(f[0] for f in found), np.array([v for f in found for v in f[1]]), np.array([v for f in found for v in f[2]])


# ---- what needs the units once more --------------------------------------------------------------------------------------


def _with_smooth(encoding: Encoding, seen: Seen, plan: _Plan) -> Encoding:
    """Add the smooth surface over the sample: landmarks chosen one after the other where the kernel is worst explained so far."""
    used = {index for block in encoding.blocks for index in (block.left, block.right)}
    chosen = [
        index
        for index, margin in enumerate(encoding.margins)
        if encode._margin_width(margin) and margin.kind in ("word", "words", "steps", "number", "age line") and margin.column not in ("repair", "sold_where") and index in used
    ]
    few = seen.sample.take(np.arange(min(seen.sample.n, SMOOTHED)))
    if few.n < 8 or not chosen:
        return encoding
    parts = encode.read_margins(encoding, few, seen.sample_days[: few.n])
    weights = tuple(_apart(encoding.margins[index]) for index in chosen)
    place = encode.smooth_place(tuple(chosen), weights, parts)
    square = np.maximum((place**2).sum(1)[:, None] + (place**2).sum(1)[None, :] - 2 * place @ place.T, 0.0)
    apart = square[square > 1e-12]
    if not len(apart):
        return encoding
    length = float(np.sqrt(np.median(apart)))
    kernel = np.exp(-0.5 * square / length**2)
    rows = _greedy(kernel, min(LANDMARKS, few.n))
    inside = kernel[np.ix_(rows, rows)] + 1e-9 * np.eye(len(rows))
    turn = np.linalg.inv(np.linalg.cholesky(inside)).T
    smooth = Smooth(tuple(chosen), weights, length, place[rows], turn)
    plan.block("fine pattern", "fine pattern", 0, 0.06, width=len(rows))
    block = replace(plan.blocks[-1], left=len(encoding.margins))
    return replace(encoding, smooth=smooth, blocks=(*encoding.blocks, block))


def _apart(margin: Margin) -> float:
    """How far apart one unit of a margin makes two units on the smooth surface: own judgement."""
    if margin.kind in ("age line", "number"):
        return 1.25 if margin.kind == "age line" else 1.0
    return 1.0 if margin.column in ("type", "family", "tier", "fuel") else 0.7


def _greedy(kernel: np.ndarray, most: int) -> np.ndarray:
    """Rows chosen by pivoted Cholesky: the largest remaining variance first, until 1 % is left of each."""
    left, rows, factors = np.diag(kernel).copy(), [], np.zeros((most, len(kernel)))
    for step in range(most):
        best = int(np.argmax(left))
        if left[best] < 0.01:
            break
        factors[step] = (kernel[best] - factors[:step, best] @ factors[:step]) / np.sqrt(left[best])
        left = left - factors[step] ** 2
        rows.append(best)
    return np.array(rows, dtype=int)


def _products(encoding: Encoding, seen: Seen) -> Encoding:
    """Fill in the pairs of each product that occur in the sample, the most frequent first where there are too many."""
    blocks = list(encoding.blocks)
    parts = encode.read_margins(encoding, seen.sample, seen.sample_days)
    says = {side: (parts[side][0] != 0).astype(np.float32) for block in blocks if block.right for side in (block.left, block.right)}
    for index, block in enumerate(blocks):
        if not block.right:
            continue
        table = says[block.left].T @ says[block.right]
        pairs = np.argwhere(table > 0)
        if len(pairs) > MOST_PAIRS:
            order = np.lexsort((pairs[:, 1], pairs[:, 0], -table[pairs[:, 0], pairs[:, 1]]))[:MOST_PAIRS]
            pairs = pairs[np.sort(order)]
        blocks[index] = replace(block, pairs=pairs.astype(int), mean=np.zeros(len(pairs)))
    return replace(encoding, blocks=tuple(blocks))
