"""What every command shares: --home, --json, --as-of, and how its answer is said."""

import atexit
import functools
import json
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import click

from pricing.basis.home import Home, find_home
from pricing.basis.problems import Refused, refused
from pricing.basis.settings import Settings, load_settings
from pricing.basis.version import __version__
from pricing.cli import running
from pricing.pipeline.demo import DEMO_DAY, demo_home


def a_day(value: Any) -> date:
    """A day as YYYY-MM-DD."""
    try:
        return value if isinstance(value, date) else date.fromisoformat(value)
    except ValueError:
        what = f"{value!r} is not a day; write it as 2026-04-30"
        raise click.BadParameter(what) from None


@dataclass(frozen=True)
class Now:
    """What a command answers from: a home, its settings as its file stands, and the day."""

    home: Home
    as_of: date

    @functools.cached_property
    def settings(self) -> Settings:
        return load_settings(self.home)

    @property
    def all(self) -> tuple[Home, Settings, date]:
        return self.home, self.settings, self.as_of

    @property
    def told(self) -> tuple[Settings, date]:
        return self.settings, self.as_of


FILE = click.Path(dir_okay=False, path_type=Path)
FOLDER = click.Path(file_okay=False, path_type=Path)
PLACE = click.Path(path_type=Path)


def option(
    names: str | tuple[str, ...],
    text: str,
    type: Any = None,
    metavar: str | None = None,
    **more: Any,
) -> Callable[..., Any]:
    """One option of a command, with its help."""
    told = names if isinstance(names, tuple) else (names,)
    return click.option(*told, help=text, metavar=metavar, type=type, **more)


flag = functools.partial(option, is_flag=True)


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
    """Adds --home, --json and --as-of; the command receives `now: Now`."""
    text = "Answer as if today were this day."
    today: dict[str, Any] = {"default": _today, "show_default": "today"}
    run = functools.update_wrapper(
        lambda home, as_of, **rest: command(now=Now(home, as_of), **rest), command
    )
    run = option("--as-of", text, a_day, "DATE", **today)(run)
    marked: dict[str, Any] = {"is_eager": True, "expose_value": False, "callback": _mark}
    for names, text in _FLAGS.items():
        run = flag(tuple(names.split()), text, **marked)(run)
    text = "Folder of your record (or PRICING_HOME, or this folder, or Documents/pricing)."
    return option("--home", text, metavar="DIR", callback=_home)(run)


no_fit_option = flag("--no-fit", "Do not learn again.")
more_option = flag("--more", "The whole answer: table, reasons, your sales that count most.")


_FLAGS = {
    "--json": "Print JSON for programs.", "--demo": "Ask the demo's record, on the demo's day.",
    "-q --quiet": "The answer alone: no progress, nothing to do next.",
}  # fmt: skip


# eager, because the day and the folder depend on one of them wherever it stands in the line
def _mark(ctx: click.Context, param: click.Parameter, value: bool) -> None:
    ctx.meta[f"pricing.{param.name}"] = value


def told(flag: str) -> bool:
    """Whether one of the flags that every command has was told: json, demo."""
    return bool(click.get_current_context().meta.get(f"pricing.{flag}"))


def _home(ctx: click.Context, param: click.Parameter, value: str | None) -> Home:
    value = value or ctx.find_root().params.get("home")  # told before the command
    if not isinstance(value, str) and told("demo"):
        home = demo_home()
        if not home.is_demo:
            raise refused("the demo was not made yet", "pricing demo")
        return home
    return find_home(value if isinstance(value, str) else None)


def _today() -> date:
    return DEMO_DAY if told("demo") else date.today()


def say(answer: Any, text: str | Iterable[str] | Callable[[], str | Iterable[str]] = "") -> None:
    """The answer: to programs the table as one object on a line, to people the text. NaN never
    leaves the program; what is callable is made only when it is needed."""
    if told("json"):
        answer = answer() if callable(answer) else answer
        click.echo(json.dumps(stamp() | answer, ensure_ascii=False, allow_nan=False))
    else:
        lines = text() if callable(text) else text
        running.end()
        click.echo(lines if isinstance(lines, str) else "\n".join(lines))


def stamp() -> dict[str, Any]:
    """What every answer to a program says of itself: form, version, currency and day."""
    context = click.get_current_context()
    name = context.command_path.partition(" ")[2].replace(" ", "-")
    try:
        currency = load_settings(context.params["home"]).currency
    except Refused:  # the command said so itself, or needs no settings
        currency = None
    day = context.params["as_of"].isoformat()
    return {"schema": f"{name}/1", "version": __version__, "currency": currency, "as_of": day}


def beside(text: str) -> None:
    """A line beside the answer: after it, to programs on the standard error."""
    click.echo(text, err=told("json"))


def hint(text: str) -> None:
    """What a person may do next; nothing to programs, and nothing where -q was told."""
    if not told("json") and not told("quiet"):
        click.echo(text)


def at_work(text: str) -> None:
    """A line that is wiped by the next one, while something takes long, at a terminal only."""
    if sys.stderr.isatty() and not told("quiet"):
        click.echo(f"\r\033[K{text}", nl=False, err=True)


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


def learn_again(now: Now, no_fit: bool) -> None:
    """Fit, unless it was asked not to."""
    from pricing.pipeline.fitting import fit

    if not no_fit:
        fit(*now.all)
