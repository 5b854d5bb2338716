"""Keys of `pricing.toml` written one by one, everything else in the file left as it is."""

import json
import re
import tomllib
from collections.abc import Mapping
from typing import Any

from pricing.basis.files import write_text
from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.basis.settings import KEYS, Key, load_settings, read_settings

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
