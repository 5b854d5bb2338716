"""`report` in the terminal: the first page and where the files are; and the totals as JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from pricing.pages.compare_text import front_lines, plain_json
from pricing.pages.quarter_page import Page
from pricing.pages.quarter_words import step_words
from pricing.pages.text import wrap
from pricing.quarter.change import Change
from pricing.quarter.money import Totals
from pricing.quarter.quarter import QuarterReport


def report_text(report: QuarterReport, page: Page, files: Sequence[str]) -> list[str]:
    """At most 60 columns, but for the names of files."""
    lines = ["DEMO (invented)"] if page.demo else []
    lines += [f"THE QUARTER {report.quarter.name}", *wrap(page.headline), ""]
    for said in front_lines(report.front, report.currency):
        lines += wrap(said)
    return [*lines, "", "Written:", *[f"  {name}" for name in files]]


def report_json(report: QuarterReport, page: Page, files: Sequence[str]) -> Mapping[str, Any]:
    """Totals of the quarter, of the one before and of a year ago, the changes, the groups, and the
    files."""
    table = {
        "quarter": report.quarter.name,
        "as_of": report.as_of.isoformat(),
        "currency": report.currency,
        "state": report.state,
        "said": page.front,
        "front": asdict(report.front),
        "now": _totals(report.now),
        "before": _totals(report.before),
        "year_ago": _totals(report.year_ago),
        "low": report.low,
        "high": report.high,
        "change_profit": _change(report.change_profit),
        "change_per_hour": _change(report.change_per_hour),
        "types": [
            {
                "type": line.type,
                "ended": line.n_ended,
                "sold": line.n_sold,
                "failed": line.n_failed,
                "taken_in": line.taken_in,
                "profit": line.profit,
                "hours": line.hours,
                "return_per_hour": line.per_hour,
            }
            for line in report.types
        ],
        "waiting": [
            {
                "unit": each.unit,
                "type": each.type,
                "state": each.state,
                "days": each.days,
                "asked": each.asked,
                "in_it": each.put_in,
                "next": step_words(each, report),
            }
            for each in report.waiting
        ],
        "files": list(files),
    }
    return dict(plain_json(table))


def _totals(totals: Totals) -> dict[str, Any]:
    return {
        "ended": totals.n_ended,
        "sold": totals.n_sold,
        "failed": totals.n_failed,
        "returned": totals.n_returned,
        "not_counted": totals.n_uncounted,
        "taken_in": totals.taken_in,
        "money": dict(totals.money),
        "expenses": totals.expenses,
        "profit": totals.profit,
        "hours": totals.hours,
        "return_per_hour": totals.per_hour,
        "put_in_for_blanks": {"money": totals.assumed_money, "hours": totals.assumed_hours},
    }


def _change(change: Change | None) -> dict[str, Any] | None:
    return (
        None
        if change is None
        else {"before": change.before, "after": change.after, "parts": dict(change.parts)}
    )
