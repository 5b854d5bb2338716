"""What `compare` and `report` measure up to: chances and ranges in invented worlds, speed and size.
Printed, not only asserted.

pytest tests/benchmarks/test_pays.py -n 0 -s -m slow
"""

from __future__ import annotations

import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from references import bca

from pricing.quarter.best import pool, shared_variance
from pricing.quarter.ratio import interval, ratio_of_sums

pytestmark = pytest.mark.slow
SIZES = (6, 12, 25, 50)


def units(
    rng: np.random.Generator, shape: tuple[int, ...], law: str
) -> tuple[np.ndarray, np.ndarray]:
    """Money and hours of units by three invented laws: even, skewed, and one in four failed."""
    if law == "even":
        return 100 * (1 + 0.6 * rng.normal(size=shape)), 3 * np.exp(0.3 * rng.normal(size=shape))
    if law == "skewed":
        return 100 * np.exp(0.555 * rng.normal(size=shape) - 0.154), 3 * np.exp(
            0.5 * rng.normal(size=shape)
        )
    fixed = rng.random(shape) < 0.75
    return np.where(fixed, rng.lognormal(5.4, 0.35, shape), 8) - rng.lognormal(
        3.4, 0.5, shape
    ) - 25, rng.lognormal(0.9, 0.4, shape) * np.where(fixed, 1.2, 0.8)


@pytest.mark.parametrize("law", ["even", "skewed", "failures"])
def test_ranges_hold_four_in_five(law: str) -> None:
    """Coverage of the .80 range over 4,000 sets at each size; for comparison the bootstrap of the
    check path over 400 sets."""
    rng = np.random.default_rng(17)
    y, x = units(rng, (1_000_000,), law)
    truth = y.sum() / x.sum()
    for n in SIZES:
        y, x = units(rng, (4000, n), law)
        ends = np.array([interval(ratio_of_sums(a, b), 0.8) for a, b in zip(y, x, strict=True)])
        held = ((ends[:, 0] <= truth) & (truth <= ends[:, 1])).mean()
        check = np.array(
            [
                bca(lambda rows, a=a, b=b: a[rows].sum(1) / b[rows].sum(1), n, 0.8, n_boot=600)
                for a, b in zip(y[:400], x[:400], strict=True)
            ]
        )
        held_check = ((check[:, 0] <= truth) & (truth <= check[:, 1])).mean()
        print(
            f"{law:9s} n {n:2d}: holds {held:.3f} (bootstrap check {held_check:.3f}), width"
            f" {np.median(ends[:, 1] - ends[:, 0]):.1f} of {truth:.1f}"
        )
        assert 0.76 <= held <= 0.84


@pytest.mark.parametrize("worlds", ["ladder", "random"])
def test_chance_of_being_best(worlds: str) -> None:
    """Stated chance of the group named best against how often it is: 5 blocks of 400 worlds at each
    size.

    ladder: five groups 10 % apart; random: five groups that differ by 15 % at random. Units scatter
    by 60 %.
    """
    for n in SIZES:
        rng = np.random.default_rng(n)
        stated, found = np.empty(2000), np.empty(2000)
        for world in range(2000):
            truth = (
                30 * 1.1 ** np.arange(5)
                if worlds == "ladder"
                else 30 * np.exp(0.15 * rng.normal(size=5))
            )
            profit = truth[:, None] * (1 + 0.6 * rng.normal(size=(5, n)))
            ratios = [ratio_of_sums(row, np.ones(n)) for row in profit]
            value, sizes, scale = (
                np.array([ratio.value for ratio in ratios]),
                np.full(5, float(n)),
                float(profit.mean()),
            )
            variance = shared_variance(
                np.array([ratio.unit_variance for ratio in ratios]), sizes, value, scale, 1.0
            )
            chance = pool(value, variance, sizes, scale=scale, target=30.0, seed=world).chance_best
            stated[world], found[world] = chance.max(), chance.argmax() == truth.argmax()
        blocks = (stated - found).reshape(5, 400).mean(1)
        band = 1.96 * np.sqrt((stated * (1 - stated)).mean() / 400)
        off = (
            f"stated {stated.mean():.3f}, found {found.mean():.3f}, off"
            f" {stated.mean() - found.mean():+.3f}"
        )
        print(
            f"{worlds} n {n:2d}: {off}; blocks of 400: {np.round(blocks, 3)}, band +-{band:.3f},"
            f" inside {(abs(blocks) <= band).sum()} of 5"
        )
        assert abs(stated.mean() - found.mean()) < 0.06


@pytest.mark.parametrize("copies", [1, 500])
def test_report_of_many_units(tmp_path: Path, copies: int) -> None:
    """The demo record once, and 500 times over (about 100,000 units): CPU and clock of a cold
    `pricing report`, size of the page."""
    import pyarrow as pa

    from pricing.basis.home import Home
    from pricing.basis.settings import Settings
    from pricing.pipeline.adding import add
    from pricing.record import entries
    from pricing.record.current import read_current

    home, ledger = (
        Home(tmp_path / "home"),
        Path(__file__).parents[2] / "data" / "demo" / "ledger.csv",
    )
    add(home, ledger, Settings(), date(2026, 10, 5))
    if copies > 1:
        table = read_current(home)
        text = tmp_path / "many.csv"
        names = [
            "unit",
            "type",
            "maker",
            "age",
            "condition",
            "fault",
            "repair",
            "got",
            "listed",
            "sold",
            "paid",
            "parts",
            "price",
            "salvage",
            "outcome",
            "miles",
            "drive_min",
            "repair_min",
            "clean_min",
            "sell_min",
        ]
        rows = pa.table({name: table.column(name) for name in names}).to_pandas()
        import pandas as pd

        many = pd.concat(
            [rows.assign(unit=[f"M{copy}-{i}" for i in range(len(rows))]) for copy in range(copies)]
        )
        many.to_csv(text, index=False)
        add(home, text, Settings(), date(2026, 10, 5))
    assert len(entries.load(home).counting()) >= 1
    started = time.perf_counter()
    code = (
        "import resource, sys; from pricing.cli import group; sys.argv[0] = 'pricing';"
        " group(standalone_mode=False); u = resource.getrusage(resource.RUSAGE_SELF); print('CPU',"
        " round(u.ru_utime + u.ru_stime, 2), 'MiB', u.ru_maxrss // 1024)"
    )
    out = subprocess.run(
        [sys.executable, "-c", code, "report", "--home", str(home.path), "--as-of", "2026-10-05"],
        capture_output=True,
        text=True,
        check=True,
    )
    clock = time.perf_counter() - started
    size = (home.reports / "quarter-2026Q3.html").stat().st_size
    print(
        f"{copies} x demo: {out.stdout.splitlines()[-1]}, clock {clock:.1f} s, page"
        f" {size / 1e6:.2f} MB"
    )
    assert size <= 1_500_000
