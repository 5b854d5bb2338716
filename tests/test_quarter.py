"""The frozen numbers of a quarter: they add up, whatever way they are cut; and quarters in which
nothing happened."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import settings as given_settings
from hypothesis import strategies as st

from pricing.advice.unsold import Waiting as Plan
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.pages.compare_text import front_lines
from pricing.pages.quarter_page import html, make_page
from pricing.pages.quarter_words import step_words
from pricing.quarter.change import changes, shapley
from pricing.quarter.gaps import find_gaps
from pricing.quarter.groups import label_groups
from pricing.quarter.money import Books, keep_books
from pricing.quarter.period import Quarter, last_complete, quarter_of, read_quarter
from pricing.quarter.quarter import QuarterReport, make_quarter
from pricing.quarter.shelf import last_ask
from pricing.quarter.yearly import make_year

AS_OF = date(2026, 10, 5)
Q3 = Quarter(2026, 3)


def day(text: str) -> float:
    return float(date.fromisoformat(text).toordinal())


def invented(seed: int, n: int = 60) -> list[dict[str, Any]]:
    """An invented record of about a year: sold, failed, returned, open and kept units, empty trips,
    expenses, blanks."""
    rng = np.random.default_rng(seed)
    rows: list[dict[str, Any]] = []
    for i in range(n):
        got = day("2025-09-01") + float(rng.integers(0, 390))
        outcome = str(
            rng.choice(
                [
                    "sold",
                    "sold",
                    "sold",
                    "scrapped",
                    "parted",
                    "returned",
                    "listed",
                    "in work",
                    "kept",
                ]
            )
        )
        row: dict[str, Any] = {
            "unit": f"U{i}",
            "type": str(rng.choice(["electric dryer", "dishwasher", "gas range"])),
            "outcome": outcome,
            "got": got,
            "paid": float(rng.integers(0, 60)),
            "miles": float(rng.integers(1, 20)),
        }
        row["parts"] = None if rng.random() < 0.2 else round(float(rng.lognormal(3, 0.6)), 2)
        row["repair_min"] = None if rng.random() < 0.1 else float(rng.integers(20, 200))
        row["found"] = str(rng.choice(["pump", "belt", ""])) or None
        if outcome in ("sold", "returned", "listed"):
            row["listed"] = got + 5
            row["asked"] = "220"
        if outcome not in ("listed", "in work"):
            row["sold"] = got + 5 + float(rng.integers(1, 40))
        if outcome in ("sold", "returned"):
            row["price"] = None if rng.random() < 0.05 else float(rng.integers(40, 400))
            row["tax"] = round((row["price"] or 0) * 0.08, 2)
        rows.append(row)
    rows.append(
        {
            "outcome": "trip",
            "trip": "T9",
            "got": day("2026-08-03"),
            "drive_min": 50.0,
            "miles": 12.0,
        }
    )
    rows.append(
        {"outcome": "expense", "expense": 61.25, "sold": day("2026-07-09"), "note": "=hose clamps"}
    )
    return rows


def books_of(rows: list[dict[str, Any]], as_of: date = AS_OF) -> Books:
    return keep_books(from_rows(rows), Settings(), as_of)


def report_of(
    rows: list[dict[str, Any]], quarter: Quarter = Q3, as_of: date = AS_OF
) -> QuarterReport:
    return make_quarter(books_of(rows, as_of), Settings(), quarter, as_of)


def test_quarters_by_name() -> None:
    """2026Q3 in its usual spellings; the last complete one; the ones before."""
    assert read_quarter("2026Q3") == read_quarter("2026-q3") == read_quarter("Q3 2026") == Q3
    assert (last_complete(date(2026, 10, 1)), last_complete(date(2026, 9, 30))) == (
        Q3,
        Quarter(2026, 2),
    )
    assert (Quarter(2026, 1).before, Q3.year_before, quarter_of(date(2026, 2, 28))) == (
        Quarter(2025, 4),
        Quarter(2025, 3),
        Quarter(2026, 1),
    )
    for wrong in ("2026", "2026Q5", "third", "", "0000Q1"):
        with pytest.raises(Refused, match="2026Q3"):
            read_quarter(wrong)


@given(st.integers(0, 5_000))
@given_settings(deadline=None, max_examples=20)
def test_every_total_is_the_sum_of_the_frozen_rows(seed: int) -> None:
    """Money, profit and hours of the quarter and of its types come to the sums of
    its rows, to the cent."""
    report = report_of(invented(seed))
    rows, now = report.rows, report.now

    assert round(sum(row.profit for row in rows), 2) == now.profit
    assert round(sum(row.hours for row in rows), 2) == now.hours
    assert {
        name: round(sum(row.money[name] for row in rows), 2) for name in now.money
    } == pytest.approx(dict(now.money))
    overhead = round(sum(row.profit for row in rows if row.kind != "unit"), 2)
    assert round(sum(line.profit for line in report.types) + overhead, 2) == now.profit
    assert sum(line.n_sold for line in report.types) == now.n_sold
    assert sum(line.n for line in report.repairs) == sum(
        row.counted for row in rows if row.kind == "unit"
    )


@given(st.integers(0, 5_000))
@given_settings(deadline=None, max_examples=10)
def test_quarters_add_up_to_the_whole_record(seed: int) -> None:
    """Nothing that ended on a day is in two quarters or in none."""
    books = books_of(invented(seed))
    first, every = Quarter(2025, 3), np.zeros(books.units.n)
    quarter = first
    while quarter <= quarter_of(AS_OF):
        every += quarter.holds(books.day)
        quarter = quarter.after

    assert every.max() == pytest.approx(1, abs=1e-9)
    assert (every[np.isfinite(books.day)] == 1).all()


@given(st.integers(0, 5_000))
@given_settings(deadline=None, max_examples=20)
def test_the_change_splits_into_parts_that_add_up(seed: int) -> None:
    """before + parts = after to the cent, for the profit and for the hour; and both ends are the
    quarters' own figures."""
    report = report_of(invented(seed, 120))

    for change, before, after in (
        (report.change_profit, report.before.profit, report.now.profit),
        (report.change_per_hour, report.before.per_hour, report.now.per_hour),
    ):
        assert change is not None
        assert before is not None and after is not None
        assert change.before == pytest.approx(before, abs=0.0051)
        assert change.after == pytest.approx(after, abs=0.0051)
        assert round(change.before + sum(change.parts.values()), 2) == change.after


def test_a_change_of_one_thing_only_is_called_by_its_name() -> None:
    """Only prices rose: everything is the prices'. Only the mix moved: everything is the mix's."""

    def unit(type_: str, sold: str, price: float) -> dict[str, Any]:
        return {
            "type": type_,
            "outcome": "sold",
            "sold": day(sold),
            "price": price,
            "paid": 10.0,
            "parts": 0.0,
            "hours": 2.0,
            "drive_min": 0.0,
        }

    dearer = report_of([unit("dryer", "2026-05-01", 100.0), unit("dryer", "2026-08-01", 130.0)])
    mixed = report_of(
        [
            unit("dryer", "2026-05-01", 100.0),
            unit("range", "2026-05-01", 200.0),
            unit("range", "2026-08-01", 200.0),
            unit("range", "2026-08-02", 200.0),
        ]
    )

    assert dearer.change_per_hour is not None and mixed.change_per_hour is not None
    assert dict(dearer.change_per_hour.parts) == {
        "mix of types": 0,
        "prices": 15.0,
        "costs": 0,
        "hours": 0,
    }
    assert dict(mixed.change_per_hour.parts) == {
        "mix of types": 25.0,
        "prices": 0,
        "costs": 0,
        "hours": 0,
    }


def test_shapley_parts_by_hand() -> None:
    """A game of two: 2 alone for the first, 0 for the second, 6 together: parts 4 and 2."""
    assert shapley(
        lambda changed: {
            frozenset(): 0.0,
            frozenset({0}): 2.0,
            frozenset({1}): 0.0,
            frozenset({0, 1}): 6.0,
        }[changed],
        2,
    ) == [4.0, 2.0]


def test_a_change_needs_two_quarters() -> None:
    """Without units in one of them there is nothing to split."""
    books = books_of(invented(1))
    types = label_groups(books, Settings(), ("type",))

    assert (
        changes(
            books,
            types.codes,
            len(types.levels),
            np.zeros(books.units.n, dtype=bool),
            Q3.holds(books.day),
        )
        is None
    )


@pytest.mark.parametrize(
    ("quarter", "as_of", "state"),
    [
        (Quarter(2019, 1), AS_OF, "over"),
        (Quarter(2030, 1), AS_OF, "ahead"),
        (Quarter(2026, 4), AS_OF, "running"),
        (Quarter(2026, 3), date(2025, 1, 1), "ahead"),
    ],
)
def test_quarters_with_nothing_in_them(quarter: Quarter, as_of: date, state: str) -> None:
    """Long before the record, ahead of it, running, and as of a day before the record began."""
    report = report_of(invented(3), quarter, as_of)

    assert report.state == state
    if quarter != Quarter(2026, 4):
        assert (report.now.n_ended, report.now.hours, report.rows) == (0, 0.0, ())


def test_an_empty_record_and_one_row() -> None:
    """No row, and one row of each kind, make a report."""
    assert report_of([]).pays.best is None
    for row in [
        *invented(5)[-2:],
        {"type": "dryer", "outcome": "sold", "sold": day("2026-08-01"), "price": 90.0},
        {"type": "dryer", "outcome": "listed"},
        {"type": "dryer", "outcome": "sold"},
    ]:
        assert report_of([row]).quarter == Q3


def test_listings_count_what_still_waits() -> None:
    """As of the quarter's end a unit sold later is one that waits, and one listed later is not
    there."""
    rows = [
        {
            "type": "dryer",
            "outcome": "sold",
            "listed": day("2026-09-01"),
            "sold": day("2026-09-11"),
            "price": 90.0,
        },
        {
            "type": "dryer",
            "outcome": "sold",
            "listed": day("2026-09-20"),
            "sold": day("2026-10-04"),
            "price": 90.0,
        },
        {"type": "dryer", "outcome": "listed", "listed": day("2026-10-02")},
    ]
    curve = report_of(rows).curve

    assert curve is not None
    assert (curve.n, curve.n_unsold, curve.days.tolist(), curve.share.tolist()) == (
        2,
        1,
        [10.0],
        [0.5],
    )


def test_gaps_are_named_with_their_counts() -> None:
    """Every blank that matters is counted; a full record has no gap."""
    whole = {
        "type": "dryer",
        "outcome": "sold",
        "got": day("2026-07-01"),
        "listed": day("2026-07-05"),
        "sold": day("2026-08-01"),
        "price": 90.0,
        "paid": 0.0,
        "parts": 5.0,
        "haul_cost": 4.0,
        "hours": 2.0,
        "drive_min": 20.0,
        "age": 5.0,
        "condition": "good",
        "asked": "100",
    }
    bare = {"type": "dryer", "outcome": "sold", "price": 90.0}

    assert find_gaps(books_of([whole]), Settings()) == ()
    gaps = {
        gap.column: (gap.n_blank, gap.n)
        for gap in find_gaps(books_of([whole, whole, bare]), Settings())
    }
    assert gaps == dict.fromkeys(
        (
            "listed",
            "hours or minutes",
            "drive_min or miles",
            "paid",
            "parts",
            "haul_cost",
            "day sold",
            "got",
            "age",
            "condition",
            "asked",
        ),
        (1, 3),
    )


def test_the_last_ask_up_to_a_day() -> None:
    """Dated asks, one bare ask, and text that is none."""
    assert last_ask("2026-03-01:320; 2026-03-15:295", date(2026, 3, 15)) == 295
    assert last_ask("2026-03-01:320; 2026-03-15:295", date(2026, 2, 1)) is None
    assert last_ask("OBO", AS_OF) is None


@given(st.integers(0, 5_000))
@given_settings(deadline=None, max_examples=20)
def test_goods_sold_come_to_the_cost_of_what_ended(seed: int) -> None:
    """Opening stock + bought - own use - closing stock = what was written as put into the units
    that ended in the year."""
    books = books_of(invented(seed))
    for year in (2025, 2026, 2027):
        goods = make_year(books, Settings(), year).goods.rows
        ended = (
            books.ended
            & (books.day >= date(year, 1, 1).toordinal())
            & (books.day <= date(year, 12, 31).toordinal())
        )
        assert round(sum(float(row[2]) for row in goods[:4]), 2) == goods[4][2]  # type: ignore[arg-type]
        assert goods[4][2] == pytest.approx(
            sum(books.written[name][ended].sum() for name in ("paid", "parts", "lump")), abs=0.01
        )


def test_the_years_tables_end_in_their_totals() -> None:
    """Receipts, unsold, expenses, sales tax and miles: the last row is the sum of the others;
    nothing put in for blanks is in them."""
    books = books_of(invented(7))
    year = make_year(books, Settings(), 2026)

    for sheet in (year.receipts, year.unsold, year.expenses, year.sales_tax, year.mileage):
        for column, total in enumerate(sheet.rows[-1]):
            if isinstance(total, float):
                assert round(sum(float(row[column]) for row in sheet.rows[:-1]), 2) == total  # type: ignore[arg-type]
    assert year.mileage.rows[-1][2] == 2 * np.nansum(
        np.where(
            (books.units.number("got") >= day("2026-01-01")) & (books.unit | books.trip),
            books.units.number("miles"),
            0,
        )
    )
    assert year.expenses.rows[0][1:] == ("=hose clamps", 61.25)


def test_the_mileage_log_has_money_by_the_rate_of_its_year_alone() -> None:
    """Each drive's miles at the rate, rounded to the cent, to the total; the rate, its year and where
    it is written stand over the log; a rate of another year is said and stands for nothing."""
    books = books_of(invented(7))
    set_to = Settings(mileage_rate=0.725, mileage_rate_year=2026.0, mileage_rate_source="notice 1")
    plain, rated, other = (
        make_year(books, settings, year).mileage
        for settings, year in ((Settings(), 2026), (set_to, 2026), (set_to, 2025))
    )
    assert rated.title == "Mileage log, 0.725 a mi in 2026 (notice 1)"
    assert plain.title == "Mileage log" and len(plain.head) == 3
    assert [row[:3] for row in rated.rows] == list(plain.rows)
    for row in rated.rows[:-1]:
        assert row[3] == round(0.725 * float(row[2]), 2)  # type: ignore[arg-type]
    assert rated.rows[-1][3] == pytest.approx(sum(float(row[3]) for row in rated.rows[:-1]))  # type: ignore[arg-type]
    assert len(rated.rows) > 5 and "no rate of 2025 is set" in other.title and len(other.head) == 3


def test_hours_on_open_units_are_said_where_they_stand() -> None:
    """By hand: two units still here, 1.5 hours and 40 minutes written, $25 and $10 in them; a third
    that sold stands in the sums and not in the line."""
    rows = [
        {"unit": "1", "type": "gas range", "outcome": "in work", "got": day("2026-09-01"),
         "hours": 1.5, "paid": 25.0, "parts": 0.0, "drive_min": 0.0},
        {"unit": "2", "type": "gas range", "outcome": "listed", "got": day("2026-08-01"),
         "listed": day("2026-08-09"), "drive_min": 40.0, "hours": 0.0, "paid": 10.0, "parts": 0.0},
        {"unit": "3", "type": "gas range", "outcome": "sold", "got": day("2026-08-01"),
         "sold": day("2026-08-20"), "hours": 3.0, "paid": 10.0, "parts": 0.0, "price": 200.0},
    ]  # fmt: skip
    report = report_of(rows)
    assert report.open_hours == 2.17
    box = next(one for one in make_page(report, draw=False).sections if one.key == "box")
    said = "2.17 hours that you wrote down and $35.00 stand in 2 units still here on Oct 5; they"
    assert any(one.startswith(said) for one in box.paragraphs), box.paragraphs
    assert not any(
        "wrote down and" in one
        for one in make_page(report_of(rows[2:]), draw=False).sections[0].paragraphs
    )


def test_the_next_step_of_units_that_wait() -> None:
    """A listed unit gets the step that the plan names; one in work for long is to be finished; one
    without a plan is left to `unsold`."""
    rows = [
        {
            "unit": "A",
            "type": "wall oven",
            "outcome": "listed",
            "listed": day("2026-08-01"),
            "asked": "129",
        },
        {"unit": "B", "type": "dryer", "outcome": "in work", "got": day("2026-08-01")},
        {"unit": "C", "type": "dryer", "outcome": "listed", "listed": day("2026-09-20")},
    ]
    plan = Plan(
        "A",
        "wall oven",
        65.0,
        30.0,
        0.1,
        129.0,
        "clear it out",
        AS_OF,
        82.0,
        73.0,
        -2.0,
        82.0,
        order=1,
    )
    with_steps = make_quarter(books_of(rows), Settings(), Q3, AS_OF, plans=[plan])
    waiting = with_steps.waiting

    assert [step_words(each, with_steps) for each in waiting] == [
        "sell it off at $80 now",
        "see pricing unsold",
        "finish it or part it out",
    ]
    assert front_lines(with_steps.front, "USD")[1:] == [
        "DO NOW: Sell off the wall oven (A, 65 days listed) at $80; don't take under $75.",
        "DO NOW: Finish or part out B: over a month in the shop, $0 in it.",
    ]


@given(st.integers(0, 5_000))
@example(219)  # with a value that looks like a slip
@given_settings(deadline=None, max_examples=15)
def test_the_first_page_is_whole_for_any_record(seed: int) -> None:
    """At most three to stop, two to do more of, three to do now, each a sentence or a question; no
    number that is none."""
    for quarter in (Q3, Quarter(2025, 4), Quarter(2026, 4), Quarter(2027, 1)):
        report = report_of(invented(seed, 25), quarter)
        said = front_lines(report.front, "USD")
        assert 1 <= len(said) <= 9
        assert all(
            # a command to type ends as it is typed
            sentence.endswith((".", "?", "(or right)"))
            and "nan" not in sentence.lower().split()
            and "None" not in sentence
            for sentence in said
        )


def test_odd_cells_make_a_report_without_a_warning() -> None:
    """Impossible numbers, blanks everywhere, signs and other scripts: books, report and years come
    out, and no nan on the page."""
    rng = np.random.default_rng(0)
    choices: dict[str, list[Any]] = {
        "type": ["dryer", "<b>&", None, "洗濯機"],
        "outcome": [
            "sold",
            "scrapped",
            "returned",
            "listed",
            "kept",
            "trip",
            "expense",
            None,
            "odd",
        ],
        "trip": [None, "T1"],
        "comeback": [None, "::;;", "2026-08-01: 1.5: 20"],
        "asked": [None, ":", "2026-01-01:5; bad"],
        "got": [None, 1.0, day("2026-07-01"), 3e6],
        "listed": [None, day("2026-07-05")],
        "sold": [None, day("2026-08-01"), 3e6],
    }
    for name in (
        "paid",
        "parts",
        "price",
        "fees",
        "refund",
        "salvage",
        "cost_in",
        "expense",
        "hours",
        "drive_min",
        "repair_min",
        "miles",
        "age",
    ):
        choices[name] = [None, 0.0, -5.0, 1e9, 1e-9, 40.0]
    for _ in range(25):
        rows = [
            {name: values[rng.integers(len(values))] for name, values in choices.items()}
            for _ in range(int(rng.integers(0, 9)))
        ]
        report = report_of(rows)
        make_year(books_of(rows), Settings(), 2026)
        text = html(make_page(report, draw=False))
        assert "nan" not in re.sub("<[^>]*>", " ", text).lower().split()
