"""A ratio of sums and how sure it is: return per hour = sum of profit / sum of hours, never the
mean of the units' own ratios.

Linearised around R = sum y / sum x: the unit i pulls R by d_i / (n mean x), d_i = y_i - R x_i. The
interval is the delta method with the jackknife standard error and t with n - 1 degrees: over sets
with failures and skewed money it held .77 to .82 for .80 at n = 4 to 50, where the bias-corrected
accelerated bootstrap holds .72 at n = 6. `bca` is kept as a check for n of 25 and more.
Sources: Cochran, Sampling Techniques (3rd ed. 1977), ch. 6; Efron and Tibshirani, An Introduction
to the Bootstrap (1993), ch. 10, 14.
"""

import numpy as np

from pricing.basis.frozen import frozen


@frozen
class Ratio:
    """value = sum y / sum x of n units; error: jackknife; unit_variance: n error^2."""

    value: float
    n: int
    error: float

    @property
    def unit_variance(self) -> float:
        return self.n * self.error**2


def ratio_of_sums(y: np.ndarray, x: np.ndarray) -> Ratio:
    """Ratio of sums with its jackknife error.

    y: (n,) for instance money; x: (n,) for instance hours, with a sum above 0 (ValueError else).

    100 / 4, not (10 + 30) / 2 = 20:

    >>> ratio_of_sums(np.array([10.0, 90.0]), np.array([1.0, 3.0])).value
    25.0
    """
    total_y, total_x, n = float(y.sum()), float(x.sum()), len(y)
    if not total_x > 0:
        raise ValueError("the sum below the line must be above 0")
    return Ratio(total_y / total_x, n, jackknife(y, x)[1] if n >= 2 else float("nan"))


def jackknife(y: np.ndarray, x: np.ndarray) -> tuple[float, float]:
    """Jackknife estimates of bias and standard error of sum y / sum x.

        bias = (n - 1)(mean R_(i) - R),   se^2 = (n - 1)/n sum (R_(i) - mean R_(.))^2,   R_(i)
            leaves unit i out

    A unit that holds all of x cannot be left out: its R_(i) is then the linear approximation.
    """
    n, total_y, total_x = len(y), float(y.sum()), float(x.sum())
    value = total_y / total_x
    rest = total_x - x
    whole = rest > 1e-9 * total_x
    left_out = total_y - y
    left_out[whole] /= rest[whole]
    left_out[~whole] = value - (y[~whole] - value * x[~whole]) / total_x
    mean = left_out.mean()
    error = np.sqrt((n - 1) / n * ((left_out - mean) ** 2).sum())
    return float((n - 1) * (mean - value)), float(error)


def interval(ratio: Ratio, coverage: float) -> tuple[float, float]:
    """Ends of the range that holds the true ratio: R -+ t_{n-1} se; infinite for n < 2."""
    from scipy.special import stdtrit  # scipy.stats would cost half a second

    if ratio.n < 2 or not np.isfinite(ratio.error):
        return float("-inf"), float("inf")
    half = float(stdtrit(ratio.n - 1, 0.5 + coverage / 2)) * ratio.error
    return ratio.value - half, ratio.value + half
