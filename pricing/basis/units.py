"""A table of units as the models read it: named float columns and named columns of coded words.
numpy only.

Blank numbers are NaN, blank words have code -1. Dates are ordinal days (date.toordinal()), money is
in the currency's unit. The person's own attributes stand beside the canonical columns under their
own names. A column that is not there reads as all blank, so that no caller asks whether it exists.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from pricing.basis.columns import is_numeric
from pricing.basis.frozen import frozen
from pricing.basis.late import pa


class Names(Sequence[str]):
    """Texts that hardly repeat, one a row, as Arrow keeps them: in a tenth of the memory."""

    def __init__(self, texts: pa.ChunkedArray) -> None:
        self.kept = texts

    def __len__(self) -> int:
        return len(self.kept)

    def __getitem__(self, place: Any) -> Any:
        return self.kept[place].as_py() or ""

    def __iter__(self) -> Iterator[str]:
        return (text or "" for text in self.kept.to_pylist())

    def take(self, codes: np.ndarray) -> Names:
        """The texts of some codes, blank where a code is -1."""
        return Names(self.kept.take(pa.array(codes, mask=codes < 0)))


@frozen
class Coded:
    """A column of words. codes: shape (n,), int32, -1 for blank; levels: the distinct words."""

    codes: np.ndarray
    levels: Sequence[str]

    def texts(self) -> list[str]:
        """The words, "" where blank, length n."""
        if isinstance(self.levels, Names):
            return list(self.levels.take(self.codes))
        return [self.levels[code] if code >= 0 else "" for code in self.codes.tolist()]

    def take(self, rows: np.ndarray) -> Coded:
        codes = self.codes[rows]
        if isinstance(self.levels, Names):
            order = np.arange(len(codes), dtype=np.int32)
            return Coded(np.where(codes < 0, -1, order), self.levels.take(codes))
        return Coded(codes, self.levels)

    def each(self, of: Callable[[str], Any], blank: Any, kind: Any = None) -> np.ndarray:
        """What a function says of each row's word, and `blank` where there is none, shape (n, …).

        >>> Coded.of(["gas", "", "gas"]).each(len, 0).tolist()
        [3, 0, 3]
        """
        return np.array([*map(of, self.levels), blank], dtype=kind)[self.codes]

    def lookup(self, known: Sequence[str]) -> np.ndarray:
        """Position of each word in `known`, -1 where blank or not known, shape (n,)."""
        place = {word: index for index, word in enumerate(known)}
        return self.each(lambda word: place.get(word, -1), -1, np.int64)

    @staticmethod
    def of(texts: Iterable[str | None]) -> Coded:
        """Code a sequence of words; None and "" are blank.

        >>> Coded.of(["gas", "", "gas"]).codes.tolist()
        [0, -1, 0]
        """
        place: dict[str, int] = {}
        codes = [place.setdefault(text, len(place)) if text else -1 for text in texts]
        return Coded(np.array(codes, dtype=np.int32), tuple(place))


@frozen
class Units:
    """n units. Use `number` and `word`; the two mappings hold only the columns that were given."""

    n: int
    numbers: Mapping[str, np.ndarray]
    words: Mapping[str, Coded]

    def number(self, name: str) -> np.ndarray:
        """Float column, shape (n,), NaN where blank; read only where no row holds it."""
        column = self.numbers.get(name)
        return np.broadcast_to(np.nan, self.n) if column is None else column

    def word(self, name: str) -> Coded:
        """Word column, code -1 where blank."""
        column = self.words.get(name)
        return Coded(np.full(self.n, -1, dtype=np.int32), ()) if column is None else column

    def take(self, rows: np.ndarray) -> Units:
        """The rows picked by an index or mask array, in its order."""
        rows = np.flatnonzero(rows) if rows.dtype == bool else rows
        return Units(
            len(rows),
            {k: v[rows] for k, v in self.numbers.items()},
            {k: v.take(rows) for k, v in self.words.items()},
        )

    def replaced(self, **columns: np.ndarray | Coded) -> Units:
        """A copy with some columns changed or added."""
        numbers = dict(self.numbers) | {
            k: v for k, v in columns.items() if isinstance(v, np.ndarray)
        }
        words = dict(self.words) | {k: v for k, v in columns.items() if isinstance(v, Coded)}
        return Units(self.n, numbers, words)


def from_rows(rows: Sequence[Mapping[str, Any]], numeric: Iterable[str] = ()) -> Units:
    """Units from row dicts with typed values (float or None for numbers, str or None for words).

    numeric: names of own attributes that are numbers.

    >>> units = from_rows([{"type": "wall oven", "age": 8.0}, {"type": "dishwasher"}])
    >>> units.number("age").tolist(), units.word("type").texts()
    ([8.0, nan], ['wall oven', 'dishwasher'])
    """
    own = set(numeric)
    names = dict.fromkeys(name for row in rows for name in row)
    numbers, words = {}, {}
    for name in names:
        if is_numeric(name) or name in own:
            numbers[name] = np.array(
                [np.nan if (value := row.get(name)) is None else float(value) for row in rows]
            )
        else:
            words[name] = Coded.of(
                None if (value := row.get(name)) is None else str(value) for row in rows
            )
    return Units(len(rows), numbers, words)


def from_arrow(table: pa.Table | pa.RecordBatch, numeric: Iterable[str] = ()) -> Units:
    """Units from an Arrow table: decimals and dates become floats, text becomes coded words."""
    own = set(numeric)
    numbers, words = {}, {}
    for name, column in zip(table.schema.names, table.columns, strict=True):
        kind = column.type
        if is_numeric(name) or name in own:
            if pa.types.is_date32(kind):
                column = column.cast(pa.int32())
            values = (
                column.cast(pa.float64()).to_numpy(zero_copy_only=False)
                if isinstance(column, pa.Array)
                else column.cast(pa.float64()).to_numpy()
            )
            values = np.array(values, dtype=float)
            numbers[name] = values + EPOCH if pa.types.is_date32(kind) else values
        elif name in UNIQUE and pa.types.is_string(kind):
            blank = column.is_null().to_numpy(zero_copy_only=False)
            codes = np.where(blank, -1, np.arange(len(column), dtype=np.int32))
            words[name] = Coded(codes, Names(pa.chunked_array(column)))
        elif (
            pa.types.is_string(kind)
            or pa.types.is_large_string(kind)
            or pa.types.is_dictionary(kind)
        ):
            coded = column if pa.types.is_dictionary(kind) else column.dictionary_encode()
            coded = coded.combine_chunks() if isinstance(coded, pa.ChunkedArray) else coded
            codes = coded.indices.fill_null(-1).to_numpy(zero_copy_only=False).astype(np.int32)
            words[name] = Coded(codes, tuple(coded.dictionary.to_pylist()))
    return Units(table.num_rows, numbers, words)


def below(parts: Iterable[Units], most: int) -> Units:
    """Units one below the other, `most` at most, their words in the order in which they first come;
    a column that a part lacks is blank there. Memory: the whole, and a part at a time."""
    numbers: dict[str, np.ndarray] = {}
    codes: dict[str, np.ndarray] = {}
    places: dict[str, dict[str, int]] = {}
    named: dict[str, list[pa.Array]] = {}
    n = 0
    for part in parts:
        here = slice(n, n + part.n)
        for name, values in part.numbers.items():
            if name not in numbers:
                numbers[name] = np.full(most, np.nan)
            numbers[name][here] = values
        for name, column in part.words.items():
            if name not in codes:
                codes[name] = np.full(most, -1, dtype=np.int32)
            out = codes[name]
            if isinstance(column.levels, Names):
                texts = named.setdefault(name, [])
                begun = sum(map(len, texts))
                texts += column.levels.kept.chunks
                out[here] = np.where(column.codes < 0, -1, column.codes + begun)
                continue
            place = places.setdefault(name, {})
            at = [place.setdefault(word, len(place)) for word in column.levels]
            out[here] = np.array([*at, -1], dtype=np.int32)[column.codes]
        n += part.n
    levels = {name: tuple(place) for name, place in places.items()} | {
        name: Names(pa.chunked_array(texts, pa.string())) for name, texts in named.items()
    }
    return Units(
        n,
        {name: values[:n] for name, values in numbers.items()},
        {name: Coded(column[:n], levels[name]) for name, column in codes.items()},
    )


# columns whose texts hardly repeat
UNIQUE = ("unit", "serial", "note")
EPOCH = 719163  # date(1970, 1, 1).toordinal(): Arrow's day 0
