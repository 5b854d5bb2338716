"""`pricing cautions`: all of them, in full."""

from __future__ import annotations

from datetime import date

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import home_options, say


@click.command()
@home_options
def cautions(home: Home, as_of: date) -> None:
    """All the cautions in full: what to leave alone, the move, the bench, the sale.

    \b
    Example:
      pricing cautions
    """
    from pricing.pages.cautions_text import cautions_lines
    from pricing.words.tables import rows

    say({"cautions": rows("cautions")}, lambda: cautions_lines(load_settings(home)))
