"""The same report as a PDF: the page first, then the pictures and tables of Details. Text is laid
out here, drawn by `charts`."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from pricing.pages.parts import Table
from pricing.pages.quarter import Page

LINE_WIDTH = 104  # characters of a line of text
CHARACTERS = {"mono": 120, "small": 158}  # of a line of a table, by its size
CELL_GAP = 2
MOST_ROWS = 60  # rows of a table; the CSV beside it has them all


def lines_of(page: Page) -> list[tuple[str, str]]:
    """The whole report as lines of (style, text): "h1", "h2", "text", "mono", "small", both also
    "-bold", "picture" (text is its name) and "page"."""
    out: list[tuple[str, str]] = [("h1", page.title), ("text", page.headline)]
    if page.demo:
        out.append(("text", "DEMO: everything in this report is invented."))
    out.append(("h2", "In five sentences"))
    for i, sentence in enumerate(page.sentences, 1):
        out += _wrapped(f"{i}. {sentence}", "   ")
    for table in (page.money, page.pays, page.sits):
        out += [("h2", table.caption), *table_lines(table)]
    out += [("text", ""), *[line for note in page.notes for line in _wrapped(note)]]
    out.append(("h2", "Next steps"))
    for step in page.steps:
        out += _wrapped(f"- {step}", "  ")
    out.append(("page", ""))
    for section in page.sections:
        out.append(("h2", section.title))
        for paragraph in section.paragraphs:
            out += _wrapped(paragraph)
        for shown in section.shown:
            out += _wrapped(shown.takeaway)
            if shown.picture is not None:
                out.append(("picture", shown.picture.name))
            out += [("text", ""), ("mono-bold", shown.table.caption), *table_lines(shown.table)]
        for table in section.tables:
            out += [("text", ""), ("mono-bold", table.caption), *table_lines(table)]
    return out


def _wrapped(text: str, indent: str = "") -> list[tuple[str, str]]:
    return [
        ("text", line) for line in textwrap.wrap(text, LINE_WIDTH, subsequent_indent=indent) or [""]
    ]


def table_lines(table: Table) -> list[tuple[str, str]]:
    """A table as lines of equal-width characters, in the small size where it is wide; words are
    shortened to fit, figures never."""
    rows = [list(row) for row in table.rows[:MOST_ROWS]]
    all_rows = [list(table.head), *rows, *[list(row) for row in table.foot]]
    widths = [max(len(row[i]) for row in all_rows) for i in range(len(table.head))]
    gaps = CELL_GAP * (len(widths) - 1)
    size = "mono" if sum(widths) + gaps <= CHARACTERS["mono"] else "small"
    words = [i for i in range(len(widths)) if i not in table.right]
    while sum(widths) + gaps > CHARACTERS[size] and words and max(widths[i] for i in words) > 8:
        widths[max(words, key=lambda i: widths[i])] -= 1
    out = [(f"{size}-bold", _row(table.head, widths, table.right))]
    out += [(size, _row(row, widths, table.right)) for row in rows]
    if len(table.rows) > MOST_ROWS:
        out.append(
            (
                size,
                (
                    f"{len(table.rows) - MOST_ROWS:,} more rows: see the HTML page and the CSV"
                    " beside it."
                ),
            )
        )
    out += [(f"{size}-bold", _row(row, widths, table.right)) for row in table.foot]
    return out + [line for note in ([table.note] if table.note else []) for line in _wrapped(note)]


def _row(cells: Sequence[str], widths: Sequence[int], right: frozenset[int]) -> str:
    shown = [
        cell if len(cell) <= width else cell[: width - 1] + "…"
        for cell, width in zip(cells, widths, strict=True)
    ]
    return (
        (" " * CELL_GAP)
        .join(
            cell.rjust(width) if i in right else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(shown, widths, strict=True))
        )
        .rstrip()
    )
