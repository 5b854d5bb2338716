"""`pricing cautions`: all of them, in full."""

from __future__ import annotations

from datetime import date

import click

from pricing.basis.home import Home
from pricing.cli.common import home_options, print_json


@click.command()
@home_options
def cautions(home: Home, as_json: bool, as_of: date) -> None:
    """All the cautions in full: what to leave alone, the move, the bench, the sale.

    \b
    Example:
      pricing cautions
    """
    from pricing.advice.cautions import FIRST, USUAL
    from pricing.pages.cautions_text import cautions_lines

    if as_json:
        for caution in (*FIRST, *USUAL):
            print_json(
                {
                    "name": caution.name,
                    "when": caution.stage,
                    "caution": caution.full.replace(" (about {weight})", ""),
                    "caps": caution.cap,
                }
            )
        return
    click.echo("\n".join(cautions_lines()))
