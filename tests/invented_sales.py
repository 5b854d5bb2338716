"""Invented sales with a known law, for the tests of the price model."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import numpy as np

from pricing.basis.settings import Settings

TYPES = {"top-load washer": 5.4, "electric dryer": 5.2, "gas range": 5.65, "dishwasher": 4.9}
MAKERS = {"Arvend": -0.2, "Boltrane": 0.0, "Cindrel": 0.25}
GRADES = {"rough": -0.35, "fair": -0.15, "good": 0.0, "like new": 0.1}
SLOPE, STEAM, SD = -0.07, 0.08, 0.15
DAY = date(2026, 6, 1)
PLAIN = Settings()


def sales(n: int, seed: int = 0, blank: float = 0.1) -> list[dict[str, Any]]:
    """n sold units as row dicts, newest last; ln price is linear in everything, with normal errors
    of sd .15."""
    rng = np.random.default_rng(seed)
    rows = []
    for k in range(n):
        kind, maker, grade = (str(rng.choice(list(words))) for words in (TYPES, MAKERS, GRADES))
        age, steam = float(rng.integers(1, 16)), bool(rng.random() < 0.3)
        mean = TYPES[kind] + MAKERS[maker] + GRADES[grade] + SLOPE * (age - 6.5) + STEAM * steam
        rows.append(
            {
                "unit": f"U{k:05d}",
                "type": kind,
                "maker": maker,
                "condition": grade,
                "age": None if rng.random() < blank else age,
                "features": "steam" if steam else None,
                "sold": float((DAY - timedelta(days=int(rng.integers(1, 400)))).toordinal()),
                "price": float(np.round(np.exp(mean + rng.normal(0, SD)), 2)),
                "outcome": "sold",
            }
        )
    return sorted(rows, key=lambda row: (row["sold"], row["unit"]))


def true_log_price(row: dict[str, Any]) -> float:
    """The mean of ln price of a row with a known age."""
    return (
        TYPES[row["type"]]
        + MAKERS[row["maker"]]
        + GRADES[row["condition"]]
        + SLOPE * (row["age"] - 6.5)
        + STEAM * (row["features"] == "steam")
    )
