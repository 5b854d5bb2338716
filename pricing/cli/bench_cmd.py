"""`pricing bench`: the fault turned out different; the ways on from here, side by side."""

from datetime import date

import click

from pricing.basis import rules
from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import beside, home_options, more_option, option, say
from pricing.cli.options import Asked, one_question, unit_options
from pricing.pages import laid_out
from pricing.wording import bench_words as words


@click.command()
@unit_options("parts", "hours", "fix_chance", "price", "spent_money", "spent_hours")
@option("--write/--no-write", "Write down what a --unit was --found.", default=True)
@more_option
@home_options
def bench(asked: Asked, write: bool, more: bool, home: Home, as_of: date) -> None:
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
    from pricing.model import saved
    from pricing.pipeline import benching, without_rate

    if asked.file is not None:
        raise click.UsageError("bench answers for one unit: words, options or --unit tell it")
    settings = load_settings(home)
    without_rate.hold(asked.words, asked.options, "bench", settings, as_of)
    numbers = saved.load(home)
    one = one_question(asked, "bench", settings, as_of, numbers)
    answer = benching.bench(one, numbers, settings, as_of, rules.load(home))
    say(answer.as_dict, lambda: laid_out.told(words.view, answer, settings, more))
    if asked.unit is not None and write and asked.options.get("found"):
        found = str(one.unit["found"])
        beside(benching.write_found(asked.unit, found, home, settings, as_of))
