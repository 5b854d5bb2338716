"""The Details of the quarter's report: one section a question, each with its sentence, its picture and its tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pricing.advice.change import Change
from pricing.advice.compare import Comparison
from pricing.advice.mix import LEAST, REACH, Mix
from pricing.advice.money import IN, OUT, TASKS
from pricing.advice.quarter import QuarterReport, Waiting
from pricing.pages import quarter_words as words
from pricing.pages.compare_text import wild_words
from pricing.pages.parts import MONEY_WORDS, MOST_ROWS, TASK_WORDS, Section, Shown, Table, exact, hours, rate, span
from pricing.pages.text import chance, day, money


def sections(report: QuarterReport, draw: bool) -> list[Section]:
    """All sections that come from the books; `draw` False leaves the pictures out."""
    return [
        _money_section(report, draw),
        _pays_section(report, draw),
        _sold_section(report),
        _waiting_section(report, draw),
        _buying_section(report),
        _repairs_section(report),
        _gaps_section(report),
        _rows_section(report),
    ]


def _money_section(report: QuarterReport, draw: bool) -> Section:
    currency = report.currency
    rows = [
        [quarter.name, str(each.n_sold), str(each.n_failed), exact(each.taken_in, currency), exact(each.profit, currency), hours(each.hours), rate(each.per_hour, currency)]
        for quarter, each in report.trend
    ]
    table = Table("By quarter", ["Quarter", "Sold", "Failed", "Taken in", "Kept", "Hours", "An hour"], rows, right=frozenset(range(1, 7)))
    picture = None
    if draw:
        from pricing.pages import charts

        picture = charts.by_quarter(report.trend, currency)
    tables = [
        _change_table(change, caption, currency)
        for change, caption in (
            (report.change_profit, f"Why {report.quarter.name} kept more or less than {report.quarter.before.name}"),
            (report.change_per_hour, f"Why an hour paid more or less than in {report.quarter.before.name}"),
            (report.year_change_per_hour, f"Why an hour paid more or less than in {report.quarter.year_before.name}"),
        )
        if change is not None
    ]
    paragraphs = [] if tables else ["The change cannot be split: one of the two quarters has no finished unit."]
    return Section("money", "Money", paragraphs, [Shown("Kept by quarter", words.trend_takeaway(report), table, picture)], tables)


def _change_table(change: Change, caption: str, currency: str) -> Table:
    rows = [["before", exact(change.before, currency)], *[[f"by {name}", exact(part, currency)] for name, part in change.parts.items()]]
    return Table(
        caption,
        ["", "Money"],
        rows,
        [["now", exact(change.after, currency)]],
        frozenset({1}),
        note="Each part is what changing it alone does, averaged over all orders; they add up.",
    )


def _pays_section(report: QuarterReport, draw: bool) -> Section:
    currency, pays = report.currency, report.pays
    rows = [
        [
            group.name,
            str(group.n),
            str(group.n_sold),
            str(group.n_failed),
            hours(group.hours),
            exact(group.profit, currency),
            rate(group.per_hour, currency),
            span(group.low, group.high, group.n, currency),
            money(group.pooled, currency),
            chance(group.chance_best),
            chance(group.chance_target),
            "-" if group.days_held is None else f"{group.days_held:.0f}",
            exact(group.tied_up, currency),
        ]
        for group in pays.groups
    ]
    foot = [
        [
            "All",
            str(pays.n),
            str(sum(g.n_sold for g in pays.groups)),
            str(sum(g.n_failed for g in pays.groups)),
            hours(pays.hours),
            exact(pays.profit, currency),
            rate(pays.per_hour, currency),
            "-" if pays.low is None or pays.high is None else f"{money(pays.low, currency)} to {money(pays.high, currency)}",
            "",
            "",
            "",
            "",
            exact(sum(g.tied_up for g in pays.groups), currency),
        ]
    ]
    table = Table(
        f"By type, the whole record to {day(report.quarter.last)}, {report.quarter.last.year}",
        ["Type", "Units", "Sold", "Failed", "Hours", "Kept", "An hour", "4 of 5", "Next ones", "Best", f"Beats {money(report.target, currency)}", "Days held", "Tied up"],
        rows,
        foot if rows else (),
        frozenset({1, 2, 3, 4, 5, 6, 8, 11, 12}),
        wide=True,
        note=f"Failed units are counted; {hours(pays.trip_hours)} hours of {pays.n_trips} empty trips are shared out. Next ones: what to expect, few units leaning on the rest.",
    )
    by_task = _hours_table(pays)
    wild = [wild_words(group, currency) for group in pays.groups if group.wild]
    by_group = Shown("Return per hour by type", words.pays_takeaway(report), table)
    by_hours = Shown("Where the hours go", _hours_takeaway(pays), by_task)
    if draw and pays.groups:
        from pricing.pages import charts

        by_group = replace(by_group, picture=charts.per_hour(pays, currency))
        by_hours = replace(by_hours, picture=charts.hours(pays, TASK_WORDS))
    return Section("pays", "What pays per hour", wild, [by_group, by_hours])


def mix_section(mix: Mix | None, n: int, currency: str) -> Section:
    """What if: the best mix of types for the hours and spots there are."""
    if mix is None:
        return Section("what-if", "What if you changed the mix", [f"A best mix needs {LEAST} ended units with days and hours; there are {n:,}."])
    rows = [[name, f"{now * 52 / 12:.1f}", f"{best * 52 / 12:.1f}"] for name, now, best in mix.parts]
    says = f"In {mix.hours:.1f} hours a week, as many as so far, and {mix.spots:g} spots, the best mix makes about {money(mix.profit, currency)} a week; "
    says += f"as so far it is {money(mix.profit_now, currency)}."
    more = f"An hour more a week would add {money(mix.worth_of_hour, currency)}, a spot more {money(mix.worth_of_spot, currency)}."
    rests = f"It rests on this: the next unit of a type pays as the last ones did, no more than {REACH:g} times your usual number of it can be found, and no season."
    return Section("what-if", "What if you changed the mix", [says, more, rests], (), [Table("Units a month", ["Type", "So far", "Best"], rows, right=frozenset({1, 2}))])


def _hours_table(pays: Comparison) -> Table:
    used = [task for task in TASKS if any(group.hours_by_task[task] for group in pays.groups)]
    rows = [[group.name, *[hours(group.hours_by_task[task]) for task in used], hours(sum(group.hours_by_task[task] for task in used))] for group in pays.groups]
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
    currency = report.currency
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
        for line in report.types
    ]
    profit, taken, worked = (sum(getattr(line, name) for line in report.types) for name in ("profit", "taken_in", "hours"))
    sunk, sunk_hours = sum(line.failed_cost for line in report.types), sum(line.failed_hours for line in report.types)
    foot = (
        [
            [
                "All units",
                str(sum(line.n_ended for line in report.types)),
                str(sum(line.n_sold for line in report.types)),
                str(sum(line.n_failed for line in report.types)),
                exact(taken, currency),
                exact(profit, currency),
                hours(worked),
                "",
                exact(sunk, currency),
                hours(sunk_hours),
            ]
        ]
        if rows
        else []
    )
    text = [] if rows else [f"Nothing was finished in {report.quarter.name}."]
    return Section(
        "sold",
        "What sold, what failed",
        text,
        (),
        [
            Table(
                "Units finished in the quarter",
                ["Type", "Finished", "Sold", "Failed", "Taken in", "Kept", "Hours", "An hour", "Lost on failed", "Hours on failed"],
                rows,
                foot,
                frozenset(range(1, 10)),
                wide=True,
            )
        ]
        if rows
        else [],
    )


def _waiting_section(report: QuarterReport, draw: bool) -> Section:
    curve = report.curve
    tables = (
        [
            Table(
                f"Unsold units, as of {day(report.as_of)}, {report.as_of.year}",
                ["Unit", "Type", "Where it stands", "Days", "Asked", "In it", "Next step"],
                [waiting_row(report, each) for each in report.waiting[:MOST_ROWS]],
                [["All", f"{len(report.waiting)} units", "", "", "", exact(sum(each.put_in for each in report.waiting), report.currency), ""]],
                frozenset({3, 4, 5}),
                note=_left(len(report.waiting)),
            )
        ]
        if report.waiting
        else []
    )
    if curve is None:
        return Section("waiting", "Days to sell, and what waits", [words.waiting_takeaway(None)], (), tables)
    marks = [mark for mark in (3, 7, 14, 21, 30, 45, 60, 90) if mark <= max(curve.longest, 7)]
    names = [("all units", curve), *report.curve_by_type]
    rows = [
        [
            name,
            str(each.n),
            str(each.n_unsold),
            *[f"{100 * each.share_at(mark):.0f}" if mark <= each.longest else "-" for mark in marks],
            "-" if each.half_sold_by is None else f"{each.half_sold_by:.0f}",
        ]
        for name, each in names
    ]
    table = Table(
        "Of 100 listings, how many are still unsold after so many days",
        ["", "Listings", "Unsold", *[f"{mark} days" for mark in marks], "Half sold by day"],
        rows,
        right=frozenset(range(1, len(marks) + 4)),
    )
    picture = None
    if draw:
        from pricing.pages import charts

        picture = charts.waiting(curve, report.curve_by_type)
    return Section("waiting", "Days to sell, and what waits", (), [Shown("How long listings wait", words.waiting_takeaway(curve), table, picture)], tables)


def _left(n: int) -> str:
    return f"{n - MOST_ROWS:,} more are in the CSV beside this page." if n > MOST_ROWS else ""


def _buying_section(report: QuarterReport) -> Section:
    past, currency = report.replay, report.currency
    rows = [
        [
            "kept under the rule",
            str(report.now.n_ended - report.now.n_uncounted - past.n_refused),
            exact(past.kept_profit, currency),
            hours(past.kept_hours),
            rate(past.kept_per_hour, currency),
        ],
        ["refused under the rule", str(past.n_refused), exact(past.refused_profit, currency), hours(past.refused_hours), rate(past.refused_per_hour, currency)],
    ]
    total = round(past.kept_profit + past.refused_profit, 2), round(past.kept_hours + past.refused_hours, 2)
    foot = [
        ["all units", str(report.now.n_ended - report.now.n_uncounted), exact(total[0], currency), hours(total[1]), rate(total[0] / total[1] if total[1] > 0 else None, currency)]
    ]
    table = Table("The buying, replayed", ["", "Units", "Kept", "Hours", "An hour"], rows, foot, frozenset({1, 2, 3, 4}))
    outcome = f"{exact(past.under_profit, currency)} for {hours(past.under_hours)} hours"
    hindsight = f"In hindsight {words.units_word(past.n_under)} paid under your {money(report.target, currency)} an hour: {outcome}."
    return Section("buying", "Buying", [words.replay_sentence(report), hindsight], (), [table])


def _repairs_section(report: QuarterReport) -> Section:
    currency = report.currency
    if not report.repairs:
        return Section("repairs", "Repairs", ["No repair was finished in the quarter."])
    rows = [
        [line.finding, f"{line.n_fixed} of {line.n}", exact(line.parts, currency), hours(line.hours), exact(line.sunk_money, currency), hours(line.sunk_hours)]
        for line in report.repairs
    ]
    n, fixed = sum(line.n for line in report.repairs), sum(line.n_fixed for line in report.repairs)
    foot = [["All", f"{fixed} of {n}", "", "", exact(sum(line.sunk_money for line in report.repairs), currency), hours(sum(line.sunk_hours for line in report.repairs))]]
    return Section(
        "repairs",
        "Repairs",
        (),
        (),
        [
            Table(
                "By what it turned out to be",
                ["Finding", "Made good", "Parts a unit", "Bench hours a unit", "Lost on failures", "Hours on failures"],
                rows,
                foot,
                frozenset({2, 3, 4, 5}),
            )
        ],
    )


def _gaps_section(report: QuarterReport) -> Section:
    if not report.gaps:
        return Section("gaps", "What is missing in your records", ["Nothing is missing that would cost you certainty."])
    rows = [
        [
            words.gap_name(gap),
            f"{gap.n_blank:,} of {gap.n:,}",
            gap.what,
            "-" if gap.per_hour is None else f"{exact(gap.per_hour, report.currency)} either way",
            f"{gap.wider:.1f} times as wide" if gap.wider > 1.05 else "-",
        ]
        for gap in report.gaps
    ]
    return Section(
        "gaps",
        "What is missing in your records",
        ["The gap that costs most stands first; all of your record is looked at, not only this quarter."],
        (),
        [Table("Blanks and what they cost", ["Not written", "Blank", "What is done about it", "An hour may be off by", "Range"], rows)],
    )


def _rows_section(report: QuarterReport) -> Section:
    currency = report.currency
    rows = report.rows
    names = [name for name in (*IN, *OUT) if any(row.money[name] for row in rows)]
    has_expense = any(row.expense for row in rows)
    signed = {name: 1.0 if name in IN else -1.0 for name in names}
    head = ["Unit", "What", "Day", "How it ended", *[MONEY_WORDS[name] for name in names], *(["Expense"] if has_expense else []), "Kept", "Hours"]
    shown = rows[:MOST_ROWS]

    def cells(row: Any) -> list[str]:
        return [
            row.unit or "-",
            row.type or "-",
            row.ended.isoformat(),
            row.outcome + ("" if row.counted else ", not counted"),
            *[exact(signed[name] * row.money[name], currency) for name in names],
            *([exact(-row.expense, currency)] if has_expense else []),
            exact(row.profit, currency),
            hours(row.hours),
        ]

    def summed(label: str, part: Sequence[Any]) -> list[str]:
        return [
            label,
            f"{len(part):,} rows",
            "",
            "",
            *[exact(signed[name] * sum(row.money[name] for row in part), currency) for name in names],
            *([exact(-sum(row.expense for row in part), currency)] if has_expense else []),
            exact(sum(row.profit for row in part), currency),
            hours(sum(row.hours for row in part)),
        ]

    body = [cells(row) for row in shown]
    if len(rows) > MOST_ROWS:
        body.append(summed("the others", rows[MOST_ROWS:]))
    table = Table(
        "Every unit, empty trip and expense of the quarter",
        head,
        body,
        [summed("All", rows)] if rows else (),
        frozenset(range(4, len(head))),
        wide=True,
        note="What came in, less what went out, is what was kept. " + _left(len(rows)),
    )
    return Section("rows", "The rows behind the totals", [] if rows else [f"{report.quarter.name} has no rows."], (), [table] if rows else [])


def waiting_row(report: QuarterReport, each: Waiting) -> list[str]:
    """Unit, type, where it stands, days, asked, what is in it, next step."""
    return [
        each.unit or "-",
        each.type,
        each.state,
        "-" if each.days is None else str(each.days),
        "-" if each.asked is None else money(each.asked, report.currency),
        exact(each.put_in, report.currency),
        words.step_words(each, report),
    ]
