"""The quarter on a page: one HTML file that holds everything it shows and asks nothing of the
network.

First page: five sentences, the money box, what pays, what sits, next steps. The rest stands under
Details. Every picture has a sentence of what it shows and its numbers as a table. Numbers come
finished from `quarter/quarter`; here they become text.
"""

from __future__ import annotations

from collections.abc import Sequence

from pricing.basis.frozen import frozen
from pricing.pages import quarter_words as words
from pricing.pages import style
from pricing.pages.parts import MONEY_WORDS, Section, Table, hours, rate, span
from pricing.pages.quarter_details import sections
from pricing.pages.quarter_shop import waiting_row
from pricing.pages.text import day, exact, money
from pricing.quarter.money import IN, OUT
from pricing.quarter.quarter import QuarterReport
from pricing.wording.plain import percent

ORDER = (
    "money",
    "pays",
    "what-if",
    "sold",
    "estimates",
    "prices",
    "waiting",
    "buying",
    "limits",
    "repairs",
    "gaps",
    "tax-folder",
    "rows",
)
MOST_PAYS, MOST_SITS = 7, 5  # rows on the first page


@frozen
class Page:
    """The whole report as text, ready for the template."""

    title: str
    headline: str
    demo: bool
    sentences: Sequence[str]
    money: Table
    pays: Table
    sits: Table
    steps: Sequence[str]
    notes: Sequence[str]
    sections: Sequence[Section]


def html(page: Page) -> str:
    """The page as one HTML file."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("pricing.pages"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
    )
    return environment.get_template("quarter.html").render(page=page, css=style.CSS)


def make_page(
    report: QuarterReport,
    *,
    demo: bool = False,
    draw: bool = True,
    more: Sequence[Section] = (),
    calls: str | None = None,
    set_aside: int = 0,
) -> Page:
    """Words and tables of the report. more: further sections of Details; calls: the sentence on the
    estimates; set_aside: rows not taken."""
    return Page(
        title=f"The quarter {report.quarter.name}",
        headline=words.headline(report),
        demo=demo,
        sentences=words.five_sentences(report, calls),
        money=money_box(report),
        pays=pays_table(report),
        sits=sits_table(report),
        steps=words.next_steps(report),
        notes=_notes(report, set_aside),
        sections=sorted(
            [*sections(report, draw), *more], key=lambda section: ORDER.index(section.key)
        ),
    )


def money_box(report: QuarterReport) -> Table:
    """Revenue, each cost, profit, hours and return per hour; this quarter, the one before, the same
    a year ago."""
    sides = (report.now, report.before, report.year_ago)
    currency = report.currency
    rows: list[list[str]] = []
    for name in IN:
        if name == "price" or any(side.money[name] for side in sides):
            rows.append([MONEY_WORDS[name], *[exact(side.money[name], currency) for side in sides]])
    for name in OUT:
        if name in ("paid", "parts") or any(side.money[name] for side in sides):
            rows.append(
                [
                    f"less {MONEY_WORDS[name].lower()}",
                    *[exact(-side.money[name], currency) for side in sides],
                ]
            )
    if any(side.expenses for side in sides):
        rows.append(
            ["less expenses of no unit", *[exact(-side.expenses, currency) for side in sides]]
        )
    foot = [
        ["Kept", *[exact(side.profit, currency) for side in sides]],
        ["Hours", *[hours(side.hours) for side in sides]],
        ["An hour", *[rate(side.per_hour, currency) for side in sides]],
    ]
    names = (report.quarter.name, report.quarter.before.name, report.quarter.year_before.name)
    return Table("The money box", ["", *names], rows, foot, frozenset({1, 2, 3}), quiet=True)


def pays_table(report: QuarterReport) -> Table:
    """What pays: this quarter and since the record began, with the range and the chance to reach
    the target."""
    currency = report.currency
    here = {group.name: group for group in report.pays_now.groups}
    rows = []
    for group in report.pays.groups[:MOST_PAYS]:
        now = here.get(group.name)
        rows.append(
            [
                group.name,
                money(now.per_hour, currency) if now else "-",
                money(group.per_hour, currency),
                span(group.low, group.high, group.n, currency),
                str(group.n),
                percent(group.chance_target),
            ]
        )
    left = len(report.pays.groups) - len(rows)
    note = (
        f"{report.quarter.name} alone, then the whole record up to its last day; the best bets"
        " stand first, and types with few units are pulled toward your average."
    )
    return Table(
        "What pays, an hour",
        [
            "Type",
            report.quarter.name,
            "So far",
            "most",
            "Units",
            f"Beats {money(report.target, currency)}",
        ],
        rows,
        right=frozenset({1, 2, 4}),
        quiet=True,
        note=f"{note} {left} more under Details." if left > 0 else note,
    )


def sits_table(report: QuarterReport, most: int = MOST_SITS) -> Table:
    """What sits: the longest waits first, each with its next step."""
    rows = [
        [cells[0], cells[1], cells[3], cells[6] or cells[2]]
        for each in report.waiting[:most]
        for cells in [waiting_row(report, each)]
    ]
    left = len(report.waiting) - len(rows)
    return Table(
        f"What sits, as of {day(report.as_of)}",
        ["Unit", "Type", "Days", "Next step"],
        rows,
        right=frozenset({2}),
        note=f"{left} more under Details." if left > 0 else "" if rows else "Nothing is waiting.",
        quiet=True,
    )


def _notes(report: QuarterReport, set_aside: int) -> list[str]:
    now, out = report.now, []
    if now.assumed_hours or now.assumed_money:
        parts = [f"{hours(now.assumed_hours)} hours"] * (now.assumed_hours > 0) + [
            f"{exact(now.assumed_money, report.currency)} of costs"
        ] * (now.assumed_money > 0)
        blanks = " and ".join(parts)
        out.append(
            f"Filled in where your sheet is blank: {blanks}, at your own usual or your settings."
            " What you wrote down is never changed."
        )
    if now.n_uncounted:
        one = now.n_uncounted == 1
        out.append(
            f"{words.capital(words.count_word(now.n_uncounted))} sold"
            f" unit{' has' if one else 's have'} no price and stand{'s' if one else ''} outside all"
            " money."
        )
    if set_aside:
        rows = (
            f"{words.capital(words.count_word(set_aside))} row{'s' if set_aside != 1 else ''} of"
            " the files you added"
        )
        out.append(
            f"{rows} could not be taken (another currency, or a cell that cannot be read) and"
            f" stand{'s' if set_aside == 1 else ''} outside everything here."
        )
    if report.n_undated:
        out.append(
            f"{words.capital(words.count_word(report.n_undated))} ended"
            f" unit{'s have' if report.n_undated != 1 else ' has'} no day and can be in no quarter."
        )
    if now.n_trips:
        out.append(
            f"{words.capital(words.count_word(now.n_trips))} drive{'s' if now.n_trips != 1 else ''}"
            f" brought nothing home: {hours(now.trip_hours)} hours, counted."
        )
    return out
