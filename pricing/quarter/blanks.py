"""What is put in for a blank: the person's own usual by type and end; sums in whole cents."""

import re

import numpy as np

from pricing.basis.units import Units

# A cell is "usually written" where at least this share of such units has it; own judgement
USUALLY_WRITTEN = 0.5
# a type's own usual counts against this many units of the usual over all types; own judgement
STEADY = 3.0


def cents(values: np.ndarray | float) -> np.ndarray:
    """Rounded to the hundredth: cents of money, hundredths of an hour."""
    rounded: np.ndarray = np.round(np.asarray(values, dtype=float), 2)
    rounded += 0.0  # no minus zero
    return rounded


def some_cents(values: np.ndarray) -> np.ndarray:
    """The same, and no memory for it where all are nothing."""
    return cents(values) if values.any() else np.broadcast_to(0.0, len(values))


def allot(total: float, weights: np.ndarray) -> np.ndarray:
    """A total dealt out by weight in whole cents, so that the parts add up to it again (largest
    remainders first).

    >>> allot(1.0, np.array([1, 1, 1])).tolist()
    [0.34, 0.33, 0.33]
    """
    if total == 0 or weights.sum() <= 0:
        return np.zeros(len(weights))
    exact = abs(total) * 100 * weights / weights.sum()
    whole = np.floor(exact + 1e-9)
    left = round(abs(total) * 100 - whole.sum())
    whole[np.argsort(whole - exact, kind="stable")[:left]] += 1
    return cents(np.sign(total) * whole / 100)


def usual(values: np.ndarray, of_type: np.ndarray, n_types: int) -> tuple[np.ndarray, float]:
    """The person's usual of a figure by type, shrunk to the usual over all types: (n k + STEADY m)
    / (n + STEADY), and m.

    values: (n,), NaN where not written; of_type: (n,) codes 0…n_types - 1. m is NaN where nothing
    is written.

    >>> usual(np.array([2.0, 4.0, np.nan, 9.0]), np.array([0, 0, 0, 1]), 2)
    (array([4.2, 6. ]), 5.0)
    """
    known = np.isfinite(values)
    if not known.any():
        return np.full(n_types, np.nan), float("nan")
    overall = float(values[known].mean())
    count = np.bincount(of_type[known], minlength=n_types)
    total = np.bincount(of_type[known], values[known], minlength=n_types)
    return (total + STEADY * overall) / (count + STEADY), overall


def fill(
    values: np.ndarray, where: np.ndarray, class_of: np.ndarray, of_type: np.ndarray, n_types: int
) -> np.ndarray:
    """For blanks among `where`: the usual of the type and end, if most have the figure; else 0."""
    out = np.zeros(len(values))
    for kind in np.unique(class_of[where]):
        rows = where & (class_of == kind)
        known = np.isfinite(values) & rows
        if known.sum() >= max(1.0, USUALLY_WRITTEN * rows.sum()):
            by_type, _ = usual(np.where(known, values, np.nan), of_type, n_types)
            blank = rows & ~np.isfinite(values)
            out[blank] = by_type[of_type[blank]]
    return out


def types_of(units: Units) -> tuple[np.ndarray, int]:
    """Codes of the types with blanks as a type of their own, and how many there are."""
    coded = units.word("type")
    k = len(coded.levels)
    return np.where(coded.codes < 0, k, coded.codes).astype(np.int64), k + 1


def comebacks(units: Units) -> tuple[np.ndarray, np.ndarray]:
    """Hours and money of comebacks, from cells like `2026-03-01: 1.5: 30; …`; a part that is not a
    number counts as nothing."""
    coded = units.word("comeback")
    if not coded.levels:
        return np.broadcast_to(0.0, units.n), np.broadcast_to(0.0, units.n)
    by_level = np.zeros((len(coded.levels) + 1, 2))
    for i, text in enumerate(coded.levels):
        for entry in text.split(";"):
            parts = [part.strip() for part in entry.split(":")]
            for j, part in enumerate(parts[1:3]):
                if re.fullmatch(r"\d+(\.\d+)?", part):
                    by_level[i, j] += float(part)
    return by_level[coded.codes, 0], by_level[coded.codes, 1]
