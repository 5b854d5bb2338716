"""The pictures: matplotlib figures as SVG text, the same byte for byte for the same numbers.

Ranges come before points, labels stand beside what they name, bars begin at zero, money stands on
the axes, and color never carries a meaning alone. Figures are made directly, without the global
state of the drawing library, and nowhere else.
"""

import io
import re
import warnings
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.ticker import FuncFormatter, MaxNLocator

from pricing.advice.ask_curve import AskCurve
from pricing.basis import files, problems
from pricing.basis.frozen import frozen
from pricing.basis.home import DEMO_MARK, Home
from pricing.pages import compare_text
from pricing.pages.text import day, money
from pricing.quarter import compare, worth
from pricing.quarter.limits import Calls
from pricing.quarter.survival import Curve

# ---- The look of pictures: colors with enough contrast on white, and sizes. Color is never the
# only carrier: lines also differ by dash, and everything is labelled where it stands
INK, MUTED, RULE, PAPER = "#1d2428", "#545d64", "#cfc9ba", "#ffffff"
MAIN, WARM, SOFT, PAST = "#0d4f66", "#6b4300", "#dfeaee", "#7d7a70"
# what a color of a picture is inside a page, where the person's eyes choose light or dark
INKS = {
    INK: "var(--ink)", MUTED: "var(--faint)", RULE: "var(--line)", PAPER: "var(--ground)",
    MAIN: "var(--blue)", SOFT: "var(--blue-soft)", PAST: "var(--edge)", "#000000": "var(--ink)",
    WARM: "var(--warm)",
}  # fmt: skip
DASHES: tuple[tuple[float, ...], ...] = ((), (6, 2), (2, 2))
FONT_SIZE = 10.0
WIDTH_INCHES = 5.6

SAYS = "says: "  # begins the name of a group that tells more where one points at it
MOST_CALLS = 80
LONGEST_NAME = 26
_SETTINGS: Any = {
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": FONT_SIZE,
    "axes.edgecolor": RULE,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "hatch.linewidth": 0.6,
    "text.parse_math": False,  # "$10 to $20" is money, no formula
}


@frozen
class Picture:
    """A finished picture. name: for ids; svg: a whole SVG file; figure: what it was made of."""

    name: str
    svg: str
    figure: Figure

    @property
    def inline(self) -> str:
        """The SVG to stand inside a page: without prologue, metadata, styles and group numbers."""
        text = self.svg[self.svg.index("<svg") :]
        text = re.sub(r"<metadata>.*?</metadata>\s*", "", text, flags=re.S)
        text = re.sub(r"<style[^>]*>.*?</style>", "", text, flags=re.S)
        # Every picture numbers its groups from 1; nothing refers to them
        text = re.sub(r'<g id="[^"]*"', "<g", text)
        for color, ink in INKS.items():  # light and dark, as the page around it
            text = text.replace(color, ink)
        return text.replace("<svg ", '<svg class="chart" ', 1)


def short(name: str) -> str:
    """A name that leaves room for the picture beside it; the table below it has the whole one."""
    return name if len(name) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 1]}…"


@contextmanager
def _quietly() -> Iterator[None]:
    """Our own settings for a while; letters that our font lacks are the browser's to draw."""
    with matplotlib.rc_context(_SETTINGS), warnings.catch_warnings():
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        yield


def draw(name: str, paint: Callable[[Figure], None], height: float, title: str = "") -> Picture:
    """Paint on a figure of the house width and `height` inches, and keep it as SVG."""
    with _quietly(), matplotlib.rc_context({"svg.hashsalt": name}):
        figure = Figure(figsize=(WIDTH_INCHES, height), layout="constrained")
        canvas: Any = FigureCanvasSVG(figure)
        paint(figure)
        if title:
            figure.suptitle(title, fontsize=FONT_SIZE + 1, weight="bold")
        out = io.StringIO()
        nothing = dict.fromkeys(("Date", "Creator", "Format", "Type"))
        canvas.print_svg(out, metadata=nothing)
    # A title within a group is what a browser shows where one points, and what a reader says
    svg = re.sub(f'<g id="{SAYS}([^"]*)">', r"<g><title>\1</title>", out.getvalue())
    return Picture(name, svg, figure)


def titled(what: str, home: Home, as_of: date) -> str:
    """What a picture shows that stands alone, of which day, and whether its record is invented."""
    return f"{DEMO_MARK}\n" * home.is_demo + f"{what}, as of {day(as_of)}, {as_of.year}"


def write(path: Path, picture: Picture) -> None:
    """Write a picture as a file. Raises Refused for a name that promises another kind of file."""
    if path.suffix.lower() != ".svg":
        fix = "give it a name that ends in .svg"
        raise problems.refused("the picture is drawn as SVG", fix, file=str(path))
    files.write_text(path, picture.svg)


def _bare(axes: Any, *, keep: Sequence[str] = (), lines: bool = True) -> None:
    """Only the frame's sides that are kept, and faint lines across."""
    for side in ("top", "right", "left", "bottom"):
        axes.spines[side].set_visible(side in keep)
    axes.tick_params(length=0)
    if lines:
        axes.grid(axis="y", color=RULE, linewidth=0.5)
        axes.set_axisbelow(True)


def _money_axis(axis: Any, currency: str) -> None:
    axis.set_major_formatter(FuncFormatter(lambda value, _: money(value, currency)))
    axis.set_major_locator(MaxNLocator(6, integer=True))


def per_hour(comparison: compare.Comparison, currency: str, title: str = "") -> Picture:
    """What pays, every group in the order of the table: what to expect as a dot and in figures, its
    range as a bar, zero and the wanted hour as lines."""
    view = compare_text.worded(comparison, currency)
    rows, scale = view["rows"], view["scale"]
    room = 0.04 * max(scale["high"] - scale["low"], 1.0)

    def paint(figure: Figure) -> None:
        axes = figure.add_subplot()
        axes.axvline(0, color=MUTED, linewidth=0.8)
        axes.axvline(scale["target"], color=WARM, linewidth=1.2, dashes=(4, 2))
        wanted: Any = {"color": WARM, "ha": "center", "va": "bottom"}
        axes.text(scale["target"], -0.75, scale["wanted"], **wanted)
        for place, row in enumerate(rows):
            bar: Any = {"color": SOFT, "linewidth": 11, "solid_capstyle": "butt"}
            says = SAYS + f"{row['name']}: {row['expect']} per hour, most {row['most']}"
            axes.plot([row["low"], row["high"]], [place, place], gid=says, **bar)
            axes.plot([row["at"]], [place], "o", color=MAIN, markersize=6, gid=says)
            said = f"{row['expect']} {row['mark']}".rstrip()
            axes.text(scale["high"] + room, place, said, va="center")
        axes.set_yticks(range(len(rows)), [f"{short(row['name'])} ({row['n']})" for row in rows])
        axes.set_ylim(len(rows) - 0.4, -0.8)
        axes.set_xlim(scale["low"] - room, scale["high"] + 6 * room)
        _money_axis(axes.xaxis, currency)
        axes.set_xlabel("dot and figure: expect an hour; bar: most\nin brackets: units")
        _bare(axes, keep=("bottom",), lines=False)

    return draw("per-hour", paint, 1.1 + 0.34 * max(len(rows), 1), title)


# name, curve, color, width, dashes of its line
NamedCurve = tuple[str, Curve, str, float, tuple[float, ...]]


def waiting(curve: Curve, by_type: Sequence[tuple[str, Curve]], name: str = "waiting") -> Picture:
    """Share still unsold by days listed, with its range; common types as thinner dashed lines."""
    last = float(curve.days.max()) if len(curve.days) else 14.0
    longest = min(max(curve.longest, 14.0), max(last, 14.0) * 1.15)

    def steps(each: Curve) -> tuple[np.ndarray, np.ndarray]:
        days = np.concatenate([[0.0], each.days, [min(each.longest, longest)]])
        return days, np.concatenate([[1.0], each.share, each.share[-1:]])

    def paint(figure: Figure) -> None:
        axes = figure.add_subplot()
        low, high = (np.clip(curve.share + sign * 1.2816 * curve.error, 0, 1) for sign in (-1, 1))
        x = np.concatenate([[0.0], curve.days])
        low, high = (np.concatenate([[1.0], side]) for side in (low, high))
        axes.fill_between(x, low, high, step="post", color=SOFT, linewidth=0)
        axes.step(*steps(curve), where="post", color=MAIN, linewidth=2.2)
        named: list[NamedCurve] = [("all units", curve, MAIN, 2.2, ())]
        inks, broken = (WARM, MUTED, INK), (*DASHES[1:], (4, 1, 1, 1))
        for (label, each), color, dashes in zip(by_type, inks, broken, strict=False):
            axes.step(*steps(each), where="post", color=color, linewidth=1.2, dashes=dashes)
            named.append((label, each, color, 1.2, dashes))
        _name_beside(axes, named, longest)
        axes.set_xlim(0, longest)
        axes.set_ylim(0, 1.02)
        axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value * 100:.0f}%"))
        axes.xaxis.set_major_locator(MaxNLocator(8, integer=True))
        axes.set_xlabel("days listed; band: most")
        axes.set_ylabel("still unsold")
        _bare(axes, keep=("bottom",))

    return draw(name, paint, 3.1)


def _name_beside(axes: Axes, named: Sequence[NamedCurve], longest: float) -> None:
    """Names in the empty upper right, the slowest on top, each beside a piece of its line."""
    at = longest * 0.62
    slowest_first = sorted(named, key=lambda one: -one[1].share_at(longest * 0.3))
    for row, (label, _, color, width, dashes) in enumerate(slowest_first):
        height = 0.95 - 0.09 * row
        line: Any = {
            "color": color,
            "linewidth": width,
            "linestyle": (0, dashes) if dashes else "-",
        }
        axes.plot([at, at + 0.06 * longest], [height, height], **line)
        weight = "bold" if width > 2 else "normal"
        x = at + 0.075 * longest
        axes.text(x, height, short(label), color=color, va="center", weight=weight)


def price_level(level: worth.Level, name: str = "level") -> Picture:
    """Prices month by month against the last month, with their range."""

    def paint(figure: Figure) -> None:
        axes = figure.add_subplot()
        x = np.arange(len(level.months))
        axes.fill_between(x, level.low * 100, level.high * 100, color=SOFT, linewidth=0)
        axes.plot(x, level.level * 100, color=MAIN, linewidth=2)
        axes.axhline(100, color=MUTED, linewidth=0.8, dashes=(4, 2))
        every = max(1, -(-len(level.months) // 5))
        axes.set_xticks(x[::-1][::every][::-1], level.months[::-1][::every][::-1])
        axes.set_ylabel("same unit, last month = 100")
        axes.set_xlabel("line: as learned; band: most, against the last month")
        _bare(axes, keep=("bottom",))

    return draw(name, paint, 2.8)


def ask_curve(curve: AskCurve, currency: str, title: str) -> Picture:
    """First ask against the money that is left and the days that half take, the best one marked."""
    best = curve.asks[curve.best]

    def paint(figure: Figure) -> None:
        above, below = figure.subplots(2, 1, sharex=True)
        for axes, values in ((above, curve.left), (below, curve.days)):
            axes.plot(curve.asks, values, color=MAIN, linewidth=2)
            axes.axvline(best, color=WARM, linewidth=1.2, dashes=(4, 2))
            axes.plot([best], [values[curve.best]], "o", color=WARM, markersize=7)
            axes.set_ylim(0, float(values.max()) * 1.15)
            _bare(axes)
        look: Any = {"xytext": (5, 6), "textcoords": "offset points", "color": WARM}
        above.annotate(f"ask {money(best, currency)}", (best, 0), **look)
        _money_axis(above.yaxis, currency)
        above.set_ylabel("left after holding")
        below.set_ylabel("days until half sell")
        below.yaxis.set_major_locator(MaxNLocator(5, integer=True))
        _money_axis(below.xaxis, currency)
        a_day = f"a day costs {money(curve.holding, currency)}"
        cleared = f"cleared out after {curve.clear_days:.0f} days"
        below.set_xlabel(f"first ask, coming down as planned; {a_day}; {cleared}")

    return draw("ask", paint, 4.4, title)


def calls(judged: Calls, currency: str, name: str = "calls") -> Picture:
    """Each sale of the quarter against the range called before it: dot caught, cross missed; a
    price far above all ranges stands at the edge with its figure."""
    shown = sorted(judged.calls, key=lambda call: (call.middle, call.unit))
    if len(shown) > MOST_CALLS:  # evenly through the order, so that the picture stays honest
        shown = [shown[i] for i in np.linspace(0, len(shown) - 1, MOST_CALLS).round().astype(int)]
    some = f" ({len(shown)} of {len(judged.calls)} drawn)" * (len(shown) < len(judged.calls))
    top = 1.15 * max(call.high for call in shown)
    bar: Any = {"color": SOFT, "linewidth": max(2.0, min(9.0, 300 / len(shown)))}

    def paint(figure: Figure) -> None:
        axes = figure.add_subplot()
        for i, call in enumerate(shown):
            low, high, paid = (money(x, currency) for x in (call.low, call.high, call.price))
            says = f"{SAYS}{call.unit}, {call.type}: called {low} to {high}, sold for {paid}"
            axes.plot([i, i], [call.low, call.high], solid_capstyle="butt", gid=says, **bar)
            mark = "o" if call.caught else "^" if call.price > top else "X"
            look: Any = {"color": MAIN if call.caught else WARM, "markersize": 6}
            axes.plot([i], [min(call.price, top)], mark, gid=says, **look)
            if call.price > top:
                side = "right" if i > len(shown) / 2 else "left"
                axes.text(i, top, f"  {money(call.price, currency)}  ", ha=side, va="center")
        axes.set_ylim(0, top * 1.08)
        axes.set_xticks([])
        inside = "dot: paid, inside it; cross: paid, outside it"
        axes.set_xlabel(f"sales, cheapest call first{some}; bar: range called\n{inside}")
        _money_axis(axes.yaxis, currency)
        _bare(axes)

    return draw(name, paint, 2.9)
