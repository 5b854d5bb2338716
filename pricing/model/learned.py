"""What was learned, in the person's words: what a year, a grade, a feature, a maker is worth, each
with a range. numpy only.

Each is the difference between two units that differ in nothing else, a and b:

    ln ratio = offset_a - offset_b + (z_a - z_b)'u,    sd = |L' (z_a - z_b)|

told as a percentage of the price and as money at the price of the person's commonest type.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np

from pricing.basis.assumed import MIDDLE_AGE
from pricing.basis.columns import CONDITIONS
from pricing.basis.frozen import frozen
from pricing.basis.units import from_rows
from pricing.model.price import encode
from pricing.model.price.price import PriceNumbers

FOUR_IN_FIVE = 1.2816  # normal


@frozen
class Learned:
    """One thing that moves the price. kind: "year", "condition", "feature", "maker", "sold_where",
    "trend"; of: the type it is told for; percent, low, high: change in percent, four in five
    between; money: at the price of that type; removed: share of the doubt before any sale that own
    sales removed."""

    kind: str
    what: str
    of: str
    percent: float
    low: float
    high: float
    money: float
    removed: float


def _pairs(
    model: PriceNumbers, base: Mapping[str, Any], most: int
) -> list[tuple[str, str, Mapping[str, Any], Mapping[str, Any], float]]:
    """(kind, in words, a unit, the one it is set against, steps between them)."""
    age = float(base["age"])
    older, newer = {**base, "age": age + 2.5}, {**base, "age": max(age - 2.5, 0.0)}
    grades = [grade for grade in CONDITIONS if grade != "good"]
    return [
        ("year", "a year older", older, newer, min(5.0, age + 2.5)),
        *(
            ("condition", f"{grade} instead of good", {**base, "condition": grade}, base, 1.0)
            for grade in grades
        ),
        *(
            (kind, said.format(word), {**base, column: word}, {**base, **without}, 1.0)
            for kind, column, said, without in (
                ("feature", "features", "{}", {"features": None}),
                ("maker", "maker", "{} instead of the average maker", {}),
                ("sold_where", "sold_where", "sold by {}", {}),
            )
            for word in _words(model, column)[:most]
        ),
    ]


def learned(model: PriceNumbers, day: float, most: int = 6) -> list[Learned]:
    """What a year, a grade, common features and makers, and a year of time are worth."""
    commonest = max(model.types, key=lambda name: (model.types[name], name), default="")
    age = model.usual_age.get(commonest, MIDDLE_AGE)
    base = {"type": commonest, "age": age, "condition": "good"}
    pairs = _pairs(model, base, most)
    rows = [from_rows([here, there]) for _, _, here, there, _ in pairs]
    out = []
    usual = encode.read(model.encoding, from_rows([base]), day)
    money = float(np.exp(usual.offset[0] + usual.columns[0] @ model.mean))
    scales = np.array([block.scale for block in model.encoding.blocks])[model.encoding.group]
    for (kind, what, _, _, times), units in zip(pairs, rows, strict=True):
        read = encode.read(model.encoding, units, day)
        change = (read.columns[0] - read.columns[1]) / times
        middle = float((read.offset[0] - read.offset[1]) / times + change @ model.mean)
        sd = float(np.sqrt(((change @ model.factor) ** 2).sum()))
        before = float(np.sqrt((change**2) @ (scales**2)))
        reach = (middle + side * FOUR_IN_FIVE * sd for side in (-1, 0, 1))
        low, percent, high = (100 * (float(np.exp(end)) - 1) for end in reach)
        removed = float(np.clip(1 - sd**2 / max(before**2, 1e-300), 0, 1))
        told = (percent, low, high, money * percent / 100, removed)
        out.append(Learned(kind, what, commonest, *told))
    return out


def _words(model: PriceNumbers, column: str) -> list[str]:
    """Levels of a column that some sale says, those that say most about the price first."""
    encoding = model.encoding
    position, found = 0, []
    for block in encoding.blocks:
        of_margin = block.right == 0 and block.left < len(encoding.margins)
        margin = encoding.margins[block.left] if of_margin else None
        if margin is not None and margin.column == column:
            for k, label in enumerate(margin.labels):
                if label and not (margin.kind == "words" and margin.values[k] == 0.0):
                    sd = float(np.sqrt((model.factor[position + k] ** 2).sum()))
                    effect = abs(model.mean[position + k] + block.mean[k])
                    found.append((-effect / max(sd, 1e-9), label))
        position += len(block.mean)
    return [label for _, label in sorted(found)]
