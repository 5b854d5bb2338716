"""How well prices that move are followed: error and coverage one to twelve months after the last
sale learned from, in invented worlds whose drift is known.

    python tests/benchmarks/drift.py [--seeds 0:6] [--n 60,200] [--worlds still,up,down,…]

24 months of sales of eight types, ln price = type + age + grade + drift(month, type) + N(0, .17^2),
the last n before the day learned. For each world and each 1, 3, 6, 12 months ahead, printed with
the mean over seeds: error (mean absolute error of ln price over that of the best peer, each peer
given the day, its square, cosine and sine of the season, and the day beside each type) and the
coverage of the 80 % range. Invented numbers throughout.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import argparse
from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import numpy as np
import pandas as pd
from peers import elastic_net, forest, ridge

from pricing.basis.own_rows import assumed_types
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.model.price import price
from pricing.model.price.price_fit import fit_price

TYPES = (
    "top-load washer",
    "front-load washer",
    "electric dryer",
    "gas dryer",
    "side-by-side fridge",
    "dishwasher",
    "gas range",
    "window AC",
)
GRADES = {"rough": -0.35, "fair": -0.15, "good": 0.0, "like new": 0.1}
AHEAD = (1, 3, 6, 12)
SD, TESTED, MONTHS = 0.17, 60, 24
TODAY = date(2026, 6, 1)
Drift = Callable[[np.ndarray, np.ndarray], np.ndarray]


def drift_of(world: str, rng: np.random.Generator) -> Drift:
    """(months before or after today, position of the type) -> ln price beside that of today."""
    slopes = rng.normal(0, 0.3, len(TYPES))
    steps = np.concatenate([[0.0], np.cumsum(rng.normal(0, 0.04, 60))])

    def season(height: float) -> Drift:
        return lambda m, kind: height * np.cos(2 * np.pi * (m + 0.0) / 12)

    air = TYPES.index("window AC")
    worlds: dict[str, Drift] = {
        "still": lambda m, kind: 0.0 * m,
        "up": lambda m, kind: np.log(1.15) * m / 12,
        "down": lambda m, kind: np.log(0.6) * m / 12,
        "season": season(0.12),
        "air": lambda m, kind: (kind == air) * season(0.45)(m, kind),
        "apart": lambda m, kind: slopes[kind] * m / 12,
        "jump": lambda m, kind: np.where(m >= -2, np.log(0.75), 0.0),
        "walk": lambda m, kind: np.interp(m + MONTHS, np.arange(61), steps),
    }
    return worlds[world]


def world(
    name: str, seed: int, n: int
) -> tuple[list[dict[str, Any]], dict[int, list[dict[str, Any]]]]:
    """n sales of the 24 months before today, and `TESTED` more each so many months after it."""
    rng = np.random.default_rng([seed, n])
    table = assumed_types(Settings())
    level = {kind: np.log(table[kind].price) + rng.normal(0, 0.2) for kind in TYPES}
    share = rng.dirichlet(np.full(len(TYPES), 3.0))
    drift = drift_of(name, rng)

    def sale(months: float) -> dict[str, Any]:
        kind = int(rng.choice(len(TYPES), p=share))
        grade = str(rng.choice(list(GRADES), p=[0.1, 0.25, 0.5, 0.15]))
        age = float(rng.integers(1, 16))
        at = drift(np.array([months]), np.array([kind]))[0]
        mean = level[TYPES[kind]] - 0.08 * (age - 7) + GRADES[grade] + at
        return {
            "type": TYPES[kind],
            "age": age,
            "condition": grade,
            "sold": float((TODAY + timedelta(days=round(months * 30.44))).toordinal()),
            "price": float(np.exp(mean + rng.normal(0, SD))),
            "outcome": "sold",
        }

    learned = [sale(-float(m)) for m in np.sort(rng.uniform(0.03, MONTHS, n))[::-1]]
    return learned, {h: [sale(float(h)) for _ in range(TESTED)] for h in AHEAD}


def peer_table(rows: list[dict[str, Any]]) -> pd.DataFrame:
    """The columns a careful person would give a general-purpose learner."""
    frame = pd.DataFrame(rows)
    year = (frame["sold"] - TODAY.toordinal()) / 365.25
    frame["year"], frame["year2"] = year, year**2
    frame["cos"], frame["sin"] = np.cos(2 * np.pi * year), np.sin(2 * np.pi * year)
    for kind in TYPES:
        frame[f"year {kind}"] = year * (frame["type"] == kind)
    return frame


KINDS = {
    "type": "category",
    "condition": "category",
    **dict.fromkeys(
        ["age", "year", "year2", "cos", "sin", *(f"year {k}" for k in TYPES)], "number"
    ),
}


PEERS = (ridge, elastic_net, forest)


def measure(name: str, seed: int, n: int) -> list[list[float]]:
    """Our error, our coverage and the error of each peer, for each horizon."""
    learned, later = world(name, seed, n)
    model = fit_price(from_rows(learned), Settings(), TODAY)
    train = peer_table(learned)
    y = np.log(train["price"].to_numpy())
    out = []
    for rows in later.values():
        units, day = from_rows(rows), np.array([row["sold"] for row in rows])
        truth = np.log([row["price"] for row in rows])
        law = price.law(model, units, day)
        low, high = price.range_of(law, 0.8)
        test = peer_table(rows)
        errors = [float(np.abs(truth - peer(train, y, test, KINDS)).mean()) for peer in PEERS]
        inside = (np.log(low) <= truth) & (truth <= np.log(high))
        out.append([float(np.abs(truth - law.center).mean()), float(inside.mean()), *errors])
    return out


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--seeds", default="0:6")
    parser.add_argument("--n", default="60,200")
    parser.add_argument("--worlds", default="still,up,down,season,air,apart,jump,walk")
    given = parser.parse_args()
    first, last = (int(part) for part in given.seeds.split(":"))
    head = " ".join(f"{h:>5}m" for h in AHEAD)
    print(f"{'':15}{'error / best peer':28}   {'coverage':28}   error")
    print(f"{'world':8}{'n':>5}  {head}    {head}    {head}")
    for name in given.worlds.split(","):
        for n in (int(part) for part in given.n.split(",")):
            cells = np.array([measure(name, seed, n) for seed in range(first, last)]).mean(0)
            ratio = cells[:, 0] / cells[:, 2:].min(1)  # the best fixed peer of each horizon
            ours, inside, beside = (
                " ".join(f"{value:6.3f}" for value in line)
                for line in (cells[:, 0], cells[:, 1], ratio)
            )
            print(f"{name:8}{n:5}  {beside}    {inside}    {ours}", flush=True)


if __name__ == "__main__":
    main()
