"""What can be looked up: settings, columns, cautions, the guide, and how a line is read."""

from typing import Any

import click

from pricing.basis.columns import BY_NAME, COLUMNS
from pricing.basis.own_rows import NO_RATE
from pricing.basis.problems import Refused, meant, refused
from pricing.basis.said_number import either, typed
from pricing.basis.settings import KEYS, Key, Settings, load_settings
from pricing.basis.settings_file import DEFAULT, allowed, shown, written
from pricing.cli import COMMANDS, completing
from pricing.cli.common import Now, flag, home_options, option, say, told
from pricing.cli.completing import folder, pages
from pricing.formulas.nearest_word import nearest
from pricing.ingest.headings import HELD, names_of
from pricing.pages.text import wrap
from pricing.pipeline import setting_up


@click.command(short_help="Your settings: show, explain, change.")
@click.argument("key", required=False, shell_complete=completing.keys)
@click.argument("value", required=False)
@home_options
def settings(key: str | None, value: str | None, now: Now) -> None:
    """Your settings. Without a key all of them; with a key what it does and where its default comes
    from; with a value it is set in pricing.toml, everything else in that file left as it is.

    \b
    pricing settings
    pricing settings hourly_target
    pricing settings hourly_target 35
    pricing settings hourly_target default      takes your line out again
    """
    values = vars(now.settings)
    if key is None:
        file, told = str(now.home.settings_file), ((one, values[one.name]) for one in KEYS)
        rows = [f"{' ' if at == one.default else '*'} {one.name} = {shown(at)}" for one, at in told]
        last = "*: yours. What one does: pricing settings KEY. All: pricing help settings"
        table = {"file": file, "settings": [_row(one, now.settings) for one in KEYS]}
        say(table, [file, "", *rows, "", last])
        return
    one = next((one for one in KEYS if one.name == key), None)
    if one is None:
        fix = meant(key, [one.name for one in KEYS], "pricing settings lists them")
        raise refused(f"there is no setting {key!r}", fix)
    before = values[one.name]
    if value is not None:
        written(now.home, {one.name: value})
        after = getattr(load_settings(now.home), one.name)
        was = f"{one.name} is {shown(after)}, was {shown(before)}."
        typed = DEFAULT if before == one.default else shown(before)
        back = f"Take it back: pricing settings {one.name} {typed}"
        say({"key": one.name, "before": before, "after": after}, f"{was}\n{back}")
        return
    default = f"Default: {shown(one.default)} ({one.source})."
    why = (f"{one.meaning[0].upper()}{one.meaning[1:]}.", f"May be: {allowed(one)}.", default)
    lines = [f"{one.name} = {shown(before)}", *(x for line in why for x in wrap(line))]
    say(_row(one, now.settings), lines)


def _row(key: Key, now: Settings) -> dict[str, Any]:
    more = {name: getattr(key, name) for name in ("default", "meaning", "source")}
    return {"key": key.name, "value": getattr(now, key.name), "allowed": allowed(key), **more}


@click.command(short_help="The columns of a sheet, and the headings that are read.")
@click.argument("name", required=False, shell_complete=completing.columns)
@home_options
def columns(name: str | None, now: Now) -> None:
    """The columns of a sheet: what each holds. With a name, also the headings that are read as it.

    \b
    pricing columns
    pricing columns price
    """
    if name is not None and name not in BY_NAME:
        fix = meant(name, tuple(BY_NAME), "pricing columns lists them")
        raise refused(f"there is no column {name!r}", fix)
    shown = [one for one in COLUMNS if name in (None, one.name)]
    texts = [f"{one.name}{f' ({one.unit})' if one.unit else ''}: {one.meaning}" for one in shown]
    texts += [f"Read from: {', '.join(headings(name))}."] if name is not None else []
    parts = ("kind", "unit", "meaning")
    told = [
        {"column": one.name, **{part: getattr(one, part) for part in parts}}
        | {"headings": headings(one.name)}
        for one in shown
    ]
    say({"columns": told}, lambda: [line for text in texts for line in wrap(text, "    ")])


def headings(name: str) -> list[str]:
    """The usual headings of a column."""
    strong, weak = names_of(HELD["columns"])
    return [text for text, column in (strong | weak).items() if column == name]


@click.command()
@home_options
def cautions(now: Now) -> None:
    """All the cautions in full: what to leave alone, the move, the bench, the sale.

    \b
    Example:
      pricing cautions
    """
    from pricing.pages.cautions_text import cautions_lines
    from pricing.words.tables import rows

    say({"cautions": rows("cautions")}, lambda: cautions_lines(now.settings))


WHEN = "Before the drive, on the bench, or at listing: a bare amount means another thing."
OFFER: Any = {"default": "offer", "show_default": True}
# the page on which a command is explained
PAGE_OF = {
    "offer": "before-the-drive", "read": "before-the-drive", "bench": "on-the-bench",
    "ask": "at-listing", "unsold": "at-listing", "card": "at-listing", "compare": "what-pays",
    "accuracy": "report", "web": "phone", "member": "club", "cautions": "safety",
    "demo": "first-evening", "setup": "first-evening", "backup": "moving", "restore": "moving",
    "export": "moving", "verify": "troubleshooting", "completion": "commands", "fit": "numbers",
}  # fmt: skip


@click.command(name="help", short_help="A page of the guide.")
@click.argument("topic", required=False, default="index", shell_complete=completing.topics)
@home_options
def help_page(topic: str, now: Now) -> None:
    """A page of the guide. Without a topic the list of pages; a command's name finds its page.

    \b
    pricing help
    pricing help settings
    pricing help reading-a-guess
    """
    known = pages()
    name = topic.lower().replace(" ", "-").replace("_", "-")
    if name not in known:
        name = PAGE_OF.get(name) or ("keeping-a-list" if name in COMMANDS else name)
    if name not in known:
        guess = nearest(name, known, cutoff=0.4)
        fix = f"did you mean pricing help {guess}?" if guess else "pricing help lists them"
        raise refused(f"there is no page {topic!r}", fix)
    text = (folder() / f"{name}.md").read_text(encoding="utf-8")
    say({"topic": name, "text": text}, text.rstrip("\n"))


@click.command()
@click.argument("words", nargs=-1, required=True)
@option("--moment", WHEN, click.Choice(["offer", "bench", "ask"]), **OFFER)
@home_options
def read(words: tuple[str, ...], moment: str, now: Now) -> None:
    """What a line says, field by field; what was not understood; what to ask back.

    \b
    Examples:
      pricing read "electric dryer, 8 years, no heat, 40 firm, 12 miles"
      pricing read --moment bench "washer leaks, found the hose cracked, part 9"
    """
    from pricing.model import saved
    from pricing.model.own_words import known_words
    from pricing.pipeline import hearing

    try:
        known = known_words(saved.load(now.home))
    except Refused:  # nothing learned yet: the tables' words alone
        known = {}
    text = " ".join(words)
    found = hearing.heard(text, moment, now.settings, known, now.as_of)
    found = hearing.with_dangers(found, text, moment, *now.told)
    say(found, lambda: lines(found))


def lines(found: dict[str, Any]) -> list[str]:
    """The reading for a person: one field a line."""
    out = [f"{name.replace('_', ' ')}: {_value(value)}" for name, value in found["read"].items()]
    if found.get("kinds"):
        out.append("kind open: " + ", ".join(found["kinds"]))
    for place, one in enumerate(found.get("each", []), start=1):
        told = (f"{name.replace('_', ' ')}: {_value(value)}" for name, value in one.items())
        out.append(f"unit {place}: {'; '.join(told)}")
    out += [f'"{one["said"]}" read as {one["read"]}' for one in found["read_as"]]
    if "days_listed" in found:
        out.append(f"days on the market: {found['days_listed']:g}")
    if found["tags"]:
        out.append("caution: " + ", ".join(found["tags"]))
    out += [f'not understood: "{phrase}"' for phrase in found["not_understood"]]
    if found["asks_back"]:
        names = (name.replace("_", " ") for name in found["asks_back"])
        out.append("to ask back: " + ", ".join(names))
    return out or ["nothing read"]


def _value(value: Any) -> str:
    """A value in words."""
    if isinstance(value, list):
        return ", ".join(map(_value, value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, (int, float)) else str(value)


# ---- `pricing setup`: twelve questions, Enter keeps the default shown
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
