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

from functools import lru_cache

import numpy as np

from pricing.formulas import normal_law

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
    draws = normal_law.quantile(lattice(dimensions))
    draws.flags.writeable = False
    return draws
