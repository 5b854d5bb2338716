"""The views that answer a question: before the drive, on the bench, set the ask, unsold. Each is one story and one page."""

from __future__ import annotations

from flask import Response, render_template

from pricing.web import asked as asking
from pricing.web import keeping, offered
from pricing.web.asked import Asked
from pricing.web.place import here


def offer() -> Response:
    """*Before the drive*."""
    from pricing.pipeline import offering

    place = here()
    asked, answer = asking.answered(asking.ask("offer"), lambda question: offering.offer(question, place.saved(), place.settings(), place.today()))
    shown = offered.shown(asked, answer, place.settings()) if answer is not None else None
    return _page("offer.html", asked, shown, keeping.of_offer(asked) if answer is not None else None)


def bench() -> Response:
    """*On the bench*."""
    return _page("offer.html", asking.ask("bench"), None, None)


def ask() -> Response:
    """*Set the ask*."""
    return _page("offer.html", asking.ask("ask"), None, None)


def unsold() -> str:
    """*Unsold*."""
    return render_template("first.html")


def _page(template: str, asked: Asked, shown: object, keep: object) -> Response:
    return asking.answer(render_template(template, asked=asked, own=asking.completing(), shown=shown, keep=keep), asked)
