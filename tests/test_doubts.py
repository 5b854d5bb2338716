"""Values that look like slips: found where one was made, seldom where none was; in no sum until
answered; asked when the sheet is added, answered by one command or one press."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from conftest import DEMO_DAY
from web_client import Browser

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.basis.units import Units, from_rows
from pricing.cli import group
from pricing.pipeline.doubting import answer, asked
from pricing.pipeline.reporting import books_of
from pricing.quarter.doubts import doubts
from pricing.quarter.money import add_up
from pricing.quarter.period import Quarter
from pricing.quarter.yearly import make_year


def run(home: Home, *words: str) -> str:
    arguments = [*words, "--home", str(home.path), "--as-of", DEMO_DAY.isoformat()]
    return CliRunner().invoke(group, arguments, catch_exceptions=False).output


def invented(seed: int, n: int = 200) -> Units:
    """Units without a slip: prices, asks, costs and minutes as a shop writes them, skewed."""
    draw = np.random.default_rng(seed)
    rows = []
    for i in range(n):
        kind = int(draw.integers(4))
        worth = float((150, 240, 420, 600)[kind] * draw.lognormal(0, 0.3))
        ask = round(worth * draw.uniform(1.0, 1.35))
        rows.append(
            {
                "unit": f"U{i}",
                "type": ("dryer", "washer", "fridge", "range")[kind],
                "outcome": "sold",
                "sold": 739_000.0 + i,
                "asked": str(ask) if draw.random() < 0.7 else "",
                "price": round(ask * draw.uniform(0.55, 1.0)),
                "paid": float(draw.choice([0, 0, 10, 30, 60, 120])),
                "parts": round(float(draw.lognormal(3.0, 0.9)), 2),
                "repair_min": round(float(draw.lognormal(3.8, 0.5))),
                "drive_min": round(float(draw.lognormal(3.6, 0.5))),
            }
        )
    return from_rows(rows)


def test_what_was_written_right_is_seldom_doubted() -> None:
    """Of 40 invented records of 200 units without a slip at most 2 units in a thousand."""
    wrong = sum(len(doubts(invented(seed))) for seed in range(40))
    print(f"doubted though right: {wrong} of 8,000 units")
    assert wrong <= 16


@pytest.mark.parametrize(
    ("column", "times", "least"), [("price", 10, 0.9), ("price", 0.1, 0.9), ("paid", 10, 0.3)]
)
def test_a_nought_too_many_is_found(column: str, times: float, least: float) -> None:
    """Found, with what was meant, in at least so many of the records with one slip."""
    found = meant = n = 0
    for seed in range(60):
        units = invented(seed)
        values = units.number(column).copy()
        row = int(np.flatnonzero(values > 0)[seed % 40])
        right = float(values[row])
        values[row] = right * times
        of_row = [one for one in doubts(units.replaced(**{column: values})) if one.row == row]
        n += 1
        found += bool(of_row)
        meant += any(one.likely == pytest.approx(right, abs=0.01) for one in of_row)
    print(f"{column} times {times}: {found} of {n} found, {meant} with what was meant")
    assert found >= least * n and meant >= 0.85 * found


def test_a_slip_is_in_no_sum_until_it_is_answered(demo_home: Home) -> None:
    """DEMO-090 was asked at 189 and has 1,890 as its price: without it 2025Q3 keeps 1,890 less its
    costs less; the receipts of 2025 are short of it; answered, all sums have it again."""
    settings, quarter = Settings(), Quarter(2025, 3)
    before = books_of(demo_home, settings, DEMO_DAY)
    inside = quarter.holds(before.day)
    assert [(one.unit, one.likely) for one in before.doubts] == [("DEMO-090", 189.0)]
    place = before.doubts[0].row
    assert not before.counted[place] and before.doubted[place]
    sums = add_up(before, inside)
    receipts = make_year(before, settings, 2025).receipts.rows[-1][3]

    with pytest.raises(Refused, match="looks like a slip"):
        answer(demo_home, settings, DEMO_DAY, "DEMO-091", "right")
    answer(demo_home, settings, DEMO_DAY, "DEMO-090", "189")
    after = books_of(demo_home, settings, DEMO_DAY)
    with_it = add_up(after, quarter.holds(after.day))

    assert asked(demo_home, settings, DEMO_DAY) == ()
    assert with_it.profit - sums.profit == pytest.approx(189 - 30 - 17.70 - 2 * 9 * 0.45)
    assert with_it.hours - sums.hours == pytest.approx((39 + 40 + 50 + 20) / 60, abs=0.02)
    assert make_year(after, settings, 2025).receipts.rows[-1][3] == pytest.approx(receipts + 189)  # type: ignore[operator]


def test_the_report_shows_the_sums_before_and_after(demo_home_once: Home) -> None:
    """Without, as written and as meant: 2025Q3, from the sheet's own cells."""
    front = json.loads(run(demo_home_once, "compare", "--json"))["front"]
    one = front["asked"][0]

    assert (one["unit"], one["column"], one["value"], one["likely"]) == (
        "DEMO-090",
        "price",
        1890,
        189,
    )
    costs = 30 + 17.70 + 2 * 9 * 0.45
    assert one["written"]["profit"] - one["without"]["profit"] == pytest.approx(1890 - costs)
    assert one["meant"]["profit"] - one["without"]["profit"] == pytest.approx(189 - costs)


def test_said_to_be_right_it_counts_as_written_and_is_not_asked_again(demo_home: Home) -> None:
    assert "did you mean $189?" in " ".join(run(demo_home, "slip").split())
    run(demo_home, "slip", "DEMO-090", "right")
    books = books_of(demo_home, Settings(), DEMO_DAY)

    assert books.doubts == () and books.counted[books.units.word("unit").texts().index("DEMO-090")]
    assert "Nothing looks like a slip" in run(demo_home, "slip")


def test_it_is_asked_at_once_when_a_sheet_is_added(tmp_path: Path) -> None:
    """The question and both answers, on add."""
    sheet = tmp_path / "units.csv"
    rows = [f"{i},electric dryer,sold,2026-0{1 + i % 8}-11,{180 + i},{200 + i}" for i in range(10)]
    rows.append("90,electric dryer,sold,2026-08-20,1890,189")
    head = "unit,type,outcome,sold,price,asked"
    sheet.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    said = " ".join(run(Home(tmp_path / "home"), "add", str(sheet)).split())

    assert "90, sold for $1,890, left out: did you mean $189?" in said
    assert "pricing slip 90 189 (or right)" in said


def test_one_press_answers_it(demo_home: Home) -> None:
    browser = Browser(demo_home, DEMO_DAY)
    page = browser.get("/compare")
    assert "did you mean $189?" in page.text
    form = next(form for form in page.forms if form.action == "/compare/slip")
    form.names.add("said")  # the buttons' own
    browser.send(form, said="189.0")

    assert asked(demo_home, Settings(), DEMO_DAY) == ()
    assert "did you mean" not in browser.get("/compare").text
