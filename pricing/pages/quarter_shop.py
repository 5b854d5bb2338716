"""The Details on the shop: what waits, repairs, gaps, and the rows of the totals."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from pricing.pages import quarter_words as words
from pricing.pages.parts import (
    MONEY_WORDS,
    MOST_ROWS,
    Column,
    Section,
    Shown,
    Table,
    in_columns,
    summed,
)
from pricing.pages.text import day, exact
from pricing.quarter.gaps import Gap
from pricing.quarter.money import IN, OUT
from pricing.quarter.quarter import MoneyRow, QuarterReport
from pricing.quarter.survival import Curve


def waiting_section(report: QuarterReport, draw: bool) -> Section:
    """Days to sell, unsold units counted, and every unit that waits with its next step."""
    curve, title, more = report.curve, "Days to sell, and what waits", words.shelf_takeaway(report)
    takeaway = words.waiting_takeaway(curve)
    tables = [_unsold_table(report)] if report.waiting else []
    if curve is None:
        return Section("waiting", title, [takeaway, *more], (), tables)
    picture = None
    if draw:
        from pricing.pages import charts

        picture = charts.waiting(curve, report.curve_by_type)
    table = _still_unsold_table(curve, report.curve_by_type)
    shown = Shown("How long listings wait", takeaway, table, picture)
    return Section("waiting", title, more, [shown], tables)


def _unsold_table(report: QuarterReport) -> Table:
    columns: Sequence[Column] = (
        ("Unit", lambda each: each.unit or "-", ""), ("Type", "type", ""),
        ("Where it stands", "state", ""), ("Days", "days", "n"), ("Asked", "asked", "~"),
        ("In it", "put_in", "$"), ("Next step", lambda each: words.step_words(each, report), ""),
    )  # fmt: skip
    n, currency = len(report.waiting), report.currency
    put_in = exact(sum(each.put_in for each in report.waiting), currency)
    foot = {"Type": f"{n} units", "In it": put_in}
    caption = f"Unsold units, as of {day(report.as_of)}, {report.as_of.year}"
    shown = report.waiting[:MOST_ROWS]
    return in_columns(caption, columns, shown, currency, "All", foot, note=_left(n))


def _still_unsold_table(curve: Curve, by_type: Sequence[tuple[str, Curve]]) -> Table:
    """A column for each mark that the longest listing reached."""

    def at(mark: int) -> Column:
        def left(named: tuple[str, Curve]) -> str:
            each = named[1]
            return f"{100 * each.share_at(mark):.0f}" if mark <= each.longest else "-"

        return f"{mark} days", left, "n"

    marks = [mark for mark in (3, 7, 14, 21, 30, 45, 60, 90) if mark <= max(curve.longest, 7)]
    columns: list[Column] = [
        ("", lambda named: named[0], ""), ("Listings", lambda named: named[1].n, "n"),
        ("Unsold", lambda named: named[1].n_unsold, "n"), *map(at, marks),
        ("Half sold by day", lambda named: named[1].half_sold_by, "d"),
    ]  # fmt: skip
    caption = "Of 100 listings, how many are still unsold after so many days"
    return in_columns(caption, columns, [("all units", curve), *by_type], "")


def _left(n: int) -> str:
    return f"{n - MOST_ROWS:,} more are in the CSV beside this page." if n > MOST_ROWS else ""


def repairs_section(report: QuarterReport) -> Section:
    """k of n, parts and hours by repair, and the money sunk in failures."""
    if not report.repairs:
        return Section("repairs", "Repairs", ["No repair was finished in the quarter."])
    columns: Sequence[Column] = (
        ("Finding", "finding", ""), ("Fixed", lambda line: f"{line.n_fixed} of {line.n}", ""),
        ("Parts a unit", "parts", "$"), ("Bench hours a unit", "hours", "h"),
        ("Lost on failed units", "sunk_money", "$+"), ("Hours on failed units", "sunk_hours", "h+"),
    )  # fmt: skip
    n, fixed = sum(line.n for line in report.repairs), sum(line.n_fixed for line in report.repairs)
    told = ("By what it turned out to be", columns, report.repairs, report.currency, "All")
    return Section("repairs", "Repairs", (), (), [in_columns(*told, {"Fixed": f"{fixed} of {n}"})])


def gaps_section(report: QuarterReport) -> Section:
    """What is missing in the records and what each gap costs in certainty."""
    title = "What is missing in your records"
    if not report.gaps:
        return Section("gaps", title, ["Nothing is missing that would cost you certainty."])

    def may_be_off(gap: Gap) -> str | None:
        off = gap.per_hour
        return None if off is None else f"could be off by {exact(off, report.currency)}"

    columns: Sequence[Column] = (
        ("Not written", words.gap_name, ""),
        ("Blank", lambda gap: f"{gap.n_blank:,} of {gap.n:,}", ""),
        ("What is done about it", "what", ""), ("An hour may be off by", may_be_off, ""),
        ("Range", lambda gap: f"{gap.wider:.1f} times as wide" if gap.wider > 1.05 else "-", ""),
    )  # fmt: skip
    every = "all of your record is looked at, not only this quarter"
    first = f"The gap that costs most stands first; {every}."
    table = in_columns("Blanks and what they cost", columns, report.gaps, report.currency)
    return Section("gaps", title, [first], (), [table])


def rows_section(report: QuarterReport) -> Section:
    """Every ended unit with its money: the rows that all totals add up."""
    text = [] if report.rows else [f"{report.quarter.name} has no rows."]
    tables = [_rows_table(report)] if report.rows else []
    return Section("rows", "The rows behind the totals", text, (), tables)


def _rows_table(report: QuarterReport) -> Table:
    rows = report.rows
    names = [name for name in (*IN, *OUT) if any(row.money[name] for row in rows)]

    def signed(name: str) -> Callable[[MoneyRow], float]:
        return lambda row: (1.0 if name in IN else -1.0) * row.money[name]

    expense: Column = ("Expense", lambda row: -row.expense, "$+")
    columns: list[Column] = [
        ("Unit", lambda row: row.unit or "-", ""), ("What", lambda row: row.type or "-", ""),
        ("Day", lambda row: row.ended.isoformat(), ""),
        ("How it ended", lambda row: row.outcome + ("" if row.counted else ", not counted"), ""),
        *((MONEY_WORDS[name], signed(name), "$+") for name in names),
        *([expense] if any(row.expense for row in rows) else []),
        ("Kept", "profit", "$+"), ("Hours", "hours", "h+"),
    ]  # fmt: skip

    def added_up(label: str, part: Sequence[MoneyRow]) -> list[str]:
        sums = summed(columns, part, report.currency)
        return [label, f"{len(part):,} rows", *(sums.get(head, "") for head, *_ in columns[2:])]

    note = "What came in, less what went out, is what was kept. " + _left(len(rows))
    caption, shown = "Every unit, empty trip and expense of the quarter", rows[:MOST_ROWS]
    told = in_columns(caption, columns, shown, report.currency, wide=True, note=note)
    others = [added_up("the others", rows[MOST_ROWS:])] if len(rows) > MOST_ROWS else []
    return replace(told, rows=[*told.rows, *others], foot=[added_up("All", rows)])
