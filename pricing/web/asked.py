"""A question asked on the page: its form, from address or last answers, as a `Question`."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar
from urllib.parse import parse_qsl, urlencode

from flask import Response, make_response, request
from werkzeug.wrappers import Response as AnyResponse

from pricing.basis import assumed
from pricing.basis.problems import Problem, Refused
from pricing.basis.question import Question
from pricing.basis.said_number import mark_of
from pricing.pipeline import question_from
from pricing.web import fields, forms
from pricing.web.forms import Field, Filled
from pricing.web.place import here
from pricing.wording.question_words import name_of_maker
from pricing.words.as_question import counts_beside

T = TypeVar("T")
REMEMBERED = 2_500  # characters of the last answers that a browser keeps for us
A_YEAR = 365 * 86_400
# a browser keeps the last calls until they are kept or passed on
CALLS, MOST_CALLS, LONGEST_CALL = "calls", 4, 600


@dataclass(frozen=True)
class AskedPage:
    """One form as it stands. question: None where none can be; above: problems of no field."""

    name: str
    first: Sequence[Field]
    more: Sequence[Field]
    filled: Filled
    units: Sequence[tuple[str, str]] = ()
    question: Question | None = None
    above: Sequence[Problem] = field(default_factory=tuple)
    remembered: str = ""

    @property
    def more_is_open(self) -> bool:
        """Whether the folded part of the form holds something to see."""
        names = {one.name for one in self.more}
        return bool(names & (set(self.filled.typed) | set(self.filled.wrong)))

    @property
    def query(self) -> str:
        """The question as an address, to ask it again with something changed."""
        return urlencode(self.filled.typed)

    def again(self, name: str, value: str) -> str:
        """The same question with one answer more, as an address; "" without such a field."""
        if not value or name not in {one.name for one in (*self.first, *self.more)}:
            return ""
        return f"/{self.name}?{urlencode({**self.filled.typed, name: value})}"


def ask(name: str) -> AskedPage:
    """Read the form of the page `name` from the address; else show the last answers."""
    place = here()
    settings = place.settings()
    first, more = fields.question(name, settings)
    units = own_units() if name in ("bench", "ask") else ()
    every = [fields.SAY_IT, *first, *more, fields.unit_of_list(units)]
    given = {key: value for key, value in request.args.items() if key not in ("new", "old")}
    old = dict(parse_qsl(request.args.get("old", "")[:REMEMBERED]))
    if old and given.get("words") and given["words"] != old.get("words"):
        # Another sentence is another call: what stood in the form from the last one counts no more
        given = {k: value for k, value in given.items() if value != old.get(k)}
    if not given:
        last = {} if "new" in request.args else _last(name)
        last.pop("unit", None)
        shown = Filled(typed=forms.read(every, last).typed)
        return AskedPage(name, first, more, shown, units, remembered=urlencode(last))
    filled = forms.read(every, given, place.today(), mark_of(settings))
    asked = AskedPage(name, first, more, filled, units)
    if filled.wrong or not filled.typed:
        return asked
    try:
        return replace(asked, question=_question(name, filled.values))
    except Refused as refusal:
        beside, above = forms.place_problems(refusal.problems, every, filled.typed)
        return replace(asked, filled=replace(filled, wrong=beside), above=above)


def asked_as(name: str, query: str) -> Question:
    """The question of an address, as it was asked. Raises Refused where it cannot be any more."""
    settings = here().settings()
    first, more = fields.question(name, settings)
    every = [fields.SAY_IT, *first, *more, Field("unit", "", "text")]
    given = dict(parse_qsl(query[: 4 * REMEMBERED]))
    return _question(name, forms.read(every, given, mark=mark_of(settings)).values)


def answered(asked: AskedPage, story: Callable[[Question], T]) -> tuple[AskedPage, T | None]:
    """The question put to a story; what it refuses is said beside the field or on top."""
    if asked.question is None:
        return asked, None
    place = here()
    try:
        question_from.hold_question(asked.question, asked.name, place.settings(), place.today())
        return asked, story(asked.question)
    except Refused as refusal:
        every = [*asked.first, *asked.more]
        beside, above = forms.place_problems(refusal.problems, every, asked.filled.typed)
        filled = replace(asked.filled, wrong=beside)
        return replace(asked, question=None, filled=filled, above=above), None


def _question(name: str, values: Mapping[str, Any]) -> Question:
    place = here()
    options = dict(values)
    words, unit = str(options.pop("words", "")), options.pop("unit", None)
    if "of_ten" in options:
        options["fix_chance"] = options.pop("of_ten") / 10
    if options.pop("they_pay", False) and "their_price" in options:
        options["their_price"] = -abs(options["their_price"])
    settings, today = place.settings(), place.today()
    if unit:
        return question_from.from_unit(unit, place, options, settings, today, words, name)
    if words:
        said = question_from.understood(words, settings, today, own_words(), name)
        options = _beside_words(said, options)
    return question_from.read(words, options, settings, today, own_words(), name)


def _beside_words(said: Question, options: Mapping[str, Any]) -> dict[str, Any]:
    """The fields that stand beside a sentence and still count."""
    kind = str(options.get("type") or "").lower()
    told = {"unit": said.unit, "known": said.known, "made": said.made}
    return {key: value for key, value in options.items() if counts_beside(key, kind, told)}


def own_words() -> Mapping[str, Sequence[str]]:
    """The words of the person's own record by column, as learned last."""
    try:
        return here().saved().words
    except Refused:
        return {}


def completing() -> Mapping[str, Sequence[str]]:
    """For each field that completes itself: own words first, then those of the starting figures."""
    settings = here().settings()
    own, ours = own_words(), (row.type for row in assumed.TYPES)
    start = {
        "type": [*settings.assumed_types, *settings.usual_price, *ours],
        "fault": [*settings.assumed_faults, *(row.fault for row in assumed.FAULTS)],
        "features": list(assumed.FEATURE_EFFECT),
    }
    columns = ("type", "maker", "fault", "found", "repair", "features", "got_from", "sold_where")
    return {
        column: list(dict.fromkeys([*own.get(column, ()), *start.get(column, ())]))[:200]
        for column in columns
    }


def own_units() -> Sequence[tuple[str, str]]:
    """Open units to pick from: their number, and number with what they are."""
    units = [unit for unit in here().open_units() if unit.get("unit")]

    def said(unit: Mapping[str, Any]) -> str:
        maker = f", {name_of_maker(str(unit['maker']))}" if unit.get("maker") else ""
        return f"{unit['unit']} · {unit.get('type') or 'not said'}{maker}"

    return [(str(unit["unit"]), said(unit)) for unit in units[:500]]


def answer(page: str, asked: AskedPage) -> Response:
    """The finished page; what was asked is remembered by this browser."""
    response = make_response(page)
    if asked.question is not None:
        if len(asked.query) <= REMEMBERED:
            remember(response, f"last_{asked.name}", asked.query)
        if asked.name == "offer" and "unit" not in asked.filled.typed:
            keep_calls(response, asked_now=asked.query)
    return response


def remember(response: AnyResponse, name: str, text: str) -> None:
    """Let this browser keep a text for us."""
    response.set_cookie(name, text, A_YEAR, httponly=True, samesite="Strict", path="/")


def calls() -> list[str]:
    """The last calls that this browser asked about, as addresses, the newest first."""
    kept = request.cookies.get(CALLS, "")[: MOST_CALLS * (LONGEST_CALL + 1)]
    return [call for call in kept.split("|") if call]


def keep_calls(response: AnyResponse, asked_now: str = "", settled: str = "") -> AnyResponse:
    """Remember a call that was asked about; forget one that was kept or passed on."""
    others = [call for call in calls() if call not in (asked_now, settled)]
    kept = [call for call in (asked_now, *others) if 0 < len(call) <= LONGEST_CALL][:MOST_CALLS]
    remember(response, CALLS, "|".join(kept))
    return response


def _last(name: str) -> dict[str, str]:
    return dict(parse_qsl(request.cookies.get(f"last_{name}", "")[:REMEMBERED]))
