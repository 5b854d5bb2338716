"""Had you refused every kind of unit that, by the day you got it, had paid under your target: what
the quarter would have been.

Only what the record could know on that day enters: units that had ended before the month in which
the unit was got. The return of a type leans on that of all types like STEADY average units, and
nothing is refused before N_KNOWN units had ended.
"""

from __future__ import annotations

import numpy as np

from pricing.basis.frozen import frozen
from pricing.basis.settings import Settings
from pricing.quarter.money import Books

STEADY = 6.0  # average units; own judgement
N_KNOWN = 10  # ended units before anything is refused; own judgement


@frozen
class Replay:
    """n_judged: ended units of the quarter whose day got is written; n_refused: those that the
    rule would have refused, with their profit and hours; kept: the others;
    n_under: ended units that turned out to pay under the target, in hindsight, with what they
    cost. Per hour None without hours.
    """

    n_judged: int
    n_refused: int
    refused_profit: float
    refused_hours: float
    kept_profit: float
    kept_hours: float
    n_under: int
    under_profit: float
    under_hours: float

    @property
    def kept_per_hour(self) -> float | None:
        return self.kept_profit / self.kept_hours if self.kept_hours > 0 else None

    @property
    def refused_per_hour(self) -> float | None:
        return self.refused_profit / self.refused_hours if self.refused_hours > 0 else None


def replay(
    books: Books, settings: Settings, of_type: np.ndarray, n_types: int, inside: np.ndarray
) -> Replay:
    """Replay the buying of the units that ended in the quarter (mask `inside`).

    of_type: (n,) codes 0…n_types - 1.
    """
    counted = inside & books.counted
    got = books.units.number("got")
    judged = np.flatnonzero(counted & np.isfinite(got))
    profit, hours = books.profit, books.worked
    refused = np.zeros(len(judged), dtype=bool)
    past = np.flatnonzero(books.counted & np.isfinite(books.day))
    past = past[np.argsort(books.day[past], kind="stable")]
    months = _month_starts(got[judged])
    for start in np.unique(months):
        known = past[: np.searchsorted(books.day[past], start, side="left")]
        if len(known) < N_KNOWN or hours[known].sum() <= 0:
            continue
        # each type leans on the average of all like STEADY units of it
        profits, worked = (
            np.bincount(of_type[known], values[known], minlength=n_types)
            + STEADY * (values[known].sum() / len(known))
            for values in (profit, hours)
        )
        here = months == start
        refused[here] = (profits / worked)[of_type[judged[here]]] < settings.hourly_target
    no, yes = judged[refused], np.setdiff1d(np.flatnonzero(counted), judged[refused])
    under = np.flatnonzero(counted & (profit < settings.hourly_target * hours))

    def sums(rows: np.ndarray) -> tuple[float, float]:
        return _total(profit, rows), _total(hours, rows)

    return Replay(len(judged), len(no), *sums(no), *sums(yes), len(under), *sums(under))


def _total(values: np.ndarray, rows: np.ndarray) -> float:
    return round(float(values[rows].sum()), 2) + 0.0


def _month_starts(days: np.ndarray) -> np.ndarray:
    """Ordinal of the first day of each day's month."""
    epoch = 719163  # date(1970, 1, 1).toordinal()
    months = (days.astype(np.int64) - epoch).astype("datetime64[D]").astype("datetime64[M]")
    starts: np.ndarray = months.astype("datetime64[D]").astype(np.int64) + epoch
    return starts
