"""Which margins and blocks the price model has: the labelled scales, laid out over what the pass
saw. The scales (log points) and the figures from `basis/assumed` are starting assumptions: own
judgement from common practice, learned away as sales grow (`mixed`)."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pricing.basis import assumed
from pricing.basis.columns import CONDITIONS
from pricing.model.price import encode
from pricing.model.price.encode import Encoding, Margin, ScaleBlock
from pricing.model.seen import Seen
from pricing.words.tables import rows

MOST_LEVELS = 400  # of a column; the rarest are then left without a column
# People whose own price level is told apart; for the others the answer is the group's
MOST_OWNERS = 200
# What a question leaves blank because nobody knows it yet
UNKNOWN_WHEN_BLANK = ("type", "tier", "maker", "repair", "sold_where", "owner")
# sd of the general price level where starting prices are given, and where not; of family and type
# beside it, times the doubt of each type's starting price. With no sale they make the range of the
# table; their scales are loose, so that prices far from the table are learned from a few sales.
LEVEL_SD, LOOSE_SD, FAMILY_SD, TYPE_SD = 0.08, 3.0, 0.35, 0.25
KIND_TAU = 0.5
# of ln price levels between the people of one record: own judgement, places and patience differ
# more than makers do
OWNER_SD = 0.12
AGE_BENDS, AGE_JUMPS = (2.0, 5.0, 8.0, 11.0, 15.0), tuple(float(a) for a in range(2, 19))
# sd of ln scale: labelled scales, and scales of the person's own attributes
TAU, LOOSE_TAU = (0.4, 1.0)
TIME_TAU = 0.8  # the same of trend and season


@dataclass
class LaidOut:
    """Margins and blocks as they are laid out. loose: no starting assumptions, all scales times
    `wide` and free. own: columns of ours that the person declared as own attributes, left out
    here."""

    margins: list[Margin]
    blocks: list[ScaleBlock]
    loose: bool
    wide: float
    own: frozenset[str]

    def margin(
        self, column: str, kind: str, labels: tuple[str, ...], values: tuple[float, ...] = ()
    ) -> int:
        self.margins.append(Margin(column, kind, labels, values))
        return len(self.margins) - 1

    def block(
        self,
        name: str,
        term: str,
        left: int,
        scale: float,
        right: int = 0,
        mean: np.ndarray | None = None,
        tau: float = TAU,
    ) -> None:
        """Add a block; the pairs of a product are filled in later (`_products`)."""
        if self.own & {self.margins[left].column, self.margins[right].column}:
            return
        mean = np.zeros(encode.width_of(self.margins[left])) if mean is None else mean
        k = len(mean)
        pairs = (
            np.column_stack([np.arange(k), np.zeros(k, dtype=int)])
            if right == 0
            else np.zeros((0, 2), dtype=int)
        )
        scale, tau = (scale * self.wide, LOOSE_TAU if tau else 0.0) if self.loose else (scale, tau)
        self.blocks.append(ScaleBlock(name, term, left, right, pairs, mean, scale, tau))


def lay_out(
    plan: LaidOut, seen: Seen, bare: Encoding, anchors: Mapping[str, float], interactions: bool
) -> tuple[list[int], int]:
    """Everything but own attributes: margins of categories, and the line of age (-1: none)."""
    kinds = _kinds(plan, seen, bare)
    makers = _makers(plan, seen)
    has_age = "age" not in plan.own and (not plan.loose or bool(bare.ages.counts.any()))
    line, since_new = _ages(plan, kinds) if has_age else (-1, -1)
    _grades(plan, seen, kinds)
    features = _features(plan, seen)
    _plain_words(plan, seen)
    if "size" in seen.numbers and "size" not in plan.own:
        size = plan.margin("size", "number", ("size",), number_values(seen, "size", False))
        plan.block("size", "size", size, 0.08)
        plan.block("size x type", "size", size, 0.05, right=kinds.type_)
    _usual_season(plan)
    _time_blocks(plan, seen, kinds.family, kinds.type_)
    if anchors:
        told = tuple(sorted(anchors))
        values = tuple(anchors[name] for name in told)
        anchor = plan.margin("type", "anchor", told, values)
        plan.block("usual price", "usual price", anchor, 0.25, tau=0.0)
    if interactions:
        _products_of(plan, kinds, makers, features, line, since_new)
    words = [i for i, m in enumerate(plan.margins) if m.column in ("fuel", "finish")]
    ours = [i for i in (kinds.type_, makers.maker, *words) if plan.margins[i].labels]
    return [i for i in ours if plan.margins[i].column not in plan.own], line


@dataclass(frozen=True)
class Kinds:
    """Positions of the flat margins of family and type, which products are made with."""

    family: int
    type_: int


@dataclass(frozen=True)
class Makers:
    """Positions of the margins of maker and tier; tiers: whether the record tells any."""

    maker: int
    tier: int
    tiers: bool


def _kinds(plan: LaidOut, seen: Seen, bare: Encoding) -> Kinds:
    """The general level, family and type, the latter two as unsure as their starting price is."""
    one = plan.margin("", "one", ("level",))
    level_sd, level_tau = (LOOSE_SD, 0.0) if plan.loose else (LEVEL_SD, KIND_TAU)
    plan.block("level", "level", one, level_sd, tau=level_tau)
    found = {bare.types[word].family for word in seen.words.get("type", {})}
    families = tuple(sorted(found - {""}))
    types = tuple(word for word in levels(seen, "type") if word not in bare.kinds)
    kind = "word" if plan.loose else "doubt"
    family, type_ = plan.margin("family", kind, families), plan.margin("type", kind, types)
    flat = Kinds(plan.margin("family", "word", families), plan.margin("type", "word", types))
    plan.block("family", "type", family, FAMILY_SD, tau=KIND_TAU)
    plan.block("type", "type", type_, TYPE_SD, tau=KIND_TAU)
    return flat


def _makers(plan: LaidOut, seen: Seen) -> Makers:
    """Tier and maker. Without a tier the maker carries it: .10, .15 and tiers' .145 make .23."""
    told = levels(seen, "tier")
    tiers = _with_assumed(plan, told, assumed.TIER_EFFECT)
    tier = plan.margin("tier", "word", tiers, _shares(seen, "tier", tiers))
    if tiers:
        mean = _assumed(plan, tiers, assumed.TIER_EFFECT)
        plan.block("tier", "maker", tier, 0.15, mean=mean)
    makers = levels(seen, "maker")
    maker = plan.margin("maker", "word", makers, _shares(seen, "maker", makers))
    plan.block("maker", "maker", maker, 0.10 if told else 0.23)
    return Makers(maker, tier, bool(told))


def _ages(plan: LaidOut, kinds: Kinds) -> tuple[int, int]:
    """A straight line in age, its bend, hinges and steps; what age does differs by family and type.
    Returns the margins of the line and of the age since new."""
    names = tuple(f"age above {a:g}" for a in AGE_BENDS), tuple(f"age {a:g}" for a in AGE_JUMPS)
    line = plan.margin("age", "age line", ("age",))
    bend = plan.margin("age", "age bend", ("early loss",))
    hinges = plan.margin("age", "age hinges", names[0], AGE_BENDS)
    steps = plan.margin("age", "age steps", names[1], AGE_JUMPS)
    blank = plan.margin("age", "blank", ("age not known",))
    since_new = plan.margin("age", "age since new", ("age",))
    plan.block("age", "age", line, 0.15, tau=0.0 if not plan.loose else TAU)
    plan.block("age bend", "age", bend, 0.15)
    plan.block("age hinges", "age", hinges, 0.06)
    plan.block("age steps", "age", steps, 0.04)
    plan.block("age x family", "age", since_new, 0.08, right=kinds.family)
    plan.block("age x type", "age", since_new, 0.08, right=kinds.type_)
    plan.block("age not known", "age not known", blank, 0.10, tau=0.0)
    return line, since_new


def _grades(plan: LaidOut, seen: Seen, kinds: Kinds) -> None:
    """Grades as steps up from rough, and how much a grade counts by family."""
    if plan.loose and not seen.words.get("condition"):
        return
    effects = np.array([assumed.CONDITION_EFFECT[grade] for grade in CONDITIONS])
    condition = plan.margin("condition", "steps", tuple(CONDITIONS), _usual_steps(seen))
    grade = plan.margin("condition", "grade", ("grade",))
    mean = np.zeros(3) if plan.loose else np.diff(effects)
    plan.block("condition", "condition", condition, 0.10, mean=mean)
    plan.block("condition x family", "condition", grade, 0.05, right=kinds.family)


def _features(plan: LaidOut, seen: Seen) -> int:
    """Features, the starting ones from day one, and the repair done. Returns their margin."""
    told = tuple(word for word in levels(seen, "features") if word)
    names = _with_assumed(plan, told, assumed.FEATURE_EFFECT)
    shares = tuple(_share(seen, "features", word) for word in names)
    features = plan.margin("features", "words", names, shares)
    mean = _assumed(plan, names, assumed.FEATURE_EFFECT, assumed.OTHER_FEATURE_EFFECT)
    plan.block("features", "features", features, 0.08, mean=mean)
    return features


def _plain_words(plan: LaidOut, seen: Seen) -> None:
    """Fuel, finish, where it is sold, whose record it is, and the repair done."""
    for column, scale in (("fuel", 0.08), ("finish", 0.06), ("sold_where", 0.06)):
        start = assumed.FINISH_EFFECT if column == "finish" else {}
        told = levels(seen, column)
        labels = _with_assumed(plan, told, start)
        if not labels:
            continue
        silent = () if told else (0.0,) * len(labels)  # nobody says it: a blank leaves nothing open
        margin = plan.margin(column, "word", labels, silent)
        plan.block(column, column, margin, scale, mean=_assumed(plan, labels, start))
    if len(seen.words.get("owner", {})) > 1:  # one person's record has no one to be told apart from
        people = plan.margin("owner", "word", levels(seen, "owner", MOST_OWNERS))
        plan.block("owner", "owner", people, OWNER_SD)
    repairs = tuple(word for word in levels(seen, "repair") if word)
    repair = plan.margin("repair", "words", repairs, (0.0,) * len(repairs))
    plan.block("repair", "repair", repair, 0.06)


def _products_of(
    plan: LaidOut, kinds: Kinds, makers: Makers, features: int, line: int, since_new: int
) -> None:
    """What counts for more in one kind than in another; pairs that occur are found later."""
    if line >= 0:
        scale = 0.06 if makers.tiers else 0.08
        plan.block("age x maker", "maker", since_new, scale, right=makers.maker)
        plan.block("age x features", "features", line, 0.05, right=features)
        if makers.tiers:
            plan.block("age x tier", "maker", line, 0.06, right=makers.tier)
    plan.block("features x family", "features", features, 0.05, right=kinds.family)
    plan.block("maker x family", "maker", makers.maker, 0.05, right=kinds.family)
    plan.block("maker x type", "maker", makers.maker, 0.05, right=kinds.type_)
    fuels = next((i for i, m in enumerate(plan.margins) if m.column == "fuel"), None)
    if fuels is not None and "fuel" not in plan.own:
        plan.block("fuel x type", "fuel", fuels, 0.07, right=kinds.type_)


def _with_assumed(
    plan: LaidOut, told: tuple[str, ...], start: Mapping[str, float]
) -> tuple[str, ...]:
    """The levels of the record and, where starting figures count, the words that these know."""
    return told if plan.loose else (*told, *sorted(set(start) - set(told)))


def _assumed(
    plan: LaidOut, labels: tuple[str, ...], start: Mapping[str, float], other: float = 0.0
) -> np.ndarray:
    """Starting effects of levels, log points."""
    return np.array([0.0 if plan.loose else start.get(word, other) for word in labels])


def _shares(seen: Seen, column: str, labels: tuple[str, ...]) -> tuple[float, ...]:
    """Share of each level among sold units, two of an unseen level added: a blank's share."""
    counts = seen.words.get(column, Counter())
    if not counts:
        return (0.0,) * len(labels)  # nobody says it: a blank leaves nothing open
    total = sum(counts.values()) + 2.0
    return tuple(round(counts[word] / total, 6) for word in labels)


def _share(seen: Seen, column: str, word: str) -> float:
    """Share of sold units that say the word: a type starts at the price with usual features."""
    return round(seen.words.get(column, Counter())[word] / (seen.n + 2.0), 6)


def _usual_steps(seen: Seen) -> tuple[float, ...]:
    """Share of sold units at or above each grade but the lowest, two of each added: a blank's."""
    counts = np.array([seen.words.get("condition", Counter())[grade] + 2.0 for grade in CONDITIONS])
    return tuple((np.cumsum(counts[::-1])[::-1] / counts.sum())[1:].tolist())


def _usual_season(plan: LaidOut) -> None:
    """The starting price factors by month of types that have them (window AC: .46 in December,
    1.08 in June), taken whole at first; .3 is how far a person's own market may stretch or flatten
    them. Own judgement."""
    if plan.loose:
        return
    factors = {str(row["type"]): np.log(row["season"]) for row in rows("types") if row["season"]}
    moved = {name: each for name, each in factors.items() if np.ptp(each) > 1e-9}
    margin = plan.margin(
        "type",
        "usual season",
        tuple(moved),
        tuple(round(float(value), 6) for each in moved.values() for value in each),
    )
    plan.block("usual season", "season", margin, 0.3, mean=np.ones(1))


def _time_blocks(plan: LaidOut, seen: Seen, family: int, type_: int) -> None:
    """Level over time, trend and season, the last two also by family and the trend by type.

    Their scales are small and loose (sd of ln scale .8): most markets stand still from one year to
    the next, and one that does not moves far more than .08 a year. Own judgement; still worlds
    lose nothing by it (`tests/benchmarks/drift.py`).
    """
    if not seen.n or "sold" not in seen.numbers:
        return
    months = (seen.last_day - seen.first_day) / encode.DAYS_A_MONTH
    edges = walk_edges(months)
    walk = plan.margin("sold", "walk", tuple(f"{e:g} months ago" for e in edges[1:]), edges)
    trend = plan.margin("sold", "trend", ("year",))
    season = plan.margin("sold", "season", ("cos", "sin"))
    plan.block("level over time", "prices lately", walk, 0.015)
    plan.block("trend", "prices lately", trend, 0.08, tau=TIME_TAU)
    plan.block("season", "season", season, 0.04, tau=TIME_TAU)
    if plan.margins[family].labels:
        plan.block("trend x family", "prices lately", trend, 0.06, right=family, tau=TIME_TAU)
        plan.block("season x family", "season", season, 0.06, right=family, tau=TIME_TAU)
    if plan.margins[type_].labels:
        plan.block("trend x type", "prices lately", trend, 0.05, right=type_, tau=TIME_TAU)


def walk_edges(months: float) -> tuple[float, ...]:
    """Months back at which the level may have moved: monthly for two years, then by quarters to
    eight, then by years, at least one step.

    >>> len(walk_edges(3)), len(walk_edges(360))
    (5, 72)
    """
    edges = [0.0]
    while edges[-1] <= months and len(edges) < 120:
        edges.append(edges[-1] + (1 if edges[-1] < 24 else 3 if edges[-1] < 96 else 12))
    return tuple(edges)


def levels(seen: Seen, column: str, most: int | None = None) -> tuple[str, ...]:
    """The levels kept: all, or the most frequent; a blank is one where some sold units say it and
    some do not, unless a question leaves blank what nobody knows yet: then it stays unknown."""
    counts = seen.words.get(column, Counter())
    kept = sorted(sorted(counts, key=lambda word: (-counts[word], word))[: most or MOST_LEVELS])
    if kept and seen.blanks[column] > 0 and column not in UNKNOWN_WHEN_BLANK:
        kept.append("")
    return tuple(kept)


def number_values(
    seen: Seen, name: str, log: bool, quantiles: tuple[float, ...] = ()
) -> tuple[float, ...]:
    """Centre, spread, lowest, highest and knots of a number, from the sample; ends from all."""
    ends = np.array(seen.numbers[name])
    values = seen.sample.number(name)
    values = values[np.isfinite(values)]
    with np.errstate(invalid="ignore", divide="ignore"):
        if log:
            values, ends = np.log(values), np.log(ends)
    values = values[np.isfinite(values)]
    if not len(values):
        return (0.0, 1.0, 0.0, 0.0, *([0.0] if quantiles else []))
    seen_ends = zip(ends, (values.min(), values.max()), strict=True)
    low, high = (float(e) if np.isfinite(e) else float(v) for e, v in seen_ends)
    centre, spread = float(np.median(values)), float(values.std())
    spread = spread if spread > 1e-9 * max(1.0, abs(centre)) else 1.0
    places = (np.quantile(values, quantiles) - centre) / spread if quantiles else ()
    knots = np.unique(np.round(places, 6)).tolist()
    width = high - low
    return (centre, spread, low - 0.25 * width, high + 0.25 * width, *knots)


def spread_margins(plan: LaidOut) -> tuple[tuple[int, ...], np.ndarray, np.ndarray]:
    """Margins of the spread model with means and sds: family, grade, age, own attributes."""
    found: list[tuple[int, list[float], list[float]]] = []
    used = {index for block in plan.blocks for index in (block.left, block.right)}
    for index, margin in enumerate(plan.margins):
        width = encode.width_of(margin) if index in used else 0
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
        elif (
            margin.kind == "word"
            and plan.loose
            and 0 < width <= 30
            and margin.column not in ("family", "owner")
        ):
            found.append((index, [0.0] * width, [0.15] * width))
    return (
        tuple(f[0] for f in found),
        np.array([v for f in found for v in f[1]]),
        np.array([v for f in found for v in f[2]]),
    )
