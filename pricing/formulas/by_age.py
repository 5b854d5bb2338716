"""How age enters a price, of one age or an array, NaN blank; what a blank word is a mixture of."""

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

MIDDLE_AGE = 6.5  # years: the age that `price` of a type stands for, the middle of 5-8
OLDEST = 40
BEND_YEARS = 6.0  # a quick early loss fades over about six years: own judgement
# Age of a unit as it comes in, by grade: rough ones are older. Own judgement.
USUAL_AGE = {"": 8.5, "rough": 11.5, "fair": 9.5, "good": 7.5, "like new": 5.5}
AGE_SHAPE, START_WEIGHT, POOL_WEIGHT = 3.3, 6.0, 12.0


def line(age: Any) -> Any:
    """Five-year steps from the middle age."""
    return (np.clip(age, 0, OLDEST) - MIDDLE_AGE) / 5


def basis(kind: str, knot: Any, age: Any) -> Any:
    """A column of one age margin. line: five years; bend: a quick early loss, flat and level at the
    middle age; hinges: change of slope at the knot, per five years; steps: a jump at the knot."""
    a = np.clip(age, 0, OLDEST)
    if kind == "age line":
        return line(age)
    if kind == "age since new":
        return a / 5
    if kind == "age bend":
        level = math.exp(-MIDDLE_AGE / BEND_YEARS) * (1 - (a - MIDDLE_AGE) / BEND_YEARS)
        return 2 * (np.exp(-a / BEND_YEARS) - level)
    if kind == "age hinges":
        return np.maximum(a - knot, 0) / 5
    return np.where(a >= knot, 0.5, np.where(a < knot, -0.5, a))


def usual_density(grade: str, age: Any) -> Any:
    """Of the ages at which units of a grade come in, up to a factor: a gamma of its usual age."""
    x = np.maximum(age, 0.5) * AGE_SHAPE / USUAL_AGE[grade]
    return x ** (AGE_SHAPE - 1) * np.exp(-x)


def is_mixture(margins: Sequence[Any], block: Any) -> bool:
    """Whether a blank of this block is one of the levels by their shares, or a list of such."""
    if block.right != 0 or block.left >= len(margins) or len(block.mean) == 0:
        return False
    margin = margins[block.left]
    return margin.kind == "steps" or (
        margin.kind in ("word", "words") and sum([float(one) for one in margin.values]) > 0
    )


def levels(
    margin: Any, effects: Sequence[float], doubt: Sequence[float], scale: float
) -> tuple[list[tuple[list[float], list[float]]], float]:
    """Of a blank that is one of the levels by their shares p: effects and p, and sum p (1 - p)
    doubt; of a blank list a pair for each word, which it has or not. effects, doubt: of the columns
    of the margin; scale: sd of a level never seen."""
    told = list(margin.values)
    if margin.kind == "words":
        within = sum([told[k] * (1 - told[k]) * doubt[k] for k in range(len(told))])
        each = [k for k in range(len(told)) if told[k] > 0]
        return [([0.0, effects[k]], [1 - told[k], told[k]]) for k in each], within
    if margin.kind == "steps":  # shares at or above each level but the lowest
        at_least = [1.0, *told, 0.0]
        shares = [at_least[k] - at_least[k + 1] for k in range(len(told) + 1)]
        effects = [sum(effects[:k]) for k in range(len(told) + 1)]
    else:  # the rest is a level never seen
        told = [*told, 1 - sum(told)]
        shares, effects, doubt = (told, [*effects, 0.0], [*doubt, scale**2])
    within = sum([told[k] * (1 - told[k]) * doubt[k] for k in range(len(told))])
    return [(list(effects), shares)], within
