"""The Details of the quarter's report on money: the change, what pays, the mix, what sold; one
section a question, with sentence, picture and tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from pricing.pages import quarter_words as words
from pricing.pages.compare_text import LEGEND, worded
from pricing.pages.parts import TASK_WORDS, Section, Shown, Table, hours, rate
from pricing.pages.quarter_shop import (
    buying_section,
    gaps_section,
    repairs_section,
    rows_section,
    waiting_section,
)
from pricing.pages.quarter_words import capital
from pricing.pages.text import day, exact, money
from pricing.quarter.change import Change
from pricing.quarter.compare import Comparison
from pricing.quarter.mix import LEAST, REACH, Mix
from pricing.quarter.quarter import QuarterReport
from pricing.quarter.worked import TASKS
from pricing.wording.plain import percent


def sections(report: QuarterReport, draw: bool) -> list[Section]:
    """All sections that come from the books; `draw` False leaves the pictures out."""
    return [
        _money_section(report, draw),
        _pays_section(report, draw),
        _sold_section(report),
        waiting_section(report, draw),
        buying_section(report),
        repairs_section(report),
        gaps_section(report),
        rows_section(report),
    ]


def _money_section(report: QuarterReport, draw: bool) -> Section:
    currency = report.currency
    rows = [
        [
            quarter.name,
            str(each.n_sold),
            str(each.n_failed),
            exact(each.taken_in, currency),
            exact(each.profit, currency),
            hours(each.hours),
            rate(each.per_hour, currency),
        ]
        for quarter, each in report.trend
    ]
    table = Table(
        "By quarter",
        ["Quarter", "Sold", "Failed", "Taken in", "Kept", "Hours", "An hour"],
        rows,
        right=frozenset(range(1, 7)),
    )
    picture = None
    if draw:
        from pricing.pages import charts

        picture = charts.by_quarter(report.trend, currency)
    tables = [
        _change_table(change, caption, currency)
        for change, caption in (
            (
                report.change_profit,
                f"Why {report.quarter.name} kept more or less than {report.quarter.before.name}",
            ),
            (
                report.change_per_hour,
                f"Why an hour paid more or less than in {report.quarter.before.name}",
            ),
            (
                report.year_change_per_hour,
                f"Why an hour paid more or less than in {report.quarter.year_before.name}",
            ),
        )
        if change is not None
    ]
    paragraphs = (
        []
        if tables
        else ["The change cannot be split: one of the two quarters has no finished unit."]
    )
    return Section(
        "money",
        "Money",
        paragraphs,
        [Shown("Kept by quarter", words.trend_takeaway(report), table, picture)],
        tables,
    )


def _change_table(change: Change, caption: str, currency: str) -> Table:
    rows = [
        ["before", exact(change.before, currency)],
        *[[f"by {name}", exact(part, currency)] for name, part in change.parts.items()],
    ]
    return Table(
        caption,
        ["", "Money"],
        rows,
        [["now", exact(change.after, currency)]],
        frozenset({1}),
        note="The parts add up to the change.",
    )


def _pays_section(report: QuarterReport, draw: bool) -> Section:
    """What pays, in the words, the order and the figures of `compare`."""
    currency, pays = report.currency, report.pays
    view = worded(pays, currency)
    title = "What pays per hour, by type"
    by_group = Shown(title, view["headline"], _pays_table(report, view))
    by_hours = Shown("Where the hours go", _hours_takeaway(pays), _hours_table(pays))
    if draw and pays.groups:
        from pricing.pages import charts

        by_group = replace(by_group, picture=charts.per_hour(pays, currency))
        by_hours = replace(by_hours, picture=charts.hours(pays, TASK_WORDS))
    overall = [view["overall"]] if pays.groups else []
    return Section("pays", "What pays per hour", [*overall, *view["notes"]], [by_group, by_hours])


def _pays_table(report: QuarterReport, view: Mapping[str, Any]) -> Table:
    currency, pays = report.currency, report.pays
    rows = [
        [
            row["name"],
            row["expect"],
            row["most"],
            row["so_far"],
            str(row["n"]),
            str(group.n_sold),
            str(group.n_failed),
            hours(group.hours),
            exact(group.profit, currency),
            row["best"],
            percent(group.chance_target),
            "-" if group.days_held is None else f"{group.days_held:.0f}",
            exact(group.tied_up, currency),
        ]
        for row, group in zip(view["rows"], pays.groups, strict=True)
    ]
    head = ["Type", "Expect", "Most", "So far", "Units", "Sold", "Failed", "Hours", "Kept", "Best"]
    return Table(
        f"By type, the whole record to {day(report.as_of)}, {report.as_of.year}",
        [*head, f"Beats {money(report.target, currency)}", "Days held", "Tied up"],
        rows,
        [_pays_foot(report)] if rows else (),
        frozenset({1, 3, 4, 5, 6, 7, 8, 11, 12}),
        wide=True,
        note=capital(LEGEND),
    )


def _pays_foot(report: QuarterReport) -> list[str]:
    """All types together; what a chance or a mean over types would say is left blank."""
    currency, pays = report.currency, report.pays
    most = "-"
    if pays.low is not None and pays.high is not None:
        most = f"{money(pays.low, currency)} to {money(pays.high, currency)}"
    return [
        "All",
        "",
        most,
        money(pays.per_hour or 0.0, currency),
        str(pays.n),
        str(sum(group.n_sold for group in pays.groups)),
        str(sum(group.n_failed for group in pays.groups)),
        hours(pays.hours),
        exact(pays.profit, currency),
        "",
        "",
        "",
        exact(sum(group.tied_up for group in pays.groups), currency),
    ]


def mix_section(mix: Mix | None, n: int, currency: str) -> Section:
    """What if: the best mix of types for the hours and spots there are."""
    if mix is None:
        return Section(
            "what-if",
            "What if you changed the mix",
            [f"A best mix needs {LEAST} ended units with days and hours; there are {n:,}."],
        )
    rows = [
        [name, f"{now * 52 / 12:.1f}", f"{best * 52 / 12:.1f}"] for name, now, best in mix.parts
    ]
    says = (
        f"In {mix.hours:.1f} hours a week, as many as so far, and {mix.spots:g} spots, the best mix"
        f" makes about {money(mix.profit, currency)} a week; "
    )
    says += f"as so far it is {money(mix.profit_now, currency)}."
    more = (
        f"An hour more a week would add {money(mix.worth_of_hour, currency)}, a spot more"
        f" {money(mix.worth_of_spot, currency)}."
    )
    rests = (
        "It rests on this: the next unit of a type pays as the last ones did, no more than"
        f" {REACH:g} times your usual number of it can be found, and no season."
    )
    return Section(
        "what-if",
        "What if you changed the mix",
        [says, more, rests],
        (),
        [Table("Units a month", ["Type", "So far", "Best"], rows, right=frozenset({1, 2}))],
    )


def _hours_table(pays: Comparison) -> Table:
    used = [task for task in TASKS if any(group.hours_by_task[task] for group in pays.groups)]
    rows = [
        [
            group.name,
            *[hours(group.hours_by_task[task]) for task in used],
            hours(sum(group.hours_by_task[task] for task in used)),
        ]
        for group in pays.groups
    ]
    totals = [sum(group.hours_by_task[task] for group in pays.groups) for task in used]
    return Table(
        "Hours by task, without empty trips",
        ["Type", *[TASK_WORDS[task] for task in used], "all"],
        rows,
        [["All", *map(hours, totals), hours(sum(totals))]] if rows else (),
        frozenset(range(1, len(used) + 2)),
    )


def _hours_takeaway(pays: Comparison) -> str:
    if not pays.groups:
        return "No hours are known yet."
    totals = {task: sum(group.hours_by_task[task] for group in pays.groups) for task in TASKS}
    most = max(totals, key=lambda task: totals[task])
    return f"Of {pays.hours:,.0f} hours, {TASK_WORDS[most]} took most: {totals[most]:,.0f}."


def _sold_section(report: QuarterReport) -> Section:
    some = bool(report.types)
    text = [] if some else [f"Nothing was finished in {report.quarter.name}."]
    tables = [_sold_table(report)] if some else []
    return Section("sold", "What sold, what failed", text, (), tables)


def _sold_table(report: QuarterReport) -> Table:
    currency, types = report.currency, report.types
    rows = [
        [
            line.type,
            str(line.n_ended),
            str(line.n_sold),
            str(line.n_failed),
            exact(line.taken_in, currency),
            exact(line.profit, currency),
            hours(line.hours),
            rate(line.per_hour, currency),
            exact(line.failed_cost, currency),
            hours(line.failed_hours),
        ]
        for line in types
    ]
    foot = [
        "All units",
        str(sum(line.n_ended for line in types)),
        str(sum(line.n_sold for line in types)),
        str(sum(line.n_failed for line in types)),
        exact(sum(line.taken_in for line in types), currency),
        exact(sum(line.profit for line in types), currency),
        hours(sum(line.hours for line in types)),
        "",
        exact(sum(line.failed_cost for line in types), currency),
        hours(sum(line.failed_hours for line in types)),
    ]
    counts = ["Type", "Finished", "Sold", "Failed", "Taken in", "Kept", "Hours", "An hour"]
    return Table(
        "Units finished in the quarter",
        [*counts, "Lost on failed units", "Hours on failed"],
        rows,
        [foot],
        frozenset(range(1, 10)),
        wide=True,
    )
