"""A row of the record as plain values: cents, ISO days, floats, text, None; their hashes and
checksum. The cells stand in the order of `store.CELLS`, then own words (`said`) and own columns
(`extra`) as JSON."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache
from hashlib import blake2b
from typing import Any, NamedTuple

from pricing.basis.columns import BY_NAME, ENDED
from pricing.basis.late import pa, pc
from pricing.record.store import CELLS

Cells = tuple[Any, ...]  # of CELLS, then said and extra

MADE_UP = "~"  # begins the numbers that we make for units without one
# what a unit keeps while it is worked on and sold
STABLE = ("type", "maker", "model", "serial", "got", "paid", "made", "got_from")
# one of these must be known of a unit before another row can be that unit grown on
TOLD_BY = ("got", "serial", "listed")
OPEN = "open"

PLACE = {name: place for place, name in enumerate(CELLS)}
SAID, EXTRA = len(CELLS), len(CELLS) + 1
_NUMBERS = tuple(PLACE[name] for name in CELLS if BY_NAME[name].kind == "number")
_STABLE = tuple(PLACE[name] for name in STABLE)
_TOLD_BY = tuple(PLACE[name] for name in TOLD_BY)
_OUTCOME, _SOLD = PLACE["outcome"], PLACE["sold"]


class Incoming(NamedTuple):
    """A row on its way into the record. unit: its number, "" where it has none."""

    line: int
    unit: str
    cells: Cells


def plain(name: str, value: Any) -> Any:
    """A typed value as it is kept.

    >>> plain("price", Decimal("12.50")), plain("sold", date(2026, 3, 1))
    (1250, '2026-03-01')
    """
    if value is None or value == "":
        return None
    if isinstance(value, Decimal):
        return int(value * 100)
    if isinstance(value, date):
        return value.isoformat()
    return float(value) if BY_NAME[name].kind == "number" else value


def typed(name: str, value: Any) -> Any:
    """A kept value as the rest of the program has it: Decimal money, date days."""
    if value is None:
        return None
    kind = BY_NAME[name].kind
    if kind == "money":
        return Decimal(value).scaleb(-2)
    return date.fromisoformat(value) if kind == "date" else value


def cells_of(values: Mapping[str, Any], said: Mapping[str, str], extra: Mapping[str, Any]) -> Cells:
    """Typed values as cells."""
    get = values.get
    return (*(plain(name, get(name)) for name in CELLS), as_json(said), as_json(extra))


def values_of(cells: Sequence[Any]) -> dict[str, Any]:
    """The columns that hold anything, typed."""
    told = zip(CELLS, cells, strict=False)
    return {name: typed(name, value) for name, value in told if value is not None}


def as_json(words: Mapping[str, Any]) -> str | None:
    return json.dumps(dict(words), ensure_ascii=False) if words else None


def from_table(table: pa.Table) -> Iterator[Incoming]:
    """Rows of an Arrow table of a unit's columns, "line", "said" and "extra"; others are blank."""
    n = table.num_rows
    names = set(table.column_names)
    columns = [
        _plain_column(table.column(name)) if name in names else [None] * n
        for name in (*CELLS, "said", "extra")
    ]
    units = table.column("unit").to_pylist() if "unit" in names else [None] * n
    for line, unit, cells in zip(
        table.column("line").to_pylist(), units, zip(*columns, strict=True), strict=True
    ):
        yield Incoming(line, unit or "", cells)


def _plain_column(column: pa.ChunkedArray) -> list[Any]:
    if column.null_count == len(column):
        return [None] * len(column)
    kind = column.type
    if pa.types.is_dictionary(kind):
        found: list[Any] = []
        for chunk in column.chunks:
            words = [text or None for text in chunk.dictionary.to_pylist()] + [None]
            codes = chunk.indices.fill_null(len(words) - 1).to_pylist()
            found += map(words.__getitem__, codes)
        return found
    if pa.types.is_decimal(kind):
        cents = pc.multiply(column, pa.scalar(Decimal(100)))
        return list(cents.cast(pa.int64()).to_pylist())
    if pa.types.is_date(kind):
        return list(column.cast(pa.string()).to_pylist())
    if pa.types.is_string(kind):
        return [text or None for text in column.to_pylist()]
    return list(column.to_pylist())


# ---- hashes and the checksum


def hashed(text: str) -> int:
    """64 bits of BLAKE2b (RFC 7693); two texts that differ are taken for equal with a chance of
    about 2^-64, so among n rows of about n^2 / 2^65."""
    return int.from_bytes(
        blake2b(text.encode("utf-8", "surrogatepass"), digest_size=8).digest(), "big", signed=True
    )


def body_of(cells: Cells) -> str:
    """The columns of a row as one text, from which all of its hashes are made."""
    return repr(cells[:SAID])


def given(columns: int, body: str, cells: Cells) -> int:
    """The hash of what a row says under the columns of its file."""
    return hashed(f"{columns}{body}{cells[SAID]}{cells[EXTRA]}")


def content(cells: Cells, body: str = "") -> int:
    """The hash of all that a unit is, but for its number: numbers to six places, own words without
    case and blanks. body: of these cells, if at hand."""
    rounded = None
    for place in _NUMBERS:
        value = cells[place]
        if value is not None and round(value, 6) != value:
            rounded = rounded or list(cells[:SAID])
            rounded[place] = round(value, 6)
    body = repr(tuple(rounded)) if rounded else body or body_of(cells)
    said, extra = cells[SAID], cells[EXTRA]
    if said:
        blank = tuple(name for name, place in _word_places(said) if cells[place] is None)
        said = _words(said, blank)
    return hashed(f"{body}{said}{_own(extra) if extra else None}")


@lru_cache(maxsize=4096)
def _word_places(said: str) -> tuple[tuple[str, int], ...]:
    """Which of the person's words stand for a column, and its place."""
    return tuple((name, PLACE[name]) for name in json.loads(said) if name in PLACE)


@lru_cache(maxsize=4096)
def _words(said: str, blank: tuple[str, ...]) -> tuple[tuple[str, str], ...] | None:
    found = json.loads(said)
    kept = {name: word for name, word in found.items() if name in blank or name not in PLACE}
    return (
        tuple(sorted((name, " ".join(word.split()).casefold()) for name, word in kept.items()))
        or None
    )


@lru_cache(maxsize=4096)
def _own(extra: str) -> tuple[tuple[str, str], ...]:
    return tuple(
        sorted(
            (name, repr(round(value, 6) + 0.0) if isinstance(value, float) else str(value))
            for name, value in json.loads(extra).items()
        )
    )


def kept(cells: Cells) -> int:
    """The hash of what a unit without a number keeps and how far it got; 0 if nothing tells."""
    if all(cells[place] is None for place in _TOLD_BY):
        return 0
    return _stage(cells, _state_of(cells))


def stages_before(cells: Cells) -> list[int]:
    """The stages from which a unit may have come to read so: nothing that ended is taken back."""
    outcome = cells[_OUTCOME]
    states: list[tuple[Any, ...]] = [(OPEN,)]
    if outcome in ENDED:
        states += [(outcome, None), (outcome, cells[_SOLD])]
    return [_stage(cells, state) for state in dict.fromkeys(states)]


def _state_of(cells: Cells) -> tuple[Any, ...]:
    return (cells[_OUTCOME], cells[_SOLD]) if cells[_OUTCOME] in ENDED else (OPEN,)


def _stage(cells: Cells, state: tuple[Any, ...]) -> int:
    return hashed(repr((*(cells[place] for place in _STABLE), state))) or 1


def made_up_number(same: int, tries: int) -> str:
    """A number for a unit that has none: of all that it is, and of how often that was tried."""
    return f"{MADE_UP}{hashed(f'{same} {tries}') & 0xFFFFFFFF:08x}"


def checksum(*values: Any) -> int:
    """CRC-32 (ISO 3309) of a row as it is kept."""
    return zlib.crc32(repr(values).encode("utf-8", "surrogatepass"))


def state_sum(head: tuple[Any, ...], body: str, tail: tuple[Any, ...]) -> int:
    """The checksum of a row of `state`: what stands before its cells, their text, what after."""
    return zlib.crc32(f"{head}{body}{tail}".encode("utf-8", "surrogatepass"))


def filled(cells: Cells) -> int:
    """How many columns hold anything."""
    return sum(value is not None for value in cells[:SAID])


def incoming(rows: Iterable[Any]) -> Iterator[Incoming]:
    """Rows as the reader gives them, one object each."""
    for row in rows:
        yield Incoming(
            row.line, str(row.values.get("unit") or ""), cells_of(row.values, row.said, row.extra)
        )


# ---- lives: a unit that was sold, came back and is for sale again has one for each sale. The first
# keeps its money, hours and days under a name of its own, so that no past quarter changes; the unit
# goes on as what it is, with nothing spent on it yet.
# What a unit is stays with it; what was done, spent and got belongs to the life that it was in.
STAYS = {
    "type", "maker", "tier", "age", "made", "features", "fuel", "finish", "size", "condition",
    "pair", "from_unit", "model", "serial", "recall_checked", "owner", "note",
}  # fmt: skip


def is_sold_again(old: Cells, new: Cells) -> bool:
    """Whether a unit that came back is in a new life: open again, or sold on a later day."""

    def of(cells: Cells, name: str) -> object:
        return cells[PLACE[name]]

    back = of(old, "refund") or of(old, "comeback")
    came_back = of(old, "outcome") == "returned" or bool(back)
    if not came_back or of(old, "sold") is None or of(new, "outcome") is None:
        return False
    if of(new, "outcome") not in ENDED:
        return of(old, "outcome") in ENDED
    later = str(of(new, "sold") or "") > str(of(old, "sold"))
    return of(new, "outcome") == "sold" and later


def goes_on(old: Cells, new: Cells) -> Cells:
    """The unit in its new life: what it is, and what was not so before."""
    body = [
        now if name in STAYS or now != before else None
        for name, now, before in zip(CELLS, new, old, strict=False)
    ]
    return (*body, new[SAID], new[EXTRA])


def name_of_life(unit: str, so_far: int) -> str:
    """The name of a life that ended, of which there were so many before.

    >>> name_of_life("212", 0)
    '212 (sale 1)'
    """
    return f"{unit} (sale {so_far + 1})"
