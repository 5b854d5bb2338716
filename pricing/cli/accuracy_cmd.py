"""`pricing accuracy`."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import FILE, flag, home_options, option, say, told


@click.command()
@flag("--detail", "Every type and month, and the scores for the statistician.")
@option("--plot", "Also draw each sale against the range it was given.", FILE, "FILE.svg")
@home_options
def accuracy(detail: bool, plot: Path | None, home: Home, as_of: date) -> None:
    """Were the estimates right? Your record replayed by date, and the answers you kept.

    Each past sale is estimated again from what your record held at the end of the month before it
    was listed, and never from anything later. Plain rules answer for the same sales beside. Answers
    kept with --keep are marked once the unit is sold.

    \b
    Examples:
      pricing accuracy
      pricing accuracy --detail
      pricing accuracy --plot sales.svg
    """
    from pricing.pages import accuracy_text
    from pricing.pipeline import proving

    settings = load_settings(home)
    proof = proving.prove(home, settings, as_of, plot)
    both = (proof.accuracy, proof.card)
    lines = accuracy_text.accuracy_text(*both, settings.currency, detail)
    if plot is not None:
        nothing = "Nothing drawn: no sale to show yet."
        lines.append(nothing if proof.accuracy.overall is None else f"Drawn: {plot}")
    say(lambda: accuracy_text.accuracy_json(*both, as_of.isoformat(), proof.warning), lambda: lines)
    if proof.warning and not told("json"):
        click.echo(f"? {proof.warning}", err=True)
