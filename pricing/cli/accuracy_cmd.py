"""`pricing accuracy`."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import home_options, print_json


@click.command()
@click.option(
    "--detail", is_flag=True, help="Every type and month, and the scores for the statistician."
)
@click.option(
    "--plot",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE.svg",
    help="Also draw each sale against the range it was given.",
)
@home_options
def accuracy(detail: bool, plot: Path | None, home: Home, as_json: bool, as_of: date) -> None:
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
    if as_json:
        print_json(
            accuracy_text.accuracy_json(
                proof.accuracy, proof.card, as_of.isoformat(), proof.warning
            )
        )
        return
    for line in accuracy_text.accuracy_text(proof.accuracy, proof.card, settings.currency, detail):
        click.echo(line)
    if proof.warning:
        click.echo(f"? {proof.warning}", err=True)
    if plot is not None:
        click.echo(
            f"Drawn: {plot}"
            if proof.accuracy.overall is not None
            else "Nothing drawn: no sale to show yet."
        )
