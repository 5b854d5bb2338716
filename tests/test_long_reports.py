"""Long records: sums over all of them, searches and replays in a fair sample by month, and said so."""

from __future__ import annotations

import datetime
from pathlib import Path

import numpy as np
import pytest

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.pages import accuracy_text
from pricing.proof import accuracy
from pricing.proof.reportcard import score
from pricing.quarter import standouts
from pricing.quarter.front import make_front
from pricing.quarter.money import keep_books
from pricing.quarter.period import Quarter, fair
from pricing.wording import first_page

DAY = datetime.date(2026, 10, 5)
N = 400


def sold(i: int, draw: np.random.Generator) -> dict[str, object]:
    """An invented sale; a board costs more than the unit brings."""
    board = i % 8 == 0
    day = datetime.date(2025, 1, 1).toordinal() + 3 * i // 2
    row = {"unit": f"L{i}", "type": ("gas range", "dishwasher")[i % 2], "outcome": "sold"}
    numbers = {
        "paid": 20.0, "parts": 95.0 if board else 20.0, "hours": 3.0, "got": day - 20.0,
        "listed": day - 9.0, "sold": float(day), "price": round(float(draw.normal(160, 15))),
    }  # fmt: skip
    return row | numbers | {"found": "board" if board else "element"}


@pytest.fixture(scope="module")
def rows() -> list[dict[str, object]]:
    draw = np.random.default_rng(3)
    return [sold(i, draw) for i in range(N)]


def test_a_fair_sample_has_of_each_month_its_share() -> None:
    first = datetime.date(2026, 1, 1).toordinal()
    days = np.repeat([first, first + 40.0, np.nan], [600, 300, 100])
    some = fair(days, 100, seed=1)
    assert len(some) == len(set(some.tolist())) == 100
    assert (np.diff(some) > 0).all()
    shares = np.bincount(np.searchsorted([600, 900], some, side="right"))
    assert np.abs(shares - [60, 30, 10]).max() <= 1
    assert len(set(fair(days, 100, seed=2).tolist()) - set(some.tolist())) > 50


def test_what_a_sample_names_is_summed_over_all(
    rows: list[dict[str, object]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(standouts, "MOST_UNITS", 150)
    settings = Settings()
    books = keep_books(from_rows(rows), settings, DAY)
    front = make_front(books, settings, Quarter(2026, 3), DAY, ())
    assert (front.looked_at, front.of) == (150, N)
    found = front.stops[0]
    mine = [row for row in rows if row["found"] == "board"]
    years = (float(rows[-1]["sold"]) - float(rows[0]["sold"])) / 365.25  # type: ignore[arg-type]
    kept = sum(float(row["price"]) - 20 - 95 for row in mine)  # type: ignore[arg-type]
    assert (found.group, found.n) == ("board", len(mine))
    assert found.money == pytest.approx(kept / years)
    assert found.worth == pytest.approx((kept - 3 * 30 * len(mine)) / years)
    assert found.low < found.worth < found.high
    from pricing.pages.compare_text import front_view

    told = " ".join(first_page.lines(front_view(front, settings.currency)))
    assert "a fair sample by month, 150 units of 400 units" in told


def test_accuracy_says_that_it_looked_at_a_sample(
    rows: list[dict[str, object]], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(accuracy, "MOST_UNITS", 60)
    monkeypatch.setattr(accuracy, "learners", lambda settings: {})
    units = from_rows(rows)
    judged = accuracy.judge(units, Settings(), DAY)
    assert (judged.looked_at, judged.of) == (60, N)
    assert judged.overall is not None
    assert judged.overall.n + judged.n_left == 60
    card = score(Home(tmp_path), units)
    text = " ".join(accuracy_text.accuracy_text(judged, card, "USD"))
    assert "a fair sample by month, 60 of 400 units" in text
    table = accuracy_text.accuracy_json(judged, card, DAY.isoformat(), None)
    assert (table["looked_at"], table["of"]) == (60, N)
