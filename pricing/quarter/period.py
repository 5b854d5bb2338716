"""A calendar quarter: its days, its name, the one before it and the one a year before."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date

import numpy as np

from pricing.basis.problems import refused


@dataclass(frozen=True, order=True)
class Quarter:
    """year and number (1-4).

    >>> (Quarter(2026, 1).before, Quarter(2026, 3).first.isoformat(),
    ...  Quarter(2026, 3).last.isoformat())
    (Quarter(year=2025, number=4), '2026-07-01', '2026-09-30')
    """

    year: int
    number: int

    @property
    def name(self) -> str:
        return f"{self.year}Q{self.number}"

    @property
    def first(self) -> date:
        return date(self.year, 3 * self.number - 2, 1)

    @property
    def last(self) -> date:
        after = self.after
        return date.fromordinal(after.first.toordinal() - 1)

    @property
    def before(self) -> Quarter:
        return (
            Quarter(self.year - 1, 4) if self.number == 1 else Quarter(self.year, self.number - 1)
        )

    @property
    def after(self) -> Quarter:
        return (
            Quarter(self.year + 1, 1) if self.number == 4 else Quarter(self.year, self.number + 1)
        )

    @property
    def year_before(self) -> Quarter:
        return Quarter(self.year - 1, self.number)

    def holds(self, days: np.ndarray) -> np.ndarray:
        """Which ordinal days lie in the quarter; NaN in none."""
        return (days >= self.first.toordinal()) & (days <= self.last.toordinal())


def quarter_of(day: date) -> Quarter:
    """The quarter a day lies in."""
    return Quarter(day.year, (day.month + 2) // 3)


def last_complete(as_of: date) -> Quarter:
    """The newest quarter that has ended before `as_of`.

    >>> last_complete(date(2026, 9, 30)).name, last_complete(date(2026, 10, 1)).name
    ('2026Q2', '2026Q3')
    """
    return quarter_of(as_of).before


def read_quarter(text: str) -> Quarter:
    """`2026Q3`, `2026-Q3`, `q3 2026`. Raises Refused for anything else."""
    clean = text.strip().upper().replace(" ", "").replace("-", "")
    match = re.fullmatch(r"(\d{4})Q([1-4])", clean) or re.fullmatch(r"Q([1-4])(\d{4})", clean)
    if match is None or not 1900 <= int(max(match.groups(), key=len)) <= 9998:
        raise refused(f"{text!r} is not a quarter", "write it as 2026Q3")
    year, number = sorted(match.groups(), key=len, reverse=True)
    return Quarter(int(year), int(number))


def fair(days: np.ndarray, most: int, seed: int = 0) -> np.ndarray:
    """A fair sample by month: places of at most `most` of n rows in their order, of each month its
    share, drawn at random. days: (n,) ordinals, those without one a month of their own.

    >>> fair(np.array([739000.0, 739001.0]), 5).tolist()
    [0, 1]
    """
    n = len(days)
    if n <= most:
        return np.arange(n)
    months = np.nan_to_num(days - 719163, nan=-1).astype("datetime64[D]").astype("datetime64[M]")
    order = np.lexsort((np.random.default_rng(seed).random(n), months))
    return np.sort(order[np.linspace(0, n - 1, most).round().astype(int)])
