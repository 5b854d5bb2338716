"""The CSV files beside the report, and the calendar-year tables as a part of it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pricing.pages.parts import MONEY_WORDS, Section, Table
from pricing.pages.text import day, exact
from pricing.quarter.money import IN, OUT
from pricing.quarter.quarter import QuarterReport
from pricing.quarter.yearly import TaxSheet, Year

MOST_ROWS = 30  # rows of a year's table in the page; the CSV has them all
PLAIN = ("units", "sold")  # columns that are counts


Cells = tuple[tuple[str, ...], list[tuple[str, ...]]]


def rows_cells(report: QuarterReport) -> Cells:
    """Header and rows of every unit, empty trip and expense of the quarter: what came in and what
    went out, both positive, then kept and hours; a total row."""
    names = (*IN, *OUT)
    head = (
        "kind",
        "unit",
        "what",
        "day",
        "how it ended",
        "counted",
        *[MONEY_WORDS[name].lower() for name in names],
        "expense",
        "kept",
        "hours",
        "of it filled in for blanks, money",
        "of it filled in for blanks, hours",
    )
    rows: list[tuple[object, ...]] = []
    for row in report.rows:
        rows.append(
            (
                row.kind,
                row.unit,
                row.type,
                row.ended,
                row.outcome,
                "yes" if row.counted else "no",
                *[row.money[name] for name in names],
                row.expense,
                row.profit,
                row.hours,
                row.put_in_money,
                row.put_in_hours,
            )
        )
    sums = [round(sum(row.money[name] for row in report.rows), 2) for name in names]
    rest = [
        round(sum(getattr(row, name) for row in report.rows), 2)
        for name in ("expense", "profit", "hours", "put_in_money", "put_in_hours")
    ]
    rows.append(("total", "", "", "", "", "", *sums, *rest))
    return head, [tuple(map(_plain, row)) for row in rows]


def sheet_cells(sheet: TaxSheet) -> Cells:
    """Header and rows of one of the year's tables."""
    return sheet.head, [tuple(map(_plain, row)) for row in sheet.rows]


def _plain(value: object) -> str:
    """A cell of a CSV file: ISO dates, money to the cent without its sign, text as it is."""
    if isinstance(value, date):
        return value.isoformat()
    return f"{value:.2f}" if isinstance(value, float) else str(value)


def year_section(year: Year, currency: str) -> Section:
    """The year's tables as a part of Details."""
    paragraphs = [
        (
            f"Calendar year {year.year}, up to {day(year.until)}, {year.until.year}: sums of what"
            " was written down, nothing filled in for blanks."
        ),
        (
            "This is arithmetic, no tax advice: what counts, at which rate and when, your local"
            " rules and a tax adviser say. Each table is a CSV file beside this page."
        ),
    ]
    return Section(
        "tax-folder",
        "For the tax folder",
        paragraphs,
        (),
        [_table(sheet, currency) for sheet in year.sheets],
    )


def _table(sheet: TaxSheet, currency: str) -> Table:
    body, total = sheet.rows[:-1], sheet.rows[-1]
    # Columns of nothing but zeros are left to the CSV: they only cost width on paper.
    kept = [
        i
        for i in range(len(total))
        if i < 3 or not isinstance(total[i], float) or any(row[i] for row in body)
    ]
    others = body[MOST_ROWS:]
    shown = [*body[:MOST_ROWS], *([_added_up(others, total)] if others else [])]
    right = frozenset(place for place, i in enumerate(kept) if isinstance(total[i], (int, float)))

    def cells(row: tuple[object, ...]) -> list[str]:
        return [_cell(sheet.head[i], row[i], currency) for i in kept]

    note = (
        f"{len(others):,} more rows are in the file {sheet.name}.csv of the year." if others else ""
    )
    return Table(
        sheet.title,
        [sheet.head[i] for i in kept],
        [cells(row) for row in shown],
        [cells(total)],
        right,
        wide=len(kept) > 7,
        note=note,
    )


def _added_up(rows: Sequence[tuple[object, ...]], total: tuple[object, ...]) -> tuple[object, ...]:
    """One row for many: sums where the total row has one."""
    sums: list[object] = ["the others"]
    for i in range(1, len(total)):
        values = [value for row in rows if isinstance(value := row[i], (int, float))]
        sums.append(
            round(sum(values), 2)
            if isinstance(total[i], (int, float))
            else f"{len(rows):,} rows"
            if i == 1
            else ""
        )
    return tuple(sums)


def _cell(name: str, value: object, currency: str) -> str:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, bool) or value is None:
        return str(value or "")
    if isinstance(value, (int, float)):
        return (
            f"{value:,}"
            if name in PLAIN
            else f"{value:,.2f}"
            if "both ways" in name
            else exact(float(value), currency)
        )
    return str(value)
