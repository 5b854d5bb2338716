"""What every command shares: --home, --json, --as-of."""

from __future__ import annotations

import atexit
import functools
import json
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import click

from pricing.basis.home import Home, find_home
from pricing.basis.problems import refused
from pricing.pipeline.demo import DEMO_DAY, demo_home


class Day(click.ParamType[date]):
    """A day as YYYY-MM-DD."""

    name = "DATE"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        if isinstance(value, date):
            return value
        try:
            day = date.fromisoformat(value)
        except ValueError:
            self.fail(f"{value!r} is not a day; write it as 2026-04-30", param, ctx)
        return day


def together(name: str, *options: Callable[..., Any]) -> Callable[..., Any]:
    """Adds options that belong together; the command receives their values as one table by name."""

    def add(command: Callable[..., Any]) -> Callable[..., Any]:
        def collected(**given: Any) -> Any:
            return command(**{name: {one: given.pop(one) for one in names}}, **given)

        made: Any = functools.update_wrapper(collected, command)
        names: list[str] = []
        for option in reversed(options):
            made = option(made)
            names.insert(0, made.__click_params__[-1].name)
        return made

    return add


def home_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Adds --home, --json and --as-of; the command receives `home: Home`, `as_json: bool`, `as_of:
    date`."""
    command = click.option(
        "--as-of",
        type=Day(),
        default=_today,
        show_default="today",
        help="Answer as if today were this day.",
    )(command)
    command = click.option("--json", "as_json", is_flag=True, help="Print JSON for programs.")(
        command
    )
    command = click.option(
        "--demo",
        is_flag=True,
        is_eager=True,
        expose_value=False,
        callback=_mark_demo,
        help="Ask the demo's record, on the demo's day.",
    )(command)
    return click.option(
        "--home",
        callback=_home,
        metavar="DIR",
        help="Folder of your record (or PRICING_HOME, or this folder, or Documents/pricing).",
    )(command)


more_option = click.option(
    "--more", is_flag=True, help="The whole answer: table, reasons, your sales that count most."
)


DEMO = "pricing.demo"


# eager, because the day and the folder depend on it wherever it stands in the line
def _mark_demo(ctx: click.Context, param: click.Parameter, value: bool) -> None:
    ctx.meta[DEMO] = value


def _home(ctx: click.Context, param: click.Parameter, value: str | None) -> Home:
    value = value or ctx.find_root().params.get("home")  # told before the command
    if not isinstance(value, str) and ctx.meta.get(DEMO):
        home = demo_home()
        if not home.is_demo:
            raise refused("the demo was not made yet", "pricing demo")
        return home
    return find_home(value if isinstance(value, str) else None)


def _today() -> date:
    if click.get_current_context().meta.get(DEMO):
        return DEMO_DAY
    return date.today()


def print_json(value: Any) -> None:
    """One JSON object on one line; NaN never leaves the program."""
    click.echo(json.dumps(value, ensure_ascii=False, allow_nan=False))


def file_named(name: str) -> str:
    """The name of a file of the command line; "-" is what comes in, kept until the end."""
    if name != "-":
        return name
    import tempfile

    path = Path(tempfile.mkdtemp(prefix="pricing-")) / "typed.csv"
    atexit.register(path.parent.rmdir)  # the last told is the first done
    atexit.register(path.unlink, missing_ok=True)
    path.write_bytes(sys.stdin.buffer.read())
    return str(path)
