"""`pricing phone`: one file that answers on the phone with no signal."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import PLACE, home_options, option, say

CARRY_IT = """Put it on the phone by mail, cable or a shared folder, and open
it there. It holds your numbers: keep it to yourself.
It is written anew after each fit."""


@click.command()
@option(
    "--out",
    "Where to put the file, or the folder for it; remembered, and written anew after each fit.",
    PLACE,
)
@home_options
def phone(out: Path | None, home: Home, as_of: date) -> None:
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
    text = f"Written: {path} ({size / 1000:,.0f} kB)\n{CARRY_IT}"
    say({"file": str(path), "bytes": size}, text)
