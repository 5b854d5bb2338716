"""Pooled regressions of units on words: one level for all, an age, and normal effects per word of
five blocks. numpy only.

    x_i b = b_all + b_age (age - middle age) + b_failed [failed] + b_family + b_type + b_fault +
        b_pair(fault, type) + mean of b_step,   b ~ N(0, sd^2 per block)

A word never seen adds the spread of its block to the variance instead of an effect. `pooled_fit`
learns the numbers, this module answers.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.formulas.bench_sums import BLOCKS, levels_of, pair_of
from pricing.model import numbers

SINGLE = ("all", "age", "failed")


@frozen
class Effects:
    """One pooled regression, fitted. levels: block -> its words; the coefficients stand in the
    order all, age, failed, family…, type…, fault…, pair…, step…; mean: (p,); cov: (p, p); sd: per
    block, the spread of a level never seen; sigma: of one unit."""

    levels: Mapping[str, tuple[str, ...]]
    mean: np.ndarray
    cov: np.ndarray
    sd: Mapping[str, float]
    sigma: float


@frozen
class Cells:
    """n cases: words of each block, years over the middle age, whether the try failed."""

    family: Sequence[str]
    type: Sequence[str]
    fault: Sequence[str]
    steps: Sequence[Sequence[str]]
    age: np.ndarray
    failed: np.ndarray

    @property
    def n(self) -> int:
        return len(self.type)

    @property
    def pair(self) -> list[str]:
        """Fault and type as one word, case by case."""
        return list(map(pair_of, self.fault, self.type))


def design(levels: Mapping[str, tuple[str, ...]], cells: Cells) -> tuple[np.ndarray, np.ndarray]:
    """The rows of the regression, (n, p), and how much of each block is not in `levels`, (n, 5)."""
    start, place = 3, {}
    for block in BLOCKS:
        place[block] = {word: start + k for k, word in enumerate(levels[block])}
        start += len(levels[block])
    rows = np.zeros((cells.n, start))
    rows[:, 0], rows[:, 1], rows[:, 2] = 1, cells.age, cells.failed
    missing = np.zeros((cells.n, len(BLOCKS)))
    for i in range(cells.n):
        told = {name: getattr(cells, name)[i] for name in ("family", "type", "fault", "steps")}
        row, missing[i] = levels_of(place, told)
        for at, value in row:
            rows[i, at] += value
    return rows, missing


@frozen
class Lines:
    """Predictions straight in the age: mean + slope a, var + 2 cross a + age_var a^2, each (n,)."""

    mean: np.ndarray
    slope: float
    var: np.ndarray
    cross: np.ndarray
    age_var: float
    before: np.ndarray
    age_before: float

    def at(self, cell: np.ndarray, age: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Mean, variance, and variance before any unit, of these cells at these years over the
        middle age, each (m,)."""
        variance = self.var[cell] + 2 * self.cross[cell] * age + self.age_var * age**2
        return (
            self.mean[cell] + self.slope * age,
            np.maximum(variance, 0.0),
            self.before[cell] + self.age_before * age**2,
        )


def predict(effects: Effects, cells: Cells) -> Lines:
    """The linear predictor (without its offset) of each cell, whose own age counts as 0."""
    rows, missing = design(effects.levels, cells)
    rows[:, 1] = 0
    open_ = missing @ np.array([effects.sd[block] ** 2 for block in BLOCKS])
    spread = rows @ effects.cov
    return Lines(
        mean=rows @ effects.mean,
        slope=float(effects.mean[1]),
        var=np.einsum("ij,ij->i", spread, rows) + open_,
        cross=spread[:, 1],
        age_var=float(effects.cov[1, 1]),
        before=(rows**2) @ _prior_variance(effects) + open_,
        age_before=effects.sd["age"] ** 2,
    )


def _prior_variance(effects: Effects) -> np.ndarray:
    sd = effects.sd
    return np.concatenate(
        [
            [sd["all"] ** 2, sd["age"] ** 2, sd["failed"] ** 2],
            *(np.full(len(effects.levels[block]), sd[block] ** 2) for block in BLOCKS),
        ]
    )


def effects_out(effects: Effects) -> dict[str, Any]:
    """The coefficients as plain numbers, nine digits; the covariance as its lower triangle."""
    lower = effects.cov[np.tril_indices(len(effects.mean))]
    return {
        "levels": {block: list(effects.levels[block]) for block in BLOCKS},
        "mean": [float(f"{value:.9g}") for value in effects.mean],
        "cov": [float(f"{value:.7g}") for value in lower],
        "sd": dict(effects.sd),
        "sigma": effects.sigma,
    }


def effects_in(data: Mapping[str, Any]) -> Effects:
    """The coefficients from a model file, every size and bound checked. Raises Damaged."""
    levels_data = numbers.table(data, "levels")
    levels = {block: numbers.texts(levels_data, block, most=5_000) for block in BLOCKS}
    p = 3 + sum(map(len, levels.values()))
    lower = numbers.array(data, "cov", (p * (p + 1) // 2,), -1e4, 1e4)
    cov = np.zeros((p, p))
    cov[np.tril_indices(p)] = lower
    cov = cov + np.tril(cov, -1).T
    sd = numbers.table(data, "sd")
    return Effects(
        levels,
        numbers.array(data, "mean", (p,), -1e3, 1e3),
        cov,
        {name: numbers.number(sd, name, 0, 100) for name in (*SINGLE, *BLOCKS)},
        numbers.number(data, "sigma", 0, 100),
    )


def untaught(sd: Mapping[str, float], sigma: float) -> Effects:
    """Effects before any own unit: means of zero, the prior spreads `sd` as they are."""
    return Effects(
        dict.fromkeys(BLOCKS, ()),
        np.zeros(3),
        np.diag([sd["all"] ** 2, sd["age"] ** 2, sd["failed"] ** 2]),
        dict(sd),
        sigma,
    )
