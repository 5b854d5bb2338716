"""`pricing report`."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import FOLDER, home_options, option, say


@click.command()
@option("--quarter", "Which quarter; without it the last one that is over.", metavar="2026Q3")
@option("--out", "Where to write; without it the folder reports of your home.", FOLDER, "DIR")
@home_options
def report(quarter: str | None, out: Path | None, home: Home, as_of: date) -> None:
    """The quarter on a page: one HTML file to read or print, and CSV files for the tax folder.

    \b
    pricing report
    pricing report --quarter 2026Q3
    pricing report --out quarter-papers
    """
    from pricing.pages import quarter_text
    from pricing.pipeline import reporting

    settings = load_settings(home)
    written = reporting.report(home, settings, as_of, quarter, out)
    parts = (written.report, written.page, [str(path) for path in written.files])
    say(lambda: quarter_text.report_json(*parts), lambda: quarter_text.report_text(*parts))
