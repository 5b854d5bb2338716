"""*Settings*: every key with meaning, unit, default and its source; first questions first."""

from collections.abc import Mapping, Sequence
from typing import Any
from urllib.parse import urlencode

from flask import redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.basis.problems import Problem, Refused
from pricing.basis.said_number import mark_of
from pricing.basis.settings import KEYS, Key
from pricing.basis.settings_file import DEFAULT, shown, written
from pricing.pages.quarter_words import capital
from pricing.pipeline import setting_up
from pricing.web import forms, list_of_changes
from pricing.web.forms import Field, Filled
from pricing.web.place import here


def _fields() -> list[Field]:
    """One field a key, those that the first evening asks about first; empty is the default."""
    asked = {one.key: one.words for one in setting_up.questions()}

    def field(key: Key) -> Field:
        hint = f"{key.unit + '; ' if key.unit else ''}default {shown(key.default)}, {key.source}"
        kind = "pick" if isinstance(key.kind, tuple) else key.kind
        words = asked.get(key.name, capital(key.meaning))
        choices = tuple((word, word) for word in key.kind) if isinstance(key.kind, tuple) else ()
        return Field(key.name, words, kind, hint, "", key.low, key.high, choices)

    return [field(key) for key in sorted(KEYS, key=lambda key: key.name not in asked)]


def _now() -> dict[str, str]:
    """What is set now, as it is typed; what is blank stays empty."""
    values = {key.name: getattr(here().settings(), key.name) for key in KEYS}
    return {name: shown(value) for name, value in values.items() if value is not None}


def settings() -> str | AnyResponse | tuple[str, int]:
    """All keys; a press writes those that were changed, and can be taken back."""
    place, fields, now = here(), _fields(), _now()
    if request.method == "GET":
        was = {one.name: request.args[one.name] for one in fields if one.name in request.args}
        return _page(fields, Filled(typed=now), was=was)
    filled = forms.read(fields, request.form, mark=mark_of(place.settings()))
    if filled.wrong:
        return _page(fields, filled), 422
    changed = _changed(filled, now)

    def write() -> str:
        written(place.home, changed)
        return f"/settings?{urlencode({name: now.get(name, '') for name in changed})}"

    try:
        return redirect(list_of_changes.once(write), 303)
    except Refused as refusal:
        return _page(fields, *forms.refused_form(refusal.problems, fields, filled)), 409


def _changed(filled: Filled, now: Mapping[str, str]) -> dict[str, str]:
    """What the form sent that is another value than now, as it is written."""
    told = forms.plain(filled)
    given = {key: told.get(key.name, "") for key in KEYS if key.name in request.form}
    return {
        key.name: DEFAULT if value in ("", shown(key.default)) else value
        for key, value in given.items()
        if value != now.get(key.name, "")
    }


def _page(
    fields: list[Field], filled: Filled, above: Sequence[Problem] = (), was: Any = None
) -> str:
    """The form; was: what stood there before the last press, by name."""
    asked = {one.key for one in setting_up.questions()}
    cut = len([one for one in fields if one.name in asked])
    told = {"parts": (fields[:cut], fields[cut:]), "file": here().home.settings_file, "was": was}
    return render_template("settings.html", filled=filled, above=above, **told)
