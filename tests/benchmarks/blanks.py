"""Whether the range keeps its promise where something is not told: the coverage of the 80 % range
with each of age, grade, maker, features and kind ("washer" for a top-load washer) left out of the
question, left out of half of the record, or both.

    python tests/benchmarks/blanks.py [--seeds 0:10] [--n 50,150,400] [--only features,type]

Sales drawn from the starting figures' own law (types, age, grades, makers N(0, .23^2), a type level
N(0, .25^2), features as assumed + N(0, .08^2), error t with 6 degrees of freedom, scale .17), so
that a miss is not the fault of the figures. Beside the coverage, the mean price stated over the
mean price paid. Invented numbers.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import argparse
from datetime import date
from typing import Any

import numpy as np

from pricing.basis import assumed
from pricing.basis.own_rows import assumed_types
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.formulas import by_age
from pricing.model.price import price
from pricing.model.price.price_fit import fit_price

# Each type's share of the units, and the plain word that leaves it open: as usual among the kinds
TYPES = {
    "top-load washer": (0.25, "washer"), "front-load washer": (0.12, "washer"),
    "electric dryer": (0.20, "dryer"), "gas dryer": (0.05, "dryer"),
    "side-by-side fridge": (0.10, "fridge"), "top-freezer fridge": (0.13, "fridge"),
    "dishwasher": (0.15, "dishwasher"),
}  # fmt: skip
FEATURES = {"stainless": 0.4, "ice maker": 0.2, "rusty racks": 0.15}
MAKERS = tuple(f"Maker {letter}" for letter in "ABCDEF")
SHARES = {"rough": 0.15, "fair": 0.30, "good": 0.40, "like new": 0.15}
TODAY, TESTED = date(2026, 6, 1), 400


def sales(
    n: int, rng: np.random.Generator, law: dict[str, dict[str, float]]
) -> list[dict[str, Any]]:
    """n sold units with everything told."""
    table = assumed_types(Settings())
    out = []
    for _ in range(n):
        kind = str(rng.choice(list(TYPES), p=[share for share, _ in TYPES.values()]))
        maker, has = str(rng.choice(MAKERS)), [rng.random() < p for p in FEATURES.values()]
        features = [name for name, here in zip(FEATURES, has, strict=True) if here]
        grade = str(rng.choice(list(SHARES), p=list(SHARES.values())))
        # the Weibull law that blank ages start from, cut at the oldest age that it knows
        age = float(min(np.round(rng.weibull(2.2) * 9), 40))
        mean = np.log(table[kind].price) + table[kind].slope_5y * float(
            by_age.line(np.array([age]))[0]
        )
        mean += assumed.CONDITION_EFFECT[grade] + law["type"][kind] + law["maker"][maker]
        mean += sum(law["features"][name] for name in features)
        sold = float(TODAY.toordinal() - int(rng.integers(1, 400)))
        paid = float(np.exp(mean + 0.17 * rng.standard_t(6)))
        unit = {"type": kind, "maker": maker, "condition": grade, "age": age}
        unit["features"] = "; ".join(features) or None
        out.append(unit | {"sold": sold, "price": paid, "outcome": "sold"})
    return out


def without(
    rows: list[dict[str, Any]], names: tuple[str, ...], share: float, rng: np.random.Generator
) -> list[dict[str, Any]]:
    """The rows with each of the named cells blank in a share of them, of a kind the plain word."""

    def left(row: dict[str, Any], name: str) -> str | None:
        return TYPES[row["type"]][1] if name == "type" else None

    return [row | {name: left(row, name) for name in names if rng.random() < share} for row in rows]


def measure(
    seed: int, n: int, left_out: tuple[str, ...], in_record: bool, in_question: bool
) -> tuple[float, float]:
    """Coverage, and stated over paid mean price."""
    rng = np.random.default_rng([seed, n])
    law = {
        "type": {kind: float(rng.normal(0, 0.25)) for kind in TYPES},
        "maker": {maker: float(rng.normal(0, 0.23)) for maker in MAKERS},
        "features": {
            name: float(rng.normal(assumed.FEATURE_EFFECT[name], 0.08)) for name in FEATURES
        },
    }
    record, asked = sales(n, rng, law), sales(TESTED, rng, law)
    if in_record:
        record = without(record, left_out, 0.5, rng)
    model = fit_price(from_rows(record), Settings(), TODAY)
    units = from_rows(without(asked, left_out, 1.0, rng) if in_question else asked)
    found = price.law(model, units, np.array([row["sold"] for row in asked]))
    low, high = price.range_of(found, 0.8)
    paid = np.array([row["price"] for row in asked])
    return float(((low <= paid) & (paid <= high)).mean()), float(
        price.mean(found).mean() / paid.mean()
    )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--seeds", default="0:10")
    parser.add_argument("--n", default="50,150,400")
    parser.add_argument("--only", default="")
    given = parser.parse_args()
    first, last = (int(part) for part in given.seeds.split(":"))
    print(f"{'left out':26}{'where':22}{'n':>5}  coverage (s.e.)    mean stated / paid (s.e.)")
    each = ("age", "condition", "maker", "features", "type")
    cases = [(), *((name,) for name in each), each[:3], each]
    if given.only:
        cases = [tuple(given.only.split(","))]
    for names in cases:
        for where in ("question", "half of record", "both") if names else ("nothing",):
            for n in (int(part) for part in given.n.split(",")):
                cells = np.array(
                    [
                        measure(
                            seed,
                            n,
                            names,
                            where in ("half of record", "both"),
                            where in ("question", "both"),
                        )
                        for seed in range(first, last)
                    ]
                )
                error = cells.std(0, ddof=1) / np.sqrt(len(cells))
                print(
                    f"{', '.join(names) or '-':26}{where:22}{n:5}  {cells[:, 0].mean():.3f} ({error[0]:.3f})"
                    f"      {cells[:, 1].mean():.3f} ({error[1]:.3f})",
                    flush=True,
                )


if __name__ == "__main__":
    main()
