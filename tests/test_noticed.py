"""Small sums and edges that a slip of the pen would change unseen: each was once found by changing
the code a little (`tests/small_changes.py`) and seeing no test fail. Worked by hand."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from invented_sales import DAY, PLAIN, sales
from test_compare import books_of  # the books of a few invented rows

from pricing.advice import spot
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.ingest import dates, read, values
from pricing.model import seen
from pricing.model.learned import learned
from pricing.model.price import encode, price, slips
from pricing.model.price.price_fit import fit_price
from pricing.model.repair import repair_sums
from pricing.model.saletime import listings
from pricing.model.saletime.saletime_fit import fit_saletime
from pricing.quarter import best
from pricing.quarter.compare import compare

TODAY = date(2026, 10, 5)


# ---- cells of a sheet


@pytest.mark.parametrize(
    ("text", "unit", "years"),
    [("18-24", "months", 1.75), ("24", "months", 2.0), ("5-6", "years", 5.5)],
)
def test_a_range_of_months_is_its_middle_in_years(text: str, unit: str, years: float) -> None:
    """(18 + 24) / 2 = 21 months."""
    assert values.read_age(text, "", unit).value.years == pytest.approx(years)


@pytest.mark.parametrize(("column", "told"), [("Recall checked", False), ("Date sold", True)])
def test_no_is_an_answer_to_recall_checked_and_no_day_of_a_sale(
    column: str, told: bool, tmp_path: Path
) -> None:
    sheet = tmp_path / "s.csv"
    other = "Date sold" if column != "Date sold" else "Listed"
    sheet.write_text(
        f"Type,Price,{other},{column}\n"
        "gas range,200,2026-05-01,no\ngas range,210,2026-05-01,2026-05-01\n"
    )
    found = read.read_file(sheet, Settings(), TODAY)
    problems = [
        problem
        for row in (*found.rows, *found.rejected)
        for problem in (*getattr(row, "problems", ()), *getattr(row, "notes", ()))
    ]

    assert any(problem.value == "no" for problem in problems) == told
    # and a day under either heading is read
    name = {"Date sold": "sold", "Recall checked": "recall_checked"}[column]
    assert found.rows[-1].values[name] == date(2026, 5, 1)


def order_of(*texts: str) -> tuple[str, str]:
    found = dates.decide_order([[dates.read_date(text, TODAY)] for text in texts], "", TODAY)
    return found.order, found.how


def test_one_contradiction_in_fifty_is_a_slip_and_one_in_forty_nine_is_not() -> None:
    """A cell that only one order can read is a proof; 13/01 against 01/13."""
    month_first, day_first = ["1/13/2026"], ["13/1/2026"]

    assert order_of(*month_first * 50, *day_first) == ("mdy", "proved")
    assert order_of(*month_first * 49, *day_first) == ("", "")
    assert order_of(*month_first * 19, *day_first) == ("", "")


def test_points_say_that_the_day_comes_first_where_nothing_else_tells() -> None:
    assert order_of("01.02.2024", "03.04.2024") == ("dmy", "points")
    assert order_of("01/02/2024", "03/04/2024") == ("", "")


# ---- numbers of the fit


def test_two_parts_of_a_record_say_together_what_the_whole_says() -> None:
    """Sums of ln price and its square, from which the spread of prices is taken."""
    rows = sales(40)
    whole = seen.look_at(from_rows(rows), PLAIN, DAY)
    parts = [seen.look_at(from_rows(part), PLAIN, DAY) for part in (rows[:25], rows[25:])]
    both = seen.added(*parts)
    prices = np.log([row["price"] for row in rows])

    assert (both.log_sum, both.log_square) == pytest.approx((whole.log_sum, whole.log_square))
    assert both.log_sum == pytest.approx(prices.sum())
    assert both.log_square == pytest.approx((prices**2).sum())


def test_minutes_are_sixty_to_the_hour() -> None:
    row = {"type": "gas range", "diagnose_min": 30.0, "repair_min": 60.0, "clean_min": 24.0}
    bench, rest = repair_sums.work_hours(from_rows([row | {"sell_min": 36.0}]), Settings())

    assert bench.tolist() == pytest.approx([1.5])
    assert rest.tolist() == pytest.approx([1.0])


def test_a_year_is_a_fifth_of_five_years_in_logarithms() -> None:
    """The effect that is told is that of one year: the fifth root of the ratio over five years."""
    model = fit_price(from_rows(sales(120)), PLAIN, DAY)
    day = float(DAY.toordinal())
    told = next(one for one in learned(model, day) if one.kind == "year")
    age = model.usual_age.get(told.of, 6.5)
    pair = from_rows(
        [{"type": told.of, "age": age + step, "condition": "good"} for step in (2.5, -2.5)]
    )
    older, newer = price.law(model, pair, day).center

    assert told.percent == pytest.approx(100 * (np.exp((older - newer) / 5) - 1), rel=1e-6)
    assert told.low < told.percent < told.high < 0


def test_the_weight_of_a_sale_is_that_of_a_t_error() -> None:
    """nu / (nu + r^2 / s^2): a sale that is off by twice as much loses four times the share."""
    rows = sales(60)
    model = fit_price(from_rows(rows), PLAIN, DAY)
    units = from_rows(rows)
    days = units.number("sold")
    read_rows = encode.read(model.encoding, units, days)
    left = np.log(units.number("price")) - read_rows.offset - read_rows.columns @ model.mean
    own = price.own_variance(model, read_rows)

    assert slips._weights(model, units, days) == pytest.approx(
        1 / (1 + (left / np.sqrt(own)) ** 2 / model.nu)
    )


@pytest.mark.parametrize(("listed", "sold", "counts"), [(10, 10, 1), (10, 9, 0), (10, 12, 1)])
def test_a_unit_sold_on_the_day_it_was_listed_was_listed(
    listed: int, sold: int, counts: int
) -> None:
    start = TODAY.toordinal() - 100
    row = {"type": "gas range", "outcome": "sold", "price": 200.0}
    row |= {"listed": float(start + listed), "sold": float(start + sold)}

    assert listings.look_at(from_rows([row]), TODAY).units.n == counts


# ---- what pays


def test_the_scatter_of_a_group_leans_on_all_groups() -> None:
    """Two groups of 3 and 5 units with variances 4 and 9. The first makes twice the usual return, so
    that it may scatter f = 4 times as much: all together (2 x 4/4 + 4 x 9) / 6 = 6.33, and each
    (d s^2 + K f 6.33) / (d + K)."""
    found = best.shared_variance(
        np.array([4.0, 9.0]), np.array([3.0, 5.0]), np.array([20.0, 10.0]), 10.0, 1.0
    )
    k, together = float(best.UNITS_OF_ALL), (2 * 1 + 4 * 9) / 6

    assert found.tolist() == pytest.approx(
        [(2 * 4 + k * 4 * together) / (2 + k), (4 * 9 + k * together) / (4 + k)]
    )


def test_scrap_of_those_that_fail_makes_a_place_in_the_shop_worth_more() -> None:
    """share V + (1 - share) scrap: scrap counts for the units that are not sold."""
    units = from_rows(sales(80))
    prices = fit_price(units, PLAIN, DAY)
    times = fit_saletime(units, prices, PLAIN, DAY)
    turned = spot.Turned(Counter({"gas range": 80}), 100.0, 60.0, 4000.0, 80.0, 160.0)

    def earns(scrap: float) -> float:
        own = replace(PLAIN, assumed_types={"gas range": {"scrap": scrap}})
        return spot.spot_price(turned, prices, times, own, DAY)

    assert earns(0.0) < earns(60.0)


def test_money_and_work_put_into_a_unit_make_a_place_in_the_shop_worth_less() -> None:
    units = from_rows(sales(80))
    prices = fit_price(units, PLAIN, DAY)
    times = fit_saletime(units, prices, PLAIN, DAY)

    def earns(money: float, target: float) -> float:
        turned = spot.Turned(Counter({"gas range": 80}), 100.0, 60.0, money, 80.0, 160.0)
        return spot.spot_price(turned, prices, times, replace(PLAIN, hourly_target=target), DAY)

    assert earns(4000.0, 30.0) > earns(6000.0, 30.0)
    assert earns(4000.0, 10.0) > earns(4000.0, 30.0)


@pytest.mark.parametrize(("share", "named"), [(0.9, False), (1.2, True)])
def test_one_unit_is_named_where_it_moves_its_group_by_a_quarter(share: float, named: bool) -> None:
    """Eleven units that make 100 in an hour, and one that makes so much more that the return
    without it is lower by a little less, or a little more, than a quarter of it."""
    # with it (1,100 + x) / 12, without it 100: they differ by a quarter of the first at x = 300
    wild = (1100 + 100) * (1 / (1 - 0.25 * share) - 1) + 100
    row = {"type": "gas range", "outcome": "sold", "sold": 739000.0, "hours": 1.0, "paid": 0.0}
    rows = [row | {"unit": f"U{i}", "parts": 0.0, "price": 100.0} for i in range(11)]
    rows.append(row | {"unit": "wild", "parts": 0.0, "price": wild})
    [group] = compare(books_of(*rows), Settings()).groups

    assert group.wild == ("wild" if named else "")
