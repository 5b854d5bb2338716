"""How the table lies in its file: on its side, under a header that grew, beside another table."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import zip_longest

from pricing.basis.problems import Problem
from pricing.ingest.dialect import Record
from pricing.ingest.headings import count_known, plain
from pricing.ingest.structure import Header, is_blank_record, is_on_its_side


def set_upright(found: Sequence[Record], name: str) -> tuple[list[Record], list[Problem]]:
    """The records of a table on its side, turned; line numbers are then those of its columns."""
    filled = [record for record in found if not is_blank_record(record.cells)]
    if not is_on_its_side(filled[:60]):
        return list(found), []
    turned = zip_longest(*(record.cells for record in filled), fillvalue="")
    note = Problem(
        "the table stands on its side and was turned: line 5 is your fifth column", "", file=name
    )
    return [Record(at, tuple(cells)) for at, cells in enumerate(turned, start=1)], [note]


def widened(found: Sequence[Record], header: Header, own: Mapping[str, str]) -> Header:
    """The header with the columns that a later one of the same table has and it has not: people add
    a column and write the header anew."""
    names = [plain(cell) for cell in header.cells if cell.strip()]
    for record in found[header.place + 1 :]:
        said = {plain(cell): cell for cell in record.cells if cell.strip()}
        shared = len(said.keys() & {*names})
        new = [cell for name, cell in said.items() if name not in names]
        if new and shared >= max(3, 0.7 * len(names)) and count_known(new, own) == len(new):
            header = replace(header, cells=(*header.cells, *new))
            names += [plain(cell) for cell in new]
    return header


def cut_off_beside(
    found: Sequence[Record], header: Header, name: str
) -> tuple[list[Record], Header, list[Problem]]:
    """Records and header without a shorter table to the right, behind an empty column."""
    body = [one for one in found[header.place + 1 :] if not is_blank_record(one.cells)]
    for gap in range(2, len(header.cells) - 2):
        names = [cell for cell in header.cells[gap + 1 :] if cell.strip()]
        if header.cells[gap].strip() or len(names) < 2 or _filled(body, gap, gap + 1):
            continue
        right = _filled(body, gap + 1, len(header.cells))
        left = _filled(body, 0, gap)
        if right == len(right_rows := _first_filled(body, gap + 1)) < 0.6 * left:
            note = Problem(
                f"another table stands beside the list, from the column {names[0]!r} on: its"
                f" {len(right_rows)} lines were not read",
                "put it on a sheet of its own, or take the empty column before it out",
                file=name,
                line=header.line,
            )
            cut = [replace(one, cells=one.cells[:gap]) for one in found]
            return cut, replace(header, cells=header.cells[:gap]), [note]
    return list(found), header, []


def _filled(body: Sequence[Record], first: int, last: int) -> int:
    """How many records have a cell filled between two columns."""
    return sum(not is_blank_record(record.cells[first:last]) for record in body)


def _first_filled(body: Sequence[Record], first: int) -> list[Record]:
    """The records from the top on that have something in the columns from `first` on."""
    rows = []
    for record in body:
        if is_blank_record(record.cells[first:]):
            break
        rows.append(record)
    return rows
