"""The command line: each command lives in a module that is loaded only when it is called."""

import os
import sys
from importlib import import_module
from typing import Any

import click

from pricing.basis.version import __version__
from pricing.cli import running
from pricing.cli.running import ReaderGone, run
from pricing.formulas.nearest_word import nearest

# command -> (module of this folder, one line of help); the order is the order of the help page.
COMMANDS: dict[str, tuple[str, str]] = {
    "demo": ("demo", "The whole job on an invented record: start here."),
    "setup": ("settings", "A few questions; writes your pricing.toml."),
    "blank": ("record", "A blank sheet with the columns and two example rows."),
    "add": ("record", "Read a sheet (CSV), check it, record it, and learn from it."),
    "read": ("settings", "How a line of plain words is read, without an answer."),
    "offer": ("question", "Before the drive: the most to pay, go or pass, and why."),
    "seen": ("seen", "Ads of others that you saw: what they ask."),
    "bench": ("question", "On the bench: go on, sell as-is, part out or scrap."),
    "ask": ("question", "At listing: what to ask, the range, the days, what not to take under."),
    "unsold": ("question", "What is still here: each unit and its next step."),
    "got": ("daily", "A unit came in."),
    "spent": ("daily", "Money for parts and time at the bench."),
    "listed": ("daily", "It is up for sale."),
    "dropped": ("daily", "You dropped the price."),
    "bid": ("daily", "A buyer bid so much."),
    "sold": ("daily", "It is sold."),
    "parted": ("daily", "It went for parts."),
    "scrapped": ("daily", "It went to the yard."),
    "back": ("daily", "A sold unit came back."),
    "passed": ("daily", "You passed on a call, or drove for nothing."),
    "card": ("question", "A tag and plain ad text for one unit."),
    "compare": ("compare", "What pays per hour, with ranges."),
    "report": ("compare", "The quarter on a page."),
    "accuracy": ("compare", "Were the estimates right?"),
    "web": ("web", "The same on a page in your browser."),
    "phone": ("phone", "One file that answers on the phone with no signal."),
    "fit": ("record", "Learn from the record again and show what was learned."),
    "files": ("record", "The files you added."),
    "undo": ("record", "Take a file or a change back."),
    "drop": ("record", "Take a unit out of the record."),
    "slip": ("rule", "Values that look like slips of the pen: answer them."),
    "rule": ("rule", "Your stop rules: what not to collect or repair."),
    "history": ("record", "One unit's rows over time."),
    "verify": ("record", "Is every stored file whole?"),
    "backup": ("record", "Your whole home as one file."),
    "restore": ("record", "Restore a backup."),
    "export": ("record", "The current record as CSV or Parquet."),
    "member": ("phone", "Split off one member's numbers."),
    "cautions": ("settings", "All the cautions in full."),
    "settings": ("settings", "Your settings: show, explain, change."),
    "columns": ("settings", "The columns of a sheet, and the headings that are read."),
    "help": ("settings", "A page of the guide."),
}
_HERE = __name__


class Commands(click.Group):
    """Commands by name, imported on call; a mistyped one is answered with the nearest."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        module = import_module(f"{_HERE}.{COMMANDS[name][0]}_cmd")
        command: click.Command = getattr(module, {"help": "help_page"}.get(name, name))
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            guess = nearest(args[0], tuple(COMMANDS), cutoff=0.5)
            more = f" Did you mean {guess!r}?" if guess else " See pricing --help."
            ctx.fail(f"there is no command {args[0]!r}.{more}")
        name, command, rest = super().resolve_command(ctx, args)
        running.begin(name or "", rest)
        return name, command, rest

    def invoke(self, ctx: click.Context) -> Any:
        """click ends a closed pipe with 1 by itself: it is handed on under our own name instead."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError as error:
            raise ReaderGone from error

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


@click.group(
    cls=Commands,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 90},
)
@click.version_option(__version__, message="pricing %(version)s")
@click.option("--home", metavar="DIR", help="Folder of your record, here or after the command.")
@click.pass_context
def group(context: click.Context, home: str | None) -> None:
    """What to offer, what to ask, what pays: from your own past units.

    \b
    Try it:            pricing demo
    Your own sheet:    pricing add my-units.csv
    Before the drive:  pricing offer "electric dryer, 8 years, no heat, wants 40, 12 miles"
    At listing:        pricing ask "front-load washer, 7 years, good, steam"

    Without a command: one line to say it in. Every command has --help with examples.
    """
    if context.invoked_subcommand is not None:
        return
    if not sys.stdin.isatty():
        click.echo(context.get_help())
        return
    from pricing.cli.question_cmd import offer

    args = ["--home", home] if home else []
    offer.main(args=args, prog_name="pricing offer", standalone_mode=False)


def main() -> None:
    """Run one command; its exit code is `run`'s."""
    # Our matrices are small: more threads only wait for each other
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="replace")
    sys.exit(run(group))
