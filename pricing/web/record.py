"""*My list*: every unit, the forms that move it on, dropped sheets, and each change's undo."""

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import parse_qsl, urlencode

from flask import abort, make_response, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.advice import cautions
from pricing.basis.columns import ENDED, OUTCOMES
from pricing.basis.problems import Problem, Refused, refused
from pricing.basis.said_number import mark_of
from pricing.pipeline import by_hand, reporting
from pricing.web import asked, fields, forms, kept_answers, list_of_changes, listed, pays, trips
from pricing.web.fields import StepForm
from pricing.web.forms import Filled
from pricing.web.place import here

KEPT_COOKIE = "last_got"  # the habits of the last unit written down: where from, how far
NEW = "/records/new"
KEPT = ("got_from", "sold_where", "sell_min", "clean_min", "warranty_days")


def records() -> str:
    """The list, one page of it."""
    given = {"show": "open"} | request.args.to_dict()
    tab, search, sort = (given.get(name, "").strip()[:200] for name in ("show", "q", "sort"))
    place = here()
    page = listed.page_of(request.args.get("page", ""))
    found = listed.listed(place.home, place.standing(), tab, search, page, sort)
    told = {"show": tab, **({"q": search} if search else {}), **({"sort": sort} if sort else {})}
    return render_template(
        "records.html",
        found=found,
        tab=tab,
        tabs=listed.TABS,
        sorts=listed.SORTS,
        states=[name for name in OUTCOMES if name in found.counts],
        search=search,
        sort=sort,
        link=lambda **changed: f"/records?{urlencode({**told, **changed})}",
        done=list_of_changes.done("/records"),
    )


def unit() -> str | tuple[str, int]:
    """One unit: what happened next, what is known of it, how it went."""
    key = request.args.get("unit", "")
    row = _row(key)
    if row is None:
        raise refused(f"there is no unit {forms.short(key)} in your list", "look for it in My list")
    opened = _form(request.args.get("open", ""), row)
    filled = {}
    if opened is not None:  # an answer leads here with its amount filled in
        given = forms.given(opened.fields, request.args)
        filled[opened.name] = Filled(typed={**_filled(opened, row).typed, **given})
    done = list_of_changes.done(f"/records/unit?{urlencode({'unit': row['key']})}")
    return _unit_page(row, filled, opened=opened.name if opened else "", done=done)


def _unit_page(
    row: Mapping[str, Any],
    filled: Mapping[str, Filled],
    above: Any = (),
    opened: str = "",
    done: Any = None,
) -> str:
    place, key, outcome = here(), str(row["key"]), str(row.get("outcome") or "")
    settings = place.settings()
    every = (*fields.steps_of(outcome, settings), fields.correction(settings))
    if outcome in listed.NOT_UNITS:
        every = trips.correction(row, settings)
    shown = {one.name: _filled(one, row) for one in every} | dict(filled)
    if outcome in fields.OPEN:
        stage = cautions.SALE if outcome == "listed" else cautions.BENCH
        verdict = cautions.verdict_on(row, stage, settings, place.today())
        above = (*kept_answers.as_problems(verdict), *above)
    return render_template(
        "unit.html",
        unit=row,
        steps=every,
        filled=shown,
        above=above,
        opened=opened,
        done=done,
        is_open=outcome in fields.OPEN,
        earned=reporting.brought(place.books(), key, settings) if outcome in ENDED else "",
        slips=pays.slips(key) if outcome in ENDED else [],
        is_unit=outcome not in listed.NOT_UNITS,
        facts=listed.facts(row, place.today(), settings),
        history=listed.history(place.home, key, place.today(), settings),
        own=trips.completing(every[0].name) if outcome in listed.NOT_UNITS else asked.completing(),
    )


def _form(name: str, row: Mapping[str, Any]) -> StepForm | None:
    """One of the small forms that a row has, by its name."""
    settings = here().settings()
    if row.get("outcome") in listed.NOT_UNITS:
        return next((one for one in trips.correction(row, settings) if one.name == name), None)
    return fields.find(name, settings)


def _filled(one: StepForm, row: Mapping[str, Any]) -> Filled:
    """A form as the unit stands: what is known, habits, today where it asks for a day."""
    known = {**_habits(), **listed.typed(row), **trips.typed(row)}
    return Filled(typed=fields.shown(one, known, here().today()))


def _habits() -> dict[str, str]:
    kept = parse_qsl(request.cookies.get(KEPT_COOKIE, "")[: asked.REMEMBERED])
    return {name: value for name, value in kept if name in KEPT}


def new_unit() -> str | AnyResponse | tuple[str, int]:
    """Write down a unit."""
    place = here()
    form = fields.step("got", place.settings())
    if request.method == "GET":
        words = request.args.get("words", "")[: forms.LONGEST]
        of_words, read, dangers = kept_answers.of_words(words) if words else ({}, "", ())
        typed = {**of_words, **_told_already(form)}
        return _unit_form(form, Filled(typed=typed), dangers, words=words, read=read)
    filled = forms.read(form.fields, request.form, mark=mark_of(here().settings()))
    if not filled.values.get("type"):
        what = "What is it? Electric dryer, front-load washer, gas range, …"
        filled = forms.with_wrong(filled, "type", what)
    if filled.wrong:
        return _unit_form(form, filled), 422
    told = {**fields.cells(form, forms.plain(filled), {}, place.today()), **_extra_cells()}
    cells = {name: value for name, value in told.items() if value}
    why, settings = request.form.get("what", "got")[:20], place.settings()

    def write() -> str:
        unit, act = by_hand.new_unit(place.home, cells, settings, place.today(), why)
        _keep_answer(unit)
        return _to_unit(unit, act)

    try:
        to = _with_habits(list_of_changes.once(write), filled)
        return asked.keep_calls(to, settled=request.form.get("question", ""))
    except Refused as refusal:
        again, above = forms.refused_form(refusal.problems, form.fields, filled)
        return _unit_form(form, again, above), 409


def _keep_answer(unit: str) -> None:
    """Keep the answer that a unit came from."""
    name, query = request.form.get("answer_of", ""), request.form.get("question", "")
    kept_answers.keep_answer(name, query, unit)


def _told_already(form: StepForm) -> dict[str, str]:
    """What stands in a fresh form: today, where units come from, what the address says."""
    usual = {name: value for name, value in _habits().items() if name == "got_from"}
    known = {one.name for one in form.fields}
    given = {name: value for name, value in request.args.items() if name in known}
    return {"got": here().today().isoformat(), **usual, **given}


def _unit_form(form: StepForm, filled: Filled, above: Sequence[Problem] = (), **more: str) -> str:
    told = {"step": form, "filled": filled, "above": above, "own": asked.completing(), "to": NEW}
    return render_template("new_unit.html", in_words=request.method == "GET", **told, **more)


def _extra_cells() -> dict[str, str]:
    """Columns that come along with a unit kept from an answer and are in no field of the form."""
    names = ("condition", "found", "repair", "listed", "asked", "outcome", "size")
    told = {name: request.form.get(name, "").strip()[: forms.LONGEST] for name in names}
    return {name: text for name, text in told.items() if text}


def step() -> str | AnyResponse | tuple[str, int]:
    """One of the small forms of a unit."""
    place, missing = here(), "in your list any more"
    key, seen = request.form.get("key", ""), list_of_changes.act_of(request.form.get("seen", ""))
    row = _row(key)
    if row is None:
        raise refused(f"there is no unit {forms.short(key)} {missing}", "look for it in My list")
    form = _form(request.form.get("step", ""), row)
    if form is None or seen is None:
        abort(400)
    filled = trips.checked(form, request.form)
    needed = {"sold": "price", "list": "ask", "down": "ask", "offer": "offer"}.get(form.name)
    if needed and needed not in filled.typed:
        filled = forms.with_wrong(filled, needed, "How much?")
    if filled.wrong:
        return _unit_page(row, {form.name: filled}, opened=form.name), 422
    cells = trips.cells(form, filled) if form.name in trips.KINDS else None
    cells = cells or fields.cells(form, forms.plain(filled), listed.typed(row), place.today())
    told = (cells, seen, place.settings(), place.today(), form.done or form.words.lower())

    def write() -> str:
        _, act = by_hand.change_unit(place.home, key, *told)
        _keep_answer(key)
        return _after(form, key, act, cells)

    try:
        return _with_habits(list_of_changes.once(write), filled)
    except Refused as refusal:
        again, above = forms.refused_form(refusal.problems, form.fields, filled)
        return _unit_page(_row(key) or row, {form.name: again}, above, form.name), 409


def _after(form: StepForm, key: str, act: int, cells: Mapping[str, str]) -> str:
    """Where a press leads: back to where the step was due; a buyer's bid to what to say to it."""
    if form.name == "offer":
        bid = cells["offers"].rpartition(":")[2]
        return "/ask?" + urlencode({"unit": key, "offered": bid, "done": act or 0})
    back = list_of_changes.way_back("")
    if not back or not act:
        return _to_unit(key, act)
    return f"{back}{'&' if '?' in back else '?'}done={act}"


def _to_unit(key: str, entry: int) -> str:
    done = {"done": entry} if entry else {"same": 1}
    return "/records/unit?" + urlencode({"unit": key, **done})


def _with_habits(to: str, filled: Filled) -> AnyResponse:
    """On to the next page; where units come from and sell is kept by this browser."""
    answer = make_response(redirect(to, 303))
    kept = _habits() | {name: text for name, text in filled.typed.items() if name in KEPT}
    text = urlencode(kept)
    if kept and len(text) <= asked.REMEMBERED:
        asked.remember(answer, KEPT_COOKIE, text)
    return answer


def _row(key: str) -> Mapping[str, Any] | None:
    return listed.one(here().home, key)
