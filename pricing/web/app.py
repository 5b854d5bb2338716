"""The page as one application: paths and views, what every page shows, how mistakes are said."""

import logging
import time
from collections.abc import Callable, Sequence
from datetime import date
from typing import Any

from flask import Flask, current_app, render_template, request
from werkzeug.datastructures import FileStorage
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response as AnyResponse

from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.web import (
    answers,
    fields,
    guard,
    list_of_changes,
    pays,
    record,
    set_up,
    shown,
    still_here,
    trips,
)
from pricing.web.place import Place, form_number, here
from pricing.web.refit import Refit

# path, name, the person's words, short words for the bar at the bottom
PAGES: tuple[tuple[str, str, str, str], ...] = (
    ("/offer", "offer", "Before the drive", "Drive"),
    ("/bench", "bench", "On the bench", "Bench"),
    ("/ask", "ask", "Set the ask", "Ask"),
    ("/unsold", "unsold", "Still here", "Still here"),
    ("/compare", "compare", "What pays", "Pays"),
    ("/report", "report", "This quarter", "Quarter"),
    ("/records", "records", "My list", "List"),
)
SAID = {
    400: "This request could not be read.",
    401: "This page needs its key.",
    403: "This was not done.",
    404: "There is no such page.",
    405: "This cannot be done here.",
    413: (
        "That is too large for this page: 25 MB at most. For a larger sheet, run pricing add FILE"
        " in a terminal window."
    ),
    415: "This page takes forms only.",
    429: "Too many wrong keys from here. Wait a minute.",
}
# Every address: those that show, those that a press writes to, those that do either
SHOWS = {
    "/": still_here.first, "/offer": answers.offer, "/bench": answers.bench, "/ask": answers.ask,
    "/unsold": still_here.unsold, "/unsold/card": answers.card, "/compare": pays.compare,
    "/report": pays.report, "/report/page": pays.report_page, "/report/file": pays.report_file,
    "/records": record.records, "/records/unit": record.unit,
    "/records/changes": list_of_changes.changes, trips.PATH: trips.seen,
}  # fmt: skip
WRITES = {
    "/demo": still_here.demo, "/unsold/drops": still_here.drops, "/compare/slip": pays.answer_slip,
    "/compare/rule": pays.take_rule, "/records/step": record.step,
    "/records/undo": list_of_changes.undo, "/records/add": list_of_changes.add,
    trips.PATH: trips.write_seen,
}  # fmt: skip
DOES_BOTH = {
    record.NEW: record.new_unit, f"{record.NEW}/<kind>": trips.new_row,
    "/settings": set_up.settings,
    "/records/file": list_of_changes.file, "/records/read": list_of_changes.read,
}  # fmt: skip
NOT_TYPED = (
    "key", "seen", "step", "entry", "back", "kept", "answer", "answer_of", "question", "what",
    "form_token", "form_number",
)  # fmt: skip
log = logging.getLogger("pricing.web")


def make_app(
    home: Home,
    hosts: frozenset[str],
    *,
    token: str | None = None,
    today: Callable[[], date] = date.today,
    clock: Callable[[], float] = time.monotonic,
    refit: Refit | None = None,
) -> Flask:
    """The application of one home. hosts: Host headers it answers to; token: for home Wi-Fi."""
    app = Flask("pricing.web")
    app.url_map.merge_slashes = False
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.config["PLACE"] = place = Place(home, today, refit or Refit(home, today))
    app.config["WARM"] = lambda: still_here.warm(place)
    guard.install(app, hosts, token, clock)
    app.config |= {"DEMO": None, "WAITING": list_of_changes.UnaddedSheets()}
    app.before_request(_still_there)
    every = {"/learning": _learning, **SHOWS}
    for methods, views in ((["GET"], every), (["POST"], WRITES), (["GET", "POST"], DOES_BOTH)):
        for path, view in views.items():
            app.add_url_rule(path, view.__name__.strip("_"), view, methods=methods)  # type: ignore
    app.context_processor(_on_every_page)
    shown.add_filters(app)
    app.register_error_handler(guard.StaleForm, _once_more)
    app.register_error_handler(Refused, _refused)
    app.register_error_handler(HTTPException, _http_problem)
    app.register_error_handler(Exception, _our_bug)
    return app


def _still_there() -> None:
    if request.endpoint not in ("static", "first", "learning"):
        here().still_there()


def _learning() -> dict[str, str]:
    """The state of learning, for the small script."""
    state = here().refit.state()
    return {"state": state.state, "said": state.said}


def _on_every_page() -> dict[str, Any]:
    place, at = here(), request.path
    return {
        "pages": PAGES,
        "page_now": next((name for path, name, *_ in PAGES if f"{at}/".startswith(f"{path}/")), ""),
        "learning": place.refit.state(),
        "demo": place.home.is_demo,
        "looking": place is not current_app.config["PLACE"],
        "today": place.today(),
        "form_token": current_app.config["FORM_TOKEN"],
        "say_it": fields.say_it,
        "unit_field": fields.unit_of_list,
        "form_number": form_number,
    }


def _page(
    code: int, title: str, problems: Sequence[Problem] = (), said: str = ""
) -> tuple[str, int]:
    return render_template("problem.html", title=title, problems=problems, said=said), code


def _refused(refusal: Refused) -> tuple[str, int]:
    """What cannot be served: the sentence, and how to mend it; what was typed stays."""
    if request.method == "POST":
        return _keep_typing("That did not work", refusal.problems), 409
    return _page(409, "That did not work", refusal.problems)


def _http_problem(error: HTTPException) -> AnyResponse | tuple[str, int]:
    code = error.code or 500
    if error.response is not None and code < 400:
        return error.get_response()
    own = error.description if error.description != type(error).description else ""
    given = own if code in (400, 401, 403, 429) else ""
    return _page(code, SAID.get(code, "This page could not be shown."), said=given or "")


def _once_more(stale: guard.StaleForm) -> tuple[str, int]:
    """The form is from before the last start: it is kept, and one more press sends it."""
    said = "The page was started again since you opened this form. What you typed is below."
    return _keep_typing("Press once more", said=said), 403


def _keep_typing(title: str, problems: tuple[Problem, ...] = (), said: str = "") -> str:
    """A page that holds what a form sent, to send it again."""
    typed = request.form.items(multi=True)
    kept = [one for one in typed if one[0] not in ("form_token", "form_number")]
    files = (file for file in request.files.values() if isinstance(file, FileStorage))
    return render_template(
        "once_more.html",
        title=title,
        problems=problems,
        said=said,
        kept=[(name, value) for name, value in kept if len(value) < 10_000],
        hidden=NOT_TYPED,
        has_file=any(file.filename for file in files),
        to=request.full_path.rstrip("?"),
    )


def _our_bug(error: Exception) -> tuple[str, int]:
    log.error("could not answer %s", request.path, exc_info=error)
    said = (
        "Nothing was changed. Go back and try another way; the window where the page was started"
        " shows what to report."
    )
    return _page(500, "This is a mistake of the program, not yours", said=said)
