"""What a year, a grade, a feature or a make is worth now, and where prices have gone: differences
within the price model, with ranges.

A difference of two units a and b that differ in one thing is  d = (offset_a - offset_b) + (z_a -
z_b)'m  with variance
|(z_a - z_b)'L|^2, where S = L L'; what the model has never seen adds its own. In percent it is
100 (exp(d - V/2) - 1)
(Kennedy 1981, Am. Econ. Rev. 71(4)); the range is exp of the ends of d -+ z sd.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import pairwise

import numpy as np

from pricing.basis.columns import CONDITIONS
from pricing.basis.frozen import frozen
from pricing.basis.units import Coded, Units
from pricing.model.price import encode
from pricing.model.price.price import PriceNumbers, law

Z80 = 1.2815515594457831  # normal quantile of .90: four in five lie within
MOST_FEATURES, MOST_TYPES = 6, 3
OLDER = 3.0  # years


@frozen
class Effect:
    """What one thing is worth. on: the type it is said of, usual: what such a unit without it sells
    for; share, low, high: of that price (0.05 = 5 % more); n: own sales that have it."""

    what: str
    on: str
    usual: float
    share: float
    low: float
    high: float
    n: int

    @property
    def clear(self) -> bool:
        """Whether the range leaves zero out."""
        return self.low > 0 or self.high < 0


@frozen
class Level:
    """Price level by month against the last one. level, low, high: 1 = as at the end; n: sales."""

    months: tuple[str, ...]
    level: np.ndarray
    low: np.ndarray
    high: np.ndarray
    n: np.ndarray


def contrast(
    model: PriceNumbers, a: Units, b: Units, day_a: np.ndarray | float, day_b: np.ndarray | float
) -> tuple[np.ndarray, np.ndarray]:
    """ln price of a less that of b, row by row, and its standard deviation: (n,) each."""
    rows_a, rows_b = encode.read(model.encoding, a, day_a), encode.read(model.encoding, b, day_b)
    gap = rows_a.columns - rows_b.columns
    difference = rows_a.offset - rows_b.offset + gap @ model.mean
    unseen = np.abs(rows_a.missing - rows_b.missing) @ model.scales**2 + model.walk**2 * np.abs(
        rows_a.ahead - rows_b.ahead
    )
    return difference, np.sqrt(((gap @ model.factor) ** 2).sum(1) + unseen)


@frozen
class _Question:
    """What is asked of the model: the worth of having `has` instead of `lacks`, on one type."""

    what: str
    on: str
    has: Mapping[str, float | str]
    lacks: Mapping[str, float | str]
    n: int


def worths(model: PriceNumbers, sales: Units, as_of: date) -> tuple[Effect, ...]:
    """A year's wear, grades and features, on the types the person sells most, as of a day."""
    by_count = sorted(model.types.items(), key=lambda item: (-item[1], item[0]))
    types = [name for name, n in by_count if name and n > 0][:MOST_TYPES]
    if not types:
        return ()
    asked = (*_wear(model, sales, types), *_grades(model, sales, types[0]), *_extras(model, sales))
    return tuple(_worth(model, float(as_of.toordinal()), one) for one in asked)


def _wear(model: PriceNumbers, sales: Units, types: Sequence[str]) -> Iterator[_Question]:
    """Some years more, for each type."""
    kinds = np.array(sales.word("type").texts())
    has_age = np.isfinite(sales.number("age"))
    for name in types:
        usual = _usual_age(model, name)
        n = int(((kinds == name) & has_age).sum())
        what = f"{OLDER:.0f} years older"
        yield _Question(what, name, {"age": usual + OLDER}, {"age": usual}, n)


def _grades(model: PriceNumbers, sales: Units, name: str) -> Iterator[_Question]:
    """Each grade instead of the next lower one, where both were sold."""
    usual, conditions = _usual_age(model, name), sales.word("condition").texts()
    for worse, better in pairwise(CONDITIONS):
        n = min(conditions.count(worse), conditions.count(better))
        if n:
            has: Mapping[str, float | str] = {"age": usual, "condition": better}
            lacks: Mapping[str, float | str] = {"age": usual, "condition": worse}
            yield _Question(f"{better} instead of {worse}", name, has, lacks, n)


def _extras(model: PriceNumbers, sales: Units) -> Iterator[_Question]:
    """The commonest features, each on the type that has it most often."""
    features: dict[str, Counter[str]] = {}
    both = zip(sales.word("features").texts(), sales.word("type").texts(), strict=True)
    for text, kind in both:
        for feature in {part.strip() for part in text.split(";") if part.strip()}:
            features.setdefault(feature, Counter())[kind] += 1
    commonest = sorted(features.items(), key=lambda item: (-item[1].total(), item[0]))
    for feature, by_type in commonest[:MOST_FEATURES]:
        kind = max(by_type, key=lambda each: (by_type[each], each))
        own: dict[str, float | str] = {"age": _usual_age(model, kind)}
        # An empty list may mean that nothing was written down; a word nobody uses says that there
        # are features, and this is not one.
        yield _Question(feature, kind, {**own, "features": feature}, own, by_type.total())


def _usual_age(model: PriceNumbers, name: str) -> float:
    """The usual age of a type's sales; 6.5 years for a type that has none (own judgement)."""
    return model.usual_age.get(name, 6.5)


def _worth(model: PriceNumbers, day: float, asked: _Question) -> Effect:
    has, lacks = _one(asked.on, asked.has), _one(asked.on, asked.lacks)
    (difference,), (error,) = contrast(model, has, lacks, day, day)
    return Effect(
        asked.what,
        asked.on,
        float(np.exp(law(model, lacks, day).center[0])),
        # the mean of a factor whose logarithm is normal lies above the exp of its middle
        # (Kennedy 1981): a log gap of .20 known to .10 is 21.5 %, not 22.1
        float(np.exp(difference - error**2 / 2) - 1),
        float(np.exp(difference - Z80 * error) - 1),
        float(np.exp(difference + Z80 * error) - 1),
        asked.n,
    )


def _one(type_name: str, values: Mapping[str, float | str]) -> Units:
    plain = ((name, value) for name, value in values.items() if not isinstance(value, str))
    numbers = {name: np.array([value]) for name, value in plain}
    words = {name: Coded.of([value]) for name, value in values.items() if isinstance(value, str)}
    return Units(1, numbers, {"type": Coded.of([type_name]), **words})


def price_level(
    model: PriceNumbers, sales: Units, last: date, most_months: int = 24
) -> Level | None:
    """The level of prices by month up to that of `last`; None with sales in under three months."""
    sold = sales.number("sold")
    sold = sold[np.isfinite(sold) & (sold <= last.toordinal())]
    if not len(sold):
        return None
    first = date.fromordinal(int(sold.min()))
    count = min((last.year - first.year) * 12 + last.month - first.month + 1, most_months)
    starts = [_month(last, back) for back in range(count - 1, -2, -1)]
    days = np.array([start.toordinal() for start in starts])
    n = np.diff(np.searchsorted(np.sort(sold), days))
    if (n > 0).sum() < 3:
        return None
    middle = days[:-1] + 14.0
    name = max(model.types, key=lambda each: (model.types[each], each)) if model.types else ""
    age = np.full(count, model.usual_age.get(name, 6.5))
    unit = Units(count, {"age": age}, {"type": Coded.of([name] * count)})
    difference, error = contrast(model, unit, unit, middle, np.full(count, middle[-1]))
    level, low, high = (np.exp(difference + sign * Z80 * error) for sign in (0, -1, 1))
    return Level(tuple(f"{start:%Y-%m}" for start in starts[:-1]), level, low, high, n)


def _month(day: date, back: int) -> date:
    """First day of the month `back` months before that of `day`."""
    months = day.year * 12 + day.month - 1 - back
    return date(months // 12, months % 12 + 1, 1)
