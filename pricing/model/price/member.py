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

from collections.abc import Collection
from dataclasses import replace

import numpy as np

from pricing.model.price import price
from pricing.model.price.encode import Encoding
from pricing.model.price.price import PriceNumbers


def told_apart(model: PriceNumbers) -> tuple[str, ...]:
    """The people whose own price level the fit tells apart; none where fewer than two."""
    place = _place(model.encoding, "owner")
    return () if place is None else model.encoding.margins[model.encoding.blocks[place].left].labels


def alone(model: PriceNumbers, owner: str) -> PriceNumbers:
    """The model as `owner`'s own: it names no one, and answers as the group's for that person."""
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
    first = encoding.blocks[0]
    level = replace(first, scale=float(np.hypot(first.scale, block.scale)))
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
    """The model without the places that units were sold at, but those in `keep`."""
    encoding, place = model.encoding, _place(model.encoding, "sold_where")
    if place is None:
        return model
    block, blocks, margins = encoding.blocks[place], list(encoding.blocks), list(encoding.margins)
    labels = margins[block.left].labels
    kept = [index for index, label in enumerate(labels) if label in keep or not label]
    columns = np.flatnonzero(encoding.group == place)
    stay = np.setdiff1d(np.arange(encoding.n_columns), np.delete(columns, kept))
    new, mean, half = tuple(labels[index] for index in kept), model.mean[stay], model.factor[stay]
    prior = block.mean[kept]
    # A blank then stays as open as it was: as a place of its own of which nothing is known
    if not new:
        at, (n, k) = columns[0], half.shape
        new, prior, mean = ("",), np.zeros(1), np.insert(mean, at, 0.0)
        alone_ = np.append(np.zeros(k), model.scales[place])
        half = np.insert(np.hstack([half, np.zeros((n, 1))]), at, alone_, axis=0)
    pairs = np.column_stack([np.arange(len(new)), np.zeros(len(new), dtype=int)])
    blocks[place] = replace(block, pairs=pairs, mean=prior)
    margins[block.left] = replace(margins[block.left], labels=new)
    left = replace(encoding, margins=tuple(margins), blocks=tuple(blocks))
    return price.with_root(model, left, mean, half, model.scales)


def _place(encoding: Encoding, name: str) -> int | None:
    blocks = enumerate(encoding.blocks)
    return next((at for at, one in blocks if one.name == name and not one.right), None)


def _without_margin(encoding: Encoding, gone: int) -> Encoding:
    """The encoding without one margin that nothing reads any more; later positions move up."""

    def moved(index: int) -> int:
        return index - (index > gone)

    smooth = encoding.smooth
    if smooth is not None:
        smooth = replace(smooth, margins=tuple(map(moved, smooth.margins)))
    return replace(
        encoding,
        margins=(*encoding.margins[:gone], *encoding.margins[gone + 1 :]),
        blocks=tuple(
            replace(block, left=moved(block.left), right=moved(block.right))
            for block in encoding.blocks
        ),
        smooth=smooth,
        spread_margins=tuple(map(moved, encoding.spread_margins)),
    )
