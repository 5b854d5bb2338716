"""`pricing fit`: learn from the record again, and say what was learned."""

from __future__ import annotations

import sys
from datetime import date

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import home_options, print_json


@click.command()
@click.option(
    "--cluster",
    metavar="WHERE",
    help=(
        "Let Dask's workers do it: local, or a scheduler's address like tcp://10.0.0.5:8786. For"
        " records of millions."
    ),
)
@click.option(
    "--from",
    "data_set",
    metavar="FOLDER",
    help=(
        "Learn from a data set that export --by-month wrote, in a folder or at an address like"
        " s3://bucket/folder."
    ),
)
@home_options
def fit(home: Home, as_json: bool, as_of: date, cluster: str | None, data_set: str | None) -> None:
    """Learn from the whole record, save the numbers, and show what was learned. Works with no sale
    at all.

    A record of millions is read piece by piece and needs no more memory than a short one. Several
    machines can share the work: start Dask's scheduler and workers there, with this very version,
    and name the scheduler.

    \b
    Examples:
      pricing fit
      pricing fit --as-of 2026-04-30 --json
      pricing fit --cluster local
      pricing fit --from s3://club/units --cluster tcp://10.0.0.5:8786
    """
    from pricing.pages.fit_text import fit_json, fit_lines
    from pricing.pipeline import fit_source, fitting

    settings = load_settings(home)
    fitted = fitting.fit(home, settings, as_of, cluster or "", data_set or "", tell=told)
    if as_json:
        print_json(fit_json(fitted))
        return
    click.echo("\n".join(fit_lines(fitted, settings)))
    if cluster and not data_set and fitted.n_units <= fit_source.SHORT:
        click.echo("\nYour record is small; no cluster needed.")
    click.echo(f"\nSaved: {fitted.path}")


def told(share: float, what: str) -> None:
    """A progress line while a long record is learned from, at a terminal only; it is wiped when all
    is done."""
    if sys.stderr.isatty():
        click.echo(
            f"\r{' ' * 58}\r" + (f"{what} {share * 100:.0f} % …" if share < 1 else ""),
            nl=False,
            err=True,
        )
