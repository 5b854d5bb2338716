"""What was learned in the person's words, and slips of the fingers."""

from __future__ import annotations

import numpy as np
import pytest
from invented_sales import DAY, MAKERS, PLAIN, SLOPE, STEAM, sales

from pricing.basis.units import from_rows
from pricing.model.learned import learned
from pricing.model.price.price_fit import fit_price
from pricing.model.price.slips import slips

TODAY = float(DAY.toordinal())


def test_what_was_learned_is_what_the_sales_were_drawn_from() -> None:
    model = fit_price(from_rows(sales(300)), PLAIN, DAY)
    found = {(one.kind, one.what): one for one in learned(model, TODAY)}
    year = found["year", "a year older"]
    assert year.percent == pytest.approx(100 * (np.exp(SLOPE) - 1), abs=1.5)
    assert year.low < year.percent < year.high
    assert found["feature", "steam"].percent == pytest.approx(100 * (np.exp(STEAM) - 1), abs=6)
    assert found["condition", "rough instead of good"].percent == pytest.approx(
        100 * (np.exp(-0.35) - 1), abs=6
    )
    apart = (
        found["maker", "Cindrel instead of the average maker"].percent
        - found["maker", "Arvend instead of the average maker"].percent
    )
    assert apart == pytest.approx(
        100 * (np.exp(MAKERS["Cindrel"]) - np.exp(MAKERS["Arvend"])), abs=10
    )
    assert all(one.removed > 0.3 for one in found.values() if one.kind == "condition")


def test_before_any_sale_it_says_what_is_assumed() -> None:
    model = fit_price(from_rows([]), PLAIN, DAY)
    found = learned(model, TODAY)
    assert {one.kind for one in found} == {"year", "condition"}
    assert all(one.removed == pytest.approx(0, abs=1e-4) for one in found)


def test_a_nought_too_many_is_named() -> None:
    rows = sales(120)
    true = round(rows[50]["price"])
    rows[50] = rows[50] | {"price": true * 10.0}
    model = fit_price(from_rows(rows), PLAIN, DAY)
    first = slips(model, from_rows(rows), DAY)[0]
    assert (first.row, first.unit, first.column) == (50, rows[50]["unit"], "price")
    assert first.likely == true


def test_a_nought_too_many_weighs_a_fifth_at_most_over_four_records() -> None:
    """The degrees of freedom are found on a grid, so that one record may say a little more."""
    weights = []
    for seed in range(4):
        rows = sales(120, seed)
        rows[50] = rows[50] | {"price": round(rows[50]["price"]) * 10.0}
        model = fit_price(from_rows(rows), PLAIN, DAY)
        weights.append(slips(model, from_rows(rows), DAY)[0].weight)
    assert np.mean(weights) < 0.2


def test_swapped_digits_and_an_age_of_eighty() -> None:
    rows = sales(150, blank=0.0)
    k = next(i for i, row in enumerate(rows) if 180 <= row["price"] < 200)
    j = next(i for i, row in enumerate(rows) if row["age"] == 8.0 and i != k)
    rows[k] = rows[k] | {"price": float("".join(str(int(rows[k]["price"]))[i] for i in (1, 0, 2)))}
    rows[j] = rows[j] | {"age": 80.0}
    model = fit_price(from_rows(rows), PLAIN, DAY)
    found = {slip.row: slip for slip in slips(model, from_rows(rows), DAY)}
    assert found[k].column == "price"
    assert 180 <= (found[k].likely or 0) < 200
    assert (found[j].column, found[j].likely) == ("age", 8.0)


def test_plain_records_have_no_slips() -> None:
    rows = sales(150)
    assert len(slips(fit_price(from_rows(rows), PLAIN, DAY), from_rows(rows), DAY)) <= 1
    assert slips(fit_price(from_rows([]), PLAIN, DAY), from_rows([]), DAY) == []
