"""The CSV files of words as text, and the lists in their cells."""

from __future__ import annotations

import csv
from pathlib import Path

SOURCE = Path(__file__).parents[1] / "data" / "words"


def read(table: str, source: Path = SOURCE) -> list[dict[str, str]]:
    """The rows of a CSV file as text."""
    with (source / f"{table}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def names_in(cell: str) -> list[str]:
    """The names of a list cell. One name holds a semicolon itself.

    >>> names_in("won't drain; works; owner upgraded")
    ["won't drain", 'works; owner upgraded']
    """
    whole = cell.replace("works; owner", "works, owner")
    return [
        part.strip().replace("works, owner", "works; owner")
        for part in whole.split(";")
        if part.strip()
    ]


def shares_in(cell: str) -> dict[str, float]:
    """
    >>> shares_in("drain pump 0.5; washer: belt 0.5")
    {'drain pump': 0.5, 'washer: belt': 0.5}
    """
    return {name: float(share) for name, share in (part.rsplit(" ", 1) for part in names_in(cell))}
