"""One pass over the units: which words, numbers, days and ages there are, and a fair sample of the
sales (the smallest hashes of what they say; all up to SAMPLE), the same in every order of rows."""

import math
import zlib
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial

import numpy as np

from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units
from pricing.basis.words import family_of
from pricing.model.fold import Fold
from pricing.model.price import ages, encode
from pricing.model.price.ages import AgeTable

SAMPLE = 20_000  # sales kept from the pass
# words of one column that are counted; beyond, the rarest are forgotten as blocks are added
MOST_WORDS = 20_000
READ_NUMBERS = ("price", "sold", "listed", "got", "age", "size")
READ_WORDS = (
    "type", "maker", "tier", "features", "fuel", "finish", "condition", "repair", "sold_where",
    "owner", "outcome",
)  # fmt: skip
LISTED = ("features", "repair")


@dataclass
class Seen:
    """What one pass found. words: how many sold units say each word; numbers: lowest and highest;
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
    """Rows that are sales by `as_of` (a price above 0, and the outcome sold, or none but a day
    sold), and their days: sold, else listed, got, `as_of`; a table without a sold column holds
    sales only."""
    # Without an outcome a day sold makes a sale; a table that has no such column is a list of sales
    # (the Python face takes those).
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
        rows = np.flatnonzero(
            (price > 0) & np.isfinite(price) & ((outcome == 0) | (blank & dated)) & (day <= end)
        )
    return rows, day[rows]


def look(fold: Fold, settings: Settings, as_of: date) -> Seen:
    """The one pass. Complexity O(rows), memory O(levels + SAMPLE)."""
    return fold(partial(look_at, settings=settings, as_of=as_of), added)


def look_at(units: Units, settings: Settings, as_of: date) -> Seen:
    """What one block says."""
    types = units.word("type")
    family = encode.mapped(types, [family_of(level, settings) for level in types.levels])
    seen = Seen(n_all=units.n, ages=ages.count(units, family, start=True))
    rows, days = sold_rows(units, as_of)
    read = {*READ_NUMBERS, *READ_WORDS, encode.WEIGHT, *settings.attributes}
    numbers = {name: column for name, column in units.numbers.items() if name in read}
    words = {name: column for name, column in units.words.items() if name in read}
    sold = Units(units.n, numbers, words).take(rows)
    seen.n = sold.n
    if not sold.n:
        return seen
    logs = np.log(sold.number("price"))
    # exact sums, so that no order of the rows moves an answer
    seen.log_sum, seen.log_square = math.fsum(logs), math.fsum(logs**2)
    seen.first_day, seen.last_day = float(days.min()), float(days.max())
    for name, column in sold.words.items():
        counts = np.bincount(column.codes[column.codes >= 0], minlength=len(column.levels))
        seen.blanks[name] += int((column.codes < 0).sum())
        found = seen.words.setdefault(name, Counter())
        for level, times in zip(column.levels, counts.tolist(), strict=True):
            listed = name in LISTED
            parts = dict.fromkeys(part.strip() for part in level.split(";")) if listed else (level,)
            for word in filter(None, parts) if times else ():
                found[word] += times
    for name, values in sold.numbers.items():
        good = values[np.isfinite(values)]
        if len(good):
            seen.numbers[name] = [float(good.min()), float(good.max())]
    _keep_sample(seen, sold, days, row_hashes(sold))
    seen.sample = slimmed(seen.sample)
    return seen


def added(a: Seen, b: Seen) -> Seen:
    """What two blocks say together, `a` before `b`."""
    if a.ages is None or b.ages is None:
        raise ValueError("what was seen of a block has its ages counted")
    seen = Seen(
        a.n + b.n,
        a.n_all + b.n_all,
        ages=ages.added(a.ages, b.ages),
        log_sum=a.log_sum + b.log_sum,
        log_square=a.log_square + b.log_square,
    )
    seen.first_day, seen.last_day = min(a.first_day, b.first_day), max(a.last_day, b.last_day)
    for name in {**a.words, **b.words}:
        both = a.words.get(name, Counter()) + b.words.get(name, Counter())
        seen.words[name] = most_common(both, MOST_WORDS)
        # a column that a block lacks altogether is blank there
        blanks = (part.blanks[name] if name in part.words else part.n for part in (a, b))
        seen.blanks[name] = sum(blanks)
    for name in {**a.numbers, **b.numbers}:
        ends = [part.numbers[name] for part in (a, b) if name in part.numbers]
        seen.numbers[name] = [min(low for low, _ in ends), max(high for _, high in ends)]
    days = np.concatenate([a.sample_days, b.sample_days])
    _keep_sample(seen, joined([a.sample, b.sample]), days, np.concatenate([a.hashes, b.hashes]))
    return seen


def _keep_sample(seen: Seen, sold: Units, days: np.ndarray, hashes: np.ndarray) -> None:
    """The rows of the smallest hashes, so that the sample is the same in any order."""
    order = np.lexsort((_owners(sold), sold.number("price"), hashes))[:SAMPLE]
    seen.hashes, seen.sample, seen.sample_days = hashes[order], sold.take(order), days[order]


def most_common(counts: Counter[str], most: int) -> Counter[str]:
    """All counts where there are no more than `most` words, else those of the most frequent half of
    `most`.

    >>> most_common(Counter(a=3, b=1, c=2), 2)
    Counter({'a': 3})
    """
    if len(counts) <= most:
        return counts
    kept = sorted(counts, key=lambda word: (-counts[word], word))[: most // 2]
    return Counter({word: counts[word] for word in kept})


def row_hashes(units: Units) -> np.ndarray:
    """A 64-bit hash of what each row says, the same in every order of rows and columns, (n,). Not
    of blanks; not of the price (another currency samples alike) nor the owner (with the name and
    without)."""
    total, none = np.zeros(units.n, dtype=np.uint64), np.uint64(0)
    with np.errstate(over="ignore"):
        for name in sorted(set(units.numbers) - {"price"}):
            value = units.numbers[name] + 0.0
            seed = np.uint64(zlib.crc32(name.encode()) * 2 + 1)
            mixed = _mix(value.view(np.uint64) * seed + seed)
            total += np.where(np.isnan(value), none, mixed)
        for name in sorted(set(units.words) - {"owner"}):
            column = units.words[name]
            codes = column.each(partial(_hash_of, name), 0, np.uint64)
            total += np.where(column.codes < 0, none, _mix(codes))
    return total


def _hash_of(name: str, word: str) -> int:
    return zlib.crc32(f"{name}={word}".encode()) + 1


def _owners(units: Units) -> np.ndarray:
    """A number of the owner's name, (n,), 0 where blank: orders sales that are otherwise alike."""
    return units.word("owner").each(lambda name: zlib.crc32(name.encode()) + 1, 0, np.int64)


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
    numbers = {name for part in parts for name in part.numbers}
    words = {name for part in parts for name in part.words}
    return Units(
        sum(part.n for part in parts),
        {name: np.concatenate([part.number(name) for part in parts]) for name in sorted(numbers)},
        {name: _below([slim(part.word(name)) for part in parts]) for name in sorted(words)},
    )


def _below(columns: list[Coded]) -> Coded:
    levels = tuple(sorted({level for column in columns for level in column.levels}))
    codes = np.concatenate([column.lookup(levels) for column in columns])
    return Coded(codes.astype(np.int32), levels)


def slim(column: Coded) -> Coded:
    """The column without the levels that no row says.

    >>> slim(Coded(np.array([2, -1, 2]), ("a", "b", "c")))
    Coded(codes=array([ 0, -1,  0], dtype=int32), levels=('c',))
    """
    used = np.zeros(len(column.levels) + 1, dtype=bool)
    used[column.codes] = True
    used[-1] = False
    if used[:-1].all():
        return column
    codes = np.where(used, np.cumsum(used) - 1, -1).astype(np.int32)[column.codes]
    return Coded(codes, tuple(column.levels[at] for at in np.flatnonzero(used).tolist()))


def slimmed(units: Units) -> Units:
    """Units without the levels that no row says, so that a block's words are not carried along."""
    return replace(units, words={name: slim(column) for name, column in units.words.items()})
