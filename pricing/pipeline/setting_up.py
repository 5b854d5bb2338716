"""The twelve questions of the first evening, and the settings file they make."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from pricing.basis import files
from pricing.basis.assumed import TYPES
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Refused, refused
from pricing.basis.settings import KEYS, read_settings
from pricing.basis.word_tables import known_names
from pricing.record.current import read_current
from pricing.record.store import has_record

_IN_DOLLARS = {"hourly_target", "cost_per_distance"}
_EXAMPLE = {"region": '"US"', "dollar_is": "0.9", "hour_elsewhere": "15"}  # of what stays blank
# Where the record cannot say: common practice
COMMONEST = ("electric dryer", "top-load washer", "front-load washer")


@frozen
class SetupQuestion:
    """One question: the setting it fills, the words, its default and kind ("price" of a type)."""

    key: str
    words: str
    default: Any
    kind: str | tuple[str, ...]


def questions(commonest: tuple[str, ...] = COMMONEST) -> tuple[SetupQuestion, ...]:
    """The twelve questions in order; the tenth asks once for each of the three commonest types."""
    usual, by_name = {row.type: row.price for row in TYPES}, {key.name: key for key in KEYS}
    asked = []
    for name, words in known_names("setup"):
        if name == "date_order":
            for kind in commonest:
                key_of, what = f"usual_price.{kind}", f"What does a good {kind} usually bring you?"
                asked.append(SetupQuestion(key_of, what, usual.get(kind, ""), "price"))
        key = by_name[name]
        default = "" if key.default is None else key.default
        asked.append(SetupQuestion(name, words, default, key.kind))
    return tuple(asked)


def settings_text(answers: Mapping[str, Any], day: date) -> str:
    """The settings file; answers left at their default stand there as comments."""
    lines = [f"# Settings of your pricing record, written by `pricing setup` on {day.isoformat()}."]
    lines += ["# The file is yours: change it as you like, the program never rewrites it.", ""]
    is_foreign = str(answers.get("currency") or "USD").upper() != "USD"
    for question in questions():
        if question.key.startswith("usual_price."):
            continue
        value = answers.get(question.key, "")
        of_dollars = question.default != "" and value == question.default
        if is_foreign and of_dollars and question.key in _IN_DOLLARS:
            value = ""  # the default, a sum in dollars, is turned by the rate where it is read
        line = f"{question.key} = {_toml(value)}"
        if value == "":
            line = f"# {question.key} = {_EXAMPLE.get(question.key, '8')}"
        lines += [f"# {question.words}", line, ""]
    lines += ["# What a good one usually brings you, by type; counts while your own sales are few."]
    told = [
        f'"{key.removeprefix("usual_price.")}" = {_toml(value)}'
        for key, value in answers.items()
        if key.startswith("usual_price.") and value != ""
    ]
    return "\n".join([*lines, "[usual_price]", *(told or ['# "electric dryer" = 185'])]) + "\n"


def write_settings(home: Home, answers: Mapping[str, Any], day: date) -> str:
    """Check the answers, write pricing.toml, return its text. Raises Refused where it is there
    already or an answer cannot be."""
    import tomllib

    text = settings_text(answers, day)
    _, problems = read_settings(tomllib.loads(text), str(home.settings_file))
    if problems:
        raise Refused(*problems)
    try:
        files.write_bytes(home.settings_file, text.encode(), replace=False)
    except FileExistsError as error:
        raise settings_are_there(home) from error
    return text


def settings_are_there(home: Home) -> Refused:
    """The sentence for a second set-up."""
    fix = "change the file in a text editor, or move it away and run pricing setup again"
    what = "you have settings already, and they are yours: this program never rewrites them"
    return refused(what, fix, file=str(home.settings_file))


def commonest_types(home: Home) -> tuple[str, ...]:
    """The three types with the most units in the record, filled up from COMMONEST."""
    counts: dict[str, int] = {}
    if has_record(home):
        for name in read_current(home).column("type").to_pylist():
            if name:
                counts[name] = counts.get(name, 0) + 1
    ranked = sorted(counts, key=lambda name: (-counts[name], name))
    return tuple(dict.fromkeys([*ranked, *COMMONEST]))[:3]


def _toml(value: Any) -> str:
    import json

    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return f"{value:g}"
