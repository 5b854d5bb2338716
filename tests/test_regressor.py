"""The scikit-learn face: its own estimator checks, pipelines, cross-validation, ranges, and an
outside calibration tool."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest
from sklearn.base import clone
from sklearn.model_selection import cross_val_score
from sklearn.pipeline import make_pipeline
from sklearn.preprocessing import FunctionTransformer
from sklearn.utils.estimator_checks import estimator_checks_generator

import pricing
from pricing import PriceRegressor

CHECKS = list(estimator_checks_generator(PriceRegressor()))


@pytest.mark.parametrize(
    "check",
    [check for _, check in CHECKS],
    ids=[check.func.__name__ if hasattr(check, "func") else str(check) for _, check in CHECKS],
)
@pytest.mark.filterwarnings("ignore::sklearn.exceptions.SkipTestWarning")
def test_scikit_learns_own_checks(check: Any) -> None:
    check(PriceRegressor())


@pytest.fixture(scope="module")
def sales() -> tuple[pd.DataFrame, np.ndarray]:
    """Invented: 120 sales, half the makers twice as dear, 8 % off a year."""
    draw = np.random.default_rng(5)
    table = pd.DataFrame(
        {
            "years": draw.integers(1, 12, 120),
            "make": draw.choice(["plain", "dear"], 120),
            "price": draw.normal(0, 1, 120),
        }
    )
    price = (
        100
        * np.where(table["make"] == "dear", 2.0, 1.0)
        * np.exp(-0.08 * table["years"] + draw.normal(0, 0.1, 120))
    )
    return table, price.to_numpy()


def test_learns_from_words_and_numbers_and_leaves_its_input_alone(
    sales: tuple[pd.DataFrame, np.ndarray],
) -> None:
    """A column that is itself called price is read as an attribute, never as what was paid."""
    table, price = sales
    before = table.copy(deep=True)
    model = PriceRegressor().fit(table, price)
    median, ends = model.predict(table, return_range=True)
    dear = model.predict(table.assign(make="dear")) / model.predict(table.assign(make="plain"))

    pd.testing.assert_frame_equal(table, before)
    assert np.median(np.abs(median / price - 1)) < 0.09
    assert np.median(dear) == pytest.approx(2.0, rel=0.06)
    assert np.all((ends[:, 0] < median) & (median < ends[:, 1]))
    assert 0.7 < np.mean((price >= ends[:, 0]) & (price <= ends[:, 1])) < 0.95


def test_is_the_model_of_the_python_face(sales: tuple[pd.DataFrame, np.ndarray]) -> None:
    table, price = sales
    table = table.drop(columns="price")
    direct = pricing.fit(
        table.assign(price=price),
        {"attributes": {"years": "number", "make": "category"}},
        assumptions=False,
    ).predict(table)

    np.testing.assert_array_equal(
        PriceRegressor().fit(table, price).predict(table), direct["median"]
    )


def test_stands_in_cross_validation_and_pipelines(sales: tuple[pd.DataFrame, np.ndarray]) -> None:
    table, price = sales
    piped = make_pipeline(
        FunctionTransformer(lambda frame: frame.assign(make=frame["make"].str.upper())),
        PriceRegressor(attributes={"years": "log"}),
    )
    found = cross_val_score(piped, table, price, cv=3, scoring="r2")

    assert found.min() > 0.7


def test_parameters_come_back_and_clone() -> None:
    model = PriceRegressor(attributes={"km": "log"}, coverage=0.5)

    assert clone(model).get_params() == model.get_params()
    assert set(model.get_params()) == {"attributes", "assumptions", "settings", "coverage", "as_of"}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"coverage": 1.5}, "share between 0 and 1"),
        ({"attributes": {"years": "colour"}}, "attribute is one of"),
    ],
)
def test_wrong_parameters_are_named(
    sales: tuple[pd.DataFrame, np.ndarray], change: dict[str, Any], message: str
) -> None:
    table, price = sales
    with pytest.raises(ValueError, match=message):
        PriceRegressor(**change).fit(table, price).predict(table)


def test_prices_of_nothing_are_refused() -> None:
    with pytest.raises(ValueError, match="must be above 0"):
        PriceRegressor().fit(pd.DataFrame({"years": [1, 2]}), [10.0, 0.0])


def test_household_appliances_with_starting_figures() -> None:
    """With assumptions three sales are enough for the worth of types never sold: a wall oven starts
    at its labelled price, moved by the level; its range is about that of the table, which is wider
    than that of dryers with three sales of one's own."""
    sold = pd.DataFrame({"type": ["electric dryer"] * 3, "age": [6.0, 7.0, 6.0]})
    model = PriceRegressor(assumptions=True).fit(sold, [180.0, 175.0, 190.0])
    asked = pd.DataFrame({"type": ["electric dryer", "wall oven"], "age": [6.5, 6.5]})
    median, ends = model.predict(asked, return_range=True)

    assert 165 < median[0] < 205
    assert 190 < median[1] < 310
    assert np.log(ends[1, 1] / ends[1, 0]) > 1.2 * np.log(ends[0, 1] / ends[0, 0])


def test_split_conformal_of_an_outside_package_widens_it_as_ours_would(
    sales: tuple[pd.DataFrame, np.ndarray],
) -> None:
    """MAPIE's split conformal around the fitted model: half width = k-th smallest residual, k =
    ceil((n + 1) coverage) (Lei et al. 2018)."""
    from mapie.regression import SplitConformalRegressor

    from pricing.model.price.ranges import conformal_rank

    frame, price = sales
    table = np.column_stack([frame["years"], frame["make"] == "dear"]).astype(
        float
    )  # that package tries the model on a bare array
    learned, kept = slice(0, 80), slice(80, 120)
    model = PriceRegressor().fit(table[learned], price[learned])
    outside = SplitConformalRegressor(model, confidence_level=0.8, prefit=True)
    outside.conformalize(table[kept], price[kept])
    median, ends = outside.predict_interval(table[kept])
    misses = np.sort(np.abs(price[kept] - model.predict(table[kept])))
    half = misses[conformal_rank(len(misses), 0.8) - 1]

    np.testing.assert_allclose(ends[:, 1, 0] - median, half, rtol=1e-9)
