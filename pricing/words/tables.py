"""The compiled tables: rows as plain dicts, loaded once from the JSON files beside this module."""

import json
import zlib
from functools import cache
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
# Which file holds which table. An answer by options loads `figures` alone.
FILE_OF = {
    "types": "figures", "plain_words": "figures", "faults": "figures", "features": "figures",
    "cautions": "cautions", "perils": "cautions", "findings": "trade", "told_shares": "trade",
    "stream_shares": "trade", "door_tests": "trade", "comebacks": "trade", "seasons": "trade",
    "delivery": "trade",
}  # fmt: skip
PACKED = ("said", "trade")  # the larger ones, that few answers need


def compiled(name: str) -> dict[str, Any]:
    """One compiled file as it stands: "figures", "cautions", "trade" or "said"."""
    if name in PACKED:
        return json.loads(zlib.decompress((HERE / f"{name}.json.z").read_bytes()))
    return json.loads((HERE / f"{name}.json").read_text(encoding="utf-8"))


# The same, read once; what is made ready of it stays with it.
load = cache(compiled)


@cache
def rows(table: str) -> tuple[dict[str, Any], ...]:
    """The rows of a table by column name. Numbers are numbers, lists are lists, blanks are "".

    >>> rows("types")[0]["type"], rows("types")[0]["price"]
    ('top-load washer', 225)
    """
    held = load(FILE_OF[table])[table]
    found = [dict(zip(held["columns"], row, strict=True)) for row in held["rows"]]
    names = held.get("names", ())
    for column in held.get("shares", ()):
        for row in found:
            flat = row[column]
            row[column] = {names[flat[i]]: flat[i + 1] for i in range(0, len(flat), 2)}
    return tuple(found)
