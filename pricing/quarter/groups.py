"""Which group a unit belongs to: words, families, bands of age, distance, price, quarter."""

from collections.abc import Callable, Sequence
from itertools import pairwise

import numpy as np

from pricing.basis.problems import meant, refused
from pricing.basis.settings import Settings
from pricing.basis.units import Coded
from pricing.basis.words import family_of
from pricing.quarter.money import Books
from pricing.wording.plain import MONTHS

BY = (
    "type", "family", "maker", "tier", "fault", "found", "repair", "got_from", "sold_where",
    "paid", "age", "condition", "miles", "features", "quarter", "month", "owner",
)  # fmt: skip
NOT_WRITTEN = "not written"
AGE_EDGES = (4.0, 8.0, 12.0, 16.0)
DISTANCE_EDGES = (5.0, 10.0, 20.0)


def checked(by: Sequence[str], settings: Settings) -> tuple[str, ...]:
    """The names of one or two groupings. Raises Refused naming the nearest for any other."""
    names = tuple(dict.fromkeys(by))
    allowed = (*BY, *settings.attributes)
    for name in names:
        if name not in allowed:
            fix = meant(name, allowed, f"use one of: {', '.join(allowed)}")
            raise refused(f"units cannot be compared by {name!r}", fix)
    if not 1 <= len(names) <= 2:
        raise refused(
            f"{len(names)} attributes are too many to cross",
            "name one, or two: pricing compare --by type,condition",
        )
    return names


def label_groups(books: Books, settings: Settings, by: Sequence[str]) -> Coded:
    """Which group each row belongs to, by one attribute or two crossed ("electric dryer, good")."""
    parts = [_labels(books, settings, name) for name in by]
    if len(parts) == 1:
        return parts[0]
    first, second = parts
    pairs = first.codes.astype(np.int64) * len(second.levels) + second.codes
    there = np.bincount(pairs) > 0  # pairs are few: counted sooner than sorted
    levels = tuple(
        f"{first.levels[pair // len(second.levels)]}, {second.levels[pair % len(second.levels)]}"
        for pair in np.flatnonzero(there).tolist()
    )
    return Coded((np.cumsum(there) - 1).astype(np.int32)[pairs], levels)


def _labels(books: Books, settings: Settings, name: str) -> Coded:
    special: dict[str, Callable[[], Coded]] = {
        "family": lambda: _mapped(books.units.word("type"), lambda word: family_of(word, settings)),
        "paid": lambda: _paid_bands(books.units.number("paid")),
        "age": lambda: _bands(books.units.number("age"), AGE_EDGES, "years"),
        "miles": lambda: _bands(
            books.units.number("miles"), DISTANCE_EDGES, settings.distance_unit
        ),
        "quarter": lambda: _quarters(books.day),
        "month": lambda: _months(books.units.number("got")),
    }
    if name in special:
        return special[name]()
    if settings.attributes.get(name) in ("number", "log"):
        return _bands(books.units.number(name), _thirds(books.units.number(name)), "")
    return _mapped(books.units.word(name), lambda word: word)


def _mapped(coded: Coded, rename: Callable[[str], str]) -> Coded:
    """Words by another name, blanks as a group of their own."""
    names = [*(rename(level) for level in coded.levels), NOT_WRITTEN]
    place = {name: i for i, name in enumerate(dict.fromkeys(names))}
    table = np.array([place[name] for name in names], dtype=np.int32)
    return Coded(table[coded.codes], tuple(place))


def _bands(values: np.ndarray, edges: Sequence[float], unit: str) -> Coded:
    """Bands [0, edge), [edge, next edge), …, labelled by the whole numbers in them."""
    codes = np.where(
        np.isfinite(values),
        np.searchsorted(np.array(edges), np.nan_to_num(values), side="right"),
        len(edges) + 1,
    )
    tail = f" {unit}" if unit else ""
    names = (
        [f"under {edges[0]:g}{tail}"]
        + [f"{low:g} to under {high:g}{tail}" for low, high in pairwise(edges)]
        + [f"{edges[-1]:g}{tail} and over", NOT_WRITTEN]
    )
    return Coded(codes.astype(np.int32), tuple(names))


def _paid_bands(paid: np.ndarray) -> Coded:
    """Free, then thirds of what was paid at round sums, so that the bands fit any currency."""
    above, free = np.where(paid > 0, paid, np.nan), "free or paid to take"
    if not np.isfinite(above).any():
        return Coded(np.where(np.isfinite(paid), 0, 1).astype(np.int32), (free, NOT_WRITTEN))
    bands = _bands(above, _thirds(above), "paid")
    codes = np.where(np.isfinite(paid) & ~(paid > 0), len(bands.levels), bands.codes)
    return Coded(codes.astype(np.int32), (*bands.levels, free))


def _thirds(values: np.ndarray) -> tuple[float, ...]:
    """One or two round numbers that split the known values in about three."""
    known = values[np.isfinite(values)]
    edges = np.quantile(known, (1 / 3, 2 / 3)).tolist() if len(known) else [1.0]
    return tuple(sorted({round_number(edge) for edge in edges}))


def round_number(value: float) -> float:
    """To 1, 1.5, 2, 2.5, 3, 4, 5, 6 or 8 times a power of ten."""
    if value == 0:
        return 0.0
    power = 10.0 ** np.floor(np.log10(abs(value)))
    steps = np.array([1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10])
    nearest_step = steps[np.abs(np.log(steps * power / abs(value))).argmin()]
    return float(np.sign(value) * nearest_step * power)


def _months(day: np.ndarray) -> Coded:
    """Month of the year a unit was got in."""
    known = np.isfinite(day)
    days = (np.where(known, day, 719163) - 719163).astype("datetime64[D]")
    codes = np.where(known, days.astype("datetime64[M]").astype(np.int64) % 12, 12)
    return Coded(codes.astype(np.int32), (*MONTHS, NOT_WRITTEN))


def _quarters(day: np.ndarray) -> Coded:
    """Quarter of the day a unit ended: 2026Q3."""
    known = np.isfinite(day)
    days = (np.where(known, day, 719163) - 719163).astype("datetime64[D]")
    quarters = np.where(known, days.astype("datetime64[M]").astype(np.int64) // 3, _NEVER)
    distinct, codes = np.unique(quarters, return_inverse=True)
    levels = tuple(
        NOT_WRITTEN if quarter == _NEVER else f"{1970 + quarter // 4}Q{quarter % 4 + 1}"
        for quarter in distinct.tolist()
    )
    return Coded(codes.astype(np.int32).reshape(-1), levels)


_NEVER = np.iinfo(np.int64).max
