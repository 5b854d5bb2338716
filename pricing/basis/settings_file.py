"""Keys of `pricing.toml` written one by one, everything else in the file left as it is."""

import json
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from pricing.basis.files import write_text
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.basis.settings import KEYS, TABLES, Key, Settings, load_settings, read_settings

DEFAULT = "default"


def allowed(key: Key) -> str:
    """What may stand there."""
    if key.kind == "number":
        unit = f" ({key.unit})" if key.unit else ""
        return f"a number from {key.low:g} to {key.high:g}{unit}"
    if key.kind == "text":
        return f"text, {key.unit}" if key.unit else "text"
    return " or ".join(key.kind)


def shown(value: Any) -> str:
    if value is None:
        return "(blank)"
    return f"{value:g}" if isinstance(value, float) else str(value)


def written(home: Home, changed: Mapping[str, str]) -> None:
    """Write some keys into the text of pricing.toml; `default` takes a line out. Checked before
    anything is written; raises Refused."""
    path = home.settings_file
    text = path.read_text(encoding="utf-8-sig") if path.exists() else ""
    for key in KEYS:
        if key.name in changed:
            text = _with(text, key, changed[key.name])
    after, problems = read_settings(tomllib.loads(text), path.name)
    now = load_settings(home).currency if "currency" in changed else after.currency
    if after.currency.upper() != now.upper() and (home.data / "record.db").exists():
        what = f"your record holds amounts in {now}, and a record has one currency"
        fix = "another currency is another record: pricing setup --home NEW-FOLDER"
        problems.append(Problem(what, fix, column="currency", value=after.currency))
    if problems:
        raise Refused(*problems)
    write_text(path, text)


def _with(text: str, key: Key, value: str) -> str:
    line = "" if value == DEFAULT else f"{key.name} = {_literal(key, value)}\n"
    # a key behind a table would be read as one of its entries: it goes before the first
    tables = re.search(r"^[ \t]*\[", text, re.MULTILINE)
    head, tail = (text[: tables.start()], text[tables.start() :]) if tables else (text, "")
    own = re.compile(rf"^[ \t]*{key.name}[ \t]*=.*(?:\n|\Z)", re.MULTILINE)
    if own.search(head):
        head = own.sub(lambda _: line, head, count=1)
    elif line:
        head += ("" if not head or head.endswith("\n") else "\n") + line
    return head + tail


def _literal(key: Key, value: str) -> str:
    if key.kind != "number":
        return json.dumps(value, ensure_ascii=False)
    try:
        return f"{float(value):.12g}"
    except ValueError:
        return json.dumps(value)  # refused below by the very sentence of a wrong file


# ---- Settings as the text of a `pricing.toml` that reads back the same; defaults are left out
def settings_text(settings: Settings, heading: Sequence[str]) -> str:
    """The whole file. heading: lines that begin it, written as comments.

    >>> one = Settings(owner="bo", usual_price={"gas range": 250.0})
    >>> print(settings_text(one, ["Of one of us."]))
    # Of one of us.
    owner = "bo"
    <BLANKLINE>
    [usual_price]
    "gas range" = 250.0
    <BLANKLINE>
    """
    start = _without(settings)
    lines = [f"# {line}" for line in heading]
    lines += [
        f"{key.name} = {_value(value)}"
        for key in KEYS
        if (value := getattr(settings, key.name)) != getattr(start, key.name)
    ]
    tables: dict[str, Mapping[str, Any]] = {
        name: getattr(settings, name) for name in TABLES if name != "assumed"
    }
    tables["assumed"] = {"types": settings.assumed_types, "faults": settings.assumed_faults}
    for name, table in tables.items():
        lines += _table(name, table)
    return "\n".join(lines) + "\n"


def _without(settings: Settings) -> Settings:
    """What is read where only the money and the units are told: what equals it is not written."""
    told = {name: getattr(settings, name) for name in ("currency", "distance_unit", "weight_unit")}
    if settings.dollar_is is not None:
        told["dollar_is"] = settings.dollar_is
    told["usual_price"] = settings.usual_price
    base, _ = read_settings(told)
    return replace(base, **{name: getattr(Settings(), name) for name in told})


def _table(name: str, table: Mapping[str, Any]) -> list[str]:
    """A table and the tables inside it, those with nothing in them left out."""
    plain = [
        f"{_text(key)} = {_value(value)}"
        for key, value in table.items()
        if not isinstance(value, Mapping)
    ]
    lines = ["", f"[{name}]", *plain] if plain else []
    for key, inner in table.items():
        if isinstance(inner, Mapping):
            lines += _table(f"{name}.{_text(key)}", inner)
    return lines


def _value(value: Any) -> str:
    return _text(value) if isinstance(value, str) else repr(float(value))


def _text(text: str) -> str:
    """A basic string of TOML: JSON's, with the one control character escaped that JSON lets
    stand."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
