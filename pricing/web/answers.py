"""The views that answer a question: before the drive, on the bench, set the ask, unsold. Each is
one story and one page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from flask import Response, render_template, request

from pricing.basis.problems import Problem, Refused
from pricing.web import asked as asking
from pricing.web import forms, keeping, listed, offered, steps
from pricing.web.asked import Asked
from pricing.web.place import here


def offer() -> Response:
    """*Before the drive*."""
    from pricing.pipeline import offering

    place = here()
    asked, answer = asking.answered(
        asking.ask("offer"),
        lambda question: offering.offer(question, place.saved(), place.settings(), place.today()),
    )
    shown = offered.shown(asked, answer, place.settings()) if answer is not None else None
    if shown is None:
        return _page("offer.html", asked, None, None)
    return _page(
        "offer.html", asked, shown, keeping.of_offer(asked), pass_on=keeping.passed_on(asked)
    )


def bench() -> Response:
    """*On the bench*."""
    from pricing.pipeline import benching
    from pricing.web import benched

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
        lambda question: benching.bench(question, place.saved(), place.settings(), place.today()),
    )
    shown = benched.shown(answer, place.settings()) if answer is not None else None
    return _page(
        "bench.html",
        asked,
        shown,
        keeping.of_bench(asked) if answer is not None else None,
        unit=unit,
        known_bench=_bench_form(asked, unit),
    )


def _bench_form(asked: Asked, unit: Mapping[str, Any] | None) -> Mapping[str, str]:
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
    from pricing.web import askedfor

    place = here()
    asked, answer = asking.answered(
        asking.ask("ask"),
        lambda question: story.ask(question, place.saved(), place.settings(), place.today()),
    )
    if answer is None:
        return _page("ask.html", asked, None, None)
    unit = _unit_of(asked)
    may_list = (
        ""
        if unit is None or not answer.plan
        else "down"
        if unit.get("outcome") == "listed"
        else "list"
    )
    listing = {"ask": f"{answer.ask:.10g}", "on": place.today().isoformat()}
    if unit is not None and may_list == "list":
        step = steps.find("list", place.settings())
        listing = (
            steps.shown(step, listed.typed(unit), place.today()) | {"ask": f"{answer.ask:.10g}"}
            if step is not None
            else listing
        )
    shown = askedfor.shown_ask(answer, place.settings())
    return _page(
        "ask.html",
        asked,
        shown,
        keeping.of_ask(asked, answer.ask),
        unit=unit,
        may_list=may_list,
        listing=listing,
    )


def _unit_of(asked: Asked) -> Mapping[str, Any] | None:
    """The unit of the list that was asked about, as it stands."""
    number = asked.filled.typed.get("unit")
    return listed.one(here().table(), number) if number else None


def unsold() -> str:
    """*Unsold*."""
    from pricing.advice import unsold as waiting
    from pricing.web import askedfor

    place = here()
    answer = place.cached(
        "unsold",
        lambda: waiting.unsold(place.open_units(), place.saved(), place.settings(), place.today()),
    )
    return render_template("unsold.html", shown=askedfor.shown_unsold(answer, place.settings()))


def card() -> str:
    """The tag and the ad of one unit."""
    from pricing.advice import card as cards
    from pricing.web import askedfor

    place = here()
    key = request.args.get("unit", "")
    row = listed.one(place.table(), key)
    if row is None:
        raise Refused(
            Problem(f"there is no unit {forms.short(key)} in your list", "look for it in My list")
        )
    unit = {name: value for name, value in row.items() if value is not None}
    return render_template(
        "card.html",
        unit=row,
        shown=askedfor.shown_card(
            cards.card(unit, place.settings(), place.today()), place.settings()
        ),
    )


def _page(template: str, asked: Asked, shown: object, keep: object, **more: object) -> Response:
    return asking.answer(
        render_template(
            template, asked=asked, own=asking.completing(), shown=shown, keep=keep, **more
        ),
        asked,
    )
