"""The views that answer a question: before the drive, on the bench, set the ask, unsold. Each is
one story and one page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from flask import Response, render_template, request

from pricing.advice.bench import GO_ON
from pricing.advice.offered import TAKE
from pricing.advice.ways import AS_IS, PART_OUT, SCRAP
from pricing.basis import rules
from pricing.basis.problems import refused
from pricing.pages import laid_out
from pricing.pages.text import money
from pricing.web import asked as asking
from pricing.web import forms, kept_answers, list_of_changes, listed, steps
from pricing.web.asked import AskedPage
from pricing.web.place import here

MOST_TAGS = 40
WAYS = {GO_ON: "bench", AS_IS: "list", PART_OUT: "parted", SCRAP: "scrapped"}  # way -> form


def offer() -> Response:
    """*Before the drive*."""
    from pricing.pipeline import offering
    from pricing.wording import offer_words as words

    place = here()
    asked, answer = asking.answered(
        asking.ask("offer"),
        lambda question: offering.offer(
            question, place.saved(), place.settings(), place.today(), rules.load(place.home)
        ),
    )
    words_of_page = {"heading": "Before the drive", "button": "Worth the drive?"}
    if answer is None:
        return _page("offer.html", asked, None, None, **words_of_page)
    return _page(
        "offer.html",
        asked,
        laid_out.worded(words.view, answer, place.settings()),
        kept_answers.of_offer(asked),
        pass_on=kept_answers.passed_on(asked),
        **words_of_page,
    )


def bench() -> Response:
    """*On the bench*."""
    from pricing.pipeline import benching
    from pricing.wording import bench_words as words

    place = here()
    asked = asking.ask("bench")
    unit = _unit_of(asked)
    if asked.question is not None and unit is not None:
        spent = benching.spent_on(dict(asked.question.unit))
        asked = replace(
            asked, question=replace(asked.question, known=spent | dict(asked.question.known))
        )
    asked, answer = asking.answered(
        asked,
        lambda question: benching.bench(
            question, place.saved(), place.settings(), place.today(), rules.load(place.home)
        ),
    )
    words_of_page = {"heading": "On the bench", "button": "Go on, or not?"}
    if answer is None:
        return _page("bench.html", asked, None, None, **words_of_page)
    ways = []
    if unit is not None:  # each way leads to its form of the unit
        ways = [_unit_form(unit, open=WAYS[way.name]) for way in answer.ways]
    return _page(
        "bench.html",
        asked,
        laid_out.worded(words.view, answer, place.settings()),
        kept_answers.of_bench(asked),
        unit=unit,
        known_bench=_bench_form(asked, unit),
        links={"ways": ways},
        **words_of_page,
    )


def _unit_form(unit: Mapping[str, Any], **filled: str) -> str:
    """The address of a unit with one of its forms open and filled."""
    return "/records/unit?" + urlencode({"unit": unit["key"], **filled})


def _bench_form(asked: AskedPage, unit: Mapping[str, Any] | None) -> Mapping[str, str]:
    """The bench form of a unit as it stands, with what was found now."""
    step = steps.find("bench", here().settings())
    if unit is None or step is None:
        return {}
    return steps.shown(step, listed.typed(unit), here().today()) | {
        "found": asked.filled.typed.get("found", "")
    }


def ask() -> Response:
    """*Set the ask*."""
    from pricing.pipeline import asking as story
    from pricing.wording import ask_words as words

    place = here()
    asked, answer = asking.answered(
        asking.ask("ask"),
        lambda question: story.ask(question, place.saved(), place.settings(), place.today()),
    )
    words_of_page = {"heading": "Set the ask", "button": "What to ask?"}
    if answer is None:
        return _page("ask.html", asked, None, None, **words_of_page)
    unit = _unit_of(asked)
    is_listed = unit is not None and unit.get("outcome") == "listed"
    may_list = "" if unit is None or not answer.plan else "down" if is_listed else "list"
    listing = _listing(unit, f"{answer.ask:.10g}", may_list == "list")
    bid, currency = answer.offer, place.settings().currency
    taken = ""
    if unit is not None and bid is not None and bid.say == TAKE:
        taken = _unit_form(unit, open="sold", price=f"{bid.offered:.10g}")
    return _page(
        "ask.html",
        asked,
        laid_out.worded(words.view, answer, place.settings()),
        kept_answers.of_ask(asked, answer.ask),
        unit=unit,
        may_list=may_list,
        same_ask=may_list == "down"
        and listed.last_of(unit and unit.get("asked")) == listing["ask"],
        listing=listing,
        ask=money(answer.ask, currency),
        bid=money(bid.offered, currency) if bid is not None else "",
        take=taken,
        links={"similar": ["/records/unit?" + urlencode({"unit": s.unit}) for s in answer.similar]},
        **words_of_page,
    )


def _listing(unit: Mapping[str, Any] | None, ask: str, is_new: bool) -> dict[str, str]:
    """What a press on the ask writes: a unit that is listed now goes along as it is known."""
    today, step = here().today(), steps.find("list", here().settings())
    if unit is None or step is None or not is_new:
        return {"ask": ask, "on": today.isoformat()}
    return steps.shown(step, listed.typed(unit), today) | {"ask": ask}


def _unit_of(asked: AskedPage) -> Mapping[str, Any] | None:
    """The unit of the list that was asked about, as it stands."""
    number = asked.filled.typed.get("unit")
    return listed.one(here().table(), number) if number else None


def card() -> str:
    """The tag and the ad of one unit; without one, the tags of all that are listed, four a
    sheet."""
    from pricing.advice import card as cards
    from pricing.wording import card_words as words

    place = here()
    key = request.args.get("unit", "")
    row = listed.one(place.table(), key) if key else None
    if key and row is None:
        raise refused(f"there is no unit {forms.short(key)} in your list", "look for it in My list")
    open_now = [unit for unit in place.open_units() if unit.get("outcome") == "listed"]
    units = [row] if row is not None else open_now[:MOST_TAGS]

    def tag(unit: Mapping[str, Any]) -> Mapping[str, Any]:
        told = {name: value for name, value in unit.items() if value is not None}
        answer = cards.card(told, place.settings(), place.today())
        return laid_out.worded(words.view, answer, place.settings())

    tags = [tag(unit) for unit in units]
    four = row is None or "four" in request.args
    return render_template(
        "card.html", unit=row, tags=tags * 4 if row and four else tags, four=four
    )


def _page(template: str, asked: AskedPage, shown: object, keep: object, **more: object) -> Response:
    back = f"/{asked.name}?{asked.query}"
    given = {"links": {}, "own": asking.completing(), "done": list_of_changes.done(back), **more}
    return asking.answer(
        render_template(template, asked=asked, shown=shown, keep=keep, **given), asked
    )
