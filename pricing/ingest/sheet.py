"""A sheet as the checks of its columns see it."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from pricing.basis.columns import BY_NAME
from pricing.basis.problems import Problem
from pricing.basis.settings import Settings
from pricing.ingest import values
from pricing.ingest.dialect import Record
from pricing.ingest.headings import Heading, is_computed, plain

Amounts = Sequence[float | None]


class Sheet(NamedTuple):
    """What a check sees: the headings and rows (changed in place), and the file's name."""

    headings: list[Heading]
    body: list[Record]
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

    def unknown(self) -> list[int]:
        """The places of headings that are none of our columns."""
        return [at for at, one in enumerate(self.headings) if not one.column and one.text]

    def may_be_money(self, heading: Heading) -> bool:
        """Whether a heading may be what was paid or the price: not said by the person, nor plain,
        nor worked out by the sheet."""
        sure = heading.column and not heading.weak and heading.how != "values"
        own = sure or plain(heading.text) in self.own or is_computed(heading.text)
        return not own and heading.column in ("", "paid", "price")

    def amounts(self, place: int | None) -> list[float | None]:
        """The amounts of a column, None where a cell is blank or holds none."""
        cells = ["" if place is None else self.cell(record, place) for record in self.body]
        read = [values.read_money(cell) if cell else values.BLANK for cell in cells]
        return [None if one.value is None or one.problem else float(one.value) for one in read]

    def write(self, at: int, place: int, text: str) -> None:
        """Put a text into a cell of a row."""
        cells = [*self.body[at].cells, *[""] * (place + 1 - len(self.body[at].cells))]
        cells[place] = text
        self.body[at] = replace(self.body[at], cells=tuple(cells))

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
