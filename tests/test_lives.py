"""A unit that is sold, comes back and is sold again: counts, money and past quarters stay right."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.pipeline import adding, keeping
from pricing.record.current import read_current

TODAY = date(2026, 11, 25)
SALES = "unit,type,age,condition,got,listed,sold,paid,asked,price,outcome\n" + "".join(
    f"{n},electric dryer,8,good,2026-08-0{n},2026-08-1{n},2026-08-2{n},20,200,190,sold\n"
    for n in range(1, 7)
)
BACK = "unit,type,outcome,refund,comeback\n1,electric dryer,returned,190,2026-09-20\n"
AGAIN = "unit,type,outcome,listed,asked\n1,electric dryer,listed,2026-10-20,180\n"
SOLD = "unit,type,outcome,sold,price\n1,electric dryer,sold,2026-11-10,150\n"


def home_of(tmp_path: Path, *sheets: str) -> Home:
    home = Home(tmp_path / "home")
    for place, text in enumerate(sheets):
        path = tmp_path / f"{place}.csv"
        path.write_text(text)
        adding.add(home, path, Settings(), TODAY)
    return home


def money(home: Home) -> float:
    """Sum of what all units left, by hand: price less refund less paid."""
    rows = read_current(home).to_pylist()
    return sum(float((r["price"] or 0) - (r["refund"] or 0) - (r["paid"] or 0)) for r in rows)


def test_sold_again_by_hand(tmp_path: Path) -> None:
    """Six at 190 for 20 each, one refunded whole and sold again at 150: 6 x 170 - 190 + 150 = 980."""
    home = home_of(tmp_path, SALES, BACK, AGAIN, SOLD)
    assert money(home) == 980
    assert sum(row["outcome"] == "sold" for row in read_current(home).to_pylist()) == 6


def test_listed_again_it_waits_for_its_buyer_and_the_past_stays(tmp_path: Path) -> None:
    home = home_of(tmp_path, SALES, BACK)
    before = money(home)
    path = tmp_path / "again.csv"
    path.write_text(AGAIN)
    adding.add(home, path, Settings(), TODAY)
    rows = {row["key"]: row for row in read_current(home).to_pylist()}
    assert money(home) == before == 830
    assert rows["1 (sale 1)"]["sold"] == date(2026, 8, 21)
    assert rows["1"]["sold"] is None and rows["1"]["listed"] == date(2026, 10, 20)
    assert rows["1"]["paid"] is None and rows["1"]["age"] == 8
    keeping.undo(home, None, TODAY)
    assert {row["key"] for row in read_current(home).to_pylist()} == set("123456")
    assert money(home) == before


def test_sold_again_without_a_word_of_the_listing(tmp_path: Path) -> None:
    assert money(home_of(tmp_path, SALES, BACK, SOLD)) == 980


def test_a_whole_sheet_that_writes_over_its_line_loses_no_sale(tmp_path: Path) -> None:
    """The line of the first unit now tells of its second sale, and still what was paid for it."""
    again = SALES.replace(
        "1,electric dryer,8,good,2026-08-01,2026-08-11,2026-08-21,20,200,190,sold",
        "1,electric dryer,8,good,2026-08-01,2026-10-20,2026-11-10,20,180,150,sold",
    )
    assert money(home_of(tmp_path, SALES, BACK, again)) == 980


def test_a_slip_put_right_is_no_second_life(tmp_path: Path) -> None:
    slip = "unit,type,outcome,sold,price\n2,electric dryer,listed,,\n"
    home = home_of(tmp_path, SALES, slip)
    assert len(read_current(home)) == 6
