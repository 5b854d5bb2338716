"""The story of ads that the person saw: words or a sheet -> rows of the record -> evidence."""

import re
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from pricing.basis.columns import BY_NAME
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.model import saved
from pricing.model.own_words import Words, known_words
from pricing.model.price import ads as model
from pricing.model.price.ads import Ads
from pricing.pipeline.question_from import from_file, read
from pricing.record import ad_rows as kept
from pricing.record.ad_rows import Ad
from pricing.record.entries import Entry

_UNITS = {"day": 1, "week": 7, "month": 30}
_SPAN = r"(?:about\s+)?(\d{1,3}|a)\s+(day|week|month)s?"
# "up 3 weeks", "listed 10 days ago", "gone after 5 days", "sold in 2 weeks"
_UP = re.compile(rf"\b(?:up|listed|posted|online)\s+(?:for\s+|since\s+)?{_SPAN}(?:\s+ago)?", re.I)
_GONE = re.compile(rf"\b(?:gone|sold)\s+(?:after|in|within)\s+{_SPAN}", re.I)
# What prices a unit in working order; an ad that says another fault tells nothing of that.
_WHOLE = ("", "works; owner upgraded")
_LEFT_OUT = ("unit", "sold", "listed", "got", "owner", "price", "sold_where")


def said_in(
    text: str, settings: Settings, as_of: date, known: Words, where: str = ""
) -> tuple[list[Ad], list[Problem]]:
    """The ads of a text, one a line or a block; and what could not be read, each with its line."""
    blocks = re.split(r"\n\s*\n", text.strip()) if re.search(r"\n\s*\n", text.strip()) else None
    parts = [" ".join(block.split()) for block in (blocks or text.splitlines()) if block.strip()]
    found, problems = [], []
    for line, part in enumerate(parts, 1):
        try:
            found.append(_one(part, settings, as_of, known, where))
        except Refused as refusal:
            at = f"{part[:60]!r}: "
            problems += [Problem(at + x.what, x.fix, line=line) for x in refusal.problems]
    return found, problems


def _one(text: str, settings: Settings, as_of: date, known: Words, where: str) -> Ad:
    up, gone = _UP.search(text), _GONE.search(text)
    plain = _GONE.sub(" ", _UP.sub(" ", text))
    question = read(plain, {}, settings, as_of, known)
    listed = as_of - timedelta(days=_days(up)) if up else None
    # one that was gone when it was told of had stood so long until then
    if gone and listed is None:
        listed = as_of - timedelta(days=_days(gone))
    return _ad(question, text, as_of, listed, as_of if gone else None, where)


def _days(found: re.Match[str]) -> int:
    return (1 if found[1].lower() == "a" else int(found[1])) * _UNITS[found[2].lower()]


def _ad(
    question: Question, said: str, as_of: date, listed: date | None, gone: date | None, where: str
) -> Ad:
    ask = question.known.get("their_price")
    lone = set(re.findall(r"[$€£]\s?(\d[\d,]*(?:\.\d\d)?)", said))
    if ask is None and len(lone) == 1:  # the only money that an ad names is its ask
        ask = float(lone.pop().replace(",", ""))
    problems = []
    if not question.type:
        problems.append(Problem("the kind of unit is not said", 'begin with it: "gas dryer, …"'))
    if ask is None or ask <= 0:
        problems.append(Problem("the ask is not said", 'say it as "asks 350"'))
    if problems or ask is None:
        raise Refused(*problems)
    known = (name for name in question.unit if name in BY_NAME and name not in _LEFT_OUT)
    unit = {name: at for name in known if (at := question.unit[name]) not in (None, "")}
    days = [None if day is None else day.isoformat() for day in (listed, gone)]
    return Ad(said, ask, as_of.isoformat(), unit, days[0], days[1], where)


def in_sheet(
    path: Path, settings: Settings, as_of: date, where: str = ""
) -> tuple[list[Ad], list[Problem]]:
    """The ads of a sheet: the ask as their price, the day listed, the day sold or gone."""
    found, problems = [], []
    for one in from_file(path, settings, as_of):
        if isinstance(one, Problem):
            problems.append(one)
            continue
        days = (one.unit.get(name) for name in ("listed", "sold"))
        listed, gone = (date.fromordinal(int(day)) if day else None for day in days)
        seen_at = where or str(one.unit.get("sold_where") or "")
        try:
            found.append(_ad(one, one.said or one.as_read, as_of, listed, gone, seen_at))
        except Refused as refusal:
            problems += refusal.problems
    return found, problems


def words_of(home: Home) -> Words:
    """The record's own words; none where nothing was learned yet: the tables' words alone."""
    try:
        return known_words(saved.load(home))
    except Refused:
        return {}


def keep(home: Home, ads: Sequence[Ad], as_of: date) -> Entry:
    """Write them down as one act."""
    return kept.write(home, ads, as_of.isoformat())


def as_evidence(home: Home, as_of: date) -> Ads:
    """The ads as the price model reads them; those of broken units tell nothing of a fixed one."""
    told = [ad for ad in kept.read(home) if ad.unit.get("fault", "") in _WHOLE]
    if not told:
        return model.NONE
    rows = []
    for ad in told:
        unit = {name: at for name, at in ad.unit.items() if name not in ("fault", "found")}
        rows.append(unit | {"price": ad.ask, "outcome": "sold", "unit": f"ad {ad.number}"})
    days = ([_ordinal(getattr(ad, x)) for ad in told] for x in ("seen", "listed", "gone"))
    seen, listed, gone = map(np.array, days)
    ads = model.Ads(from_rows(rows), seen, model.how_long(listed, seen, gone))
    return model.known_by(ads, as_of)


def _ordinal(day: str | None) -> float:
    return float(date.fromisoformat(day).toordinal()) if day else np.nan
