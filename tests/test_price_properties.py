"""What must hold of every price model, whatever the sales."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_sales import DAY, MAKERS, PLAIN, TYPES, sales

from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.model.price import price
from pricing.model.price.price_fit import fit_price

TODAY = float(DAY.toordinal())
QUESTIONS = from_rows(
    [
        {"type": "gas range", "maker": "Arvend", "age": 7.0, "condition": "good"},
        {"type": "dishwasher", "features": "steam"},
        {"type": "wall oven", "age": 3.0},
    ]
)
modest = settings(deadline=None, max_examples=12)
counts, seeds = st.integers(0, 70), st.integers(0, 10_000)


def answers(
    rows: list[dict[str, Any]], told: Settings = PLAIN, coverage: float = 0.8
) -> np.ndarray:
    law = price.law(fit_price(from_rows(rows), told, DAY), QUESTIONS, TODAY)
    return np.stack([np.exp(law.center), price.mean(law), *price.range_of(law, coverage)])


@modest
@given(counts, seeds, st.randoms(use_true_random=False))
def test_row_order_does_not_matter(n: int, seed: int, random: Any) -> None:
    rows = sales(n, seed)
    mixed = list(rows)
    random.shuffle(mixed)
    assert answers(mixed) == pytest.approx(answers(rows), rel=1e-9)


@modest
@given(counts, seeds, st.sampled_from([0.01, 0.5, 3.0, 250.0]))
def test_scaling_all_prices_and_usual_prices_scales_every_answer(
    n: int, seed: int, factor: float
) -> None:
    rows, usual = sales(n, seed), {"gas range": 280.0, "dishwasher": 150.0}
    scaled = [row | {"price": row["price"] * factor} for row in rows]
    before = answers(rows, Settings(usual_price=usual))
    after = answers(
        scaled, Settings(usual_price={name: value * factor for name, value in usual.items()})
    )
    assert after == pytest.approx(before * factor, rel=1e-6)


@modest
@given(st.integers(25, 70), seeds, st.sampled_from([0.01, 3.0, 250.0]))
def test_from_25_sales_on_scaling_the_prices_alone_scales_every_answer(
    n: int, seed: int, factor: float
) -> None:
    rows = sales(n, seed)
    assert answers([row | {"price": row["price"] * factor} for row in rows]) == pytest.approx(
        answers(rows) * factor, rel=1e-6
    )


@modest
@given(counts, seeds, st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_ranges_nest_as_coverage_rises(n: int, seed: int, a: float, b: float) -> None:
    law = price.law(fit_price(from_rows(sales(n, seed)), PLAIN, DAY), QUESTIONS, TODAY)
    (low, high), (lower, higher) = price.range_of(law, min(a, b)), price.range_of(law, max(a, b))
    assert (lower <= low).all() and (high <= higher).all()


@modest
@given(st.integers(1, 40), seeds)
def test_units_given_are_not_changed(n: int, seed: int) -> None:
    rows = sales(n, seed)
    units = from_rows(rows)
    before = {name: column.copy() for name, column in units.numbers.items()} | {
        name: column.codes.copy() for name, column in units.words.items()
    }
    price.law(fit_price(units, PLAIN, DAY), units, TODAY)
    for name, column in units.numbers.items():
        assert np.array_equal(column, before[name], equal_nan=True)
    for name, words in units.words.items():
        assert np.array_equal(words.codes, before[name])


@modest
@given(
    st.lists(
        st.fixed_dictionaries(
            {
                "type": st.sampled_from([*TYPES, "thing", None]),
                "maker": st.sampled_from([*MAKERS, None]),
                "age": st.one_of(st.none(), st.floats(0, 400)),
                "condition": st.sampled_from(["rough", "fair", "good", "like new", "odd", None]),
                "features": st.sampled_from(["steam", "steam; ice maker", None]),
                "sold": st.floats(TODAY - 12_000, TODAY),
                "price": st.floats(0.01, 1e7),
            }
        ),
        max_size=25,
    )
)
def test_any_record_gives_finite_ordered_answers(rows: list[dict[str, Any]]) -> None:
    median, mean, low, high = answers(rows)
    assert np.isfinite([median, mean, low, high]).all()
    assert (low < median).all() and (median < high).all() and (low > 0).all()
