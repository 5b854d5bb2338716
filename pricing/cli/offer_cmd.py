"""`pricing offer`: before the drive, the most to pay; many calls, and which to take one evening."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

import click

from pricing.basis import rules
from pricing.basis.home import Home
from pricing.basis.problems import Problem
from pricing.basis.settings import Settings, load_settings
from pricing.cli.common import beside, flag, home_options, more_option, option, say, together, told
from pricing.cli.options import Asked, of_sheet, one_question, unit_options
from pricing.model.saved import Saved
from pricing.pages import laid_out
from pricing.wording import offer_words as words


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
def offer(
    asked: Asked,
    at_curb: bool,
    free: Mapping[str, Any],
    kept: Mapping[str, Any],
    more: bool,
    home: Home,
    as_of: date,
) -> None:
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
    from pricing.model import saved
    from pricing.pipeline import offering, without_rate

    _check_together(asked, tuple(free.values()), kept)
    settings = load_settings(home)
    without_rate.hold(asked.words, asked.options, "offer", settings, as_of)
    numbers = saved.load(home)
    if asked.file is not None:
        _many(asked, numbers, settings, free, as_of)
        return
    options = {**asked.options, "at_curb": at_curb or None}
    given = {name: value for name, value in options.items() if value is not None}
    asked = replace(asked, options=given)
    one = one_question(asked, "offer", settings, as_of, numbers)
    answer = offering.offer(one, numbers, settings, as_of, rules.load(home))
    if kept["keep"] or kept["mine"] is not None or one.unit.get("unit"):
        from pricing.pipeline import proving

        if warning := proving.keep_answer(home, answer.as_dict(), kept["mine"], as_of):
            click.echo(f"? {warning}", err=True)
    say(answer.as_dict, lambda: laid_out.told(words.view, answer, settings, more))
    if (log := kept["log"]) is not None:
        beside(offering.write_passed(answer, log == "trip", home, settings, as_of))


def _check_together(asked: Asked, free: tuple[float | None, ...], kept: Mapping[str, Any]) -> None:
    """Options that go with one call, or with a sheet of calls, only. free: hours and spots."""
    if asked.file is None:
        if any(one is not None for one in free):
            what = "--hours-free and --spots-free choose among many calls"
            raise click.UsageError(f"{what}: give them with --from FILE.csv")
        return
    if kept["log"] is not None:
        raise click.UsageError("--log writes down one call: tell it in words or by options")
    if kept["keep"] or kept["mine"] is not None:
        raise click.UsageError("--keep and --mine are for one call: give no --from with them")


def _many(
    asked: Asked, numbers: Saved, settings: Settings, free: Mapping[str, Any], as_of: date
) -> None:
    """Every row of a sheet; an evening's plan where hours or spots are given, or a person reads."""
    from pricing.pipeline import offering

    answers = of_sheet(asked, lambda file: offering.offer_file(file, numbers, settings, as_of))
    evening = None
    if any(one is not None for one in free.values()) or not told("json"):
        hours, spots = free["hours_free"], free["spots_free"]
        evening = offering.evening(answers, hours, spots, numbers, settings, as_of)
    for place, one in enumerate(answers if told("json") else ()):
        row = offering.problem_json(one) if isinstance(one, Problem) else one.as_dict()
        say(row | (offering.plan_json(evening, place) if evening is not None else {}))
    if told("json"):
        return
    from pricing.pages.evening_text import evening_lines

    assert evening is not None
    click.echo("\n".join(evening_lines(answers, evening, settings)))
