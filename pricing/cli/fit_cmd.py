"""`pricing fit`: learn from the record again, and say what was learned."""

from __future__ import annotations

from datetime import date

import click

from pricing.cli.common import home_options, print_json
from pricing.records.home import Home


@click.command()
@home_options
def fit(home: Home, as_json: bool, as_of: date) -> None:
    """Learn from the whole record, save the numbers, and show what was learned. Works with no sale at all.

    \b
    Examples:
      pricing fit
      pricing fit --as-of 2026-04-30 --json
    """
    from pricing.pages.fit_text import fit_json, fit_lines
    from pricing.pipeline import fitting
    from pricing.records.settings import load_settings

    settings = load_settings(home)
    fitted = fitting.fit(home, settings, as_of)
    if as_json:
        print_json(fit_json(fitted))
        return
    click.echo("\n".join(fit_lines(fitted, settings)))
    click.echo(f"\nSaved: {fitted.path}")
