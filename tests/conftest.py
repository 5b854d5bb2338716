"""What many tests share: the invented demo record as files and as a home that was fitted once."""

from __future__ import annotations

import os

os.environ.setdefault(
    "OPENBLAS_NUM_THREADS", "1"
)  # before numpy: several test processes of several threads only wait for each other

import shutil
from datetime import date
from pathlib import Path

import pytest

from pricing.basis.home import Home

ROOT = Path(__file__).parents[1]
DEMO_LEDGER = ROOT / "data" / "demo" / "ledger.csv"
DEMO_DAY = date(2026, 10, 5)


@pytest.fixture(scope="session")
def demo_home_once(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """The demo record added and fitted; shared by the whole run, so nobody may change it."""
    from pricing.pipeline.demo import fill_demo_home

    home = Home(tmp_path_factory.mktemp("demo") / "home")
    fill_demo_home(home, DEMO_DAY)
    return home


@pytest.fixture
def demo_home(demo_home_once: Home, tmp_path: Path) -> Home:
    """A copy of the fitted demo home that a test may change."""
    shutil.copytree(demo_home_once.path, tmp_path / "home")
    return Home(tmp_path / "home")


@pytest.fixture(scope="session")
def demo_day() -> date:
    """The day as of which the demo record is asked."""
    return DEMO_DAY
