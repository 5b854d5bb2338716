"""The everyday question must not pay for the stack that fits: no pandas, pyarrow, scikit-learn,
scipy or matplotlib, and no Parquet read."""

from __future__ import annotations

import json
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.pipeline.fitting import fit

HEAVY = {"pandas", "pyarrow", "sklearn", "scipy", "matplotlib", "dask", "flask", "jinja2"}
PROBE = """
import io, json, sys
opened = []
sys.addaudithook(lambda event, args: opened.append(str(args[0])) if event == "open" else None)
from pricing.cli import group
sys.argv = ["pricing", *json.loads(sys.argv[1])]
try:
    group(prog_name="pricing", standalone_mode=False)
finally:
    print(json.dumps({"loaded": sorted(set(name.split(".")[0] for name in sys.modules)), "parquet": [name for name in opened if name.endswith(".parquet")]}), file=sys.stderr)
"""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A home fitted to nothing but the starting figures."""
    folder = tmp_path_factory.mktemp("home")
    fit(Home(folder), Settings(), date(2026, 10, 5))
    return folder


QUESTIONS = {
    "ask": ["ask", "electric dryer, 8 years, good"],
    "ask json": ["ask", "--type", "wall oven", "--json"],
    "offer": ["offer", "electric dryer, 8 years, no heat, wants 40, 12 miles"],
    "offer json": ["offer", "--type", "dishwasher", "--fault", "leaks", "--json"],
    "bench": ["bench", "electric dryer, 8 years, no heat"],
    "unsold": ["unsold"],
    "help": ["--help"],
}


@pytest.mark.parametrize("words", QUESTIONS.values(), ids=QUESTIONS)
def test_a_question_loads_nothing_heavy(home: Path, words: list[str]) -> None:
    """Asked in a fresh process, with an ear on every file that is opened."""
    arguments = (
        words if words == ["--help"] else [*words, "--home", str(home), "--as-of", "2026-10-05"]
    )
    run = subprocess.run(
        [sys.executable, "-c", PROBE, json.dumps(arguments)],
        capture_output=True,
        text=True,
        check=False,
    )
    seen = json.loads(run.stderr.splitlines()[-1])

    assert run.returncode == 0, run.stderr
    assert run.stdout.strip()
    assert not HEAVY & set(seen["loaded"])
    assert seen["parquet"] == []


def test_what_is_put_off_stays_off_while_modules_are_imported() -> None:
    """`basis/late` loads a library at its first use; a type that an annotation evaluates is one."""
    package = Path(__file__).parents[1] / "pricing"
    put_off = [
        ".".join(("pricing", *path.relative_to(package).with_suffix("").parts))
        for path in sorted(package.rglob("*.py"))
        if "from pricing.basis.late import" in path.read_text(encoding="utf-8")
    ]
    assert "pricing.record.export" in put_off
    code = f"import sys, {', '.join(put_off)}; print({{'pyarrow'}} & {{*sys.modules}})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"
