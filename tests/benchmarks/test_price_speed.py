"""How long a fit and an answer take: pytest tests/benchmarks/test_price_speed.py --benchmark-only
-n 0

Aims on two cores: fit within .3 s at 250 sales and 1.5 s at 1,000; one price within 3 ms, 10,000 at
once within 3 s.
"""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest

from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.model.price import price, price_fit

DAY = date(2026, 6, 30)
TYPES = (
    "electric dryer",
    "top-load washer",
    "front-load washer",
    "gas range",
    "dishwasher",
    "top-freezer fridge",
    "wall oven",
)


def invented(n: int) -> Units:
    """Invented sales over three years, with every kind of column that the model reads."""
    draw = np.random.default_rng(n)
    rows = [
        {
            "type": TYPES[int(draw.integers(0, 7) ** 2 // 7)],
            "maker": f"Maker {draw.integers(0, 12)}",
            "age": None if draw.random() < 0.15 else float(draw.integers(1, 18)),
            "condition": ("rough", "fair", "good", "like new")[draw.integers(0, 4)],
            "features": ("", "steam", "stainless; steam")[draw.integers(0, 3)],
            "repair": ("", "belt", "pump", "board")[draw.integers(0, 4)],
            "sold_where": ("online", "yard")[draw.integers(0, 2)],
            "sold": float(DAY.toordinal() - draw.integers(0, 1095)),
            "price": float(np.exp(5.3 + draw.normal(0, 0.4))),
            "outcome": "sold",
        }
        for _ in range(n)
    ]
    return from_rows(rows)


@pytest.mark.parametrize("n", [25, 100, 250, 1000])
def test_fit(benchmark: Any, n: int) -> None:
    units = invented(n)
    model = benchmark.pedantic(
        price_fit.fit_price, args=(units, Settings(), DAY), rounds=3, warmup_rounds=1
    )

    assert model.n == n


@pytest.mark.parametrize("n", [1, 100, 10_000])
def test_answers(benchmark: Any, n: int) -> None:
    model = price_fit.fit_price(invented(250), Settings(), DAY)
    asked = invented(n)

    def answer() -> np.ndarray:
        law = price.law(model, asked, float(DAY.toordinal()))
        price.mean(law)
        return price.range_of(law, 0.8)[1]

    assert benchmark.pedantic(answer, rounds=5, warmup_rounds=1).shape == (n,)
