"""Listings as the sale-time model reads them: how long each waited, at which asks and estimate."""

from collections import Counter
from datetime import date
from functools import cache
from itertools import pairwise

import numpy as np
from numpy import ndarray as Array

from pricing.basis import assumed, dated
from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_types
from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.basis.words import family_of
from pricing.formulas import selling
from pricing.model.price import price as price_of
from pricing.model.price import student
from pricing.model.price.price import PriceNumbers
from pricing.model.repair.repair_sums import is_as_is
from pricing.model.saletime import saletime
from pricing.model.seen import MOST_WORDS, joined, most_common, row_hashes, slimmed
from pricing.words.tables import rows

MOST, MOST_ASKS = 5_000, 40
# an ask further than this from the estimate in ln, beyond four sd, is a slip and not an ask
ABSURD = 1.5
DROP_WORTH = 4  # drops that the starting habit counts for. Own judgement.


@frozen
class Listings:
    """n listings. names, families: words; listed: day; base: starting ln rate; sold: bool; days:
    waited; first: ln(first ask / estimate), NaN unknown; last: of the ask it ended at, (n,) each;
    begin, end: of each ask in days on the market, (n, J), equal where there is none; ratio: ln(ask
    / estimate), (n, J); own, spread: variance of q, the unit's own and that of the estimate, (n,);
    drops: price cuts."""

    names: list[str]
    families: list[str]
    listed: Array
    base: Array
    sold: Array
    days: Array
    first: Array
    last: Array
    begin: Array
    end: Array
    ratio: Array
    own: Array
    spread: Array
    drops: Array

    @property
    def n(self) -> int:
        return len(self.days)


@frozen
class KeptListings:
    """The listings to learn from, of many a sample. counts: listings of each type, of all."""

    units: Units
    hashes: Array
    counts: Counter[str]
    n: int


@cache
def season_rates() -> dict[str, Array]:
    """ln sales a day of each month beside the usual one, by type, (12,): less ln of the factor of
    the days in `data/words/seasons.csv` (own judgement there)."""
    return {
        str(name): -np.log(np.array(row["days_factor"], dtype=float))
        for row in rows("seasons")
        for name in row["types"]
    }


def look_at(units: Units, as_of: date) -> KeptListings:
    """The listings of one block: listed on a day, and sold, returned or still listed; none sold
    broken."""
    listed, sold = units.number("listed"), units.number("sold")
    outcome = units.word("outcome").lookup(("sold", "listed", "returned"))
    unsaid = (units.word("outcome").codes < 0) & np.isfinite(sold)
    done = (outcome == 0) | (outcome == 2) | unsaid
    with np.errstate(invalid="ignore"):
        known = (listed <= float(as_of.toordinal())) & ((done & (sold >= listed)) | (outcome == 1))
    found = units.take(known & ~units.word("repair").each(is_as_is, False, bool))
    types = found.word("type")
    counts = np.bincount(types.codes[types.codes >= 0], minlength=len(types.levels))
    told = zip(types.levels, counts.tolist(), strict=True)
    by_type = Counter({name: count for name, count in told if name and count})
    return _sampled(KeptListings(found, row_hashes(found), by_type, found.n))


def added(a: KeptListings, b: KeptListings) -> KeptListings:
    """The listings of two blocks, `a` before `b`."""
    counts = most_common(a.counts + b.counts, MOST_WORDS)
    units, hashes = joined([a.units, b.units]), np.concatenate([a.hashes, b.hashes])
    return _sampled(KeptListings(units, hashes, counts, a.n + b.n))


def _sampled(kept: KeptListings) -> KeptListings:
    """What may still be chosen in the end: the first of each type, and the first MOST of all, by
    their hashes. A type's share only shrinks as more types come."""
    if kept.units.n <= MOST:
        return kept
    order, first = _first_of_each(kept)
    rows = order[first | (np.arange(len(order)) < MOST)]
    return KeptListings(slimmed(kept.units.take(rows)), kept.hashes[rows], kept.counts, kept.n)


def _first_of_each(kept: KeptListings) -> tuple[Array, Array]:
    """Rows by their hash, and which are among the first of their type (half of MOST in all)."""
    each = max(MOST // max(2 * len(kept.counts), 1), 1)
    order = np.argsort(kept.hashes, kind="stable")
    types = kept.units.word("type").codes[order]
    by_type = np.argsort(types, kind="stable")
    starts = np.flatnonzero(np.diff(types[by_type], prepend=types[by_type][:1] - 1))
    place = np.empty(len(order), dtype=np.int64)  # of each among those of its type
    of_type = np.diff(np.append(starts, len(order)))
    place[by_type] = np.arange(len(order)) - np.repeat(starts, of_type)
    return order, place < each


def chosen(kept: KeptListings) -> Units:
    """The listings to learn from: all, or a sample that keeps the first of each type."""
    if kept.units.n <= MOST:
        return kept.units
    order, first = _first_of_each(kept)
    return kept.units.take(np.concatenate([order[first], order[~first]])[:MOST])


def read_listings(
    units: Units, price_model: PriceNumbers, settings: Settings, as_of: date
) -> Listings:
    """The listings of units listed by `as_of`, beside the estimate of each without itself."""
    as_of_day = float(as_of.toordinal())
    listed, sold_day = units.number("listed"), units.number("sold")
    sold = np.isfinite(sold_day) & (sold_day <= as_of_day)
    days = np.maximum(np.where(sold, sold_day, as_of_day) - listed, 0.0)
    waited = np.where(sold, np.maximum(days - 0.5, 0.25), days)  # sold some time during that day
    center, own, spread = estimates(units, price_model, listed)
    sd = np.sqrt(own + spread)
    begin, finish, ratio, first, last, drops = _asks(units, listed, listed + waited, center, sd)
    names, table = units.word("type").texts(), assumed_types(settings)
    usual = [table.get(name, assumed.GENERIC_TYPE).days for name in names]
    base = np.array([saletime.usual_log_rate(days) for days in usual])
    base = base + saletime.usual_season(season_rates(), names, listed)
    families = [family_of(name, settings) if name else "" for name in names]
    told = (names, families, listed, base, sold, waited)
    return Listings(*told, first, last, begin, finish, ratio, own, spread, drops)


def usual_drop(data: Listings) -> tuple[float, float]:
    """How the person comes down: ln of the mean drop, 0 where more asks are kept than dropped once
    a drop is due, and the mean days between; pooled with `DROP_WORTH` drops of the starting
    habit."""
    after, before = data.ratio[:, 1:], data.ratio[:, :-1]
    with np.errstate(invalid="ignore"):
        dropped = after < before - 0.01
    lengths = data.end - data.begin
    n, fall, days = int(dropped.sum()), *assumed.USUAL_DROP
    fall = (float((before - after)[dropped].sum()) + DROP_WORTH * fall) / (n + DROP_WORTH)
    days = (float(lengths[:, :-1][dropped].sum()) + DROP_WORTH * days) / (n + DROP_WORTH)
    # An ask that stood for half as long again as a drop takes was kept.
    ended = np.hstack([dropped, np.zeros((data.n, 1), dtype=bool)])
    kept = int((~ended & np.isfinite(data.ratio) & (lengths > 1.5 * days)).sum())
    return (fall if n + DROP_WORTH >= kept else 0.0), max(days, 1.0)


def estimates(units: Units, price_model: PriceNumbers, day: Array) -> tuple[Array, Array, Array]:
    """ln estimate of each unit with its own sale left out (-r h / (1 - h), h = w z'S z / s^2),
    variance of its own, and of the estimate, (n,) each."""
    if not units.n:
        return np.zeros(0), np.zeros(0), np.zeros(0)
    law = price_of.law(price_model, units, day)
    paid = units.number("price")
    learned = np.isfinite(units.number("sold")) & (paid > 0)
    residual = np.where(learned, np.log(np.where(learned, paid, 1.0)) - law.center, 0.0)
    known, own = law.spread**2 - law.blank, law.scale**2 + law.blank
    weight = student.weights(residual**2 + known, own, price_model.nu)
    h = np.where(learned & (price_model.n > 0), np.clip(weight * known / own, 0.0, 0.9), 0.0)
    return (
        law.center - residual * h / (1 - h),
        law.scale**2 * selling.own_factor(price_model.nu) + law.blank,
        known / (1 - h),
    )


def _asks(units: Units, start: Array, end: Array, center: Array, sd: Array) -> tuple[Array, ...]:
    """begin, end and ratio of each ask, (n, J); first and last ratio, and number of cuts, (n,)."""
    texts = units.word("asked").texts()
    n = units.n
    first, last, drops = np.full(n, np.nan), np.full(n, np.nan), np.zeros(n, dtype=int)
    held: list[list[tuple[float, float]]] = []
    for i, text in enumerate(texts):
        steps = dated.steps(text, float(start[i]), float(end[i])) if text else []
        limit = ABSURD + 4 * sd[i]
        told = ((day - start[i], float(np.log(ask)) - center[i]) for day, ask in steps)
        pairs = [(day, r) for day, r in told if abs(r) <= limit]
        if pairs and pairs[0][0] > 0:
            pairs[0] = (0.0, pairs[0][1])
        if len(pairs) > MOST_ASKS:
            pairs = [*pairs[: MOST_ASKS - 1], pairs[-1]]
        if pairs:
            first[i], last[i] = pairs[0][1], pairs[-1][1]
            falls = (after < before - 0.01 for (_, before), (_, after) in pairwise(pairs))
            drops[i] = sum(falls)
        held.append(pairs or [(0.0, np.nan)])
    J = max((len(pairs) for pairs in held), default=1)
    begin = np.repeat((end - start)[:, None], J, axis=1)
    ratio = np.full((n, J), np.nan)
    for i, pairs in enumerate(held):
        for j, (day, r) in enumerate(pairs):
            begin[i, j], ratio[i, j] = day, r
    finish = np.hstack([begin[:, 1:], (end - start)[:, None]])
    return begin, finish, ratio, first, last, drops
