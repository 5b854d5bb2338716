"""The CSV files beside the report, and the calendar-year tables as a part of it."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

import numpy as np

from pricing.pages.parts import MONEY_WORDS, Section, Table
from pricing.pages.text import day, exact
from pricing.quarter.money import IN, OUT
from pricing.quarter.quarter import QuarterReport
from pricing.quarter.yearly import TaxSheet, Year

MOST_ROWS = 30  # rows of a year's table in the page; the CSV has them all
PLAIN = ("units", "sold")  # columns that are counts


Cells = tuple[tuple[str, ...], Iterator[tuple[str, ...]]]


def rows_cells(report: QuarterReport) -> Cells:
    """Header and rows of every unit, empty trip and expense of the quarter, and a total row."""
    names, added = (*IN, *OUT), ("expense", "profit", "hours", "put_in_money", "put_in_hours")
    head = (
        "kind", "unit", "what", "day", "how it ended", "counted",
        *[MONEY_WORDS[name].lower() for name in names], "expense", "kept", "hours",
        "of it filled in for blanks, money", "of it filled in for blanks, hours",
    )  # fmt: skip
    totals = np.zeros(len(names) + len(added))

    def rows() -> Iterator[Iterable[object]]:
        for row in report.rows:
            told = [*(row.money[name] for name in names), *(getattr(row, x) for x in added)]
            totals[:] += told
            counted = "yes" if row.counted else "no"
            yield row.kind, row.unit, row.type, row.ended, row.outcome, counted, *map(float, told)
        yield "total", *[""] * 5, *np.round(totals, 2).tolist()

    return head, (tuple(map(_plain, row)) for row in rows())


def sheet_cells(sheet: TaxSheet) -> Cells:
    """Header and rows of one of the year's tables."""
    return sheet.head, (tuple(map(_plain, row)) for row in sheet.rows)


def _plain(value: object) -> str:
    """A cell of a CSV file: ISO dates, money to the cent without its sign, text as it is."""
    if isinstance(value, float):
        return f"{value:.2f}"
    return value.isoformat() if isinstance(value, date) else str(value)


def year_section(year: Year, currency: str) -> Section:
    """The year's tables as a part of Details."""
    covers = (
        f"Calendar year {year.year}, up to {day(year.until)}, {year.until.year}: sums of what was"
        " written down, nothing filled in for blanks."
    )
    warning = (
        "This is arithmetic, no tax advice: what counts, at which rate and when, your local rules"
        " and a tax adviser say. Each table is a CSV file beside this page."
    )
    tables = [_table(sheet, currency) for sheet in year.sheets if len(sheet.rows) > 1]
    return Section("tax-folder", "For the tax folder", [covers, warning], (), tables)


def _table(sheet: TaxSheet, currency: str) -> Table:
    body, total = sheet.rows[:-1], sheet.rows[-1]
    # Columns of nothing but zeros are left to the CSV: they only cost width on paper.
    whole = [i for i, each in enumerate(total) if i < 3 or not isinstance(each, float)]
    kept = [i for i in range(len(total)) if i in whole or any(row[i] for row in body)]
    others = body[MOST_ROWS:]
    shown = [*body[:MOST_ROWS], *([_added_up(others, total)] if others else []), total]
    right = frozenset(place for place, i in enumerate(kept) if isinstance(total[i], (int, float)))
    *rows, foot = [[_cell(sheet.head[i], row[i], currency) for i in kept] for row in shown]
    more = f"{len(others):,} more rows are in the file {sheet.name}.csv of the year."
    heads, note = [sheet.head[i] for i in kept], more if others else ""
    return Table(sheet.title, heads, rows, [foot], right, wide=len(kept) > 7, note=note)


def _added_up(rows: Sequence[tuple[object, ...]], total: tuple[object, ...]) -> tuple[object, ...]:
    """One row for many: sums where the total row has one."""
    sums: list[object] = ["the others"]
    for i in range(1, len(total)):
        rest = f"{len(rows):,} rows" if i == 1 else ""
        values = [value for row in rows if isinstance(value := row[i], (int, float))]
        sums.append(round(sum(values), 2) if isinstance(total[i], (int, float)) else rest)
    return tuple(sums)


def _cell(name: str, value: object, currency: str) -> str:
    if not isinstance(value, (int, float)):
        return value.isoformat() if isinstance(value, date) else str(value or "")
    if name in PLAIN:
        return f"{value:,}"
    return f"{value:,.2f}" if "both ways" in name else exact(float(value), currency)
