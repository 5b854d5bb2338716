"""Points that fill a cube evenly, the same each time, and the normal law at points: what draws are
made of without scipy. numpy only.

The points are a lattice of one generator (Korobov 1959; Sloan & Joe, "Lattice Methods for Multiple
Integration", 1994):

    x_i = frac((i z + 1/2) / n),   i = 0 … n - 1,   z = (1, 791, 213, …)

so that each coordinate by itself is exactly the midpoints (k + 1/2)/n: a mean over one coordinate
is the midpoint rule, and the same question always meets the same points, which keeps every answer
monotone in what it is asked about. z was found component by component for the error P2 with weights
.9^j at n = 2048.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

N_POINTS = 2048
GENERATOR = (1, 791, 213, 957, 761, 37)


@lru_cache(maxsize=8)
def lattice(dimensions: int) -> np.ndarray:
    """Points in (0, 1), shape (N_POINTS, dimensions), read-only. Raises ValueError beyond six
    dimensions.

    >>> float(abs(lattice(2).mean(axis=0) - 0.5).max()) < 1e-12
    True
    """
    if not 1 <= dimensions <= len(GENERATOR):
        raise ValueError(f"1 to {len(GENERATOR)} dimensions, not {dimensions}")
    steps = np.outer(np.arange(N_POINTS), np.array(GENERATOR[:dimensions])) % N_POINTS
    points = (steps + 0.5) / N_POINTS
    points.flags.writeable = False
    return points


@lru_cache(maxsize=8)
def normal_points(dimensions: int) -> np.ndarray:
    """The same points as standard normal draws, shape (N_POINTS, dimensions), read-only."""
    draws = normal_quantile(lattice(dimensions))
    draws.flags.writeable = False
    return draws


def normal_quantile(chance: np.ndarray) -> np.ndarray:
    """z with Phi(z) = chance, any shape, chances strictly inside (0, 1); relative error about
    1e-15.

    Source: Wichura (1988), algorithm AS 241 (PPND16), Applied Statistics 37:477-484.

    >>> round(float(normal_quantile(np.array([0.975]))[0]), 6)
    1.959964
    """
    p = np.asarray(chance, dtype=float)
    q = p - 0.5
    middle = np.abs(q) <= 0.425
    r = np.where(middle, 0.180625 - q * q, 0.0)
    inner = q * np.polyval(_A, r) / np.polyval(_B, r)
    tail = np.sqrt(-np.log(np.where(middle, 0.5, np.minimum(p, 1 - p))))
    near = tail <= 5
    outer = np.where(
        near,
        np.polyval(_C, tail - 1.6) / np.polyval(_D, tail - 1.6),
        np.polyval(_E, tail - 5) / np.polyval(_F, tail - 5),
    )
    return np.where(middle, inner, np.sign(q) * outer)


_A = (
    2509.0809287301226727, 33430.575583588128105, 67265.770927008700853, 45921.953931549871457,
    13731.693765509461125, 1971.5909503065514427, 133.14166789178437745, 3.387132872796366608,
)  # fmt: skip
_B = (
    5226.495278852545925, 28729.085735721942674, 39307.89580009271061, 21213.794301586595867,
    5394.1960214247511077, 687.1870074920579083, 42.313330701600911252, 1.0,
)  # fmt: skip
_C = (
    7.7454501427834140764e-4, 0.0227238449892691845833, 0.24178072517745061177,
    1.27045825245236838258, 3.64784832476320460504, 5.7694972214606914055, 4.6303378461565452959,
    1.42343711074968357734,
)  # fmt: skip
_D = (
    1.05075007164441684324e-9, 5.475938084995344946e-4, 0.0151986665636164571966,
    0.14810397642748007459, 0.68976733498510000455, 1.6763848301838038494, 2.05319162663775882187,
    1.0,
)  # fmt: skip
_E = (
    2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.2426609473880784386e-3,
    0.026532189526576123093, 0.29656057182850489123, 1.7848265399172913358, 5.4637849111641143699,
    6.6579046435011037772,
)  # fmt: skip
_F = (
    2.04426310338993978564e-15, 1.4215117583164458887e-7, 1.8463183175100546818e-5,
    7.868691311456132591e-4, 0.0148753612908506148525, 0.13692988092273580531,
    0.59983220655588793769, 1.0,
)  # fmt: skip
NORMAL = (_A, _B, _C, _D, _E, _F)  # the coefficients above, for whoever reckons it elsewhere
