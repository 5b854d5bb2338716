"""Cells that a form or a command holds under our own column names, read by the rules of a sheet."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.ingest import dialect, draft, one_row, reading
from pricing.ingest.headings import Heading


def read_cells(cells: Mapping[str, str], settings: Settings, today: date) -> reading.Row:
    """The row that some cells say; days as 2026-03-01, amounts as 12.50. Raises Refused with the
    column of each cell that cannot be read.

    >>> cells = {"unit": "7", "type": "electric dryer", "paid": "20"}
    >>> read_cells(cells, Settings(), date(2026, 3, 1)).values["paid"]
    Decimal('20.00')
    """
    headings = tuple(Heading(name, name) for name in cells)
    rules = draft.Rules("", headings, settings, today, ".", "ymd", "")
    found = one_row.read_row(dialect.Record(1, tuple(cells.values())), 1, rules)
    if isinstance(found, reading.Rejected):
        raise Refused(*(replace(problem, file=None, line=None) for problem in found.problems))
    return found
