"""The record of how units are read as plain numbers, and back, checked. numpy only."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from pricing.model import numbers
from pricing.model.price import ages, encode


def as_numbers(encoding: encode.Encoding) -> dict[str, Any]:
    """The record as plain tables for JSON."""
    return {
        **vars(encoding),
        "margins": [vars(margin) for margin in encoding.margins],
        "blocks": [vars(block) for block in encoding.blocks],
        "smooth": encoding.smooth and vars(encoding.smooth),
        "types": [{"type": name, **vars(start)} for name, start in encoding.types.items()],
        "other": vars(encoding.other),
        "ages": ages.as_numbers(encoding.ages),
    }


def from_numbers(data: Mapping[str, Any]) -> encode.Encoding:
    """The record from plain tables. Raises Damaged where a size, a bound or a name is wrong."""
    margins = tuple(_margin_from(row) for row in numbers.rows(data, "margins", most=2000))
    widths, smooth = [encode.width_of(margin) for margin in margins], None
    if data.get("smooth") is not None:
        smooth = _smooth_from(numbers.table(data, "smooth"), widths)
        widths.append(len(smooth.turn))
    blocks = tuple(_block_from(row, widths) for row in numbers.rows(data, "blocks", most=2000))
    spread_margins = _positions(data, "spread_margins", len(margins))
    q = sum(widths[index] for index in spread_margins)
    types = numbers.rows(data, "types", most=100_000)
    kinds = numbers.table(data, "kinds") if "kinds" in data else {}
    return encode.Encoding(
        margins,
        blocks,
        smooth,
        {numbers.text(row, "type"): _type_from(row) for row in types},
        _type_from(numbers.table(data, "other")),
        ages.from_numbers(numbers.table(data, "ages")),
        numbers.number(data, "last_day", 0, 4e6),
        spread_margins,
        **numbers.several(data, (q,), spread_mean=(-10, 10), spread_sd=(0, 10)),
        kinds={word: numbers.by_word(kinds, word, 1e-6, 1) for word in kinds},
    )


def _positions(data: Mapping[str, Any], name: str, below: int) -> tuple[int, ...]:
    values = numbers.array(data, name, (-1,), 0, max(below - 1, 0))
    return tuple(int(value) for value in values)


_KINDS = (
    "one", "word", "doubt", "words", "steps", "grade", "number", "hinges", *encode.AGE_MARGINS,
    "blank", "trend", "walk", "season", "usual season", "anchor",
)  # fmt: skip


def _margin_from(row: Mapping[str, Any]) -> encode.Margin:
    margin = encode.Margin(
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


def _block_from(row: Mapping[str, Any], widths: list[int]) -> encode.ScaleBlock:
    left, right = (int(numbers.number(row, side, 0, len(widths) - 1)) for side in ("left", "right"))
    mean = numbers.array(row, "mean", (-1,), -100, 100)
    pairs = numbers.array(row, "pairs", (len(mean), 2), 0, 1e6).astype(int)
    if len(pairs) and (pairs[:, 0].max() >= widths[left] or pairs[:, 1].max() >= widths[right]):
        raise numbers.Damaged("a block names a column that is not there")
    name, term = numbers.text(row, "name"), numbers.text(row, "term")
    sizes = numbers.several(row, scale=(0, 1e6), tau=(0, 100))
    return encode.ScaleBlock(name, term, left, right, pairs, mean, **sizes)


def _smooth_from(row: Mapping[str, Any], widths: list[int]) -> encode.Smooth:
    margins = _positions(row, "margins", len(widths))
    weights = tuple(numbers.array(row, "weights", (len(margins),), 0, 100).tolist())
    landmarks = numbers.array(row, "landmarks", (-1, sum(widths[index] for index in margins)))
    turn = numbers.array(row, "turn", (len(landmarks), -1))
    return encode.Smooth(
        margins, weights, numbers.number(row, "length", 1e-9, 1e9), landmarks, turn
    )


def _type_from(row: Mapping[str, Any]) -> encode.TypePrior:
    ends = (-100, 100)
    figures = numbers.several(row, log_price=ends, slope=ends, doubt=(0, 100))
    return encode.TypePrior(numbers.text(row, "family"), **figures, plain=row.get("plain") is True)
