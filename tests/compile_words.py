"""Make the JSON files of pricing/words from the CSV files of data/words: `python tests/compile_words.py`.

A column holds numbers where every cell of it is one; the columns of LISTS are lists of names;
`findings` and the like are {name: share}. Columns that follow from others are left out (DERIVED).
"""

from __future__ import annotations

import json
import sys
import zlib
from pathlib import Path
from typing import Any

from compile_sayings import compiled_said
from word_source import SOURCE, names_in, read, shares_in

from pricing.words.tables import FILE_OF, HERE, PACKED

LISTS = {
    "types": ("fault_family",),
    "faults": ("types",),
    "cautions": ("stage", "types", "faults", "findings", "words"),
    "door_tests": ("types", "at"),
    "comebacks": ("types",),
    "seasons": ("types",),
    "delivery": ("types",),
    "features": ("types",),
}
SHARES = {
    "faults": ("findings",),
    "plain_words": ("may_be",),
    "door_tests": ("chance_of_answer_by_finding",),
    "told_shares": ("shares",),
    "stream_shares": ("shares",),
}
GROUPED = {  # the key of a row, and what is gathered under it
    "told_shares": (("type",), ("family", "fault_as_told")),
    "stream_shares": (("family",), ("type",)),
    "seasons": (("group", "types"), ("price_factor", "days_factor", "supply_factor")),
}
DERIVED = {
    "faults": ("fix_chance", "usual_found_and_repair", "source"),
    "findings": ("parts_mean", "bench_h", "source"),
    "door_tests": ("makes_likely", "parts_then", "source"),
    "cautions": ("source",),
}
# The findings of these rows are the mixture of the told ones, by told_shares and stream_shares.
MIXTURES = ("untold, type", "untold, plain word", "untold, family", "untold, all", "told, all")


def compiled_table(table: str, source: Path = SOURCE) -> dict[str, Any]:
    """{"columns": names, "rows": lists}, as `tables.rows` reads it."""
    found = read(table, source)
    if table in GROUPED:
        found = _grouped(table, found)
    columns = [name for name in found[0] if name not in DERIVED.get(table, ())]
    names: dict[str, int] = {}
    numeric = {name for name in columns if all(_is_number(row[name]) for row in found)}

    def cell(row: dict[str, Any], name: str) -> Any:
        if isinstance(row[name], list):
            return row[name]
        if name in SHARES.get(table, ()):
            shares = row[name]
            if isinstance(shares, str):
                shares = {} if row.get("row") in MIXTURES else shares_in(shares)
            # [number of the name, share, number of the name, share, …]
            return [x for key, share in shares.items() for x in (_place(key, names), share)]
        if table == "perils" and name == "all_of":
            return [group.split("|") for group in row[name].split(" & ")]
        if table == "perils" and name == "none_of":
            return row[name].split("|") if row[name] else []
        if name in LISTS.get(table, ()):
            return names_in(row[name])
        if name == "season":
            return [float(factor) for factor in row[name].split()]
        return _number(row[name]) if name in numeric else row[name]

    rows = [[cell(row, name) for name in columns] for row in found]
    held = {"columns": columns, "rows": rows}
    if table in SHARES:
        held |= {"shares": list(SHARES[table]), "names": list(names)}
    return held


def _place(name: str, names: dict[str, int]) -> int:
    return names.setdefault(name, len(names))


def _grouped(table: str, found: list[dict[str, str]]) -> list[dict[str, Any]]:
    """Rows of one key put into one: lists by month, or shares by "family: fault"."""
    keys, into = GROUPED[table]
    rows: dict[tuple[str, ...], dict[str, Any]] = {}
    for row in found:
        key = tuple(row[name] for name in keys)
        group = rows.setdefault(key, dict(zip(keys, key, strict=True)))
        if table == "seasons":
            for name in into:
                group.setdefault(name, []).append(_number(row[name]))
        else:
            named = ": ".join(row[name] for name in into)
            group.setdefault("shares", {})[named] = _number(row["share"])
    return list(rows.values())


def _is_number(cell: Any) -> bool:
    return isinstance(cell, str) and cell.strip().lstrip("-+").replace(".", "", 1).isdigit()


def _number(cell: str) -> float | int:
    value = float(cell)
    return int(value) if value == int(value) else value


def compiled(source: Path = SOURCE) -> dict[str, str]:
    """The text of each JSON file by its name."""
    files: dict[str, dict[str, Any]] = {}
    for table, name in FILE_OF.items():
        files.setdefault(name, {})[table] = compiled_table(table, source)
    return {
        name: json.dumps(held, ensure_ascii=False, separators=(",", ":")).replace("],[", "],\n[")
        + "\n"
        for name, held in files.items()
    }


def said_text(held: dict[str, Any]) -> str:
    text = json.dumps(held, ensure_ascii=False, separators=(",", ":"))
    return text.replace('],"', '],\n"') + "\n"


def main() -> None:
    """Write every file of the package."""
    for name, text in {"said": said_text(compiled_said()), **compiled()}.items():
        written = zlib.compress(text.encode(), 9) if name in PACKED else text.encode()
        path = HERE / (f"{name}.json.z" if name in PACKED else f"{name}.json")
        path.write_bytes(written)
        sys.stdout.write(f"{path.name} {len(written):,} bytes\n")


if __name__ == "__main__":
    main()
