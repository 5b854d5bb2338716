"""Fitted numbers for tests of the offer, the bench and the evening: from no unit at all, and from
invented ones."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from types import SimpleNamespace
from typing import Any

import numpy as np

from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.model.price.price_fit import fit_price
from pricing.model.repair.repair_fit import fit_repair
from pricing.model.saletime.saletime_fit import fit_saletime

DAY = date(2026, 4, 30)
# nothing but the numbers given: the settings of the worked cases
PLAIN = Settings(minutes_per_trip=0, comebacks_of_100=0, short_of="hours", holding_cost_per_day=0.0)
TYPES = (
    "electric dryer",
    "gas dryer",
    "top-load washer",
    "gas range",
    "dishwasher",
    "top-freezer fridge",
)
FAULTS = ("no heat", "won't start", "leaks", "dead", "noisy")


def invented_units(n: int, seed: int = 0) -> Units:
    """Invented units, about a fifth of them duds."""
    r = np.random.default_rng(seed)
    rows = []
    for i in range(n):
        type_name, fault = TYPES[r.integers(len(TYPES))], FAULTS[r.integers(len(FAULTS))]
        need = ("belt", "control board", "cleaned")[r.integers(3)]
        fixed = bool(r.random() < {"belt": 0.85, "control board": 0.6, "cleaned": 0.95}[need])
        got = DAY.toordinal() - 700 + 2 * i
        age = float(r.integers(2, 16))
        row: dict[str, Any] = {
            "unit": str(i),
            "type": type_name,
            "maker": ("arvo", "belmo", "cresk")[r.integers(3)],
            "age": None if r.random() < 0.1 else age,
            "condition": ("rough", "fair", "good", "like new")[r.integers(4)],
            "features": ("", "steam", "stainless; steam")[r.integers(3)] or None,
            "fault": fault,
            "repair": need,
            "got": float(got),
            "listed": float(got + 5),
            "sold": float(got + 5 + r.integers(2, 30)),
            "paid": float(5 * r.integers(0, 12)),
            "parts": float({"belt": 20, "control board": 90, "cleaned": 0}[need]),
            "miles": float(r.integers(2, 20)),
            "repair_min": float(r.integers(20, 120)),
            "clean_min": 25.0,
            "sell_min": 30.0,
        }
        price = 220 * np.exp(
            0.3 * (type_name in ("gas range", "top-load washer"))
            - 0.06 * (age - 7)
            + r.normal(0, 0.15)
        )
        row |= (
            {"outcome": "sold", "price": float(round(price)), "asked": f"{price * 1.1:.0f}"}
            if fixed
            else {"outcome": "scrapped", "salvage": 10.0}
        )
        rows.append(row)
    return from_rows(rows)


@lru_cache(maxsize=8)
def numbers_of(n: int, seed: int = 0, settings: Settings | None = None) -> Any:
    """Saved numbers learned from n invented units (0: the starting figures)."""
    return learned(invented_units(n, seed) if n else from_rows([]), settings or Settings())


def learned(units: Units, settings: Settings) -> Any:
    """What a saved model holds for an answer, without the file."""
    price_model = fit_price(units, settings, DAY)
    return SimpleNamespace(
        price=price_model,
        repair=fit_repair(units, settings, DAY),
        saletime=fit_saletime(units, price_model, settings, DAY),
        similar=[],
        words={},
        spot_a_day=0.0,
    )
