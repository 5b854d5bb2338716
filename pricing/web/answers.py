"""The views that answer a question: before the drive, on the bench, set the ask, unsold."""

from __future__ import annotations

from flask import Response, render_template

from pricing.web import asked as asking


def offer() -> Response:
    """*Before the drive*."""
    asked = asking.ask("offer")
    return asking.answer(render_template("offer.html", asked=asked, own=asking.completing(), answer=None), asked)


def bench() -> Response:
    """*On the bench*."""
    asked = asking.ask("bench")
    return asking.answer(render_template("offer.html", asked=asked, own=asking.completing(), answer=None), asked)


def ask() -> Response:
    """*Set the ask*."""
    asked = asking.ask("ask")
    return asking.answer(render_template("offer.html", asked=asked, own=asking.completing(), answer=None), asked)


def unsold() -> str:
    """*Unsold*."""
    return render_template("first.html")
