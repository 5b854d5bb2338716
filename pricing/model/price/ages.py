"""How age enters, and what is known of an age that is blank. numpy only.

A blank age is taken as a distribution over the ages 0-40. It is built up from the wide to the
narrow, each level drawn to the one above by as much as a few units weigh (Dirichlet-multinomial):

    p(age | grade)         = (counts + 6 p_start) / (n + 6)            p_start: a starting
        distribution by grade
    p(age | family, grade) = (counts + 12 p(age | grade)) / (n + 12)
    p(age | type, grade)   = (counts + 12 p(age | family, grade)) / (n + 12)

Its columns are the expected columns, and what the age would have moved becomes part of the unit's
own spread.
"""

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np

from pricing.basis.columns import CONDITIONS
from pricing.basis.frozen import frozen
from pricing.basis.units import Coded, Units
from pricing.formulas import by_age
from pricing.formulas.by_age import MIDDLE_AGE, OLDEST, POOL_WEIGHT, START_WEIGHT
from pricing.model import numbers

GRID = np.arange(OLDEST + 1, dtype=float)


@frozen
class AgeTable:
    """Known ages counted. types, families, grade (0-3, -1 blank) of each row; counts: (k, 41)."""

    types: tuple[str, ...]
    families: tuple[str, ...]
    grades: np.ndarray
    counts: np.ndarray
    start: bool


def basis(kind: str, knots: np.ndarray, age: np.ndarray) -> np.ndarray:
    """Columns of one age margin, shape (n, k): `by_age.basis` at each knot."""
    return np.asarray(by_age.basis(kind, knots if len(knots) else 0.0, age[:, None]))


@lru_cache(maxsize=8)
def _start(grade: str) -> np.ndarray:
    """Starting distribution over GRID."""
    density = by_age.usual_density(grade, GRID)
    return np.asarray(density / density.sum())


def count(units: Units, families: Coded, start: bool) -> AgeTable:
    """Count the known ages of units by type and grade."""
    cells: dict[tuple[str, str, int], np.ndarray] = {}
    age = units.number("age")
    known = np.flatnonzero(np.isfinite(age))
    if len(known):
        words, grades = units.word("type"), units.word("condition").lookup(CONDITIONS)
        type_levels, family_levels = (*words.levels, ""), (*families.levels, "")
        year = np.clip(np.rint(age[known]), 0, OLDEST).astype(int)
        key = (words.codes[known].astype(np.int64) % len(type_levels)) * 5 + (grades[known] + 1)
        family_of = families.codes[known]
        for value in np.unique(key).tolist():
            here = key == value
            name = type_levels[value // 5]
            family = family_levels[int(family_of[here][0])]
            cell = (name, family, value % 5 - 1)
            counts = np.bincount(year[here], minlength=OLDEST + 1)
            cells[cell] = cells.get(cell, np.zeros(OLDEST + 1)) + counts
    return _table(cells, start)


def added(a: AgeTable, b: AgeTable) -> AgeTable:
    """The counts of two tables together."""
    cells: dict[tuple[str, str, int], np.ndarray] = {}
    for table in (a, b):
        rows = zip(table.types, table.families, table.grades, table.counts, strict=True)
        for t, f, g, counts in rows:
            cell = (t, f, int(g))
            cells[cell] = cells[cell] + counts if cell in cells else counts
    return _table(cells, a.start)


def _table(cells: Mapping[tuple[str, str, int], np.ndarray], start: bool) -> AgeTable:
    ordered = sorted(cell for cell in cells if cells[cell].any())
    grades = np.array([cell[2] for cell in ordered], dtype=int)
    counts = np.array([cells[cell] for cell in ordered]).reshape(len(ordered), OLDEST + 1)
    first, second = tuple(c[0] for c in ordered), tuple(c[1] for c in ordered)
    return AgeTable(first, second, grades, counts, start)


def blank_weights(table: AgeTable, units: Units, families: Coded) -> tuple[np.ndarray, np.ndarray]:
    """Rows whose age is blank, and their weights over GRID, (n_blank, 41), each summing to 1."""
    blank = np.flatnonzero(~np.isfinite(units.number("age")))
    if not len(blank):
        return blank, np.zeros((0, OLDEST + 1))
    types, grades = units.word("type"), units.word("condition").lookup(CONDITIONS)[blank]
    codes = (types.codes[blank].tolist(), families.codes[blank].tolist(), grades.tolist())
    # Not np.unique: it loads numpy.ma, a tenth of a question's time
    place: dict[tuple[int, int, int], int] = {}
    of = [place.setdefault(cell, len(place)) for cell in zip(*codes, strict=True)]
    names, kinds = (*types.levels, ""), (*families.levels, "")
    rows = [_weights_of(table, names[t], kinds[f], g) for t, f, g in place]
    return blank, np.stack(rows)[of]


def _weights_of(table: AgeTable, type_name: str, family: str, grade: int) -> np.ndarray:
    """p(age | type, grade) over GRID. A blank grade is that of all grades together."""
    same_grade = (table.grades == grade) | (grade < 0)
    same_family = np.array([f == family for f in table.families], dtype=bool) & (family != "")
    same_type = np.array([t == type_name for t in table.types], dtype=bool) & (type_name != "")
    everyone = table.counts.sum(0)
    if table.start:
        weights = _start(CONDITIONS[grade] if grade >= 0 else "")
    elif everyone.sum() > 0:
        weights = everyone / everyone.sum()
    else:
        weights = np.equal(GRID, round(MIDDLE_AGE)).astype(float)
    for rows, strength in (
        (same_grade, START_WEIGHT),
        (same_grade & same_family, POOL_WEIGHT),
        (same_grade & same_type, POOL_WEIGHT),
    ):
        counts = table.counts[rows].sum(0)
        weights = (counts + strength * weights) / (counts.sum() + strength)
    return weights


def as_numbers(table: AgeTable) -> dict[str, Any]:
    """Counts as lists without their trailing zeros."""
    counts = [np.trim_zeros(row, "b").tolist() for row in table.counts]
    return {
        "types": list(table.types),
        "families": list(table.families),
        "grades": table.grades,
        "counts": counts,
        "start": int(table.start),
    }


def from_numbers(data: Mapping[str, Any]) -> AgeTable:
    """Raises numbers.Damaged where sizes or bounds do not hold."""
    types = numbers.texts(data, "types")
    families = numbers.texts(data, "families")
    grades = numbers.array(data, "grades", (len(types),), -1, 3).astype(int)
    lists = data.get("counts")
    if (
        len(families) != len(types)
        or not isinstance(lists, list)
        or len(lists) != len(types)
        or not all(isinstance(row, list) and len(row) <= OLDEST + 1 for row in lists)
    ):
        raise numbers.Damaged("the table of ages has the wrong size")
    whole = {"counts": [[*row, *([0.0] * (OLDEST + 1 - len(row)))] for row in lists]}
    counts = numbers.array(whole, "counts", (len(types), OLDEST + 1), 0, 1e12)
    return AgeTable(types, families, grades, counts, bool(numbers.number(data, "start", 0, 1)))
