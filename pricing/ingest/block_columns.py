"""The plain rows of a block, column by column: each distinct cell worked out once by `cells.say`; a
row with anything to tell is flagged for the careful reader (`rows.read_row`), never decided."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from functools import partial
from itertools import repeat
from typing import Any

from pricing.basis.columns import BY_NAME
from pricing.basis.late import np, pa, pc
from pricing.basis.words import TYPE_KEYS, squash
from pricing.ingest import real_sheets, structure
from pricing.ingest.cells import say
from pricing.ingest.checks import MOST_HOURS, usual_prices
from pricing.ingest.draft import Rules
from pricing.ingest.headings import IGNORED, listed

MOST_KEPT = 500_000  # distinct cells of a column
_UNSOLD = ("listed", "in work", "waiting for part")
_DATES = ("got", "listed", "sold")
_BLANK_NUMBERS = listed("blank numbers")


def typed_columns(table: pa.Table, rules: Rules) -> tuple[np.ndarray, dict[str, pa.Array]]:
    """(rows that need the careful reader, typed columns of the record)."""
    n = table.num_rows
    flagged = np.zeros(n, dtype=bool)
    typed: dict[str, pa.Array] = {}
    said: list[tuple[np.ndarray, list[str]]] = []
    extra: list[tuple[np.ndarray, list[str]]] = []
    counted: list[tuple[np.ndarray, list[Any]]] = []
    numeric: dict[str, np.ndarray] = {}
    words: dict[str, tuple[np.ndarray, list[Any]]] = {}
    for place, heading in enumerate(rules.headings):
        if heading.column == IGNORED:
            continue
        column = table.column(place).combine_chunks()
        column_name = heading.column
        if column_name == "unit":
            typed["unit"] = _units(column, flagged)
            continue
        coded = column.dictionary_encode()
        codes = coded.indices.to_numpy(zero_copy_only=False)
        texts = coded.dictionary.to_pylist()
        kind = BY_NAME[column_name].kind if column_name in BY_NAME else ""
        name = f"plain {heading.text}"
        if kind in ("money", "number", "date"):
            values_of = _worked_out(rules, name, texts, partial(_number, rules, place))
            numbers = np.array(values_of, dtype=float)
            flagged |= np.isinf(numbers)[codes]
            numeric[column_name] = numbers[codes]
            if told := rules.memo.get(f"counted {place}"):
                counted.append((codes, [told.get(text, ()) for text in texts]))
            continue
        if kind in ("text", ""):
            # it differs in each row: nothing to be kept for the next block
            read = _text if kind else _fragments
            entries = [read(rules, place, text) for text in texts]
        else:
            entries = _worked_out(rules, name, texts, partial(_word, rules, place))
        flagged |= np.array([entry is _ODD for entry in entries])[codes]
        kept = [None if entry is _ODD else entry for entry in entries]
        if kind:
            words[column_name] = (codes, [entry[0] if entry else None for entry in kept])
            own = [{column_name: entry[1]} if entry and entry[1] else {} for entry in kept]
            said.append((codes, [_inner(one) for one in own]))
        else:
            extra.append((codes, [entry or "" for entry in kept]))
    _flag_rows(flagged, numeric, words, rules, n)
    for codes, cells in counted:
        n_rows = np.bincount(codes[~flagged], minlength=len(cells))
        for cell, many in zip(cells, n_rows.tolist(), strict=True):
            rules.count(cell if many else (), many)
    for name, column_values in numeric.items():
        typed[name] = _as_arrow(name, column_values)
    for name, (codes, levels) in words.items():
        typed[name] = _coded(codes, levels)
    typed["said"] = _joined(said, n)
    typed["extra"] = _joined(extra, n)
    return flagged, typed


class _Odd:
    """A cell that the careful reader must see."""


_ODD = _Odd()
_NEW = object()
_BLANK, _TOLD = float("nan"), float("inf")
# What may begin a guarded cell; and how long a word for "unknown" may be.
_LEADS, _SHORT = "'=", 16


def _worked_out(
    rules: Rules, name: str, texts: Sequence[str], read: Callable[[str], Any]
) -> list[Any]:
    """What each distinct cell of a column comes to, worked out once for the whole file, up to
    MOST_KEPT of them. Cells with anything to tell are kept: they decide how the file is read."""
    kept = rules.memo.setdefault(name, {})
    found = list(map(kept.get, texts, repeat(_NEW)))
    for place, value in enumerate(found):
        if value is _NEW:
            found[place] = value = read(texts[place])
            if len(kept) < MOST_KEPT or value is _ODD or value == _TOLD:
                kept[texts[place]] = value
    return found


def _number(rules: Rules, place: int, text: str) -> float:
    """The value of a cell (dates as ordinal days), NaN for blank, infinity for anything to tell."""
    if not text.strip():
        return _BLANK
    said, column = say(rules, place, text), rules.headings[place].column
    if said.counted:
        rules.memo.setdefault(f"counted {place}", {})[text] = said.counted
        said = said._replace(counted=())
    if not said.is_plain or said.said or said.extra or said.values.keys() - {column}:
        return _TOLD
    value = said.values.get(column)
    if isinstance(value, date):
        return float(value.toordinal())
    return _BLANK if value is None else float(value)


def _word(rules: Rules, place: int, text: str) -> Any:
    """(our word, theirs where it differs), None for blank, _ODD for anything to be told."""
    if not text.strip():
        return None
    said, column = say(rules, place, text), rules.headings[place].column
    word = said.values.get(column)
    if not said.is_plain or said.extra or said.values.keys() - {column}:
        return _ODD
    if not word:
        return _ODD if said.said else None
    if column == "type" and (
        structure.says_total(text.strip())
        or not any(sign.isalpha() for sign in text)
        or (rules.knows_types and squash(word) not in TYPE_KEYS)
        or real_sheets.quantity_of(text.strip(), rules.settings) > 1
    ):
        return _ODD
    return word, said.said.get(column, "")


def _text(rules: Rules, place: int, text: str) -> Any:
    """The same for free text, of which hardly any needs to be read."""
    plain, column = text.strip(), rules.headings[place].column
    if not plain:
        return None
    if column == "made" or plain[0] in _LEADS or len(plain) < _SHORT:
        # a year made is an age, which the whole row settles
        return _ODD if column == "made" else _word(rules, place, text)
    return plain, ""


def _fragments(rules: Rules, place: int, text: str) -> Any:
    """What a cell adds to what is kept beside the columns, as the inside of a JSON object."""
    plain, heading = text.strip(), rules.headings[place]
    if not plain:
        return ""
    if heading.column or plain[0] in _LEADS or plain[0].isdigit():
        said = say(rules, place, text)
        return _inner(said.extra) if said.is_plain and not said.values else _ODD
    return _inner({heading.text or "?": plain})


def _inner(told: Mapping[str, Any]) -> str:
    return json.dumps(told, ensure_ascii=False)[1:-1]


def _units(column: pa.Array, flagged: np.ndarray) -> pa.Array:
    """The numbers of units, null where the cell is empty; rows with anything else are flagged."""
    trimmed = pc.utf8_trim_whitespace(column)
    empty = pc.equal(trimmed, "")
    if pc.any(empty).as_py():
        trimmed = pc.if_else(empty, pa.scalar(None, pa.string()), trimmed)
    plain = pc.fill_null(pc.match_substring_regex(trimmed, r"^[\pL\pN][\pL\pN._/ #-]*$"), True)
    stored = pc.fill_null(pc.match_substring_regex(trimmed, r"^\d+\.0+$"), False)
    blank_word = pc.is_in(pc.utf8_lower(trimmed), value_set=pa.array(_BLANK_NUMBERS))
    flagged |= stored.to_numpy(zero_copy_only=False)
    flagged |= ~plain.to_numpy(zero_copy_only=False) | blank_word.to_numpy(zero_copy_only=False)
    return trimmed


def _joined(parts: list[tuple[np.ndarray, list[str]]], n: int) -> pa.Array:
    """One JSON object a row from fragments by column, null where none; each combination once."""
    codes = np.zeros(n, dtype=np.int64)
    levels = [""]
    for own, fragments in parts:
        if not any(fragments):
            continue
        combined, most = codes * len(fragments) + own, len(levels) * len(fragments)
        if most > 1 << 20:
            distinct, codes = np.unique(combined, return_inverse=True)
        else:
            distinct, codes = _distinct(combined, most)
        pairs = (divmod(code, len(fragments)) for code in distinct.tolist())
        levels = [_comma(levels[left], fragments[right]) for left, right in pairs]
    texts = [f"{{{level}}}" if level else None for level in levels]
    return _coded(codes, texts)


def _coded(codes: np.ndarray, levels: Sequence[str | None]) -> pa.Array:
    """A column of coded words; a level that is None makes its rows null."""
    blank = np.array([level is None for level in levels], dtype=bool)
    return pa.DictionaryArray.from_arrays(
        pa.array(codes.astype(np.int32), mask=blank[codes]),
        pa.array([level or "" for level in levels], pa.string()),
    )


def _distinct(codes: np.ndarray, most: int) -> tuple[np.ndarray, np.ndarray]:
    """`np.unique(codes, return_inverse=True)` by counting, for codes below `most`."""
    there = np.zeros(most, dtype=bool)
    there[codes] = True
    distinct = np.flatnonzero(there)
    place = np.zeros(most, dtype=np.int64)
    place[distinct] = np.arange(len(distinct))
    return distinct, place[codes]


def _comma(left: str, right: str) -> str:
    return f"{left}, {right}" if left and right else left or right


def _flag_rows(
    flagged: np.ndarray,
    numeric: dict[str, np.ndarray],
    words: dict[str, tuple[np.ndarray, list[Any]]],
    rules: Rules,
    n: int,
) -> None:
    """Flag the rows that the row-by-row checks (`ingest/checks`) would tell about or turn away."""
    nothing = np.full(n, np.nan)
    price, hours = numeric.get("price", nothing), numeric.get("hours", nothing)
    if "type" not in words:
        flagged[:] = True
        return
    codes, levels = words["type"]
    flagged |= np.array([level is None for level in levels])[codes]
    usual = np.array([usual_prices(str(level), rules) for level in levels])
    flagged |= (price < usual[codes, 0]) | (price > usual[codes, 1])
    if "outcome" in words:
        codes, levels = words["outcome"]
        sold, unsold, ended = (
            np.array([level in group for level in levels])[codes]
            for group in (("sold",), _UNSOLD, ("parted", "scrapped", "kept"))
        )
        flagged |= ~(sold | unsold | ended)
        flagged |= unsold & ~(np.isnan(price) & np.isnan(numeric.get("sold", nothing)))
        flagged |= ended & ~np.isnan(price)
    else:
        sold = price > 0
        flagged |= ~sold
        words["outcome"] = (np.zeros(n, dtype=np.int32), ["sold"])
    flagged |= sold & ~(price > 0)
    if "sold" in numeric:
        flagged |= sold & np.isnan(numeric["sold"])
    today, earliest = rules.today.toordinal(), date(1970, 1, 1).toordinal()
    days = [numeric[name] for name in _DATES if name in numeric]
    for column in days:
        flagged |= (column > today) | (column < earliest)
    for first, earlier in enumerate(days):
        for later in days[first + 1 :]:
            flagged |= later < earlier
    flagged |= hours > MOST_HOURS
    if "asked" in words:
        codes, levels = words["asked"]
        bare = [level if level and not set(level) & set(":;") else "nan" for level in levels]
        asked = np.array(bare, dtype=float)[codes]
        flagged |= (price <= asked / 10) | (price >= asked * 4)
    for name in ("parts", "fees", "refund", "helper", "haul_cost", "cost_in"):
        if name in numeric:
            flagged |= numeric[name] < 0
    flagged |= price >= 1e9


def _as_arrow(name: str, column: np.ndarray) -> pa.Array:
    """A float column as the record keeps it: exact cents, days, numbers; NaN as null."""
    blank = ~np.isfinite(column)
    kind = BY_NAME[name].kind
    if kind == "money":
        cents = np.round(np.where(blank, 0, column) * 100).astype(np.int64)
        # A 128-bit decimal is its whole number of cents, low word first
        words = np.empty((len(cents), 2), dtype=np.int64)
        words[:, 0], words[:, 1] = cents, cents >> 63
        bitmap = pa.py_buffer(np.packbits(~blank, bitorder="little").tobytes())
        buffers = [bitmap, pa.py_buffer(words)]
        return pa.Array.from_buffers(pa.decimal128(12, 2), len(cents), buffers)
    if kind == "date":
        days = (np.where(blank, 719163, column) - 719163).astype(np.int32)
        return pa.array(days, mask=blank).cast(pa.date32())
    return pa.array(column, mask=blank)
