"""What a long record costs: time, memory and bytes a row of `add`, `fit` and `offer`, on one
machine and on Dask's workers. Printed, not asserted.

    python tests/benchmarks/growth.py 100000,1000000,10000000 [--workers 1,2] [--keep FOLDER]

The sales are invented, by one law for all sizes. Each step runs in a process of its own, whose peak
memory and processor time are those that the system (Linux) reports; peak memory of a worker is read
by the worker itself. Run it on a machine that does nothing else.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

TYPES = (
    "electric dryer",
    "gas dryer",
    "front-load washer",
    "top-load washer",
    "dishwasher",
    "gas range",
    "electric range",
    "wall oven",
    "chest freezer",
    "microwave",
)
MAKERS = ("Arvend", "Bolmar", "Castrel", "Dunmore", "Elvet", "Farrow")
FEATURES = ("", "steam", "stainless", "sensor dry", "stainless; steam")
FIRST_DAY, DAYS = 731_600, 7_300  # twenty years of sales up to 2023


def write_sheet(path: Path, n: int, seed: int = 0, block: int = 500_000) -> None:
    """n invented units as a CSV file: ln price = type - .09 age + maker + grade + season + noise of
    .2."""
    import pyarrow as pa
    from pyarrow import csv

    pick = np.random.default_rng(seed)
    level, worth = np.linspace(4.6, 6.2, len(TYPES)), np.linspace(-0.15, 0.15, len(MAKERS))
    days = np.array(
        [
            np.datetime64("1970-01-01") + k
            for k in range(FIRST_DAY - 719_163, FIRST_DAY - 719_163 + DAYS + 200)
        ]
    ).astype(str)
    with csv.CSVWriter(path, schema(pa)) as out:
        for start in range(0, n, block):
            size = min(block, n - start)
            kind, maker, grade = (
                pick.integers(0, len(TYPES), size),
                pick.integers(0, len(MAKERS), size),
                pick.integers(0, 4, size),
            )
            age, got = pick.integers(1, 20, size), pick.integers(0, DAYS, size)
            listed = got + pick.integers(1, 12, size)
            sold = listed + pick.geometric(0.08, size).clip(1, 150)
            ln = (
                level[kind]
                - 0.09 * age
                + worth[maker]
                + 0.12 * (grade - 2)
                + 0.05 * np.sin(2 * np.pi * sold / 365.25)
                + 0.2 * pick.standard_normal(size)
            )
            price = np.maximum(np.round(np.exp(ln) / 5) * 5, 10).astype(int)
            out.write_table(
                pa.table(
                    [
                        [f"A{k}" for k in range(start, start + size)],
                        np.take(TYPES, kind),
                        np.take(MAKERS, maker),
                        age,
                        np.take(("rough", "fair", "good", "like new"), grade),
                        np.take(FEATURES, pick.integers(0, len(FEATURES), size)),
                        np.take(("no heat", "dead", "leaks", "noisy"), pick.integers(0, 4, size)),
                        np.take(
                            ("heating element", "door seal", "drain pump", "belt"),
                            pick.integers(0, 4, size),
                        ),
                        pick.integers(0, 14, size) * 5,
                        pick.integers(0, 80, size) / 2,
                        pick.integers(2, 17, size) / 4,
                        days[got],
                        days[listed],
                        np.round(price * 1.1).astype(int),
                        days[sold],
                        price,
                        np.full(size, "sold"),
                    ],
                    schema=schema(pa),
                )
            )


def schema(pa: object) -> object:
    text, whole, number = pa.string(), pa.int64(), pa.float64()  # type: ignore[attr-defined]
    kinds = (
        text,
        text,
        text,
        whole,
        text,
        text,
        text,
        text,
        whole,
        number,
        number,
        text,
        text,
        whole,
        text,
        whole,
        text,
    )
    names = [
        "unit",
        "type",
        "maker",
        "age",
        "condition",
        "features",
        "fault",
        "repair",
        "paid",
        "parts",
        "hours",
        "got",
        "listed",
        "asked",
        "sold",
        "price",
        "outcome",
    ]
    return pa.schema(list(zip(names, kinds, strict=True)))  # type: ignore[attr-defined]


def measured(code: str, *arguments: str) -> tuple[float, float, float, str]:
    """Seconds by the clock, seconds of processors, peak MiB of one process, and what it printed, of
    a Python process and those it starts."""
    env = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": str(Path(__file__).parents[2])}
    # ru_maxrss starts at what the parent held, so the peak is that of the process's own memory map
    end = (
        "\nimport resource as r\na, b = r.getrusage(r.RUSAGE_SELF),"
        " r.getrusage(r.RUSAGE_CHILDREN)\n"
    )
    end += (
        "peak = next(int(line.split()[1]) for line in open('/proc/self/status') if"
        " line.startswith('VmHWM'))\n"
    )
    end += "print('USED', a.ru_utime + a.ru_stime + b.ru_utime + b.ru_stime, peak / 1024)"
    begun = time.perf_counter()
    ended = subprocess.run(
        [sys.executable, "-c", code + end, *arguments],
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    took = time.perf_counter() - begun
    if ended.returncode:
        raise SystemExit(ended.stderr)
    lines = ended.stdout.strip().splitlines()
    _, cpu, peak = lines[-1].split()
    return took, float(cpu), float(peak), "\n".join(lines[:-1])


RUN = (
    "import sys\nfrom pricing.cli import group\nsys.argv = ['pricing',"
    " *sys.argv[1:]]\ngroup(standalone_mode=False)"
)
ON_WORKERS = """
import json, sys
from datetime import date
from pathlib import Path
def peak():
    return max(int(line.split()[1]) / 1024 for line in open('/proc/self/status') if line.startswith('VmHWM'))
if __name__ == '__main__':
    from distributed import Client, LocalCluster
    from pricing.pipeline import fitting
    from pricing.basis.home import Home
    from pricing.basis.settings import Settings
    import time
    with LocalCluster(n_workers=int(sys.argv[2]), threads_per_worker=1, dashboard_address=None) as several, Client(several) as client:
        begun = time.perf_counter()
        fitted = fitting.fit(Home(Path(sys.argv[1])), Settings(), date(2024, 6, 1), several.scheduler_address)
        took = time.perf_counter() - begun
        print(json.dumps({'took': took, 'peaks': sorted(client.run(peak).values()), 'file': str(fitted.path)}))
"""


def body(path: str) -> object:
    return json.loads(Path(path).read_text())["body"]


def main() -> None:
    told = argparse.ArgumentParser()
    told.add_argument("sizes")
    told.add_argument("--workers", default="1,2")
    told.add_argument("--keep", help="folder for sheets and homes, used again where they are there")
    options = told.parse_args()
    folder = Path(options.keep or tempfile.mkdtemp(prefix="growth-"))
    folder.mkdir(parents=True, exist_ok=True)
    print(
        "| rows | step | clock, s | processors, s | µs a row | peak, MiB |"
        f" |\n|---|---|---|---|---|---|---|   {os.cpu_count()} cores, load"
        f" {os.getloadavg()[0]:.1f}",
        flush=True,
    )
    for n in map(int, options.sizes.split(",")):
        one_size(folder, n, [int(k) for k in options.workers.split(",") if k])
    if not options.keep:
        shutil.rmtree(folder)


def one_size(folder: Path, n: int, workers: list[int]) -> None:
    def show(step: str, took: float, cpu: float, peak: float, more: str = "") -> None:
        print(
            f"| {n:,} | {step} | {took:.1f} | {cpu:.1f} | {1e6 * took / n:.1f} | {peak:.0f} |"
            f" {more} |",
            flush=True,
        )

    csv, home = folder / f"{n}.csv", folder / f"home-{n}"
    if not csv.exists():
        write_sheet(csv, n)
    shutil.rmtree(home, ignore_errors=True)
    show(
        "add",
        *measured(RUN, "add", str(csv), "--no-fit", "--home", str(home), "--as-of", "2024-06-01")[
            :3
        ],
        f"CSV {csv.stat().st_size / n:.0f} bytes a row",
    )
    day = ("--home", str(home), "--as-of", "2024-06-01")
    for step in ("fit, data set made", "fit"):
        show(step, *measured(RUN, "fit", *day)[:3], "")
    plain = body(max(str(path) for path in (home / "models").glob("[0-9]*[0-9].json")))
    for k in workers:
        took, cpu, peak, said = measured(ON_WORKERS, str(home), str(k))
        found = json.loads(said.splitlines()[-1])
        same = "same numbers" if body(found["file"]) == plain else "OTHER NUMBERS"
        peaks = ", ".join(f"{one:.0f}" for one in found["peaks"])
        show(
            f"fit, {k} of Dask's workers",
            found["took"],
            cpu,
            peak,
            f"{same}; workers' peaks {peaks} MiB; {took:.1f} s with start and end",
        )
    times = sorted(
        measured(
            RUN, "offer", "electric", "dryer,", "8", "years,", "no", "heat,", "wants", "40", *day
        )[:2]
        for _ in range(5)
    )
    show("offer, cold", times[0][0], times[0][1], 0, "best of 5")
    stored = {
        "record": (home / "data" / "record.db").stat().st_size / n,
        "by month": sum(
            path.stat().st_size for path in (home / "data" / "by-month").rglob("*.parquet")
        )
        / n,
    }
    print(
        f"| {n:,} | on disk | | | | |"
        f" {', '.join(f'{name} {size:.1f}' for name, size in stored.items())} bytes a row |",
        flush=True,
    )


if __name__ == "__main__":
    main()
