"""The record of how units are read as plain numbers, and back, checked. numpy only."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from pricing.model import numbers
from pricing.model.price import ages
from pricing.model.price.encode import (
    AGE_MARGINS,
    Encoding,
    Margin,
    ScaleBlock,
    Smooth,
    TypePrior,
    width_of,
)


def as_numbers(encoding: Encoding) -> dict[str, Any]:
    """The record as plain tables for JSON."""
    smooth = encoding.smooth
    return {
        "margins": [
            {"column": m.column, "kind": m.kind, "labels": list(m.labels), "values": list(m.values)}
            for m in encoding.margins
        ],
        "blocks": [
            {
                "name": b.name,
                "term": b.term,
                "left": b.left,
                "right": b.right,
                "pairs": b.pairs.astype(int),
                "mean": b.mean,
                "scale": b.scale,
                "tau": b.tau,
            }
            for b in encoding.blocks
        ],
        "smooth": (
            None
            if smooth is None
            else {
                "margins": list(smooth.margins),
                "weights": list(smooth.weights),
                "length": smooth.length,
                "landmarks": smooth.landmarks,
                "turn": smooth.turn,
            }
        ),
        "types": [
            {
                "type": name,
                "family": t.family,
                "log_price": t.log_price,
                "slope": t.slope,
                "doubt": t.doubt,
                "plain": t.plain,
            }
            for name, t in encoding.types.items()
        ],
        "other": {
            "family": encoding.other.family,
            "log_price": encoding.other.log_price,
            "slope": encoding.other.slope,
            "doubt": encoding.other.doubt,
            "plain": False,
        },
        "ages": ages.as_numbers(encoding.ages),
        "last_day": encoding.last_day,
        "spread_margins": list(encoding.spread_margins),
        "spread_mean": encoding.spread_mean,
        "spread_sd": encoding.spread_sd,
    }


def from_numbers(data: Mapping[str, Any]) -> Encoding:
    """The record from plain tables. Raises numbers.Damaged where a size, a bound or a name does not
    hold."""
    margins = tuple(_margin_from(row) for row in numbers.rows(data, "margins", most=2000))
    widths = [width_of(margin) for margin in margins]
    smooth = (
        _smooth_from(numbers.table(data, "smooth"), widths)
        if data.get("smooth") is not None
        else None
    )
    if smooth is not None:
        widths.append(len(smooth.turn))
    blocks = tuple(_block_from(row, widths) for row in numbers.rows(data, "blocks", most=2000))
    spread_margins = _positions(data, "spread_margins", len(margins))
    q = sum(widths[index] for index in spread_margins)
    types = {
        numbers.text(row, "type"): _type_from(row)
        for row in numbers.rows(data, "types", most=100_000)
    }
    return Encoding(
        margins,
        blocks,
        smooth,
        types,
        _type_from(numbers.table(data, "other")),
        ages.from_numbers(numbers.table(data, "ages")),
        numbers.number(data, "last_day", 0, 4e6),
        spread_margins,
        numbers.array(data, "spread_mean", (q,), -10, 10),
        numbers.array(data, "spread_sd", (q,), 0, 10),
    )


def _positions(data: Mapping[str, Any], name: str, below: int) -> tuple[int, ...]:
    values = numbers.array(data, name, (-1,), 0, max(below - 1, 0))
    return tuple(int(value) for value in values)


_KINDS = (
    "one",
    "word",
    "doubt",
    "words",
    "steps",
    "grade",
    "number",
    "hinges",
    *AGE_MARGINS,
    "blank",
    "trend",
    "walk",
    "season",
    "usual season",
    "anchor",
)


def _margin_from(row: Mapping[str, Any]) -> Margin:
    margin = Margin(
        numbers.text(row, "column"),
        numbers.text(row, "kind"),
        numbers.texts(row, "labels"),
        tuple(numbers.array(row, "values", (-1,)).tolist()),
    )
    needs = {"number": 4, "hinges": 5}.get(margin.kind, 0)
    exact = {
        "steps": len(margin.labels) - 1,
        "anchor": len(margin.labels),
        "words": len(margin.labels),
        "usual season": 12 * len(margin.labels),
        "word": len(margin.labels) if margin.values else 0,
    }.get(margin.kind)
    if (
        margin.kind not in _KINDS
        or len(margin.values) < needs
        or (exact is not None and len(margin.values) != exact)
    ):
        raise numbers.Damaged(f"the reading of {margin.column} is not one this program knows")
    if margin.kind in ("number", "hinges") and (not margin.labels or margin.values[1] <= 0):
        raise numbers.Damaged(f"the reading of {margin.column} has no spread")
    if margin.kind == "walk" and (len(margin.values) < 2 or np.any(np.diff(margin.values) <= 0)):
        raise numbers.Damaged("the months of the level do not rise")
    return margin


def _block_from(row: Mapping[str, Any], widths: list[int]) -> ScaleBlock:
    left, right = (int(numbers.number(row, side, 0, len(widths) - 1)) for side in ("left", "right"))
    mean = numbers.array(row, "mean", (-1,), -100, 100)
    pairs = numbers.array(row, "pairs", (len(mean), 2), 0, 1e6).astype(int)
    if len(pairs) and (pairs[:, 0].max() >= widths[left] or pairs[:, 1].max() >= widths[right]):
        raise numbers.Damaged("a block names a column that is not there")
    return ScaleBlock(
        numbers.text(row, "name"),
        numbers.text(row, "term"),
        left,
        right,
        pairs,
        mean,
        numbers.number(row, "scale", 0, 1e6),
        numbers.number(row, "tau", 0, 100),
    )


def _smooth_from(row: Mapping[str, Any], widths: list[int]) -> Smooth:
    margins = _positions(row, "margins", len(widths))
    weights = tuple(numbers.array(row, "weights", (len(margins),), 0, 100).tolist())
    landmarks = numbers.array(row, "landmarks", (-1, sum(widths[index] for index in margins)))
    return Smooth(
        margins,
        weights,
        numbers.number(row, "length", 1e-9, 1e9),
        landmarks,
        numbers.array(row, "turn", (len(landmarks), -1)),
    )


def _type_from(row: Mapping[str, Any]) -> TypePrior:
    return TypePrior(
        numbers.text(row, "family"),
        numbers.number(row, "log_price", -100, 100),
        numbers.number(row, "slope", -100, 100),
        numbers.number(row, "doubt", 0, 100),
        row.get("plain") is True,
    )
