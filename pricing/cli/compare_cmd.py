"""`pricing compare`."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli import completing
from pricing.cli.common import FILE, home_options, more_option, option, say
from pricing.pages import compare_text
from pricing.pipeline import reporting


@click.command()
@option(
    "--by",
    "What to group by; two names are crossed.",
    metavar="NAME[,NAME]",
    multiple=True,
    default=("type",),
    shell_complete=completing.groups,
    show_default="type",
)
@option("--plot", "Also draw it.", FILE, "FILE.svg")
@option(
    "--hours-a-week",
    "What if: the best mix of types for so many hours.",
    click.FloatRange(min=0.1, max=168),
    "HOURS",
)
@option(
    "--spots",
    "… and so many units at once (default: your settings).",
    click.FloatRange(min=0.1, max=100_000),
    "UNITS",
)
@option("--top", "Only the best N groups.", click.IntRange(min=1), "N")
@more_option
@home_options
def compare(
    by: tuple[str, ...],
    plot: Path | None,
    top: int | None,
    more: bool,
    home: Home,
    as_of: date,
    **what_if: float | None,
) -> None:
    """What pays per hour, failed units and empty trips counted, with ranges and the chance of being
    best.

    \b
    pricing compare
    pricing compare --more            every group, hours by task, notes
    pricing compare --by fault --top 5
    pricing compare --by type,condition --plot pays.svg
    pricing compare --hours-a-week 6 --spots 4

    Group by type, family, maker, tier, fault, found, repair, got_from, sold_where, paid, age,
    condition, miles, features, quarter, month, or one of your own attributes.
    """
    settings = load_settings(home)
    names = tuple(name.strip() for part in by for name in part.split(",") if name.strip())
    hours_and_spots = (what_if["hours_a_week"], what_if["spots"])
    asked_mix = hours_and_spots != (None, None)
    compared = reporting.compare(
        home, settings, as_of, names, plot, mix=hours_and_spots if asked_mix else None
    )
    drawn = [] if plot is None else [f"Drawn: {plot}"]
    currency = settings.currency
    say(
        lambda: compare_text.compare_json(compared, currency, as_of.isoformat()),
        lambda: [*compare_text.compare_text(compared, currency, asked_mix, top, more), *drawn],
    )
