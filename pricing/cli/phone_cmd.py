"""`pricing phone`: one file that answers on the phone with no signal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import home_options, print_json


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help=(
        "Where to put the file, or the folder for it; remembered, and written anew after each fit."
    ),
)
@home_options
def phone(out: Path | None, home: Home, as_json: bool, as_of: date) -> None:
    """One HTML file that answers offer and ask on the phone, with no network. It holds what was
    learned from your record: keep it to yourself.

    \b
    Examples:
      pricing phone
      pricing phone --out ~/shared-folder/pricing-phone.html
    """
    from pricing.pipeline import phoning

    path = phoning.write(home, load_settings(home), as_of, out)
    size = path.stat().st_size
    if as_json:
        print_json({"file": str(path), "bytes": size})
        return
    click.echo(f"Written: {path} ({size / 1000:,.0f} kB)")
    click.echo("Put it on the phone by mail, cable or a shared folder, and open")
    click.echo("it there. It holds your numbers: keep it to yourself.")
    click.echo("It is written anew after each fit.")
