"""Learn from sold units how units are read: levels, knots, starting figures, landmarks, products.
One pass over the units (`seen`), then everything from what it counted and the sales it kept."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from datetime import date

import numpy as np

from pricing.basis import assumed, own_rows, units
from pricing.basis.settings import Settings
from pricing.basis.words import family_of
from pricing.model.price import ages, encode, layout, own_attributes, price
from pricing.model.price.encode import Encoding, Margin, Smooth, TypePrior
from pricing.model.price.layout import LaidOut, lay_out, spread_margins
from pricing.model.seen import Seen

# Sales that landmarks are chosen from; landmarks; pairs kept of one product
SMOOTHED, LANDMARKS, MOST_PAIRS = (500, 64, 150)

# Half the 80 % range of ln price that a unit's own error makes before any sale, t with 4 degrees of
# freedom at scale .183, and the least doubt of a starting price: own judgement.
OWN_HALF, LEAST_DOUBT = 0.28, 0.2


def learn(
    seen: Seen,
    settings: Settings,
    as_of: date,
    *,
    use_assumed: bool = True,
    interactions: bool = True,
) -> Encoding:
    """The encoding of all units that a pass has seen."""
    types, other, anchors = type_priors(seen, settings, use_assumed)
    sd = 0.0
    if seen.n > 1:
        variance = seen.log_square / seen.n - (seen.log_sum / seen.n) ** 2
        sd = np.sqrt(max(variance, 0.0))
    mine = frozenset(settings.attributes)
    mine |= {"family"} if "type" in mine else set()
    wide = float(np.clip(sd / 0.4, 0.25, 5.0)) if sd > 0 else 1.0
    plan = LaidOut([], [], not use_assumed, wide, mine)
    last_day = seen.last_day if seen.n else float(as_of.toordinal())
    table = seen.ages or ages.count(units.Units(0, {}, {}), units.Coded.of([]), True)
    table = replace(table, start=use_assumed)
    kinds = _open_words({} if "type" in mine else types, seen.words.get("type", Counter()))
    bare = Encoding(
        (), (), None, types, other, table, last_day, (), np.zeros(0), np.zeros(0), kinds
    )
    ours, line = lay_out(plan, seen, bare, anchors, interactions)
    plan.own = frozenset()
    own_attributes.own_blocks(plan, seen, settings, ours, line, interactions)
    about, mean, apart = spread_margins(plan)
    laid = replace(bare, margins=tuple(plan.margins), blocks=tuple(plan.blocks))
    encoding = replace(laid, spread_margins=about, spread_mean=mean, spread_sd=apart)
    if interactions:
        encoding = _with_smooth(encoding, seen, plan)
    return _products(encoding, seen)


def _open_words(
    types: Mapping[str, TypePrior], own: Mapping[str, int]
) -> dict[str, dict[str, float]]:
    """The kinds that each plain word leaves open, with their shares, sum 1; a word with sales whose
    kinds have too few to tell them by is a kind of its own. own: sales of each type."""
    found = {}
    for word in types:
        kinds = price.likely_kinds(types, own, word)
        n, of_kinds, whole = own.get(word, 0), sum(own.get(x, 0) for x, _ in kinds), dict(kinds)
        if kinds and (n == 0 or (of_kinds >= 3 and 2 * of_kinds >= n)):
            found[word] = {kind: share / sum(whole.values()) for kind, share in kinds}
    return found


def type_priors(
    seen: Seen, settings: Settings, use_assumed: bool
) -> tuple[dict[str, TypePrior], TypePrior, dict[str, float]]:
    """Starting figures by type and for a type nobody named; and what the usual prices say beyond
    the common ratio ("anchor"): who sells washers at twice our figure sells dryers so too."""
    words, none = sorted(seen.words.get("type", {})), TypePrior("", 0.0, 0.0, 1.0)
    if not use_assumed:
        return dict.fromkeys(words, none), none, {}
    table, other = own_rows.assumed_types(settings), own_rows.generic_type(settings)
    plain = own_rows.assumed_types(replace(settings, usual_price={}))
    told = {
        name: float(np.log(price) - np.log(plain.get(name, other).price))
        for name, price in settings.usual_price.items()
    }
    ratio = float(np.mean(list(told.values()))) if told else 0.0
    own = {*settings.assumed_types, *settings.usual_price}
    priors = {}
    for word in sorted({*table, *words}):
        row = table.get(word, other)
        family = row.family if word in table else family_of(word, settings)
        level = float(np.log(row.price) + (0.0 if word in told else ratio))
        is_plain = word not in own and len(assumed.plain_kinds(word)) > 1
        priors[word] = TypePrior(family, level, row.slope_5y, _doubt(row, word in told), is_plain)
    beyond = {name: value - ratio for name, value in told.items()}
    anchors = {name: value for name, value in beyond.items() if abs(value) > 1e-12}
    unknown = TypePrior("other", float(np.log(other.price) + ratio), other.slope_5y, 1.0)
    return priors, unknown, anchors


def _doubt(row: assumed.AssumedType, told: bool) -> float:
    """How unsure the starting price is, in sds of family and type: with no sale four in five lie
    between the low and the high of the table; less so where the person told a usual price.

    (half / 1.2816)^2 = (OWN_HALF / 1.2816)^2 + level^2 + doubt^2 (family^2 + type^2), half =
    ln(high / low) / 2. The scales are loose (`layout.KIND_TAU`): a table that is far off is left
    behind after a few sales.
    """
    if told:
        return LEAST_DOUBT
    half = np.log(row.high / row.low) / 2
    left = (half**2 - OWN_HALF**2) / 1.2816**2 - layout.LEVEL_SD**2
    kinds = layout.FAMILY_SD**2 + layout.TYPE_SD**2
    return float(np.clip(np.sqrt(max(left, 0.0) / kinds), LEAST_DOUBT, 1.5))


def _with_smooth(encoding: Encoding, seen: Seen, plan: LaidOut) -> Encoding:
    """Add the smooth surface over the sample: landmarks where the kernel is worst explained."""
    used = {index for block in encoding.blocks for index in (block.left, block.right)}
    chosen = [
        index
        for index, margin in enumerate(encoding.margins)
        if encode.width_of(margin)
        and margin.kind in ("word", "words", "steps", "number", "age line")
        and margin.column not in ("repair", "sold_where", "owner")
        and index in used
    ]
    owner, _, few = encode.each_kind(
        encoding, seen.sample.take(np.arange(min(seen.sample.n, SMOOTHED)))
    )
    if few.n < 8 or not chosen:
        return encoding
    parts = encode.read_margins(encoding, few, seen.sample_days[owner])
    weights = tuple(_apart(encoding.margins[index]) for index in chosen)
    place = encode.smooth_place(tuple(chosen), weights, parts)
    size = (place**2).sum(1)
    square = np.maximum(size[:, None] + size[None, :] - 2 * place @ place.T, 0.0)
    apart = square[square > 1e-12]
    if not len(apart):
        return encoding
    length = float(np.sqrt(np.median(apart)))
    kernel = np.exp(-0.5 * square / length**2)
    rows = _greedy(kernel, min(LANDMARKS, few.n))
    inside = kernel[np.ix_(rows, rows)] + 1e-9 * np.eye(len(rows))
    turn = np.linalg.inv(np.linalg.cholesky(inside)).T
    smooth = Smooth(tuple(chosen), weights, length, place[rows], turn)
    plan.block("fine pattern", "fine pattern", 0, 0.06, mean=np.zeros(len(rows)))
    block = replace(plan.blocks[-1], left=len(encoding.margins))
    return replace(encoding, smooth=smooth, blocks=(*encoding.blocks, block))


def _apart(margin: Margin) -> float:
    """How far apart one unit of a margin makes two units on the smooth surface: own judgement."""
    if margin.kind in ("age line", "number"):
        return 1.25 if margin.kind == "age line" else 1.0
    return 1.0 if margin.column in ("type", "family", "tier", "fuel") else 0.7


def _greedy(kernel: np.ndarray, most: int) -> np.ndarray:
    """Rows chosen by pivoted Cholesky: the largest remaining variance first, until 1 % is left."""
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
    """Fill in the pairs of each product that occur in the sample, the most frequent first."""
    blocks = list(encoding.blocks)
    owner, _, told = encode.each_kind(encoding, seen.sample)
    parts = encode.read_margins(encoding, told, seen.sample_days[owner])
    says = {
        side: (parts[side][0] != 0).astype(np.float32)
        for block in blocks
        if block.right
        for side in (block.left, block.right)
    }
    for index, block in enumerate(blocks):
        if not block.right:
            continue
        table = says[block.left].T @ says[block.right]
        pairs = np.argwhere(table > 0)
        if len(pairs) > MOST_PAIRS:
            often = -table[pairs[:, 0], pairs[:, 1]]
            order = np.lexsort((pairs[:, 1], pairs[:, 0], often))[:MOST_PAIRS]
            pairs = pairs[np.sort(order)]
        blocks[index] = replace(block, pairs=pairs.astype(int), mean=np.zeros(len(pairs)))
    return replace(encoding, blocks=tuple(blocks))
