"""What is told of rows that cannot both be right: one number for two units, one row twice."""

from pricing.basis.problems import Problem
from pricing.record.rows import PLACE, Cells


def another_unit(new: Cells, old: Cells) -> str:
    """Why two rows with one number are not one unit: another type or another owner, and no day nor
    price in common; else ""."""

    def differ(name: str) -> bool:
        a, b = new[PLACE[name]], old[PLACE[name]]
        return bool(a and b and a != b)

    other_type, other_owner = differ("type"), differ("owner")
    if not other_type and not other_owner:
        return ""
    shared = [
        name
        for name in ("got", "listed", "sold", "price", "paid", "serial", "model")
        if new[PLACE[name]] is not None and old[PLACE[name]] is not None
    ]
    if len(shared) >= (1 if other_owner else 2) and all(
        new[PLACE[name]] != old[PLACE[name]] for name in shared if name != "paid"
    ):
        kind = old[PLACE["type"]]
        return f"{old[PLACE['owner']]}'s {kind or 'unit'}" if other_owner else str(kind)
    return ""


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
