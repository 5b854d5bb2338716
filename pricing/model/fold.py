"""One pass over the units: a function of each block, its results added in pairs in the order of the
blocks, whoever runs it: so they may be one table, blocks of a file, or parts on other machines."""

from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

from pricing.basis.units import Units

T = TypeVar("T")


class Fold(Protocol):
    """Runs `of` over every block and adds the results with `add`, as `tree` does; of no block, `of`
    a table without rows.

    of, add: pure functions that can be sent to another machine; `add` gets results in the order of
    their blocks and may reuse neither.
    """

    def __call__(self, of: Callable[[Units], T], add: Callable[[T, T], T]) -> T: ...


def tree(parts: Iterable[T], add: Callable[[T, T], T]) -> T | None:
    """The sum of parts in pairs, in their order: 1 + 2, 3 + 4, then those; at most log2 of their
    number are held. None of no part.

    >>> tree("abcde", lambda a, b: f"({a}{b})")
    '(((ab)(cd))e)'
    """
    held: list[tuple[int, T]] = []
    for part in parts:
        level, total = 0, part
        while held and held[-1][0] == level:
            total = add(held.pop()[1], total)
            level += 1
        held.append((level, total))
    if not held:
        return None
    total = held.pop()[1]
    while held:
        total = add(held.pop()[1], total)
    return total


def over(blocks: Units | Iterable[Units]) -> Fold:
    """Passes over a table, or over blocks of one that can be gone through again (a list)."""
    parts = [blocks] if isinstance(blocks, Units) else blocks

    def fold(of: Callable[[Units], T], add: Callable[[T, T], T]) -> T:
        total = tree(map(of, parts), add)
        return of(Units(0, {}, {})) if total is None else total

    return fold
