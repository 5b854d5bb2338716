"""`pricing demo`: the real commands, one after the other, on the invented record."""

import io
import sys
from contextlib import redirect_stdout
from datetime import date
from pathlib import Path

import click

from pricing.basis.home import Home
from pricing.cli.common import a_day, option
from pricing.pipeline.demo import DEMO_DAY, demo_home, make_demo_home

MARK = "DEMO (invented) "
LAST = ("", 'Ask it more: pricing offer "gas range, 9 years, dead, wants 30" --demo',
    "Now yours: pricing setup, then pricing add YOUR.csv")  # fmt: skip
STEPS = (
    ("You have a sheet of past units. Add it:", ["add", "{ledger}"]),
    ("A broken dryer is offered. Before the drive:", ["offer",
        "electric dryer, 8 years, no heat, wants 40, 12 miles"]),
    ("It is on the bench, and the fault is another one:", ["bench",
        "electric dryer, 8 years, drum won't turn, belt"]),
    ("A washer is repaired and clean. At listing:", ["ask",
        "front-load washer, 7 years, good, steam"]),
    ("What has not sold yet:", ["unsold"]),
    ("What pays per hour:", ["compare", "--by", "type"]),
    ("The quarter on a page:", ["report"]),
)  # fmt: skip


@click.command()
@option("--home", "Folder for the demo; it must be new, empty or an earlier demo.", metavar="DIR")
@option("--as-of", "The day the demo plays on.", a_day, "DATE", default=DEMO_DAY, show_default=True)
def demo(home: str | None, as_of: date) -> None:
    """The whole job on an invented record, in a folder of its own.

    \b
    Examples:
      pricing demo
      pricing demo --home /tmp/try-it
    """
    place = Home(Path(home).expanduser().absolute()) if home else demo_home()
    ledger = make_demo_home(place)
    _say(f"Everything below is made up. Folder: {place.path}")
    for title, words in STEPS:
        arguments = [word.replace("{ledger}", str(ledger)) for word in words]
        shown = [word.replace("{ledger}", "ledger.csv") for word in words]
        for line in ("", title, f"$ pricing {' '.join(shown)}", ""):
            _say(line)
        for line in _run([*arguments, "--home", str(place.path), "--as-of", as_of.isoformat()]):
            _say(line)
    for line in LAST:
        _say(line)


def _run(arguments: list[str]) -> list[str]:
    """What one command prints, run in this process."""
    from pricing.cli import group

    printed = io.StringIO()
    with redirect_stdout(printed):
        group(arguments, prog_name="pricing", standalone_mode=False)
    return printed.getvalue().splitlines()


def _say(line: str) -> None:
    """One line, marked: a copied answer of the demo can never pass for a real one."""
    click.echo((MARK + line).rstrip())
    sys.stdout.flush()
