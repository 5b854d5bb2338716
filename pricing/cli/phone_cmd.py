"""`pricing phone` and `pricing member`: one's numbers to take along or to hand on."""

from pathlib import Path
from typing import Any

import click

from pricing.cli.common import PLACE, Now, home_options, option, say
from pricing.pages.text import wrap

CARRY_IT = """Put it on the phone by mail, cable or a shared folder, and open
it there. It holds your numbers: keep it to yourself.
It is written anew after each fit."""


@click.command()
@option("--out", "The file, or its folder; remembered, written anew after each fit.", PLACE)
@home_options
def phone(out: Path | None, now: Now) -> None:
    """One HTML file that answers offer and ask on the phone, with no network. It holds what was
    learned from your record: keep it to yourself.

    \b
    Examples:
      pricing phone
      pricing phone --out ~/shared-folder/pricing-phone.html
    """
    from pricing.pipeline import phoning

    path = phoning.write(*now.all, out)
    size = path.stat().st_size
    text = f"Written: {path} ({size / 1000:,.0f} kB)\n{CARRY_IT}"
    say({"file": str(path), "bytes": size}, text)


OTHERS = (
    "Of the others it holds no sale, name, place or unit number; what all learned of"
    " makers, faults and repairs stays, in the words of all."
)


@click.command()
@click.argument("name", nargs=-1, required=True)
@option("--out", "A new or empty folder for it.", PLACE, "FOLDER", required=True)
@home_options
def member(name: tuple[str, ...], out: Path, now: Now) -> None:
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
    from pricing.record import store

    written = story.write(now.home, " ".join(name), out, now.settings)
    group = written.group
    answer: dict[str, Any] = {"folder": str(written.home.path), "owner": group.owner}
    answer |= {"as_of": group.day.isoformat(), "sales": group.sales}
    own = f"{group.own:,} of them {group.owner}'s own"
    until = f"sales up to {group.day.isoformat()}, {own}."
    say(
        answer | {"own_sales": group.own, "people": group.people},
        lambda: [
            f"Written: {written.home.path}",
            *wrap(f"It answers as {group.owner}, from the group's {group.sales:,} {until}"),
            *wrap(OTHERS),
            f"\nNext: pricing {'fit' if store.has_record(written.home) else 'ask'} --home {out}",
        ],
    )
