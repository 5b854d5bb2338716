"""Days to sell at one ask kept, by the sale-time model's own law: what its tests hold it to. The
answers follow a plan of asks instead (`advice/listing`)."""

from __future__ import annotations

import numpy as np

from pricing.model.saletime import saletime
from pricing.model.saletime.saletime import Market, SaleTimeModel

# Gauss-Hermite points of a standard normal by the eigenvalues of its Jacobi matrix (Golub & Welsch
# 1969, Math. Comp. 23(106)).
HERMITE_POINTS, HERMITE_WEIGHTS = np.linalg.eigh(np.diag(np.sqrt(np.arange(1.0, 11.0)), -1))
HERMITE_WEIGHTS = HERMITE_WEIGHTS[0] ** 2


def chance_sold(
    model: SaleTimeModel,
    market: Market,
    log_ask_ratio: np.ndarray,
    days: float | np.ndarray,
    q_sd: np.ndarray,
) -> np.ndarray:
    """Chance that each unit is sold within `days` at one ask kept, over all that is not known (q,
    the rate, eta).

    log_ask_ratio, q_sd: (m,). days: one number gives (m,), an array (d,) gives (m, d).
    """
    log_rate, weight = _rates(model, market, log_ask_ratio, q_sd)
    at = np.atleast_1d(np.asarray(days, dtype=float))
    clock = saletime.WEEK * (np.maximum(at, 0.0) / saletime.WEEK) ** model.shape
    out = np.empty((len(log_rate), len(at)))
    for j, t in enumerate(clock.tolist()):
        out[:, j] = -np.expm1(-t * np.exp(log_rate)) @ weight
    return out[:, 0] if np.ndim(days) == 0 else out


def median_days(
    model: SaleTimeModel, market: Market, log_ask_ratio: np.ndarray, q_sd: np.ndarray
) -> np.ndarray:
    """Days by which half of such units are sold at one ask kept, (m,). Raises nothing; at most
    3,650."""
    log_rate, weight = _rates(model, market, log_ask_ratio, q_sd)
    rate = np.exp(np.clip(log_rate, -40.0, 40.0))
    # ln of the clock; Newton on ln(-ln S), near a straight line in it
    x = np.log(np.log(2)) - log_rate @ weight
    for _ in range(6):
        gone = np.exp(x)[:, None] * rate
        left = np.exp(-gone)
        alive = np.maximum(left @ weight, 1e-12)
        slope = (left * gone) @ weight
        height = -np.log(alive)
        step = (
            (np.log(np.log(2)) - np.log(np.maximum(height, 1e-300)))
            * height
            * alive
            / np.maximum(slope, 1e-300)
        )
        x = x + np.clip(step, -1.5, 1.5)
    days = saletime.WEEK * np.exp(np.clip((x - np.log(saletime.WEEK)) / model.shape, -20.0, 20.0))
    return np.asarray(np.minimum(days, 3650.0))


def _rates(
    model: SaleTimeModel, market: Market, log_ask_ratio: np.ndarray, q_sd: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """ln sales a day at points of what is not known, (m, 77), and their weights, (77,). Given eta
    the rate and eta q are normal together."""
    ratio = np.broadcast_to(np.asarray(log_ask_ratio, dtype=float), market.log_rate.shape)
    sd = np.broadcast_to(np.asarray(q_sd, dtype=float), market.log_rate.shape)
    eta = model.eta_points
    center = (
        market.log_rate[:, None]
        + market.per_eta[:, None] * (eta - model.eta_mean)
        - eta * ratio[:, None]
    )
    rest = np.maximum(market.log_rate_sd**2 - (market.per_eta * model.eta_sd) ** 2, 0.0)
    wide = np.sqrt(rest[:, None] + (eta * sd[:, None]) ** 2)
    log_rate = center[:, :, None] + wide[:, :, None] * HERMITE_POINTS
    return log_rate.reshape(len(ratio), -1), np.outer(model.eta_weights, HERMITE_WEIGHTS).ravel()
