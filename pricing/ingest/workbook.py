"""A spreadsheet workbook as itself (.xlsx, .xls, .ods), as lines of text, where its reader is
there. Cells come typed, so dates and numbers have one reading each; line numbers are row
numbers."""

import csv
import io
import re
import zipfile
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any, NamedTuple

from pricing.basis.problems import refused
from pricing.ingest.encoding import Decoded
from pricing.ingest.headings import known_column, plain

ENDINGS = (".xlsx", ".xlsm", ".xlsb", ".xls", ".ods")
_MAGIC = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
_SAVE_AS = "open it in your spreadsheet program and save as CSV (UTF-8), then add that file"


def is_workbook(name: str, data: bytes) -> bool:
    """Whether name and first bytes agree that this is a workbook; else refused elsewhere."""
    return name.lower().endswith(ENDINGS) and data.startswith(_MAGIC)


class _Tab(NamedTuple):
    """One sheet that holds a header we know. header: its plain cells; columns: ours."""

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
    """The list of units as CSV text: the sheet most like one, and all in sight with the same
    header. Refused where the reader is missing or no sheet fits."""
    try:
        from python_calamine import CalamineError, SheetVisibleEnum, load_workbook
    except ImportError as error:
        fix = f'{_SAVE_AS}; or install the workbook reader: pip install "mended-pricing[workbook]"'
        what = "this is a spreadsheet workbook, not a CSV text file"
        raise refused(what, fix, file=name) from error
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
        raise refused("this workbook cannot be read", _SAVE_AS, file=name) from error
    if not tabs:
        raise refused(
            "no sheet of this workbook has a header line with columns I know (such as type,"
            " price, sold)",
            _SAVE_AS,
            file=name,
        )
    best = max(tabs, key=lambda tab: tab.rank)
    same = [tab for tab in tabs if tab.seen and best.seen and tab.header == best.header]
    read = [tab for tab in tabs if tab is best or (tab in same and not _is_copy(tab, best, own))]
    text = "\n".join(_lines(tab.rows) for tab in read)
    told = "; ".join(filter(None, (_told(read, tabs), _errors(data))))
    return Decoded(text, "workbook", example=best.name, told=told)


def _is_copy(tab: _Tab, best: _Tab, own: Mapping[str, str]) -> bool:
    """Whether a sheet is an older copy of the list: most of its units stand there too."""
    if tab is best:
        return False
    mine, others = (_marks(one, own) for one in (tab, best))
    return len(mine & others) > 0.5 * len(mine)


def _marks(tab: _Tab, own: Mapping[str, str]) -> set[tuple[str, ...]]:
    """What tells the units of a sheet apart: their number, else type and days."""
    head = next((at for at, row in enumerate(tab.rows[:60]) if _plain_cells(row) == tab.header), 0)
    columns = [known_column(as_text(cell), own)[0] for cell in tab.rows[head]]
    wanted = ("unit",) if "unit" in columns else ("type", "got", "sold")
    places = [columns.index(name) for name in wanted if name in columns]
    found = {tuple(as_text(row[at]) for at in places) for row in tab.rows[head + 1 :]}
    return {mark for mark in found if any(mark)}


_ERROR = re.compile(rb'<c [^>]*?t="e"[^>]*>.*?<v>(.*?)</v>', re.DOTALL)


def _errors(data: bytes) -> str:
    """How many cells hold an error (#N/A): they are read as blank."""
    if not data.startswith(b"PK"):
        return ""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        sheets = [one for one in archive.namelist() if one.startswith("xl/worksheets/")]
        found = [error for one in sheets for error in _ERROR.findall(archive.read(one))]
    if not found:
        return ""
    kinds = ", ".join(sorted({error.decode("ascii", "replace") for error in found})[:4])
    return f"{len(found):,} cells hold an error ({kinds}) and were read as blank"


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
            best, columns = _plain_cells(row), found
    return best, columns


def _plain_cells(row: Sequence[Any]) -> tuple[str, ...]:
    return tuple(plain(text) for cell in row if (text := as_text(cell)).strip())


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
    texts = [[as_text(cell) for cell in row] for row in rows]
    csv.writer(out, lineterminator="\n").writerows(texts)
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
