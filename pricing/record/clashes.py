"""What is told of rows that cannot both be right: one number for two units, one row twice."""

from typing import Any

from pricing.basis.problems import Problem
from pricing.record.rows import PLACE, Cells

_SHARED = ("got", "listed", "sold", "price", "paid", "serial", "model")
_TELLING = (*_SHARED, "type", "owner", "maker")


def _differing(pairs: dict[str, tuple[Any, Any]]) -> set[str]:
    return {name for name, (a, b) in pairs.items() if a and b and a != b}


def another_unit(new: Cells, old: Cells) -> str:
    """Why two rows with one number are not one unit: another type or another owner, and no day nor
    price in common, or all of its days and money are others; else ""."""

    pairs = {name: (new[PLACE[name]], old[PLACE[name]]) for name in _TELLING}
    differ = _differing(pairs)
    kind, owner = old[PLACE["type"]], old[PLACE["owner"]]
    if not differ & {"type", "owner"}:
        return str(kind) if differ >= {"got", "sold"} and len(differ) > 3 else ""
    shared = [name for name in _SHARED if None not in pairs[name]]
    same = {*shared} - differ - {"paid"}
    if same or len(shared) < (1 if "owner" in differ else 2):
        return ""
    return f"{owner}'s {kind or 'unit'}" if "owner" in differ else str(kind)


def number_taken(unit: str, where: str, type_name: str, file: str, line: int) -> Problem:
    """A row under the number of another unit; where: on which line, or in the record."""
    what = f"the number {unit} belongs to another unit already ({type_name}, {where})"
    return Problem(what, "give this unit a number of its own", file, line, value=unit)


def counted_once(file: str, line: int) -> Problem:
    """The note on a row without a number that says all that one further up says, and enough."""
    what = "the same row again, letter by letter, and neither has a number: counted once"
    return Problem(what, "give them numbers if they are two units", file, line)


def counted_twice(file: str, line: int) -> Problem:
    """The note on such a row where it says too little for that."""
    what = "the same row again, and neither has a number: counted as two units"
    return Problem(what, "take one out if it is one unit", file, line)
