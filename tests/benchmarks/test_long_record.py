"""Memory of adding a long file to a long record: pytest tests/benchmarks/test_long_record.py -n 0
-s

Each add runs in a process of its own, of which the peak is read. Aim: at most 600 MiB and 24 bytes
for each row of the file and of the record.
"""

from __future__ import annotations

import json
import random
import subprocess
import sys
from pathlib import Path

import pytest

ROWS = 300_000
PROGRAM = """
import json, resource, sys
from datetime import date
from pathlib import Path
from pricing.pipeline import adding, keeping
from pricing.basis.home import Home
from pricing.basis.settings import Settings
added = adding.add(Home(Path(sys.argv[1])), Path(sys.argv[2]), Settings(), date(2026, 11, 25))
used = resource.getrusage(resource.RUSAGE_SELF)
print(json.dumps([added.counts, used.ru_maxrss / 1024, used.ru_utime + used.ru_stime]))
"""


def ledger(path: Path, first: int, more: int) -> None:
    """Invented sales; `more` is put on every price."""
    draw = random.Random(5)
    with path.open("w") as out:
        out.write(
            "Ref,Type,Age (years),Condition,Paid,Parts,Hours,Bought,Sold,Sale price,Outcome\n"
        )
        for number in range(first, first + ROWS):
            kind, age, paid, price = (
                draw.choice(("Oven", "Hob", "Fridge")),
                draw.randrange(1, 28) / 2,
                draw.randrange(0, 17) * 5,
                draw.randrange(40, 300),
            )
            out.write(
                f"L{number:07d},{kind},{age},Good,{paid},2.5,1.5,2024-05-01,2024-05-{draw.randrange(2, 29):02d},{price + more}.00,Sold\n"
            )


@pytest.mark.parametrize("what", ["unchanged", "changed", "half new", "older"])
def test_peak_of_an_add(what: str, tmp_path: Path) -> None:
    def add(first: int, more: int) -> tuple[dict[str, int], float, float]:
        ledger(tmp_path / "sheet.csv", first, more)
        done = subprocess.run(
            [sys.executable, "-c", PROGRAM, str(tmp_path / "home"), str(tmp_path / "sheet.csv")],
            capture_output=True,
            text=True,
            check=True,
        )
        counts, peak, cpu = json.loads(done.stdout)
        return counts, peak, cpu

    add(0, 0)
    if what == "older":
        add(0, 1)
    first, more, name, expected = {
        "unchanged": (0, 0, "unchanged", ROWS),
        "changed": (0, 1, "changed", ROWS),
        "half new": (ROWS // 2, 0, "accepted", ROWS // 2),
        "older": (0, 0, "unchanged", ROWS),
    }[what]
    counts, peak, cpu = add(first, more)
    print(f"{what}: {ROWS:,} rows on a record of as many, peak {peak:.0f} MiB, {cpu:.1f} s CPU")

    assert counts[name] == expected
    assert peak <= 600 + 24 * 3 * ROWS / 2**20
