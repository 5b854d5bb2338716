"""The views that answer a question: each is one story and one page."""

from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

from flask import Response, render_template, request

from pricing.advice import card as cards
from pricing.advice.bench import GO_ON
from pricing.advice.ways import AS_IS, PART_OUT, SCRAP
from pricing.basis import rules
from pricing.basis.problems import refused
from pricing.formulas.bids import TAKE
from pricing.pages import laid_out
from pricing.pages.text import money
from pricing.pipeline import asking as story
from pricing.pipeline import offering
from pricing.web import asked as asking
from pricing.web import fields, forms, kept_answers, list_of_changes, listed
from pricing.web.asked import AskedPage
from pricing.web.place import here
from pricing.wording import ask_words, bench_words, card_words, offer_words

MOST_TAGS = 40
HEADINGS = {
    "offer": ("Before the drive", "Worth the drive?"),
    "bench": ("On the bench", "Go on, or not?"),
    "ask": ("Set the ask", "What to ask?"),
}
WAYS = {GO_ON: "bench", AS_IS: "list", PART_OUT: "parted", SCRAP: "scrapped"}  # way -> form


def offer() -> Response:
    """*Before the drive*."""
    place, asked = here(), asking.ask("offer")
    asked, answer = asking.answered(
        asked, lambda it: offering.offer(it, *place.now(), rules.load(place.home))
    )
    if answer is None:
        return _page(asked)
    passed = kept_answers.passed_on(asked)
    return _page(asked, offer_words.view, answer, kept_answers.of_offer(asked), pass_on=passed)


def bench() -> Response:
    """*On the bench*."""
    place, asked = here(), asking.ask("bench")
    unit = _unit_of(asked)
    asked, answer = asking.answered(
        asked, lambda it: story.bench(it, *place.now(), rules.load(place.home))
    )
    if answer is None:
        return _page(asked)
    # each way leads to its form of the unit
    ways = [_unit_form(unit, open=WAYS[way.name]) for way in answer.ways] if unit else []
    more = {"unit": unit, "known_bench": _bench_form(asked, unit), "links": {"ways": ways}}
    return _page(asked, bench_words.view, answer, kept_answers.of_bench(asked), **more)


def _unit_form(unit: Mapping[str, Any], **filled: str) -> str:
    """The address of a unit with one of its forms open and filled."""
    return "/records/unit?" + urlencode({"unit": unit["key"], **filled})


def _bench_form(asked: AskedPage, unit: Mapping[str, Any] | None) -> Mapping[str, str]:
    """The bench form of a unit as it stands, with what was found now."""
    step = fields.find("bench", here().settings())
    if unit is None or step is None:
        return {}
    found = asked.filled.typed.get("found", "")
    return fields.shown(step, listed.typed(unit), here().today()) | {"found": found}


def ask() -> Response:
    """*Set the ask*."""
    place, asked = here(), asking.ask("ask")
    asked, answer = asking.answered(asked, lambda question: story.ask(question, *place.now()))
    if answer is None:
        return _page(asked)
    unit = _unit_of(asked)
    is_listed = unit is not None and unit.get("outcome") == "listed"
    may_list = "" if unit is None or not answer.plan else "down" if is_listed else "list"
    listing = _listing(unit, f"{answer.ask:.10g}", may_list == "list")
    bid, currency = answer.offer, place.settings().currency
    taken = ""
    if unit is not None and bid is not None and bid["say"] == TAKE:
        taken = _unit_form(unit, open="sold", price=f"{bid['offered']:.10g}")
    last = listed.last_of(unit and unit.get("asked"))
    similar = ["/records/unit?" + urlencode({"unit": one.unit}) for one in answer.similar]
    more = {
        "unit": unit,
        "may_list": may_list,
        "same_ask": may_list == "down" and last == listing["ask"],
        "listing": listing,
        "ask": money(answer.ask, currency),
        "bid": money(bid["offered"], currency) if bid is not None else "",
        "take": taken,
        "links": {"similar": similar},
    }
    return _page(asked, ask_words.view, answer, kept_answers.of_ask(asked, answer.ask), **more)


def _listing(unit: Mapping[str, Any] | None, ask: str, is_new: bool) -> dict[str, str]:
    """What a press on the ask writes: a unit that is listed now goes along as it is known."""
    today, step = here().today(), fields.find("list", here().settings())
    if unit is None or step is None or not is_new:
        return {"ask": ask, "on": today.isoformat()}
    return fields.shown(step, listed.typed(unit), today) | {"ask": ask}


def _unit_of(asked: AskedPage) -> Mapping[str, Any] | None:
    """The unit of the list that was asked about, as it stands."""
    number = asked.filled.typed.get("unit")
    return listed.one(here().home, number) if number else None


def card() -> str:
    """The tag and the ad of one unit; without one, the tags of all that are listed."""
    place = here()
    key = request.args.get("unit", "")
    row = listed.one(place.home, key) if key else None
    if key and row is None:
        raise refused(f"there is no unit {forms.short(key)} in your list", "look for it in My list")
    open_now = [unit for unit in place.open_units() if unit.get("outcome") == "listed"]
    units = [row] if row is not None else open_now[:MOST_TAGS]

    def tag(unit: Mapping[str, Any]) -> Mapping[str, Any]:
        told = {name: value for name, value in unit.items() if value is not None}
        answer = cards.card(told, place.settings(), place.today())
        return laid_out.worded(card_words.view, answer, place.settings())

    four = row is None or "four" in request.args
    tags = [tag(unit) for unit in units] * (4 if row and four else 1)
    return render_template("card.html", unit=row, tags=tags, four=four)


def _page(
    asked: AskedPage, view: Any = None, answer: Any = None, keep: object = None, **more: object
) -> Response:
    """The page of a question, with its answer in the words of `view` where there is one."""
    shown = None if answer is None else laid_out.worded(view, answer, here().settings())
    heading, button = HEADINGS[asked.name]
    back = f"/{asked.name}?{asked.query}"
    given = {"links": {}, "own": asking.completing(), "done": list_of_changes.done(back), **more}
    given |= {"asked": asked, "shown": shown, "keep": keep, "heading": heading, "button": button}
    return asking.answer(render_template(f"{asked.name}.html", **given), asked)
