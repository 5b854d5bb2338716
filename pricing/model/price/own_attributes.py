"""Blocks of own attributes: any data set of prices goes through by declaring its columns."""

from itertools import combinations, product

import numpy as np

from pricing.basis.settings import Settings
from pricing.model.price.layout import LOOSE_TAU, LaidOut, levels, number_values
from pricing.model.seen import Seen

MOST_TELLING = 8  # margins of own attributes of which products are formed


def own_blocks(
    plan: LaidOut, seen: Seen, settings: Settings, ours: list[int], line: int, interactions: bool
) -> None:
    """The person's own attributes: lines and hinges of numbers, levels of categories, steps of
    ordered ones, and products of each two, and with ours and line (our categories, the line of age;
    -1: none)."""
    lines = [line] if line >= 0 and plan.loose else []
    words = list(ours if plan.loose else ours[:1])
    scale = 0.25 if plan.loose else 0.10
    for name, kind in sorted(settings.attributes.items()):
        if _is_constant(seen, name, kind):
            continue  # nothing to tell apart by, and its blocks would move the scales of others
        if kind in ("number", "log") and name in seen.numbers:
            log = seen.numbers[name][0] > 0 and (kind == "log" or _is_skewed(seen, name))
            label = (f"ln {name}" if log else name,)
            number = plan.margin(name, "number", label, number_values(seen, name, log))
            plan.block(name, name, number, scale, tau=LOOSE_TAU)
            bends = number_values(seen, name, log, (0.1, 0.3, 0.5, 0.7, 0.9))
            if len(bends) > 6:  # three knots and more: a number of two values has no bend
                hinges = plan.margin(name, "hinges", label, bends)
                plan.block(f"{name} bends", name, hinges, scale * 0.4, tau=LOOSE_TAU)
            (words if _is_switch(seen, name) else lines).append(number)
        elif kind == "ordered" and len(seen.words.get(name, ())) > 1:
            labels = tuple(sorted(seen.words[name], key=_natural))
            steps = plan.margin(name, "steps", labels, (0.5,) * (len(labels) - 1))
            plan.block(name, name, steps, scale, tau=LOOSE_TAU)
        elif kind == "category" and seen.words.get(name):
            word = plan.margin(name, "word", levels(seen, name, 100))
            plan.block(name, name, word, scale, tau=LOOSE_TAU)
            words.append(word)
    if interactions:
        _products(plan, seen, settings, lines, words, scale * 0.3)


def _products(
    plan: LaidOut, seen: Seen, settings: Settings, lines: list[int], words: list[int], scale: float
) -> None:
    """Products of each two margins that tell, one of them at least the person's own."""
    telling = _telling(plan, seen, [*lines, *words])
    lines, words = [i for i in lines if i in telling], [i for i in words if i in telling]
    for first, second in (*product(lines, words), *combinations(words, 2)):
        left, right = plan.margins[first], plan.margins[second]
        if left.column in settings.attributes or right.column in settings.attributes:
            term, name = (right if left.kind == "word" else left), f"{left.column} x {right.column}"
            plan.block(name, term.column, first, scale, right=second, tau=LOOSE_TAU)


def _is_constant(seen: Seen, name: str, kind: str) -> bool:
    """Whether every sale says the same of it."""
    if kind in ("number", "log"):
        low, high = seen.numbers.get(name, (0.0, 0.0))
        return low == high and not np.isnan(seen.sample.number(name)).any()
    return len(seen.words.get(name, ())) == 1 and seen.blanks[name] == 0


def _is_skewed(seen: Seen, name: str) -> bool:
    """Whether a positive number is better read by its logarithm: it spans more than a factor of
    four, and its logarithm is less skewed (prices and mileages are; years are not)."""
    low, high = seen.numbers[name]
    if high <= 4 * low:
        return False
    values = seen.sample.number(name)
    values = values[np.isfinite(values)]
    return abs(_skewness(np.log(values))) < abs(_skewness(values))


def _skewness(values: np.ndarray) -> float:
    """Third standardised moment, 0 for a constant.

    >>> round(_skewness(np.array([0.0, 0.0, 3.0])), 4)
    0.7071
    """
    apart = values - values.mean()
    return float((apart**3).mean() / max(float((apart**2).mean()) ** 1.5, 1e-300))


def _is_switch(seen: Seen, name: str) -> bool:
    """Whether a number is a yes or no: products with other words are then formed as for a word."""
    values = seen.sample.number(name)
    return len(set(values[np.isfinite(values)].tolist())) == 2


def _telling(plan: LaidOut, seen: Seen, margins: list[int]) -> set[int]:
    """The margins that by themselves explain most of ln price: others make no products."""
    if len(margins) <= MOST_TELLING:
        return set(margins)
    y = np.log(seen.sample.number("price"))
    y = y - y.mean()
    square = max(float(y @ y), 1e-12)
    shares = []
    for index in margins:
        margin = plan.margins[index]
        if margin.kind == "word":
            codes = seen.sample.word(margin.column).lookup(margin.labels) + 1
            counts = np.bincount(codes)
            means = np.bincount(codes, weights=y) / np.maximum(counts, 1)
            free = len(y) - int((counts > 0).sum())
            rest = float(((y - means[codes]) ** 2).sum()) / square
            share = 1 - rest * (len(y) - 1) / free if free > 0 else 0.0
        else:
            x = seen.sample.number(margin.column)
            told = np.isfinite(x)
            x = np.where(told, x - (x[told].mean() if told.any() else 0.0), 0.0)
            share = float(x @ y) ** 2 / max(float(x @ x) * square, 1e-300)
        shares.append(round(share, 9))  # a last bit must not decide between two
    best = sorted(range(len(margins)), key=lambda place: (-shares[place], place))[:MOST_TELLING]
    return {margins[place] for place in best}


def _natural(word: str) -> tuple[int, float, str]:
    """Numbers by value first, then words by letter."""
    try:
        return 0, float(word), word
    except ValueError:
        return 1, 0.0, word
