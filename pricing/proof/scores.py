"""How good estimates were: the scores of statisticians, and the ratio study of people who value
property for a living.

Prices and ends of ranges are money, or ln money where a function says so; every score is "lower is
better" unless it says what is right.
Sources: Gneiting and Raftery (2007), J. Am. Stat. Assoc. 102(477) (interval score, CRPS); Jordan,
Krueger and Lerch (2019), J. Stat. Software 90(12) (CRPS in closed form); International Association
of Assessing Officers (2013), Standard on Ratio Studies.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.special import bdtr  # the binomial law; scipy.stats would cost half a second

RESAMPLES = 1000


def median_ape(price: np.ndarray, estimate: np.ndarray) -> float:
    """Median absolute percentage error, a share: median |estimate / price - 1|. Shapes (n,), money;
    NaN for n = 0.

    >>> round(median_ape(np.array([100.0, 200.0, 50.0]), np.array([110.0, 190.0, 50.0])), 3)
    0.05
    """
    return float(np.median(np.abs(estimate / price - 1))) if len(price) else np.nan


def interval_score(y: np.ndarray, low: np.ndarray, high: np.ndarray, coverage: float) -> np.ndarray:
    """Interval (Winkler) score of each central range, shape (n,):

        (high - low) + 2/(1 - coverage) * (low - y)+ + 2/(1 - coverage) * (y - high)+

    in the unit of y (give ln money for a score free of scale). Its mean is least for the true
    quantiles (1 -+ coverage)/2. Raises ValueError unless 0 < coverage < 1.

    >>> low, high = np.array([4.0, 4.0]), np.array([10.0, 10.0])
    >>> interval_score(np.array([5.0, 12.0]), low, high, 0.8).round(6).tolist()
    [6.0, 26.0]
    """
    _check_share(coverage)
    miss = np.maximum(low - y, 0) + np.maximum(y - high, 0)
    return np.asarray(high - low + 2 / (1 - coverage) * miss)


def crps_quantiles(y: np.ndarray, quantiles: np.ndarray) -> np.ndarray:
    """CRPS of laws given by their quantiles at the midpoints (k - 1/2)/m, shape (n, m), ascending;
    returns (n,), unit of y:

        mean |q_k - y| - sum over k of (2 k - 1 - m) q_k / m^2

    exact for the law that puts 1/m on each point; with 199 points within about half a percent of a
    smooth law's own.

    >>> crps_quantiles(np.array([1.0]), np.array([[1.0, 1.0]])).tolist()
    [0.0]
    """
    m = quantiles.shape[1]
    spread = quantiles @ (2 * np.arange(1, m + 1) - 1 - m) / m**2
    return np.asarray(np.abs(quantiles - y[:, None]).mean(1) - spread)


def binomial_band(n: int, chance: float, level: float = 0.95) -> tuple[int, int]:
    """Counts of hits that n tries of a given chance stay within, with probability at least `level`:
    the (1-level)/2 quantiles of the binomial law.

    A range that holds fewer of n sales than the low end is too narrow; more than the high end, too
    wide. Raises ValueError unless chance and level are inside (0, 1).

    >>> binomial_band(31, 0.8), binomial_band(10, 0.8)
    ((20, 29), (5, 10))
    """
    _check_share(chance)
    _check_share(level)
    tail = (1 - level) / 2
    held = bdtr(np.arange(n + 1), n, chance)
    return int(np.searchsorted(held, tail)), int(np.searchsorted(held, 1 - tail))


# ---- the ratio study


def median_ratio(estimate: np.ndarray, price: np.ndarray) -> float:
    """Median of estimate / price; 1 is level, under 1 too low. Shapes (n,), money."""
    return float(np.median(estimate / price))


def dispersion(estimate: np.ndarray, price: np.ndarray) -> float:
    """Coefficient of dispersion, percent: 100 * mean |r_i - median r| / median r, r = estimate /
    price.

    >>> round(dispersion(np.array([90.0, 100.0, 120.0]), np.array([100.0, 100.0, 100.0])), 6)
    10.0
    """
    ratio = estimate / price
    middle = np.median(ratio)
    return float(100 * np.abs(ratio - middle).mean() / middle)


def differential(estimate: np.ndarray, price: np.ndarray) -> float:
    """Price-related differential:  mean r / (sum of estimates / sum of prices). Above 1.03: dear
    units are valued lower than cheap ones.

    >>> differential(np.array([100.0, 200.0]), np.array([100.0, 200.0]))
    1.0
    """
    return float(np.mean(estimate / price)) * float(price.sum()) / float(estimate.sum())


def price_bias(estimate: np.ndarray, price: np.ndarray) -> float:
    """Price-related bias: slope of (r - median r)/median r on log2 of half (estimate/median r +
    price), by least squares with a level.

    -.05: ratios fall by 5 % as value doubles. NaN where all units are worth the same.
    """
    ratio = estimate / price
    middle = np.median(ratio)
    value = np.log2((estimate / middle + price) / 2)
    off = value - value.mean()
    square = float(off @ off)
    slope = off @ ((ratio - middle) / middle) / square if square > 1e-12 * len(price) else np.nan
    return float(slope)


@dataclass(frozen=True)
class Figure:
    """One figure with the ends of its 95 % bootstrap interval, NaN under three sales."""

    value: float
    low: float
    high: float


@dataclass(frozen=True)
class RatioStudy:
    """The valuation ratios of n sales: median ratio, dispersion (percent), differential, bias."""

    n: int
    median: Figure
    dispersion: Figure
    differential: Figure
    bias: Figure


def ratio_study(
    estimate: np.ndarray, price: np.ndarray, seed: int = 0, resamples: int = RESAMPLES
) -> RatioStudy:
    """The four figures with percentile bootstrap intervals over sales. estimate, price: (n,), money
    above 0, n >= 1."""
    picks = np.random.default_rng(seed).integers(0, len(price), (resamples, len(price)))

    def figure(of: Callable[[np.ndarray, np.ndarray], float]) -> Figure:
        value = of(estimate, price)
        if len(price) < 3:
            return Figure(value, np.nan, np.nan)
        again = np.array([of(estimate[pick], price[pick]) for pick in picks])
        again = again[np.isfinite(again)]
        low, high = np.quantile(again, (0.025, 0.975)) if len(again) else (np.nan, np.nan)
        return Figure(value, float(low), float(high))

    figures = (median_ratio, dispersion, differential, price_bias)
    return RatioStudy(len(price), *map(figure, figures))


def _check_share(value: float) -> None:
    if not 0 < value < 1:
        raise ValueError(f"a share between 0 and 1 is wanted, not {value!r}")
