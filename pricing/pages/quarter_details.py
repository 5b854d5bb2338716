"""The Details of the quarter's report on money: the change, what pays, the mix, what sold."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from pricing.basis.money_form import place_of_money
from pricing.pages import quarter_words as words
from pricing.pages.compare_text import LEGEND, worded
from pricing.pages.parts import (
    MONEY_WORDS,
    MOST_ROWS,
    TASK_WORDS,
    Column,
    Drawn,
    Section,
    Shown,
    Table,
    in_columns,
    summed,
)
from pricing.pages.quarter_words import capital
from pricing.pages.text import day, exact, money
from pricing.quarter.change import Change
from pricing.quarter.compare import Comparison, Group
from pricing.quarter.gaps import Gap
from pricing.quarter.mix import LEAST, REACH, Mix
from pricing.quarter.money import IN, OUT
from pricing.quarter.quarter import MoneyRow, QuarterReport
from pricing.quarter.survival import Curve
from pricing.quarter.worked import TASKS
from pricing.wording.week_words import bars


def sections(report: QuarterReport, draw: bool) -> list[Section]:
    """All sections that come from the books; `draw` False leaves the pictures out."""
    return [
        _money_section(report, draw),
        _pays_section(report, draw),
        _sold_section(report),
        waiting_section(report, draw),
        repairs_section(report),
        gaps_section(report),
        rows_section(report),
    ]


def _money_section(report: QuarterReport, draw: bool) -> Section:
    currency, now = report.currency, report.quarter
    looked_back: Sequence[Column] = (
        ("Quarter", lambda at: at[0].name, ""), ("Sold", lambda at: at[1].n_sold, "n"),
        ("Failed", lambda at: at[1].n_failed, "n"), ("Taken in", lambda at: at[1].taken_in, "$"),
        ("Kept", lambda at: at[1].profit, "$"), ("Hours", lambda at: at[1].hours, "h"),
        ("An hour", lambda at: at[1].per_hour, "$"),
    )  # fmt: skip
    table = in_columns("By quarter", looked_back, report.trend, currency)
    names = [f"{at.name[4:]} {at.name[2:4]}" for at, _ in report.trend]
    kept = bars([each.profit for _, each in report.trend], names, place_of_money(currency))
    picture = Drawn("by-quarter", kept) if draw else None
    paid = "Why an hour paid more or less than in"
    told = (
        (report.change_profit, f"Why {now.name} kept more or less than {now.before.name}"),
        (report.change_per_hour, f"{paid} {now.before.name}"),
        (report.year_change_per_hour, f"{paid} {now.year_before.name}"),
    )
    tables = [_change_table(change, caption, currency) for change, caption in told if change]
    none = "The change cannot be split: one of the two quarters has no finished unit."
    shown = Shown("Kept by quarter", words.trend_takeaway(report), table, picture)
    return Section("money", "Money", [] if tables else [none], [shown], tables)


def _change_table(change: Change, caption: str, currency: str) -> Table:
    rows = [("before", change.before), *((f"by {name}", x) for name, x in change.parts.items())]
    told = [[name, exact(value, currency)] for name, value in rows]
    now, note = [["now", exact(change.after, currency)]], "The parts add up to the change."
    return Table(caption, ["", "Money"], told, now, frozenset({1}), note=note)


def _pays_section(report: QuarterReport, draw: bool) -> Section:
    """What pays, in the words, the order and the figures of `compare`."""
    currency, pays = report.currency, report.pays
    view = worded(pays, currency)
    title = "What pays per hour, by type"
    by_group = Shown(title, view["headline"], _pays_table(report, view))
    by_hours = replace(_hours_table(pays), note=_hours_takeaway(pays))
    if draw and pays.groups:
        from pricing.pages import charts

        by_group = replace(by_group, picture=charts.per_hour(pays, currency))
    overall = [view["overall"]] if pays.groups else []
    return Section("pays", "What pays per hour", [*overall, *view["notes"]], [by_group], [by_hours])


def _pays_table(report: QuarterReport, view: Mapping[str, Any]) -> Table:
    currency, pays = report.currency, report.pays

    def said(head: str, name: str, kind: str) -> Column:
        return head, lambda both: both[0][name], kind

    def known(head: str, name: str, kind: str) -> Column:
        return head, lambda both: getattr(both[1], name), kind

    columns = (
        said("Type", "name", ""), said("Expect", "expect", "n"), said("Most", "most", ""),
        said("So far", "so_far", "n"), known("Units", "n", "n+"), known("Sold", "n_sold", "n+"),
        known("Failed", "n_failed", "n+"), known("Hours", "hours", "h+"),
        known("Kept", "profit", "$+"), said("Best", "best", ""),
        said(f"Your {money(report.target, currency)}", "mark", ""),
        known(f"Beats {money(report.target, currency)}", "chance_target", "%"),
        known("Days held", "days_held", "d"), known("Tied up", "tied_up", "$+"),
    )  # fmt: skip
    # what a chance or a mean over all types would say is left blank
    foot = {"Most": "-", "So far": money(pays.per_hour or 0.0, currency)}
    if pays.low is not None and pays.high is not None:
        foot["Most"] = f"{money(pays.low, currency)} to {money(pays.high, currency)}"
    caption = f"By type, the whole record to {day(report.as_of)}, {report.as_of.year}"
    both = list(zip(view["rows"], pays.groups, strict=True))
    note = capital(LEGEND)
    return in_columns(caption, columns, both, currency, "All", foot, wide=True, note=note)


def mix_section(mix: Mix | None, n: int, currency: str) -> Section:
    """What if: the best mix of types for the hours and spots there are."""
    title = "What if you changed the mix"
    if mix is None:
        few = f"A best mix needs {LEAST} ended units with days and hours; there are {n:,}."
        return Section("what-if", title, [few])

    def told(value: float) -> str:
        return money(value, currency)

    says = (
        f"In {mix.hours:.1f} hours a week, as many as so far, and {mix.spots:g} spots, the best mix"
        f" makes about {told(mix.profit)} a week; as so far it is {told(mix.profit_now)}."
    )
    hour, spot = told(mix.worth_of_hour), told(mix.worth_of_spot)
    more = f"An hour more a week would add {hour}, a spot more {spot}."
    rests = (
        "It rests on this: the next unit of a type pays as the last ones did, no more than"
        f" {REACH:g} times your usual number of it can be found, and no season."
    )
    a_month = ((name, now * 52 / 12, best * 52 / 12) for name, now, best in mix.parts)
    rows = [[name, f"{now:.1f}", f"{best:.1f}"] for name, now, best in a_month]
    table = Table("Units a month", ["Type", "So far", "Best"], rows, right=frozenset({1, 2}))
    return Section("what-if", title, [says, more, rests], (), [table])


def _hours_table(pays: Comparison) -> Table:
    used = [task for task in TASKS if any(group.hours_by_task[task] for group in pays.groups)]

    def spent(*tasks: str) -> Callable[[Group], float]:
        return lambda group: sum(group.hours_by_task[task] for task in tasks)

    by_task: list[Column] = [(TASK_WORDS[task], spent(task), "h+") for task in used]
    columns: list[Column] = [("Type", "name", ""), *by_task, ("all", spent(*used), "h+")]
    return in_columns("Hours by task, without empty trips", columns, pays.groups, "", "All")


def _hours_takeaway(pays: Comparison) -> str:
    if not pays.groups:
        return "No hours are known yet."
    totals = {task: sum(group.hours_by_task[task] for group in pays.groups) for task in TASKS}
    most = max(totals, key=lambda task: totals[task])
    return f"Of {pays.hours:,.0f} hours, {TASK_WORDS[most]} took most: {totals[most]:,.0f}."


def _sold_section(report: QuarterReport) -> Section:
    title = "What sold, what failed"
    if not report.types:
        return Section("sold", title, [f"Nothing was finished in {report.quarter.name}."])
    columns: Sequence[Column] = (
        ("Type", "type", ""), ("Finished", "n_ended", "n+"), ("Sold", "n_sold", "n+"),
        ("Failed", "n_failed", "n+"), ("Taken in", "taken_in", "$+"), ("Kept", "profit", "$+"),
        ("Hours", "hours", "h+"), ("An hour", "per_hour", "$"),
        ("Lost on failed units", "failed_cost", "$+"), ("Hours on failed", "failed_hours", "h+"),
    )  # fmt: skip
    told = ("Units finished in the quarter", columns, report.types, report.currency, "All units")
    return Section("sold", title, (), (), [in_columns(*told, wide=True)])


# ---- The Details on the shop: what waits, repairs, gaps, and the rows of the totals
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
