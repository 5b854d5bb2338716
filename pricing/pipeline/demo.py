"""The demo's own folder: where it stands, and how it is made anew each time."""

import shutil
from datetime import date
from pathlib import Path

from pricing.basis import files
from pricing.basis.home import DEMO_MARK, Home
from pricing.basis.problems import refused

# The day after the invented record ends; its answers are as if today were this day
DEMO_DAY = date(2026, 10, 5)


def demo_ledger() -> Path:
    """The invented ledger: inside the installed package, or data/demo of a checkout."""
    package = Path(__file__).parents[1]
    for folder in (package / "demo_data", package.parent / "data" / "demo"):
        if (folder / "ledger.csv").is_file():
            return folder / "ledger.csv"
    raise refused("the demo did not come with this installation", "install the program again")


def demo_home() -> Home:
    """data/demo/home of the checkout that one stands in, else `pricing-demo` in documents."""
    here = Path.cwd() / "data" / "demo"
    if (here / "make_demo.py").is_file():
        return Home(here / "home")
    from platformdirs import user_documents_path

    return Home(user_documents_path() / "pricing-demo")


def make_demo_home(home: Home) -> Path:
    """An empty demo home with the invented ledger in it; other folders are left alone."""
    if home.path.exists() and any(home.path.iterdir()):
        if not home.is_demo:
            what = "the demo needs a folder of its own, and this one has other things in it"
            fix = "name an empty or new folder with --home"
            raise refused(what, fix, file=str(home.path))
        shutil.rmtree(home.path)
    mark = "Everything in this folder is invented; it is made anew by every `pricing demo`.\n"
    files.write_text(home.path / DEMO_MARK, mark)
    ledger = home.path / "ledger.csv"
    files.write_bytes(ledger, demo_ledger().read_bytes())
    return ledger
