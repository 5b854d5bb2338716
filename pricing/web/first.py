"""The first page: what is at hand today; of an empty home the ways in."""

import subprocess
import sys
from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qsl

from flask import current_app, make_response, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.pages.laid_out import place_of
from pricing.pipeline.demo import DEMO_DAY
from pricing.quarter import weeks
from pricing.web import asked, list_of_changes, still_here
from pricing.web.place import DEMO_COOKIE, Place, here
from pricing.web.refit import Refit, aside
from pricing.wording import week_words

MOST_DUE, MOST_SHOP = 6, 5  # lines on the first page; the rest stand behind a link


def first() -> str:
    """What is at hand today."""
    place = here()
    begun = place.home.data.exists()
    due, week = None, None
    try:
        due = still_here.still_here() if begun else None
        week = place.cached("week", lambda: _week(place)) if begun else None
    except Refused:  # nothing is learned, or nothing is there yet: the ways in stand there
        pass
    rows = [] if due is None else [one for one in due["rows"] if one["due"]]
    return render_template(
        "first.html",
        due=due,
        rows=still_here.with_acts(rows[:MOST_DUE]),
        n_due=len(rows),
        all_drops=still_here.mark_of(due) if due else "",
        shop=due["in_work"][:MOST_SHOP] if due else [],
        week=week,
        calls=[(dict(parse_qsl(call)), call) for call in asked.calls()],
        empty=not begun,
        done=list_of_changes.done("/"),
    )


def _week(place: Place) -> Mapping[str, Any] | None:
    """This week's money against the last ones; None before anything ended."""
    settings, books = place.settings(), place.books()
    if not books.ended.any():
        return None
    return week_words.view(weeks.last_weeks(books, place.today()), place_of(settings))


def demo() -> AnyResponse:
    """Into the invented record, in a folder of this run, and out again; the own one stays."""
    answer = make_response(redirect("/", 303))
    if request.form.get("leave"):
        answer.delete_cookie(DEMO_COOKIE)
        return answer
    place: Place = current_app.config["PLACE"]
    with place.judged.lock:
        if current_app.config["DEMO"] is None:
            folder = place.scratch() / "demo"
            command = [sys.executable, "-m", "pricing", "demo", "--home", str(folder)]
            subprocess.run(command, check=True, capture_output=True, timeout=300, env=aside())
            home = Home(folder)
            refit = Refit(home, lambda: DEMO_DAY)
            current_app.config["DEMO"] = Place(home, refit.today, refit)
    answer.set_cookie(DEMO_COOKIE, "yes", httponly=True, samesite="Strict")
    return answer
