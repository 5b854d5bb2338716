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
from sklearn.utils import validation

from pricing.api import checked_settings, checked_shares
from pricing.api import fit as fit_model
from pricing.basis.problems import Problem, Unusable, unusable
from pricing.basis.settings import Settings
from pricing.pipeline.frames import as_pandas


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

    def fit(self, X: Any, y: Any, sample_weight: Any = None) -> PriceRegressor:
        """Learn from n sales. X: table or array (n, k); y: prices in money, (n,), above 0;
        sample_weight: as in `pricing.fit`, (n,). None of them is changed.

        Raises ValueError naming column, row and value of what cannot be used.
        """
        checked_shares([self.coverage], "coverage")
        table = self._table(X, first=True)
        prices = self._prices(y)
        validation.check_consistent_length(table, prices)
        if sample_weight is not None:
            sample_weight = validation._check_sample_weight(sample_weight, table)
        settings = checked_settings(self.settings)
        kinds = {**settings.attributes, **(self.attributes or {})}
        if not self.assumptions:
            kinds = {**_kinds(table, kinds), **kinds}
        named = table.assign(**{_PRICE: prices})
        day, weight = self.as_of, sample_weight
        settings = replace(settings, attributes=kinds)
        how: Any = {"assumptions": self.assumptions, "as_of": day, "sample_weight": weight}
        self.model_ = fit_model(named, settings, **how)
        return self

    def predict(self, X: Any, return_range: bool = False) -> Any:
        """Median price of each row, (n,). return_range: also (n, 2), the ends of the range that
        holds `coverage` of such sales."""
        validation.check_is_fitted(self, "model_")
        found = self.model_.predict(self._table(X, first=False), coverage=self.coverage)
        median = found["median"].to_numpy(float)
        return (median, found[["low", "high"]].to_numpy(float)) if return_range else median

    def _prices(self, y: Any) -> np.ndarray:
        """Prices above 0, one a row; text is none, even of digits."""
        prices = validation.column_or_1d(y, warn=True)
        for row, one in enumerate(prices.tolist()):
            if isinstance(one, str):
                what = "Unknown label type: y is text, not prices"
            elif one is None or not abs(one) < np.inf:
                missing = one is None or one != one
                kind = "NaN" if missing else "infinity or a value too large for dtype('float64')"
                what = f"Input y contains {kind}"
            elif one <= 0:
                what = "Negative or zero values in y: prices must be above 0, for their ln counts"
            else:
                continue
            at = {"file": f"row {row}", "column": "y", "value": str(one)}
            raise unusable(what, "mend it, or leave the row out", expected="an amount", **at)
        return prices.astype(float)

    def _table(self, X: Any, first: bool) -> pd.DataFrame:
        """X as a table of named columns; checked against the columns of the fit."""
        if not any(hasattr(X, name) for name in ("__arrow_c_stream__", "__dataframe__")):
            taken: dict[str, Any] = {"dtype": "numeric", "ensure_all_finite": "allow-nan"}
            array = validation.validate_data(self, X, reset=first, **taken)
            names = getattr(self, "feature_names_in_", range(array.shape[1]))
            return pd.DataFrame(np.asarray(array), columns=list(map(_column, names)))
        X = as_pandas(X).infer_objects()
        for n, what in zip(X.shape, ("sample", "feature"), strict=True):
            if n == 0:
                none = f"Found array with 0 {what}(s) (shape={X.shape})"
                raise ValueError(f"{none} while a minimum of 1 is required by PriceRegressor.")
        validation.validate_data(self, X, reset=first, skip_check_array=True)
        if any(pd.api.types.is_complex_dtype(kind) for kind in X.dtypes):
            raise ValueError("Complex data not supported")
        return X.reset_index(drop=True).rename(columns=_column)

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


def _kinds(table: pd.DataFrame, told: Mapping[str, str]) -> dict[str, str]:
    """How the columns act that nobody told: numbers as numbers, words as words. Days are neither,
    and words of digits may be either: both are asked about."""
    kinds, problems = {}, []
    for name in [name for name in table.columns if name not in told]:
        column = table[name]
        kinds[name] = "number" if pd.api.types.is_numeric_dtype(column) else "category"
        if kinds[name] == "number" or not column.notna().any():
            continue
        first = column.first_valid_index()
        at = {"file": f"row {first}", "column": name, "value": str(column[first])}
        if pd.api.types.is_datetime64_any_dtype(column) or isinstance(column[first], date):
            fix = "turn days into a number, such as years before a day"
            problems.append(Problem("is a day, which is neither number nor word", fix, **at))
        elif pd.to_numeric(column, errors="coerce").notna().sum() == column.notna().sum():
            fix = f'pandas.to_numeric, or attributes={{{name!r}: "category"}}'
            problems.append(Problem("is a number written as text", fix, **at))
    if problems:
        raise Unusable(*problems)
    return kinds
