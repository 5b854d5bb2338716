"""What asks of others are worth: invented markets with a known law, 0, 20 and 60 ads beside 0 and
100 own sales. Printed, not asserted.

    python tests/benchmarks/seen_ads.py [worlds]

The markets' law is that of the invented worlds that the other targets are held to: fifteen types in
four families, all of one starting price, apart by .35 a family and .25 a type; twelve makers in
three tiers .2 apart and .08 beside; grades .14 apart; slopes of .075 a year; a sale's own error t
with 6 degrees of freedom at scale .15 and .006 more a year of age. Sellers of a market ask 4 to 25 %
over worth, each .16 apart; 15 % of the ads are stale (a further 10 to 50 % over), 6 % absurd (half,
double, ten times, a tenth); age and grade are blank in a quarter, the maker in a seventh. Error:
mean |ln price - ln typical| over the next own sales, beside what is left to one who knows the law.
Coverage: of the 80 % range.
"""

from __future__ import annotations

import sys
from datetime import date
from typing import Any

import numpy as np

from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.model.price import ads, price, price_fit

DAY = date(2026, 6, 1)
FAMILIES = {
    "laundry": ("top-load washer", "front-load washer", "electric dryer", "gas dryer", "pair"),
    "cold": ("top-freezer fridge", "side-by-side fridge", "french-door fridge", "chest freezer"),
    "cooking": ("electric range", "gas range", "wall oven"),
    "other": ("dishwasher", "window AC", "dehumidifier"),
}
KINDS = {kind: family for family, kinds in FAMILIES.items() for kind in kinds}
ROW = {"price": 300, "low": 165, "high": 540, "days": 9.6, "slope_5y": -0.39}
PLAIN = Settings(assumed_types={kind: {**ROW, "family": family} for kind, family in KINDS.items()})
MAKERS = tuple(f"Maker {letter}" for letter in "ABCDEFGHIJKL")
GRADES = ("rough", "fair", "good", "like new")


class Market:
    """One invented market."""

    def __init__(self, seed: int) -> None:
        self.pick = pick = np.random.default_rng([seed, 22])
        family = {name: pick.normal(0, 0.35) for name in FAMILIES}
        level = np.log(300) + pick.normal(0, 0.12)
        self.kind = {kind: level + family[KINDS[kind]] + pick.normal(0, 0.25) for kind in KINDS}
        self.slope = {kind: -np.exp(pick.normal(np.log(0.075), 0.25)) for kind in KINDS}
        self.maker = {
            maker: 0.2 * (pick.integers(0, 3) - 1) + pick.normal(0, 0.08) for maker in MAKERS
        }
        steps = np.cumsum([0.0, *np.abs(pick.normal(0.14, 0.04, 3))])
        self.grade = dict(zip(GRADES, steps - steps[2], strict=True))
        self.often = pick.dirichlet(np.full(len(KINDS), 0.8))
        self.made = pick.dirichlet(np.full(len(MAKERS), 1.2))
        self.over = pick.uniform(0.04, 0.25)

    def units(self, n: int) -> list[dict[str, Any]]:
        """n units with `typical`, the middle of ln price, and `scale`, of a sale's own error."""
        out = []
        for _ in range(n):
            kind = str(self.pick.choice(list(KINDS), p=self.often))
            maker = str(self.pick.choice(MAKERS, p=self.made))
            age = float(np.clip(self.pick.gamma(3.2, 2.6), 0.5, 25).round())
            steps = np.clip(round(2.3 - age / 9 + self.pick.normal(0, 0.7)), 0, 3)
            grade = GRADES[int(steps)]
            typical = self.kind[kind] + self.maker[maker] + self.grade[grade]
            out.append(
                {
                    "type": kind,
                    "maker": maker,
                    "condition": grade,
                    "age": age,
                    "typical": typical + self.slope[kind] * (age - 6.5),
                    "scale": 0.15 + 0.006 * age,
                }
            )
        return out

    def sales(self, n: int) -> list[dict[str, Any]]:
        """n own sales, as they came."""
        rows = self.units(n)
        for row in rows:
            ln = row["typical"] + row["scale"] * self.pick.standard_t(6)
            row |= {"price": round(float(np.exp(ln)), 2), "outcome": "sold"}
            row["sold"] = float(DAY.toordinal() - self.pick.integers(1, 200))
        return rows

    def ads(self, n: int) -> list[dict[str, Any]]:
        """n ads."""
        rows = self.units(n)
        for row in rows:
            ln = row["typical"] + self.over + self.pick.normal(0, 0.16)
            ln += row["scale"] * self.pick.standard_t(6)
            odd = self.pick.random()
            if odd < 0.15:
                ln += self.pick.uniform(0.1, 0.4)
            elif odd < 0.21:
                ln += float(np.log(self.pick.choice([0.5, 2.0, 10.0, 0.1])))
            row["price"] = round(float(np.exp(ln)), 2)
            for name, blank in (("maker", 0.15), ("age", 0.25), ("condition", 0.25)):
                if self.pick.random() < blank:
                    row[name] = None
        return rows


def units_of(rows: list[dict[str, Any]]) -> Units:
    return from_rows(
        [{k: v for k, v in row.items() if k not in ("typical", "scale")} for row in rows]
    )


def seen(rows: list[dict[str, Any]], pick: np.random.Generator) -> ads.Ads:
    """The ads as they are kept; none of them says how long it had been up."""
    if not rows:
        return ads.NONE
    days = DAY.toordinal() - pick.integers(0, 60, len(rows)).astype(float)
    return ads.Ads(units_of(rows), days, np.zeros(len(rows)))


def scored(model: price.PriceNumbers, rows: list[dict[str, Any]]) -> tuple[float, float, float]:
    """(mean |ln price - ln typical|, coverage of the 80 % range, its width in ln) over sales."""
    law = price.law(model, units_of(rows), float(DAY.toordinal()))
    sold = np.log([row["price"] for row in rows])
    low, high = (np.log(end) for end in price.range_of(law, 0.8))
    inside = (sold >= low) & (sold <= high)
    return (
        float(np.abs(sold - law.center).mean()),
        float(inside.mean()),
        float((high - low).mean()),
    )


def main(worlds: int) -> None:
    """Print the table."""
    found: dict[tuple[int, int], list[tuple[float, float, float]]] = {}
    best: list[float] = []
    for seed in range(worlds):
        market = Market(seed)
        first, own, next_ = market.sales(10), market.sales(100), market.sales(40)
        told = market.ads(60)
        best.append(float(np.mean([abs(np.log(r["price"]) - r["typical"]) for r in first])))
        for n in (0, 10, 100):
            for m in (0, 20, 60):
                rows = own[:n]
                others = seen(told[:m], np.random.default_rng(seed))
                model = price_fit.fit_price(units_of(rows), PLAIN, DAY, others)
                found.setdefault((n, m), []).append(scored(model, next_ if n else first))
    floor = float(np.mean(best))
    print(
        f"{worlds} markets; {floor:.3f} of the first ten's error is left to one who knows the law"
    )
    print(
        "own  ads   error (se)      change to no ads (se)   coverage (se)   width   above the floor"
    )
    for (n, m), each in found.items():
        table, none = np.array(each), np.array(found[n, 0])
        less = table[:, 0] / none[:, 0].mean() - none[:, 0] / none[:, 0].mean()
        error, coverage, width = table.mean(0)
        se, cover_se, _ = table.std(0, ddof=1) / np.sqrt(worlds)
        print(
            f"{n:3d}  {m:3d}   {error:.3f} ({se:.3f})   {less.mean():+7.1%}"
            f" ({less.std(ddof=1) / np.sqrt(worlds):.1%})"
            f"         {coverage:.3f} ({cover_se:.3f})   {width:.2f}"
            + (f"    {error - floor:.3f}" if not n else "")
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 40)
