"""General-purpose learners of ln price, each as a person who knows it would set it up: the
yardsticks of the benches.

A table of named columns comes in; numbers are filled with the median and a flag, logged where the
bench says "log"; words become 0/1 columns of the levels seen in training (CatBoost takes them as
they are). LightGBM and CatBoost count only where they are installed.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Mapping
from types import MappingProxyType

import numpy as np
import pandas as pd
from sklearn.ensemble import ExtraTreesRegressor, GradientBoostingRegressor, RandomForestRegressor
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import RBF, ConstantKernel, DotProduct, WhiteKernel
from sklearn.linear_model import ElasticNetCV, RidgeCV

Table = Mapping[str, str]  # column -> "number", "log" or "category"


def numbers_of(
    train: pd.DataFrame, test: pd.DataFrame, kinds: Table
) -> tuple[np.ndarray, np.ndarray]:
    """Standardised numbers with blanks filled and flagged, then 0/1 columns; constant columns left
    out."""
    left, right = [], []
    for name, kind in kinds.items():
        if kind in ("number", "log"):
            a, b = (
                pd.to_numeric(frame[name], errors="coerce").to_numpy(float)
                for frame in (train, test)
            )
            if kind == "log":
                a, b = np.log(np.maximum(a, 1e-9)), np.log(np.maximum(b, 1e-9))
            fill = np.nanmedian(a) if np.isfinite(a).any() else 0.0
            if np.isnan(a).any():
                left.append(np.isnan(a).astype(float))
                right.append(np.isnan(b).astype(float))
            left.append(np.where(np.isnan(a), fill, a))
            right.append(np.where(np.isnan(b), fill, b))
        else:
            a_words, b_words = (
                frame[name].astype(object).where(frame[name].notna(), "").astype(str).to_numpy()
                for frame in (train, test)
            )
            for level in sorted(set(a_words)):
                left.append((a_words == level).astype(float))
                right.append((b_words == level).astype(float))
    A, B = np.column_stack(left), np.column_stack(right)
    spread = A.std(0)
    keep = spread > 1e-12
    return (A[:, keep] - A[:, keep].mean(0)) / spread[keep], (
        B[:, keep] - A[:, keep].mean(0)
    ) / spread[keep]


def ridge(train: pd.DataFrame, y: np.ndarray, test: pd.DataFrame, kinds: Table) -> np.ndarray:
    A, B = numbers_of(train, test, kinds)
    return RidgeCV(np.logspace(-1.5, 3, 20)).fit(A, y).predict(B)


def elastic_net(train: pd.DataFrame, y: np.ndarray, test: pd.DataFrame, kinds: Table) -> np.ndarray:
    A, B = numbers_of(train, test, kinds)
    return ElasticNetCV(l1_ratio=[0.2, 0.7], alphas=30, cv=5, max_iter=3000).fit(A, y).predict(B)


def gaussian_process(
    train: pd.DataFrame, y: np.ndarray, test: pd.DataFrame, kinds: Table
) -> np.ndarray:
    A, B = numbers_of(train, test, kinds)
    root = np.sqrt(A.shape[1])
    kernel = (
        ConstantKernel(1.0) * DotProduct(1.0)
        + ConstantKernel(0.3) * RBF(1.0, (0.1, 30))
        + WhiteKernel(0.1)
    )
    return (
        GaussianProcessRegressor(kernel, normalize_y=True, alpha=1e-8)
        .fit(A / root, y)
        .predict(B / root)
    )


def forest(train: pd.DataFrame, y: np.ndarray, test: pd.DataFrame, kinds: Table) -> np.ndarray:
    A, B = numbers_of(train, test, kinds)
    return (
        RandomForestRegressor(300, min_samples_leaf=2, max_features=0.4, random_state=0, n_jobs=1)
        .fit(A, y)
        .predict(B)
    )


def extra_trees(train: pd.DataFrame, y: np.ndarray, test: pd.DataFrame, kinds: Table) -> np.ndarray:
    A, B = numbers_of(train, test, kinds)
    shape = {"min_samples_leaf": 2, "max_features": 0.5, "random_state": 0, "n_jobs": 1}
    return ExtraTreesRegressor(300, **shape).fit(A, y).predict(B)


def boosting(train: pd.DataFrame, y: np.ndarray, test: pd.DataFrame, kinds: Table) -> np.ndarray:
    A, B = numbers_of(train, test, kinds)
    shape = {"n_estimators": 300, "learning_rate": 0.05, "max_depth": 3, "min_samples_leaf": 3}
    model = GradientBoostingRegressor(**shape, subsample=0.7, max_features=0.5, random_state=0)
    return model.fit(A, y).predict(B)


def light_gbm(train: pd.DataFrame, y: np.ndarray, test: pd.DataFrame, kinds: Table) -> np.ndarray:
    import lightgbm

    A, B = numbers_of(train, test, kinds)
    shape = {
        "n_estimators": 300,
        "learning_rate": 0.04,
        "num_leaves": 6,
        "min_child_samples": 5,
        "subsample": 0.8,
        "subsample_freq": 1,
    }
    model = lightgbm.LGBMRegressor(
        **shape, colsample_bytree=0.6, reg_lambda=2.0, n_jobs=1, verbose=-1, random_state=0
    )
    return model.fit(A, y).predict(B)


def cat_boost(train: pd.DataFrame, y: np.ndarray, test: pd.DataFrame, kinds: Table) -> np.ndarray:
    import catboost

    words = [name for name, kind in kinds.items() if kind not in ("number", "log")]
    tables = []
    for frame in (train, test):
        table = frame[list(kinds)].copy()
        for name in kinds:
            table[name] = (
                table[name].astype(object).where(table[name].notna(), "").astype(str)
                if name in words
                else pd.to_numeric(table[name], errors="coerce").astype(float)
            )
        tables.append(table)
    model = catboost.CatBoostRegressor(
        iterations=600,
        learning_rate=0.05,
        depth=4,
        cat_features=words,
        verbose=0,
        thread_count=1,
        random_seed=0,
        allow_writing_files=False,
    )
    return np.asarray(model.fit(tables[0], y).predict(tables[1]))


Peer = Callable[[pd.DataFrame, np.ndarray, pd.DataFrame, Table], np.ndarray]
PEERS: dict[str, Peer] = {
    "ridge": ridge,
    "elastic net": elastic_net,
    "gaussian process": gaussian_process,
    "forest": forest,
    "extra trees": extra_trees,
    "gradient boosting": boosting,
    "lightgbm": light_gbm,
    "catboost": cat_boost,
}


def installed() -> dict[str, Peer]:
    """The peers whose package is there."""
    from importlib.util import find_spec

    need = {"lightgbm": "lightgbm", "catboost": "catboost"}
    return {name: peer for name, peer in PEERS.items() if name not in need or find_spec(need[name])}


def errors_of(
    train: pd.DataFrame,
    y: np.ndarray,
    test: pd.DataFrame,
    truth: np.ndarray,
    kinds: Table,
    known: Mapping[str, float] = MappingProxyType({}),
) -> dict[str, float]:
    """Mean absolute error of ln price of each peer on one split, but for those `known`; a peer that
    fails is printed and left out."""
    found = dict(known)
    for name, peer in installed().items():
        if name in found:
            continue
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # convergence notes of the peers
            try:
                found[name] = float(np.abs(peer(train, y, test, kinds) - truth).mean())
            except Exception as error:
                print(f"{name} failed: {error!r:.120}")
    return found
