"""Two stories at the quarter's end: what pays per hour, and the quarter on a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from pricing.records.home import Home
from pricing.records.settings import Settings

if TYPE_CHECKING:
    from pricing.advice.compare import Comparison
    from pricing.advice.money import Books
    from pricing.advice.quarter import QuarterReport
    from pricing.pages.quarter import Page


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


@dataclass(frozen=True)
class Written:
    """The report as numbers, and the files that were written."""

    report: QuarterReport
    page: Page
    files: tuple[Path, ...]


def report(home: Home, settings: Settings, as_of: date, quarter: str | None = None, out: Path | None = None, as_pdf: bool = False, seed: int = 0) -> Written:
    """Write the quarter (default: the last one that is over) as HTML, its rows as CSV, and the year's tables for the tax folder."""
    from pricing.advice.period import last_complete, read_quarter
    from pricing.advice.quarter import make_quarter
    from pricing.advice.yearly import make_year
    from pricing.pages import quarter as pages
    from pricing.pages import sheets
    from pricing.records import files

    which = read_quarter(quarter) if quarter else last_complete(as_of)
    books = books_of(home, settings, as_of)
    numbers = make_quarter(books, settings, which, as_of, seed)
    year = make_year(books, settings, which.year)
    page = pages.make_page(numbers, demo=home.is_demo, more=[sheets.year_section(year, settings.currency)])
    folder = out if out is not None else home.reports
    stem = f"quarter-{which.name}"
    written: list[Path] = []

    def write(name: str, data: bytes) -> None:
        files.write_bytes(folder / name, data)
        written.append(folder / name)

    write(f"{stem}.html", pages.html(page).encode())
    if as_pdf:
        from pricing.pages import charts, quarter_pdf

        pictures = {shown.picture.name: shown.picture for section in page.sections for shown in section.shown if shown.picture is not None}
        write(f"{stem}.pdf", charts.pdf(quarter_pdf.lines_of(page), pictures, page.title))
    write(f"{stem}-units.csv", sheets.rows_csv(numbers).encode())
    for sheet in year.sheets:
        write(f"year-{which.year}-{sheet.name}.csv", sheets.sheet_csv(sheet).encode())
    return Written(numbers, page, tuple(written))
