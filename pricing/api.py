"""The Python face: tables in, pandas out.

>>> import pandas as pd, pricing
>>> from pricing.basis.settings import Settings
>>> cars = pd.DataFrame({"price": [9.0, 7.5, 6.2, 5.0], "years": [2, 4, 6, 8]})
>>> model = pricing.fit(cars, Settings(attributes={"years": "number"}), assumptions=False)
>>> list(model.predict(pd.DataFrame({"years": [5]})).columns)
['median', 'mean', 'low', 'high']
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from pricing.basis import rules
from pricing.basis.home import Home, find_home
from pricing.basis.problems import Refused, Unusable, unusable
from pricing.basis.settings import Settings, load_settings, read_settings
from pricing.basis.units import Units
from pricing.formulas.by_age import OLDEST
from pricing.ingest import Answers
from pricing.model import saved
from pricing.model.price import explain, price
from pricing.model.price.encode import WEIGHT
from pricing.model.seen import sold_rows
from pricing.pages.accuracy_text import accuracy_json
from pricing.pages.compare_text import compare_json
from pricing.pages.fit_text import fit_json
from pricing.pages.quarter_text import report_json
from pricing.pipeline import (
    adding,
    asking,
    benching,
    column_table,
    fitting,
    offering,
    proving,
    question_from,
    reporting,
    without_rate,
)
from pricing.pipeline.frames import as_pandas, to_units

if TYPE_CHECKING:
    import pandas as pd

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

    def predict(self, units: Any, coverage: float = 0.8, day: date | None = None) -> pd.DataFrame:
        """The sale price of each unit as of `day` (default: the day of the fit).

        Returns a table with the index of `units` and the columns median, mean, low, high, in money;
        low to high holds a sale with probability `coverage`. Raises ValueError unless 0 < coverage
        < 1.
        """
        import pandas as pd

        checked_shares([coverage], "coverage")
        found, index = self._law(units, day)
        low, high = price.range_of(found, coverage)
        columns = {"median": np.exp(found.center), "mean": price.mean(found)}
        return pd.DataFrame({**columns, "low": low, "high": high}, index=index)

    def quantiles(
        self, units: Any, probs: Sequence[float], day: date | None = None
    ) -> pd.DataFrame:
        """Quantiles of the sale price of each unit, one column for each probability, in money."""
        import pandas as pd

        checked_shares(probs, "a probability")
        found, index = self._law(units, day)
        return pd.DataFrame(price.quantiles(found, list(probs)), index=index, columns=probs)

    def explain(self, units: Any, day: date | None = None) -> pd.DataFrame:
        """The terms of each unit's median in money: columns row (the index of `units`), term,
        amount; they add up to the median to 0.01."""
        import pandas as pd

        frame, when = as_pandas(units), self._day(day)
        table = to_units(frame, self.settings, self.canonical_words)
        rows = [
            (label, term, amount)
            for place, label in enumerate(frame.index)
            for term, amount in explain.terms(self.numbers, table.take(np.array([place])), when)
        ]
        return pd.DataFrame(rows, columns=["row", "term", "amount"])

    def _law(self, units: Any, day: date | None) -> tuple[price.PriceLaw, pd.Index]:
        frame, when = as_pandas(units), self._day(day)
        table = to_units(frame, self.settings, self.canonical_words)
        return price.law(self.numbers, table, when), frame.index

    def _day(self, day: date | None) -> float:
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
    {"Mileage": "log", "CarType": "category"}}.
        Attributes may be any columns of the table: "number", "log" (a number that acts by its ln),
            "category", "ordered".
    assumptions: False for anything but household appliances: no starting prices and effects, and
    the words are taken as they are.
    as_of: the day the answers are for; default the day of the last sale; of no account where no
    sale is dated.
    sample_weight: how many such sales each row stands for: 2 as if it came twice, 0 as if it were
    not there; of a fraction, the variance of its own error is divided by it.

    Raises ValueError naming column, row and value of what cannot be used, and where no row is a
    sale. The table given is not changed.
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
    return PriceModel(
        fit_price(units, checked, day, assumed=assumptions, **switches), checked, day, assumptions
    )


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


@dataclass(frozen=True, repr=False)
class Shop:
    """One person's record: the stories of the commands, so their answers. home: its folder; day:
    the day that answers are for, today where it is None.

    Single answers are records, as `--json` prints them (docs/json.md); many are pandas tables whose
    columns are the fields, `price.median` for one inside another; pictures are figures of
    matplotlib. What cannot be served raises `basis.problems.Refused`.
    """

    home: Home
    day: date | None = None

    def __repr__(self) -> str:
        return f"<Shop in {self.home.path}>"

    @property
    def as_of(self) -> date:
        """The day that answers are for."""
        return self.day or date.today()

    @property
    def settings(self) -> Settings:
        """The settings as they stand in the folder now."""
        return load_settings(self.home)

    def add(
        self, sheet: Any, *, dry_run: bool = False, learn: bool = True, **said: Any
    ) -> dict[str, Any]:
        """Record a file or a table, and learn from it. said: what only the person can say of it,
        the fields of `ingest.Answers`, such as date_order="dmy"."""
        with tempfile.TemporaryDirectory() as folder:
            path = Path(sheet) if isinstance(sheet, str | Path) else Path(folder) / "table.csv"
            if not isinstance(sheet, str | Path):
                as_pandas(sheet).to_csv(path, index=False)
            told = (self.settings, self.as_of, Answers(**said), dry_run)
            added = adding.add(self.home, path, *told)
            if added.entry is not None and learn and not dry_run:
                self.fit()
            return column_table.as_dict(added)

    def fit(self) -> dict[str, Any]:
        """Learn from the record, and what was learned."""
        return fit_json(fitting.fit(self.home, self.settings, self.as_of))

    def offer(self, what: Any, **options: Any) -> Any:
        """The most to pay. what: words, a record of a question's fields, or a table of such, a row
        a call; options: fields too, such as their_price=40."""
        return self._answer("offer", what, options, offering.offer, rules.load(self.home))

    def bench(self, what: Any, **options: Any) -> Any:
        """Go on, sell as-is, part out or scrap."""
        return self._answer("bench", what, options, benching.bench, rules.load(self.home))

    def ask(self, what: Any, **options: Any) -> Any:
        """What to ask; unit="212" for one of the record."""
        return self._answer("ask", what, options, asking.ask)

    def _answer(self, purpose: str, what: Any, options: Any, story: Any, *more: Any) -> Any:
        import pandas as pd

        numbers, settings, day = saved.load(self.home), self.settings, self.as_of

        def answer(words: str, told: Mapping[str, Any]) -> dict[str, Any]:
            without_rate.hold(words, told, purpose, settings, day)
            one = question_from.asked(words, told, settings, day, numbers, purpose)
            found: dict[str, Any] = story(one, numbers, settings, day, *more).as_dict()
            return found

        if isinstance(what, str):
            return answer(what, options)
        if isinstance(what, dict) and all(map(pd.api.types.is_scalar, what.values())):
            return answer("", {**what, **options})
        frame, found = as_pandas(what), []
        for row in frame.astype(object).where(frame.notna(), None).to_dict("records"):
            try:
                found.append(answer("", {**row, **options}))
            except Refused as refusal:
                found.append({"problem": str(refusal.problems[0])})
        return pd.json_normalize(found, max_level=1).set_axis(frame.index)

    def unsold(self) -> pd.DataFrame:
        """Every unit that is listed, with its next step."""
        answer = asking.unsold(self.home, self.settings, self.as_of)
        return _table(answer.as_dict(), "unsold")

    def compare(self, by: str | Sequence[str] = "type") -> pd.DataFrame:
        """What pays per hour, a row a group; `attrs` holds what is said of all of them."""
        names = (by,) if isinstance(by, str) else tuple(by)
        compared = reporting.compare(self.home, self.settings, self.as_of, names)
        whole = compare_json(compared, self.settings.currency, self.as_of.isoformat())
        return _table(whole, "groups")

    def report(self, quarter: str | None = None, out: str | Path | None = None) -> dict[str, Any]:
        """The quarter as numbers; `files` are those written."""
        folder = Path(out) if out is not None else None
        done = reporting.report(self.home, self.settings, self.as_of, quarter, folder)
        return dict(report_json(done.report, done.page, list(map(str, done.files))))

    def accuracy(self) -> dict[str, Any]:
        """Were the estimates right: the record replayed by date."""
        proof = proving.prove(self.home, self.settings, self.as_of)
        day = self.as_of.isoformat()
        return dict(accuracy_json(proof.accuracy, proof.card, day, proof.warning))

    def draw(self, what: str, *words: str, **options: Any) -> Any:
        """The picture of an answer, a matplotlib Figure: draw("ask", "gas range, 8 years"),
        draw("compare", "type"), draw("accuracy")."""
        from pricing.pages import charts

        settings, day = self.settings, self.as_of
        if what == "ask":
            numbers = saved.load(self.home)
            told = (" ".join(words), options, settings, day, numbers, what)
            one = question_from.asked(*told)
            return asking.picture(one, numbers, settings, self.home, day).figure
        if what == "compare":
            found = reporting.compare(self.home, settings, day, words or ("type",)).comparison
            return reporting.picture(found, settings, self.home, day).figure
        if what == "accuracy":
            judged = proving.prove(self.home, settings, day).accuracy
            return charts.calls(proving.calls_of(judged), settings.currency).figure
        raise unusable(f"there is no picture of {what!r}", "draw ask, compare or accuracy")


def _table(answer: Mapping[str, Any], rows: str) -> pd.DataFrame:
    """One list of an answer as a table; the rest of the answer as its `attrs`."""
    import pandas as pd

    table = pd.json_normalize(answer[rows], max_level=1)
    table.attrs = {name: value for name, value in answer.items() if name != rows}
    return table


def open_home(home: str | Path | None = None, day: date | None = None) -> Shop:
    """The record of a folder (default: where the commands look for it), for the day `day`."""
    return Shop(find_home(None if home is None else str(home)), checked_day(day, "day"))
