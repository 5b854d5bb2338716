"""A range as a picture: one money line with the span that most sales fall in and a sign for each
number. Inline SVG, attributes only.

The picture repeats what the words beside it say, so it is hidden from screen readers; signs differ
by shape, not by color.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

WIDTH, HEIGHT, MIDDLE, EDGE = 320.0, 40.0, 20.0, 8.0
SIGNS = ("disc", "up", "down", "square", "diamond")


@dataclass(frozen=True)
class Mark:
    """One number on the line. sign: one of SIGNS; words and said: its name and its amount as
    written below the line."""

    sign: str
    at: float
    words: str
    said: str


def money_line(low: float, high: float, marks: Sequence[Mark]) -> Markup:
    """The line from the smallest number to the largest, the span from `low` to `high` on it; empty
    where a number is not finite.

    >>> str(money_line(150, 255, [Mark("disc", 195, "expect", "$195")])).startswith("<svg")
    True
    """
    marks = [mark for mark in marks if math.isfinite(mark.at)]
    numbers = [low, high, *(mark.at for mark in marks)]
    if not all(map(math.isfinite, numbers)):
        return Markup("")
    first, last = min(numbers), max(numbers)
    room = max(last - first, abs(last) * 0.02, 1.0)

    def x(value: float) -> float:
        return round(EDGE + (WIDTH - 2 * EDGE) * (value - first) / room, 1)

    parts = [
        f'<svg viewBox="0 0 {WIDTH:g} {HEIGHT:g}" aria-hidden="true" focusable="false">',
        f'<line class="axis" x1="{EDGE:g}" x2="{WIDTH - EDGE:g}" y1="{MIDDLE:g}" y2="{MIDDLE:g}"/>',
        (
            f'<rect class="span" x="{x(low):g}" y="{MIDDLE - 7:g}"'
            f' width="{max(x(high) - x(low), 1):g}" height="14" rx="7"/>'
        ),
        *(_sign(mark.sign, x(mark.at), MIDDLE) for mark in marks),
        "</svg>",
    ]
    return Markup("".join(parts))  # numbers and our own words only


def sign(name: str) -> Markup:
    """The sign alone, for the line of words below."""
    return Markup(
        '<svg class="key" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true"'
        f' focusable="false">{_sign(name, 8, 8)}</svg>'
    )


def bar(share: float, best: bool = False) -> Markup:
    """A flat bar, `share` (0-1) of the width."""
    share = min(max(share, 0.0), 1.0) if math.isfinite(share) else 0.0
    kind = ' class="best"' if best else ""
    drawn = f'<rect{kind} x="0" y="0" width="{100 * share:.1f}" height="6"/>'
    return Markup(
        '<svg class="bars" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true"'
        f' focusable="false">{drawn}</svg>'
    )


def strip(low: float, high: float, at: float) -> Markup:
    """A range on the scale of all its neighbors: places 0-1."""
    if not all(map(math.isfinite, (low, high, at))):
        return Markup("")
    width = max(100 * (high - low), 0.5)
    return Markup(
        '<svg class="strip" viewBox="0 0 100 9" preserveAspectRatio="none" aria-hidden="true"'
        ' focusable="false"><line class="axis" x1="0" x2="100" y1="4.5" y2="4.5"/><rect'
        f' x="{100 * low:.1f}" y="1" width="{width:.1f}" height="7"/><rect class="at"'
        f' x="{100 * at - 0.5:.1f}" y="0" width="1" height="9"/></svg>'
    )


def _sign(name: str, x: float, y: float) -> str:
    if name == "up":
        return f'<path class="sign" d="M{x - 6:g} {y + 6:g}h12l-6 -12z"/>'
    if name == "down":
        return f'<path class="sign" d="M{x - 6:g} {y - 6:g}h12l-6 12z"/>'
    if name == "square":
        return f'<rect class="sign" x="{x - 5:g}" y="{y - 5:g}" width="10" height="10"/>'
    if name == "diamond":
        return f'<path class="sign" d="M{x - 6:g} {y:g}l6 -7l6 7l-6 7z"/>'
    return f'<circle class="sign" cx="{x:g}" cy="{y:g}" r="6"/>'
