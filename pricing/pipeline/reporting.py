"""Two stories at the quarter's end: what pays per hour, and the quarter on a page."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from pricing.records.home import Home
from pricing.records.settings import Settings

if TYPE_CHECKING:
    from pricing.advice.compare import Comparison
    from pricing.advice.money import Books


def books_of(home: Home, settings: Settings, as_of: date) -> Books:
    """The books of a home's record as they stood on `as_of`."""
    from pricing.advice.money import keep_books
    from pricing.ledger.current import read_current, units_for_models

    return keep_books(units_for_models(read_current(home), settings), settings, as_of)


def compare(home: Home, settings: Settings, as_of: date, by: Sequence[str], plot: Path | None = None, seed: int = 0) -> Comparison:
    """Groups of ended units by return per hour; with `plot`, the picture of it as an SVG file."""
    from pricing.advice import compare as comparing

    comparison = comparing.compare(books_of(home, settings, as_of), settings, by, seed=seed)
    if plot is not None:
        from pricing.pages import charts
        from pricing.records import files

        files.write_text(plot, charts.per_hour(comparison, settings.currency).svg)
    return comparison
