"""`pricing member`: split off one member's numbers from a record that several keep."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import home_options, print_json
from pricing.pages.text import wrap


@click.command()
@click.argument("name", nargs=-1, required=True)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    required=True,
    metavar="FOLDER",
    help="A new or empty folder for it.",
)
@home_options
def member(name: tuple[str, ...], out: Path, home: Home, as_json: bool, as_of: date) -> None:
    """One person's own home: the settings, and the numbers as that person is answered.

    The folder answers offer, bench, ask, unsold and phone by itself. Past sales, open units and
    words to pick from are that person's
    alone: no sale, name, place or unit number of anybody else. What all learned of types, makers,
    features, faults, repairs and attributes of your own stays, in the words of all.

    \b
    Examples:
      pricing member Ann --out ann
      pricing ask gas range, 7 years, good --home ann
    """
    from pricing.pipeline import member_home as story

    written = story.write(home, " ".join(name), out, load_settings(home))
    group = written.group
    if as_json:
        print_json(
            {
                "folder": str(written.home.path),
                "owner": group.owner,
                "as_of": group.day.isoformat(),
                "sales": group.sales,
                "own_sales": group.own,
                "people": group.people,
            }
        )
        return
    click.echo(f"Written: {written.home.path}")
    own = f"{group.own:,} of them {group.owner}'s own"
    click.echo(
        "\n".join(
            wrap(
                f"It answers as {group.owner}, from the group's {group.sales:,} sales up to"
                f" {group.day.isoformat()}, {own}."
            )
        )
    )
    click.echo(
        "\n".join(
            wrap(
                "Of the others it holds no sale, name, place or unit number; what all learned of"
                " makers, faults and repairs stays, in the words of all."
            )
        )
    )
    click.echo(f"\nNext: pricing ask --home {out}")
