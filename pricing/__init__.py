"""Resale pricing for repaired household appliances. The layers, each importing only from its own or
those above it:

words      the trade's words and starting figures; a sentence -> what it says
wording    an answer's numbers -> its sentences and rows, once for every surface
basis      one unit's columns, settings, starting assumptions, a problem with file and line;
    the one way to write a file
ingest     a CSV as given -> typed rows and problems
record     one SQLite file: acts and the states of units; comparing, undo, the current view
model      units -> fitted numbers: price, repair, days to sell
advice     numbers -> decisions: offer, bench, ask, unsold
quarter    numbers -> what paid and what did not, by group and by quarter
proof      were the estimates right
pages      finished numbers -> what a person sees
pipeline   the stories, one short function each (imports inside the story)
cli, web   arguments or a request -> one story -> print or render

From Python: `open`, `fit`, `PriceRegressor`, loaded when they are first named (docs/python.md).
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from pricing.basis.version import __version__

if TYPE_CHECKING:
    from pricing.api import PriceModel, fit
    from pricing.regressor import PriceRegressor
    from pricing.shop import Shop
    from pricing.shop import open_home as open

_FACE = {
    "PriceModel": "api", "fit": "api", "PriceRegressor": "regressor", "Shop": "shop",
    "open": "shop",
}  # fmt: skip
__all__ = ["PriceModel", "PriceRegressor", "Shop", "__version__", "fit", "open"]


def __dir__() -> list[str]:
    """What Tab shows in a notebook."""
    return sorted({*globals(), *__all__})


def __getattr__(name: str) -> Any:
    """Load the Python face on first use: the commands must not pay for pandas."""
    if name in _FACE:
        return getattr(
            import_module(f"pricing.{_FACE[name]}"), {"open": "open_home"}.get(name, name)
        )
    raise AttributeError(f"module 'pricing' has no attribute {name!r}")
