"""Left-out residuals in closed form and conformal ranks against MAPIE, which leaves each sale out
and refits for real (jackknife+)."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from mapie.regression import CrossConformalRegressor
from sklearn.base import BaseEstimator, RegressorMixin
from sklearn.model_selection import LeaveOneOut

from pricing.model.price import mixed
from pricing.model.price.ranges import conformal_rank

SCALES, ERROR = np.array([0.3, 0.15]), 0.2
GROUP = np.array([0, 0, 0, 1, 1])


class FixedScales(RegressorMixin, BaseEstimator):
    """The mixed model with its scales held: what the closed form assumes."""

    def fit(self, X: np.ndarray, y: np.ndarray) -> FixedScales:
        self.found_ = posterior(X, y)
        return self

    def predict(self, X: np.ndarray) -> np.ndarray:
        return np.asarray(X @ self.found_.mean)


def posterior(X: np.ndarray, y: np.ndarray) -> mixed.Posterior:
    folded = mixed.fold(np.zeros((len(y), 0)), X, y, np.ones(len(y)))
    return mixed.posterior(folded, GROUP, np.log(np.append(SCALES, ERROR)), 0.0)


def invented(n: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    draw = np.random.default_rng(n)
    X = draw.normal(size=(n + 7, 5))
    y = X @ np.array([0.4, -0.2, 0.1, 0.1, 0.0]) + draw.normal(0, ERROR, n + 7)
    return X[:n], y[:n], X[n:]


@pytest.mark.parametrize("n", [12, 19, 40])
@pytest.mark.parametrize("coverage", [0.8, 0.55])
def test_jackknife_plus_from_the_closed_form_is_that_of_real_refits(
    n: int, coverage: float
) -> None:
    """Ends at the k-th of mu_-i(x) -+ |r_i|, k = ceil((n + 1) coverage) (Barber, Candes, Ramdas and
    Tibshirani 2021, Ann. Statist. 49(1)), with

    r_i = e_i / (1 - h_i),   mu_-i(x) = mu(x) - x'S z_i r_i / s^2,   h_i = z_i'S z_i / s^2.
    """
    X, y, new = invented(n)
    outside: Any = CrossConformalRegressor(
        FixedScales(), confidence_level=coverage, method="plus", cv=LeaveOneOut()
    )
    _, ends = outside.fit_conformalize(X, y).predict_interval(new)
    found = posterior(X, y)
    h = np.einsum("ij,jk,ik->i", X, found.covariance, X) / ERROR**2
    residual = (y - X @ found.mean) / (1 - h)
    without = (new @ found.mean)[:, None] - new @ found.covariance @ X.T * residual / ERROR**2
    k = conformal_rank(n, coverage)
    low = np.sort(without - np.abs(residual), axis=1)[:, n - k]
    high = np.sort(without + np.abs(residual), axis=1)[:, k - 1]

    np.testing.assert_allclose(ends[:, 0, 0], low, atol=1e-9)
    np.testing.assert_allclose(ends[:, 1, 0], high, atol=1e-9)
