"""What a page of figures is made of: finished tables and pictures, and how sums are printed."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from html import escape
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from pricing.basis.frozen import frozen
from pricing.basis.money_form import decimals
from pricing.pages.text import exact, money
from pricing.wording import drawing
from pricing.wording.plain import percent

if TYPE_CHECKING:
    from pricing.pages.charts import Picture

MOST_ROWS = 250  # rows of a long table in the page; the CSV beside it has them all
MONEY_WORDS = {
    "price": "Sales", "salvage": "Parts and scrap sold", "delivery": "Delivery charged",
    "fees": "Selling fees", "refund": "Refunds", "paid": "Paid for units", "parts": "Parts",
    "lump": "Spent, not split", "haul": "Truck and dump", "helper": "Helper",
    "comebacks": "Comebacks",
}  # fmt: skip
TASK_WORDS = {
    "drive": "driving", "diagnose": "finding", "repair": "repair", "clean": "cleaning",
    "sell": "selling", "not split": "not split", "comebacks": "comebacks",
}  # fmt: skip


@frozen
class Table:
    """A finished table: cells are text; `right`: columns that align right; `foot`: total rows;
    `wide`: smaller in print."""

    caption: str
    head: Sequence[str]
    rows: Sequence[Sequence[str]]
    foot: Sequence[Sequence[str]] = ()
    right: frozenset[int] = frozenset()
    wide: bool = False
    note: str = ""
    quiet: bool = False  # the heading above says what the caption would


@frozen
class Drawn:
    """A picture drawn by `wording/`: one string of shapes and amounts."""

    name: str
    inline: str


def money_line(picture: Mapping[str, Any]) -> Markup:
    """A line of money; the sign of a currency is the person's own text."""
    ends = [str(escape(end)) for end in picture["ends"]]
    return Markup(drawing.money_line({**picture, "ends": ends}))


@frozen
class Shown:
    """A picture with its sentence and its table."""

    title: str
    takeaway: str
    table: Table
    picture: Picture | Drawn | None = None

    @property
    def svg(self) -> str:
        """The picture to stand in the page, with what it shows as its name and text."""
        if self.picture is None:
            return ""
        name = self.picture.name
        labels = f'role="img" aria-labelledby="{name}-title {name}-text" '
        text = (
            f'<title id="{name}-title">{escape(self.title)}</title><desc'
            f' id="{name}-text">{escape(self.takeaway)} The numbers are in the table below.</desc>'
        )
        inline = self.picture.inline.replace(' aria-hidden="true" focusable="false"', "", 1)
        head, _, rest = inline.partition(">")
        return head.replace("<svg ", f"<svg {labels}", 1) + ">" + text + rest


@frozen
class Section:
    """One part of Details."""

    key: str
    title: str
    paragraphs: Sequence[str] = ()
    shown: Sequence[Shown] = ()
    tables: Sequence[Table] = ()


def hours(value: float) -> str:
    return f"{value:,.2f}"


def rate(value: float | None, currency: str) -> str:
    return "-" if value is None else exact(value, currency)


# head, name of the figure or what makes it, kind: "$" money to the cent, "~" to the unit, "h"
# hours, "d" days, "%" a share, "n" a number, "" text; with "+" after it the last row sums it
Column = tuple[str, str | Callable[[Any], object], str]


def in_columns(
    caption: str,
    columns: Sequence[Column],
    records: Sequence[object],
    currency: str,
    total: str = "",
    foot: Mapping[str, str] | None = None,
    **more: Any,
) -> Table:
    """A table of records. total: what the row of sums is called, "" for none; foot: what it says
    under some heads."""
    heads, kinds = [head for head, *_ in columns], [kind for *_, kind in columns]
    last = {heads[0]: total} | summed(columns, records, currency) | dict(foot or {})
    told = [
        [_written(_figure(of)(one), kind, currency) for one in records] for _, of, kind in columns
    ]
    rows = [list(row) for row in zip(*told, strict=True)]
    numeric = frozenset(place for place, kind in enumerate(kinds) if kind not in ("", "%"))
    end = [[last.get(head, "") for head in heads]] if total and rows else ()
    return Table(caption, heads, rows, end, numeric, **more)


def _figure(of: str | Callable[[Any], object]) -> Callable[[Any], Any]:
    return attrgetter(of) if isinstance(of, str) else of


def summed(columns: Sequence[Column], records: Sequence[object], currency: str) -> dict[str, str]:
    """The sums of those columns that have one, by their heads. Money adds up as it is printed."""
    places = decimals(currency)
    return {
        head: _written(sum(_shown(_figure(of)(x), kind, places) for x in records), kind, currency)
        for head, of, kind in columns
        if kind.endswith("+")
    }


def _shown(value: Any, kind: str, places: int) -> Any:
    return round(value, places) if kind.startswith("$") else value


def _written(value: Any, kind: str, currency: str) -> str:
    if value is None:
        return "-"
    put: Mapping[str, Callable[[], str]] = {
        "$": lambda: exact(value, currency), "~": lambda: money(value, currency),
        "h": lambda: hours(value), "d": lambda: f"{value:.0f}", "%": lambda: percent(value),
    }  # fmt: skip
    return put.get(kind[:1], lambda: str(value))()


SIDE = ("Units", "Kept", "Hours", "An hour")


def side(name: str, sums: tuple[int, float, float], currency: str) -> list[str]:
    """A row of SIDE: number, money and hours of some units, with what an hour of them paid."""
    n, profit, worked = sums
    per_hour = rate(profit / worked if worked > 0 else None, currency)
    return [name, str(n), exact(profit, currency), hours(worked), per_hour]
