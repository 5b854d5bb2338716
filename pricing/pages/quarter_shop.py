"""The Details on the shop: what waits, the buying, the repairs, what is missing in the records, and
the rows behind the totals."""

from __future__ import annotations

from collections.abc import Sequence

from pricing.pages import quarter_words as words
from pricing.pages.parts import MONEY_WORDS, MOST_ROWS, Section, Shown, Table, hours, rate
from pricing.pages.text import day, exact, money
from pricing.quarter.money import IN, OUT
from pricing.quarter.quarter import MoneyRow, QuarterReport
from pricing.quarter.shelf import OnShelf
from pricing.quarter.survival import Curve


def waiting_section(report: QuarterReport, draw: bool) -> Section:
    """Days to sell, unsold units counted, and every unit that waits with its next step."""
    curve, title = report.curve, "Days to sell, and what waits"
    takeaway = words.waiting_takeaway(curve)
    tables = [_unsold_table(report)] if report.waiting else []
    if curve is None:
        return Section("waiting", title, [takeaway], (), tables)
    picture = None
    if draw:
        from pricing.pages import charts

        picture = charts.waiting(curve, report.curve_by_type)
    table = _still_unsold_table(curve, report.curve_by_type)
    shown = Shown("How long listings wait", takeaway, table, picture)
    return Section("waiting", title, (), [shown], tables)


def _unsold_table(report: QuarterReport) -> Table:
    put_in = exact(sum(each.put_in for each in report.waiting), report.currency)
    return Table(
        f"Unsold units, as of {day(report.as_of)}, {report.as_of.year}",
        ["Unit", "Type", "Where it stands", "Days", "Asked", "In it", "Next step"],
        [waiting_row(report, each) for each in report.waiting[:MOST_ROWS]],
        [["All", f"{len(report.waiting)} units", "", "", "", put_in, ""]],
        frozenset({3, 4, 5}),
        note=_left(len(report.waiting)),
    )


def _still_unsold_table(curve: Curve, by_type: Sequence[tuple[str, Curve]]) -> Table:
    """A column for each mark that the longest listing reached."""
    marks = [mark for mark in (3, 7, 14, 21, 30, 45, 60, 90) if mark <= max(curve.longest, 7)]
    rows = [
        [
            name,
            str(each.n),
            str(each.n_unsold),
            *[
                f"{100 * each.share_at(mark):.0f}" if mark <= each.longest else "-"
                for mark in marks
            ],
            "-" if each.half_sold_by is None else f"{each.half_sold_by:.0f}",
        ]
        for name, each in [("all units", curve), *by_type]
    ]
    return Table(
        "Of 100 listings, how many are still unsold after so many days",
        ["", "Listings", "Unsold", *[f"{mark} days" for mark in marks], "Half sold by day"],
        rows,
        right=frozenset(range(1, len(marks) + 4)),
    )


def _left(n: int) -> str:
    return f"{n - MOST_ROWS:,} more are in the CSV beside this page." if n > MOST_ROWS else ""


def buying_section(report: QuarterReport) -> Section:
    """What was paid against the limit, and the quarter again under the rule that refuses what does
    not pay."""
    past, currency = report.replay, report.currency
    rows = [
        [
            "kept under the rule",
            str(report.now.n_ended - report.now.n_uncounted - past.n_refused),
            exact(past.kept_profit, currency),
            hours(past.kept_hours),
            rate(past.kept_per_hour, currency),
        ],
        [
            "refused under the rule",
            str(past.n_refused),
            exact(past.refused_profit, currency),
            hours(past.refused_hours),
            rate(past.refused_per_hour, currency),
        ],
    ]
    total = (
        round(past.kept_profit + past.refused_profit, 2),
        round(past.kept_hours + past.refused_hours, 2),
    )
    foot = [
        [
            "all units",
            str(report.now.n_ended - report.now.n_uncounted),
            exact(total[0], currency),
            hours(total[1]),
            rate(total[0] / total[1] if total[1] > 0 else None, currency),
        ]
    ]
    table = Table(
        "The buying, replayed",
        ["", "Units", "Kept", "Hours", "An hour"],
        rows,
        foot,
        frozenset({1, 2, 3, 4}),
    )
    outcome = f"{exact(past.under_profit, currency)} for {hours(past.under_hours)} hours"
    hindsight = (
        f"In hindsight {words.units_word(past.n_under)} paid under your"
        f" {money(report.target, currency)} an hour: {outcome}."
    )
    return Section("buying", "Buying", [words.replay_sentence(report), hindsight], (), [table])


def repairs_section(report: QuarterReport) -> Section:
    """k of n, parts and hours by repair, and the money sunk in failures."""
    currency = report.currency
    if not report.repairs:
        return Section("repairs", "Repairs", ["No repair was finished in the quarter."])
    rows = [
        [
            line.finding,
            f"{line.n_fixed} of {line.n}",
            exact(line.parts, currency),
            hours(line.hours),
            exact(line.sunk_money, currency),
            hours(line.sunk_hours),
        ]
        for line in report.repairs
    ]
    n, fixed = sum(line.n for line in report.repairs), sum(line.n_fixed for line in report.repairs)
    foot = [
        [
            "All",
            f"{fixed} of {n}",
            "",
            "",
            exact(sum(line.sunk_money for line in report.repairs), currency),
            hours(sum(line.sunk_hours for line in report.repairs)),
        ]
    ]
    return Section(
        "repairs",
        "Repairs",
        (),
        (),
        [
            Table(
                "By what it turned out to be",
                [
                    "Finding",
                    "Fixed",
                    "Parts a unit",
                    "Bench hours a unit",
                    "Lost on failed units",
                    "Hours on failed units",
                ],
                rows,
                foot,
                frozenset({2, 3, 4, 5}),
            )
        ],
    )


def gaps_section(report: QuarterReport) -> Section:
    """What is missing in the records and what each gap costs in certainty."""
    if not report.gaps:
        return Section(
            "gaps",
            "What is missing in your records",
            ["Nothing is missing that would cost you certainty."],
        )
    rows = [
        [
            words.gap_name(gap),
            f"{gap.n_blank:,} of {gap.n:,}",
            gap.what,
            "-"
            if gap.per_hour is None
            else f"could be off by {exact(gap.per_hour, report.currency)}",
            f"{gap.wider:.1f} times as wide" if gap.wider > 1.05 else "-",
        ]
        for gap in report.gaps
    ]
    return Section(
        "gaps",
        "What is missing in your records",
        [
            "The gap that costs most stands first; all of your record is looked at, not only this"
            " quarter."
        ],
        (),
        [
            Table(
                "Blanks and what they cost",
                ["Not written", "Blank", "What is done about it", "An hour may be off by", "Range"],
                rows,
            )
        ],
    )


def rows_section(report: QuarterReport) -> Section:
    """Every ended unit with its money: the rows that all totals add up."""
    text = [] if report.rows else [f"{report.quarter.name} has no rows."]
    tables = [_rows_table(report)] if report.rows else []
    return Section("rows", "The rows behind the totals", text, (), tables)


def _rows_table(report: QuarterReport) -> Table:
    currency = report.currency
    rows = report.rows
    names = [name for name in (*IN, *OUT) if any(row.money[name] for row in rows)]
    has_expense = any(row.expense for row in rows)
    signed = {name: 1.0 if name in IN else -1.0 for name in names}
    head = [
        "Unit",
        "What",
        "Day",
        "How it ended",
        *[MONEY_WORDS[name] for name in names],
        *(["Expense"] if has_expense else []),
        "Kept",
        "Hours",
    ]
    shown = rows[:MOST_ROWS]

    def cells(row: MoneyRow) -> list[str]:
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

    def summed(label: str, part: Sequence[MoneyRow]) -> list[str]:
        return [
            label,
            f"{len(part):,} rows",
            "",
            "",
            *[
                exact(signed[name] * sum(row.money[name] for row in part), currency)
                for name in names
            ],
            *([exact(-sum(row.expense for row in part), currency)] if has_expense else []),
            exact(sum(row.profit for row in part), currency),
            hours(sum(row.hours for row in part)),
        ]

    body = [cells(row) for row in shown]
    if len(rows) > MOST_ROWS:
        body.append(summed("the others", rows[MOST_ROWS:]))
    return Table(
        "Every unit, empty trip and expense of the quarter",
        head,
        body,
        [summed("All", rows)],
        frozenset(range(4, len(head))),
        wide=True,
        note="What came in, less what went out, is what was kept. " + _left(len(rows)),
    )


def waiting_row(report: QuarterReport, each: OnShelf) -> list[str]:
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
