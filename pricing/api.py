"""The Python face of the price model: tables in, pandas out.

>>> import pandas as pd, pricing
>>> from pricing.basis.settings import Settings
>>> cars = pd.DataFrame({"price": [9.0, 7.5, 6.2, 5.0], "years": [2, 4, 6, 8]})
>>> model = pricing.fit(cars, Settings(attributes={"years": "number"}), assumptions=False)
>>> list(model.predict(pd.DataFrame({"years": [5]})).columns)
['median', 'mean', 'low', 'high']
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from html import escape
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.basis.problems import Unusable, unusable
from pricing.basis.settings import Settings, read_settings
from pricing.basis.units import Units
from pricing.formulas.by_age import OLDEST
from pricing.model.price import explain, price
from pricing.model.price.encode import WEIGHT
from pricing.model.seen import sold_rows
from pricing.pipeline.frames import as_pandas, to_units

if TYPE_CHECKING:
    import pandas as pd

Day = date | None
UNDATED = date(2000, 1, 1)  # the day of a table without dates: nothing depends on it


@dataclass(frozen=True, repr=False)
class PriceModel:
    """A fitted price model. numbers: the fitted record (`model/price/price.PriceModel`); as_of: the
    day it was fitted for.

    A table is a pandas, Arrow or Polars one, a mapping of columns, or a list of records; what it
    holds that cannot be used raises `basis.problems.Unusable`, a ValueError. It is not changed.
    """

    numbers: price.PriceNumbers
    settings: Settings
    as_of: date
    canonical_words: bool

    def __repr__(self) -> str:
        return f"<PriceModel of {self.numbers.n:,} sales, as of {self.as_of}>"

    def _repr_html_(self) -> str:
        own = ", ".join(self.settings.attributes) or "none"
        rows = {"sales": f"{self.numbers.n:,}", "as of": str(self.as_of), "own columns": own}
        return as_html("Price model", rows)

    def predict(self, units: Any, coverage: float = 0.8, day: Day = None) -> pd.DataFrame:
        """The sale price of each unit as of `day` (default: the day of the fit).

        Returns a table with the index of `units` and the columns median, mean, low, high, in money;
        low to high holds a sale with probability `coverage`, strictly between 0 and 1.
        """
        import pandas as pd

        checked_shares([coverage], "coverage")
        found, index = self._law(units, day)
        low, high = price.range_of(found, coverage)
        columns = {"median": np.exp(found.center), "mean": price.mean(found)}
        return pd.DataFrame({**columns, "low": low, "high": high}, index=index)

    def quantiles(self, units: Any, probs: Sequence[float], day: Day = None) -> pd.DataFrame:
        """Quantiles of the sale price of each unit, one column for each probability, in money."""
        import pandas as pd

        checked_shares(probs, "a probability")
        found, index = self._law(units, day)
        return pd.DataFrame(price.quantiles(found, list(probs)), index=index, columns=probs)

    def explain(self, units: Any, day: Day = None) -> pd.DataFrame:
        """The terms of each unit's median in money: columns row (the index of `units`), term,
        amount; they add up to the median to 0.01."""
        import pandas as pd

        frame, when = as_pandas(units), self._day(day)
        table = to_units(frame, self.settings, self.canonical_words)
        rows = []
        for place, label in enumerate(frame.index):
            terms = explain.terms(self.numbers, table.take(np.array([place])), when)
            rows += [(label, *one) for one in terms]
        return pd.DataFrame(rows, columns=["row", "term", "amount"])

    def _law(self, units: Any, day: Day) -> tuple[price.PriceLaw, pd.Index]:
        frame, when = as_pandas(units), self._day(day)
        table = to_units(frame, self.settings, self.canonical_words)
        return price.law(self.numbers, table, when), frame.index

    def _day(self, day: Day) -> float:
        return float((checked_day(day, "day") or self.as_of).toordinal())


def fit(
    sales: Any,
    settings: Settings | Mapping[str, Any] | None = None,
    *,
    assumptions: bool = True,
    as_of: date | None = None,
    sample_weight: Sequence[float] | None = None,
    **switches: Any,
) -> PriceModel:
    """Fit the price model to a table of sales (see `PriceModel` for what may be one).

    sales: the columns of a unit (see the README), `price` at least; a table without `outcome` and
    `sold` holds sales only. Dates are dates and numbers are numbers, never text.
    settings: Settings, or the table that `pricing.toml` would hold, such as {"attributes":
    {"Mileage": "log", "CarType": "category"}}; own attributes are columns of the table: "number",
    "log" (a number that acts by its ln), "category", "ordered".
    assumptions: False for anything but household appliances: no starting prices and effects.
    as_of: the day the answers are for; default the day of the last sale.
    sample_weight: how many such sales each row stands for: 2 as if it came twice, 0 as if it were
    not there; of a fraction, the variance of its own error is divided by it.

    Raises ValueError naming column, row and value of what cannot be used. The table is not changed.
    """
    from pricing.model.price.price_fit import fit_price

    checked = checked_settings(settings)
    frame = as_pandas(sales, "a table of sales")
    if "price" not in frame:
        raise unusable("a table of sales needs it", "name the column price", column="price")
    if not assumptions and "age" not in checked.attributes and "age" in frame:
        # the ages of appliances end at forty; those of other things do not
        years = to_units(frame[["age"]], replace(checked, attributes={}), False).number("age")
        if (years > OLDEST).any():
            checked = replace(checked, attributes={**checked.attributes, "age": "number"})
    units = to_units(frame, checked, assumptions, fitting=True)
    if sample_weight is not None:
        units = _weighted(units, sample_weight)
    day = checked_day(as_of, "as_of") or _last_day(units)
    if units.n and not len(sold_rows(units, day)[0]):
        fix = f"a sale has a price, the outcome sold or none, and is not later than {day}"
        raise unusable("no row of the table is a sale", fix, column="price")
    numbers = fit_price(units, checked, day, assumed=assumptions, **switches)
    return PriceModel(numbers, checked, day, assumptions)


def _weighted(units: Units, sample_weight: Sequence[float]) -> Units:
    """As many copies of each row as it stands for, rounded up; what is too much of a copy widens
    its own error (`encode.Rows.loose`)."""
    weight = np.asarray(sample_weight, dtype=float)
    if weight.shape != (units.n,) or not np.all((weight >= 0) & np.isfinite(weight)):
        expected = f"{units.n} numbers of 0 or more, one a row"
        what = f"sample_weight of shape {weight.shape} for {units.n} rows"
        raise unusable(what, expected=expected)
    copies = np.ceil(weight).astype(int)
    rows = np.repeat(np.arange(units.n), copies)
    share = (weight / np.maximum(copies, 1))[rows]
    taken = units.take(rows)
    return taken.replaced(**{WEIGHT: share}) if (share < 1).any() else taken


def checked_day(day: Any, name: str) -> date | None:
    """The day, None where none is given; Unusable where it is no date."""
    if day is not None and not isinstance(day, date):
        fix = "give a datetime.date, for example with datetime.date.fromisoformat"
        raise unusable("is no date", fix, column=name, value=str(day), expected="a date")
    return day.date() if isinstance(day, datetime) else day


def checked_shares(shares: Sequence[Any], name: str) -> None:
    """Unusable unless each is strictly between 0 and 1."""
    for one in shares:
        if isinstance(one, str) or not 0 < one < 1:
            raise unusable(f"{name} is a share between 0 and 1, not {one!r}")


def checked_settings(settings: Any) -> Settings:
    """Settings from what a caller gives; ValueError names every mistake."""
    if settings is None:
        return Settings()
    if isinstance(settings, Settings):
        checked_settings({"attributes": settings.attributes})
        return settings
    if not isinstance(settings, Mapping):
        fix = "give pricing.basis.settings.Settings, or a dict of the keys of pricing.toml"
        raise unusable(f"settings: {settings!r} is no table of settings", fix)
    checked, problems = read_settings(settings, "settings")
    if problems:
        raise Unusable(*problems)
    return checked


def _last_day(units: Units) -> date:
    days = np.concatenate([units.number(name) for name in ("sold", "listed", "got")])
    days = days[np.isfinite(days)]
    return date.fromordinal(int(days.max())) if len(days) else UNDATED


def as_html(title: str, rows: Mapping[str, str]) -> str:
    """A small table for a notebook, the words escaped.

    >>> as_html("Shop", {"folder": "A & B"})
    '<table><caption>Shop</caption><tr><th>folder</th><td>A &amp; B</td></tr></table>'
    """
    cells = [
        f"<tr><th>{escape(name)}</th><td>{escape(said)}</td></tr>" for name, said in rows.items()
    ]
    return f"<table><caption>{escape(title)}</caption>{''.join(cells)}</table>"
