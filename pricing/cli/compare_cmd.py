"""`pricing compare`."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from pricing.cli.common import home_options, print_json
from pricing.records.home import Home


@click.command()
@click.option("--by", "by", multiple=True, metavar="NAME[,NAME]", default=("type",), show_default="type", help="What to group by; two names are crossed.")
@click.option("--plot", type=click.Path(dir_okay=False, path_type=Path), metavar="FILE.svg", help="Also draw it.")
@home_options
def compare(by: tuple[str, ...], plot: Path | None, home: Home, as_json: bool, as_of: date) -> None:
    """What pays per hour, failed units and empty trips counted, with ranges and the chance of being best.

    \b
    pricing compare
    pricing compare --by fault
    pricing compare --by type,condition --plot pays.svg

    Group by type, family, maker, tier, fault, found, repair, got_from, sold_where, paid, age, condition, miles, features,
    quarter, or one of your own attributes.
    """
    from pricing.pages import compare_text
    from pricing.pipeline import reporting
    from pricing.records.settings import load_settings

    settings = load_settings(home)
    names = tuple(name.strip() for part in by for name in part.split(",") if name.strip())
    comparison = reporting.compare(home, settings, as_of, names, plot)
    if as_json:
        print_json(compare_text.compare_json(comparison, settings.currency, as_of.isoformat()))
        return
    for line in compare_text.compare_text(comparison, settings.currency):
        click.echo(line)
    if plot is not None:
        click.echo(f"Drawn: {plot}")
