"""The tables of words and figures: the compiled files are made from the CSV files, the checks that
came with the tables hold, and a few figures are those that the tables' notes print."""

from __future__ import annotations

import json
import subprocess
import sys
import zlib
from pathlib import Path
from typing import Any

import compile_words
import pytest
from compile_sayings import compiled_said

from pricing.words import tables

ROOT = Path(__file__).parents[1]
UNTOLD = 'not known / "doesn\'t work"'


@pytest.mark.parametrize("name", sorted(compile_words.compiled()))
def test_the_compiled_file_is_what_the_tables_make(name: str) -> None:
    """After a change of a table: python tests/compile_words.py."""
    made = compile_words.compiled()[name]
    if name in tables.PACKED:  # compared as what it holds
        assert json.loads(made) == packed(name)
    else:
        assert (tables.HERE / f"{name}.json").read_text(encoding="utf-8") == made


def test_checks_of_the_tables_hold() -> None:
    """Shares sum to 1, mixtures are the mixtures of their parts, names are the canonical ones."""
    done = subprocess.run(
        [sys.executable, str(ROOT / "data" / "words" / "check.py")],
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
    )
    lines = done.stdout.splitlines()

    assert done.returncode == 0, [line for line in lines if not line.startswith("ok ")]
    assert sum(line.startswith("ok ") for line in lines) >= 45


def test_tables_stay_small() -> None:
    """300 kB at most in the package, as they are kept there."""
    assert sum(path.stat().st_size for path in tables.HERE.glob("*.json*")) <= 300_000


# From the notes of the tables: untold fault, chance that it ends as a working sale.
@pytest.mark.parametrize(
    ("type_name", "fix"),
    [("electric dryer", 0.89), ("gas range", 0.82), ("top-load washer", 0.69), ("window AC", 0.28)],
)
def test_untold_figures_are_those_printed(type_name: str, fix: float) -> None:
    row = next(
        row
        for row in tables.rows("faults")
        if row["fault_as_told"] == UNTOLD and row["types"] == [type_name]
    )

    assert row["fix"] == pytest.approx(fix, abs=0.005)


def test_told_figures_follow_from_the_findings() -> None:
    """The chance of a told fault is the sum over its findings of share x chance."""
    chance = {(row["family"], row["finding"]): row["fix_chance"] for row in tables.rows("findings")}
    told = [row for row in tables.rows("faults") if row["findings"] and not row["decision"]]
    assert len(told) > 200
    for row in told:
        mixed = 0.0
        for name, share in row["findings"].items():
            family, _, finding = name.rpartition(": ")
            mixed += share * chance[family or row["family"], finding]
        assert row["fix"] == pytest.approx(mixed, abs=2e-3), row["fault_as_told"]


def test_the_sayings_are_what_the_tables_make() -> None:
    """The file that the reader of sentences loads, compressed; compared as what it holds."""
    assert json.loads(json.dumps(compiled_said())) == packed("said")


def packed(name: str) -> dict[str, Any]:
    return json.loads(zlib.decompress((tables.HERE / f"{name}.json.z").read_bytes()))
