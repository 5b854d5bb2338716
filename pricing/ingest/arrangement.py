"""How the table lies in its file: on its side, under a header that grew, beside another table."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import zip_longest

from pricing.basis.columns import EVENTS
from pricing.basis.problems import Problem, refused
from pricing.basis.settings import Settings
from pricing.basis.words import canonical
from pricing.ingest import values
from pricing.ingest.dialect import Record
from pricing.ingest.headings import count_known, known_column, plain
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
    """The header with the columns that a later header of the same table has and it has not."""
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


_ENDS = ("scrapped", "parted")
# a word for an event -> the columns for its day and its amount, by the column that it heads
_EVENT = {
    **dict.fromkeys(("got", "paid"), ("got", "paid")),
    **dict.fromkeys(("listed", "asked"), ("listed", "asked")),
    **dict.fromkeys(("sold", "price"), ("sold", "price")),
    **{name: ("", name) for name in ("parts", "fees", "refund", "haul_cost", "helper", "delivery")},
    **dict.fromkeys(_ENDS, ("sold", "salvage")),
}
_AMOUNTS = tuple(dict.fromkeys(amount for _, amount in _EVENT.values()))
_MADE = ("outcome", *EVENTS, *_AMOUNTS)


def _event_of(text: str, settings: Settings) -> str:
    column = known_column(text, {})[0]
    return column if column in _EVENT else canonical("outcome", text, settings) or ""


def by_unit(
    found: Sequence[Record], header: Header, own: Mapping[str, str], settings: Settings, name: str
) -> tuple[list[Record], Header, list[Problem]]:
    """A list with a line for each event (bought, parts, listed, sold) as one with a line a unit."""
    columns = [known_column(cell, own)[0] for cell in header.cells]
    days = [at for at, column in enumerate(columns) if column in EVENTS]
    money = [at for at, column in enumerate(columns) if column in (*_AMOUNTS, "cost_in")]
    if len(days) != 1 or len(money) != 1:
        return list(found), header, []
    body = [one for one in found[header.place + 1 :] if not is_blank_record(one.cells)]
    place, events = _events_under(header, body, settings)
    if place < 0:
        return list(found), header, []
    said = header.cells[place]
    what = f"each line is one event of a unit (bought, listed, sold under {said!r})"
    if "unit" not in columns:
        raise refused(what, "give every line the number of its unit", file=name)
    kept = sorted({*range(len(columns))} - {place, *days, *money})
    units: dict[str, list[tuple[Record, str]]] = {}
    for one, event in zip(body, events, strict=True):
        units.setdefault(_cell(one, columns.index("unit")), []).append((one, event))
    names = Record(0, (*(header.cells[at] for at in kept), *_MADE))
    rows = [_unit_of(lines, kept, days[0], money[0]) for lines in units.values()]
    note = Problem(f"{what}: put together by unit", "", file=name, line=header.line)
    return [names, *rows], Header(0, 0, names.cells), [note]


def _unit_of(
    lines: Sequence[tuple[Record, str]], kept: Sequence[int], day_at: int, money_at: int
) -> Record:
    """The events of one unit as its one row."""
    told: dict[str, list[str]] = {name: [] for name in ("", *_MADE)}
    for one, event in lines:
        day, amount = _EVENT.get(event, ("", ""))
        told[day].append(_cell(one, day_at))
        told[amount].append(_cell(one, money_at))
        told["outcome"] += [event] if event in _ENDS else []
    first = lines[0][0]
    made = (_together(told[name]) for name in _MADE)
    return Record(first.line, (*(_cell(first, at) for at in kept), *made))


def _events_under(
    header: Header, body: Sequence[Record], settings: Settings
) -> tuple[int, list[str]]:
    """The one column whose cells name events, buying among them, and the events; -1 for none."""
    found = []
    for at in range(len(header.cells)):
        events = [_event_of(_cell(one, at), settings) for one in body]
        named = [event for event in events if event in _EVENT]
        kinds = {_EVENT[event] for event in named}
        # no outcome of a unit says that it was bought
        if len(named) > 0.9 * len(body) and len(kinds) > 1 and ("got", "paid") in kinds:
            found.append((at, events))
    return found[0] if len(found) == 1 else (-1, [])


def _cell(record: Record, place: int) -> str:
    return record.cells[place].strip() if place < len(record.cells) else ""


def _together(texts: Sequence[str]) -> str:
    """The amounts of several events of one kind added up; what is no amount side by side."""
    texts = [text for text in texts if text]
    read = [values.read_money(text).value for text in texts]
    sums = len(texts) > 1 and all(isinstance(one, Decimal) for one in read)
    return f"{sum(read)}" if sums else "; ".join(texts)
