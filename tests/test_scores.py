"""Scores against closed forms, numerical integrals and a package of assessors."""

from __future__ import annotations

import numpy as np
import pytest
from references import crps_normal
from scipy import integrate, stats

from pricing.proof import scores


def crps_by_integral(law: stats.rv_continuous, y: float) -> float:
    """The definition: integral of (F(x) - 1{x >= y})^2."""
    left = integrate.quad(lambda x: law.cdf(x) ** 2, -np.inf, y, epsabs=1e-12, limit=200)[0]
    right = integrate.quad(lambda x: law.sf(x) ** 2, y, np.inf, epsabs=1e-12, limit=200)[0]
    return left + right


@pytest.mark.parametrize("y", [-2.0, 0.3, 4.0])
def test_the_closed_form_is_the_integral(y: float) -> None:
    got = crps_normal(np.array([y]), np.array([0.5]), np.array([1.7]))

    assert got[0] == pytest.approx(crps_by_integral(stats.norm(0.5, 1.7), y), abs=1e-9)


def test_crps_of_points_is_the_definition_and_comes_near_the_law() -> None:
    """Two points 0 and 2 of one half each, y = 1: integral of .25 over (0, 2) = .5. 199 midpoints
    of a normal law: within 1 %."""
    assert scores.crps_quantiles(np.array([1.0]), np.array([[0.0, 2.0]]))[0] == pytest.approx(0.5)
    points = stats.norm.ppf((np.arange(199) + 0.5) / 199)
    y = np.array([-1.5, 0.0, 2.2])

    assert scores.crps_quantiles(y, np.tile(points, (3, 1))) == pytest.approx(
        crps_normal(y, np.zeros(3), np.ones(3)), rel=0.01
    )


def test_interval_score_is_least_at_the_true_quantiles() -> None:
    """A proper score (Gneiting and Raftery 2007): on 20,000 normal draws no narrower, wider or
    shifted range scores better."""
    y = stats.norm.ppf((np.arange(20_000) + 0.5) / 20_000)
    z = stats.norm.ppf(0.9)

    def mean_score(low: float, high: float) -> float:
        return float(
            scores.interval_score(y, np.full_like(y, low), np.full_like(y, high), 0.8).mean()
        )

    best = mean_score(-z, z)
    assert best == pytest.approx(
        2 * stats.norm.pdf(z) / 0.1, abs=1e-3
    )  # closed form of the expected score: 2 phi(z)/(1 - .9)
    assert all(
        mean_score(*other) > best
        for other in ((-z - 0.1, z + 0.1), (-z + 0.1, z - 0.1), (-z + 0.1, z + 0.1))
    )


@pytest.mark.parametrize(
    ("n", "chance"),
    [(1, 0.8), (10, 0.8), (31, 0.8), (60, 0.5), (61, 0.5), (400, 0.95), (5000, 0.8)],
)
def test_the_band_is_the_binomial_quantiles(n: int, chance: float) -> None:
    low, high = scores.binomial_band(n, chance)

    assert (low, high) == (stats.binom.ppf(0.025, n, chance), stats.binom.ppf(0.975, n, chance))
    assert stats.binom.cdf(high, n, chance) - stats.binom.cdf(low - 1, n, chance) >= 0.95


def test_ratio_study_agrees_with_the_assessors_package() -> None:
    """979 sales of the sample of PyPI's `assesspy` (2019, Evanston and New Trier), to 1e-9."""
    import assesspy

    sample = assesspy.ccao_sample()
    estimate, price = sample["estimate"].to_numpy(float), sample["sale_price"].to_numpy(float)

    assert len(sample) == 979
    assert scores.dispersion(estimate, price) == pytest.approx(
        assesspy.cod(sample["estimate"], sample["sale_price"]), abs=1e-9
    )
    assert scores.differential(estimate, price) == pytest.approx(
        assesspy.prd(sample["estimate"], sample["sale_price"]), abs=1e-9
    )
    assert scores.price_bias(estimate, price) == pytest.approx(
        assesspy.prb(sample["estimate"], sample["sale_price"]), abs=1e-9
    )


def test_bootstrap_intervals_agree_with_the_assessors_package() -> None:
    """Its bias interval is by the t law, ours by resampling: 979 sales give the same ends to .01;
    its dispersion interval is a bootstrap too."""
    import assesspy

    sample = assesspy.ccao_sample()
    study = scores.ratio_study(
        sample["estimate"].to_numpy(float), sample["sale_price"].to_numpy(float), seed=3
    )
    low, high = assesspy.prb_ci(sample["estimate"], sample["sale_price"])

    assert study.n == 979
    assert (study.bias.low, study.bias.high) == pytest.approx((low, high), abs=0.01)
    for figure in (study.median, study.dispersion, study.differential, study.bias):
        assert figure.low < figure.value < figure.high


def test_small_studies() -> None:
    """One sale has figures but no interval; units of one price have no slope; the same seed gives
    the same ends."""
    one = scores.ratio_study(np.array([90.0]), np.array([100.0]))
    flat = scores.price_bias(np.array([100.0, 100.0]), np.array([100.0, 100.0]))
    estimate, price = np.array([90.0, 120.0, 200.0, 60.0]), np.array([100.0, 100.0, 210.0, 70.0])

    assert one.median.value == pytest.approx(0.9)
    assert np.isnan(one.median.low)
    assert np.isnan(flat)
    assert scores.ratio_study(estimate, price, seed=1) == scores.ratio_study(
        estimate, price, seed=1
    )


def test_too_low_for_dear_units_is_seen_by_differential_and_bias() -> None:
    """Estimates price^.9: the differential rises above 1, the bias is negative (regressive, IAAO
    2013)."""
    price = np.geomspace(50, 800, 60)
    estimate = 1.7 * price**0.9

    assert scores.differential(estimate, price) > 1.03
    assert scores.price_bias(estimate, price) == pytest.approx(2**-0.1 - 1, abs=0.01)
