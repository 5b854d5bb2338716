"""The Python face: pandas in, pandas out.

>>> import pandas as pd, pricing
>>> from pricing.basis.settings import Settings
>>> cars = pd.DataFrame({"price": [9.0, 7.5, 6.2, 5.0], "years": [2, 4, 6, 8]})
>>> model = pricing.fit(cars, Settings(attributes={"years": "number"}), assumptions=False)
>>> list(model.predict(pd.DataFrame({"years": [5]})).columns)
['median', 'mean', 'low', 'high']
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.basis.columns import BY_NAME
from pricing.basis.settings import ATTRIBUTE_KINDS, Settings, read_settings
from pricing.basis.units import Coded, Units, from_frame
from pricing.basis.words import canonical
from pricing.model.price import explain, price
from pricing.model.price.ages import OLDEST
from pricing.model.price.encode import mapped

if TYPE_CHECKING:
    import pandas as pd

UNDATED = date(2000, 1, 1)  # the day of a table without dates: nothing depends on it


@dataclass(frozen=True)
class PriceModel:
    """A fitted price model. numbers: the fitted record (`model/price/price.PriceModel`); as_of: the
    day it was fitted for."""

    numbers: price.PriceNumbers
    settings: Settings
    as_of: date
    canonical_words: bool

    def predict(
        self, units: pd.DataFrame, coverage: float = 0.8, day: date | None = None
    ) -> pd.DataFrame:
        """The sale price of each unit as of `day` (default: the day of the fit).

        Returns a table with the index of `units` and the columns median, mean, low, high, in money;
        low to high holds a sale with probability `coverage`. Raises ValueError unless 0 < coverage
        < 1. The table given is not changed.
        """
        import pandas as pd

        if not 0 < coverage < 1:
            raise ValueError(f"coverage is a share between 0 and 1, not {coverage!r}")
        found = self._law(units, day)
        low, high = price.range_of(found, coverage)
        return pd.DataFrame(
            {"median": np.exp(found.center), "mean": price.mean(found), "low": low, "high": high},
            index=units.index,
        )

    def quantiles(
        self, units: pd.DataFrame, probs: list[float], day: date | None = None
    ) -> pd.DataFrame:
        """Quantiles of the sale price of each unit, one column for each probability, in money."""
        import pandas as pd

        return pd.DataFrame(
            price.quantiles(self._law(units, day), probs), index=units.index, columns=probs
        )

    def explain(self, units: pd.DataFrame, day: date | None = None) -> pd.DataFrame:
        """The terms of each unit's median in money: columns row (the index of `units`), term,
        amount; they add up to the median to 0.01."""
        import pandas as pd

        table = to_units(units, self.settings, self.canonical_words)
        rows = [
            (label, term, amount)
            for place, label in enumerate(units.index)
            for term, amount in explain.terms(
                self.numbers, table.take(np.array([place])), float((day or self.as_of).toordinal())
            )
        ]
        return pd.DataFrame(rows, columns=["row", "term", "amount"])

    def _law(self, units: pd.DataFrame, day: date | None) -> price.PriceLaw:
        return price.law(
            self.numbers,
            to_units(units, self.settings, self.canonical_words),
            float((day or self.as_of).toordinal()),
        )


def fit(
    sales: pd.DataFrame,
    settings: Settings | Mapping[str, Any] | None = None,
    *,
    assumptions: bool = True,
    as_of: date | None = None,
    **switches: Any,
) -> PriceModel:
    """Fit the price model to a table of sales.

    sales: the columns of a unit (see the README), `price` at least; a table without `outcome` and
    `sold` holds sales only.
    settings: Settings, or the table that `pricing.toml` would hold, such as {"attributes":
    {"Mileage": "log", "CarType": "category"}}.
        Attributes may be any columns of the table: "number", "log" (a number that acts by its ln),
            "category", "ordered".
    assumptions: False for anything but household appliances: no starting prices and effects, and
    the words are taken as they are.
    as_of: the day the answers are for; default the day of the last sale; of no account where no
    sale is dated.

    Raises ValueError where `price` is missing or a setting is wrong. The table given is not
    changed.
    """
    from pricing.model.price.price_fit import fit_price

    checked = checked_settings(settings)
    if "price" not in sales.columns:
        raise ValueError("a table of sales needs a column price")
    # the ages of appliances end at forty; those of other things do not
    ages = sales["age"] if "age" in sales and not assumptions else np.zeros(1)
    if (
        "age" not in checked.attributes
        and np.asarray(ages).dtype.kind in "fi"
        and max(ages) > OLDEST
    ):
        checked = replace(checked, attributes={**checked.attributes, "age": "number"})
    units = to_units(sales, checked, assumptions)
    day = as_of or _last_day(units)
    return PriceModel(
        fit_price(units, checked, day, assumed=assumptions, **switches), checked, day, assumptions
    )


def checked_settings(settings: Settings | Mapping[str, Any] | None) -> Settings:
    """Settings from what a caller gives; ValueError names every mistake."""
    if settings is None:
        return Settings()
    if isinstance(settings, Settings):
        wrong = {
            name: kind for name, kind in settings.attributes.items() if kind not in ATTRIBUTE_KINDS
        }
        if wrong:
            raise ValueError(f"an attribute is one of {', '.join(ATTRIBUTE_KINDS)}, not {wrong}")
        return settings
    checked, problems = read_settings(settings, "settings")
    if problems:
        raise ValueError("; ".join(str(problem) for problem in problems))
    return checked


def _last_day(units: Units) -> date:
    days = np.concatenate([units.number(name) for name in ("sold", "listed", "got")])
    days = days[np.isfinite(days)]
    return date.fromordinal(int(days.max())) if len(days) else UNDATED


def to_units(frame: pd.DataFrame, settings: Settings, canonical_words: bool) -> Units:
    """A pandas table as Units; an own attribute that shares the name of a column of ours is read as
    the attribute."""
    import pandas as pd

    flat = frame.copy(deep=False)
    flat.columns = [str(name) for name in frame.columns]
    numeric = settings.number_attributes
    own_words = [
        name
        for name, kind in settings.attributes.items()
        if kind in ("category", "ordered") and name in flat.columns
    ]
    for name in own_words:
        column = flat[name]
        flat[name] = (
            column.astype(object)
            .where(column.notna(), None)
            .map(lambda value: None if value is None else _as_word(value))
        )
    for name in flat.columns:
        if name in BY_NAME and BY_NAME[name].kind == "date" and name not in settings.attributes:
            continue
        if pd.api.types.is_bool_dtype(flat[name]) and name in numeric:
            flat[name] = flat[name].astype(float)
    clash = [
        name
        for name in own_words
        if name in BY_NAME and BY_NAME[name].kind in ("number", "money", "date")
    ]
    units = from_frame(flat.drop(columns=clash), numeric)
    words = {name: Coded.of(flat[name].tolist()) for name in clash}
    words = {**units.words, **words}
    if canonical_words:
        for name in (
            "type",
            "maker",
            "condition",
            "features",
            "fuel",
            "finish",
            "repair",
            "sold_where",
            "outcome",
            "tier",
        ):
            if name in words and name not in settings.attributes:
                words[name] = _canonical(words[name], name, settings)
    return Units(units.n, units.numbers, words)


def _as_word(value: Any) -> str:
    """Words as they are; whole numbers without their point."""
    if isinstance(value, (float, np.floating)) and float(value).is_integer():
        return str(int(value))
    return str(value)


def _canonical(column: Coded, name: str, settings: Settings) -> Coded:
    levels = [canonical(name, level, settings) for level in column.levels]
    return mapped(column, levels)
