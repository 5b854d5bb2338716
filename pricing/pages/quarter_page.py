"""The quarter on a page: one HTML file that holds everything it shows and asks nothing of the
network. First what was kept, what to stop, what to do more of, what to do now; the rest stands
under Details, every picture with a sentence of what it shows and its numbers as a table."""

from base64 import b64encode
from collections.abc import Iterable, Mapping, Sequence
from hashlib import sha256
from pathlib import Path
from typing import Any

from markupsafe import Markup

from pricing.basis.frozen import frozen, named
from pricing.basis.money_form import place_of_money
from pricing.pages import parts
from pricing.pages import quarter_words as words
from pricing.pages.compare_text import front_lines, front_view, plain_json
from pricing.pages.parts import MONEY_WORDS, Column, Section, Table, hours, in_columns, rate
from pricing.pages.quarter_details import sections
from pricing.pages.quarter_words import step_words
from pricing.pages.text import day, exact, wrap
from pricing.quarter.front import InDoubt, QuarterSums
from pricing.quarter.money import IN, OUT, Totals
from pricing.quarter.quarter import QuarterReport
from pricing.wording import drawing
from pricing.wording.first_page import NAMED, figure

ORDER = (
    "asked", "box", "money", "pays", "what-if", "sold", "estimates", "prices", "waiting",
    "limits", "repairs", "gaps", "tax-folder", "rows",
)  # fmt: skip

SCRIPT = (Path(__file__).parent / "templates" / "quarter.js").read_text(encoding="utf-8")
SCRIPT_HASH = f"'sha256-{b64encode(sha256(SCRIPT.encode()).digest()).decode()}'"


@frozen
class Page:
    """The whole report as text, ready for the template."""

    title: str
    headline: str
    demo: bool
    front: Mapping[str, Any]
    sections: Sequence[Section]


def html(page: Page) -> str:
    """The page as one HTML file."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    how: Any = {"trim_blocks": True, "lstrip_blocks": True, "undefined": StrictUndefined}
    environment = Environment(loader=PackageLoader("pricing.pages"), autoescape=True, **how)
    drawn = {"money_line": parts.money_line, "sign": lambda name: Markup(drawing.sign(name))}
    told = {"page": page, "script": SCRIPT, "script_hash": SCRIPT_HASH, **drawn}
    return environment.get_template("quarter.html").render(told)


def make_page(
    report: QuarterReport,
    *,
    demo: bool = False,
    draw: bool = True,
    more: Any = (),
    set_aside: int = 0,
) -> Page:
    """Words and tables of the report. more: more sections of Details; set_aside: rows not taken."""
    every = [*asked_sections(report), box_section(report, set_aside), *sections(report, draw)]
    return Page(
        title=f"The quarter {report.quarter.name}",
        headline=words.headline(report),
        demo=demo,
        front=front_view(report.front, report.currency),
        sections=sorted([*every, *more], key=lambda section: ORDER.index(section.key)),
    )


def asked_sections(report: QuarterReport) -> list[Section]:
    """Values in doubt, with the sums without them, as written and as likely meant."""
    currency, place = report.currency, place_of_money(report.currency)

    def sums(side: QuarterSums | None) -> str | None:
        if side is None:
            return None
        return f"{exact(side.profit, currency)}, {rate(side.per_hour, currency)} an hour"

    def meant(one: InDoubt) -> str | None:
        return None if one.likely is None else figure(one.column, one.likely, place)

    columns: Sequence[Column] = (
        ("Unit", "unit", ""),
        ("Written", lambda one: f"{NAMED[one.column]} {figure(one.column, one.value, place)}", ""),
        ("Meant?", meant, ""), ("In", "without.quarter", ""),
        ("Kept without it", lambda one: sums(one.without), ""),
        ("As written", lambda one: sums(one.written), ""),
        ("As meant", lambda one: sums(one.meant), ""),
    )  # fmt: skip
    table = in_columns("Values that look like slips", columns, report.front.asked, currency)
    title = "In no sum until you answer"
    return [Section("asked", title, (), (), [table])] if report.front.asked else []


def box_section(report: QuarterReport, set_aside: int) -> Section:
    """The money box, and what stands outside it or was filled in."""
    return Section("box", "The money box", _notes(report, set_aside), (), [money_box(report)])


def money_box(report: QuarterReport) -> Table:
    """Revenue, costs, profit, hours and return per hour; now, the quarter before, a year ago."""
    sides, currency = (report.now, report.before, report.year_ago), report.currency

    def row(name: str, values: Iterable[float | None]) -> list[str]:
        return [name, *(rate(value, currency) for value in values)]

    rows = []
    for name in (*IN, *OUT):
        sign, word = (1, MONEY_WORDS[name]) if name in IN else (-1, MONEY_WORDS[name].lower())
        paid = [sign * side.money[name] for side in sides]
        if any(paid) or name in ("price", "paid", "parts"):
            rows.append(row(word if name in IN else f"less {word}", paid))
    if any(side.expenses for side in sides):
        rows.append(row("less expenses of no unit", [-side.expenses for side in sides]))
    foot = [
        row("Kept", [side.profit for side in sides]),
        ["Hours", *[hours(side.hours) for side in sides]],
        row("An hour", [side.per_hour for side in sides]),
    ]
    names = (report.quarter.name, report.quarter.before.name, report.quarter.year_before.name)
    return Table("The money box", ["", *names], rows, foot, frozenset({1, 2, 3}), quiet=True)


def _notes(report: QuarterReport, set_aside: int) -> list[str]:
    now, out = report.now, []
    filled = [f"{hours(now.assumed_hours)} hours"] * (now.assumed_hours > 0)
    filled += [f"{exact(now.assumed_money, report.currency)} of costs"] * (now.assumed_money > 0)
    if filled:
        blank = f"Filled in where your sheet is blank: {' and '.join(filled)}"
        never = "What you wrote down is never changed."
        out.append(f"{blank}, at your own usual or your settings. {never}")
        put_in = exact(sum(each.put_in for each in report.waiting), report.currency)
        here = words.units_word(len(report.waiting))
        out.append(
            f"{hours(report.open_hours)} hours that you wrote down and {put_in} stand in {here}"
            f" still here on {day(report.as_of)}; they count when those end."
        )
    why = "(another currency, or a cell that cannot be read)"
    aside = f" of the files you added could not be taken {why} and"
    told = (
        (now.n_uncounted, "sold unit has no price and stands", "sold units have no price and stand",
         " outside all money."),
        (set_aside, f"row{aside} stands", f"rows{aside} stand", " outside everything here."),
        (report.n_undated, "ended unit has", "ended units have",
         " no day and can be in no quarter."),
        (now.n_trips, "drive", "drives",
         f" brought nothing home: {hours(now.trip_hours)} hours, counted."),
    )  # fmt: skip
    for n, one, many, rest in told:
        if n:
            count = words.capital(words.count_word(n))
            out.append(f"{count} {one if n == 1 else many}{rest}")
    return out


# ---- `report` in the terminal: the first page and where the files are; and the totals as JSON
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
        "front": report.front,
        **{side: _totals(getattr(report, side)) for side in ("now", "before", "year_ago")},
        "low": report.front.now.low,
        "high": report.front.now.high,
        **{name: getattr(report, name) for name in changed},
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
        "together": report.sells_for,
        "files": list(files),
    }  # fmt: skip
    return dict(plain_json(table))


def _totals(totals: Totals) -> dict[str, Any]:
    put_in = named(totals, "money=assumed_money hours=assumed_hours")
    names = (
        "ended=n_ended sold=n_sold failed=n_failed returned=n_returned not_counted=n_uncounted"
        " taken_in money expenses profit hours return_per_hour=per_hour"
    )
    return named(totals, names) | {"money": dict(totals.money), "put_in_for_blanks": put_in}
