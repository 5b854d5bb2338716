"""What cannot be used is refused by column, row and value: from Python nothing wrong is answered."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np
import pandas as pd
import pyarrow as pa
import pytest
from invented_sales import sales

import pricing
from pricing.basis.problems import Unusable
from pricing.basis.settings import Settings

N = 24


def table(**changed: Any) -> pd.DataFrame:
    """Invented sales with some columns changed; a column of None is left out."""
    frame = pd.DataFrame(sales(N))
    frame["sold"] = [date.fromordinal(int(day)) for day in frame["sold"]]
    frame = frame.assign(**changed)
    return frame.drop(columns=[name for name, value in changed.items() if value is None])


def one(name: str, row: int, value: Any) -> pd.DataFrame:
    """Invented sales with one cell changed."""
    column = table()[name].astype(object)
    column.iloc[row] = value
    return table(**{name: column})


def other(X: dict[str, Any], y: Any = None, **options: Any) -> Any:
    rows = len(next(iter(X.values())))
    y = np.linspace(10, 20, rows) if y is None else y
    return pricing.PriceRegressor(**options).fit(pd.DataFrame(X), y)


ONE_KIND = pd.DataFrame({"type": ["gas range"], "age": [7.0]})
GOODS = {"years": [1.0, 2, 3, 4], "make": ["a", "b", "a", "b"]}
# what is done, and what the error must name: column, row, value, and what was expected
WRONG: dict[str, tuple[Callable[[], Any], tuple[str, ...]]] = {
    "a price as text": (lambda: pricing.fit(one("price", 3, "$600")), ("price", "row 3", "$600", "250.0")),
    "prices of digits as text": (
        lambda: pricing.fit(table(price=table()["price"].astype(str))), ("price", "row 0", "23 more rows", "250.0")),
    "a negative price": (lambda: pricing.fit(one("price", 5, -40.0)), ("price", "row 5", "-40.0", "above 0")),
    "a price of nothing": (lambda: pricing.fit(one("price", 5, 0)), ("price", "row 5", "'0", "above 0")),
    "an infinite price": (lambda: pricing.fit(one("price", 2, np.inf)), ("price", "row 2", "inf", "infinite")),
    "no price at all": (lambda: pricing.fit(table(price=None)), ("price", "a table of sales needs it")),
    "prices all blank": (lambda: pricing.fit(table(price=np.nan)), ("price", "no row of the table is a sale")),
    "an age below 0": (lambda: pricing.fit(one("age", 4, -8.0)), ("age", "row 4", "-8", "from 0")),
    "an age of 300": (lambda: pricing.fit(one("age", 4, 300.0)), ("age", "row 4", "300", "120")),
    "an age as text": (lambda: pricing.fit(one("age", 1, "7 years")), ("age", "row 1", "7 years", "number")),
    "days as text": (
        lambda: pricing.fit(table(sold=["2026-03-01"] * N)), ("sold", "row 0", "2026-03-01", "datetime.date")),
    "one day as text": (lambda: pricing.fit(one("sold", 7, "soon")), ("sold", "row 7", "soon", "datetime.date")),
    "years for days": (lambda: pricing.fit(table(sold=[2026] * N)), ("sold", "row 0", "2026", "datetime.date")),
    "a type of numbers": (lambda: pricing.fit(table(type=range(N))), ("type", "row 0", "'0'", "text")),
    "a grade nobody knows": (lambda: pricing.fit(one("condition", 6, "purple")), ("condition", "row 6", "purple", "like new")),
    "an outcome nobody knows": (lambda: pricing.fit(one("outcome", 6, "purple")), ("outcome", "row 6", "purple", "scrapped")),
    "a capital heading": (lambda: pricing.fit(table().rename(columns={"type": "Type"})), ("Type", "did you mean 'type'")),
    "a slip in a heading": (lambda: pricing.fit(table().rename(columns={"age": "agee"})), ("agee", "did you mean 'age'")),
    "a heading twice": (lambda: pricing.fit(pd.concat([table(), table()[["age"]]], axis=1)), ("age", "twice")),
    "an attribute not there": (
        lambda: pricing.fit(table(), {"attributes": {"weight": "number"}}), ("weight", "no column", "maker")),
    "an attribute of a kind nobody knows": (
        lambda: pricing.fit(table(), Settings(attributes={"age": "size"})), ("attributes.age", "size", "category")),
    "a number attribute of words": (
        lambda: pricing.fit(table(hue="red"), {"attributes": {"hue": "number"}}), ("hue", "row 0", "red", "number")),
    "the ln of a negative": (
        lambda: pricing.fit(table(kw=-1.0), {"attributes": {"kw": "log"}}), ("kw", "row 0", "-1.0", "above 0")),
    "settings as a path": (lambda: pricing.fit(table(), "pricing.toml"), ("settings", "pricing.toml", "dict")),  # type: ignore[arg-type]
    "a day as text": (lambda: pricing.fit(table(), as_of="2026-10-01"), ("as_of", "2026-10-01", "datetime.date")),  # type: ignore[arg-type]
    "no table": (lambda: pricing.fit(12), ("int", "a table of sales", "data frame")),
    "weights of other rows": (lambda: pricing.fit(table(), sample_weight=[1.0]), ("sample_weight", "(1,)", str(N))),
    "a negative weight": (lambda: pricing.fit(table(), sample_weight=[-1.0] * N), ("sample_weight", "0 or more")),
    "an asked age as text": (
        lambda: pricing.fit(table()).predict(pd.DataFrame({"type": ["gas range"], "age": ["7"]})), ("age", "row 0", "'7'", "number")),
    "asked under a capital": (
        lambda: pricing.fit(table()).predict(pd.DataFrame({"Type": ["gas range"]})), ("Type", "did you mean 'type'")),
    "asked about nothing": (lambda: pricing.fit(table()).predict({"hue": ["red"]}), ("no column", "type")),
    "a coverage of 80": (lambda: pricing.fit(table()).predict(ONE_KIND, coverage=80), ("coverage", "80", "between 0 and 1")),
    "a probability of 1.5": (lambda: pricing.fit(table()).quantiles(ONE_KIND, [1.5]), ("probability", "1.5", "between 0 and 1")),
    "a day of an answer as text": (lambda: pricing.fit(table()).predict(ONE_KIND, day="now"), ("day", "now", "date")),  # type: ignore[arg-type]
    "regressor: prices as text": (lambda: other(GOODS, ["10", "$12", "9", "8"]), ("y", "row 0", "'10'", "amount")),
    "regressor: a negative price": (lambda: other(GOODS, [10.0, 12, -9, 8]), ("y", "row 2", "-9.0", "above 0")),
    "regressor: an infinite price": (lambda: other(GOODS, [10.0, np.inf, 9, 8]), ("y", "row 1", "inf", "amount")),
    "regressor: digits as text": (lambda: other({"years": ["1", "2", "3", "4"]}), ("years", "row 0", "'1'", "to_numeric")),
    "regressor: days": (lambda: other({"day": pd.to_datetime(["2026-01-01"] * 4)}), ("day", "row 0", "2026-01-01")),
    "regressor: an infinite number": (lambda: other(GOODS | {"years": [1, 2, np.inf, 4]}), ("years", "row 2", "infinite")),
    "regressor: an attribute not there": (lambda: other(GOODS, attributes={"km": "log"}), ("km", "no column", "years")),
    "regressor: coverage at the fit": (lambda: other(GOODS, coverage=2), ("coverage", "2", "between 0 and 1")),
}  # fmt: skip


@pytest.mark.parametrize("wrong", WRONG)
def test_what_cannot_be_used_is_named(wrong: str) -> None:
    done, names = WRONG[wrong]
    with pytest.raises(Unusable) as refused:
        done()

    said = str(refused.value)
    assert all(name in said for name in names), said
    assert isinstance(refused.value, ValueError)


def test_every_column_is_named_at_once() -> None:
    wrong = table(price="$600", age=-1.0, sold="today")
    with pytest.raises(Unusable) as refused:
        pricing.fit(wrong)

    assert {one.column for one in refused.value.problems} == {"price", "age", "sold"}


def test_the_same_answer_from_every_kind_of_table() -> None:
    """pandas, Arrow, Polars, whatever speaks the interchange protocol, columns and records."""
    polars = pytest.importorskip("polars")
    frame = table()
    asked = {"type": ["gas range", "dishwasher"], "age": [7.0, 3.0], "condition": ["good", None]}

    class Speaks:
        def __dataframe__(self, **options: Any) -> Any:
            return pa.table(frame[["type", "age", "price"]].to_dict("list")).__dataframe__()

    expected = pricing.fit(frame).predict(pd.DataFrame(asked))
    for kind in (
        pa.Table.from_pandas(frame), polars.from_pandas(frame), frame.to_dict("list"), frame.to_dict("records"),
        frame.assign(price=[Decimal(str(one)) for one in frame["price"]]), frame.convert_dtypes(),
        frame.assign(sold=pd.to_datetime(frame["sold"]).dt.tz_localize("UTC")),
    ):  # fmt: skip
        found = pricing.fit(kind).predict(polars.DataFrame(asked))
        np.testing.assert_allclose(found, expected, rtol=1e-9)
    few = pricing.fit(Speaks()).predict({"type": "gas range", "age": 7})
    fewer = pricing.fit(frame[["type", "age", "price"]]).predict(ONE_KIND)
    np.testing.assert_allclose(few, fewer, rtol=1e-9)


def test_a_regressor_reads_numbers_of_every_table_as_numbers() -> None:
    polars = pytest.importorskip("polars")
    draw = np.random.default_rng(2)
    goods = pd.DataFrame({"years": draw.uniform(1, 9, 60), "make": draw.choice(["a", "b"], 60)})
    price = np.exp(4 - 0.1 * goods["years"]).to_numpy()
    expected = pricing.PriceRegressor().fit(goods, price).predict(goods)
    for kind in (polars.from_pandas(goods), pa.Table.from_pandas(goods), goods.astype(object)):
        found = pricing.PriceRegressor().fit(kind, price).predict(kind)
        np.testing.assert_allclose(found, expected, rtol=1e-9)


def test_weights_are_so_many_sales() -> None:
    """Two of a row is the row twice, nothing is the row left out; half of each of two same rows
    lies between one of them and none."""
    frame, times = table(), np.arange(N) % 3
    found = pricing.fit(frame, sample_weight=times, as_of=date(2026, 6, 1)).predict(ONE_KIND)
    twice = frame.loc[frame.index.repeat(times)]
    expected = pricing.fit(twice, as_of=date(2026, 6, 1)).predict(ONE_KIND)
    np.testing.assert_allclose(found, expected, rtol=1e-9)

    dear = one("price", 0, 4000.0)
    at = [
        float(
            pricing.fit(dear, sample_weight=[w] + [1.0] * (N - 1))
            .predict(dear[:1])["median"]
            .iloc[0]
        )
        for w in (0.0, 0.25, 0.75, 1.0)
    ]
    assert at == sorted(at) and at[0] < at[3]


def test_what_a_notebook_shows_is_short() -> None:
    model = pricing.fit(table())

    assert repr(model) == f"<PriceModel of {N} sales, as of {model.as_of}>"
    assert {"fit", "PriceModel", "PriceRegressor"} <= set(dir(pricing))
