"""What reading a file gives: rows, rows set aside, lines passed over, facts, questions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from datetime import date
from decimal import Decimal
from typing import Any

from pricing.basis.frozen import frozen
from pricing.basis.problems import Problem
from pricing.ingest.headings import Heading, taken


@frozen
class Answers:
    """What the person said about a file: on the command line, or of the last of its shape."""

    encoding: str = ""
    date_order: str = ""
    decimal: str = ""
    headers: Mapping[str, str] = field(default_factory=dict)
    columns: tuple[str, ...] = ()
    year: int | None = None
    describe: str = ""
    slash: str = ""
    words: Mapping[str, str] = field(default_factory=dict)  # their word -> ours
    ended: str = ""  # what became of unsold units that have a last day
    take_older: bool = False

    def as_dict(self) -> dict[str, Any]:
        """What is worth remembering for the next file of the same shape."""
        names = ("date_order", "decimal", "headers", "describe", "slash", "words", "ended")
        kept = {name: value for name in names if (value := getattr(self, name))}
        return {name: x if isinstance(x, str) else dict(x) for name, x in kept.items()}

    def over(self, remembered: Mapping[str, Any]) -> Answers:
        """These answers, completed by what was said before."""
        kept = {
            key: remembered[key]
            for key in ("date_order", "decimal", "describe", "slash", "ended")
            if not getattr(self, key) and isinstance(remembered.get(key), str)
        }
        headers = {**remembered.get("headers", {}), **self.headers}
        words = {**remembered.get("words", {}), **self.words}
        return replace(self, headers=headers, words=words, **kept)


@frozen
class Row:
    """One unit as read. values: canonical columns, Decimal money, float numbers, date days, text
    words; said: own words where they differ from ours; extra: own attributes and unknown columns;
    known: what a question sheet says beside the unit; notes: what should be told; cells: as
    written."""

    line: int
    record: int
    values: dict[str, Any]
    said: dict[str, str]
    extra: dict[str, Any]
    known: dict[str, float]
    notes: tuple[Problem, ...] = ()
    cells: tuple[str, ...] = ()

    def as_unit(self) -> dict[str, Any]:
        """The values as models read them: floats, dates as ordinal days, own attributes beside."""
        return self.extra | {
            name: (
                value.toordinal()
                if isinstance(value, date)
                else float(value)
                if isinstance(value, Decimal)
                else value
            )
            for name, value in self.values.items()
        }


@frozen
class Rejected:
    """A row set aside: why, and its cells as written."""

    line: int
    record: int
    cells: tuple[str, ...]
    problems: tuple[Problem, ...]


@frozen
class Skipped:
    """A line that is no unit: a total, a repeated header, a heading, a remark."""

    line: int
    why: str
    cells: tuple[str, ...] = ()


@frozen
class FileQuestion:
    """What only the person can say. option: added to the command; lines: rows that wait."""

    text: str
    options: tuple[str, ...]
    lines: tuple[int, ...] = ()


@frozen
class Facts:
    """How the file was read."""

    encoding: str
    delimiter: str
    decimal: str
    date_order: str
    currency: str
    headings: tuple[Heading, ...]
    shape: str  # fingerprint of the header
    example: str = ""


@frozen
class Reading:
    """A whole file; of the rows seen none vanishes: taken, rejected or skipped."""

    file: str
    rows: tuple[Row, ...]
    rejected: tuple[Rejected, ...]
    skipped: tuple[Skipped, ...]
    notes: tuple[Problem, ...]
    questions: tuple[FileQuestion, ...]
    facts: Facts

    @property
    def proposed(self) -> tuple[str, ...]:
        """The answers that take over every column which can be one thing only."""
        return tuple(
            one.options[0]
            for one in self.questions
            if len(one.options) == 1 and one.options[0].startswith("--header")
        )

    @property
    def seen(self) -> int:
        return len(self.rows) + len(self.rejected) + len(self.skipped)

    @property
    def columns(self) -> list[tuple[str, str, list[str]]]:
        """Each heading, what it was taken for, and five values of it."""
        cells = [(row.line, row.cells) for row in self.rows]
        cells += [(row.line, row.cells) for row in self.rejected]
        return taken(self.facts.headings, [row for _, row in sorted(cells)])

    @property
    def control_total(self) -> Decimal:
        """Sum of the sale prices of the rows that can be recorded."""
        return sum((row.values["price"] for row in self.rows if "price" in row.values), Decimal(0))
