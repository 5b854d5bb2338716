"""One person's numbers out of those of a group: the block of owners folded into the price level,
exactly. numpy only.

With u ~ N(m, S) the group's coefficients and T the matrix that leaves the owners' columns out and
adds the one asked for to the level,

    u' = T u ~ N(T m, T S T'),    variance of the level before any sale:  scale_level^2 +
        scale_owner^2

so that every answer is the number that the group's model gives when it is asked as that person. A
person whose sales the fit does not know gets the group's level with the variance of a person never
seen, scale_owner^2, which is what such an answer holds anyway.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

import numpy as np

from pricing.model.price import price
from pricing.model.price.encode import Encoding, Margin
from pricing.model.price.price import PriceNumbers


def told_apart(model: PriceNumbers) -> tuple[str, ...]:
    """The people whose own price level the fit tells apart; none where the sales name fewer than
    two."""
    place = _place(model.encoding, "owner")
    return () if place is None else model.encoding.margins[model.encoding.blocks[place].left].labels


def alone(model: PriceNumbers, owner: str) -> PriceNumbers:
    """The model as `owner`'s own: it names no one, and answers as the group's does when asked as
    that person. The model given stays as it is."""
    encoding, place = model.encoding, _place(model.encoding, "owner")
    if place is None:
        return model
    block, labels = encoding.blocks[place], told_apart(model)
    mine = encoding.group == place
    turn = np.eye(encoding.n_columns)
    if owner in labels:
        turn[0, np.flatnonzero(mine)[labels.index(owner)]] = 1.0
    open_ = np.zeros((encoding.n_columns, 1))
    open_[0] = 0.0 if owner in labels else model.scales[place]
    kept = np.flatnonzero(~mine)
    scales = model.scales.copy()
    scales[0] = np.hypot(scales[0], scales[place])
    level = replace(
        encoding.blocks[0], scale=float(np.hypot(encoding.blocks[0].scale, block.scale))
    )
    blocks = (level, *encoding.blocks[1:place], *encoding.blocks[place + 1 :])
    changed = _without_margin(replace(encoding, blocks=blocks), block.left)
    return price.with_root(
        model,
        changed,
        (turn @ model.mean)[kept],
        np.hstack([turn @ model.factor, open_])[kept],
        np.delete(scales, place),
    )


def without_places(model: PriceNumbers, keep: Collection[str]) -> PriceNumbers:
    """The model without the places that units were sold at, but those in `keep`: to be sold at one
    of the others is to be sold at a place never seen."""
    encoding, place = model.encoding, _place(model.encoding, "sold_where")
    if place is None:
        return model
    block = encoding.blocks[place]
    labels = encoding.margins[block.left].labels
    kept = [index for index, label in enumerate(labels) if label in keep or not label]
    columns = np.flatnonzero(encoding.group == place)
    stay = np.setdiff1d(np.arange(encoding.n_columns), np.delete(columns, kept))
    new, mean, half = tuple(labels[index] for index in kept), model.mean[stay], model.factor[stay]
    prior = block.mean[kept]
    # A blank then stays as open as it was: as a place of its own of which nothing is known
    if not new:
        at = columns[0]
        new, prior = ("",), np.zeros(1)
        mean = np.insert(mean, at, 0.0)
        half = np.insert(
            np.hstack([half, np.zeros((len(half), 1))]),
            at,
            np.append(np.zeros(half.shape[1]), model.scales[place]),
            axis=0,
        )
    pairs = np.column_stack([np.arange(len(new)), np.zeros(len(new), dtype=int)])
    blocks = (
        *encoding.blocks[:place],
        replace(block, pairs=pairs, mean=prior),
        *encoding.blocks[place + 1 :],
    )
    margins: tuple[Margin, ...] = tuple(
        replace(margin, labels=new) if index == block.left else margin
        for index, margin in enumerate(encoding.margins)
    )
    return price.with_root(
        model, replace(encoding, margins=margins, blocks=blocks), mean, half, model.scales
    )


def _place(encoding: Encoding, name: str) -> int | None:
    return next(
        (
            place
            for place, block in enumerate(encoding.blocks)
            if block.name == name and not block.right
        ),
        None,
    )


def _without_margin(encoding: Encoding, gone: int) -> Encoding:
    """The encoding without one margin that nothing reads any more; the positions of the later ones
    move up."""

    def moved(index: int) -> int:
        return index - (index > gone)

    blocks = tuple(
        replace(block, left=moved(block.left), right=moved(block.right))
        for block in encoding.blocks
    )
    smooth = (
        None
        if encoding.smooth is None
        else replace(encoding.smooth, margins=tuple(map(moved, encoding.smooth.margins)))
    )
    margins = (*encoding.margins[:gone], *encoding.margins[gone + 1 :])
    return replace(
        encoding,
        margins=margins,
        blocks=blocks,
        smooth=smooth,
        spread_margins=tuple(map(moved, encoding.spread_margins)),
    )
