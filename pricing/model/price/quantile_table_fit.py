"""Make the table of quantiles of a t variable plus a normal one."""

from functools import lru_cache

import numpy as np
from scipy.special import expit, gammaln, ndtr, ndtri, roots_genlaguerre, stdtrit

from pricing.model.price.quantile_table import LOGITS, SHARES, QuantileTable

NODES, NORMAL_FROM = 60, 200.0


@lru_cache(maxsize=32)
def make(nu: float) -> QuantileTable:
    """The table for nu degrees of freedom. X given the chi-square of the t is normal, so that P(X
    <= x) is a mean of normal laws:

        P(X <= x) = E_g[ Phi( x / sqrt((1 - r) / g + r) ) ],   g ~ chi2_nu / nu

    by Gauss-Laguerre points of g, solved for x by Newton steps on the logit. From nu = 200 on the t
    is taken as normal.
    """
    wanted = expit(LOGITS)
    if nu >= NORMAL_FROM:
        return QuantileTable(nu, np.round(np.tile(ndtri(wanted), (len(SHARES), 1)), 6))
    nodes, weights = roots_genlaguerre(NODES, nu / 2 - 1)
    weights = weights / weights.sum()
    g = 2 * nodes / nu
    t_quantile, normal_quantile = stdtrit(nu, wanted), ndtri(wanted)
    inner = SHARES[1:-1]
    sd = np.sqrt((1 - inner)[:, None] / g + inner[:, None])  # (shares, nodes)
    x = np.sqrt((1 - inner)[:, None] * t_quantile**2 + inner[:, None] * normal_quantile**2)
    for _ in range(12):
        z = x[:, :, None] / sd[:, None, :]
        above = np.maximum(ndtr(-z) @ weights, 1e-300)
        density = (np.exp(-0.5 * z**2) / (np.sqrt(2 * np.pi) * sd[:, None, :])) @ weights
        logit = np.log1p(-above) - np.log(above)
        step = (logit - LOGITS) * above * (1 - above) / np.maximum(density, 1e-300)
        x = np.maximum(x - step, 0.0)
    return QuantileTable(nu, np.round(np.vstack([t_quantile, x, normal_quantile]), 6))


def t_log_density(z: np.ndarray, nu: float) -> np.ndarray:
    """Log density of a t variable with unit scale at z."""
    scale = gammaln((nu + 1) / 2) - gammaln(nu / 2) - 0.5 * np.log(nu * np.pi)
    return scale - (nu + 1) / 2 * np.log1p(z**2 / nu)
