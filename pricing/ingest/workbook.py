"""A spreadsheet workbook as itself (.xlsx, .xls, .ods), where the optional reader is installed: its
list of units, as lines of text.

Cells come typed, so dates and numbers have one reading each; a workbook row is one line, and line
numbers are row numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any, NamedTuple

from pricing.basis.problems import Problem, Refused
from pricing.ingest.encoding import Decoded
from pricing.ingest.headings import known_column, plain

ENDINGS = (".xlsx", ".xlsm", ".xlsb", ".xls", ".ods")
_MAGIC = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_SAVE_AS = "open it in your spreadsheet program and save as CSV (UTF-8), then add that file"


def is_workbook(name: str, data: bytes) -> bool:
    """Whether name and first bytes agree that this is a workbook; a workbook under another name is
    refused elsewhere."""
    return name.lower().endswith(ENDINGS) and data.startswith(_MAGIC)


class _Tab(NamedTuple):
    """One sheet of a workbook that holds a header we know. header: its plain cells; columns:
    ours."""

    name: str
    seen: bool
    rows: Sequence[Sequence[Any]]
    header: tuple[str, ...]
    columns: frozenset[str]

    @property
    def rank(self) -> tuple[bool, bool, int, int]:
        """A list of units has days or outcomes, a price list has not; what is hidden comes last."""
        return (bool(self.columns & _OF_A_LIST), self.seen, len(self.columns), len(self.rows))


_OF_A_LIST = frozenset({"sold", "got", "listed", "outcome", "paid"})


def read_workbook(data: bytes, name: str, own: Mapping[str, str]) -> Decoded:
    """The list of units as CSV text: the sheet that looks most like one, and every other one in
    sight with the same header, a year each perhaps. What was read and what was not is told. Raises
    Refused where the reader is missing or no sheet fits."""
    try:
        from python_calamine import CalamineError, SheetVisibleEnum, load_workbook
    except ImportError as error:
        fix = f'{_SAVE_AS}; or install the workbook reader: pip install "pricing[workbook]"'
        raise Refused(
            Problem("this is a spreadsheet workbook, not a CSV text file", fix, file=name)
        ) from error
    try:
        book = load_workbook(io.BytesIO(data))
        tabs = []
        for meta in book.sheets_metadata:
            rows = book.get_sheet_by_name(meta.name).to_python(skip_empty_area=False)
            header, columns = _header_of(rows, own)
            if len(columns) > 1:
                seen = meta.visible == SheetVisibleEnum.Visible
                tabs.append(_Tab(meta.name, seen, rows, header, columns))
    except (CalamineError, OSError, ValueError, OverflowError, MemoryError) as error:
        raise Refused(Problem("this workbook cannot be read", _SAVE_AS, file=name)) from error
    if not tabs:
        raise Refused(
            Problem(
                "no sheet of this workbook has a header line with columns I know (such as type,"
                " price, sold)",
                _SAVE_AS,
                file=name,
            )
        )
    best = max(tabs, key=lambda tab: tab.rank)
    read = [
        tab for tab in tabs if tab is best or (tab.seen and best.seen and tab.header == best.header)
    ]
    text = "\n".join(_lines(tab.rows) for tab in read)
    return Decoded(text, "workbook", example=best.name, told=_told(read, tabs))


def _header_of(
    rows: Sequence[Sequence[Any]], own: Mapping[str, str]
) -> tuple[tuple[str, ...], frozenset[str]]:
    """(the plain cells of the first lines' best header, the columns that it names)."""
    best: tuple[str, ...] = ()
    columns: frozenset[str] = frozenset()
    for row in rows[:60]:
        cells = tuple(as_text(cell) for cell in row)
        found = frozenset(
            column for cell in cells if len(cell) <= 60 and (column := known_column(cell, own)[0])
        )
        if len(found) > len(columns):
            best, columns = tuple(plain(cell) for cell in cells if cell.strip()), found
    return best, columns


def _told(read: Sequence[_Tab], tabs: Sequence[_Tab]) -> str:
    """Which sheets were read, where there were several to choose from."""
    others = [tab for tab in tabs if tab not in read]
    if len(tabs) < 2:
        return ""
    names = ", ".join(tab.name for tab in read)
    left = ", ".join(f"{tab.name}{'' if tab.seen else ' (hidden)'}" for tab in others)
    return f"sheets read: {names}{f'; not read: {left}' if left else ''}"


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
