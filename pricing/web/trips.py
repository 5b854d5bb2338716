"""Rows of the record that are no units: a drive that brought nothing, a call that was passed on, an
expense. They count in hours and money."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from flask import abort, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.basis.problems import Refused
from pricing.basis.said_number import mark_of
from pricing.basis.settings import Settings
from pricing.pipeline import by_hand
from pricing.web import asked, fields, forms, list_of_changes, steps
from pricing.web.forms import Field, Filled
from pricing.web.listed import NOT_UNITS
from pricing.web.place import here
from pricing.web.steps import StepForm

KINDS = ("trip", "call", "expense")
REASONS = (
    "not as told", "gone already", "nobody there", "wanted too much", "could not be moved",
    "not worth the drive",
)  # fmt: skip
BOUGHT = ("tools", "supplies", "dump fee", "truck repair", "advertising", "phone")
NEEDED = {"expense": (("expense", "How much?"), ("note", "What for?"))}


def form_of(kind: str, settings: Settings) -> StepForm:
    """The small form of one of KINDS; it also puts such a row right."""
    money = fields.money_ends(settings)
    day = Field("got", "On", "date")
    if kind == "expense":
        form: tuple[Field, ...] = (
            Field("expense", "How much", "money", ends=money, low=0.01, high=1e7),
            Field("note", "What for", complete="reason"),
            day,
        )
        return StepForm(
            kind,
            "Write down an expense",
            "Write it down",
            form,
            {"outcome": "expense"},
            today="got",
        )
    what, why = replace(fields.TYPE, words="What was it"), Field("note", "Why", complete="reason")
    if kind == "call":
        minutes = Field("minutes", "Time it took", "number", ends="min", low=0, high=1_000)
        return StepForm(
            kind,
            "Write down a call passed on",
            "Write it down",
            (what, minutes, why, day),
            {"outcome": "trip"},
            today="got",
        )
    by_miles = "leave empty: worked out from the distance"
    form = (
        what,
        Field(
            "miles", "How far, one way", "number", ends=settings.distance_unit, low=0, high=2_000
        ),
        Field("drive_min", "Time in all", "number", by_miles, "min", low=0, high=6_000),
        Field("haul_cost", "Truck and tolls", "money", by_miles, money, low=0, high=1e6),
        why,
        day,
    )
    return StepForm(
        kind, "Write down a wasted trip", "Write it down", form, {"outcome": "trip"}, today="got"
    )


def kind_of(row: Mapping[str, Any]) -> str:
    """Which form such a row came from: a trip without a drive is a call."""
    if row.get("outcome") == "expense":
        return "expense"
    drove = any(row.get(name) is not None for name in ("miles", "drive_min", "haul_cost"))
    return "trip" if drove or row.get("hours") is None else "call"


def correction(row: Mapping[str, Any], settings: Settings) -> tuple[StepForm, ...]:
    """What can be done with a row that is no unit: put it right."""
    return (
        replace(
            form_of(kind_of(row), settings),
            words="Put something right",
            button="Save",
            done="put right",
        ),
    )


def typed(row: Mapping[str, Any]) -> dict[str, str]:
    """What the form of such a row shows beside its columns: the minutes of a call, and its day, in
    whichever column a sheet had it."""
    if row.get("outcome") not in NOT_UNITS:
        return {}
    day = next((row[name] for name in ("sold", "got", "listed") if row.get(name) is not None), None)
    return (
        {"minutes": f"{60 * float(row['hours']):.4g}"} if row.get("hours") is not None else {}
    ) | ({"got": day.isoformat()} if day is not None else {})


def cells(form: StepForm, filled: Filled) -> dict[str, str]:
    """The columns that a press writes: minutes of a call are its hours; it has one day."""
    row = steps.cells(form, forms.plain(filled), {}, here().today()) | {"sold": "", "listed": ""}
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
    import pyarrow as pa
    import pyarrow.compute as pc

    table = here().table()
    rows = table.filter(
        pc.is_in(
            pc.fill_null(table.column("outcome"), ""),
            pa.array(["expense" if kind == "expense" else "trip"]),
        )
    )
    own = [
        note
        for note in reversed(rows.column("note").to_pylist()[-200:])
        if note and len(note) <= 60
    ]
    return {
        **asked.completing(),
        "reason": list(dict.fromkeys([*own, *(BOUGHT if kind == "expense" else REASONS)]))[:40],
    }


def new_row(kind: str) -> str | AnyResponse | tuple[str, int]:
    """Write down a row that is no unit."""
    if kind not in KINDS:
        abort(404)
    place = here()
    form = form_of(kind, place.settings())
    if request.method == "GET":
        given = {
            one.name: request.args[one.name][: forms.LONGEST]
            for one in form.fields
            if request.args.get(one.name)
        }
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
        beside, above = forms.place_problems(refusal.problems, form.fields, filled.typed)
        return _page(form, Filled({}, filled.typed, beside), above), 409


def _page(form: StepForm, filled: Filled, above: Sequence[Any] = ()) -> str:
    return render_template(
        "new_unit.html",
        step=form,
        filled=filled,
        above=above,
        own=completing(form.name),
        to=f"/records/new/{form.name}",
    )
