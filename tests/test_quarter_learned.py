"""What the report says of prices and calls: differences with ranges, the level over time, and calls
that know nothing of the quarter."""

from __future__ import annotations

from datetime import date
from typing import Any

import numpy as np
import pytest

from pricing.basis.settings import Settings
from pricing.basis.units import Coded, Units, from_rows
from pricing.model.price import price
from pricing.model.price.price_fit import fit_price
from pricing.pages.quarter_learned import (
    answered_table,
    calls_sentence,
    level_takeaway,
    limits_section,
    prices_section,
)
from pricing.pipeline.reporting import learn
from pricing.proof.reportcard import KeptAnswer, ReportCard, Scored
from pricing.quarter.limits import CalledSale, fitting_settings, judge
from pricing.quarter.money import keep_books
from pricing.quarter.period import Quarter
from pricing.quarter.worth import contrast, price_level, worths

AS_OF = date(2026, 10, 5)


def day(text: str) -> float:
    return float(date.fromisoformat(text).toordinal())


def sales(
    seed: int = 0, n: int = 150, last: str = "2026-09-30", drift: float = 0.0
) -> list[dict[str, Any]]:
    """Invented sales of a known law: a year older -6 %, good over fair +15 %, steam +20 %, scatter
    8 %; `drift` a year in the level."""
    rng = np.random.default_rng(seed)
    rows = []
    for i in range(n):
        sold = day("2025-01-01") + float(rng.integers(0, int(day(last) - day("2025-01-01"))))
        age, good, steam = (
            float(rng.integers(2, 13)),
            bool(rng.random() < 0.5),
            bool(rng.random() < 0.5),
        )
        level = (
            np.log(250)
            - 0.06 * (age - 6)
            + 0.15 * good
            + 0.2 * steam
            + drift * (sold - day("2026-01-01")) / 365
        )
        rows.append(
            {
                "unit": f"S{i}",
                "type": "front-load washer",
                "age": age,
                "condition": "good" if good else "fair",
                "features": "steam" if steam else None,
                "price": round(float(np.exp(level + 0.08 * rng.normal())), 2),
                "sold": sold,
                "got": sold - 30,
                "listed": sold - 10,
                "outcome": "sold",
                "paid": 20.0,
                "parts": 10.0,
                "hours": 2.0,
            }
        )
    return rows


@pytest.fixture(scope="module")
def fitted() -> tuple[price.PriceNumbers, Units]:
    units = from_rows(sales())
    return fit_price(units, Settings(), AS_OF), units


def test_what_things_are_worth_comes_out_of_a_known_law(
    fitted: tuple[price.PriceNumbers, Units],
) -> None:
    """Three years -16.5 %, good over fair +16 %, steam +22 %: each range holds its truth, and says
    so where zero is out."""
    by_name = {worth.what: worth for worth in worths(*fitted, AS_OF)}

    for name, truth in (
        ("3 years older", np.exp(-0.18) - 1),
        ("good instead of fair", np.exp(0.15) - 1),
        ("steam", np.exp(0.2) - 1),
    ):
        worth = by_name[name]
        assert worth.low - 0.02 < truth < worth.high + 0.02
        assert worth.low < worth.share < worth.high
        assert worth.clear
    assert by_name["steam"].n == sum(text == "steam" for text in fitted[1].word("features").texts())


def test_a_contrast_agrees_with_the_law_of_the_two_units(
    fitted: tuple[price.PriceNumbers, Units],
) -> None:
    """The difference is that of the two centers, and of a unit with itself it is 0 for sure."""
    model, units = fitted
    one, other = units.take(np.array([0])), units.take(np.array([1]))
    today = float(AS_OF.toordinal())

    difference, error = contrast(model, one, other, today, today)
    same, nothing = contrast(model, one, one, today, today)

    assert difference[0] == pytest.approx(
        price.law(model, one, today).center[0] - price.law(model, other, today).center[0], abs=1e-9
    )
    assert 0 < error[0] < 0.2
    assert (same[0], nothing[0]) == (0.0, 0.0)


def test_the_level_over_time_ends_at_one_and_follows_the_drift() -> None:
    """Prices that rise by a fifth a year: a year before the end they stood at about .82, and the
    sentence says more; sales counted."""
    units = from_rows(sales(drift=0.2, n=300))
    model = fit_price(units, Settings(), AS_OF)
    level = price_level(model, units, date(2026, 9, 30))

    assert level is not None
    assert (level.level[-1], level.low[-1], level.high[-1]) == (1.0, 1.0, 1.0)
    assert level.level[-13] == pytest.approx(np.exp(-0.2), abs=0.06)
    assert level.n.sum() == 300
    assert "more than in 2025-09" in level_takeaway(level)


def test_prices_cannot_tell_yet_with_a_handful_of_sales() -> None:
    """No sale, and sales in two months only: a sentence each, no picture."""
    units = from_rows(sales(n=5, last="2025-02-20"))
    model = fit_price(units, Settings(), AS_OF)

    assert price_level(model, units, AS_OF) is None
    assert "too early to say" in prices_section(None, (), "USD", 0).paragraphs[0]
    assert "cannot be told yet" in prices_section(None, (), "USD", 5).paragraphs[1]
    assert price_level(model, Units(0, {}, {}), AS_OF) is None


def test_the_calls_know_nothing_of_the_quarter() -> None:
    """Prices of the quarter itself do not move the calls on it; a quarter three times dearer is
    simply missed. A price that looks like a slip is no call until it is answered."""
    rows = sales()
    books = keep_books(from_rows(rows), Settings(), AS_OF)
    dear = [
        row | {"price": row["price"] * 3} if row["sold"] >= day("2026-07-01") else row
        for row in rows
    ]

    first = learn(books, Settings(), Quarter(2026, 3)).calls
    second = learn(
        keep_books(from_rows(dear), Settings(), AS_OF), Settings(), Quarter(2026, 3)
    ).calls

    assert first is not None and second is not None
    assert [(call.low, call.middle, call.high) for call in first.calls] == [
        (call.low, call.middle, call.high) for call in second.calls
    ]
    assert first.n_caught > 0.6 * len(first.calls)
    assert second.n_caught == 0
    assert first.n_learned == sum(row["sold"] < day("2026-07-01") for row in rows)
    assert len(second.calls) == len(first.calls)
    last = max(range(len(rows)), key=lambda i: rows[i]["sold"])
    slip = [
        row
        | {"unit": str(i)}
        | ({"price": row["price"] * 10, "asked": f":{row['price']}"} if i == last else {})
        for i, row in enumerate(rows)
    ]
    third = learn(
        keep_books(from_rows(slip), Settings(), AS_OF), Settings(), Quarter(2026, 3)
    ).calls
    assert third is not None and len(third.calls) == len(first.calls) - 1


@pytest.mark.parametrize(
    ("quarter", "calls", "n_sales"),
    [
        (Quarter(2024, 4), False, 0),
        (Quarter(2025, 1), False, None),
        (Quarter(2030, 1), False, 150),
        (Quarter(2025, 2), True, None),
    ],
)
def test_first_and_empty_quarters_have_no_calls(
    quarter: Quarter, calls: bool, n_sales: int | None
) -> None:
    """Before the record, its first quarter, and one ahead have none; the second has some."""
    learned = learn(keep_books(from_rows(sales()), Settings(), AS_OF), Settings(), quarter)

    assert (learned.calls is not None) == calls
    assert n_sales is None or learned.n_sales == n_sales


def test_the_sentence_on_the_calls() -> None:
    """Where the calls ran high by type it says so; else by the middle; else neither."""
    high = judge(
        [CalledSale(str(i), "dryer", 100.0, 90.0, 112.0, 130.0) for i in range(4)], 0.8, 30
    )
    even = judge(
        [CalledSale(str(i), "dryer", 100.0, 90.0, 101.0, 130.0) for i in range(4)], 0.8, 30
    )
    few = judge([CalledSale("1", "dryer", 100.0, 110.0, 120.0, 130.0)], 0.9, 30)

    assert (
        calls_sentence(high, "USD")
        == "My price range caught 4 of 4 sales (I promise 80%); my estimates ran $12 high on"
        " dryers."
    )
    assert (
        calls_sentence(even, "USD")
        == "My price range caught 4 of 4 sales (I promise 80%); my estimates ran neither high nor"
        " low."
    )
    assert (
        calls_sentence(few, "USD")
        == "My price range caught 0 of 1 sale (I promise 90%); my estimates ran 20% high."
    )
    assert calls_sentence(judge([], 0.8, 3), "USD") is None


def test_answers_given_at_the_time_and_the_persons_own_numbers() -> None:
    """Only answers whose unit sold in the quarter count; where both spoke, who was nearer."""

    def scored(unit: str, sold: str, price_: float, own: float | None) -> Scored:
        return Scored(
            KeptAnswer(unit, date(2026, 6, 1), 200.0, 150.0, 260.0, 0.8, own, {}),
            unit,
            "dryer",
            date.fromisoformat(sold),
            price_,
        )

    card = ReportCard(
        4,
        0,
        (
            scored("a", "2026-08-01", 210.0, 240.0),
            scored("b", "2026-08-02", 300.0, 290.0),
            scored("c", "2026-08-03", 180.0, None),
            scored("d", "2026-12-03", 180.0, 180.0),
        ),
        (),
    )
    table = answered_table(card, Quarter(2026, 3))

    assert table is not None
    counts = {row[0].strip(): row[1] for row in table.rows}
    assert (
        counts["answers given whose unit sold in the quarter"],
        counts["of them the sale fell in the range I gave"],
    ) == ("3", "2")
    assert (counts["mine was nearer"], counts["yours was nearer"], counts["both alike"]) == (
        "1",
        "1",
        "0",
    )
    assert answered_table(card, Quarter(2020, 1)) is None
    assert answered_table(None, Quarter(2026, 3)) is None


def test_words_of_a_unit_may_be_blank() -> None:
    """Types that nobody named, and features nobody wrote, are no reason to fail."""
    units = Units(
        4,
        {"price": np.array([100.0, 120.0, 90.0, 110.0]), "sold": np.full(4, day("2026-05-01"))},
        {"type": Coded.of(["", "", "", ""])},
    )
    model = fit_price(units, Settings(), AS_OF)

    assert worths(model, units, AS_OF) == ()


def test_limits_know_only_what_was_told_before_the_drive() -> None:
    """What came after the drive (price, parts, finding, hours) moves no limit; what was paid
    decides on which side a unit falls."""
    rows = [
        row | {"fault": "won't drain", "miles": 6.0, "found": "pump", "repair": "pump"}
        for row in sales(n=60)
    ]
    changed = [
        row
        | (
            {
                "price": 9.0,
                "parts": 300.0,
                "hours": 9.0,
                "found": "tub bearing",
                "repair": "tub bearing",
            }
            if row["sold"] >= day("2026-07-01")
            else {}
        )
        for row in rows
    ]
    dear = [row | ({"paid": 900.0} if row["sold"] >= day("2026-07-01") else {}) for row in rows]

    first, second, third = (
        learn(keep_books(from_rows(table), Settings(), AS_OF), Settings(), Quarter(2026, 3)).limits
        for table in (rows, changed, dear)
    )

    assert first is not None and second is not None and third is not None
    assert (
        [each.limit for each in first.units]
        == [each.limit for each in second.units]
        == [each.limit for each in third.units]
    )
    assert all(each.over for each in third.units)
    assert (
        first.side(True)[0] + first.side(False)[0]
        == len(first.units)
        == sum(row["sold"] >= day("2026-07-01") for row in rows)
    )
    assert round(first.side(True)[1] + first.side(False)[1], 2) == round(
        sum(each.profit for each in first.units), 2
    )
    section = limits_section(third, "USD")
    assert (
        "you'd have left" in section.paragraphs[1]
        and "kept nothing on the rest" in section.paragraphs[1]
    )
    assert "can be judged" in limits_section(None, "USD").paragraphs[0]


def test_what_the_offers_would_have_said_stands_beside_what_came() -> None:
    """Month by month and together, added up by hand from the rows: units, fixed, parts of the fixed
    ones, hours, money; what was said hangs on nothing that came later."""
    rows = [
        row | {"fault": "won't drain", "miles": 6.0, "parts": 12.5, "hours": 1.5, "drive_min": 30.0}
        for row in sales(n=60)
    ]
    late = [i for i, row in enumerate(rows) if row["sold"] >= day("2026-07-01")]
    lost = set(late[::3])
    for i in lost:
        rows[i] |= {"outcome": "scrapped", "price": None}
    changed = [
        row | {"parts": 40.0, "hours": 4.0} if i in late else row for i, row in enumerate(rows)
    ]
    first, second = (
        learn(keep_books(from_rows(table), Settings(), AS_OF), Settings(), Quarter(2026, 3)).limits
        for table in (rows, changed)
    )
    assert first is not None and second is not None
    assert [one.said for one in first.units] == [one.said for one in second.units]
    assert all(0 < one.said.fixed < 1 and one.said.days for one in first.units)

    table = next(one for one in limits_section(second, "USD").tables if one.head[0] == "Month")
    (total,) = table.foot
    by_head = dict(zip(table.head, total, strict=True))
    months = {date.fromordinal(int(rows[i]["sold"])).isoformat()[:7] for i in late}
    assert [row[0] for row in table.rows] == sorted(months)
    kept = sum((0 if i in lost else rows[i]["price"]) - 20.0 - 40.0 - 2 * 6 * 0.45 for i in late)
    fixed = len(late) - len(lost)
    assert by_head["Units"] == str(len(late)) and by_head["fixed"] == f"{fixed}"
    assert by_head["parts"] == f"${40.0 * fixed:,.2f}"
    assert by_head["hours"] == f"{4.5 * len(late):,.2f}"
    assert by_head["kept"].replace("$", "").replace(",", "") == f"{kept:.2f}"
    said = sum(one.said.kept for one in second.units)
    assert by_head["Kept, said"].replace("$", "").replace(",", "") == f"{said:.2f}"
    # every sale was ten days after its listing
    within = sum(one.said.days >= 10 for one in second.units if one.was.fixed)
    assert by_head["Sold in my days"] == f"{within} of {fixed}"


def test_settings_that_would_have_fitted_are_proposed() -> None:
    """Drives at 20 miles an hour with a quarter of an hour each beside, at $.30 a mile, sold through
    somebody who takes 8 %: three settings, each by its command; none where the settings fit."""
    rows = [
        row | {"miles": 4.0 + i % 9, "drive_min": 60 * 2 * (4.0 + i % 9) / 20 + 15,
               "haul_cost": round(2 * (4.0 + i % 9) * 0.3, 2), "fees": round(row["price"] * 0.08, 2)}
        for i, row in enumerate(sales(n=40))
    ]  # fmt: skip
    books = keep_books(from_rows(rows), Settings(), AS_OF)
    found = fitting_settings(books, Settings())
    assert {key: value for key, (_, value, _) in found.items()} == {
        "average_speed": 20.0, "cost_per_distance": 0.3, "selling_fee_share": 0.08,
    }  # fmt: skip
    said = " ".join(limits_section(None, "USD", found).paragraphs)
    for words in ("average_speed 20", "cost_per_distance 0.3", "selling_fee_share 0.08"):
        assert f"pricing settings {words}" in said
    fitted = Settings(average_speed=20.5, cost_per_distance=0.31, selling_fee_share=0.08)
    assert fitting_settings(books, fitted) == {}
    assert fitting_settings(keep_books(from_rows(rows[:9]), Settings(), AS_OF), Settings()) == {}
