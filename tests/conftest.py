"""What many tests share: the invented demo record as files and as a home that was fitted once."""

from __future__ import annotations

import os

os.environ.setdefault(
    "OPENBLAS_NUM_THREADS", "1"
)  # before numpy: several test processes of several threads only wait for each other
# Hundreds of tests start the program: each would compile the whole package anew
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

import shutil
import time
from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from pricing.basis.home import Home

ROOT = Path(__file__).parents[1]
DEMO_LEDGER = ROOT / "data" / "demo" / "ledger.csv"
DEMO_DAY = date(2026, 10, 5)


def made_once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """A folder that is made once for all test processes of a run: the first to come makes it, the
    others wait for its mark. Nobody may change what is in it."""
    base = factory.getbasetemp()
    # each process of a parallel run has a folder of its own in one that they share
    folder = (base.parent if "PYTEST_XDIST_WORKER" in os.environ else base) / name
    mark = folder.with_name(f"{name}.done")
    try:
        folder.mkdir()
    except FileExistsError:
        for _ in range(3000):
            if mark.exists():
                break
            time.sleep(0.1)
        assert mark.read_text() == "made", f"{name} could not be made by another test process"
        return folder
    try:
        make(folder)
    except BaseException:
        mark.write_text("failed")
        raise
    mark.write_text("made")
    return folder


@pytest.hookimpl(optionalhook=True)  # a run without processes has none to count
def pytest_xdist_auto_num_workers() -> int:
    """One more than there are cores: tests wait for browsers and for processes of their own."""
    return (os.cpu_count() or 1) + 1


@pytest.hookimpl(trylast=True)  # after the slow ones are left out
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files with tests that take long come first: begun last, one of them keeps one process busy
    while the other has nothing left. A file stays whole: its tests share what was made for it."""
    long = Counter(one.path for one in items if one.get_closest_marker("long"))
    items.sort(key=lambda one: -long[one.path])


def fill_demo_home(home: Home, as_of: date) -> None:
    """Make the demo home, add its ledger and fit."""
    from pricing.basis.settings import load_settings
    from pricing.pipeline.adding import add
    from pricing.pipeline.demo import make_demo_home
    from pricing.pipeline.fitting import fit

    ledger = make_demo_home(home)
    settings = load_settings(home)
    add(home, ledger, settings, as_of)
    fit(home, settings, as_of)


@pytest.fixture(scope="session")
def demo_home_once(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """The demo record added and fitted; shared by the whole run, so nobody may change it."""

    folder = made_once(
        tmp_path_factory, "demo", lambda folder: fill_demo_home(Home(folder / "home"), DEMO_DAY)
    )
    return Home(folder / "home")


@pytest.fixture(scope="session")
def demo_phone_once(demo_home_once: Home, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The phone file of the demo record; shared by the whole run."""
    from pricing.basis.settings import Settings
    from pricing.pipeline import phoning

    def make(folder: Path) -> None:
        home = Home(folder / "home")
        shutil.copytree(demo_home_once.path, home.path)
        phoning.write(home, Settings(), DEMO_DAY)

    return made_once(tmp_path_factory, "phone", make) / "home" / "reports" / phoning.NAME


@pytest.fixture
def demo_home(demo_home_once: Home, tmp_path: Path) -> Home:
    """A copy of the fitted demo home that a test may change."""
    shutil.copytree(demo_home_once.path, tmp_path / "home")
    return Home(tmp_path / "home")


@pytest.fixture(scope="session")
def demo_day() -> date:
    """The day as of which the demo record is asked."""
    return DEMO_DAY
