"""How the spread of prices differs between units: ln s_i = ln s + gamma'v_i, gamma ~
N(mean, sd^2)."""

import numpy as np
from scipy.optimize import minimize

from pricing.model.price.price import MOST_SPREAD


def fit(
    v: np.ndarray,
    square: np.ndarray,
    weights: np.ndarray,
    s2: float,
    blank_open: np.ndarray,
    mean: np.ndarray,
    sd: np.ndarray,
    start: np.ndarray,
) -> np.ndarray:
    """gamma that maximises  -sum( ln s_i^2 + w_i E r_i^2 / s_i^2 ) / 2 - |(gamma - mean) / sd|^2 /
        2,   s_i^2 = s^2 exp(2 gamma'v_i) + blank_open_i.

    v: (n, q); square: E r_i^2, (n,); weights: (n,); blank_open: what a blank age leaves open, (n,).
    Returns (q,).
    """
    if not v.shape[1] or not len(square):
        return mean.copy()
    scaled = weights * square

    def minus_log(gamma: np.ndarray) -> tuple[float, np.ndarray]:
        raw = v @ gamma
        eta = np.clip(raw, -MOST_SPREAD, MOST_SPREAD)
        mine = s2 * np.exp(2 * eta)
        own = mine + blank_open
        z = (gamma - mean) / sd
        slope = (mine / own) * (1 - scaled / own) * (raw == eta)
        return float(0.5 * (np.log(own) + scaled / own).sum() + 0.5 * z @ z), v.T @ slope + z / sd

    found = minimize(minus_log, start, jac=True, method="L-BFGS-B", options={"maxiter": 60})
    return np.asarray(found.x)
