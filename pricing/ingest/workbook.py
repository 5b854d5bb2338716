"""A spreadsheet workbook as itself (.xlsx, .xls, .ods), where the optional reader is installed: its
first sheet with a known header, as lines of text.

Cells come typed, so dates and numbers have one reading each; a workbook row is one line, and line
numbers are row numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from pricing.basis.problems import Problem, Refused
from pricing.ingest.encoding import Decoded
from pricing.ingest.headings import count_known

ENDINGS = (".xlsx", ".xlsm", ".xlsb", ".xls", ".ods")
_MAGIC = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_SAVE_AS = "open it in your spreadsheet program and save as CSV (UTF-8), then add that file"


def is_workbook(name: str, data: bytes) -> bool:
    """Whether name and first bytes agree that this is a workbook; a workbook under another name is
    refused elsewhere."""
    return name.lower().endswith(ENDINGS) and data.startswith(_MAGIC)


def read_workbook(data: bytes, name: str, own: Mapping[str, str]) -> Decoded:
    """The first sheet whose first lines hold a header we know, as CSV text. Raises Refused where
    the reader is missing or no sheet fits."""
    try:
        from python_calamine import CalamineError, load_workbook
    except ImportError as error:
        fix = f'{_SAVE_AS}; or install the workbook reader: pip install "pricing[workbook]"'
        raise Refused(
            Problem("this is a spreadsheet workbook, not a CSV text file", fix, file=name)
        ) from error
    try:
        book = load_workbook(io.BytesIO(data))
        for sheet in book.sheet_names:
            rows = book.get_sheet_by_name(sheet).to_python(skip_empty_area=False)
            if any(count_known([as_text(cell) for cell in row], own) > 1 for row in rows[:60]):
                return Decoded(_lines(rows), "workbook", example=sheet)
    except (CalamineError, OSError, ValueError, OverflowError, MemoryError) as error:
        raise Refused(Problem("this workbook cannot be read", _SAVE_AS, file=name)) from error
    raise Refused(
        Problem(
            "no sheet of this workbook has a header line with columns I know (such as type, price,"
            " sold)",
            _SAVE_AS,
            file=name,
        )
    )


def _lines(rows: Sequence[Sequence[Any]]) -> str:
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\n").writerows(
        [[as_text(cell) for cell in row] for row in rows]
    )
    return out.getvalue()


def as_text(cell: Any) -> str:
    """One typed cell as the text that our readers read back to the same value.

    >>> (as_text(212.5), as_text(7.0), as_text(date(2026, 4, 30)), as_text("a\\nb"),
    ...  as_text(timedelta(hours=1.5)))
    ('212.5', '7', '2026-04-30', 'a; b', '1:30')
    """
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{round(cell, 6):.10g}" if abs(cell) < 1e15 else repr(cell)
    if isinstance(cell, datetime):
        return cell.date().isoformat()
    if isinstance(cell, date):
        return cell.isoformat()
    if isinstance(cell, time):
        return f"{cell.hour}:{cell.minute:02d}"
    if isinstance(cell, timedelta):
        minutes = round(cell.total_seconds() / 60)
        return f"{minutes // 60}:{minutes % 60:02d}"
    return (
        "; ".join(part.strip() for part in str(cell).splitlines() if part.strip())
        if "\n" in str(cell) or "\r" in str(cell)
        else str(cell)
    )
