"""Were the quarter's calls right: each sale against the range that was called before it."""

from collections.abc import Sequence

import numpy as np

from pricing.basis.frozen import frozen


@frozen
class CalledSale:
    """One sale: what was paid, and the range and middle that were called before it. Money in the
    currency's unit."""

    unit: str
    type: str
    price: float
    low: float
    middle: float
    high: float

    @property
    def caught(self) -> bool:
        return self.low <= self.price <= self.high

    @property
    def off(self) -> float:
        """Called less paid, as a share of what was paid."""
        return self.middle / self.price - 1


@frozen
class Calls:
    """All calls of the quarter. n_caught of len(calls); off: middle of the shares called too high
    or low; by_type: type, n, money called less paid on average, for types with three and more;
    n_learned: sales before the quarter that the calls rest on; of: sales of the quarter where only
    a fair sample of them was called, else 0.
    """

    calls: tuple[CalledSale, ...]
    coverage: float
    n_learned: int
    n_caught: int
    off: float
    by_type: tuple[tuple[str, int, float], ...]
    of: int = 0

    @property
    def worst(self) -> tuple[CalledSale, ...]:
        return tuple(sorted(self.calls, key=lambda call: (-abs(call.off), call.unit))[:3])

    @property
    def best(self) -> tuple[CalledSale, ...]:
        return tuple(sorted(self.calls, key=lambda call: (abs(call.off), call.unit))[:3])


def judge(calls: Sequence[CalledSale], coverage: float, n_learned: int, of: int = 0) -> Calls:
    """The card of a set of calls; an empty set is fine.

    >>> high = CalledSale("1", "dryer", 100.0, 80.0, 110.0, 150.0)
    >>> low = CalledSale("2", "dryer", 60.0, 80.0, 90.0, 150.0)
    >>> judge([high, low], 0.8, 9).n_caught
    1
    """
    by_type: dict[str, list[float]] = {}
    for call in calls:
        by_type.setdefault(call.type, []).append(call.middle - call.price)
    ranked = sorted(by_type.items(), key=lambda item: (-len(item[1]), item[0]))
    lines = [(name, len(gaps), float(np.mean(gaps))) for name, gaps in ranked if len(gaps) >= 3]
    caught = sum(call.caught for call in calls)
    off = float(np.median([call.off for call in calls])) if calls else 0.0
    return Calls(tuple(calls), coverage, n_learned, caught, off, tuple(lines), of)
