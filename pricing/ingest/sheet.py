"""A sheet as the checks of its columns see it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from pricing.basis.columns import BY_NAME
from pricing.basis.problems import Problem
from pricing.basis.settings import Settings
from pricing.ingest.dialect import Record
from pricing.ingest.headings import Heading, plain


class Sheet(NamedTuple):
    """What a check sees: the headings (changed in place), the rows, and the file's name."""

    headings: list[Heading]
    body: Sequence[Record]
    settings: Settings
    name: str
    own: Mapping[str, str]

    def place(self, column: str) -> int | None:
        """Where a column stands that the person did not name; None where it does not."""
        return next(
            (
                place
                for place, heading in enumerate(self.headings)
                if heading.column == column and plain(heading.text) not in self.own
            ),
            None,
        )

    def has(self, column: str) -> bool:
        return any(heading.column == column for heading in self.headings)

    def texts(self, place: int) -> list[str]:
        return [
            text
            for record in self.body
            if place < len(record.cells) and (text := record.cells[place].strip())
        ]

    def cell(self, record: Record, place: int) -> str:
        return record.cells[place].strip() if place < len(record.cells) else ""

    def take(self, place: int, column: str, why: str, unit: str = "") -> Problem:
        """Take a column for another one, "" for one that is only kept; the note that says so."""
        heading = self.headings[place]
        self.headings[place] = replace(
            heading, column=column, unit=unit or heading.unit, weak=False, how="values"
        )
        kept = f"taken as {BY_NAME[column].meaning}" if column else "kept as your own column"
        what = f"{heading.text!r} {why}: {kept}"
        fix = f'say otherwise with --header "{heading.text}=…"'
        return Problem(what, fix, file=self.name, column=heading.text)
