"""What a long record costs its readers: `compare`, `report`, `accuracy`, *What pays*, the list, and
learning after one more row. Invented units of one law for all sizes. Prints seconds by the clock,
CPU seconds and peak MiB of each, in a process of its own.

    python tests/benchmarks/long_reports.py [sizes, 100000,1000000]
"""

from __future__ import annotations

import datetime
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

DAY = datetime.date(2026, 10, 5)
KINDS = ("electric dryer", "gas range", "front-load washer", "dishwasher", "top-load washer")
FAULTS = ("no heat", "won't drain", "dead", "leaks", "noisy", "")
FOUND = ("element", "belt", "board", "door seal", "drain pump")
PLACES = ("curb", "classified ad", "swap on delivery", "landlord")
HEAD = (
    "Unit,Type,Maker,Age,Condition,Fault,Found,Repair,Got from,Paid,Parts,Miles,Drive minutes,"
    "Repair minutes,Clean minutes,Sell minutes,Got,Listed,Asked,Sold,Price,Outcome\n"
)
RUN = """
import os, resource, sys, time
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
def told(begun):
    used = resource.getrusage(resource.RUSAGE_SELF)
    with open("/proc/self/status") as status:
        peak = next(int(line.split()[1]) for line in status if line.startswith("VmHWM"))
    print(f"MEASURED {time.perf_counter() - begun:.1f} {used.ru_utime + used.ru_stime:.1f}"
        f" {peak / 1024:.0f}", file=sys.stderr)
"""
COMMAND = """
from pricing.cli import main
sys.argv[0], begun = "pricing", time.perf_counter()
try:
    main()
finally:
    told(begun)
"""
PAGE = """
from datetime import date
from pathlib import Path
from pricing.basis.home import Home
sys.path.insert(0, sys.argv[1])
from web_client import Browser
browser = Browser(Home(Path(sys.argv[3])), date.fromisoformat(sys.argv[4]))
begun = time.perf_counter()
assert browser.get(sys.argv[2]).status == 200
told(begun)
begun = time.perf_counter()
browser.get(sys.argv[2])
print(f"AGAIN {time.perf_counter() - begun:.2f}", file=sys.stderr)
"""


def write(path: Path, n: int) -> Path:
    """n invented units over six years; one in eight was scrapped, one in a hundred is still here."""
    pick = np.random.default_rng(7)
    first = datetime.date(2020, 9, 1).toordinal()
    days = [datetime.date.fromordinal(first + i).isoformat() for i in range(2_400)]
    with path.open("w") as file:
        file.write(HEAD)
        for start in range(0, n, 50_000):
            size = min(50_000, n - start)
            whole = pick.integers(0, 1_000_000, (size, 12)).tolist()
            got = pick.integers(0, 2_100, size).tolist()
            noise = pick.normal(0, 0.25, size).tolist()
            for i, (x, at, off) in enumerate(zip(whole, got, noise, strict=True)):
                file.write(row(start + i, x, at, off, days))
    return path


def row(number: int, x: list[int], got: int, off: float, days: list[str]) -> str:
    kind, age = x[0] % len(KINDS), 1 + x[1] % 16
    price = round(float(np.exp(5.3 + 0.12 * kind - 0.06 * age + off)))
    up = got + 1 + x[2] % 12
    down = up + 1 + x[3] % 40
    end = f"{price + 30},{days[down]},{price},sold"
    if x[4] % 100 == 0:
        end = f"{price + 30},,,listed"
    elif x[4] % 8 == 1:
        end = f",{days[down]},,scrapped"
    return (
        f"L{number:07d},{KINDS[kind]},maker{x[5] % 6},{age},{('fair', 'good')[x[6] % 2]},"
        f"{FAULTS[x[7] % 6]},{FOUND[x[8] % 5]},{FOUND[x[8] % 5]},{PLACES[x[9] % 4]},{x[10] % 40},"
        f"{x[11] % 50}.5,{1 + x[10] % 20},{10 + x[11] % 60},{20 + x[9] % 90},15,{10 + x[8] % 20},"
        f"{days[got]},{days[up]},{end}\n"
    )


def told(what: str, code: str, *words: str) -> None:
    """Run in a process of its own, and print a row of the table."""
    begun = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-c", RUN + code, *words], capture_output=True, text=True
    )
    lines = done.stderr.splitlines()
    found = next((x.split()[1:] for x in lines if x.startswith("MEASURED")), ["-", "-", "-"])
    again = next((f", again {x.split()[1]} s" for x in lines if x.startswith("AGAIN")), "")
    failed = f" failed: {done.stderr[-300:]}" if done.returncode else ""
    print(
        f"| {what} | {time.perf_counter() - begun:.1f} | {found[0]}{again} | {found[1]} |"
        f" {found[2]} |{failed}",
        flush=True,
    )


def main() -> None:
    sizes = map(int, (sys.argv[1] if len(sys.argv) > 1 else "100000,1000000").split(","))
    print(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    print("| what | clock with start, s | clock, s | CPU, s | peak MiB |\n|---|---|---|---|---|")
    tests = str(Path(__file__).parents[1])
    for n in sizes:
        with tempfile.TemporaryDirectory() as name:
            folder, day = Path(name), DAY.isoformat()
            home = folder / "home"
            there = ("--home", str(home), "--as-of", day)
            told(
                f"add {n:,}, no fit",
                COMMAND,
                "add",
                str(write(folder / "a.csv", n)),
                "--no-fit",
                *there,
            )
            told("compare", COMMAND, "compare", *there)
            told("compare by found and type", COMMAND, "compare", "--by", "found,type", *there)
            told("report", COMMAND, "report", *there)
            told("accuracy", COMMAND, "accuracy", *there)
            told("What pays", PAGE, tests, "/compare", str(home), day)
            told("the list", PAGE, tests, "/records", str(home), day)
            told("fit", COMMAND, "fit", *there)
            one = folder / "one.csv"
            one.write_text(HEAD + row(n + 1, [1] * 12, 100, 0.0, [day] * 2_400))
            told("one row more, learned from", COMMAND, "add", str(one), *there)


if __name__ == "__main__":
    main()
