"""Which of several groups pays best, said no surer than the record allows: partial pooling, the
chance of being best.

    R_g | rho_g ~ N(rho_g, v_g),   rho_g ~ N(mu, tau^2),   mu flat,   ln tau ~ N(ln(SPREAD scale),
        SPREAD_SD^2)

R_g: ratio of sums; v_g = s_g^2 / n_g, where s_g^2, the variance of one unit, is shrunk to that over
all groups; tau is integrated over a grid. The draws use t with half of the group's own n_g - 1
degrees, so that few units never look sure. In five invented groups that really lie 10 % apart, with
units scattering by 60 %, the stated chance agrees with how often the named group really is the best
at n = 6, 12 and 25, and stays some five hundredths below it at n = 50
(tests/benchmarks/test_pays.py prints it). Source for the pooling: Gelman and Hill (2007), ch. 12;
Rubin (1981).
"""

import numpy as np
from numpy import ndarray as Array

from pricing.basis.frozen import frozen

# kinds of unit differ by about six tenths of the overall return: own judgement, loses weight as
# groups fill
SPREAD = 0.60
SPREAD_SD = 0.35
# of n - 1: money with failures and lumps is skewed, so that few units tell less of its scatter than
# in theory
DEGREES = 0.5
# The variance over all groups counts as this many units of each group; own judgement
UNITS_OF_ALL = 12.0
MOST_OF_MIDDLE = 4.0  # times the middle variance; own judgement
SURE = 0.80  # a group is called best from this chance on
N_DRAWS = 4000


@frozen
class Pooled:
    """(n_groups,) each. value, error: posterior mean and sd; chance_best; chance_above the target;
    loss: what choosing it costs an hour against the truly best; draws: (N_DRAWS, n_groups)."""

    value: Array
    error: Array
    chance_best: Array
    chance_above: Array
    loss: Array
    draws: Array

    def range_of(self, coverage: float) -> tuple[Array, Array]:
        """Low and high of each group, shape (n_groups,) each."""
        low, high = np.quantile(self.draws, [0.5 - coverage / 2, 0.5 + coverage / 2], axis=0)
        return low, high


def shared_variance(
    unit_variance: Array, n: Array, value: Array, scale: float, fallback: float
) -> Array:
    """Variance of one unit by group, shrunk to all groups: ((n - 1) s_g^2 + UNITS_OF_ALL f_g s^2) /
    (n - 1 + UNITS_OF_ALL).

    f_g = max(1, (R_g / scale)^2): money that comes in bigger lumps scatters in proportion, so that
    one lucky unit is no proof. One group with a wild unit must not drown the others, so a group
    enters s^2 with at most MOST_OF_MIDDLE times the middle one.

    unit_variance: (n_groups,), nan where a group has one unit; value: (n_groups,) ratios; scale:
    the size of a usual return;
    fallback: s^2 where no group has two units.
    """
    known = np.isfinite(unit_variance)
    lumps = np.maximum(1.0, (value / scale) ** 2)
    own = np.where(known, unit_variance, 0.0)
    degrees = np.where(known, n - 1, 0)
    overall = fallback
    if degrees.sum() > 0:
        relative = own / lumps
        order = np.argsort(relative[known])
        reached = np.cumsum(degrees[known][order])
        middle = relative[known][order][np.searchsorted(reached, reached[-1] / 2)]
        capped = np.minimum(relative, MOST_OF_MIDDLE * middle)
        overall = float((degrees * capped).sum() / degrees.sum())
    return (degrees * own + UNITS_OF_ALL * overall * lumps) / (degrees + UNITS_OF_ALL)


def pool(
    value: Array, unit_variance: Array, n: Array, *, scale: float, target: float, seed: int = 0
) -> Pooled:
    """Partially pooled returns of the groups, (n_groups,) each. value: ratios of sums;
    unit_variance: above 0; n: units; scale: the size of a usual return; target: what an hour should
    earn."""
    rng = np.random.default_rng(seed)
    variance = unit_variance / n
    tau = np.geomspace(0.03, 30, 61) * SPREAD * scale
    total = variance[None, :] + tau[:, None] ** 2
    weight = 1 / total
    mean = (weight * value).sum(1) / weight.sum(1)
    apart = (weight * (value - mean[:, None]) ** 2).sum(1)
    log_chance = -0.5 * (np.log(total).sum(1) + np.log(weight.sum(1)) + apart)
    log_chance -= 0.5 * (np.log(tau / (SPREAD * scale)) / SPREAD_SD) ** 2
    chance = np.exp(log_chance - log_chance.max())
    chance /= chance.sum()
    picked = rng.choice(len(tau), N_DRAWS, p=chance)
    centers = mean[picked] + rng.normal(size=N_DRAWS) / np.sqrt(weight[picked].sum(1))
    share = tau[picked, None] ** 2 / total[picked]
    degrees = np.maximum((n - 1) * DEGREES, 1.5)
    errors = rng.normal(size=(N_DRAWS, len(n)))
    errors /= np.sqrt(rng.chisquare(degrees, (N_DRAWS, len(n))) / degrees)
    draws = share * value + (1 - share) * centers[:, None] + np.sqrt(share * variance) * errors
    expected = _expected(chance, tau, variance, value, mean)
    best = draws.max(1)
    return Pooled(
        value=expected,
        error=draws.std(0),
        chance_best=np.bincount(draws.argmax(1), minlength=len(n)) / N_DRAWS,
        chance_above=(draws > target).mean(0),
        loss=(best[:, None] - draws).mean(0),
        draws=draws,
    )


def _expected(chance: Array, tau: Array, variance: Array, value: Array, mean: Array) -> Array:
    """Posterior mean of each group: B R_g + (1 - B) mu, B = tau^2 / (tau^2 + v_g), over tau."""
    share = tau[:, None] ** 2 / (tau[:, None] ** 2 + variance)
    return (chance[:, None] * (share * value + (1 - share) * mean[:, None])).sum(0)
