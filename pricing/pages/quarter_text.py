"""`report` in the terminal: the first page and where the files are; and the totals as JSON."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any

from pricing.pages.compare_text import front_lines, plain_json
from pricing.pages.quarter_page import Page
from pricing.pages.quarter_words import step_words
from pricing.pages.text import wrap
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
    """Totals of three quarters, the changes, the groups, and the files."""
    changed = ("change_profit", "change_per_hour")
    table = {
        "quarter": report.quarter.name,
        "as_of": report.as_of.isoformat(),
        "currency": report.currency,
        "state": report.state,
        "said": page.front,
        "front": asdict(report.front),
        **{side: _totals(getattr(report, side)) for side in ("now", "before", "year_ago")},
        "low": report.front.now.low,
        "high": report.front.now.high,
        **{name: asdict(one) if (one := getattr(report, name)) else None for name in changed},
        "types": [
            named(line, "type ended=n_ended sold=n_sold failed=n_failed taken_in profit hours"
                        " return_per_hour=per_hour")
            for line in report.types
        ],
        "waiting": [
            named(each, "unit type state days asked in_it=put_in")
            | {"next": step_words(each, report)}
            for each in report.waiting
        ],
        "together": asdict(report.sells_for),
        "files": list(files),
    }  # fmt: skip
    return dict(plain_json(table))


def named(record: object, names: str) -> dict[str, Any]:
    """Some fields of a record under their names, or under ours: `ended=n_ended`."""
    pairs = [name.partition("=") for name in names.split()]
    return {ours: getattr(record, field or ours) for ours, _, field in pairs}


def _totals(totals: Totals) -> dict[str, Any]:
    put_in = named(totals, "money=assumed_money hours=assumed_hours")
    names = (
        "ended=n_ended sold=n_sold failed=n_failed returned=n_returned not_counted=n_uncounted"
        " taken_in money expenses profit hours return_per_hour=per_hour"
    )
    return named(totals, names) | {"money": dict(totals.money), "put_in_for_blanks": put_in}
