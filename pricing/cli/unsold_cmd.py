"""`pricing unsold` and `pricing card`."""

from datetime import date

import click

from pricing.basis.home import Home
from pricing.basis.settings import load_settings
from pricing.cli.common import home_options, say
from pricing.pages import laid_out
from pricing.wording import card_words
from pricing.wording import unsold_words as words


@click.command()
@home_options
def unsold(home: Home, as_of: date) -> None:
    """Every unsold unit: its days against what is normal, the next step and its day, the least to
    take today.

    \b
    Examples:
      pricing unsold
      pricing unsold --as-of 2026-05-14 --json
    """
    from pricing.pipeline import asking

    settings = load_settings(home)
    answer = asking.unsold(home, settings, as_of)
    view = laid_out.worded(words.view, answer, settings)
    say(answer.as_dict, lambda: laid_out.unsold_lines(view))


@click.command()
@click.argument("unit", metavar="UNIT")
@home_options
def card(unit: str, home: Home, as_of: date) -> None:
    """A tag and plain ad text for one unit, with nothing in it that the record does not hold.

    \b
    Examples:
      pricing card 212
      pricing card 212 --json
    """
    from pricing.pipeline import asking

    settings = load_settings(home)
    answer = asking.card(home, unit, settings, as_of)
    view = laid_out.worded(card_words.view, answer, settings)
    say(answer.as_dict, lambda: laid_out.card_lines(view))
