"""Quantiles of a t variable plus a normal one, as a table of numbers that a fit makes and an answer
reads. numpy only to read.

    X = sqrt(1 - r) T_nu + sqrt(r) N,     r: share of the summed squared scale that is normal

The unit's own error is t with few degrees of freedom, what is not known of the coefficients is
about normal. One t_nu with the summed scale would hold .848 where .80 is asked when the normal part
is large.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.model import numbers

LOGITS = np.linspace(0.0, 8.0, 65)  # of the probability, from one half up; the law is symmetric
SHARES = np.linspace(0.0, 1.0, 17)


@frozen
class QuantileTable:
    """nu: degrees of freedom; values: (17, 65), quantiles at each share and logit."""

    nu: float
    values: np.ndarray


def quantile(table: QuantileTable, share: np.ndarray, probs: np.ndarray) -> np.ndarray:
    """Quantiles at probabilities, for each share of normal variance. probs: (k,) or (n, k)."""
    probs = np.atleast_1d(np.asarray(probs, dtype=float))
    with np.errstate(divide="ignore"):
        logit = np.clip(np.log(probs) - np.log1p(-probs), -LOGITS[-1], LOGITS[-1])
    place = np.abs(logit) / (LOGITS[1] - LOGITS[0])
    low = np.minimum(place.astype(int), len(LOGITS) - 2)
    part = place - low
    at = np.clip(share, 0.0, 1.0) * (len(SHARES) - 1)
    row = np.minimum(at.astype(int), len(SHARES) - 2)
    mix = (at - row)[:, None]
    values = table.values
    # The same probabilities for all: one small table, then a mix of two of its rows
    if probs.ndim == 1:
        few = values[:, low] * (1 - part) + values[:, low + 1] * part
        found = few[row] * (1 - mix) + few[row + 1] * mix
    else:
        lower = values[row[:, None], low] * (1 - part) + values[row[:, None], low + 1] * part
        above = values[row[:, None] + 1, low], values[row[:, None] + 1, low + 1]
        upper = above[0] * (1 - part) + above[1] * part
        found = lower * (1 - mix) + upper * mix
    return np.sign(logit) * found


def as_numbers(table: QuantileTable) -> dict[str, Any]:
    return {"nu": table.nu, "values": table.values}


def from_numbers(data: Mapping[str, Any]) -> QuantileTable:
    """Raises numbers.Damaged where the table is not one of rising quantiles."""
    values = numbers.array(data, "values", (len(SHARES), len(LOGITS)), 0, 1e6)
    if np.any(np.diff(values, axis=1) <= 0):
        raise numbers.Damaged("the quantiles do not rise")
    return QuantileTable(numbers.number(data, "nu", 1.0, 1e9), values)
