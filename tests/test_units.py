"""The table that models read: the same units from rows, from pandas and from Arrow."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import numpy as np
import pandas as pd
import pyarrow as pa
from numpy.testing import assert_array_equal

from pricing.basis.settings import Settings
from pricing.basis.units import Coded, from_arrow, from_rows
from pricing.pipeline.frames import to_units

DAY = date(2026, 3, 1)
ROWS = [
    {"type": "gas range", "age": 7.0, "price": 250.5, "sold": float(DAY.toordinal()), "kw": 3.5},
    {"type": None, "age": None, "price": None, "sold": None, "kw": None},
    {"type": "wall oven", "age": 0.0, "price": 90.0, "sold": float(DAY.toordinal()), "kw": 1.0},
]


def test_three_sources_give_the_same_table() -> None:
    """Dates become ordinal days, decimals floats, blanks NaN and code -1, whatever they
    came from."""
    rows = from_rows(ROWS, numeric=["kw"])
    types = ["gas range", None, "wall oven"]
    sheet = pd.DataFrame(
        {
            "type": types,
            "age": [7, None, 0],
            "price": [250.5, None, 90],
            "sold": [DAY, None, DAY],
            "kw": [3.5, None, 1],
        }
    )
    frame = to_units(sheet, Settings(attributes={"kw": "number"}), True)
    prices, days = (
        pa.array([Decimal("250.50"), None, Decimal("90.00")], pa.decimal128(12, 2)),
        pa.array([DAY, None, DAY], pa.date32()),
    )
    stored = pa.table(
        {
            "type": types,
            "age": pa.array([7.0, None, 0.0]),
            "price": prices,
            "sold": days,
            "kw": [3.5, None, 1.0],
        }
    )
    arrow = from_arrow(stored, numeric=["kw"])

    for other in (frame, arrow):
        assert other.n == rows.n == 3
        for name in ("age", "price", "sold", "kw"):
            assert_array_equal(other.number(name), rows.number(name))
        assert (
            other.word("type").texts()
            == rows.word("type").texts()
            == ["gas range", "", "wall oven"]
        )


def test_a_column_that_is_not_there_reads_as_blank() -> None:
    units = from_rows(ROWS)

    assert np.isnan(units.number("paid")).all()
    assert units.word("maker").texts() == ["", "", ""]


def test_taking_rows_keeps_order_and_does_not_change_the_table() -> None:
    units = from_rows(ROWS)
    before = units.number("age").copy()
    picked = units.take(np.array([2, 0]))

    assert picked.word("type").texts() == ["wall oven", "gas range"]
    assert_array_equal(units.number("age"), before)
    assert units.take(np.array([False, True, False])).n == 1


def test_words_are_looked_up_in_a_list_of_known_ones() -> None:
    """Unknown and blank are both -1."""
    assert Coded.of(["b", "x", None, "a"]).lookup(["a", "b"]).tolist() == [1, -1, -1, 0]
