"""The views at the quarter's end: what pays an hour, and the quarter on a page."""

import json
import subprocess
import tempfile
import threading
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from flask import Response, abort, make_response, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.basis import files, money_form, problems, rules
from pricing.basis.settings import Settings
from pricing.pages import compare_text
from pricing.pages.laid_out import place_of
from pricing.pages.quarter_page import SCRIPT_HASH
from pricing.pipeline import doubting, reporting
from pricing.quarter.groups import BY
from pricing.quarter.period import quarter_of, read_quarter
from pricing.record.store import has_record
from pricing.web import forms, list_of_changes, refit
from pricing.web.place import Place, here
from pricing.wording import stop_rule
from pricing.wording.first_page import figure, question

LONGEST = 120.0  # seconds that the making of a report may take
_ONE = threading.Lock()  # one report is made at a time: a second press waits for the first
REPORT_POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; frame-ancestors"
    " 'none'; sandbox"
)
ENDINGS = {".html": "text/html; charset=utf-8", ".csv": "text/csv; charset=utf-8"}


def compare() -> str | tuple[str, int]:
    """*What pays*."""
    if nothing := _nothing("What pays"):
        return nothing
    place, settings, today = here(), here().settings(), here().today()
    names = {name: name.replace("_", " ") for name in (*BY, *settings.attributes)}
    choices = {name: compare_text.NAMES.get(name, said) for name, said in names.items()}
    asked = (request.args.get("by", "type"), request.args.get("then", ""))
    by = list(dict.fromkeys(name for name in asked if name in choices)) or ["type"]
    args = (place.home, settings, today, by)
    compared = place.cached(("compare", *by), lambda: reporting.compare(*args, books=place.books()))
    return render_template(
        "compare.html",
        choices=list(choices.items()),
        by=by,
        asked=slips(),
        rules=place.cached("rules", lambda: _rules(place, settings)),
        front=compare_text.front_view(compared.front, settings.currency),
        shown=compare_text.worded(compared.comparison, settings.currency),
        legend=compare_text.LEGEND,
    )


def slips(unit: str = "") -> list[tuple[str, str, list[tuple[str, str]]]]:
    """The first value in doubt, of one unit or of all: the unit, what is asked, and what each press
    says and sends."""
    of, out = place_of(here().settings()), []
    for one in [one for one in here().books().doubts if unit in ("", one.unit)][:1]:
        presses = [(f"{figure(one.column, one.value, of)} is right", "right")]
        if one.likely is not None:
            said = f"It was {figure(one.column, one.likely, of)}"
            presses.insert(0, (said, f"{one.likely:.10g}"))
        out.append((one.unit, question(asdict(one), of), presses))
    return out


def answer_slip() -> AnyResponse:
    """A press on a value that looks like a slip: it is right, or it is what was likely meant."""
    place = here()
    unit, said = (request.form.get(name, "").strip()[: forms.LONGEST] for name in ("unit", "said"))
    if not unit or not said:
        abort(400)

    def write() -> str:
        doubting.answer(place.home, place.settings(), place.today(), unit, said)
        return list_of_changes.way_back("/compare")

    return redirect(list_of_changes.once(write), code=303)


def _rules(place: Place, settings: Settings) -> list[tuple[str, str, str]]:
    """Each rule as a sentence, its words, and what the press beside it does."""
    table = compare_text.rules_json(
        reporting.rules(place.home, settings, place.today(), place.books())
    )
    sign = money_form.place_of_money(settings.currency)
    own, new = table["own"], table["proposed"]
    found = [(f"Your rule: {stop_rule.did(one, sign)}", one["words"], "Drop it") for one in own]
    return found + [(stop_rule.proposed(one, sign), one["words"], "Take it over") for one in new]


def take_rule() -> AnyResponse:
    """A press on a rule worth taking over, named by its words; or on one's own, to drop it."""
    place = here()
    words = request.form.get("take", "")[: forms.LONGEST]

    def write() -> str:
        found = reporting.rules(place.home, place.settings(), place.today(), place.books())
        chosen = [one.rule for one in found.proposed if one.words == words]
        kept = [rule for rule in rules.load(place.home) if rule.words != words]
        since = place.today().toordinal()
        rules.keep(place.home, kept + [replace(rule, since=since) for rule in chosen[:1]])
        return "/compare"

    return redirect(list_of_changes.once(write), code=303)


def _nothing(heading: str) -> str:
    """The page of an empty home: no mistake, only the ways in. "" where there is a record."""
    if has_record(here().home):
        return ""
    return render_template("empty.html", heading=heading)


def report() -> str:
    """*This quarter*: the five sentences, and the way to the page itself."""
    if nothing := _nothing("This quarter"):
        return nothing
    table, folder = _made()
    return render_template(
        "report.html",
        table=table,
        asked=slips(),
        quarters=_quarters(table["quarter"]),
        files=sorted(path.name for path in folder.iterdir() if path.suffix == ".csv"),
    )


def report_page() -> Response:
    """The report file as written, under a policy of its own: nothing from elsewhere."""
    table, folder = _made()
    answer = _send(folder / f"quarter-{table['quarter']}.html", attached=False)
    back = f'<p class="back"><a href="/report?quarter={table["quarter"]}">Back</a></p>'
    answer.headers["Content-Security-Policy"] += f" allow-scripts; script-src {SCRIPT_HASH}"
    answer.set_data(answer.get_data().replace(b"<header>", b"<header>" + back.encode(), 1))
    return answer


def report_file() -> Response:
    """One of the sheets that go with the report."""
    name, (_, folder) = request.args.get("name", ""), _made()
    found = [path for path in folder.iterdir() if path.name == name and path.suffix in ENDINGS]
    return _send(found[0], attached=True) if found else abort(404)


def _send(path: Path, attached: bool) -> Response:
    answer = make_response(files.read_bytes(path))
    answer.headers["Content-Type"] = ENDINGS[path.suffix]
    answer.headers["Content-Security-Policy"] = REPORT_POLICY
    if attached:
        answer.headers["Content-Disposition"] = f'attachment; filename="{path.name}"'
    return answer


def _made() -> tuple[dict[str, Any], Path]:
    """The report of the address's quarter (else the last over), made once a state of the record."""
    place = here()
    given = request.args.get("quarter", "").strip()
    quarter = read_quarter(forms.short(given)).name if given else ""
    with _ONE:
        return place.cached(("report", quarter), lambda: _make(quarter))


def _make(quarter: str) -> tuple[dict[str, Any], Path]:
    """In a process of its own: what drawing and fitting take of memory would never come back."""
    place = here()
    folder = Path(tempfile.mkdtemp(dir=place.scratch()))
    told = ["--out", str(folder), *(["--quarter", quarter] if quarter else [])]
    command = refit.own_command("report", place.home, place.today(), *told)
    how: Any = {"stdin": subprocess.DEVNULL, "capture_output": True, "encoding": "utf-8"}
    try:
        done = subprocess.run(command, timeout=LONGEST, check=False, env=refit.aside(), **how)
    except subprocess.TimeoutExpired as error:
        fix = "run pricing report in a terminal window"
        raise problems.refused("the report took too long", fix) from error
    if done.returncode == 1 and (problem := problems.told_by(done.stderr)) is not None:
        raise problems.Refused(problem)
    if done.returncode != 0:
        raise RuntimeError(f"pricing report ended with {done.returncode}: {done.stderr[-2000:]}")
    return json.loads(done.stdout), folder


def _quarters(name: str) -> list[str]:
    """The quarter shown and the seven before today's, to choose from."""
    found = [quarter_of(here().today())]
    while len(found) < 8:
        found.append(found[-1].before)
    names = [one.name for one in found]
    return names if name in names else [*names, name]
