"""What the shell may complete: types, conditions, faults, groups and the numbers of open units."""

from __future__ import annotations

from collections.abc import Callable, Iterable
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
        return starting(
            open_units(load(home if isinstance(home, Home) else find_home(None))), begun
        )
    except Exception:  # a broken record must not break the shell's line
        return []


def types(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    """Types that the starting figures know."""
    return starting((row.type for row in assumed.TYPES), begun)


def faults(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    """What an owner may say is wrong."""
    return starting((row.fault for row in assumed.FAULTS), begun)


def conditions(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    """The four conditions."""
    return starting(CONDITIONS, begun)


def groups(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    """What `compare --by` groups by."""
    from pricing.pages.compare_text import NAMES

    return starting(NAMES, begun)


def columns(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    """Our columns."""
    return starting(BY_NAME, begun)


def keys(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    """Keys of pricing.toml."""
    return starting((key.name for key in KEYS), begun)


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


def topics(ctx: click.Context, param: click.Parameter, begun: str) -> list[str]:
    """Pages of the guide."""
    return starting(pages(), begun)


OPTIONS: dict[str, Complete] = {"type": types, "condition": conditions, "fault": faults}
