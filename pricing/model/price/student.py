"""Student-t errors as weights: e_i ~ t_nu is normal with a precision drawn from a gamma law, and
the weight is its expected value.

    w_i = (nu + 1) / (nu + E r_i^2 / s_i^2),     E r_i^2 = rhat_i^2 + z_i'S z_i

Source: Lange, Little and Taylor (1989), J. Am. Stat. Assoc. 84(408).
"""

import numpy as np
from numpy import ndarray as Array

from pricing.model.price.quantile_table_fit import t_log_density

DEGREES = (4.0, 5.0, 6.0, 8.0, 12.0, 20.0, 50.0)
USUAL, DOUBT = 8.0, 0.6  # ln nu ~ N(ln 8, .6^2): own judgement
STRETCH = (0.7, 0.8, 0.9, 1.0, 1.1, 1.25)
LEARNED_FROM = 40  # sales; below, nu stays where it started


def weights(square: Array, own: Array, nu: float | Array) -> Array:
    """Weights of the sales, (n,). square: E r^2; own: s_i^2; nu: of all, or of each.

    >>> weights(np.array([0.0, 4.0]), np.array([1.0, 1.0]), 4.0).tolist()
    [1.25, 0.625]
    """
    return (nu + 1) / (nu + square / own)


def degrees(residual: Array, known: Array, own: Array, weight: Array, nu: float) -> float:
    """nu of DEGREES with the highest density of left-out residuals; the old nu for few."""
    n = len(residual)
    if n < LEARNED_FROM:
        return nu
    h = np.clip(weight * known / own, 0.0, 0.98)
    z = residual / (1 - h) / np.sqrt(own + known / (1 - h))
    scores = []
    for candidate in DEGREES:
        fits = [float(t_log_density(z / c, candidate).sum()) - n * np.log(c) for c in STRETCH]
        scores.append(max(fits) - 0.5 * (np.log(candidate / USUAL) / DOUBT) ** 2)
    return DEGREES[int(np.argmax(scores))]
