"""Which records of a file are what: header, units of measure, totals, headings, remarks, rows."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from pricing.basis.words import squash
from pricing.ingest.dialect import Record
from pricing.ingest.headings import count_known, plain

_SEARCH = 60  # records in which a header may stand
MONTHS = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_TOTAL = re.compile(
    r"^(?:grand |sub |overall |year |month |monthly |yearly |page |running |final |sum |q[1-4] "
    rf"|{MONTHS} (?:(?:19|20)?\d\d )?"
    r"|(?:19|20)\d\d )?(?:total|totals|subtotal|subtotals|sum|sums|average|averages|avg|mean"
    r"|count|min|max|median"
    r"|summe|gesamt|gesamtsumme|somme|totale|totaal|übertrag|report|à reporter|riporto|transport"
    r"|suma y sigue|do przeniesienia|z przeniesienia|balance|carried forward|brought forward|total"
    r" carried forward|c f|b f|carry forward|net total|profit)"
    r"(?: (?:for|of|sales|units|row|in|to|sold|all|q\d|\d+|profit|sum|price|prices|paid"
    r"|items|year|month|quarter|forward|carried|brought|date|usd|gbp|eur|and|average|count"
    r"|jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec).*)?$"
)
# the name of a period, alone or with what was summed: "March 2024", "Q1 sales", "Year end", "All
# units"
_PERIOD = re.compile(
    rf"^(?:(?:{MONTHS}|q[1-4]|h[12]|week \d+|year|month|quarter|ytd|fy)(?: (?:19|20)?\d\d)?"
    r"(?: (?:sales|sold|units|end|so far|to date|takings|income|revenue))?"
    r"|(?:19|20)\d\d(?: (?:sales|sold|units|takings|income|revenue))?"
    r"|(?:all|\d+) (?:units|sales|sold|items|rows|appliances)|(?:year|month|quarter) end)$"
)


# a word for a sum, in any language that sheets were seen in; whatever period follows it
_SUM_OF = re.compile(
    r"^(?:grand |sub ?|zwischen|gesamt|end|teil|jahres|monats|sous |deel|del|mezi|cząstk\w+ |pod)?"
    r"(?:totals?|totale?n?|summen?|summa|somme|suma|sumy|soma|somma|totaal|totalt|totaux|totales"
    r"|totais|i ?alt|sammanlagt|součet|ara toplam|gesamt|insgesamt|razem|ogółem|łącznie|celkem"
    r"|összesen|yhteensä|σύνολο|toplam|ukupno|итого|всего|сумма|итог|合計|小計|総計|总计|小计|合计"
    r"|총계|합계|übertrag|saldo|report|підсумок|разом|brought forward|carried forward)(?:\b|$)"
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
