"""Which records of a file are what: header, units of measure, totals, headings, remarks, rows."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise, zip_longest

from pricing.basis.columns import EVENTS
from pricing.basis.problems import Problem, refused
from pricing.basis.settings import Settings
from pricing.basis.words import canonical, squash
from pricing.ingest import values
from pricing.ingest.dialect import Record
from pricing.ingest.headings import HELD, count_known, known_column, plain

_SEARCH = 60  # records in which a header may stand
MONTHS = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
# "[totals]": sums, sums after words of a period, periods alone, sums in any language
_TOTAL, _PERIOD, _SUM_OF = (
    re.compile(form.replace("~ ", "").replace("MONTHS", MONTHS)) for form in HELD["totals"]
)


@dataclass(frozen=True)
class Header:
    """Where the header stands among the records, and its cells without empty ends."""

    place: int
    line: int
    cells: tuple[str, ...]


EXAMPLE = "example: take this row out"  # how the notes of the blank sheet's rows begin
HEADING = "a heading or remark"  # why a line is no unit


def find_header(records: Sequence[Record], own: Mapping[str, str]) -> Header | None:
    """The record that names the most columns, two or more; or two lines that name more together."""
    best, best_known = None, 1
    for place, record in enumerate(records[:_SEARCH]):
        known = count_known(record.cells, own)
        if known > best_known:
            best, best_known = place, known
    for place, (upper, lower) in enumerate(pairwise(records[:_SEARCH])):
        ways = (join_lines(upper.cells, lower.cells), under_groups(upper.cells, lower.cells, own))
        joined = max(ways, key=lambda way: count_known(way, own))
        if count_known(joined, own) > best_known:
            return Header(place + 1, lower.line, joined)
    if best is None:
        return None
    # a later line may name one column more: the rows above it are rows
    best = next(
        place
        for place, record in enumerate(records)
        if (n := count_known(record.cells, own)) == best_known or n > max(3, 0.7 * best_known)
    )
    cells = list(records[best].cells)
    while cells and not cells[-1].strip():
        cells.pop()
    return Header(best, records[best].line, tuple(cells))


def join_lines(upper: Sequence[str], lower: Sequence[str]) -> tuple[str, ...]:
    """A header that stands on two lines, as one ("Sale" over "price"); () where the lines hold more
    than words.

    >>> join_lines(["Ref", "Sale", ""], ["", "price", "date"])
    ('Ref', 'Sale price', 'date')
    """
    if any(any(sign.isdigit() for sign in cell) or len(cell) > 40 for cell in (*upper, *lower)):
        return ()
    width = max(len(upper), len(lower))
    pairs = zip(
        (*upper, *[""] * (width - len(upper))), (*lower, *[""] * (width - len(lower))), strict=True
    )
    return tuple(f"{a.strip()} {b.strip()}".strip() for a, b in pairs)


def under_groups(
    upper: Sequence[str], lower: Sequence[str], own: Mapping[str, str]
) -> tuple[str, ...]:
    """A header below names of groups that reach to the right, as merged cells do: "Date" over got,
    listed, sold is "Date got", "Date listed", "Date sold". A name that says more alone stays alone.

    >>> under_groups(["", "Date", "", "Price", ""], ["type", "got", "sold", "asked", "sold"], {})
    ('type', 'Date got', 'Date sold', 'Price asked', 'Price sold')
    """
    if not join_lines(upper, lower):
        return ()
    group, names = "", []
    for place, name in enumerate(lower):
        group = (upper[place].strip() if place < len(upper) else "") or group
        joined = f"{group} {name.strip()}".strip()
        names.append(joined if name.strip() and count_known([joined], own) else name.strip())
    return tuple(names)


def order_of(cells: Sequence[str], header: Header) -> tuple[int, ...]:
    """For each column of the header, where a header in another order has it.

    >>> order_of(["price", "type"], Header(0, 1, ("type", "price")))
    (1, 0)
    """
    said = [plain(cell) for cell in cells]
    return tuple(
        said.index(name) if cell.strip() and (name := plain(cell)) in said else -1
        for cell in header.cells
    )


def is_another_header(cells: Sequence[str], header: Header) -> bool:
    """The header of a second table below the first: other columns, and nothing but words."""
    filled = [cell for cell in cells if cell.strip()]
    words_only = not any(any(sign.isdigit() for sign in cell) for cell in filled)
    return (
        len(filled) >= 3
        and words_only
        and count_known(filled) >= max(3, 0.6 * len(filled))
        and not is_header_again(cells, header)
        and not is_reordered(cells, header)
    )


def is_on_its_side(records: Sequence[Record]) -> bool:
    """Whether names of columns run down the first column: four or more, few along any line."""
    down = count_known(record.cells[0] for record in records if record.cells)
    return down >= 4 and down > 2 * max(
        (count_known(record.cells[1:]) for record in records), default=0
    )


def is_blank_record(cells: Sequence[str]) -> bool:
    return not any(cell.strip(" \t\r\n\x00\xa0\ufeff\u200b") for cell in cells)


def is_header_again(cells: Sequence[str], header: Header) -> bool:
    """The header once more, in the middle of the file."""
    own = _plain_names(header.cells)
    named = sum(map(bool, own))
    # a row of a unit is known by its first cells: not all need to be compared
    left = named - max(2, 0.6 * named)
    for cell, name in zip(cells, own, strict=False):
        if name and plain(cell) != name:
            left -= 1
            if left < 0:
                return False
    same = sum(bool(b) and plain(a) == b for a, b in zip(cells, own, strict=False))
    return same >= 2 and same >= 0.6 * named and not is_reordered(cells, header)


@lru_cache(maxsize=16)
def _plain_names(cells: tuple[str, ...]) -> list[str]:
    return [plain(cell) for cell in cells]


def is_reordered(cells: Sequence[str], header: Header) -> bool:
    """The header once more, with its columns in another order, or most of them."""
    pairs = zip(header.cells, _plain_names(header.cells), strict=True)
    own = [name for cell, name in pairs if cell.strip()]
    names = frozenset(own)
    said = []
    for cell in cells:
        if cell.strip():
            said.append(plain(cell))
            if said[-1] not in names:
                return False
    most = len({*said}) == len(said) > max(2, 0.6 * len(own))
    return said != own and (most or sorted(said) == sorted(own))


def is_total(cells: Sequence[str], type_place: int | None, unit_place: int | None) -> bool:
    """A line that sums up: a word like "total" in its first filled text cell, and no type beside
    it.

    >>> is_total(["Total", "", "1892.5"], 1, 0), is_total(["R1", "Oven", "190"], 1, 0)
    (True, False)
    """
    filled = [cell for cell in cells if cell.strip()]
    texts = [squash(cell) for cell in filled if not re.match(r"^[\s$£€\d.,()%-]+$", cell)]
    if not texts:
        return False
    if _SUM_OF.match(texts[0]) and len(texts) < 3 and 2 * len(filled) <= len(cells) + 1:
        return True
    kind = "" if type_place is None else squash("".join(cells[type_place : type_place + 1]))
    if _PERIOD.match(texts[0]) and type_place is not None:
        return not kind or bool(_PERIOD.match(kind))
    named = re.search(r"[^\W\d_]", kind) and not _TOTAL.match(kind)
    return bool(_TOTAL.match(texts[0]) and not named)


def says_total(text: str) -> bool:
    """Whether a cell's text is a word for a sum."""
    return bool(_TOTAL.match(squash(text)) or _PERIOD.match(squash(text)))


def why_no_unit(
    cells: Sequence[str], header: Header, type_place: int | None, unit_place: int | None, width: int
) -> str:
    """Why a line is no unit: the header again, a total, a heading; "" for a row."""
    if is_header_again(cells, header):
        return "the header again"
    if is_reordered(cells, header):
        return "the header again, its columns in another order"
    if not any(sign.isalnum() for cell in cells for sign in cell):
        return "a ruled line"
    if is_total(cells, type_place, unit_place):
        return "a total"
    if any(cell.strip().casefold().startswith(EXAMPLE) for cell in cells):
        return "an example of the blank sheet"
    return HEADING if heading_of(cells, width) else ""


def heading_of(cells: Sequence[str], width: int) -> str:
    """The text of a line with a single filled cell in a wide file (heading, remark); else ""."""
    filled = [cell.strip() for cell in cells if cell.strip()]
    return filled[0] if len(filled) == 1 and width >= 4 else ""


# ---- how the table lies in its file: on its side, under a header that grew, beside another
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


def stacked(
    found: Sequence[Record], header: Header, name: str
) -> tuple[list[Record], Header, list[Problem]]:
    """Sections beside each other under the same headings, one below the other."""
    names = [plain(cell) for cell in header.cells]
    for width in range(2, len(names) // 2 + 1):
        starts = [at for at in range(len(names)) if names[at : at + width] == names[:width]]
        if len(starts) < 2 or not all(names[:width]):
            continue
        if len(starts) * width < sum(map(bool, names)):
            continue
        rows = [
            replace(one, cells=one.cells[at : at + width])
            for at in starts
            for one in found[header.place + 1 :]
        ]
        head = Record(0, header.cells[:width])
        what = f"{len(starts)} lists stand beside each other: read one after the other"
        note = Problem(what, "", file=name, line=header.line)
        return [head, *rows], Header(0, 0, head.cells), [note]
    return list(found), header, []


_A_MONTH = re.compile(rf"^(?:{MONTHS}|20\d\d|\d\d?)[ ./'-]*(?:\d\d|20\d\d)?$", re.I)


def by_month(
    found: Sequence[Record], header: Header, own: Mapping[str, str], name: str
) -> tuple[list[Record], Header, list[Problem]]:
    """A list with a column for each month as one with a price: each row has one amount at most
    there. The day of the sale is not known; its month is kept as an own column."""
    months = [at for at, cell in enumerate(header.cells) if _A_MONTH.match(cell.strip())]
    if len(months) < 4 or "price" in _columns(header, own):
        return list(found), header, []
    names = ", ".join(header.cells[at] for at in months[:2])
    what = f"this table has a column for each month ({names}, …)"
    body = [one for one in found[header.place + 1 :] if not is_blank_record(one.cells)]
    told = [[at for at in months if _cell(one, at)] for one in body]
    if max(map(len, told), default=0) != 1:
        fix = "write one line for each unit, with the day and the price of its sale"
        raise refused(what, fix, file=name, line=header.line)
    kept = sorted({*range(len(header.cells))} - {*months})
    rows = []
    for one, places in zip(body, told, strict=True):
        cells = [_cell(one, at) for at in (*kept, *places)]
        rows.append(replace(one, cells=(*cells, *map(header.cells.__getitem__, places))))
    head = Record(0, (*map(header.cells.__getitem__, kept), "price", "month of sale"))
    fix = "the day of each sale is not known: write it in a column of its own"
    note = Problem(f"{what}: each amount was read as a price", fix, file=name, line=header.line)
    return [head, *rows], Header(0, 0, head.cells), [note]


_FLOWS = [{*entry.split(" = ")} for entry in HELD["flows"]]


def no_cash_book(found: Sequence[Record], header: Header, name: str) -> None:
    """Refuse a book of cash: each line one day and money in or money out, never both."""
    names = [plain(cell) for cell in header.cells]
    places = next(
        ([names.index(one) for one in flow] for flow in _FLOWS if flow <= {*names}), [0, 0]
    )
    body = [one for one in found[header.place + 1 :] if not is_blank_record(one.cells)]
    sides = [[bool(_cell(one, at)) for at in places] for one in body]
    either, least = (
        sum(a != b for a, b in sides),
        min(map(sum, zip(*sides, strict=True)), default=0),
    )
    if places == [0, 0] or either < 0.9 * len(body) or least < 0.2 * len(body):
        return
    first, second = (header.cells[at] for at in places)
    what = f"each line is money in or money out of one day ({first!r}, {second!r}), not one unit"
    fix = "give each unit one line: what it is, the day got, what you paid, the day sold, the price"
    raise refused(what, fix, file=name, line=header.line)


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
    columns = _columns(header, own)
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


def _columns(header: Header, own: Mapping[str, str]) -> list[str]:
    return [known_column(cell, own)[0] for cell in header.cells]


def _cell(record: Record, place: int) -> str:
    return record.cells[place].strip() if place < len(record.cells) else ""


def _together(texts: Sequence[str]) -> str:
    """The amounts of several events of one kind added up; what is no amount side by side."""
    texts = [text for text in texts if text]
    read = [values.read_money(text).value for text in texts]
    sums = len(texts) > 1 and all(isinstance(one, Decimal) for one in read)
    return f"{sum(read)}" if sums else "; ".join(texts)
