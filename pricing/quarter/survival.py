"""How long units wait: the share still unsold by days listed, units not sold yet counted for as
long as they have waited.

    S(t) = product over sale days s <= t of (1 - sold_s / waiting_s)

Sources: Kaplan and Meier (1958), J. Am. Stat. Assoc. 53(282); standard error by Greenwood (1926).
Averaging only the units that did sell is the classic mistake: the slow ones are still waiting.
"""

import numpy as np

from pricing.basis.frozen import frozen


@frozen
class Curve:
    """Steps at days on which something sold, (n_steps,) each; n: listings; n_unsold of them."""

    days: np.ndarray
    waiting: np.ndarray
    sold: np.ndarray
    share: np.ndarray
    error: np.ndarray
    n: int
    n_unsold: int
    longest: float

    def share_at(self, day: float) -> float:
        """Share still unsold after `day` days."""
        step = int(np.searchsorted(self.days, day, side="right")) - 1
        return 1.0 if step < 0 else float(self.share[step])

    @property
    def half_sold_by(self) -> float | None:
        """The first day by which half are sold; None where the record does not reach it."""
        reached = np.flatnonzero(self.share <= 0.5 + 1e-12)
        return float(self.days[reached[0]]) if len(reached) else None


def waiting_curve(days: np.ndarray, sold: np.ndarray) -> Curve:
    """The curve of n listings.

    days: (n,) days listed until sold, or until last seen unsold, 0 or more; sold: (n,) bool.

    >>> curve = waiting_curve(np.array([1.0, 2.0, 2.0, 3.0]), np.array([True, True, False, True]))
    >>> curve.share.round(3).tolist(), curve.half_sold_by
    ([0.75, 0.5, 0.0], 2.0)
    """
    steps, sales = np.unique(days[sold], return_counts=True)
    waiting = len(days) - np.searchsorted(np.sort(days), steps, side="left")
    share = np.cumprod(1 - sales / waiting)
    with np.errstate(divide="ignore", invalid="ignore"):
        greenwood = np.cumsum(np.where(waiting > sales, sales / (waiting * (waiting - sales)), 0.0))
    error, longest = share * np.sqrt(greenwood), float(days.max()) if len(days) else 0.0
    return Curve(steps, waiting, sales, share, error, len(days), int((~sold).sum()), longest)
