"""A worded answer (`pricing/wording`) as lines of a terminal: the first eight, or all of it."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from pricing.basis.money_form import place_of_money
from pricing.basis.settings import Settings
from pricing.pages.text import WIDTH, columns, width_of, wrap

SHORT = 8
MORE = "More: the same with --more"
View = Mapping[str, Any]
Wording = Callable[[dict[str, Any], dict[str, Any]], View]


def place_of(settings: Settings) -> dict[str, Any]:
    """What the wording needs of the settings."""
    numbers = settings.number_attributes
    return place_of_money(settings.currency) | {
        "hourly_target": settings.hourly_target,
        "hour_worth": settings.hour_worth,
        "hour_told": settings.hour_elsewhere is not None or settings.short_of != "units",
        "clear_after_days": settings.clear_after_days,
        "distance_unit": settings.distance_unit,
        "attributes": list(settings.attributes),
        "words": [name for name in settings.attributes if name not in numbers],
    }


def worded(say: Wording, answer: Any, settings: Settings, short: bool = False) -> View:
    """An answer in words. say: `view` of its wording; short: its cautions in their short form (the
    dangers, which come before the money, always stand in full)."""
    table = answer.as_dict()
    if short:
        lot = getattr(answer, "lot", None)
        told = [one for each in (lot.each if lot else (answer,)) for one in each.verdict.lines]
        table["cautions"] = list(dict.fromkeys(one.short for one in told))
    view = say(table, place_of(settings))
    starting = any(text.startswith(("PART", "GUESS")) for text in view.get("legend", ()))
    if settings.currency.upper() == "USD" or not starting:
        return view
    return {**view, "legend": [*view["legend"], turned(settings)]}


def told(say: Wording, answer: Any, settings: Settings, more: bool) -> list[str]:
    """The lines of an answer. more: all of it."""
    return lines(worded(say, answer, settings, short=not more), more)


def turned(settings: Settings) -> str:
    """How the starting figures became the person's money.

    >>> from pricing.basis.settings import Settings
    >>> turned(Settings(currency="JPY", dollar_is=150.0))
    'Starting figures are US dollars, each taken as 150 JPY (dollar_is).'
    """
    source = "dollar_is" if settings.dollar_is is not None else "from your usual prices"
    rate = f"{settings.dollar:.4g} {settings.currency.upper()}"
    return f"Starting figures are US dollars, each taken as {rate} ({source})."


def lines(view: View, more: bool = False) -> list[str]:
    """The answer. more: with the table, the reasons and the sales it rests on."""
    return [*_all(view)] if more else short_lines(view)


def short_lines(view: View) -> list[str]:
    """At most eight lines: dangers and decision always, then what has room, by its need."""
    head = [line for text in (*view["dangers"], view["headline"]) for line in wrap(text)]
    room = SHORT - len(head) - 1
    rest = [(said["need"], wrap(said["text"], "  ")) for said in view["short"]]
    while rest and sum(len(told) for _, told in rest) > max(room, 0):
        least = min(need for need, _ in rest)
        last = max(at for at, (need, _) in enumerate(rest) if need == least)
        del rest[last]
    return [*head, *(line for _, told in rest for line in told), MORE]


def _all(view: View) -> list[str]:
    out = [line for text in view["dangers"] for line in wrap(text)]
    for text in (view["headline"], *view["lead"], *view["guess"]):
        out += wrap(text)
    out += [*_money_line(view["picture"]), "", *wrap(view["read"])]
    for section in view["sections"]:
        # a section without a title goes on with the one before it
        joined = not section.get("title") and section["form"] == "text"
        out += [*([] if joined else [""]), *section_lines(section)]
    sentences = [*view["warnings"], *view["cautions"]]
    out += ["", *(line for text in sentences for line in wrap(text, "  "))] if sentences else []
    return [*out, *(line for text in view["legend"] for line in wrap(text, "  "))]


_LETTERS = {"tag": "<", "ceiling": "T", "floor": "L", "square": "#"}


def _money_line(picture: View | None) -> list[str]:
    """The picture of an answer in letters: the usual span, a sign a number, its words below."""
    if picture is None:
        return []
    numbers = [picture["low"], picture["high"], *(mark["at"] for mark in picture["marks"])]
    first, room = min(numbers), max(max(numbers) - min(numbers), 1.0)
    places = [round((number - first) / room * (WIDTH - 1)) for number in numbers]
    line = ["=" if places[0] <= at <= places[1] else "-" for at in range(WIDTH)]
    told = [f"= most: {picture['ends'][0]} to {picture['ends'][1]}"]
    for mark, at in zip(picture["marks"], places[2:], strict=True):
        line[at] = _LETTERS.get(mark["sign"], "o")
        told.append(f"{line[at]} {mark['words']} {mark['said']}")
    return ["", "".join(line), *wrap("; ".join(told))]


def section_lines(section: View) -> list[str]:
    """One section under its title."""
    title, form = str(section.get("title", "")).upper(), section["form"]
    if form == "text":
        return [*([title] if title else []), *(x for t in section["lines"] for x in wrap(t, "  "))]
    if form == "facts":
        return [*([title] if title else []), *fitted(section["rows"])]
    if form == "answers":
        return [title, *(line for row in section["rows"] for line in _asked(row))]
    rows = [[title, *section["heads"][1:]], *([f"  {row[0]}", *row[1:]] for row in section["rows"])]
    return narrow(rows)


def _asked(row: View) -> list[str]:
    told = "; ".join(f"{one['label']}: {one['said']}" for one in row["answers"])
    return wrap(f"  {row['question']} {told}", "    ")


def narrow(rows: Sequence[Sequence[str]], right: Sequence[int] = range(1, 9)) -> list[str]:
    """A table of at most sixty columns; a long first cell is cut, long heads stand above."""
    rest = max(map(width_of, columns([row[1:] for row in rows], gap=1)))
    room = max(WIDTH - rest - 1, 12)
    title, cells = rows[0][0], [[_cut(row[0], room), *row[1:]] for row in rows]
    if width_of(title) <= room:
        return columns(cells, right=right, gap=1)
    return [title, *columns([["", *rows[0][1:]], *cells[1:]], right=right, gap=1)]


def _cut(text: str, room: int) -> str:
    return text if width_of(text) <= room else text[: room - 1] + "…"


_LABEL, _VALUE = 20, 6


def fitted(rows: Sequence[Sequence[str]]) -> list[str]:
    """Label, number, range and standing in columns; what finds no room goes to a line below."""
    out = []
    label = max((len(row[0]) for row in rows), default=_LABEL)
    for name, value, why, standing in rows:
        first = f"{name:<{label}}  {value:>{_VALUE}}"
        line = f"{first}  {why}".rstrip()
        if width_of(line) > WIDTH:
            out += [first, *wrap(f"    {why}", "    ")]
        elif not standing or WIDTH - width_of(line) - width_of(standing) >= 2:
            gap = WIDTH - width_of(line) - width_of(standing)
            out.append(f"{line}{' ' * gap}{standing}".rstrip())
            continue
        else:
            out.append(line)
        if standing:
            out.append(" " * (WIDTH - width_of(standing)) + standing)
    return out


def unsold_lines(view: View) -> list[str]:
    """What is due today first, each unit with its days and its step; then what is in work."""
    if view["nothing"]:
        return [str(view["nothing"])]
    out = wrap(view["headline"])
    for one in view["rows"]:
        out += ["", _cut(f"{one['unit']}  {one['said']}", WIDTH)]
        out += [*wrap(f"  {one['days']}", "  "), *wrap(f"  {one['step']}", "  ")]
    if view["undated"]:
        out += ["", "Listed without a date: write it, and their days count."]
        out += [_cut(f"  {one['unit']}  {one['said']}", WIDTH) for one in view["undated"]]
    if view["in_work"]:
        out += ["", f"In the shop, not listed yet: {len(view['in_work'])}"]
        for one in view["in_work"]:
            days = f", {one['days']}" if one["days"] else ""
            out += wrap(f"  {one['unit']} {one['said']}: {one['state']}{days}", "    ")
    for said in (view["together"], view["first"]):
        out += ["", *wrap(said)] if said else []
    return out


def card_lines(view: View) -> list[str]:
    """The tag, then the ad, then what is missing."""
    price = [view["price"]] if view["price"] else []
    tag = [view["number"], view["title"].upper(), *price, *(f"- {line}" for line in view["lines"])]
    out = ["TAG", *(line for text in tag for line in wrap(text, "  "))]
    out += ["", "FOR AN AD", *wrap(view["ad"])]
    notes = [line for text in view["notes"] for line in wrap(text)]
    return [*out, *(["", *notes] if notes else [])]
