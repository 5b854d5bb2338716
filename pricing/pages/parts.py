"""What a page of figures is made of: tables and pictures that are finished, and how money and hours
are printed so that rows add up."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from pricing.basis.frozen import frozen
from pricing.pages.text import exact

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
class Shown:
    """A picture with its sentence and its table."""

    title: str
    takeaway: str
    table: Table
    picture: Picture | None = None

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
        head, _, rest = self.picture.inline.partition(">")
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
