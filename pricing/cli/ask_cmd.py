"""`pricing ask`: at listing and while listed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pricing.basis.home import Home
from pricing.basis.problems import Problem
from pricing.basis.settings import load_settings
from pricing.cli.common import flag, home_options, more_option, option, say
from pricing.cli.options import Asked, of_sheet, one_question, unit_options
from pricing.pages import laid_out
from pricing.pages.text import limit, money
from pricing.wording import ask_words as words

if TYPE_CHECKING:
    from pricing.advice.ask import AskAnswer
    from pricing.basis.settings import Settings
    from pricing.model.saved import Saved


@click.command()
@unit_options("offered", "asked_now", "price")
@option("--plot", "Draw ask against days and money.", metavar="FILE.svg")
@flag("--keep", "Keep the answer: pricing accuracy marks it once sold (always kept with --unit).")
@option("--mine", "Your own guess, kept beside the answer.", click.FloatRange(min=0.01), "NUMBER")
@more_option
@home_options
def ask(
    asked: Asked,
    plot: str | None,
    keep: bool,
    mine: float | None,
    more: bool,
    home: Home,
    as_of: date,
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
    from pricing.model import saved
    from pricing.pipeline import asking, without_rate

    settings = load_settings(home)
    without_rate.hold(asked.words, asked.options, "ask", settings, as_of)
    numbers = saved.load(home)
    if asked.file is not None:
        if plot or mine is not None:
            named = "--plot draws" if plot else "--mine is for"
            raise click.UsageError(f"{named} one unit: give no --from with it")
        kept = _many(asked, numbers, settings, as_of)
        if keep:
            _keep(home, kept, None, as_of)
        return
    one = one_question(asked, "ask", settings, as_of, numbers)
    answer = asking.ask(one, numbers, settings, as_of)
    if plot:
        from pricing.pages import charts

        charts.write(Path(plot), asking.picture(one, numbers, settings, home, as_of))
    if keep or mine is not None or one.unit.get("unit"):
        _keep(home, [answer], mine, as_of)
    drawn = [f"Drawn: {plot}"] if plot else []
    say(answer.as_dict, lambda: [*laid_out.told(words.view, answer, settings, more), *drawn])


def _keep(home: Home, answers: Sequence[AskAnswer], mine: float | None, as_of: date) -> None:
    """Keep answers for the report card; a failure is a warning, the answer stands."""
    from pricing.pipeline import proving

    if warning := proving.keep_answer(home, [answer.as_dict() for answer in answers], mine, as_of):
        click.echo(f"? {warning}", err=True)


def _many(asked: Asked, numbers: Saved, settings: Settings, as_of: date) -> list[AskAnswer]:
    """Every row of a sheet, in its order. Returns the answers of the rows that could be read."""
    from pricing.pipeline import asking, offering

    answers = of_sheet(asked, lambda file: asking.ask_file(file, numbers, settings, as_of))
    currency = settings.currency
    for one in answers:
        if isinstance(one, Problem):
            say(offering.problem_json(one), f"? {one}")
            continue
        expect, take = (limit(at, currency) for at in (one.price_at_ask.median, one.take_at_least))
        line = f"ask {money(one.ask, currency)}, expect {expect}, take {take},"
        say(one.as_dict(), f"{line} {one.median_days:.0f} days: {one.question.as_read}")
    return [one for one in answers if not isinstance(one, Problem)]
