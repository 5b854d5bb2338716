"""Everyday words for our words, from `word_tables.txt` beside this module."""

from __future__ import annotations

from pathlib import Path


def sections(path: Path) -> dict[str, list[str]]:
    """Section -> its entries, of a file of tables: "[name]", then an entry a line; indented lines
    go on, lines with # are remarks."""
    found: dict[str, list[str]] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            entries = found.setdefault(line.strip("[]"), [])
        elif line.startswith(" "):
            entries[-1] += " " + line.strip()
        elif line and not line.startswith("#"):
            entries.append(line)
    return found


def read(entries: list[str]) -> dict[str, str]:
    """{their key: our word} of one of the tables.

    >>> read(["gas = natural gas, ng"])
    {'natural gas': 'gas', 'ng': 'gas'}
    """
    keys: dict[str, str] = {}
    for entry in entries:
        ours, _, theirs = entry.partition(" = ")
        keys |= {key.strip(): ours for key in theirs.split(",")}
    return keys


TABLES = sections(Path(__file__).with_suffix(".txt"))
