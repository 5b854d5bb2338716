"""The command line: each command lives in a module that is loaded only when it is called."""

import os
import sys
from importlib import import_module
from pathlib import Path
from typing import Any

import click

from pricing.basis.version import __version__
from pricing.cli import running
from pricing.cli.running import ReaderGone, run
from pricing.formulas.nearest_word import nearest

# command -> (module of this folder, one line of help); the order is the order of the help page
_TABLE = Path(__file__).with_name("commands.txt").read_text(encoding="utf-8").splitlines()
COMMANDS = {name: (at, line) for name, at, line in (entry.split(" | ") for entry in _TABLE)}
_HERE = __name__


class Commands(click.Group):
    """Commands by name, imported on call; a mistyped one is answered with the nearest."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        module = import_module(f"{_HERE}.{COMMANDS[name][0]}_cmd")
        return getattr(module, {"help": "help_page"}.get(name, name))

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
