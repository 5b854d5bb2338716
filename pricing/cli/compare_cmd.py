"""`pricing compare`, `report`, `accuracy`: what pays, the quarter, were the estimates right."""

from pathlib import Path
from typing import Any

import click

from pricing.cli import completing
from pricing.cli.common import FILE, FOLDER, Now, flag, home_options, more_option, option, say, told
from pricing.pages import accuracy_text, compare_text, quarter_page
from pricing.pipeline import proving, reporting

BY: Any = {"multiple": True, "default": ("type",), "show_default": "type"}
BY["shell_complete"] = completing.groups


@click.command()
@option("--by", "What to group by; two names are crossed.", str, "NAME[,NAME]", **BY)
@option("--plot", "Also draw it.", FILE, "FILE.svg")
@option("--hours-a-week", "The best mix for so many hours.", click.FloatRange(0.1, 168), "HOURS")
@option("--spots", "… and so many units at once.", click.FloatRange(0.1, 100_000), "UNITS")
@option("--top", "Only the best N groups.", click.IntRange(min=1), "N")
@more_option
@home_options
def compare(
    by: tuple[str, ...], plot: Path | None, top: int | None, more: bool, now: Now, **mix: Any
) -> None:
    """What pays per hour, failed units and empty trips counted, with ranges and chances to be best.

    \b
    pricing compare
    pricing compare --more            every group, hours by task, notes
    pricing compare --by fault --top 5
    pricing compare --by type,condition --plot pays.svg
    pricing compare --hours-a-week 6 --spots 4

    Group by type, family, maker, tier, fault, found, repair, got_from, sold_where, paid, age,
    condition, miles, features, quarter, month, owner, or one of your own
    attributes.
    """
    names = tuple(name.strip() for part in by for name in part.split(",") if name.strip())
    asked_mix = mix != {"hours_a_week": None, "spots": None}
    wanted = (mix["hours_a_week"], mix["spots"]) if asked_mix else None
    compared = reporting.compare(*now.all, names, plot, mix=wanted)
    drawn = [] if plot is None else [f"Drawn: {plot}"]
    currency = now.settings.currency
    say(
        lambda: compare_text.compare_json(compared, currency, now.as_of.isoformat()),
        lambda: [*compare_text.compare_text(compared, currency, asked_mix, top, more), *drawn],
    )


@click.command()
@option("--quarter", "Which quarter; without it the last one that is over.", metavar="2026Q3")
@option("--out", "Where to write; without it the folder reports of your home.", FOLDER, "DIR")
@home_options
def report(quarter: str | None, out: Path | None, now: Now) -> None:
    """The quarter on a page: one HTML file to read or print, and CSV files for the tax folder.

    \b
    pricing report
    pricing report --quarter 2026Q3
    pricing report --out quarter-papers
    """
    written = reporting.report(*now.all, quarter, out)
    parts = (written.report, written.page, [str(path) for path in written.files])
    say(lambda: quarter_page.report_json(*parts), lambda: quarter_page.report_text(*parts))


@click.command()
@flag("--detail", "Every type and month, and the scores for the statistician.")
@option("--plot", "Also draw each sale against the range it was given.", FILE, "FILE.svg")
@home_options
def accuracy(detail: bool, plot: Path | None, now: Now) -> None:
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
    proof = proving.prove(*now.all, plot)
    both = (proof.accuracy, proof.card)
    lines = accuracy_text.accuracy_text(*both, now.settings.currency, detail)
    if plot is not None:
        nothing = "Nothing drawn: no sale to show yet."
        lines.append(nothing if proof.accuracy.overall is None else f"Drawn: {plot}")
    day = now.as_of.isoformat()
    say(lambda: accuracy_text.accuracy_json(*both, day, proof.warning), lines)
    if proof.warning and not told("json"):
        click.echo(f"? {proof.warning}", err=True)
