"""`pricing fit`: learn from the record again, and say what was learned."""

from __future__ import annotations

from datetime import date

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import home_options, option, progress, say


@click.command()
@option(
    "--cluster",
    "For millions of rows: Dask's workers do it; local, or tcp://10.0.0.5:8786.",
    metavar="WHERE",
)
@option(
    ("--from", "data_set"),
    "Learn from what export --by-month wrote, here or at s3://bucket/folder.",
    metavar="FOLDER",
)
@home_options
def fit(home: Home, as_of: date, cluster: str | None, data_set: str | None) -> None:
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
    fitted = fitting.fit(home, settings, as_of, cluster or "", data_set or "", tell=learning)
    small = cluster and not data_set and fitted.n_units <= fit_source.SHORT
    more = ["", "Your record is small; no cluster needed."] if small else []
    saved = ["", f"Saved: {fitted.path}"]
    say(lambda: fit_json(fitted), lambda: [*fit_lines(fitted, settings), *more, *saved])


def learning(share: float, what: str) -> None:
    """A progress line while a long record is learned from; it is wiped when all is done."""
    progress(f"{what} {share * 100:.0f} % …" if share < 1 else "")
