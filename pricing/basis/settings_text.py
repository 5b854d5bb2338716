"""Settings as the text of a `pricing.toml` that reads back the same; defaults are left out."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from pricing.basis.settings import KEYS, TABLES, Settings, read_settings


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
