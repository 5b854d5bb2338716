"""What a person would do without this program, and what general-purpose learners do, on the same
sales: the type's median (of all sales where the type is new), the last sale of the type (of this
condition where there is one), one price for everything, and scikit-learn's ridge regression
(penalty by cross-validation) and gradient boosting on ln price."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date

import numpy as np

from pricing.basis.settings import Settings
from pricing.basis.units import Units
from pricing.proof.backtest import Ask, Estimates, Learn, sales_by

PLAIN = ("type median", "last similar sale", "one price")
LEARNED = ("ridge", "boosting")
LEAST = 5  # sales before a general-purpose learner is asked at all; before, the type median answers
WORDS = ("type", "maker", "tier", "condition", "fuel", "finish", "repair")
Predict = Callable[[np.ndarray], np.ndarray]


def learners(settings: Settings) -> dict[str, Learn]:
    """All five by name."""
    return {
        "type median": type_median,
        "last similar sale": last_similar,
        "one price": one_price,
        "ridge": _learned(settings, _ridge),
        "boosting": _learned(settings, _boosting),
    }


def type_median(known: Units, as_of: date) -> Ask:
    """Median price of the type's sales so far; of all where there are none; NaN before any."""
    rows = sales_by(known, as_of)
    prices, types = known.number("price")[rows], known.word("type").take(rows).texts()
    by_type = {name: float(np.median(prices[[t == name for t in types]])) for name in set(types)}
    every = float(np.median(prices)) if len(prices) else np.nan
    return lambda units, days: _points(
        np.array([by_type.get(name, every) for name in units.word("type").texts()])
    )


def one_price(known: Units, as_of: date) -> Ask:
    """Median price of all sales so far."""
    prices = known.number("price")[sales_by(known, as_of)]
    every = float(np.median(prices)) if len(prices) else np.nan
    return lambda units, days: _points(np.full(units.n, every))


def last_similar(known: Units, as_of: date) -> Ask:
    """Price of the type's last sale, of the same condition if there is one; of any type if new."""
    rows = sales_by(known, as_of)
    sold = known.take(rows[np.argsort(known.number("sold")[rows], kind="stable")])
    last: dict[tuple[str, ...], float] = {}
    for price, key in zip(sold.number("price").tolist(), _what(sold), strict=True):
        last[()] = last[key[:1]] = last[key] = price

    def ask(units: Units, days: np.ndarray) -> Estimates:
        found = [
            next((last[some] for some in (key, key[:1], ()) if some in last), np.nan)
            for key in _what(units)
        ]
        return _points(np.array(found))

    return ask


def _what(units: Units) -> Iterable[tuple[str, ...]]:
    return zip(units.word("type").texts(), units.word("condition").texts(), strict=True)


def _points(median: np.ndarray) -> Estimates:
    empty = np.full(len(median), np.nan)
    return Estimates(np.asarray(median, dtype=float), empty, empty)


def _learned(settings: Settings, make: Callable[[np.ndarray, np.ndarray], Predict]) -> Learn:
    def learn(known: Units, as_of: date) -> Ask:
        rows = sales_by(known, as_of)
        if len(rows) < LEAST:
            return type_median(known, as_of)
        sold = known.take(rows)
        named = (*WORDS, *_own(settings, ("category", "ordered")))
        levels = {name: _said(sold.word(name).texts()) for name in named}
        features = _said(x for text in sold.word("features").texts() for x in text.split("; "))
        plain = ("age", "size", *settings.number_attributes)
        fills = {name: _middle(sold.number(name)) for name in plain}
        predict = make(table(sold, levels, features, fills), np.log(sold.number("price")))
        return lambda units, days: _points(np.exp(predict(table(units, levels, features, fills))))

    return learn


def _said(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted({text for text in texts if text}))


def table(
    units: Units,
    levels: Mapping[str, Sequence[str]],
    features: Sequence[str],
    fills: Mapping[str, float],
) -> np.ndarray:
    """Units as plain numbers, shape (n, columns): blanks filled and flagged, then 0/1 columns."""
    parts = []
    for name, fill in fills.items():
        known = np.isfinite(units.number(name))
        parts += [np.where(known, units.number(name), fill)[:, None], ~known[:, None]]
    for name, words in levels.items():
        parts.append(units.word(name).lookup(words)[:, None] == np.arange(len(words)))
    said = [set(text.split("; ")) for text in units.word("features").texts()]
    has = np.array([[word in told for word in features] for told in said])
    parts.append(has.reshape(units.n, len(features)))
    return np.hstack(parts).astype(float)


def _own(settings: Settings, kinds: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(name for name, kind in settings.attributes.items() if kind in kinds)


def _middle(values: np.ndarray) -> float:
    return float(np.median(values[np.isfinite(values)])) if np.isfinite(values).any() else 0.0


def _ridge(X: np.ndarray, y: np.ndarray) -> Predict:
    from sklearn.linear_model import RidgeCV
    from sklearn.pipeline import make_pipeline
    from sklearn.preprocessing import StandardScaler

    fitted = make_pipeline(StandardScaler(), RidgeCV(np.logspace(-1, 3, 15))).fit(X, y)
    return lambda new: np.asarray(fitted.predict(new))


def _boosting(X: np.ndarray, y: np.ndarray) -> Predict:
    from sklearn.ensemble import GradientBoostingRegressor

    how = {"n_estimators": 150, "learning_rate": 0.06, "max_depth": 3, "min_samples_leaf": 3}
    fitted = GradientBoostingRegressor(subsample=0.8, random_state=0, **how).fit(X, y)
    return lambda new: np.asarray(fitted.predict(new))
