"""The price model in scikit-learn's shape: fit, predict, get_params, so that it stands in
pipelines, cross-validation and calibration tools."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
import pandas as pd
from sklearn.base import BaseEstimator, RegressorMixin
from sklearn.utils.validation import (
    check_array,
    check_consistent_length,
    check_is_fitted,
    column_or_1d,
    validate_data,
)

from pricing.api import checked_settings
from pricing.api import fit as fit_model
from pricing.basis.settings import Settings


class PriceRegressor(RegressorMixin, BaseEstimator):  # type: ignore[misc]
    """Sale price from attributes by the pooled log-price model.

    Parameters
    ----------
    attributes : mapping of column to "number", "log", "category" or "ordered", optional
        How columns act; columns it leaves out are numbers where they hold numbers, else categories.
    assumptions : bool, default False
        True for household appliances in the columns of a unit: starting prices and effects lead
            while sales are few.
    settings : Settings or mapping, optional
        Further settings, as `pricing.fit` takes them; `attributes` go over those in it.
    coverage : float, default 0.8
        Share of sales that a range is to hold, strictly between 0 and 1.
    as_of : date, optional
        The day the answers are for; default that of `pricing.fit`.

    Attributes
    ----------
    model_ : pricing.PriceModel, the fitted model.
    n_features_in_, feature_names_in_ : number of columns, and their names where X was a table with
    text names.

    `predict` returns the median price: what half of such units sell above. Prices must be above 0,
    because the model is one of ln price. Tables are taken by column names, plain arrays by
    position.

    >>> cars = pd.DataFrame({"years": [2, 4, 6, 8], "make": ["a", "b", "a", "b"]})
    >>> PriceRegressor().fit(cars, [9.0, 7.5, 6.2, 5.0]).predict(cars).shape
    (4,)
    """

    def __init__(
        self,
        attributes: Mapping[str, str] | None = None,
        assumptions: bool = False,
        settings: Settings | Mapping[str, Any] | None = None,
        coverage: float = 0.8,
        as_of: date | None = None,
    ) -> None:
        self.attributes = attributes
        self.assumptions = assumptions
        self.settings = settings
        self.coverage = coverage
        self.as_of = as_of

    def fit(self, X: Any, y: Any) -> PriceRegressor:
        """Learn from n sales. X: table or array (n, k); y: prices in money, (n,), above 0. X and y
        are not changed."""
        table = self._table(X, first=True)
        price = column_or_1d(y, warn=True)
        price = check_array(price, ensure_2d=False, dtype="float64", input_name="y", estimator=self)
        check_consistent_length(table, price)
        if not np.all(price > 0):
            raise ValueError(
                "Negative or zero values in y: the prices of PriceRegressor must be above 0,"
                " because it works on ln price"
            )
        settings = checked_settings(self.settings)
        if not self.assumptions:
            settings = replace(
                settings,
                attributes={**_kinds(table), **settings.attributes, **(self.attributes or {})},
            )
        elif self.attributes:
            settings = replace(settings, attributes={**settings.attributes, **self.attributes})
        self.model_ = fit_model(
            table.assign(**{_PRICE: price}),
            settings,
            assumptions=self.assumptions,
            as_of=self.as_of,
        )
        return self

    def predict(self, X: Any, return_range: bool = False) -> Any:
        """Median price of each row, (n,). return_range: also (n, 2), the ends of the range that
        holds `coverage` of such sales."""
        check_is_fitted(self, "model_")
        found = self.model_.predict(self._table(X, first=False), coverage=self.coverage)
        median = found["median"].to_numpy(float)
        return (median, found[["low", "high"]].to_numpy(float)) if return_range else median

    def _table(self, X: Any, first: bool) -> pd.DataFrame:
        """X as a table of named columns; checked against the columns of the fit."""
        if isinstance(X, pd.DataFrame):
            if X.shape[0] == 0:
                raise ValueError(
                    f"Found array with 0 sample(s) (shape={X.shape}) while a minimum of 1 is"
                    " required by PriceRegressor."
                )
            if X.shape[1] == 0:
                raise ValueError(
                    f"0 feature(s) (shape={X.shape}) while a minimum of 1 is required by"
                    " PriceRegressor."
                )
            validate_data(self, X, reset=first, skip_check_array=True)
            if any(pd.api.types.is_complex_dtype(kind) for kind in X.dtypes):
                raise ValueError("Complex data not supported")
            numbers = X.select_dtypes("number")
            if np.isinf(numbers.to_numpy(float, na_value=np.nan)).any():
                raise ValueError("Input X contains infinity")
            return X.reset_index(drop=True).rename(columns=_column)
        array = validate_data(self, X, reset=first, dtype="numeric", ensure_all_finite="allow-nan")
        names = getattr(self, "feature_names_in_", None)
        columns = [
            _column(name) for name in (names if names is not None else range(array.shape[1]))
        ]
        return pd.DataFrame(np.asarray(array), columns=columns)

    def __sklearn_tags__(self) -> Any:
        tags = super().__sklearn_tags__()
        tags.input_tags.allow_nan = True
        tags.input_tags.categorical = True
        tags.input_tags.string = True
        tags.target_tags.required = True
        tags.target_tags.positive_only = True
        return tags


_PRICE = "price"


def _column(name: Any) -> str:
    """A column that is itself called price is an attribute, not what was paid."""
    return "price as an attribute" if str(name) == _PRICE else str(name)


def _kinds(table: pd.DataFrame) -> dict[str, str]:
    return {
        name: "number" if pd.api.types.is_numeric_dtype(table[name]) else "category"
        for name in table.columns
    }
