"""What must not move an answer does not: names, constants, bookkeeping; and odd sizes of records."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
import pytest

import pricing
from pricing.basis.settings import Settings
from pricing.model.price import price, price_fit
from pricing.pipeline.frames import to_units
from pricing.regressor import PriceRegressor

NO_MATTER = 0.005  # of an answer: what renaming or a constant column may move it by


def chairs(n: int, seed: int) -> tuple[pd.DataFrame, np.ndarray]:
    """Invented used goods with a known law: weight, age and make matter, color does not."""
    random = np.random.default_rng(seed)
    makes = random.normal(0, 0.2, 5)
    make = random.integers(0, 5, n)
    table = pd.DataFrame({
        "weight": random.lognormal(3, 0.5, n),
        "years": random.integers(1, 15, n).astype(float),
        "make": [f"make {i}" for i in make],
        "color": random.choice(["red", "white", "gray"], n),
    })  # fmt: skip
    noise = 0.2 * random.standard_normal(n)
    log_price = 4 + 0.4 * np.log(table.weight) - 0.05 * table.years + makes[make] + noise
    return table, np.exp(log_price.to_numpy())


@pytest.mark.parametrize("n", [12, 40, 120])
@pytest.mark.parametrize(
    "changed",
    [
        lambda table: table.assign(height=30.0),
        lambda table: table.assign(country="the same"),
        lambda table: table.rename(columns={"weight": "z", "make": "a make", "years": "b"}),
        lambda table: table[["make", "color", "years", "weight"]],
    ],
    ids=["a constant number", "a constant word", "other names", "another order"],
)
def test_what_tells_nothing_moves_no_answer(changed, n: int) -> None:  # type: ignore[no-untyped-def]
    table, prices = chairs(n + 30, n)
    sold, asked = table[:n], table[n:]
    plain = PriceRegressor().fit(sold, prices[:n]).predict(asked)
    found = PriceRegressor().fit(changed(sold), prices[:n]).predict(changed(asked))

    assert np.abs(np.log(found / plain)).max() < NO_MATTER


@pytest.mark.parametrize("n", [1, 2, 3])
@pytest.mark.parametrize("assumed", [True, False])
def test_a_fit_with_few_sales_is_quiet_and_near_them(
    n: int, assumed: bool, capfd: pytest.CaptureFixture[str]
) -> None:
    """No line of the algebra library on the screen; the middle of the answers lies among the
    sales or between them and the starting price, and the range holds them."""
    rows = pd.DataFrame({
        "type": ["dishwasher", "electric dryer", "gas range"], "price": [150.0, 185.0, 210.0],
        "age": [8.0, 7.0, 9.0], "sold": [date(2026, 3, 1), date(2026, 4, 1), date(2026, 5, 1)],
    })[:n]  # fmt: skip
    units = to_units(rows, Settings(), True)
    fitted = price_fit.fit_price(units, Settings(), date(2026, 6, 1), assumed=assumed)
    low, high = price.range_of(price.law(fitted, units, date(2026, 6, 1).toordinal()), 0.95)

    assert capfd.readouterr() == ("", "")
    assert ((low < rows.price) & (rows.price < high)).all()


def test_each_of_300_types_has_its_own_price() -> None:
    """Eight sales of each, sd .17 about levels .5 apart: each level is known to .17 / sqrt(8) = .06
    by its own sales, a mean distance of sqrt(2 / pi) .06 = .048; a table that tells only half of
    the types apart is off by .2 and more."""
    random = np.random.default_rng(1)
    level = random.normal(0, 0.5, 300)
    which = np.repeat(np.arange(300), 8)
    age = random.integers(1, 15, len(which)).astype(float)
    noise = 0.17 * random.standard_normal(len(which))
    sales = pd.DataFrame({
        "type": [f"kind {i}" for i in which], "age": age, "sold": date(2026, 1, 1),
        "price": np.exp(5.3 + level[which] - 0.05 * age + noise),
    })  # fmt: skip
    fitted = pricing.fit(sales, as_of=date(2026, 6, 1))
    asked = pd.DataFrame({"type": [f"kind {i}" for i in range(300)], "age": 7.0})
    off = np.log(fitted.predict(asked)["median"].to_numpy()) - (5.3 + level - 0.35)

    assert np.abs(off).mean() < 1.25 * np.sqrt(2 / np.pi) * 0.17 / np.sqrt(8)


def test_things_older_than_appliances_go_on_losing() -> None:
    """Without the starting figures an age is no appliance's: 95 years are told from 45. 200 sales
    with sd .1 know the line to .1 / sqrt(200) at its middle and twice that at its ends."""
    random = np.random.default_rng(4)
    age = random.uniform(0, 120, 200).round()
    sales = pd.DataFrame({
        "age": age, "sold": date(2026, 1, 1),
        "price": np.exp(5.5 - 0.01 * age + 0.1 * random.standard_normal(200)),
    })  # fmt: skip
    fitted = pricing.fit(sales, assumptions=False)
    found = np.log(fitted.predict(pd.DataFrame({"age": [20.0, 45.0, 95.0]}))["median"])

    assert np.abs(found - (5.5 - 0.01 * np.array([20.0, 45.0, 95.0]))).max() < 6 * 0.1 / np.sqrt(
        200
    )
