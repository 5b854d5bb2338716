"""`pricing slip`."""

from __future__ import annotations

import sys
from datetime import date
from typing import TYPE_CHECKING

import click

from pricing.basis.home import Home
from pricing.basis.settings import Settings, load_settings
from pricing.cli.common import home_options, say
from pricing.pages.compare_text import doubt_lines
from pricing.pages.fit_text import slip_lines
from pricing.pipeline import doubting

if TYPE_CHECKING:
    from pricing.pipeline.fitting import Fitted

MOST_ASKED = 3  # values that look like slips, asked when a sheet is added
MOST_LOOKED_AT = 200_000  # units: in a longer record `pricing slip` asks, adding does not


@click.command()
@click.argument("unit", required=False)
@click.argument("said", required=False, metavar="FIGURE|right")
@home_options
def slip(unit: str | None, said: str | None, home: Home, as_of: date) -> None:
    """Values that look like slips of the pen: list them, or answer one. A unit with one is in no
    sum until it is answered.

    \b
    pricing slip
    pricing slip 090 189
    pricing slip 090 right
    """
    settings = load_settings(home)
    if unit is None:
        found = doubting.asked(home, settings, as_of)
        lines = doubt_lines(found, settings.currency) or ["Nothing looks like a slip."]
        say({"slips": [vars(one) for one in found]}, lambda: lines)
        return
    if said is None:
        raise click.UsageError(f"say the right figure, or right: pricing slip {unit} right")
    answered = doubting.answer(home, settings, as_of, unit, said)
    taken = f"Unit {unit}: taken; it is in all sums again."
    say({"answered": [vars(one) for one in answered]}, taken)


def ask_slips(home: Home, settings: Settings, as_of: date, fitted: Fitted) -> None:
    """After a sheet was added: ask at a terminal, elsewhere print each question with the command
    that answers it; and tell what the prices learned make doubtful."""
    doubted = doubting.asked(home, settings, as_of) if fitted.n_units <= MOST_LOOKED_AT else ()
    for line in slip_lines(fitted, settings, without={one.unit for one in doubted}):
        click.echo(line)
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        for line in doubt_lines(doubted, settings.currency, MOST_ASKED):
            click.echo(line)
        return
    for one in doubted[:MOST_ASKED]:
        for line in doubt_lines([one], settings.currency):
            click.echo(line)
        said = click.prompt("The right figure, right, or Enter for later", default="")
        if said:
            doubting.answer(home, settings, as_of, one.unit, said)
