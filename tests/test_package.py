"""What the package says of itself: one version, a name that no stranger's package answers to, types
for those who check them; wheel and sdist are the same to the byte when they are built again."""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest
from click.testing import CliRunner

import pricing
from pricing.cli import group

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
NAME = PROJECT["project"]["name"]
SMALL = 1_500_000  # bytes of a wheel


def test_the_version_stands_in_one_place() -> None:
    said = CliRunner().invoke(group, ["--version"]).output
    assert said.strip() == f"pricing {pricing.__version__}"
    assert "version" in PROJECT["project"]["dynamic"]
    held = [
        path
        for path in (ROOT / "pricing").rglob("*.py")
        if f'"{pricing.__version__}"' in path.read_text(encoding="utf-8")
    ]
    assert held == [ROOT / PROJECT["tool"]["hatch"]["version"]["path"]]


def test_no_hint_installs_a_strangers_package() -> None:
    """`pricing` on the public index is not ours: what is told to install names ours, or the
    folder."""
    texts = [*(ROOT / "pricing").rglob("*.py"), *(ROOT / "docs").rglob("*.md"), ROOT / "README.md"]
    hints = [
        hint
        for path in texts
        for hint in re.findall(r"pip install[^\n`]*", path.read_text(encoding="utf-8"))
    ]
    assert len(hints) > 4
    assert not [hint for hint in hints if re.search(r"[\"' ]pricing(?:\[|[\"' ]|$)", hint)]
    assert [hint for hint in hints if NAME in hint]


@pytest.mark.long
def test_built_again_they_are_the_same_to_the_byte(tmp_path: Path) -> None:
    sums = []
    for turn in ("one", "two"):
        done = subprocess.run(
            [sys.executable, "-m", "hatchling", "build", "-d", str(tmp_path / turn)],
            cwd=ROOT,
            env={**os.environ, "SOURCE_DATE_EPOCH": "1700000000"},
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        built = sorted((tmp_path / turn).iterdir())
        sums.append({one.name: hashlib.sha256(one.read_bytes()).hexdigest() for one in built})
    assert len(sums[0]) == 2 and sums[0] == sums[1]
    wheel = next((tmp_path / "one").glob("*.whl"))
    assert wheel.stat().st_size < SMALL
    names = zipfile.ZipFile(wheel).namelist()
    told = ("pricing/py.typed", "pricing/demo_data/ledger.csv", "pricing/words/said.json.z")
    assert {*told} <= {*names} and any(name.startswith("pricing/guide/") for name in names)
