"""Everyday headers for our columns, from `header_names.txt` beside this module: a weak name means
its column only where no strong name of the file does."""

from pathlib import Path

from pricing.basis.word_tables import sections

_HELD = sections(Path(__file__).with_suffix(".txt"))
COLUMNS, ABROAD, QUESTIONS, UNITS = (
    _HELD[name] for name in ("columns", "abroad", "questions", "units")
)
COMPUTED = ", ".join(_HELD["computed"])


def read(entries: list[str]) -> tuple[dict[str, str], dict[str, str]]:
    """(strong name -> column, weak name -> column) of one of the tables.

    >>> read(["sold = date sold, sold on | date"])
    ({'sold': 'sold', 'date sold': 'sold', 'sold on': 'sold'}, {'date': 'sold'})
    """
    strong: dict[str, str] = {}
    weak: dict[str, str] = {}
    for entry in entries:
        column, _, names = entry.partition(" = ")
        sure, _, faint = names.partition(" | ")
        own = column.replace("_", " ")
        for name in (*(() if own in faint.split(", ") else (own,)), *sure.split(",")):
            strong.setdefault(name.strip(), column)
        for name in filter(None, faint.split(",")):
            weak.setdefault(name.strip(), column)
    return strong, weak
