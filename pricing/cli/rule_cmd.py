"""`pricing rule` and `pricing slip`: your stop rules, and values that look like slips."""

import sys
from dataclasses import replace
from typing import Any

import click

from pricing.basis.problems import refused
from pricing.basis.rules import StopRule, keep, load
from pricing.cli.common import Now, home_options, option, say
from pricing.pages.compare_text import doubt_lines, rule_lines, rules_json
from pricing.pages.fit_text import slip_lines
from pricing.pipeline import doubting, reporting
from pricing.pipeline.fitting import Fitted


@click.group()
def rule() -> None:
    """Your own stop rules: what not to collect, what not to repair.

    \b
    pricing rule list
    pricing rule add 1
    pricing rule add --found board --under 230
    pricing rule add --type "electric dryer" --over-miles 12
    pricing rule drop 1
    """


@rule.command("list")
@home_options
def shown(now: Now) -> None:
    """The rules in force with what they did, and rules worth taking over with what they would have
    saved in months that the search did not see."""
    found = reporting.rules(*now.all)
    say(rules_json(found), lambda: rule_lines(found, now.settings.currency))


@rule.command()
@click.argument("number", type=click.IntRange(min=1), required=False)
@option("--type", "Only of this type.", default="")
@option("--found", "Only where this is what is wrong.", default="")
@option("--under", "Only what will bring less than this.", float)
@option("--over-miles", "From so far away on.", click.FloatRange(min=0))
@option("--over-age", "From so many years on.", click.FloatRange(min=0))
@home_options
def add(number: int | None, now: Now, **own: Any) -> None:
    """Take a rule over: one of the proposed ones by its number, or your own."""
    rules, since = load(now.home), now.as_of.toordinal()
    words = {name: own.pop(name).strip().lower() for name in ("type", "found")}
    said = StopRule(**words, **own, since=since)
    if number is not None:
        proposed = reporting.rules(*now.all).proposed
        if number > len(proposed):
            raise refused(f"there is no proposed rule {number}", "see pricing rule list")
        said = replace(proposed[number - 1].rule, since=since)
    elif said == StopRule(since=since):
        raise refused("a rule says what not to take", "pricing rule add --over-miles 12")
    keep(now.home, [*rules, said])
    text = f"Your rule {len(rules) + 1}: {said.words}. offer and bench say it from now on."
    say(vars(said), text)


@rule.command()
@click.argument("number", type=click.IntRange(min=1))
@home_options
def drop(number: int, now: Now) -> None:
    """Drop a rule by its number in the list."""
    rules = load(now.home)
    if number > len(rules):
        raise refused(f"you have no rule {number}", "see pricing rule list")
    gone = rules.pop(number - 1)
    keep(now.home, rules)
    say(vars(gone), f"Dropped: {gone.words}.")


MOST_ASKED = 3  # values that look like slips, asked when a sheet is added
MOST_LOOKED_AT = 200_000  # units: in a longer record `pricing slip` asks, adding does not


@click.command()
@click.argument("unit", required=False)
@click.argument("said", required=False, metavar="FIGURE|right")
@home_options
def slip(unit: str | None, said: str | None, now: Now) -> None:
    """Values that look like slips of the pen: list them, or answer one. A unit with one is in no
    sum until it is answered.

    \b
    pricing slip
    pricing slip 090 189
    pricing slip 090 right
    """
    if unit is None:
        found = doubting.asked(*now.all)
        lines = doubt_lines(found, now.settings.currency) or ["Nothing looks like a slip."]
        say({"slips": [vars(one) for one in found]}, lambda: lines)
        return
    if said is None:
        raise click.UsageError(f"say the right figure, or right: pricing slip {unit} right")
    answered = doubting.answer(*now.all, unit, said)
    taken = f"Unit {unit}: taken; it is in all sums again."
    say({"answered": [vars(one) for one in answered]}, taken)


def ask_slips(now: Now, fitted: Fitted) -> None:
    """After a sheet was added: ask at a terminal, else print each question with its command."""
    doubted = doubting.asked(*now.all) if fitted.n_units <= MOST_LOOKED_AT else ()
    for line in slip_lines(fitted, now.settings, without={one.unit for one in doubted}):
        click.echo(line)
    ask = sys.stdin.isatty() and sys.stdout.isatty()
    for line in doubt_lines(doubted, now.settings.currency, MOST_ASKED) if not ask else ():
        click.echo(line)
    for one in doubted[:MOST_ASKED] if ask else ():
        for line in doubt_lines([one], now.settings.currency):
            click.echo(line)
        said = click.prompt("The right figure, right, or Enter for later", default="")
        if said:
            doubting.answer(*now.all, one.unit, said)
