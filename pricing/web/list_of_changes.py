"""Changes of the record on the page: once a press, each with its undo; and sheets dropped there."""

import secrets
import shutil
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

from flask import abort, current_app, redirect, render_template, request
from werkzeug.utils import secure_filename
from werkzeug.wrappers import Response as AnyResponse

from pricing.basis import files
from pricing.basis.problems import Problem, Refused, refused
from pricing.ingest import Answers
from pricing.pipeline import adding, keeping
from pricing.pipeline.adding import Added
from pricing.record import entries
from pricing.web import listed, read_report, shown
from pricing.web.place import here, keep_last
from pricing.web.read_report import choices, header_answers, shown_report, without_options

MOST_SHEETS = 4  # sheets that wait for a word; the oldest goes


@dataclass(frozen=True)
class Done:
    """What was just done, in words, and the entry that takes it back."""

    said: str
    undo: int | None
    back: str


@dataclass
class UnaddedSheets:
    """Sheets read but not yet added: by a number nobody can guess, each in its folder."""

    sheets: dict[str, tuple[Path, tuple[str, ...]]] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def keep(self, name: str, data: bytes) -> str:
        with self.lock:
            number = secrets.token_urlsafe(12)
            path = here().scratch() / number / name
            files.write_bytes(path, data)
            for old, _ in keep_last(self.sheets, number, (path, ()), MOST_SHEETS):
                shutil.rmtree(old.parent, ignore_errors=True)
            return number

    def answered(self, number: str, said: tuple[str, ...]) -> None:
        with self.lock:
            self.sheets[number] = (self.sheets[number][0], said)

    def find(self, number: str) -> tuple[Path, tuple[str, ...]]:
        with self.lock:
            if number not in self.sheets:
                raise refused("that sheet is no longer waiting here", "choose it once more")
            return self.sheets[number]

    def drop(self, number: str) -> None:
        with self.lock:
            path, _ = self.sheets.pop(number, (None, ()))
            if path is not None:
                shutil.rmtree(path.parent, ignore_errors=True)


def once(write: Callable[[], str]) -> str:
    """Do a change for a form's first press; every press of it leads to the same place."""
    place = here()
    number = request.form.get("form_number", "")[:64]
    if not number:
        abort(400)
    before = place.first_press(number)
    if before is not None:
        return before or "/records"
    try:
        to = write()
    except BaseException:
        place.pressed(number, None)
        raise
    place.pressed(number, to)
    place.refit.changed()
    return to


def done(back: str) -> Done | None:
    """What the change named in the address did, in words of the record."""
    if request.args.get("same"):
        return Done("Nothing to change: that is what the record says already.", None, back)
    ledger, number = _ledger(), act_of(request.args.get("done", ""))
    entry = None if number is None else ledger.find(number)
    if entry is not None and entry.kind == "undo":
        return Done(f"Taken back: {entry.words}.", None, back)
    if entry is None or entry.number in ledger.undone:
        return None
    return Done(f"Saved: {entry.words}.", entry.number, back)


def act_of(text: str) -> int | None:
    """The number of an act in an address or a form; None where there is none."""
    return int(text) if text.isdigit() and len(text) < 10 else None


def changes() -> str:
    """Files that were added and changes that were made, the last first, each with its undo."""
    ledger = _ledger()
    told = []
    for entry in [entry for entry in reversed(ledger.entries) if entry.kind != "undo"][:200]:
        undone = entry.number in ledger.undone
        rows = f"{entry.rows:,} row{'s' if entry.rows != 1 else ''}"
        little = f"{shown.day(entry.day)} · {rows}{' · taken back' if undone else ''}"
        told.append((entry, little, undone))
    return render_template("changes.html", entries=told, done=done("/records/changes"))


def way_back(else_to: str) -> str:
    """Where a press came from."""
    back = request.form.get("back", "")[:500]
    ours = ("/records", "/unsold", "/settings", "/compare", "/report")
    known = back == "/" or back.startswith(ours)
    return back if known else else_to


def undo() -> AnyResponse:
    """Take one change back, or bring it back where it was taken back."""
    place, ledger, number = here(), _ledger(), act_of(request.form.get("entry", ""))
    if number is None:
        abort(400)
    entry = ledger.find(number)
    if entry is None or entry.kind == "undo":
        raise refused("that change is not in your record", "look in the list of changes")
    back = way_back("/records")
    bring_back = request.form.get("way") == "back"

    def write() -> str:
        and_so = "&" if "?" in back else "?"
        # Another window did it already: a second undo must not bring it back
        if bring_back != (number in ledger.undone):
            return f"{back}{and_so}same=1"
        made = keeping.undo(place.home, str(number), place.today(), back=bring_back)
        return f"{back}{and_so}done={made.entry.number}"

    to = once(write)
    unit = parse_qs(urlsplit(back).query).get("unit", [""])[0]
    if back.startswith("/records/unit") and listed.one(place.home, unit) is None:
        to = to.replace(back, "/records", 1).replace("/records&", "/records?", 1)
    return redirect(to, 303)


def file() -> str | AnyResponse | tuple[str, int]:
    """Choose or drop a sheet; it is read, shown, and waits for a word."""
    waiting = _waiting()
    if request.method == "GET":
        names = [(number, path.name) for number, (path, _) in waiting.sheets.items()]
        return render_template("add_file.html", above=(), sheets=names)
    given = request.files.get("file")
    if given is None or not given.filename:
        none = Problem("no file came along", "choose your sheet first")
        return render_template("add_file.html", above=(none,)), 422
    number = waiting.keep(_name(given.filename), given.read())
    try:
        return _reading(number)
    except Refused as refusal:
        return _not_read(number, refusal)


def read() -> str | AnyResponse | tuple[str, int]:
    """The sheet read again: with answers, other meanings of headings, or cells typed anew."""
    number, form, waiting = request.values.get("kept", ""), request.form, _waiting()
    if request.method == "GET" and not number:
        return redirect("/records/file", 303)
    path, said = waiting.find(number)
    if form.get("drop"):
        waiting.drop(number)
        return redirect("/records/file", 303)
    answers = (answer[:500] for answer in form.getlist("answer")[:9])
    waiting.answered(number, (*said, *answers, *read_report.headers_said(form)))
    if form.getlist("line"):
        cells = zip(*(form.getlist(name) for name in ("line", "column", "text")), strict=True)
        data = read_report.mended(path.read_bytes(), _read(number).reading, list(cells))
        files.write_bytes(path, data)
    try:
        return _reading(number)
    except Refused as refusal:
        if not refusal.columns:
            waiting.answered(number, said)
        return _not_read(number, refusal)


def _not_read(number: str, refusal: Refused) -> tuple[str, int]:
    """Why a sheet could not be read; it waits on where a press can answer that."""
    problems = refusal.problems
    answers, headers = header_answers(problems), _answers(_waiting().find(number)[1]).headers
    columns = [(text, headers.get(text, ours), seen) for text, ours, seen in refusal.columns]
    above = [
        without_options(problem, "say below which one it is" if answers or columns else "")
        for problem in problems
    ]
    if not answers and not columns:
        _waiting().drop(number)
    told = {"answers": answers, "columns": columns, "choices": choices()}
    return render_template("add_file.html", above=above, kept=number, **told), 422


def _read(number: str) -> Added:
    """The sheet as it would be added now; nothing is written."""
    place, (path, said) = here(), _waiting().find(number)
    told = (place.home, path, place.settings(), place.today(), _answers(said))
    return adding.add(*told, dry_run=True)


def _reading(number: str) -> str:
    added, name = _read(number), _waiting().find(number)[0].name
    told = {"name": name, "kept": number, "done": done(f"/records/read?kept={number}")}
    return render_template("read_file.html", **told, **shown_report(added))


def _answers(said: tuple[str, ...]) -> Answers:
    answers = Answers()
    try:
        for option in said:
            answers = adding.answered(answers, option)
    except (AssertionError, ValueError):
        abort(400)  # no button of ours says that
    return answers


def add() -> AnyResponse:
    """Add the sheet that was shown."""
    place = here()
    number = request.form.get("kept", "")

    def write() -> str:
        path, said = _waiting().find(number)
        added = adding.add(place.home, path, place.settings(), place.today(), _answers(said))
        told = f"done={added.entry.number}" if added.entry else "same=1"
        if added.rejected:  # what was left out goes on waiting, in sight
            return f"/records/read?kept={number}&{told}"
        _waiting().drop(number)
        return f"/records?show=all&{told}"

    return redirect(once(write), 303)


def _ledger() -> entries.Ledger:
    return entries.load(here().home)


def _waiting() -> UnaddedSheets:
    return current_app.config["WAITING"]


def _name(given: str) -> str:
    """The person's own file name, without anything that is a path."""
    return secure_filename(given)[:80] or "sheet.csv"
