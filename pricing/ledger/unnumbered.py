"""The record's units without a number of their own, in some forty bytes a unit: which of them a row
says again, or may be grown from.

What `changes` decides of such rows with a Python object for each of them is decided here by hashes:
of all that a row says, and of what a unit keeps for good together with the state it is in. Two rows
that differ are taken for equal with a chance of about 2^-64 a pair: for n rows in all about n^2 /
2^65, less than 10^-5 for ten million of them. The numbers made up here are such a hash too, in 16
hex digits, so that they are exactly as apart as the rows. `changes` makes up shorter ones, from
everything at hand; either is known again by its rows.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from pricing.basis.columns import BY_NAME
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.ledger.batches import Entry
from pricing.ledger.blocks import at, blocks, places, plain, stored_columns
from pricing.ledger.changes import ENDED, MADE_UP, STABLE, TOLD_BY, plain_value
from pricing.ledger.known import whole_numbers
from pricing.ledger.stream import among, hashes, mixed

if TYPE_CHECKING:
    import numpy as np
    import pyarrow as pa

_STEP = 0x9E3779B97F4A7C15  # odd: between the numbers of equal rows
_FIRST_DAY = 1 << 20  # days before 1970 that are told apart
_SIMPLE = r'^\{"(?:[^"\\]|\\.)*": "(?:[^"\\]|\\.)*"\}$'  # JSON of one name and one text
_TOGETHER = 100_000


@frozen
class Said:
    """What rows say, by hashes, each shape (n,). content: of all of it but the number, uint64;
    kept: of what a unit keeps for good, uint64;
    state: of how far it got, uint32: 1 for a unit in hand, more for one that ended; told: whether
    anything tells it from others of its kind.
    """

    content: np.ndarray
    kept: np.ndarray
    state: np.ndarray
    told: np.ndarray


def said_in(table: pa.Table) -> Said:
    """Of rows with columns of the record; a column that the table lacks is blank. Rows equal by
    `changes.content` hash equal, others do not."""
    import numpy as np

    n = table.num_rows
    content, kept, told = (
        np.zeros(n, dtype=np.uint64),
        np.zeros(n, dtype=np.uint64),
        np.zeros(n, dtype=bool),
    )
    for name in BY_NAME:
        if name == "unit" or name not in table.column_names or table.column(name).null_count == n:
            continue
        cells = _cells(table, name)
        content += cells
        if name in STABLE:
            kept += cells
        if name in TOLD_BY:
            told |= cells != 0
    return Said(mixed(content + _words(table) + _own(table)), mixed(kept), _states(table), told)


def _cells(table: pa.Table, name: str) -> np.ndarray:
    """A hash of each cell with its column's name, 0 where blank, shape (n,) uint64."""
    import pyarrow as pa

    array, salt = table.column(name).combine_chunks(), _salt(name)
    if pa.types.is_floating(array.type):
        array = array.dictionary_encode()
    if pa.types.is_dictionary(array.type):
        found = _level_codes(array.dictionary, salt)[
            array.indices.fill_null(0).to_numpy(zero_copy_only=False)
        ]
    elif pa.types.is_string(array.type):
        found = _level_codes(array, salt)
    else:
        found = mixed(whole_numbers(array) ^ salt)
    if array.null_count:
        found[array.is_null().to_numpy(zero_copy_only=False)] = 0
    return found


def _level_codes(levels: pa.Array, salt: np.uint64) -> np.ndarray:
    """Hashes of texts, or of numbers to six places; an empty text counts as blank."""
    import numpy as np
    import pyarrow as pa

    if pa.types.is_floating(levels.type):
        rounded = np.array(
            [round(value, 6) + 0.0 for value in levels.fill_null(0.0).to_pylist()], dtype=float
        )
        return mixed(rounded.view(np.uint64) ^ salt)
    codes = hashes(levels.cast(pa.string()))
    found = mixed(codes ^ salt)
    found[codes == 0] = 0
    return found


def _salt(name: str) -> np.uint64:
    import pyarrow as pa

    found: np.uint64 = mixed(hashes(pa.array([name], pa.string())))[0]
    return found


def _coded(table: pa.Table, name: str) -> tuple[np.ndarray, list[str]] | None:
    """(which level each row has, the levels) of a column of JSON texts, blank as ""; None where it
    is blank throughout."""
    if name not in table.column_names or table.column(name).null_count == table.num_rows:
        return None
    array = table.column(name).combine_chunks()
    coded = array if hasattr(array, "dictionary") else array.dictionary_encode()
    codes = coded.indices.fill_null(len(coded.dictionary)).to_numpy(zero_copy_only=False)
    return codes, [*coded.dictionary.to_pylist(), ""]


def _words(table: pa.Table) -> np.ndarray:
    """What the person's own words add: only where we have no value for them."""
    import numpy as np
    import pyarrow as pa

    found = np.zeros(table.num_rows, dtype=np.uint64)
    coded = _coded(table, "said")
    if coded is None:
        return found
    codes, levels = coded
    parsed = [json.loads(level) if level else {} for level in levels]
    for name in sorted({name for words in parsed for name in words}):
        of_level = np.zeros(len(levels), dtype=np.uint64)
        having = [place for place, words in enumerate(parsed) if name in words]
        texts = [
            json.dumps([name, " ".join(parsed[place][name].split()).casefold()]) for place in having
        ]
        of_level[having] = mixed(hashes(pa.array(texts, pa.string())) ^ _salt("said"))
        blank = np.ones(table.num_rows, dtype=bool)
        if (
            name in BY_NAME
            and name in table.column_names
            and table.column(name).null_count < table.num_rows
        ):
            blank = _cells(table, name) == 0
        found += np.where(blank, of_level[codes], np.uint64(0))
    return found


def _own(table: pa.Table) -> np.ndarray:
    """What columns of the person's own add."""
    import numpy as np
    import pyarrow as pa
    import pyarrow.compute as pc

    coded = _coded(table, "extra")
    if coded is None:
        return np.zeros(table.num_rows, dtype=np.uint64)
    codes, levels = coded
    texts = pa.array(levels, pa.string())
    for place in np.flatnonzero(
        ~pc.match_substring_regex(texts, _SIMPLE).to_numpy(zero_copy_only=False)
    ).tolist():
        if levels[place]:
            levels[place] = json.dumps(
                {name: plain_value(value) for name, value in json.loads(levels[place]).items()},
                sort_keys=True,
                ensure_ascii=False,
            )
    return _level_codes(pa.array(levels, pa.string()), _salt("extra"))[codes]


def _states(table: pa.Table) -> np.ndarray:
    """How far each unit got: 1 in hand; ended: 2 + which outcome + 4 (the day sold counted from 1,
    or 0)."""
    import numpy as np
    import pyarrow as pa
    import pyarrow.compute as pc

    n = table.num_rows
    found = np.ones(n, dtype=np.uint32)
    if "outcome" not in table.column_names:
        return found
    outcome = (
        pc.index_in(plain(table.column("outcome")), value_set=pa.array(ENDED))
        .fill_null(-1)
        .to_numpy(zero_copy_only=False)
    )
    day = np.zeros(n, dtype=np.int64)
    if "sold" in table.column_names and table.column("sold").null_count < n:
        sold = table.column("sold").combine_chunks().cast(pa.date32()).cast(pa.int32())
        day = np.where(
            sold.is_null().to_numpy(zero_copy_only=False),
            0,
            sold.fill_null(0).to_numpy(zero_copy_only=False).astype(np.int64) + _FIRST_DAY,
        )
    ended = outcome >= 0
    found[ended] = (2 + outcome + 4 * day)[ended]
    return found


def _stage(kept: np.ndarray, state: np.ndarray) -> np.ndarray:
    """A hash of what a unit keeps and of its state."""
    import numpy as np

    return mixed(kept + mixed(state.astype(np.uint64)))


def _stages_before(kept: np.ndarray, state: np.ndarray) -> np.ndarray:
    """The stages that a unit may have been in before it came to this, shape (3, n), 0 for none:
    `changes.states_before` by hashes."""
    import numpy as np

    found = np.zeros((3, len(kept)), dtype=np.uint64)
    found[0] = _stage(kept, np.ones(len(kept), dtype=np.uint32))
    found[1] = np.where(state > 1, _stage(kept, 2 + (state - 2) % 4), 0)
    found[2] = np.where(state >= 6, _stage(kept, state), 0)
    return found


class Unnumbered:
    """Every unit of some entries whose number we made up. A unit's name here is its place: that of
    its first row among their rows, in order."""

    def __init__(self, home: Home, entries: Sequence[Entry]) -> None:
        import numpy as np

        where = places(home, entries, is_made_up) if entries else np.zeros(0, dtype=np.int64)
        n = self.n_rows = len(where)
        key, content, stage = (np.empty(n, dtype=np.uint64) for _ in range(3))
        batch = np.empty(n, dtype=np.int32)
        end = 0
        stored = stored_columns(home, entries)
        for block in (
            at(
                home,
                entries,
                where,
                ["key", *(name for name in (*BY_NAME, "said", "extra") if name in stored)],
            )
            if n
            else ()
        ):
            mine = slice(end, end := end + block.table.num_rows)
            said = said_in(block.table)
            key[mine], content[mine], batch[mine] = (
                hashes(plain(block.table.column("key"))),
                said.content,
                block.entry.number,
            )
            stage[mine] = np.where(said.told, _stage(said.kept, said.state), 0)
        del where
        owner, alone = self._units(key, stage)
        order = np.argsort(content, kind="stable") if alone.all() else np.lexsort((owner, content))
        self._content, self._owner, self._batch, self._single = (
            content[order],
            owner[order],
            batch[order],
            alone[order],
        )
        del content, batch, order, alone
        twin = self._content[1:] == self._content[:-1]
        self._single[1:] &= ~twin
        self._single[:-1] &= ~twin
        there = np.flatnonzero(stage)
        there = there[np.argsort(stage[there], kind="stable")]
        self._stage, self._stage_owner = stage[there], owner[there]

    def _units(self, key: np.ndarray, stage: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(the unit of each row, whether it is its only one); only its newest row is a stage that
        it is in."""
        import numpy as np

        self._keys = np.sort(key)
        owner, alone = np.arange(self.n_rows, dtype=np.uint32), np.ones(self.n_rows, dtype=bool)
        several = np.unique(self._keys[1:][self._keys[1:] == self._keys[:-1]])
        if len(several):
            rows = np.flatnonzero(among(key, several))
            rows = rows[np.argsort(key[rows], kind="stable")]
            first = np.ones(len(rows), dtype=bool)
            first[1:] = key[rows][1:] != key[rows][:-1]
            owner[rows] = rows[np.maximum.accumulate(np.where(first, np.arange(len(rows)), 0))]
            alone[rows] = False
            stage[rows[:-1][~first[1:]]] = 0
        return owner, alone

    def nobody(self) -> np.ndarray:
        """For `taken`: no unit is spoken for yet, shape (n_rows,) bool."""
        import numpy as np

        return np.zeros(self.n_rows, dtype=bool)

    def says(self, content: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """For each row: whether the record has one that says the same; whether that is one row
        alone, of a unit with no other; that unit; its batch."""
        import numpy as np

        if not self.n_rows:
            nothing = np.zeros(len(content), dtype=bool)
            return (
                nothing,
                nothing,
                np.zeros(len(content), dtype=np.uint32),
                np.zeros(len(content), dtype=np.int32),
            )
        place = np.minimum(np.searchsorted(self._content, content), self.n_rows - 1)
        there = self._content[place] == content
        return there, there & self._single[place], self._owner[place], self._batch[place]

    def may_be_grown(self, said: Said) -> np.ndarray:
        """Whether any unit of the record may by now read as a row does, shape (n,) bool."""
        import numpy as np

        found = np.zeros(len(said.kept), dtype=bool)
        if len(self._stage):
            for stages in _stages_before(said.kept, said.state):
                found |= among(stages, self._stage)
        return found

    def match(
        self, content: np.ndarray, kept: np.ndarray, state: np.ndarray, taken: np.ndarray
    ) -> np.ndarray:
        """The unit that each row is, -1 where it is none of them, shape (n,) int64: as `changes`
        matches them, first by content, then as grown.

        Rows in the order of their file. taken: units that other rows are; those found here are put
        to them.
        """
        import numpy as np

        found = np.full(len(content), -1, dtype=np.int64)
        if self.n_rows:
            self._match_equal(content, taken, found)
            rows = np.flatnonzero(found < 0)
            for start in range(0, len(rows), _TOGETHER):
                if start == 0:
                    grown = _Grown(self, taken)
                mine = rows[start : start + _TOGETHER]
                grown.match(_stages_before(kept[mine], state[mine]), mine, found)
        return found

    def _match_equal(self, content: np.ndarray, taken: np.ndarray, found: np.ndarray) -> None:
        import numpy as np

        next_place: dict[
            int, int
        ] = {}  # where several units say the same: the first that may still be free
        for start in range(0, len(content), _TOGETHER):
            mine = content[start : start + _TOGETHER]
            low, high = (
                np.searchsorted(self._content, mine, side="left"),
                np.searchsorted(self._content, mine, side="right"),
            )
            for row in np.flatnonzero(low < high).tolist():
                first, end = int(low[row]), int(high[row])
                place = next_place.get(first, first)
                while place < end and taken[self._owner[place]]:
                    place += 1
                if place < end:
                    found[start + row] = self._owner[place]
                    taken[self._owner[place]] = True
                if end - first > 1:
                    next_place[first] = place

    def holds(self, keys: pa.Array) -> np.ndarray:
        """Which made-up numbers are in the record, shape (n,) bool."""
        return among(hashes(keys), self._keys)

    def made_up(self, content: np.ndarray, count: np.ndarray) -> pa.Array:
        """A number that nobody has for each row. count: the how manieth row of its file that says
        this."""
        import numpy as np

        tries = count.astype(np.uint64)
        while True:
            keys = _in_hex(mixed(content + tries * np.uint64(_STEP)))
            clash = self.holds(keys)
            if not clash.any():
                return keys
            tries[clash] += np.uint64(1 << 32)


class _Grown:
    """Matching of grown units: those that are still free, by stage."""

    def __init__(self, known: Unnumbered, taken: np.ndarray) -> None:
        free = ~taken[known._stage_owner]
        self._stage, self._owner, self._taken = known._stage[free], known._stage_owner[free], taken
        self._gone: dict[
            int, int
        ] = {}  # first place of a stage -> how many of its units are no longer free

    def match(self, stages: np.ndarray, rows: np.ndarray, found: np.ndarray) -> None:
        """A row is the unit that it may be grown from where that is one alone."""
        import numpy as np

        low, high = (
            np.searchsorted(self._stage, stages, side="left"),
            np.searchsorted(self._stage, stages, side="right"),
        )
        for place in np.flatnonzero((low < high).any(axis=0)).tolist():
            ranges = [
                (int(first), int(end))
                for first, end in zip(low[:, place], high[:, place], strict=True)
                if first < end
            ]
            free = [(first, end, end - first - self._gone.get(first, 0)) for first, end in ranges]
            if sum(n for _, _, n in free) == 1:
                first, end = next((first, end) for first, end, n in free if n)
                owners = self._owner[first:end]
                unit = int(owners[~self._taken[owners]][0])
                found[rows[place]] = unit
                self._taken[unit] = True
                self._gone[first] = self._gone.get(first, 0) + 1


def is_made_up(keys: pa.Array) -> np.ndarray:
    """Which numbers we made up, shape (n,) bool."""
    import pyarrow.compute as pc

    found: np.ndarray = pc.starts_with(keys, MADE_UP).to_numpy(zero_copy_only=False)
    return found


def keys_of_units(home: Home, entries: Sequence[Entry], chosen: np.ndarray) -> Iterator[pa.Array]:
    """The numbers of units, in the order of their places. chosen: which of the rows with a made-up
    number are asked for, bool."""
    import numpy as np
    import pyarrow as pa

    start = 0
    for block in blocks(home, entries, ["key"], by_entry=False):
        keys = plain(block.table.column("key"))
        rows = np.flatnonzero(is_made_up(keys))
        mine = rows[chosen[start : start + len(rows)]]
        start += len(rows)
        if len(mine):
            yield keys.take(pa.array(mine))


def _in_hex(codes: np.ndarray) -> pa.Array:
    """Made-up numbers of 16 hex digits."""
    import numpy as np
    import pyarrow as pa

    digits = np.frombuffer(b"0123456789abcdef", dtype=np.uint8)
    octets = codes.astype(">u8").view(np.uint8).reshape(-1, 8)
    signs = np.empty((len(codes), 1 + 16), dtype=np.uint8)
    signs[:, 0] = ord(MADE_UP)
    signs[:, 1::2], signs[:, 2::2] = digits[octets >> 4], digits[octets & 15]
    offsets = np.arange(len(codes) + 1, dtype=np.int32) * 17
    return pa.StringArray.from_buffers(
        len(codes), pa.py_buffer(offsets), pa.py_buffer(signs.tobytes())
    )
