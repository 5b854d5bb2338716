"""The demo: a folder of its own, every line marked, and nothing of it in any other record."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from pricing.basis.home import DEMO_MARK, Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.cli import group
from pricing.pipeline.adding import add
from pricing.pipeline.demo import demo_ledger, make_demo_home

ROOT = Path(__file__).parents[1]
DAY = date(2026, 10, 5)


def test_the_shipped_ledger_is_what_the_script_makes(tmp_path: Path) -> None:
    """Seeded: the same file every time."""
    made = tmp_path / "ledger.csv"
    subprocess.run(
        [sys.executable, str(ROOT / "data" / "demo" / "make_demo.py"), str(made)],
        check=True,
        capture_output=True,
    )

    assert made.read_bytes() == (ROOT / "data" / "demo" / "ledger.csv").read_bytes()


def test_the_whole_job_runs_and_every_line_is_marked(tmp_path: Path) -> None:
    """Each step prints its own decision; a copied line can never pass for a real one."""
    result = CliRunner().invoke(group, ["demo", "--home", str(tmp_path / "demo")])

    assert result.exit_code == 0, result.output
    assert all(line.startswith(DEMO_MARK) for line in result.output.splitlines())
    for word in (
        "Sales add up to",
        "At $40 you keep",
        "GO ON and fix it",
        "ASK $",
        "In the shop",
        "THE QUARTER",
    ):
        assert word in result.output, word
    assert list((tmp_path / "demo" / "reports").glob("quarter-*.html"))


def test_invented_units_enter_no_other_record(tmp_path: Path) -> None:
    """Refused with a sentence, and nothing is written."""
    with pytest.raises(Refused, match="invented record of the demo"):
        add(Home(tmp_path / "mine"), demo_ledger(), Settings(), DAY)
    assert not (tmp_path / "mine" / "data" / "record.db").exists()


def test_a_folder_with_other_things_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine")

    with pytest.raises(Refused, match="folder of its own"):
        make_demo_home(Home(tmp_path))
    assert (tmp_path / "letter.txt").read_text() == "mine"
