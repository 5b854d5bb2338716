"""What the prices of several units have in common: the estimate's own error. numpy only.

    ln price of unit i = center_i + R_i xi + own_i,   xi ~ N(0, 1) of each direction, common to all

R_i: what is not known of the coefficients (z_i' L, S = L L'), the level since the last sale, and a
word that no sale has, where several units say it. A sum over units has the variance of the sum of
the R_i, not the sum of theirs: errors of level, type and trend do not cancel.
"""

import numpy as np

from pricing.basis.units import Units
from pricing.model.price import encode
from pricing.model.price.encode import Encoding
from pricing.model.price.price import PriceNumbers

WORDS = ("word", "doubt", "words", "steps", "grade")  # kinds of margins that read words
SEED, PAIRS = 16, 256  # of the draws: each direction's, with its mirror image


def moves(model: PriceNumbers, units: Units, day: float) -> tuple[np.ndarray, np.ndarray]:
    """What the common errors move ln price of each unit by, in 512 draws, (n, 512), and their
    variance, (n,). The draws are the same for every call with one model, so that units looked at
    in parts add up to what all of them together do. Complexity O(n p 512).
    """
    rows = encode.read(model.encoding, units, day)
    roots = rows.columns @ model.factor
    drift = model.walk * np.sqrt(rows.ahead)
    random = np.random.default_rng(SEED)
    xi = _mirrored(random.standard_normal((roots.shape[1] + 1, PAIRS)))
    moved = roots @ xi[:-1] + drift[:, None] * xi[-1]
    variance = (roots**2).sum(1) + drift**2
    for index, block in enumerate(model.encoding.blocks):
        open_ = np.flatnonzero(rows.missing[:, index] > 0)
        if not len(open_) or not np.isfinite(model.scales[index]):
            continue
        words = _words(model.encoding, units, block.left, block.right)
        size = model.scales[index] * np.sqrt(rows.missing[open_, index])
        for place, sd in zip(open_.tolist(), size.tolist(), strict=True):
            if words[place]:
                moved[place] += sd * _of_word(index, words[place])
                variance[place] += sd**2
    return moved, variance


def _mirrored(normal: np.ndarray) -> np.ndarray:
    return np.concatenate([normal, -normal], axis=-1)


def _of_word(block: int, said: str) -> np.ndarray:
    """The draws of a word never seen, the same wherever it is said."""
    return _mirrored(np.random.default_rng([SEED, block, *said.encode()]).standard_normal(PAIRS))


def _words(encoding: Encoding, units: Units, left: int, right: int) -> list[str]:
    """What each unit says in the columns of a block, "" where it says nothing: a blank is each
    unit's own."""
    said = [_said(encoding, units, margin) for margin in (left, right) if margin]
    return ["\n".join(one) if all(one) else "" for one in zip(*said, strict=True)] or [""] * units.n


def _said(encoding: Encoding, units: Units, margin: int) -> list[str]:
    if margin >= len(encoding.margins):
        return ["surface"] * units.n
    read = encoding.margins[margin]
    if read.column == "family":
        return list(encode.families(encoding, units).texts())
    if read.kind in WORDS:
        return list(units.word(read.column).texts())
    return [read.column] * units.n
