"""Units as rows of numbers, by a record that was learned once and is applied to every new unit.
numpy only.

A *margin* reads one thing about a unit as a few numbers (its type as 0/1 columns, its age as
straight line, steps, …). A *block* is a margin, or the product of two, whose columns share one
scale:

    ln price = offset + sum over blocks of  Z_block (mean_block + u_block),     u_block ~ N(0,
        scale_block^2)

offset: the starting price of the type and its loss with age, as assumed or told, so that a type
without a sale has an answer. A level that was never seen has no column; what it would have added
stays in `missing`, so that the range widens by itself. A blank age enters as the expected columns
over the ages of similar units (`model/price/ages`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import field

import numpy as np
from numpy import ndarray as Array

from pricing.basis.columns import CONDITIONS
from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units
from pricing.basis.words import family_of
from pricing.formulas import by_age
from pricing.model.price import ages
from pricing.model.price.ages import AgeTable
from pricing.model.year import DAYS_A_YEAR, along_the_year

DAYS_A_MONTH = 30.4375
WEIGHT = "part of a sale"  # from 0 to 1: how much of a sale a row is
AGE_MARGINS = ("age line", "age since new", "age bend", "age hinges", "age steps")


@frozen
class Margin:
    """One reading of a unit. column: the column it reads; kind: how (see `_read_margin`); labels:
    one per number read; values: knots, centre and spread, weights, by kind."""

    column: str
    kind: str
    labels: tuple[str, ...]
    values: tuple[float, ...] = ()


@frozen
class ScaleBlock:
    """Columns with one scale: the product of margins `left` and `right` (positions), of which
    `pairs` are kept, (k, 2). term: the line of the explanation; mean: prior means, (k,), log
    points; scale: prior standard deviation; tau: sd of ln scale, 0 where it is not learned."""

    name: str
    term: str
    left: int
    right: int
    pairs: Array
    mean: Array
    scale: float
    tau: float


@frozen
class Smooth:
    """A smooth surface over several margins by landmarks: phi(x) = exp(-|x - l|^2 / (2 length^2))
    T, so that phi phi' is the kernel at the landmarks.

    margins: positions; weights: how far apart each makes two units; landmarks: shape (m, d); turn:
    T, shape (m, m).
    """

    margins: tuple[int, ...]
    weights: tuple[float, ...]
    length: float
    landmarks: Array
    turn: Array


@frozen
class TypePrior:
    """Where a type starts: ln price at the middle age, its change per five years, how sure (1: as
    unsure as the scales say); plain: whether it is a plain word ("washer") of several kinds."""

    family: str
    log_price: float
    slope: float
    doubt: float
    plain: bool = False


@frozen
class Encoding:
    """All that was learned about reading units. types: starting figures by type; other: the same
    for a type nobody named (its family is blank where types have no families); kinds: shares of the
    kinds that a plain word ("washer") is a mixture of."""

    margins: tuple[Margin, ...]
    blocks: tuple[ScaleBlock, ...]
    smooth: Smooth | None
    types: Mapping[str, TypePrior]
    other: TypePrior
    ages: AgeTable
    last_day: float
    spread_margins: tuple[int, ...]
    spread_mean: Array
    spread_sd: Array
    kinds: Mapping[str, Mapping[str, float]] = field(default_factory=dict)

    @property
    def n_columns(self) -> int:
        return sum(len(block.mean) for block in self.blocks)

    @property
    def group(self) -> Array:
        """Block of each column, shape (p,)."""
        return np.repeat(np.arange(len(self.blocks)), [len(block.mean) for block in self.blocks])


@frozen
class Apart:
    """m kinds that n units may be of: the unit of each, its share, and how far its columns (m, p)
    and its offset, (m,), lie from those of the unit, which are the mean over its kinds."""

    owner: Array
    share: Array
    columns: Array
    offset: Array


@frozen
class Rows:
    """Units as the model reads them. columns: (n, p); offset: ln money, with the prior means, (n,);
    start: ln price of the type at the middle age, (n,); missing: squared length of what has no
    column, by block, (n, G); spread: columns of the spread model, (n, q); ahead: months after the
    last sale, (n,); age_weights: over `ages.GRID` of rows with a blank age, at rows `blank`;
    age_slope: their starting slope, and age_partner: what each age column is multiplied by; unsaid:
    rows whose word is blank, by the block of a word that a blank is a mixture of; loose: ln of what
    multiplies the own error of a row that stands for part of a sale, (n,); apart: of units of which
    several kinds are open, each kind beside their mean."""

    columns: Array
    offset: Array
    start: Array
    missing: Array
    spread: Array
    ahead: Array
    blank: Array
    age_weights: Array
    age_slope: Array
    age_partner: Array
    unsaid: Mapping[int, Array]
    loose: Array
    apart: Apart | None = None


def each_kind(encoding: Encoding, units: Units) -> tuple[Array, Array, Units]:
    """(unit, share, units): a row for each kind that each unit may be of, in their order; the units
    themselves where no plain word leaves one open."""
    types = units.word("type")
    open_ = {code: encoding.kinds[x] for code, x in enumerate(types.levels) if x in encoding.kinds}
    if not open_ or not np.isin(types.codes, list(open_)).any():
        return np.arange(units.n), np.ones(units.n), units
    told = zip(types.codes.tolist(), types.texts(), strict=True)
    each = [(i, *one) for i, (k, x) in enumerate(told) for one in open_.get(k, {x: 1.0}).items()]
    owner, kinds, share = (list(column) for column in zip(*each, strict=True))
    of = np.array(owner)
    return of, np.array(share), units.take(of).replaced(type=Coded.of(kinds))


def read(encoding: Encoding, units: Units, day: float | Array) -> Rows:
    """The rows of units as of `day` (ordinal, one or (n,)), in O(n p). Nothing is checked: a blank
    or an unknown word only widens the answer; a plain word is the mean over its kinds, and what
    lies between these is left open (`left_open`)."""
    days = np.broadcast_to(np.asarray(day, dtype=float), (units.n,))
    owner, share, told = each_kind(encoding, units)
    rows = _read(encoding, told, days[owner])
    return rows if told is units else _over_kinds(rows, owner, share, units.n)


def _over_kinds(rows: Rows, owner: Array, share: Array, n: int) -> Rows:
    """The rows of n units from those of each kind that they may be of."""

    def means(names: Sequence[str], whose: Array, of: Array) -> dict[str, Array]:
        head = np.flatnonzero(np.diff(whose, prepend=-1))
        every = ((name, (getattr(rows, name).T * of).T) for name in names)
        return {name: np.add.reduceat(one, head) if len(head) else one for name, one in every}

    first, blank = np.searchsorted(owner, np.arange(n)), owner[rows.blank]
    found = means(("columns", "offset", "start", "missing", "spread"), owner, share)
    found |= means(("age_weights", "age_slope", "age_partner"), blank, share[rows.blank])
    several = np.flatnonzero(np.bincount(owner)[owner] > 1)
    whose = owner[several]
    columns = rows.columns[several] - found["columns"][whose]
    apart = Apart(whose, share[several], columns, rows.offset[several] - found["offset"][whose])
    unsaid = {index: np.unique(owner[of]) for index, of in rows.unsaid.items()}
    told = {"ahead": rows.ahead[first], "loose": rows.loose[first], "blank": np.unique(blank)}
    return Rows(**found, **told, unsaid=unsaid, apart=apart)


def _read(encoding: Encoding, units: Units, days: Array) -> Rows:
    blank, weights = ages.blank_weights(encoding.ages, units, families(encoding, units))
    seen = (units, days, blank, weights)
    parts = [_read_margin(encoding, margin, *seen) for margin in encoding.margins]
    if encoding.smooth is not None:
        parts.append((smooth_columns(encoding.smooth, parts), np.zeros(units.n)))
    starts, slopes, _ = _starts(encoding, units)
    line = by_age.line(units.number("age"))
    line[blank] = weights @ by_age.line(ages.GRID)
    columns = np.empty((units.n, encoding.n_columns))
    missing = np.zeros((units.n, len(encoding.blocks)))
    offset = starts + slopes * line
    position = 0
    for index, block in enumerate(encoding.blocks):
        (left, left_unknown), (right, right_unknown) = parts[block.left], parts[block.right]
        width = len(block.mean)
        kept = left[:, block.pairs[:, 0]]
        if block.right:
            kept = kept * right[:, block.pairs[:, 1]]
        columns[:, position : position + width] = kept
        offset += kept @ block.mean
        whole = (_square(left) + left_unknown) * (_square(right) + right_unknown)
        missing[:, index] = np.maximum(whole - _square(kept), 0.0)
        position += width
    missing[missing < 1e-9] = 0.0
    unsaid = {
        index: np.flatnonzero(units.word(encoding.margins[block.left].column).codes < 0)
        for index, block in enumerate(encoding.blocks)
        if by_age.is_mixture(encoding.margins, block)
    }
    for index, rows in unsaid.items():
        missing[rows, index] = 0.0  # `left_open` goes through the levels instead
    ahead = np.maximum(days - encoding.last_day, 0.0) / DAYS_A_MONTH
    spread = _beside([parts[index][0] for index in encoding.spread_margins], units.n)
    partners = [
        parts[block.right][0][blank][:, block.pairs[:, 1]]
        if block.right
        else np.ones((len(blank), len(block.mean)))
        for block in encoding.blocks
        if _by_age(encoding, block)
    ]
    partner = _beside(partners, len(blank))
    told = (columns, offset, starts, missing, spread, ahead)
    loose = np.nan_to_num(-0.5 * np.log(units.number(WEIGHT)))
    return Rows(*told, blank, weights, slopes[blank], partner, unsaid, loose)


def _beside(parts: Sequence[Array], n: int) -> Array:
    """Columns of n rows side by side, which may be none."""
    return np.hstack(parts) if parts else np.zeros((n, 0))


def _by_age(encoding: Encoding, block: ScaleBlock) -> bool:
    return block.left < len(encoding.margins) and encoding.margins[block.left].kind in AGE_MARGINS


@frozen
class Open:
    """What blanks leave open about the ln price of n units, 0 where nothing is blank.

    variance: over the ages and grades that a unit may have, shape (n,); tilt: mean price of that
    mixture over the mean price of a normal law of the same mean and variance of ln price, (n,).
    """

    variance: Array
    tilt: Array


def left_open(encoding: Encoding, rows: Rows, coefficients: Array, variances: Array) -> Open:
    """All that blank age, grade, tier and maker move, over the ages and levels the unit may have.
    coefficients: deviation from the prior means, and variances of each, (p,). For levels with
    shares p and effects b: sum p (b - mean)^2 + sum p (1 - p) variance(b)."""
    n = len(rows.offset)
    variance, log_tilt = np.zeros(n), np.zeros(n)
    if len(rows.blank):
        curve = _age_curve(encoding, rows, coefficients)
        variance[rows.blank], log_tilt[rows.blank] = _mixed(curve, rows.age_weights)
    position = 0
    for index, block in enumerate(encoding.blocks):
        here = slice(position, position + len(block.mean))
        position = here.stop
        unsaid = rows.unsaid.get(index)
        if unsaid is None or not len(unsaid):
            continue
        effects, doubt = (block.mean + coefficients[here]).tolist(), variances[here].tolist()
        margin = encoding.margins[block.left]
        each, within = by_age.levels(margin, effects, doubt, block.scale)
        for effects, shares in each:
            open_, tilt = _mixed(np.array([effects]), np.array([shares]))
            variance[unsaid] += open_
            log_tilt[unsaid] += tilt
        variance[unsaid] += within
    if rows.apart is not None:
        of, p = rows.apart, rows.apart.columns.shape[1]
        away, doubt = of.offset + of.columns @ coefficients[:p], of.columns**2 @ variances[:p]
        between = np.bincount(of.owner, of.share * away**2, n)
        variance += between + np.bincount(of.owner, of.share * doubt, n)
        many = np.unique(of.owner)
        log_tilt[many] += np.log(np.bincount(of.owner, of.share * np.exp(away), n)[many])
        log_tilt -= between / 2
    return Open(variance, np.exp(log_tilt))


def _mixed(curves: Array, weights: Array) -> tuple[Array, Array]:
    """Variance of each row of `curves` under its weights; ln of E exp(x - mean) less its half."""
    # ln E e^(x - mean) of a normal law is half its variance; a mixture of levels has more or less,
    # which is the tilt of the mean price.
    apart = curves - (weights * curves).sum(1)[:, None]
    variance = (weights * apart**2).sum(1)
    return variance, np.log((weights * np.exp(apart)).sum(1)) - variance / 2


def _age_curve(encoding: Encoding, rows: Rows, coefficients: Array) -> Array:
    """ln price by age of the rows with a blank age, shape (n_blank, 41), up to a constant each."""
    curve = rows.age_slope[:, None] * by_age.line(ages.GRID)[None, :]
    position = used = 0
    for block in encoding.blocks:
        width = len(block.mean)
        if _by_age(encoding, block) and width:
            margin = encoding.margins[block.left]
            basis = ages.basis(margin.kind, np.array(margin.values), ages.GRID)
            effect = rows.age_partner[:, used : used + width] * (
                coefficients[position : position + width] + block.mean
            )
            by_knot = np.zeros((len(rows.blank), basis.shape[1]))
            # A product of age and another margin has several coefficients on one knot: they add.
            np.add.at(by_knot.T, block.pairs[:, 0], effect.T)
            curve = curve + by_knot @ basis.T
        used += width if _by_age(encoding, block) else 0
        position += width
    return curve


def families(encoding: Encoding, units: Units) -> Coded:
    """The family of each unit's type, blank for a type nobody named."""
    words = units.word("type")
    new = [
        (
            encoding.types[level].family
            if level in encoding.types
            else family_of(level, _NO_SETTINGS)
            if encoding.other.family
            else ""
        )
        for level in words.levels
    ]
    return mapped(words, new)


def mapped(words: Coded, new: list[str]) -> Coded:
    """A column with each level replaced by the word of `new` in its place; "" makes it blank."""
    known = tuple(dict.fromkeys(word for word in new if word))
    place = {word: index for index, word in enumerate(known)}
    table = np.array([*(place.get(word, -1) for word in new), -1], dtype=np.int32)
    return Coded(table[words.codes], known)


_NO_SETTINGS = Settings()


def _starts(encoding: Encoding, units: Units) -> tuple[Array, Array, Array]:
    """ln starting price, slope per five years and doubt of each unit's type."""
    words = units.word("type")
    rows = [encoding.types.get(level, encoding.other) for level in words.levels] + [encoding.other]
    table = np.array([[row.log_price, row.slope, row.doubt] for row in rows])[words.codes]
    return table[:, 0].copy(), table[:, 1], table[:, 2]


def _square(columns: Array) -> Array:
    return np.einsum("ij,ij->i", columns, columns)


# ---- margins


def _word_columns(encoding: Encoding, margin: Margin, units: Units) -> tuple[Array, Array]:
    """A column for each word of a margin; a doubt counts by how little the start is sure."""
    words = families(encoding, units) if margin.column == "family" else units.word(margin.column)
    silent = bool(margin.values) and sum(margin.values) <= 0
    open_ = (bool(margin.labels) and not silent) or margin.kind == "doubt"
    columns, unknown = _one_hot(words, margin.labels, blank_is_unknown=open_)
    if margin.values:
        columns[words.codes < 0] = margin.values
    if margin.kind == "doubt":
        doubt = _starts(encoding, units)[2]
        return columns * doubt[:, None], unknown * doubt**2
    return columns, unknown


def _read_margin(
    encoding: Encoding, margin: Margin, units: Units, days: Array, blank: Array, weights: Array
) -> tuple[Array, Array]:
    """Columns (n, k) of one margin and the squared length of what it could not place, (n,)."""
    n, kind, none = units.n, margin.kind, np.zeros(units.n)
    if kind == "one":
        return np.ones((n, 1)), none
    if kind in ("word", "doubt"):
        return _word_columns(encoding, margin, units)
    if kind == "words":
        return _many_hot(units.word(margin.column), margin.labels, np.array(margin.values))
    if kind == "steps":
        return _steps(units.word(margin.column), margin.labels, np.array(margin.values))
    if kind == "grade":
        rank = units.word(margin.column).lookup(CONDITIONS)
        return np.where(rank < 0, 0.0, rank - 2.0)[:, None], none
    if kind in ("number", "hinges"):
        return _number(units.number(margin.column), margin)
    if kind in AGE_MARGINS:
        knots = np.array(margin.values)
        columns = ages.basis(kind, knots, units.number("age"))
        columns[blank] = weights @ ages.basis(kind, knots, ages.GRID)
        return columns, none
    if kind == "blank":
        column = np.zeros((n, 1))
        column[blank] = 1.0
        return column, none
    if kind == "trend":
        return ((days - encoding.last_day) / DAYS_A_YEAR)[:, None], none
    if kind == "walk":
        return _walk(encoding.last_day - days, np.array(margin.values)), none
    if kind == "season":
        turn = 2 * np.pi * days / DAYS_A_YEAR
        return np.column_stack([np.cos(turn), np.sin(turn)]), none
    if kind == "usual season":
        return usual_season(units.word("type"), days, margin), none
    if kind == "anchor":
        shift = units.word("type").lookup(margin.labels)
        return np.array([*margin.values, 0.0])[shift][:, None], none
    raise ValueError(kind)


def usual_season(words: Coded, days: Array, margin: Margin) -> Array:
    """ln of the starting price factor of the day for each unit's type, (n, 1), else 0."""
    table = np.array([*margin.values, *[0.0] * 12]).reshape(-1, 12)[words.lookup(margin.labels)]
    return along_the_year(table, days)[:, None]


def _one_hot(words: Coded, labels: tuple[str, ...], blank_is_unknown: bool) -> tuple[Array, Array]:
    """0/1 columns. A blank is a level of its own where it was one in the record; else nothing."""
    place = words.lookup(labels)
    if "" in labels:
        place = np.where(words.codes < 0, labels.index(""), place)
    columns = np.zeros((len(place), len(labels)))
    known = np.flatnonzero(place >= 0)
    columns[known, place[known]] = 1.0
    unknown = (place < 0) & (blank_is_unknown | (words.codes >= 0))
    return columns, unknown.astype(float)


def _many_hot(words: Coded, labels: tuple[str, ...], usual: Array) -> tuple[Array, Array]:
    """Columns for lists of words: whether the unit has it, less the share that usually has it;
    of a blank list no more is known."""
    place = {label: index for index, label in enumerate(labels)}
    table = np.zeros((len(words.levels) + 1, len(labels)))
    table[-1] = usual
    unknown = np.zeros(len(words.levels) + 1)
    for row, level in enumerate(words.levels):
        for word in dict.fromkeys(part.strip() for part in level.split(";") if part.strip()):
            if word in place:
                table[row, place[word]] = 1.0
            else:
                unknown[row] += 1.0
    return (table - usual)[words.codes], unknown[words.codes]


def _steps(words: Coded, labels: tuple[str, ...], usual: Array) -> tuple[Array, Array]:
    """Ordered levels as steps up: column k says "at least labels[k + 1]", less its usual value."""
    rank = words.lookup(labels)
    columns = (rank[:, None] >= np.arange(1, len(labels))[None, :]).astype(float) - usual
    columns[rank < 0] = 0.0
    return columns, np.where(rank < 0, float(np.sum(usual * (1 - usual))), 0.0)


def _number(values: Array, margin: Margin) -> tuple[Array, Array]:
    """An own number: (x - centre) / spread, ln first where labels say so, and hinges."""
    centre, spread, low, high, *knots = margin.values
    with np.errstate(invalid="ignore", divide="ignore"):
        x = np.log(values) if margin.labels[0].startswith("ln ") else values
    blank = ~np.isfinite(x)
    x = (np.clip(np.where(blank, centre, x), low, high) - centre) / spread
    if margin.kind == "number":
        return x[:, None], blank.astype(float)
    return np.maximum(x[:, None] - np.array(knots), 0.0), np.zeros(len(x))


def _walk(before: Array, edges: Array) -> Array:
    """Level over time as steps back from the last sale: column k counts the root of the months of
    step k that lie after the sale.

    before: days before the last sale; edges: months back, edges[0] = 0. A walk of sd s a month:
    each column has scale s.
    """
    months = np.maximum(before, 0.0)[:, None] / DAYS_A_MONTH
    middle, length = (edges[1:] + edges[:-1]) / 2, np.diff(edges)
    return -np.sqrt(length) * (months > middle)


def smooth_columns(smooth: Smooth, parts: list[tuple[Array, Array]]) -> Array:
    """Columns of the smooth surface, shape (n, m)."""
    x = smooth_place(smooth.margins, smooth.weights, parts)
    distance = _square(x)[:, None] + _square(smooth.landmarks)[None, :] - 2 * x @ smooth.landmarks.T
    return np.exp(-0.5 * np.maximum(distance, 0.0) / smooth.length**2) @ smooth.turn


def smooth_place(
    margins: tuple[int, ...], weights: tuple[float, ...], parts: list[tuple[Array, Array]]
) -> Array:
    """Where units stand in the space of the smooth surface, shape (n, d)."""
    pairs = zip(margins, weights, strict=True)
    return np.hstack([parts[index][0] * weight for index, weight in pairs])


def read_margins(encoding: Encoding, units: Units, day: float | Array) -> list[tuple[Array, Array]]:
    """The margins alone, for learning which products occur."""
    days = np.broadcast_to(np.asarray(day, dtype=float), (units.n,))
    blank, weights = ages.blank_weights(encoding.ages, units, families(encoding, units))
    told = (units, days, blank, weights)
    return [_read_margin(encoding, margin, *told) for margin in encoding.margins]


def width_of(margin: Margin) -> int:
    """Columns of a margin."""
    if margin.kind in ("word", "doubt", "words"):
        return len(margin.labels)
    n = len(margin.values)
    return {
        "steps": len(margin.labels) - 1,
        "hinges": n - 4,
        "age hinges": n,
        "age steps": n,
        "walk": n - 1,
        "season": 2,
    }.get(margin.kind, 1)
