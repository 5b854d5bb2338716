"""`pricing setup`: twelve questions, Enter keeps the default shown."""

from typing import Any

import click

from pricing.basis.own_rows import NO_RATE
from pricing.basis.said_number import either, typed
from pricing.cli.common import Now, flag, home_options, say, told
from pricing.pipeline import setting_up

ASK_AWAY = """You can ask right away: until your own units teach it,
answers rest on starting figures and say GUESS.

Next: pricing add YOUR.csv, or pricing offer"""


@click.command()
@home_options
@flag("--defaults", "Ask nothing; write the defaults shown.")
def setup(now: Now, defaults: bool) -> None:
    """A few questions; Enter keeps the default. Writes pricing.toml once and shows it.

    \b
    Examples:
      pricing setup
      pricing setup --defaults --home my-shop
    """
    if now.home.settings_file.exists():
        raise setting_up.settings_are_there(now.home)
    asked = setting_up.questions(setting_up.commonest_types(now.home))
    answers: dict[str, Any] = {
        one.key: _ask(one) if not defaults else "" if one.kind == "price" else one.default
        for one in asked
    }
    text = setting_up.write_settings(now.home, answers, now.as_of)
    kept = {key: value for key, value in answers.items() if value != ""}
    file = str(now.home.settings_file)
    say({"file": file, "settings": kept}, f"Wrote {file}:\n\n{text}")
    if not told("json"):
        _start(now)


def _ask(question: setting_up.SetupQuestion) -> Any:
    """One question until its answer can be; an empty answer to one without a default stays open."""
    usual = question.default
    shown = f" [{usual:g}]" if isinstance(usual, float | int) else f" [{usual}]" if usual else ""

    def read(reply: str) -> Any:
        said = reply.strip().lower()
        if not said:
            return "" if question.kind == "price" else usual
        number = question.kind in ("number", "price")
        return _number(said, question.key) if number else _word(said, question.kind)

    return click.prompt(question.words + shown, default="", show_default=False, value_proc=read)


def _number(reply: str, key: str) -> float:
    found = typed(reply, money=True)
    if len(found) > 1:
        raise click.UsageError(f"{either(reply, found)}: write one of these.")
    if not found:
        raise click.UsageError("A number, please, or Enter to leave it.")
    if not 0 <= found[0] < (10.5 if key == "sold_of_ten" else 1e6):
        raise click.UsageError("That number is not possible here.")
    return found[0]


def _word(reply: str, kind: str | tuple[str, ...]) -> str:
    """A word of the choice, or the three letters of a currency."""
    if isinstance(kind, tuple):
        word = next((one for one in kind if one.lower() == reply), None)
        if word is None:
            raise click.UsageError(f"One of: {', '.join(filter(None, kind))}.")
        return word
    if len(reply) != 3 or not reply.isalpha():
        raise click.UsageError("Three letters, please: USD, EUR, JPY.")
    return reply.upper()


def _start(now: Now) -> None:
    """Learn at once, so that the first question is answered from the starting figures."""
    from pricing.pipeline.fitting import fit

    if now.settings.dollar is None:
        click.echo(NO_RATE.format(now.settings.currency))
        return
    fit(*now.all)
    click.echo(ASK_AWAY)
