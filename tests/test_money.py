"""The books: one unit's arithmetic, what is done about blanks, shared and empty drives, and totals
that are sums of their rows."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.quarter.blanks import allot, usual
from pricing.quarter.money import IN, OUT, add_up, keep_books
from pricing.quarter.worked import TASKS

AS_OF = date(2026, 10, 5)
DAY = float(date(2026, 8, 1).toordinal())


def sold(**more: Any) -> dict[str, Any]:
    return {"type": "electric dryer", "outcome": "sold", "sold": DAY, **more}


def books_of(*rows: dict[str, Any], as_of: date = AS_OF, **keys: Any):
    return keep_books(from_rows(rows), Settings(**keys), as_of)


def total(*rows: dict[str, Any], **keys: Any):
    books = books_of(*rows, **keys)
    return add_up(books, np.ones(books.units.n, dtype=bool))


def test_the_repairers_own_arithmetic() -> None:
    """Common practice: paid 40, part 25, sold 250, one hour in all, nothing else: 65 into it,
    profit 185, 185 an hour."""
    books = books_of(sold(paid=40.0, parts=25.0, price=250.0, hours=1.0))

    assert books.put_in.tolist() == [65.0]
    assert books.profit.tolist() == [185.0]
    assert add_up(books, np.array([True])).per_hour == pytest.approx(185.0)


def test_every_column_of_money_enters_once_and_tax_never() -> None:
    """profit = price - fees - refund + salvage + delivery - paid - parts - haul - helper -
    comebacks."""
    row = sold(
        price=300.0,
        fees=11.0,
        refund=20.0,
        salvage=5.0,
        delivery=40.0,
        paid=30.0,
        parts=25.5,
        haul_cost=12.0,
        helper=15.0,
        tax=24.0,
        comeback="2026-08-09: 1.5: 8",
        hours=2.0,
        drive_min=30.0,
    )

    books = books_of(row)

    assert books.profit.tolist() == [300 - 11 - 20 + 5 + 40 - 30 - 25.5 - 12 - 15 - 8]
    assert books.worked.tolist() == [2.0 + 0.5 + 1.5]


def test_a_lump_stands_for_paid_and_parts_together() -> None:
    """What is known of the two comes off the lump; it is never counted twice."""
    assert books_of(sold(price=200.0, cost_in=60.0, hours=1.0)).profit.tolist() == [140.0]
    assert books_of(sold(price=200.0, cost_in=60.0, paid=40.0, hours=1.0)).profit.tolist() == [
        140.0
    ]


def test_free_is_a_value_and_blank_is_the_usual() -> None:
    """0 stays 0; a blank among units that mostly have the figure gets the type's own usual, apart
    from what was written."""
    rows = [
        sold(price=200.0, paid=value, parts=10.0, hours=1.0) for value in (0.0, 40.0, 20.0, None)
    ]

    books = books_of(*rows)

    assert books.written["paid"].tolist() == [0.0, 40.0, 20.0, 0.0]
    assert books.assumed["paid"].tolist() == [0.0, 0.0, 0.0, 20.0]  # the mean of the three written
    assert books.profit.tolist() == [190.0, 150.0, 170.0, 170.0]


def test_a_figure_that_is_never_written_is_not_made_up() -> None:
    """Costs that the person never writes are none; the report names the gap instead."""
    books = books_of(*[sold(price=200.0, hours=1.0) for _ in range(5)])

    assert sum(books.assumed[name].sum() for name in (*IN, *OUT)) == pytest.approx(0, abs=1e-9)
    assert books.profit.sum() == 1000


def test_blank_minutes_get_the_usual_of_units_that_ended_alike() -> None:
    """A failed unit is never cleaned or sold: its blank cleaning is no gap. A sold one's is, where
    most sold ones have it."""
    rows = [sold(price=100.0, repair_min=60.0, clean_min=30.0) for _ in range(4)]
    rows += [
        sold(price=100.0, repair_min=60.0),
        {"type": "electric dryer", "outcome": "scrapped", "sold": DAY, "repair_min": 60.0},
    ]

    books = books_of(*rows)

    assert books.hours["clean"].tolist() == [0.5, 0.5, 0.5, 0.5, 0.5, 0.0]
    assert books.assumed_hours["clean"].tolist() == [0, 0, 0, 0, 0.5, 0]


def test_no_hours_at_all_take_the_persons_usual_else_the_starting_figures() -> None:
    """Hours cannot be left at nothing: the return per hour would be flattered without end."""
    own = books_of(sold(price=100.0, hours=2.0), sold(price=100.0, hours=4.0), sold(price=100.0))
    none = books_of(sold(price=100.0, fault="no heat"))

    assert own.assumed_hours["not split"].tolist() == [0.0, 0.0, 3.0]
    assert none.worked[0] > 0.5
    assert none.assumed_hours["not split"].sum() == none.worked.sum()


def test_driving_and_truck_come_from_the_miles_where_only_those_are_known() -> None:
    """Both ways, at the speed and rate of the settings; what was written is left alone."""
    books = books_of(
        sold(price=100.0, hours=1.0, miles=14.0),
        sold(price=100.0, hours=1.0, miles=14.0, drive_min=30.0, haul_cost=3.0),
        average_speed=28.0,
        cost_per_distance=0.5,
    )

    assert books.hours["drive"].tolist() == [1.0, 0.5]
    assert books.money("haul").tolist() == [14.0, 3.0]


def test_a_fee_of_the_settings_is_taken_where_none_is_written() -> None:
    """A share and a fixed sum, for sold units only."""
    books = books_of(
        sold(price=100.0, hours=1.0),
        sold(price=100.0, fees=2.0, hours=1.0),
        selling_fee_share=0.1,
        selling_fee_fixed=1.0,
    )

    assert books.money("fees").tolist() == [11.0, 2.0]


def test_one_drive_for_several_units_counts_once() -> None:
    """Rows of one trip that repeat the same figures share them; rows that differ each carry their
    own part."""
    same = books_of(
        *[sold(price=100.0, hours=1.0, trip="T1", drive_min=60.0, miles=14.0) for _ in range(2)],
        average_speed=28.0,
    )
    apart = books_of(
        sold(price=100.0, hours=1.0, trip="T1", drive_min=20.0),
        sold(price=100.0, hours=1.0, trip="T1", drive_min=40.0),
    )

    assert same.hours["drive"].sum() == pytest.approx(1.0, abs=1e-9)
    assert apart.hours["drive"].sum() == pytest.approx(1.0, abs=1e-9)


def test_a_trip_row_of_a_drive_that_brought_units_goes_to_them_and_an_empty_one_stands_alone() -> (
    None
):
    """Trip T1 brought the dryer; trip T2 brought nothing."""
    rows = [
        sold(price=100.0, hours=1.0, trip="T1"),
        {"outcome": "trip", "trip": "T1", "got": DAY, "drive_min": 60.0, "haul_cost": 5.0},
        {"outcome": "trip", "trip": "T2", "got": DAY, "drive_min": 30.0, "haul_cost": 4.0},
    ]

    books = books_of(*rows)
    sums = add_up(books, np.ones(3, dtype=bool))

    assert books.worked.tolist() == [2.0, 0.0, 0.5]
    assert books.empty.tolist() == [False, False, True]
    assert (sums.n_ended, sums.n_trips, sums.trip_hours, sums.hours, sums.profit) == (
        1,
        1,
        0.5,
        2.5,
        91.0,
    )


def test_a_call_that_was_passed_on_is_charged_what_was_written_of_it_and_nothing_usual() -> None:
    """Though it names a type whose units have their usual price, parts and drive."""
    bought = [
        sold(price=250.0, paid=40.0, parts=25.0, drive_min=50.0, repair_min=60.0) for _ in range(6)
    ]
    type_name = bought[0]["type"]
    without, passed = (
        total(*bought),
        total(*bought, {"outcome": "trip", "type": type_name, "got": DAY, "hours": 0.25}),
    )
    assert (passed.n_trips, passed.profit, round(passed.hours - without.hours, 2)) == (
        1,
        without.profit,
        0.25,
    )
    drove = total(
        *bought,
        {"outcome": "trip", "type": type_name, "got": DAY, "miles": 14.0},
        average_speed=28.0,
        cost_per_distance=0.5,
    )
    assert (round(without.profit - drove.profit, 2), round(drove.hours - without.hours, 2)) == (
        14.0,
        1.0,
    )


def test_expenses_and_units_without_a_price() -> None:
    """An expense lowers the total; a sold unit with no price is named and stands outside all money
    and hours."""
    sums = total(
        sold(price=100.0, hours=1.0),
        sold(hours=3.0),
        {"outcome": "expense", "expense": 25.0, "sold": DAY},
    )

    assert (sums.n_sold, sums.n_uncounted, sums.profit, sums.hours, sums.expenses) == (
        2,
        1,
        75.0,
        1.0,
        25.0,
    )


def test_as_if_today_were_an_earlier_day() -> None:
    """A sale after that day has not happened; a unit got after it is not there."""
    rows = [
        sold(price=100.0, hours=1.0, got=DAY - 30),
        sold(price=100.0, hours=1.0, got=DAY + 5, sold=DAY + 9),
    ]

    books = books_of(*rows, as_of=date.fromordinal(int(DAY) - 1))

    assert books.ended.tolist() == [False, False]
    assert books.open.tolist() == [True, False]


def test_usual_leans_on_all_types() -> None:
    """(n k + 3 m) / (n + 3), by hand: type 0 has 2 and 4, type 1 has 9, all together 5 on
    average."""
    by_type, overall = usual(np.array([2.0, 4.0, 9.0]), np.array([0, 0, 1]), 3)

    assert overall == pytest.approx(5.0)
    assert by_type.tolist() == [(6 + 15) / 5, (9 + 15) / 4, 5.0]


@given(
    st.integers(-100_000, 100_000),
    st.lists(st.integers(0, 50), min_size=1, max_size=9).filter(lambda weights: sum(weights) > 0),
)
@settings(deadline=None, max_examples=60)
def test_what_is_dealt_out_adds_up(hundredths: int, weights: list[int]) -> None:
    """Shares of a total are whole cents and add up to it."""
    parts = allot(hundredths / 100, np.array(weights))

    assert round(parts.sum() * 100) == hundredths
    assert np.allclose(parts * 100, np.round(parts * 100))
    assert (parts[np.array(weights) == 0] == 0).all()


MONEY = st.one_of(st.none(), st.integers(0, 50_000).map(lambda cents: cents / 100))
MINUTES = st.one_of(st.none(), st.integers(0, 400).map(float))
ROW = st.fixed_dictionaries(
    {
        "type": st.sampled_from(["dryer", "washer", "range"]),
        "outcome": st.sampled_from(["sold", "scrapped", "parted", "returned", "listed"]),
        "sold": st.integers(int(DAY) - 300, int(DAY)).map(float),
        "price": MONEY,
        "paid": MONEY,
        "parts": MONEY,
        "fees": MONEY,
        "miles": MINUTES,
        "drive_min": MINUTES,
        "repair_min": MINUTES,
        "clean_min": MINUTES,
        "trip": st.sampled_from([None, "a", "b"]),
    }
)


@given(st.lists(ROW, min_size=1, max_size=12), st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=40)
def test_totals_are_sums_and_do_not_depend_on_the_order_of_rows(
    rows: list[dict[str, Any]], random: Any
) -> None:
    """Each total is the sum of its rows to the cent; shuffled rows give the same totals."""
    shuffled = random.sample(rows, len(rows))
    books = books_of(*rows)
    sums = add_up(books, np.ones(len(rows), dtype=bool))
    again = total(*shuffled)

    assert round(sums.profit * 100) == round(
        sum(round(value * 100) for value in books.profit[books.counted])
    )
    assert round(sums.hours * 100) == sum(
        round(value * 100) for value in books.worked[books.counted]
    )
    assert sums.profit == pytest.approx(
        sum(sums.money[name] for name in IN) - sum(sums.money[name] for name in OUT), abs=0.005
    )
    assert sums.hours == pytest.approx(sum(sums.hours_by_task[task] for task in TASKS), abs=1e-9)
    assert (again.n_ended, again.n_sold) == (sums.n_ended, sums.n_sold)
    assert again.profit == pytest.approx(sums.profit, abs=0.05)
    assert again.hours == pytest.approx(sums.hours, abs=0.05)


def test_the_units_are_not_changed() -> None:
    """Books are made beside the record, never in it."""
    units = from_rows(
        [
            sold(price=100.0, trip="a", drive_min=10.0),
            sold(price=100.0, trip="a", drive_min=10.0, hours=1.0),
        ]
    )
    before = {name: values.copy() for name, values in units.numbers.items()}

    keep_books(units, Settings(), AS_OF)

    assert all(
        np.array_equal(values, units.numbers[name], equal_nan=True)
        for name, values in before.items()
    )


def test_no_rows_at_all() -> None:
    """An empty record has empty books."""
    books = keep_books(Units(0, {}, {}), Settings(), AS_OF)

    assert add_up(books, np.zeros(0, dtype=bool)).per_hour is None
