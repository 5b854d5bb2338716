"""Pictures of numbers as inline SVG, the same on the page and in the phone file: they repeat what
the words beside them say, so they are hidden from screen readers. Signs differ by shape, not by
color: a tag for the ask, a line above for the most to pay, a line below for the least to take, a
disc for what to expect, a ring for what was, a square for what the other side says."""

from typing import Any

from pricing.wording.plain import fixed

WIDTH, HEIGHT, MIDDLE, EDGE = 320.0, 54.0, 20.0, 14.0
CLOSE = 76.0  # ends of a range nearer than this are written together


def money_line(picture: dict[str, Any]) -> str:
    """The span that most sales fall in, its ends as amounts, and a sign for each number.

    >>> money_line({"low": 115, "high": 195, "ends": ["$115", "$195"], "marks": []})[:4]
    '<svg'
    """
    low, high, marks = picture["low"], picture["high"], picture["marks"]
    numbers = [low, high] + [mark["at"] for mark in marks]
    first, last = min(numbers), max(numbers)
    room = max(last - first, abs(last) * 0.02, 1.0)

    left = _place(low, first, room)
    right = _place(high, first, room)
    parts = [
        f'<svg viewBox="0 0 {fixed(WIDTH, 0)} {fixed(HEIGHT, 0)}" aria-hidden="true"'
        ' focusable="false">',
        f'<path class="axis" d="M{fixed(EDGE, 0)} {fixed(MIDDLE, 0)}H{fixed(WIDTH - EDGE, 0)}"/>',
        _rect("span", left, MIDDLE - 7, max(right - left, 1.0), 14.0),
    ]
    if right - left < CLOSE:
        middle = min(max((left + right) / 2, 60.0), WIDTH - 60.0)
        parts.append(_words(middle, f"{picture['ends'][0]} to {picture['ends'][1]}"))
    else:
        parts.append(_words(max(left, 24.0), picture["ends"][0]))
        parts.append(_words(min(right, WIDTH - 24.0), picture["ends"][1]))
    for mark in marks:
        parts.append(shape(mark["sign"], _place(mark["at"], first, room), MIDDLE))
    return "".join(parts) + "</svg>"


def _place(value: float, first: float, room: float) -> float:
    return EDGE + (WIDTH - 2 * EDGE) * (value - first) / room


def _words(x: float, said: str) -> str:
    return f'<text x="{fixed(x, 1)}" y="{fixed(HEIGHT - 6, 0)}" text-anchor="middle">{said}</text>'


def _rect(kind: str, x: float, y: float, width: float, height: float) -> str:
    return (
        f'<rect class="{kind}" x="{fixed(x, 1)}" y="{fixed(y, 1)}" width="{fixed(width, 1)}"'
        f' height="{fixed(height, 1)}"/>'
    )


def shape(sign: str, x: float, y: float) -> str:
    """The sign of one number at a place."""
    if sign == "tag":
        begin = f"M{fixed(x - 7, 1)} {fixed(y, 1)}"
        return f'<path class="sign" d="{begin}l5 -6h9v12h-9z"/>'
    if sign == "ceiling":
        begin = f"M{fixed(x - 7, 1)} {fixed(y - 11, 1)}"
        return f'<path class="sign" d="{begin}h14v3h-5.5v13h-3v-13h-5.5z"/>'
    if sign == "floor":
        begin = f"M{fixed(x - 7, 1)} {fixed(y + 11, 1)}"
        return f'<path class="sign" d="{begin}h14v-3h-5.5v-13h-3v13h-5.5z"/>'
    if sign == "square":
        return _rect("sign", x - 5, y - 5, 10.0, 10.0)
    kind = "ring" if sign == "ring" else "sign"
    return f'<circle class="{kind}" cx="{fixed(x, 1)}" cy="{fixed(y, 1)}" r="6"/>'


def sign(name: str) -> str:
    """The sign alone, for the line of words below."""
    return (
        '<svg class="key" viewBox="0 0 24 24" width="18" height="18" aria-hidden="true"'
        f' focusable="false">{shape(name, 12.0, 12.0)}</svg>'
    )


def bar(share: float, best: bool = False) -> str:
    """A flat bar from zero, `share` (0-1) of the width."""
    width = 100 * min(max(share, 0.0), 1.0)
    return (
        '<svg class="bars" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true"'
        f' focusable="false">{_rect("best" if best else "", 0.0, 0.0, width, 6.0)}</svg>'
    )


def against(share: float) -> str:
    """Days so far as a bar to a mark in the middle, the usual; `share` is of twice the usual."""
    over = _rect("over", 50, 1.0, 100 * share - 50, 6.0) if share > 0.5 else ""
    return (
        '<svg class="against" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true"'
        f' focusable="false"><path class="axis" d="M0 4H100"/>'
        f"{_rect('', 0.0, 1.0, 100 * min(share, 0.5), 6.0)}{over}{_rect('at', 49.6, 0.0, 0.8, 8.0)}"
        "</svg>"
    )


def strip(row: dict[str, Any], scale: dict[str, Any]) -> str:
    """A range on the scale of all its neighbors, zero and the wanted number marked on it."""
    room = max(scale["high"] - scale["low"], 1e-9)
    low, high, at, zero, wanted = [
        100 * (value - scale["low"]) / room
        for value in [row["low"], row["high"], row["at"], 0.0, scale["target"]]
    ]
    return (
        '<svg class="strip" viewBox="0 0 100 9" preserveAspectRatio="none" aria-hidden="true"'
        ' focusable="false"><path class="axis" d="M0 4.5H100"/>'
        f"{_rect('zero', zero - 0.2, 2.0, 0.4, 5.0)}{_rect('wanted', wanted - 0.2, 0.0, 0.4, 9.0)}"
        f"{_rect('', low, 2.0, max(high - low, 0.5), 5.0)}{_rect('at', at - 0.5, 0.0, 1.0, 9.0)}"
        "</svg>"
    )
