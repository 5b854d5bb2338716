"""New sales on top of numbers that came ready: the posterior of one fit is the prior of what is
sold after it. numpy only.

    u ~ N(m, S) from before,   r_i = ln price_i - what was expected,   r = Z (u - m) + e,   Var e_i
        = s_i^2 / w_i + what was never seen of unit i
    S' = (S^-1 + Z'V^-1 Z)^-1,   m' = m + S' Z'V^-1 r        with S = L L':   A = 1 + L'Z'V^-1 Z L,
        S' = L A^-1 L'

Between the old sales and the new the level of prices has walked on: its variance grows first by
sigma_walk^2 a month (the step of a Kalman filter). w_i are the weights of t errors. Scales, degrees
of freedom and what the units are read by stay as they were; a maker or a type that had no sale
before stays open, so that its own sales teach little. Source: Kalman (1960), J. Basic Eng. 82(1);
for t weights Lange, Little and Taylor (1989), J. Am. Stat. Assoc. 84(408).
"""

from collections import Counter
from dataclasses import replace
from typing import Any

import numpy as np

from pricing.basis.units import Units
from pricing.model.price import encode, price
from pricing.model.price.price import PriceNumbers

TURNS = 20  # of the weights


def moved_on(model: PriceNumbers, sold: Units, days: np.ndarray) -> PriceNumbers:
    """The model after more sales. sold: units with a price, sold after those the model rests on;
    days: ordinal, (n,). Complexity O(n p^2 + p^3)."""
    if not sold.n:
        return model
    rows = encode.read(model.encoding, sold, days)
    left = np.log(sold.number("price")) - rows.offset - rows.columns @ model.mean
    own = price.own_variance(model, rows)
    open_ = rows.missing @ model.scales**2
    walked = np.zeros((len(model.mean), 1))
    walked[0] = model.walk * np.sqrt(rows.ahead.mean())
    root = np.hstack([model.factor, walked])  # root root' = S, the level's walk included
    seen = rows.columns @ root
    weights = np.ones(sold.n)
    for _ in range(TURNS):
        noise = own / weights + open_
        inside = np.eye(root.shape[1]) + (seen.T / noise) @ seen
        step = np.linalg.solve(inside, (seen.T / noise) @ left)
        known = np.einsum("ij,ji->i", seen, np.linalg.solve(inside, seen.T))
        weights = (model.nu + 1) / (model.nu + ((left - seen @ step) ** 2 + known) / (own + open_))
    half = np.linalg.solve(np.linalg.cholesky(inside), root.T).T
    moved = price.with_root(model, model.encoding, model.mean + root @ step, half, model.scales)
    names = [name for name in sold.word("type").texts() if name]
    types = Counter(model.types) + Counter(names)
    families = Counter(model.families) + Counter(
        model.encoding.types.get(name, model.encoding.other).family for name in names
    )
    counts: Any = {"types": dict(sorted(types.items())), "families": dict(families)}
    return replace(moved, n=model.n + sold.n, **counts)
