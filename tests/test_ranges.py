"""Ranges: the law's quantiles, corrected by left-out sales, nested in coverage."""

from __future__ import annotations

import numpy as np
import pytest

from pricing.model.price import quantile_table_fit, ranges
from pricing.model.price.quantile_table import quantile
from pricing.model.price.ranges import COVERAGES

TABLE = quantile_table_fit.make(6.0)
AT = int(np.flatnonzero(COVERAGES == 0.8)[0])


def scores(
    n: int, stretch_low: float = 1.0, stretch_high: float = 1.0, seed: int = 0
) -> tuple[np.ndarray, np.ndarray]:
    z = np.random.default_rng(seed).standard_t(6, n)
    return -z[z < 0] * stretch_low, z[z >= 0] * stretch_high


def test_quantiles_of_t_plus_normal_agree_with_a_large_draw() -> None:
    rng = np.random.default_rng(1)
    drawn = np.sqrt(0.7) * rng.standard_t(6, 2_000_000) + np.sqrt(0.3) * rng.standard_normal(
        2_000_000
    )
    probs = np.array([0.005, 0.1, 0.5, 0.9, 0.995])
    assert quantile(TABLE, np.array([0.3]), probs)[0] == pytest.approx(
        np.quantile(drawn, probs), abs=0.02
    )


def test_ends_of_the_table_are_t_and_normal() -> None:
    from scipy.stats import norm, t

    probs = np.array([0.6, 0.8, 0.9, 0.975, 0.995])
    both = quantile(TABLE, np.array([0.0, 1.0]), probs)
    assert both[0] == pytest.approx(t.ppf(probs, 6), rel=5e-4)
    assert both[1] == pytest.approx(norm.ppf(probs), rel=5e-4)


def test_no_factor_below_one_before_a_hundred_sales() -> None:
    low, high = scores(80, 0.5, 0.5)
    few = ranges.factors(low, high, TABLE, 0.0)
    assert few.low.min() == pytest.approx(1.0)
    assert few.high.min() == pytest.approx(1.0)
    low, high = scores(800, 0.5, 0.5)
    many = ranges.factors(low, high, TABLE, 0.0)
    assert many.low[AT] == pytest.approx(0.5 ** (800 / 860), abs=0.08)


def test_too_narrow_a_law_is_widened_as_far_as_the_sales_weigh() -> None:
    low, high = scores(300, 1.5, 1.5)
    found = ranges.factors(low, high, TABLE, 0.0)
    assert 1.2 < found.low[AT] < 1.5


def test_lopsided_sales_make_a_lopsided_range() -> None:
    low, high = scores(2000, 1.0, 1.6)
    found = ranges.factors(low, high, TABLE, 0.0)
    assert found.high[AT] > found.low[AT] * 1.2


def test_with_few_sales_there_is_no_correction() -> None:
    assert ranges.factors(np.array([0.1]), np.array([0.2, 3.0]), TABLE, 0.2) is ranges.NO_FACTORS


@pytest.mark.parametrize("seed", range(5))
def test_ranges_nest(seed: int) -> None:
    low, high = scores(60 + 70 * seed, 0.7 + 0.2 * seed, 1.3, seed)
    found = ranges.factors(low, high, TABLE, 0.3)
    share = np.array([0.0, 0.3, 0.9])
    before = (np.zeros(3), np.zeros(3))
    for coverage in np.arange(0.01, 0.9995, 0.0037):
        now = ranges.half_widths(found, TABLE, share, float(coverage))
        assert (now[0] >= before[0]).all() and (now[1] >= before[1]).all()
        before = now


def test_closed_form_left_out_is_the_refit_without_the_sale() -> None:
    """e / (1 - h) with scales held: brute force over 12 rows, each left out of a fit with the same
    scales."""
    from pricing.model.price import mixed

    rng = np.random.default_rng(2)
    X, Z, y, w = (
        np.ones((12, 1)),
        rng.normal(size=(12, 5)),
        rng.normal(size=12),
        rng.uniform(0.5, 2, 12),
    )
    group, theta = np.array([0, 0, 1, 1, 1]), np.log([0.3, 0.8, 0.5])

    def fit(rows: np.ndarray) -> mixed.Posterior:
        return mixed.posterior(mixed.fold(X[rows], Z[rows], y[rows], w[rows]), group, theta)

    every = np.arange(12)
    whole, A = fit(every), np.hstack([X, Z])
    h = w * np.einsum("ij,jk,ik->i", A, whole.covariance, A) / 0.25
    closed = (y - A @ whole.mean) / (1 - h)
    brute = [y[i] - A[i] @ fit(every[every != i]).mean for i in range(12)]
    assert closed == pytest.approx(brute, abs=1e-9)


def test_few_rows_and_many_rows_have_one_likelihood() -> None:
    """The algebra of size n and of size p: the same value, gradient and posterior on the same rows,
    and the gradient is that of finite differences."""
    from pricing.model.price import mixed

    rng = np.random.default_rng(4)
    n, p = 30, 20
    X, Z, y, w = (
        np.ones((n, 1)),
        rng.normal(size=(n, p)),
        rng.normal(size=n),
        rng.uniform(0.5, 2, n),
    )
    group = np.repeat([0, 1, 2], [5, 5, 10])
    prior = mixed.Prior(
        np.array([0.3, 0.5, 0.2]), np.full(3, 0.4), 0.4, 0.5, np.array([0.0, 1.0, 1.0]), 0.5
    )
    theta = np.log([0.2, 0.4, 0.3, 0.5])
    folded = mixed.fold(X, Z, y, w)
    wide = mixed.fold(X, np.hstack([Z, np.zeros((n, 40))]), y, w)
    many, few = (
        mixed.MixedLikelihood(folded, group, prior),
        mixed.MixedLikelihood(wide, np.append(group, np.full(40, 2)), prior),
    )
    assert few.small and not many.small
    assert many(theta)[0] == pytest.approx(few(theta)[0], abs=1e-9)
    assert many(theta)[1] == pytest.approx(few(theta)[1], abs=1e-9)
    for k in range(4):
        step = np.eye(4)[k] * 1e-6
        assert many(theta)[1][k] == pytest.approx(
            (many(theta + step)[0] - many(theta - step)[0]) / 2e-6, abs=1e-5
        )
    assert many.curvature(theta) == pytest.approx(few.curvature(theta), rel=1e-7, abs=1e-9)
    gram = np.column_stack([X, Z, y]) * np.sqrt(w)[:, None]
    summed = mixed.posterior(
        mixed.fold_sums(gram.T @ gram, 1, n, float(np.log(w).sum())), group, theta
    )
    direct = mixed.posterior(folded, group, theta)
    assert summed.mean == pytest.approx(direct.mean, abs=1e-9)
    assert summed.covariance == pytest.approx(direct.covariance, abs=1e-9)
