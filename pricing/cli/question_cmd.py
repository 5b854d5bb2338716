"""The questions of a unit: `offer` before the drive, `bench` on the bench, `ask` at listing; and of
what is still here `unsold` and `card`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pricing.basis import rules
from pricing.basis.problems import Problem
from pricing.cli.common import (
    Now,
    beside,
    flag,
    home_options,
    more_option,
    option,
    say,
    together,
    told,
)  # fmt: skip
from pricing.cli.options import Asked, of_sheet, one_question, unit_options
from pricing.pages import laid_out
from pricing.pages.text import limit, money
from pricing.wording import ask_words, bench_words, card_words, offer_words, unsold_words

if TYPE_CHECKING:
    from pricing.advice.ask import AskAnswer
    from pricing.model.saved import Saved

# The stories are imported by the commands that tell them: a question waits for no other's.


def _begin(asked: Asked, purpose: str, now: Now) -> Saved:
    """What was learned; where no money can be told, Refused with the dangers first."""
    from pricing.model import saved
    from pricing.pipeline import question_from

    question_from.hold(asked.words, asked.options, purpose, *now.told)
    return saved.load(now.home)


def _keep(now: Now, answers: Sequence[Any], mine: float | None) -> None:
    """Keep answers for the report card; a failure is a warning, the answer stands."""
    from pricing.pipeline import proving

    given = [answer.as_dict() for answer in answers]
    if warning := proving.keep_answer(now.home, given, mine, now.as_of):
        click.echo(f"? {warning}", err=True)


@click.command()
@unit_options(
    "their_price", "miles", "parts", "hours", "fix_chance", "price", "helper", "drive_min",
    "minutes", "on_trip",
)  # fmt: skip
@flag("--at-curb", "You stand in front of it: only the way home and the rest count.")
@together(
    "free",
    option("--hours-free", "With --from: your hours for driving.", click.FloatRange(0, 1000)),
    option("--spots-free", "With --from: the free spots in your shop.", click.IntRange(0, 1000)),
)
@together(
    "kept",
    flag("--keep", "Keep the price: pricing accuracy marks it once sold (always with --unit)."),
    option("--mine", "Your own guess, kept beside it.", click.FloatRange(min=0.01), "NUMBER"),
    option("--log", "Write down that you passed on it.", click.Choice(["passed", "trip"])),
)
@more_option
@home_options
def offer(asked: Asked, at_curb: bool, free: Any, kept: Any, more: bool, now: Now) -> None:
    """The most to pay for a broken unit, what to start at, go or pass, and why.

    \b
    Examples:
      pricing offer "electric dryer, 8 years, no heat, wants 40, 12 miles"
      pricing offer --type "gas range" --made 2006,2016 --their-price 0
      pricing offer "electric dryer, no heat, wants 40" --at-curb --fix-chance 0.9
      pricing offer "electric dryer, no heat, wants 90, 12 miles" --log trip
      pricing offer --from calls.csv --hours-free 3 --spots-free 2
      pricing offer                     one line to say it in, or one question at a time
    """
    from pricing.pipeline import offering

    keep, mine, log = kept["keep"], kept["mine"], kept["log"]
    if asked.file is None and any(one is not None for one in free.values()):
        what = "--hours-free and --spots-free choose among many calls"
        raise click.UsageError(f"{what}: give them with --from FILE.csv")
    if asked.file is not None and log is not None:
        raise click.UsageError("--log writes down one call: tell it in words or by options")
    if asked.file is not None and (keep or mine is not None):
        raise click.UsageError("--keep and --mine are for one call: give no --from with them")
    numbers = _begin(asked, "offer", now)
    if asked.file is not None:
        _many_calls(asked, numbers, now, free)
        return
    if at_curb:
        asked = replace(asked, options={**asked.options, "at_curb": True})
    one = one_question(asked, "offer", now, numbers)
    answer = offering.offer(one, numbers, *now.told, rules.load(now.home))
    if keep or mine is not None or one.unit.get("unit"):
        _keep(now, [answer], mine)
    say(answer.as_dict, lambda: laid_out.told(offer_words.view, answer, now.settings, more))
    if log is not None:
        beside(offering.write_passed(answer, log == "trip", *now.all))


def _many_calls(asked: Asked, numbers: Saved, now: Now, free: Mapping[str, Any]) -> None:
    """Every row of a sheet; an evening's plan where hours or spots are given, or a person reads."""
    from pricing.pages.evening_text import evening_lines
    from pricing.pipeline import offering

    answers = of_sheet(asked, lambda file: offering.offer_file(file, numbers, *now.told))
    evening = None
    if any(one is not None for one in free.values()) or not told("json"):
        hours, spots = free["hours_free"], free["spots_free"]
        evening = offering.evening(answers, hours, spots, numbers, *now.told)
    for place, one in enumerate(answers if told("json") else ()):
        row = offering.problem_json(one) if isinstance(one, Problem) else one.as_dict()
        say(row | (offering.plan_json(evening, place) if evening is not None else {}))
    if evening is not None and not told("json"):
        click.echo("\n".join(evening_lines(answers, evening, now.settings)))


@click.command()
@unit_options("parts", "hours", "fix_chance", "price", "spent_money", "spent_hours")
@option("--write/--no-write", "Write down what a --unit was --found.", default=True)
@more_option
@home_options
def bench(asked: Asked, write: bool, more: bool, now: Now) -> None:
    """Go on, sell as-is, part out or scrap: what each still brings from here, and when to quit
    looking.

    --parts and --hours are what is still to buy and to work. What is already spent is shown and
    plays no part.

    \b
    Examples:
      pricing bench "electric dryer, 8 years, drum won't turn, found the belt snapped"
      pricing bench --type "front-load washer" --found bearings --parts 110 --hours 4
      pricing bench --unit 212 --found "control board"
    """
    from pricing.pipeline import asking

    if asked.file is not None:
        raise click.UsageError("bench answers for one unit: words, options or --unit tell it")
    numbers = _begin(asked, "bench", now)
    one = one_question(asked, "bench", now, numbers)
    answer = asking.bench(one, numbers, *now.told, rules.load(now.home))
    say(answer.as_dict, lambda: laid_out.told(bench_words.view, answer, now.settings, more))
    if asked.unit is not None and write and asked.options.get("found"):
        beside(asking.write_found(asked.unit, str(one.unit["found"]), *now.all))


@click.command()
@unit_options("offered", "asked_now", "price")
@option("--plot", "Draw ask against days and money.", metavar="FILE.svg")
@flag("--keep", "Keep the answer: pricing accuracy marks it once sold (always kept with --unit).")
@option("--mine", "Your own guess, kept beside the answer.", click.FloatRange(min=0.01), "NUMBER")
@more_option
@home_options
def ask(
    asked: Asked, plot: str | None, keep: bool, mine: float | None, more: bool, now: Now
) -> None:
    """What to ask, what it will sell for, the days, the plan if it sits, and the least to take.

    What you paid for it plays no part.

    \b
    Examples:
      pricing ask "front-load washer, 7 years, good, steam"
      pricing ask "212, bid 260"                     a unit of your record, and a bid
      pricing ask --type "gas range" --age 8 --condition good --json
      pricing ask --unit 212 --bid 260
      pricing ask --unit 212 --mine 280
      pricing ask --from to-list.csv --json
    """
    from pricing.pipeline import asking

    numbers = _begin(asked, "ask", now)
    if asked.file is not None:
        if plot or mine is not None:
            named = "--plot draws" if plot else "--mine is for"
            raise click.UsageError(f"{named} one unit: give no --from with it")
        answers = _many_asks(asked, numbers, now)
        if keep:
            _keep(now, answers, None)
        return
    one = one_question(asked, "ask", now, numbers)
    answer = asking.ask(one, numbers, *now.told)
    if plot:
        from pricing.pages import charts

        charts.write(Path(plot), asking.picture(one, numbers, now.settings, now.home, now.as_of))
    if keep or mine is not None or one.unit.get("unit"):
        _keep(now, [answer], mine)
    drawn = [f"Drawn: {plot}"] if plot else []
    said = partial(laid_out.told, ask_words.view, answer, now.settings, more)
    say(answer.as_dict, lambda: [*said(), *drawn])


def _many_asks(asked: Asked, numbers: Saved, now: Now) -> list[AskAnswer]:
    """Every row of a sheet, in its order. Returns the answers of the rows that could be read."""
    from pricing.pipeline import asking, offering

    answers = of_sheet(asked, lambda file: asking.ask_file(file, numbers, *now.told))
    currency = now.settings.currency
    for one in answers:
        if isinstance(one, Problem):
            say(offering.problem_json(one), f"? {one}")
            continue
        expect, take = (limit(at, currency) for at in (one.price_at_ask.median, one.take_at_least))
        line = f"ask {money(one.ask, currency)}, expect {expect}, take {take},"
        say(one.as_dict, f"{line} {one.median_days:.0f} days: {one.question.as_read}")
    return [one for one in answers if not isinstance(one, Problem)]


@click.command()
@home_options
def unsold(now: Now) -> None:
    """Every unsold unit: its days against what is normal, the next step and its day, the least to
    take today.

    \b
    Examples:
      pricing unsold
      pricing unsold --as-of 2026-05-14 --json
    """
    from pricing.pipeline import asking

    answer = asking.unsold(*now.all)
    view = laid_out.worded(unsold_words.view, answer, now.settings)
    say(answer.as_dict, lambda: laid_out.unsold_lines(view))


@click.command()
@click.argument("unit", metavar="UNIT")
@home_options
def card(unit: str, now: Now) -> None:
    """A tag and plain ad text for one unit, with nothing in it that the record does not hold.

    \b
    Examples:
      pricing card 212
      pricing card 212 --json
    """
    from pricing.pipeline import asking

    answer = asking.card(now.home, unit, *now.told)
    view = laid_out.worded(card_words.view, answer, now.settings)
    say(answer.as_dict, lambda: laid_out.card_lines(view))
