"""Ratios of sums, their errors, and waiting curves against published values; the source stands
beside each."""

from __future__ import annotations

import numpy as np
import pytest
from references import bca

from pricing.quarter.ratio import interval, jackknife, ratio_of_sums
from pricing.quarter.survival import waiting_curve

# Efron and Tibshirani (1993), An Introduction to the Bootstrap, ch. 10, table 10.1: z = old patch -
# placebo, y = new patch - old patch.
PATCH_Z = np.array([8406, 2342, 8187, 8459, 4795, 3516, 4796, 10238], dtype=float)
PATCH_Y = np.array([-1200, 2601, -2705, 1982, -1290, 351, -638, -2719], dtype=float)

# Davison and Hinkley (1997), Bootstrap Methods and their Application, table 2.1: ten cities,
# populations 1920 (u) and 1930 (x), thousands.
CITY_U = np.array([138, 93, 61, 179, 48, 37, 29, 23, 30, 2], dtype=float)
CITY_X = np.array([143, 104, 69, 260, 75, 63, 50, 48, 111, 50], dtype=float)

# Cochran, Sampling Techniques (3rd ed. 1977), ch. 6: 49 of 196 cities, 1920 and 1930, thousands.
COCHRAN = """138,143 93,104 61,69 179,260 48,75 37,63 29,50 23,48 30,111 2,50 38,52 46,53 71,79 25,57 298,317 74,93 50,58 76,80 381,464 387,459 78,106 60,57
507,634 50,64 77,89 64,77 40,60 136,139 243,291 256,288 94,85 36,46 45,53 67,67 120,115 172,183 66,86 46,65 121,113 44,58 64,63 56,142 40,64 116,130 87,105
43,61 43,50 161,232 36,54"""

# Efron and Tibshirani (1993), table 3.1: fifteen law schools, LSAT and GPA (from memory).
LSAT = np.array(
    [576, 635, 558, 578, 666, 580, 555, 661, 651, 605, 653, 575, 545, 572, 594], dtype=float
)
GPA = np.array(
    [3.39, 3.30, 2.81, 3.03, 3.44, 3.07, 3.00, 3.43, 3.36, 3.13, 3.12, 2.74, 2.76, 2.88, 2.96]
)


def test_the_ratio_is_of_sums_and_not_the_mean_of_ratios() -> None:
    """Profits 10 and 90 in 1 and 3 hours are 100/4 = 25 an hour; the mean of the two ratios would
    say 20."""
    assert ratio_of_sums(np.array([10.0, 90.0]), np.array([1.0, 3.0])).value == pytest.approx(25.0)


def test_patch_data() -> None:
    """Efron and Tibshirani (1993), ch. 10: ratio -.0713; jackknife bias .0080 and standard error
    .1055 (the last from memory)."""
    ratio = ratio_of_sums(PATCH_Y, PATCH_Z)
    bias, error = jackknife(PATCH_Y, PATCH_Z)

    assert ratio.value == pytest.approx(-0.0713, abs=5e-5)
    assert bias == pytest.approx(0.0080, abs=5e-5)
    assert error == pytest.approx(0.1055, abs=5e-5)
    assert ratio.error == error


def test_ten_cities() -> None:
    """Davison and Hinkley (1997), ch. 2: t = 1.520 (from memory)."""
    assert ratio_of_sums(CITY_X, CITY_U).value == pytest.approx(1.520, abs=5e-4)


def test_forty_nine_cities() -> None:
    """Cochran (1977), ch. 6: sums 5,054 and 6,262; ratio estimate of the total 28,397
    (from memory)."""
    u, x = np.array([pair.split(",") for pair in COCHRAN.split()], dtype=float).T

    assert (len(u), u.sum(), x.sum()) == (49, 5054, 6262)
    assert ratio_of_sums(x, u).value * 22_919 == pytest.approx(28_397, abs=0.5)


def test_law_schools_by_the_check_path() -> None:
    """Efron (1987), and Efron and Tibshirani (1993): correlation .776; bias-corrected accelerated
    95 % interval .331 to .938 or so.

    The ends move with the draws (published runs print .33 to .94); 40,000 draws settle them to the
    second digit.
    """

    def correlation(rows: np.ndarray) -> np.ndarray:
        a, b = LSAT[rows], GPA[rows]
        a, b = a - a.mean(1, keepdims=True), b - b.mean(1, keepdims=True)
        return (a * b).sum(1) / np.sqrt((a**2).sum(1) * (b**2).sum(1))

    assert correlation(np.arange(15)[None, :])[0] == pytest.approx(0.776, abs=5e-4)
    low, high = bca(correlation, 15, 0.95, seed=1, n_boot=40_000)
    assert low == pytest.approx(0.331, abs=0.02)
    assert high == pytest.approx(0.942, abs=0.005)


def test_the_check_path_agrees_with_scipy() -> None:
    """scipy.stats.bootstrap, method BCa, on the same ratio of skewed sums; both settle with the
    number of draws."""
    from scipy.stats import bootstrap

    rng = np.random.default_rng(3)
    y, x = rng.lognormal(4, 0.6, 40) - 20, rng.lognormal(1, 0.4, 40)
    theirs = bootstrap(
        (y, x),
        lambda a, b, axis=-1: a.sum(axis) / b.sum(axis),
        paired=True,
        vectorized=True,
        confidence_level=0.8,
        n_resamples=20_000,
        method="BCa",
        rng=np.random.default_rng(4),
    ).confidence_interval

    ours = bca(lambda rows: y[rows].sum(1) / x[rows].sum(1), 40, 0.8, seed=5, n_boot=20_000)

    width = theirs.high - theirs.low
    assert ours[0] == pytest.approx(theirs.low, abs=0.03 * width)
    assert ours[1] == pytest.approx(theirs.high, abs=0.03 * width)


def test_the_quick_interval_lies_near_the_check_path_from_25_units_on() -> None:
    """Delta method with t against BCa on 60 units with failures: ends within an eighth of the
    width."""
    rng = np.random.default_rng(8)
    fixed = rng.random(60) < 0.75
    y, x = np.where(fixed, rng.lognormal(5, 0.4, 60), 5) - 40, rng.lognormal(1, 0.3, 60)

    low, high = interval(ratio_of_sums(y, x), 0.8)
    check_low, check_high = bca(lambda rows: y[rows].sum(1) / x[rows].sum(1), 60, 0.8, seed=1)

    assert abs(low - check_low) < (check_high - check_low) / 8
    assert abs(high - check_high) < (check_high - check_low) / 8


def test_degenerate_ratios() -> None:
    """One unit has no error of its own; a unit that holds all hours can still be left out; no hours
    at all are refused."""
    assert interval(ratio_of_sums(np.array([5.0]), np.array([2.0])), 0.8) == (
        float("-inf"),
        float("inf"),
    )
    assert np.isfinite(jackknife(np.array([5.0, 1.0]), np.array([2.0, 0.0]))[1])
    with pytest.raises(ValueError, match="above 0"):
        ratio_of_sums(np.array([5.0]), np.array([0.0]))


# Freireich et al. (1963), as printed in Kalbfleisch and Prentice and by R's survfit: weeks of
# remission, 6-MP; + is censored.
SIX_MP = [
    10,
    7,
    "32+",
    23,
    "22",
    6,
    16,
    "34+",
    "32+",
    "25+",
    "11+",
    "20+",
    "19+",
    "6",
    "17+",
    "35+",
    6,
    13,
    "9+",
    "6+",
    "10+",
]
CONTROL = [1, 22, 3, 12, 8, 17, 2, 11, 8, 12, 2, 5, 4, 15, 8, 23, 5, 11, 4, 1, 8]


def six_mp() -> tuple[np.ndarray, np.ndarray]:
    texts = [str(entry) for entry in SIX_MP]
    return np.array([float(text.rstrip("+")) for text in texts]), np.array(
        [not text.endswith("+") for text in texts]
    )


def test_six_mp_waiting_curve() -> None:
    """R survfit on the 6-MP arm: at risk, share and Greenwood error at each event; half by week 23
    (from memory)."""
    curve = waiting_curve(*six_mp())

    assert curve.days.tolist() == [6, 7, 10, 13, 16, 22, 23]
    assert curve.waiting.tolist() == [21, 17, 15, 12, 11, 7, 6]
    assert curve.share == pytest.approx([0.857, 0.807, 0.753, 0.690, 0.627, 0.538, 0.448], abs=5e-4)
    assert curve.error == pytest.approx(
        [0.0764, 0.0869, 0.0963, 0.1068, 0.1141, 0.1282, 0.1346], abs=5e-5
    )
    assert curve.half_sold_by == 23
    assert (curve.n, curve.n_unsold) == (21, 12)


def test_control_arm_without_censoring() -> None:
    """The same study, control arm: .9048, .8095, …, S(10) = 8/21 = .381 with error .1060, 0 at week
    23; half by week 8 (from memory)."""
    curve = waiting_curve(np.array(CONTROL, dtype=float), np.ones(21, dtype=bool))

    assert curve.share == pytest.approx(
        [0.9048, 0.8095, 0.7619, 0.6667, 0.5714, 0.3810, 0.2857, 0.1905, 0.1429, 0.0952, 0.0476, 0],
        abs=5e-5,
    )
    assert curve.share_at(10) == pytest.approx(8 / 21)
    assert curve.error[5] == pytest.approx(0.1060, abs=5e-5)
    assert curve.half_sold_by == 8


def test_eight_patients() -> None:
    """Bewick, Cheek and Ball (2004), Critical Care 8(5), table of eight patients: .750 .625 .500
    .333 0. The shares are theirs (from memory); the times are ours, in an order of events and
    losses that leads to them."""
    curve = waiting_curve(
        np.array([1, 1, 3, 4, 4.5, 6, 7, 8]),
        np.array([True, True, True, True, False, True, False, True]),
    )

    assert curve.n == 8
    assert curve.share == pytest.approx([0.750, 0.625, 0.500, 0.333, 0.0], abs=5e-4)


def test_waiting_curve_agrees_with_statsmodels() -> None:
    """statsmodels SurvfuncRight: shares, numbers waiting and Greenwood errors on random listings
    with ties and censoring."""
    from statsmodels.duration.survfunc import SurvfuncRight

    rng = np.random.default_rng(12)
    days, sold = np.ceil(rng.exponential(12, 150)), rng.random(150) < 0.7
    theirs = SurvfuncRight(days, sold.astype(int))
    ours = waiting_curve(days, sold)

    assert ours.days == pytest.approx(theirs.surv_times)
    assert ours.share == pytest.approx(theirs.surv_prob)
    assert ours.waiting == pytest.approx(theirs.n_risk)
    inner = ours.share > 0
    assert ours.error[inner] == pytest.approx(theirs.surv_prob_se[inner])


def test_ignoring_the_unsold_is_the_classic_mistake() -> None:
    """6-MP: the nine seen events average 109/9 = 12.1 weeks, while half the arm is still waiting at
    week 22."""
    weeks, ended = six_mp()

    assert weeks[ended].mean() == pytest.approx(109 / 9)
    assert waiting_curve(weeks, ended).share_at(weeks[ended].mean()) > 0.7
