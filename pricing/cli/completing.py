"""What the shell may complete: types, conditions, faults, groups and the numbers of open units."""

from collections.abc import Callable, Iterable
from importlib import import_module
from pathlib import Path

import click

from pricing.basis import assumed
from pricing.basis.columns import BY_NAME, CONDITIONS
from pricing.basis.home import Home, find_home
from pricing.basis.problems import refused
from pricing.basis.settings import KEYS
from pricing.model.saved import Saved, load

Complete = Callable[[click.Context, click.Parameter, str], list[str]]


def starting(words: Iterable[str], begun: str) -> list[str]:
    """The words that begin so, whatever the capitals."""
    return sorted({word for word in words if word.lower().startswith(begun.lower())})


def open_units(numbers: Saved) -> list[str]:
    """Numbers of the units that are not done."""
    return [str(one["unit"]) for one in numbers.open_units() if one.get("unit")]


def units(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    """Open units of the record; none where there is no record."""
    home = ctx.params.get("home")
    try:
        record = load(home if isinstance(home, Home) else find_home(None))
        return starting(open_units(record), begun)
    except Exception:  # a broken record must not break the shell's line
        return []


def _of(words: Callable[[], Iterable[str]]) -> Complete:
    return lambda ctx, param, begun: starting(words(), begun)


types = _of(lambda: (row.type for row in assumed.TYPES))
faults = _of(lambda: (row.fault for row in assumed.FAULTS))
conditions, columns = _of(lambda: CONDITIONS), _of(lambda: BY_NAME)
keys = _of(lambda: (key.name for key in KEYS))
groups = _of(lambda: import_module("pricing.pages.compare_text").NAMES)


def folder() -> Path:
    """The guide: inside the installed package, or docs of a checkout."""
    package = Path(__file__).parents[1]
    for path in (package / "guide", package.parent / "docs"):
        if (path / "index.md").is_file():
            return path
    raise refused("the guide did not come with this installation", "install the program again")


def pages() -> list[str]:
    """The names of the pages."""
    return sorted(path.stem for path in folder().glob("*.md"))


topics = _of(pages)
OPTIONS: dict[str, Complete] = {"type": types, "condition": conditions, "fault": faults}
