"""The known word most like one that is not known: twice the signs in common stretches over all
signs (Ratcliff & Metzener 1988, Dr. Dobb's Journal 13(7): gestalt matching)."""

from collections.abc import Mapping, Sequence

IDLE = ["won", "t", "or", "not"]


def nearest(told: str, known: Sequence[str], cutoff: float = 0.6) -> str | None:
    """The known word most like this one, at least as like as `cutoff`; None where none is.

    >>> nearest("hourly_targt", ["hourly_target", "spots"])
    'hourly_target'
    """
    wanted = list(told.lower())
    most = cutoff
    best: str | None = None
    for name in known:
        like = likeness(list(name.lower()), wanted, most)
        later = best is None or like > most or name.lower() > best.lower()
        if like >= most and later:
            most = like
            best = name
    return best


def likeness(a: Sequence[str], b: Sequence[str], cutoff: float) -> float:
    """Twice the signs that match, over all signs; 0 as soon as it cannot reach `cutoff`.

    >>> likeness(list("dryer"), list("drier"), 0.5)
    0.8
    """
    n = len(a) + len(b)
    if n == 0:
        return 1.0
    if 2 * min(len(a), len(b)) / n < cutoff:
        return 0.0
    left: dict[str, int] = {}
    for sign in b:
        left[sign] = left.get(sign, 0) + 1
    shared = 0
    for sign in a:
        if left.get(sign, 0) > 0:
            shared = shared + 1
            left[sign] = left[sign] - 1
    return 0.0 if 2 * shared / n < cutoff else 2 * _matching(a, b) / n


def _matching(a: Sequence[str], b: Sequence[str]) -> int:
    """Signs in the longest common stretch, and in those to its left and right."""
    todo = [(0, len(a), 0, len(b))]
    matched = 0
    while len(todo) > 0:
        a_low, a_high, b_low, b_high = todo[len(todo) - 1]
        todo = todo[: len(todo) - 1]
        i, j, size = _longest(a, b, (a_low, a_high, b_low, b_high))
        matched = matched + size
        if size > 0 and a_low < i and b_low < j:
            todo.append((a_low, i, b_low, j))
        if size > 0 and i + size < a_high and j + size < b_high:
            todo.append((i + size, a_high, j + size, b_high))
    return matched


def _longest(
    a: Sequence[str], b: Sequence[str], within: tuple[int, int, int, int]
) -> tuple[int, int, int]:
    """The longest common stretch, first in a, then in b: where it begins, and its length."""
    a_low, a_high, b_low, b_high = within
    best = (a_low, b_low, 0)
    before = [0] * (b_high + 1)  # lengths of the stretches that end in each place
    for i in range(a_low, a_high):
        now = [0] * (b_high + 1)
        for j in range(b_low, b_high):
            if a[i] == b[j]:
                length = before[j] + 1
                now[j + 1] = length
                if length > best[2]:
                    best = (i - length + 1, j - length + 1, length)
        before = now
    return best


def nearest_faults(
    fault: str, plain: str, names: Sequence[str], everyday: Mapping[str, str]
) -> list[str]:
    """Up to three known faults spelled or worded most like this one. everyday: their words."""
    words = _words(fault)
    ranked = sorted(names, key=lambda name: -_shared(words, _words(name.replace("(", " "))))
    busy = [word for word in words if word not in IDLE]
    close = [name for name in ranked if _shared(busy, _words(name)) > 0]
    heard = nearest(plain, list(everyday), 0.75)
    spelled = nearest(fault, names, 0.4)
    found = [] if heard is None else [everyday[heard]]
    found += [] if spelled is None else [spelled]
    return list(dict.fromkeys(found + close[:3]))[:3]


def _words(text: str) -> list[str]:
    return list(dict.fromkeys(text.lower().replace("'", " ").split()))


def _shared(words: Sequence[str], others: Sequence[str]) -> int:
    return len([word for word in words if word in others])
