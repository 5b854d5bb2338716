"""*Still here* and the first page: the open units as lines, each with its next step; a page of them
at a time, so that thousands are looked through as quickly as five."""

import contextlib
import hashlib
import subprocess
import sys
import threading
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import parse_qsl, urlencode

from flask import abort, current_app, make_response, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.advice import unsold as waiting
from pricing.basis.home import Home
from pricing.basis.problems import Refused, refused
from pricing.pages import laid_out
from pricing.pages.laid_out import place_of
from pricing.pipeline import by_hand
from pricing.pipeline.demo import DEMO_DAY
from pricing.quarter import weeks
from pricing.record.current import acts_of
from pricing.web import asked, fields, list_of_changes, listed
from pricing.web.place import DEMO_COOKIE, Place, here
from pricing.web.refit import Refit, aside
from pricing.wording import unsold_words as words
from pricing.wording import week_words

AT_ONCE, PAGE = 50, 50  # units judged while somebody waits; units on one page
DUE, LATER, UNDATED, IN_WORK = "due", "later", "undated", "shop"
SHOWS = ((DUE, "Due today"), (LATER, "Later"), (UNDATED, "No date"), (IN_WORK, "In the shop"))
SORTS = (("", "slowest first"), ("listed", "longest here"), ("asked", "highest ask"))


def unsold() -> str:
    """The open units: filtered, sorted and searched by links."""
    shown = still_here()
    wanted = {name: request.args.get(name, "").strip()[:200] for name in ("show", "q", "sort")}
    found = [one for one in shown["lines"] if listed.has_all(one["text"], wanted["q"])]
    counts = Counter(one["state"] for one in found)
    show = wanted["show"] or next((name for name, _ in SHOWS if counts[name]), DUE)
    rows = [one for one in found if one["state"] == show]
    if wanted["sort"] in ("listed", "asked"):
        rows = sorted(rows, key=lambda one: -one.get(wanted["sort"], 0.0))
    page = listed.page_of(request.args.get("page", ""))
    first = (page - 1) * PAGE
    told = {name: value for name, value in wanted.items() if value}

    def link(**changed: object) -> str:
        return f"/unsold?{urlencode({**told, **changed})}"

    return render_template(
        "unsold.html",
        shown=shown,
        rows=with_acts(rows[first : first + PAGE]),
        all_drops=mark_of(shown),
        more=len(rows) > first + PAGE,
        page=page,
        counts=counts,
        shows=SHOWS,
        sorts=SORTS,
        show=show,
        wanted=wanted,
        link=link,
        done=list_of_changes.done("/unsold"),
    )


def still_here() -> Mapping[str, Any]:
    """The open units in words, as `unsold` prints them, and as lines with what they may be found
    by; `left`: listed units that are not judged yet."""
    place = here()
    judged, left = _judged(place)
    settings, name = place.settings(), ("unsold", len(judged.waiting))
    table = place.cached(name, lambda: laid_out.worded(words.view, judged, settings))
    lines = [{**one, "state": DUE if one["due"] else LATER} for one in table["rows"]]
    lines += [{**one, "state": UNDATED} for one in table["undated"]]
    lines += [{**one, "state": IN_WORK, "now": one["state"]} for one in table["in_work"]]
    for one in lines:
        one["text"] = " ".join(str(one.get(name, "")) for name in ("unit", "said", "step", "now"))
    return {**table, "lines": lines, "left": left}


def warm(place: Place) -> None:
    """Begin to look at the open units before anybody asks; problems are said on the page."""
    with contextlib.suppress(Refused):
        _judged(place)


def _judged(place: Place) -> tuple[waiting.Unsold, int]:
    """What stands judged: everything where that takes a moment, else the units listed longest
    ago, while a thread goes through the others."""
    numbers, settings, today = place.now()
    memo = place.judged
    known = memo.as_of((today, *place.stamps()[1:]))
    rows, undated, in_work = waiting.told_apart(place.open_units(), today)
    marks = place.cached("open", lambda: [repr(sorted(row.items())) for row in rows])
    missing = [(mark, row) for mark, row in zip(marks, rows, strict=True) if mark not in known]

    def judge(some: Sequence[tuple[str, Mapping[str, Any]]]) -> None:
        made = waiting.judged([row for _, row in some], numbers, settings, today)
        known.update({mark: one for (mark, _), one in zip(some, made, strict=True)})

    def go_on() -> None:
        try:
            for begin in range(AT_ONCE, len(missing), AT_ONCE):
                if memo.known is not known:
                    return
                judge(missing[begin : begin + AT_ONCE])
        finally:
            memo.working = False

    if (begin := memo.begin(len(missing) > AT_ONCE)) or len(missing) <= AT_ONCE or not known:
        judge(missing[:AT_ONCE])
    if begin:
        threading.Thread(target=go_on, name="open units", daemon=True).start()
    found = [known[mark] for mark in marks if mark in known]
    parts = (today, found, undated, in_work, settings.coverage)
    together = place.cached(("together", len(found)), lambda: waiting.together(*parts))
    return together, len(rows) - len(found)


def with_acts(rows: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """Lines with the act that wrote each unit last, which a press must name."""
    acts = acts_of(here().home, [str(one["unit"]) for one in rows])
    return [{**one, "seen": acts.get(str(one["unit"]), 0)} for one in rows]


def mark_of(shown: Mapping[str, Any]) -> str:
    """All price drops that are due, as one short text: what a press on all of them agreed to."""
    said = repr([(one["unit"], one["to"]) for one in shown["rows"] if one["press"]])
    return hashlib.sha256(said.encode()).hexdigest()[:16]


def drops() -> AnyResponse:
    """Every price drop that is due, as one act with one undo."""
    place = here()
    form = fields.find("down", place.settings())
    back = list_of_changes.way_back("/unsold")
    if form is None:
        abort(400)

    def write() -> str:
        shown = still_here()
        if request.form.get("all") != mark_of(shown):
            what = "what is due has changed since you saw it"
            raise refused(what, "look at it again, then press")
        changed = {}
        for one in with_acts([one for one in shown["rows"] if one["press"]]):
            before = listed.typed(listed.one(place.home, one["unit"]) or {"own": {}})
            typed = {"ask": f"{one['to']:.10g}", "on": place.today().isoformat()}
            cells = fields.cells(form, typed, before, place.today())
            changed[str(one["unit"])] = (cells, int(one["seen"]))
        what = f"{len(changed)} price drops"
        act = by_hand.change_units(place.home, changed, place.settings(), place.today(), what)
        return f"{back}{'&' if '?' in back else '?'}done={act}"

    return redirect(list_of_changes.once(write), 303)


# ---- The first page: what is at hand today; of an empty home the ways in
MOST_DUE, MOST_SHOP = 6, 5  # lines on the first page; the rest stand behind a link


def first() -> str:
    """What is at hand today."""
    place = here()
    begun = place.home.data.exists()
    due, week = None, None
    try:
        due = still_here() if begun else None
        week = place.cached("week", lambda: _week(place)) if begun else None
    except Refused:  # nothing is learned, or nothing is there yet: the ways in stand there
        pass
    rows = [] if due is None else [one for one in due["rows"] if one["due"]]
    return render_template(
        "first.html",
        due=due,
        rows=with_acts(rows[:MOST_DUE]),
        n_due=len(rows),
        all_drops=mark_of(due) if due else "",
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
