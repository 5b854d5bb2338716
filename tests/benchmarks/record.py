"""What the record costs: adding a million rows, adding them again, with a tenth changed, one row more, the
current view, and presses. Invented sales. Prints seconds by the clock, CPU seconds and peak MiB.

    python tests/benchmarks/record.py [rows, 1000000]
"""

from __future__ import annotations

import datetime
import random
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

DAY = datetime.date(2026, 11, 25)
HEAD = "Unit,Type,Maker,Age,Condition,Fault,Repair,Paid,Parts,Hours,Got,Listed,Asked,Sold,Price,Outcome,Note\n"


def row(i: int, draw: random.Random, bump: int = 0) -> str:
    price = 60 + i * 7919 % 440 + bump
    got = datetime.date(2020, 1, 1) + datetime.timedelta(days=i % 2000)
    sold = got + datetime.timedelta(days=9 + i % 40)
    kind = ("oven", "electric dryer", "dishwasher", "top-load washer")[i % 4]
    return (
        f"U{i:07d},{kind},maker{i % 6},{i % 15}.5,good,no heat,element,{i % 40},{i % 30}.25,1.5,{got},{got},"
        f"{price + 20},{sold},{price}.00,sold,\n"
    )


def write(path: Path, n: int, changed: int = 0) -> Path:
    draw = random.Random(1)
    with path.open("w") as file:
        file.write(HEAD)
        file.writelines(row(i, draw, 3 if changed and i % changed == 0 else 0) for i in range(n))
    return path


def told(what: str, home: Path, *command: str) -> None:
    """Run pricing and say what it took; the reader of the record stands for its own process."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    code = (
        "import resource, sys; from pricing.cli import main; sys.argv[0] = 'pricing'\n"
        "try: main()\nfinally: print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024, file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *command, "--home", str(home)], capture_output=True, text=True
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    peak = done.stderr.strip().splitlines()[-1:]
    print(
        f"| {what} | {time.perf_counter() - start:.1f} s | {cpu:.1f} s CPU | {' '.join(peak)} MiB |"
        + (f" failed: {done.stderr[-200:]}" if done.returncode else ""),
        flush=True,
    )


def floor(sheet: Path, folder: Path) -> None:
    """The same rows read and written by pyarrow alone, for the ratio."""
    import pyarrow.csv
    import pyarrow.parquet

    start = time.perf_counter()
    pyarrow.parquet.write_table(pyarrow.csv.read_csv(sheet), folder / "floor.parquet")
    print(f"| pyarrow reads and writes the same | {time.perf_counter() - start:.1f} s | | |")


def presses(folder: Path, n_units: int, n: int) -> None:
    from pricing.basis.home import Home
    from pricing.basis.settings import Settings
    from pricing.pipeline import adding, by_hand

    home = Home(folder / f"presses-{n_units}")
    adding.add(home, write(folder / "some.csv", n_units), Settings(), DAY)
    took = []
    for i in range(n):
        unit = f"U{i * 7 % n_units:07d}"
        now = by_hand.current(home, unit)
        assert now is not None
        start = time.perf_counter()
        by_hand.change_unit(
            home, unit, {"note": f"press {i}"}, now["batch"], Settings(), DAY, "noted"
        )
        took.append(1000 * (time.perf_counter() - start))
    for first in (0, n - 100):
        part = sorted(took[first : first + 100])
        print(
            f"| press {first + 1} to {first + 100} of {n_units:,} units | {part[50]:.1f} ms in the middle,"
            f" {part[95]:.1f} at 95 of 100 | | |",
            flush=True,
        )


def main() -> None:
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        home, sheet = folder / "home", write(folder / "a.csv", n)
        floor(sheet, folder)
        told(f"add {n:,}", home, "add", str(sheet), "--no-fit")
        told("the same again", home, "add", str(sheet), "--no-fit")
        told("a tenth changed", home, "add", str(write(folder / "b.csv", n, 10)), "--no-fit")
        one = folder / "one.csv"
        one.write_text(HEAD + row(n + 5, random.Random(2)))
        told("one row more", home, "add", str(one), "--no-fit")
        told("the current view as Parquet", home, "export", "--out", str(folder / "out.parquet"))
        told("verify", home, "verify")
        presses(folder, 250, 3_000)
        presses(folder, 10_000, 300)


if __name__ == "__main__":
    main()
