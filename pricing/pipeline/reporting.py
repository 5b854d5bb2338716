"""Two stories at the quarter's end: what pays per hour, and the quarter on a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from pricing.advice import unsold
from pricing.basis import files
from pricing.basis.decisions import right_values
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Refused, refused
from pricing.basis.rules import load as rules_of
from pricing.basis.settings import Settings
from pricing.model import saved
from pricing.model.known import known_by
from pricing.model.saved import Saved
from pricing.pages import sheets
from pricing.pages.laid_out import place_of
from pricing.proof import reportcard
from pricing.quarter import compare as comparing
from pricing.quarter import limits as calling
from pricing.quarter import worth
from pricing.quarter.front import Compared, make_front
from pricing.quarter.limits import Calls, Limits, fitting_settings, judge_limits
from pricing.quarter.mix import best_mix, weeks_of
from pricing.quarter.money import Books, keep_books
from pricing.quarter.period import Quarter, fair, last_complete, read_quarter
from pricing.quarter.quarter import QuarterReport, make_quarter
from pricing.quarter.shelf import planned, waiting_units
from pricing.quarter.stop_rules import StopRules, did, proposals
from pricing.quarter.worth import Effect, Level
from pricing.quarter.yearly import Year, make_year
from pricing.record.store import has_record
from pricing.wording import week_words

if TYPE_CHECKING:
    from pricing.advice.unsold import Waiting as Plan
    from pricing.basis.units import Units
    from pricing.model.price.price import PriceNumbers
    from pricing.pages.charts import Picture
    from pricing.pages.quarter_page import Page
    from pricing.proof.reportcard import ReportCard
    from pricing.quarter.compare import Comparison


def books_of(home: Home, settings: Settings, as_of: date) -> Books:
    """The books of a home's record as they stood on `as_of`."""
    from pricing.record.current import read_units

    if not has_record(home):
        what = "there is no record here yet"
        fix = "run pricing add YOUR.csv, or name the folder of your record with --home"
        raise refused(what, fix, file=str(home.path))
    return keep_books(read_units(home, settings), settings, as_of, right_values(home))


def brought(books: Books, key: str, settings: Settings) -> str:
    """What a unit that ended brought, as the quarter counts it; "" where it counts in no sum."""
    counts = (books.units.word("unit").lookup([key]) == 0) & books.counted
    at = np.flatnonzero(counts)[:1]
    return "".join(
        week_words.earned(float(books.profit[i]), float(books.worked[i]), place_of(settings))
        for i in at
    )


def compare(
    home: Home,
    settings: Settings,
    as_of: date,
    by: Sequence[str],
    plot: Path | None = None,
    *,
    mix: tuple[float | None, float | None] | None = None,
    seed: int = 0,
    books: Books | None = None,
) -> Compared:
    """The first page of the last quarter that is over, and groups of ended units by return per
    hour; with `plot`, the picture of it as an SVG file. mix: hours a week and spots for the best
    mix; None in one of them is the pace so far, and the spots of the settings."""
    books = books or books_of(home, settings, as_of)
    comparison = comparing.compare(books, settings, by, seed=seed)
    best = None
    if mix is not None:
        weeks = weeks_of(books, books.counted)
        best = best_mix(comparison, weeks, mix[0], mix[1] or settings.spots)
    if plot is not None:
        from pricing.pages import charts

        charts.write(plot, picture(comparison, settings, home, as_of))
    waiting = planned(waiting_units(books, as_of), plans_of(home, settings, as_of, books))
    front = make_front(books, settings, last_complete(as_of), as_of, waiting, seed, rules_of(home))
    return Compared(front, comparison, best)


def picture(comparison: Comparison, settings: Settings, home: Home, as_of: date) -> Picture:
    """The groups of a comparison by return per hour."""
    from pricing.pages import charts, compare_text

    what = f"What pays per hour, by {compare_text.by_words(comparison.by)}"
    title = charts.titled(what, home, as_of)
    return charts.per_hour(comparison, settings.currency, title)


def rules(home: Home, settings: Settings, as_of: date, books: Books | None = None) -> StopRules:
    """The person's rules with what they did, and those worth taking over."""
    books = books or books_of(home, settings, as_of)
    own = rules_of(home)
    taken = {replace(rule, since=0) for rule in own}
    proposed = tuple(one for one in proposals(books, settings) if one.rule not in taken)
    return StopRules(did(books, settings, own), proposed)


# a fair sample by month of the sales of the last YEARS is enough for what the report says of prices
MOST_SALES, MOST_CALLED = 5000, 1000
YEARS = 4
MOST_UNITS = 6000
MOST_LISTINGS = 1500


@frozen
class QuarterLearned:
    """What the price model says of a quarter: the calls on its sales, and prices at its end."""

    calls: Calls | None
    level: Level | None
    worths: tuple[Effect, ...]
    n_sales: int
    limits: Limits | None


def learn(books: Books, settings: Settings, quarter: Quarter) -> QuarterLearned:
    """Fit prices twice: on what was known before the quarter, for its calls, and at its end."""
    from pricing.model.price import price, price_fit

    units, end = books.units, min(quarter.last.toordinal(), books.as_of)
    start = min(quarter.first.toordinal() - 1, books.as_of)
    sold = books.sold & ~books.doubted & (units.number("price") > 0) & np.isfinite(books.day)

    def sales_until(day: int) -> Units:
        rows = np.flatnonzero(sold & (books.day <= day) & (books.day > day - 365.25 * YEARS))
        return known_by(units.take(rows[fair(books.day[rows], MOST_SALES)]), day)

    judged = limits = None
    here = np.flatnonzero(sold & quarter.holds(books.day))
    n_here, here = len(here), here[fair(books.day[here], MOST_CALLED)]
    before, sales = sales_until(start), sales_until(end)
    if len(here) and before.n:
        model = price_fit.fit_price(before, settings, date.fromordinal(start))
        law = price.law(model, units.take(here), books.day[here])
        low, high = price.range_of(law, settings.coverage)
        middle = price.quantiles(law, [0.5])[:, 0]
        names, types = (units.word(column).take(here).texts() for column in ("unit", "type"))
        figures = np.stack([units.number("price")[here], low, middle, high]).tolist()
        called = [calling.CalledSale(*one) for one in zip(names, types, *figures, strict=True)]
        limits = _limits_of(books, settings, quarter, model, date.fromordinal(start))
        of = n_here if n_here > len(here) else 0
        judged = calling.judge(called, settings.coverage, before.n, of)
    if not sales.n:
        return QuarterLearned(judged, None, (), 0, limits)
    day = date.fromordinal(end)
    model = price_fit.fit_price(sales, settings, day)
    level, worths = worth.price_level(model, sales, day), worth.worths(model, sales, day)
    return QuarterLearned(judged, level, worths, sales.n, limits)


def _limits_of(
    books: Books, settings: Settings, quarter: Quarter, price_model: PriceNumbers, day: date
) -> Limits:
    """What `offer` would have said of the quarter's units by what was known on `day`."""
    from pricing.model.repair import repair_fit
    from pricing.model.saletime import saletime_fit

    # Judged units teach nothing, not even what was on their bench before the quarter began
    others = np.flatnonzero(~quarter.holds(books.day))
    if len(others) > MOST_UNITS:  # the newest units say enough about faults
        ended = np.where(books.day[others] <= day.toordinal(), books.day[others], -np.inf)
        others = np.sort(others[np.argsort(ended, kind="stable")[-MOST_UNITS:]])
    known = known_by(books.units.take(others), day.toordinal())
    repair_model = repair_fit.fit_repair(known, settings, day)
    # the newest listings say enough about days; more would only be slow
    newest = known.take(np.arange(known.n)[-MOST_LISTINGS:])
    saletime_model = saletime_fit.fit_saletime(newest, price_model, settings, day)
    model = (price_model, repair_model, saletime_model)
    numbers = Saved(Path(), 0, day, "", "", *model, (), {}, 0.0, "")
    return judge_limits(books, quarter.holds(books.day), numbers, settings, day)


@frozen
class WrittenQuarter:
    """The report as numbers, and the files that were written."""

    report: QuarterReport
    page: Page
    files: tuple[Path, ...]


def card_of(home: Home, books: Books) -> ReportCard | None:
    """The answers kept when given, scored by what the units brought; None where none were kept."""
    if not (home.data / "estimates").is_dir():
        return None
    return reportcard.score(home, books.units)


def set_aside(home: Home) -> int:
    """Rows of the files that count which were set aside when they were added."""
    from pricing.record import entries

    return sum(int(entry.counts.get("rejected", 0)) for entry in entries.load(home).counting())


# Listed units that get a next step, the longest waits; each costs a plan of its own
MOST_PLANS = 40


def plans_of(home: Home, settings: Settings, as_of: date, books: Books) -> Sequence[Plan]:
    """The next steps of listed units, the longest waits first; none where nothing was learned."""
    names = [each.unit for each in waiting_units(books, as_of) if each.state == "listed"]
    try:
        numbers = saved.load(home)
        rows = {str(row.get("unit") or ""): row for row in numbers.open_units()}
    except Refused:
        return ()
    planned = [rows[name] for name in names if name in rows][:MOST_PLANS]
    return unsold.unsold(planned, numbers, settings, as_of).waiting


def _page(
    home: Home,
    settings: Settings,
    books: Books,
    numbers: QuarterReport,
    learned: QuarterLearned,
    year: Year,
) -> Page:
    """The quarter as a page, with the sections that need more than the quarter's own numbers."""
    from pricing.pages import quarter_details, quarter_learned, sheets
    from pricing.pages import quarter_page as pages

    which, currency = numbers.quarter, settings.currency
    mix = best_mix(numbers.pays, weeks_of(books, books.counted), None, settings.spots)
    kept = quarter_learned.answered_table(card_of(home, books), which)
    fitting, level, worths = fitting_settings(books, settings), learned.level, learned.worths
    more = [
        quarter_details.mix_section(mix, numbers.pays.n, currency),
        quarter_learned.calls_section(learned.calls, currency, numbers.now.n_sold, kept),
        quarter_learned.prices_section(level, worths, currency, learned.n_sales),
        quarter_learned.limits_section(learned.limits, currency, fitting),
        sheets.year_section(year, currency),
    ]
    aside = set_aside(home)
    return pages.make_page(numbers, set_aside=aside, demo=home.is_demo, more=more)


def report(
    home: Home,
    settings: Settings,
    as_of: date,
    quarter: str | None = None,
    out: Path | None = None,
    seed: int = 0,
) -> WrittenQuarter:
    """Write the quarter (default: the last one that is over) as HTML, its rows as CSV, and the
    year's tables for the tax folder."""
    from pricing.pages import quarter_page as pages
    from pricing.record.export import csv_bytes

    which = read_quarter(quarter) if quarter else last_complete(as_of)
    books = books_of(home, settings, as_of)
    plans = plans_of(home, settings, as_of, books)
    numbers = make_quarter(books, settings, which, as_of, seed, plans, rules_of(home))
    year = make_year(books, settings, which.year)
    learned = learn(books, settings, which)
    page = _page(home, settings, books, numbers, learned, year)
    folder = out if out is not None else home.reports
    stem = f"quarter-{which.name}"
    written: list[Path] = []

    def write(name: str, data: bytes) -> None:
        files.write_bytes(folder / name, data)
        written.append(folder / name)

    write(f"{stem}.html", pages.html(page).encode())
    write(f"{stem}-units.csv", csv_bytes(*sheets.rows_cells(numbers)))
    for sheet in year.sheets:
        write(f"year-{which.year}-{sheet.name}.csv", csv_bytes(*sheets.sheet_cells(sheet)))
    return WrittenQuarter(numbers, page, tuple(written))
