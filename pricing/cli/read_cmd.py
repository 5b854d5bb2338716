"""`pricing read`: how a line of plain words is read."""

from __future__ import annotations

from datetime import date
from typing import Any

import click

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import load_settings
from pricing.cli.common import home_options, option, say


@click.command()
@click.argument("words", nargs=-1, required=True)
@option(
    "--moment",
    "Before the drive, on the bench, or at listing: a bare amount means another thing.",
    click.Choice(["offer", "bench", "ask"]),
    default="offer",
    show_default=True,
)
@home_options
def read(words: tuple[str, ...], moment: str, home: Home, as_of: date) -> None:
    """What a line says, field by field; what was not understood; what to ask back.

    \b
    Examples:
      pricing read "electric dryer, 8 years, no heat, 40 firm, 12 miles"
      pricing read --moment bench "washer leaks, found the hose cracked, part 9"
    """
    from pricing.model import saved
    from pricing.model.own_words import known_words
    from pricing.pipeline import hearing

    settings = load_settings(home)
    try:
        known = known_words(saved.load(home))
    except Refused:  # nothing learned yet: the tables' words alone
        known = {}
    text = " ".join(words)
    found = hearing.heard(text, moment, settings, known, as_of)
    found = hearing.with_dangers(found, text, moment, settings, as_of)
    say(found, lambda: lines(found))


def lines(found: dict[str, Any]) -> list[str]:
    """The reading for a person: one field a line."""
    out = [f"{name.replace('_', ' ')}: {shown(value)}" for name, value in found["read"].items()]
    if found.get("kinds"):
        out.append("kind open: " + ", ".join(found["kinds"]))
    for place, one in enumerate(found.get("each", []), start=1):
        told = "; ".join(f"{name.replace('_', ' ')}: {shown(value)}" for name, value in one.items())
        out.append(f"unit {place}: {told}")
    out += [f'"{one["said"]}" read as {one["read"]}' for one in found["read_as"]]
    if found["tags"]:
        out.append("caution: " + ", ".join(found["tags"]))
    out += [f'not understood: "{phrase}"' for phrase in found["not_understood"]]
    if found["asks_back"]:
        out.append(
            "to ask back: " + ", ".join(name.replace("_", " ") for name in found["asks_back"])
        )
    return out or ["nothing read"]


def shown(value: Any) -> str:
    """A value in words."""
    if isinstance(value, list):
        return ", ".join(map(shown, value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, (int, float)) else str(value)
