"""A table as a CSV file that a spreadsheet opens without harm: UTF-8 with a mark, CRLF, ISO dates, plain numbers, disarmed text.

Text that a spreadsheet would run as a formula (it begins with = + - @, a tab or a line end) gets an apostrophe in front; numbers
are written as numbers, so a negative sum stays a sum.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

MARK = "\ufeff"
_ARMED = ("=", "+", "-", "@", "\t", "\r", "\n")


def disarmed(text: str) -> str:
    """Text that no spreadsheet takes for a formula.

    >>> disarmed("=1+1"), disarmed("gas range"), disarmed("-")
    ("'=1+1", 'gas range', "'-")
    """
    return f"'{text}" if text.startswith(_ARMED) else text


def csv_text(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """A header and rows as CSV text. Cells: text, dates, numbers (floats to the cent where they have cents), None for blank.

    >>> csv_text(("what", "money"), [("=SUM(A1)", -12.5), (None, 3.0)]).split("\\r\\n")[1:3]
    ["'=SUM(A1),-12.50", ',3']
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([disarmed(name) for name in head])
    for row in rows:
        writer.writerow([_cell(value) for value in row])
    return MARK + out.getvalue()


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return disarmed(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return f"{value:.0f}" if value == round(value) and abs(value) < 1e15 else f"{value:.2f}"
    return str(value)
