"""Twelve numbers of the months of a year as a line through the year. numpy only."""

import numpy as np

DAYS_A_YEAR = 365.25
FIRST_OF_A_YEAR = 730120.0  # 1 January 2000 as an ordinal day: months are counted from it


def along_the_year(table: np.ndarray, days: np.ndarray) -> np.ndarray:
    """Value of each row on its day, (n,): twelve numbers at the middle of each month, straight
    between.

    table: January to December, (n, 12); days: ordinal, (n,).

    >>> from datetime import date
    >>> june_only = np.eye(12)[5:6]
    >>> [along_the_year(june_only, np.array([date(2026, m, 16).toordinal()])).round(2).item()
    ...  for m in (5, 6, 7)]
    [0.0, 0.97, 0.04]
    """
    place = ((days - FIRST_OF_A_YEAR) / DAYS_A_YEAR * 12 - 0.5) % 12
    month = place.astype(int) % 12
    rows = np.arange(len(table))
    here, after = table[rows, month], table[rows, (month + 1) % 12]
    return np.asarray(here + (place - month) * (after - here))
