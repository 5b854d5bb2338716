"""What a year, a grade, a feature or a make is worth now, and where prices have gone: differences
within the price model, with ranges.

A difference of two units a and b that differ in one thing is  d = (offset_a - offset_b) + (z_a -
z_b)'m  with variance
|(z_a - z_b)'L|^2, where S = L L'; what the model has never seen adds its own. In percent it is
100 (exp(d - V/2) - 1)
(Kennedy 1981, Am. Econ. Rev. 71(4)); the range is exp of the ends of d -+ z sd.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from itertools import pairwise

import numpy as np

from pricing.basis.columns import CONDITIONS
from pricing.basis.frozen import frozen
from pricing.basis.units import Coded, Units
from pricing.model.price import encode
from pricing.model.price.price import PriceModel, law

Z80 = 1.2815515594457831  # normal quantile of .90: four in five lie within
MOST_FEATURES, MOST_TYPES = 6, 3
OLDER = 3.0  # years


@frozen
class Worth:
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
    """Price level month by month against the last one. months: as "2026-03"; level, low, high: 1 =
    as at the end; n: sales in it."""

    months: tuple[str, ...]
    level: np.ndarray
    low: np.ndarray
    high: np.ndarray
    n: np.ndarray


def contrast(
    model: PriceModel, a: Units, b: Units, day_a: np.ndarray | float, day_b: np.ndarray | float
) -> tuple[np.ndarray, np.ndarray]:
    """ln price of a less that of b, row by row, and its standard deviation: (n,) each, log
    points."""
    rows_a, rows_b = encode.read(model.encoding, a, day_a), encode.read(model.encoding, b, day_b)
    gap = rows_a.columns - rows_b.columns
    difference = rows_a.offset - rows_b.offset + gap @ model.mean
    unseen = np.abs(rows_a.missing - rows_b.missing) @ model.scales**2 + model.walk**2 * np.abs(
        rows_a.ahead - rows_b.ahead
    )
    return difference, np.sqrt(((gap @ model.factor) ** 2).sum(1) + unseen)


def worths(model: PriceModel, sales: Units, as_of: date) -> tuple[Worth, ...]:
    """A year's wear, the grades and the features that the person sells most, on the types the
    person sells most, as of a day."""
    day = float(as_of.toordinal())
    types = [
        name
        for name, n in sorted(model.types.items(), key=lambda item: (-item[1], item[0]))
        if name and n > 0
    ][:MOST_TYPES]
    if not types:
        return ()
    out = []
    all_types = sales.word("type").texts()
    ages = sales.number("age")
    for name in types:
        usual = model.usual_age.get(name, 6.5)
        mine = np.array([text == name for text in all_types])
        out.append(
            _worth(
                model,
                day,
                f"{OLDER:.0f} years older",
                name,
                {"age": usual + OLDER},
                {"age": usual},
                int((mine & np.isfinite(ages)).sum()),
            )
        )
    name, usual = types[0], model.usual_age.get(types[0], 6.5)
    conditions = sales.word("condition").texts()
    for worse, better in pairwise(CONDITIONS):
        n = min(conditions.count(worse), conditions.count(better))
        if n:
            out.append(
                _worth(
                    model,
                    day,
                    f"{better} instead of {worse}",
                    name,
                    {"age": usual, "condition": better},
                    {"age": usual, "condition": worse},
                    n,
                )
            )
    features: dict[str, dict[str, int]] = {}
    for text, kind in zip(sales.word("features").texts(), all_types, strict=True):
        for feature in {part.strip() for part in text.split(";") if part.strip()}:
            by_type = features.setdefault(feature, {})
            by_type[kind] = by_type.get(kind, 0) + 1
    for feature, by_type in sorted(
        features.items(), key=lambda item: (-sum(item[1].values()), item[0])
    )[:MOST_FEATURES]:
        kind = max(by_type, key=lambda each: (by_type[each], each))
        own = {"age": model.usual_age.get(kind, 6.5)}
        # An empty list may mean that nothing was written down; a word nobody uses says that there
        # are features, and this is not one.
        out.append(
            _worth(
                model, day, feature, kind, {**own, "features": feature}, own, sum(by_type.values())
            )
        )
    return tuple(out)


def _worth(
    model: PriceModel,
    day: float,
    what: str,
    on: str,
    has: Mapping[str, float | str],
    lacks: Mapping[str, float | str],
    n: int,
) -> Worth:
    (difference,), (error,) = contrast(model, _one(on, has), _one(on, lacks), day, day)
    usual = float(np.exp(law(model, _one(on, lacks), day).center[0]))
    return Worth(
        what,
        on,
        usual,
        float(np.exp(difference - error**2 / 2) - 1),
        float(np.exp(difference - Z80 * error) - 1),
        float(np.exp(difference + Z80 * error) - 1),
        n,
    )


def _one(type_name: str, values: Mapping[str, float | str]) -> Units:
    numbers = {
        name: np.array([value]) for name, value in values.items() if not isinstance(value, str)
    }
    words = {name: Coded.of([value]) for name, value in values.items() if isinstance(value, str)}
    return Units(1, numbers, {"type": Coded.of([type_name]), **words})


def price_level(model: PriceModel, sales: Units, last: date, most_months: int = 24) -> Level | None:
    """The level of prices month by month up to the month of `last`, for the same unit; None with
    sales in fewer than three months."""
    sold = sales.number("sold")
    sold = sold[np.isfinite(sold) & (sold <= last.toordinal())]
    if not len(sold):
        return None
    first = date.fromordinal(int(sold.min()))
    count = min((last.year - first.year) * 12 + last.month - first.month + 1, most_months)
    starts = [_month(last, k) for k in range(count - 1, -1, -1)]
    ends = [_month(last, k - 1) for k in range(count - 1, -1, -1)]
    n = np.array(
        [
            int(((sold >= a.toordinal()) & (sold < b.toordinal())).sum())
            for a, b in zip(starts, ends, strict=True)
        ]
    )
    if (n > 0).sum() < 3:
        return None
    middle = np.array([float(a.toordinal() + 14) for a in starts])
    name = max(model.types, key=lambda each: (model.types[each], each)) if model.types else ""
    unit = Units(
        count,
        {"age": np.full(count, model.usual_age.get(name, 6.5))},
        {"type": Coded.of([name] * count)},
    )
    difference, error = contrast(model, unit, unit, middle, np.full(count, middle[-1]))
    return Level(
        tuple(f"{a:%Y-%m}" for a in starts),
        np.exp(difference),
        np.exp(difference - Z80 * error),
        np.exp(difference + Z80 * error),
        n,
    )


def _month(day: date, back: int) -> date:
    """First day of the month `back` months before that of `day`."""
    months = day.year * 12 + day.month - 1 - back
    return date(months // 12, months % 12 + 1, 1)
