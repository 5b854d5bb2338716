"""Rows that are no units but cost hours or money: a drive for nothing, a call, an expense."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any
from urllib.parse import urlencode

from flask import abort, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.basis.problems import Refused
from pricing.basis.said_number import mark_of
from pricing.basis.settings import Settings
from pricing.pipeline import by_hand, seeing
from pricing.record import ad_rows
from pricing.record.current import rows_at
from pricing.web import asked, fields, forms, list_of_changes
from pricing.web.fields import StepForm
from pricing.web.forms import Filled
from pricing.web.listed import NOT_UNITS
from pricing.web.place import here

KINDS = ("trip", "call", "expense")
REASONS = (
    "not as told", "gone already", "nobody there", "wanted too much", "could not be moved",
    "not worth the drive",
)  # fmt: skip
BOUGHT = ("tools", "supplies", "dump fee", "truck repair", "advertising", "phone")
NEEDED = {"expense": (("expense", "How much?"), ("note", "What for?"))}


def kind_of(row: Mapping[str, Any]) -> str:
    """Which form such a row came from: a trip without a drive is a call."""
    if row.get("outcome") == "expense":
        return "expense"
    drove = any(row.get(name) is not None for name in ("miles", "drive_min", "haul_cost"))
    return "trip" if drove or row.get("hours") is None else "call"


def correction(row: Mapping[str, Any], settings: Settings) -> tuple[StepForm, ...]:
    """What can be done with a row that is no unit: put it right."""
    form = fields.step(kind_of(row), settings)
    return (replace(form, words="Put something right", button="Save", done="put right"),)


def typed(row: Mapping[str, Any]) -> dict[str, str]:
    """What the form of such a row shows beside its columns: the minutes of a call, and its day."""
    if row.get("outcome") not in NOT_UNITS:
        return {}
    shown = {}
    if row.get("hours") is not None:
        shown["minutes"] = f"{60 * float(row['hours']):.4g}"
    days = [row[name] for name in ("sold", "got", "listed") if row.get(name) is not None]
    return shown | ({"got": days[0].isoformat()} if days else {})


def cells(form: StepForm, filled: Filled) -> dict[str, str]:
    """The columns that a press writes: minutes of a call are its hours; it has one day."""
    row = fields.cells(form, forms.plain(filled), {}, here().today()) | {"sold": "", "listed": ""}
    if "minutes" in row:
        minutes = row.pop("minutes")
        row["hours"] = f"{float(minutes) / 60:.4f}" if minutes else ""
    return row


def checked(form: StepForm, given: Mapping[str, str]) -> Filled:
    """The form as it was sent, with what is missing said beside its field."""
    filled = forms.read(form.fields, given, mark=mark_of(here().settings()))
    for name, question in NEEDED.get(form.name, ()):
        if name not in filled.typed:
            filled = forms.with_wrong(filled, name, question)
    return filled


def completing(kind: str) -> dict[str, Sequence[str]]:
    """The person's own reasons first, the last one leading, then usual ones."""
    what, usual = ("expense", BOUGHT) if kind == "expense" else ("trip", REASONS)
    rows = rows_at(here().home, here().standing().having([what])[-200:])
    notes = reversed(rows.column("note").to_pylist())
    own = [note for note in notes if note and len(note) <= 60]
    return {**asked.completing(), "reason": list(dict.fromkeys([*own, *usual]))[:40]}


def new_row(kind: str) -> str | AnyResponse | tuple[str, int]:
    """Write down a row that is no unit."""
    if kind not in KINDS:
        abort(404)
    place = here()
    form = fields.step(kind, place.settings())
    if request.method == "GET":
        given = forms.given(form.fields, request.args)
        return _page(form, Filled(typed={"got": place.today().isoformat(), **given}))
    filled = checked(form, request.form)
    if filled.wrong:
        return _page(form, filled), 422
    row = {name: value for name, value in cells(form, filled).items() if value}

    def write() -> str:
        _, act = by_hand.new_row(place.home, kind, row, place.settings(), place.today())
        return f"/records?show=other&done={act}"

    try:
        to = redirect(list_of_changes.once(write), 303)
        return asked.keep_calls(to, settled=request.form.get("question", ""))
    except Refused as refusal:
        again, above = forms.refused_form(refusal.problems, form.fields, filled)
        return _page(form, again, above), 409


def _page(form: StepForm, filled: Filled, above: Sequence[Any] = ()) -> str:
    told = {"step": form, "filled": filled, "above": above, "own": completing(form.name)}
    return render_template("new_unit.html", **told, to=f"/records/new/{form.name}")


# ---- *Ads you saw*: one field for a sentence or pasted text of several ads, and those written
# down
PATH = "/records/seen"
SHOWN = 200


def seen() -> str:
    """The ads that count, the last first."""
    ads = ad_rows.read(here().home)[::-1][:SHOWN]
    return render_template("seen.html", ads=ads, done=list_of_changes.done(PATH), above=())


def write_seen() -> str | AnyResponse:
    """Write the field's ads down; where one cannot be read nothing is, and the text stays."""
    place = here()
    typed = {name: request.form.get(name, "")[:20_000] for name in ("said", "where")}
    found, problems = seeing.said_in(
        typed["said"], place.settings(), place.today(), seeing.words_of(place.home), typed["where"]
    )
    if problems or not found:
        return render_template("seen.html", ads=(), done=None, above=problems, **typed)

    def write() -> str:
        entry = seeing.keep(place.home, found, place.today())
        return f"{PATH}?{urlencode({'done': entry.number})}"

    return redirect(list_of_changes.once(write), 303)
