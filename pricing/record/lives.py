"""A unit that was sold, came back and is for sale again has a life for each sale: the first keeps
its money, hours and days under a name of its own, so that no past quarter changes; the unit itself
goes on as what it is, with nothing spent on it yet.

    sale 1      190 paid, 190 refunded, the parts and hours of then
    the unit    listed again, sold again
"""

from pricing.basis.columns import ENDED
from pricing.record.rows import EXTRA, PLACE, SAID, Cells
from pricing.record.store import CELLS

# What a unit is stays with it; what was done, spent and got belongs to the life that it was in.
STAYS = {
    "type", "maker", "tier", "age", "made", "features", "fuel", "finish", "size", "condition",
    "pair", "from_unit", "model", "serial", "recall_checked", "owner", "note",
}  # fmt: skip


def is_sold_again(old: Cells, new: Cells) -> bool:
    """Whether a unit that came back is in a new life: open again, or sold on a later day."""

    def of(cells: Cells, name: str) -> object:
        return cells[PLACE[name]]

    back = of(old, "refund") or of(old, "comeback")
    came_back = of(old, "outcome") == "returned" or bool(back)
    if not came_back or of(old, "sold") is None or of(new, "outcome") is None:
        return False
    if of(new, "outcome") not in ENDED:
        return of(old, "outcome") in ENDED
    later = str(of(new, "sold") or "") > str(of(old, "sold"))
    return of(new, "outcome") == "sold" and later


def goes_on(old: Cells, new: Cells) -> Cells:
    """The unit in its new life: what it is, and what was not so before."""
    body = [
        now if name in STAYS or now != before else None
        for name, now, before in zip(CELLS, new, old, strict=False)
    ]
    return (*body, new[SAID], new[EXTRA])


def name_of(unit: str, so_far: int) -> str:
    """The name of a life that ended, of which there were so many before.

    >>> name_of("212", 0)
    '212 (sale 1)'
    """
    return f"{unit} (sale {so_far + 1})"
