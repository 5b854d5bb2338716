"""Numbers as JSON and back, checked at the door: a model file is data that anybody could change."""

from collections.abc import Mapping
from typing import Any

import numpy as np


class Damaged(ValueError):
    """A model file does not hold what its schema says; the loader names the file."""


def plain(value: Any) -> Any:
    """Arrays to lists, numpy scalars to numbers, in depth; NaN and infinity are our own bug."""
    if isinstance(value, np.ndarray):
        return value.tolist()
    if isinstance(value, np.generic):
        return value.item()
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(item) for item in value]
    return value


def number(data: Mapping[str, Any], name: str, low: float = -1e12, high: float = 1e12) -> float:
    """A finite number within [low, high]."""
    value = data.get(name)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
        raise Damaged(f"{name} is not a number from {low:g} to {high:g}")
    return float(value)


def array(
    data: Mapping[str, Any],
    name: str,
    shape: tuple[int, ...] | None = None,
    low: float = -1e12,
    high: float = 1e12,
) -> np.ndarray:
    """A float array, every value finite and within [low, high]; -1 leaves a length free."""
    try:
        values = np.array(data.get(name), dtype=float)
    except (TypeError, ValueError) as error:
        raise Damaged(f"{name} is not a table of numbers") from error
    if shape is not None and (
        len(shape) != values.ndim
        or any(want not in (-1, have) for want, have in zip(shape, values.shape, strict=True))
    ):
        if not (values.size == 0 and 0 in shape):
            raise Damaged(f"{name} has shape {values.shape}, not {shape}")
        values = values.reshape(shape)
    if values.size and not (np.min(values) >= low and np.max(values) <= high):  # False for NaN too
        raise Damaged(f"{name} holds a number that is not from {low:g} to {high:g}")
    return values


def _list(data: Mapping[str, Any], name: str, kind: type, most: int, what: str) -> list[Any]:
    values = data.get(name)
    if (
        not isinstance(values, list)
        or len(values) > most
        or not all(isinstance(value, kind) for value in values)
    ):
        raise Damaged(f"{name} is not a list of {what}")
    return values


def texts(data: Mapping[str, Any], name: str, most: int = 1_000_000) -> tuple[str, ...]:
    """A list of words."""
    return tuple(_list(data, name, str, most, "words"))


def text(data: Mapping[str, Any], name: str) -> str:
    value = data.get(name)
    if not isinstance(value, str):
        raise Damaged(f"{name} is not text")
    return value


def table(data: Mapping[str, Any], name: str) -> dict[str, Any]:
    """A nested object."""
    value = data.get(name)
    if not isinstance(value, dict):
        raise Damaged(f"{name} is not a table")
    return value


def rows(data: Mapping[str, Any], name: str, most: int = 1_000_000) -> list[dict[str, Any]]:
    """A list of nested objects."""
    return _list(data, name, dict, most, "tables")


def several(
    data: Mapping[str, Any], shape: tuple[int, ...] | None = None, /, **bounds: tuple[float, float]
) -> dict[str, Any]:
    """Numbers by name, or with a shape tables of that shape, each within its bounds.

    >>> several({"n": 3, "error": 0.25}, n=(0, 10), error=(0, 1))
    {'n': 3.0, 'error': 0.25}
    """
    if shape is None:
        return {name: number(data, name, *ends) for name, ends in bounds.items()}
    return {name: array(data, name, shape, *ends) for name, ends in bounds.items()}


def by_word(
    data: Mapping[str, Any], name: str, low: float = 0.0, high: float = 1e12
) -> dict[str, float]:
    """A table of numbers by word."""
    words = table(data, name)
    return {word: number(words, word, low, high) for word in words}


def counts(data: Mapping[str, Any], name: str) -> dict[str, int]:
    """A table of counts by word."""
    return {word: int(value) for word, value in by_word(data, name).items()}


def triangle(data: Mapping[str, Any], name: str, p: int, most: float) -> np.ndarray:
    """A lower triangle, written row by row, as a matrix (p, p), 0 above."""
    lists = data.get(name)
    if (
        not isinstance(lists, list)
        or len(lists) != p
        or not all(isinstance(row, list) and len(row) == i + 1 for i, row in enumerate(lists))
    ):
        raise Damaged(f"{name} is not a triangle of the right size")
    flat = {name: [value for row in lists for value in row]}
    whole = np.zeros((p, p))
    whole[np.tril_indices(p)] = array(flat, name, (p * (p + 1) // 2,), -most, most)
    return whole
