"""`pricing seen`: ads of others that one saw, as evidence of price."""

import sys
from pathlib import Path
from typing import Any

import click

from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.cli.common import FILE, Now, flag, home_options, learn_again, option, say, told
from pricing.pipeline import seeing
from pricing.record import ad_rows as kept
from pricing.record.ad_rows import Ad
from pricing.wording import plain


@click.command(short_help="Write down ads you saw: what others ask.")
@click.argument("words", nargs=-1)
@option(("--from", "file"), "A sheet, or text with an ad a line; - is what you paste.", FILE)
@option("--where", "Where you saw them.", default="")
@option("--gone", "The ad of this number is gone.", int, "N")
@flag("--no-fit", "Write down only; learn later with pricing fit.")
@home_options
def seen(
    words: tuple[str, ...], file: Path | None, where: str, gone: int | None, no_fit: bool, now: Now
) -> None:
    """Ads of others that you saw. What they ask is evidence of price while your own sales are few;
    your own sales outweigh it as they come. Nothing is looked up anywhere.

    \b
    pricing seen "front-load washer, 6 years, good, asks 350"
    pricing seen "gas dryer, 4 years, like new, asks 275, up 3 weeks"
    pricing seen --from ads.csv --where "the local board"
    pricing seen --gone 12            ad 12 is gone as of today
    pricing seen                      the ads written down so far

    pricing undo takes the last ones back.
    """
    if gone is not None:
        kept.gone(now.home, gone, now.as_of.isoformat(), now.as_of.isoformat())
        say({"gone": gone}, f"Ad {gone} is gone.")
        learn_again(now, no_fit)
        return
    if not words and file is None:
        _show(now.home)
        return
    found, problems = _read(words, file, where, now)
    if not found:
        raise Refused(*problems)
    entry = seeing.keep(now.home, found, now.as_of)
    answer = {"change": entry.number, "ads": list(map(_as_dict, found))}
    answer["problems"] = [problem.as_dict() for problem in problems]
    for problem in problems if not told("json") else ():
        click.echo(f"? {problem}", err=True)
    lines = [f"I read: {_told(ad.unit)}, asks {ad.ask:,.10g}." for ad in found]
    count = plain.count(len(found), "ad")
    say(answer, lambda: [*lines, f"{count} written down. Take back: pricing undo"])
    learn_again(now, no_fit)


def _read(
    words: tuple[str, ...], file: Path | None, where: str, now: Now
) -> tuple[list[Ad], list[Problem]]:
    if file is not None and file.suffix.lower() in (".csv", ".tsv", ".xlsx", ".ods"):
        return seeing.in_sheet(file, *now.told, where)
    text = " ".join(words)
    if file is not None:
        text = sys.stdin.read() if str(file) == "-" else file.read_text(encoding="utf-8")
    return seeing.said_in(text, *now.told, seeing.words_of(now.home), where)


def _told(unit: object) -> str:
    values = dict(unit).items()  # type: ignore[call-overload]
    return ", ".join(f"{v:g} years" if k == "age" else str(v) for k, v in values)


def _as_dict(ad: Ad) -> dict[str, Any]:
    return vars(ad) | {"unit": dict(ad.unit)}


def _line(ad: Ad) -> str:
    gone = f", gone {ad.gone}" if ad.gone else ""
    return f"{ad.number}: {_told(ad.unit)}, asks {ad.ask:,.10g}, seen {ad.seen}{gone}"


def _show(home: Home) -> None:
    found = kept.read(home)
    none = 'No ads yet. pricing seen "front-load washer, 6 years, good, asks 350"'
    say({"ads": list(map(_as_dict, found))}, lambda: list(map(_line, found)) or none)
