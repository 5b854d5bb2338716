"""Kept answers: one new file each time, nothing ever rewritten, a failed write a warning, and marks
once the unit is sold."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pricing.basis.home import Home
from pricing.basis.units import Units, from_rows
from pricing.proof.reportcard import keep, read, score

DAY = date(2026, 4, 1)


def answer(unit: str, median: float, low: float, high: float, **said: Any) -> dict[str, Any]:
    return {
        "unit": {"unit": unit, **said},
        "median": median,
        "low": low,
        "high": high,
        "coverage": 0.8,
        "ask": median * 1.1,
    }


def sold(unit: str, price: float, day: date, **more: Any) -> dict[str, Any]:
    return {
        "unit": unit,
        "type": "electric dryer",
        "price": price,
        "sold": float(day.toordinal()),
        "outcome": "sold",
        **more,
    }


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


def test_tool_and_person_are_marked_by_hand(home: Home) -> None:
    """Sold at 100: tool 110 (10 % off, caught), person 95 (5 %, nearer). Sold at 200: tool 190 (5
    %, nearer), person 150, missed low. 212 not sold yet."""
    assert keep(home, answer("210", 110, 90, 130), 95.0, DAY) is None
    assert keep(home, answer("211", 190, 150, 199), 150.0, DAY) is None
    assert keep(home, answer("212", 300, 250, 350), None, DAY) is None
    card = score(
        home,
        from_rows(
            [
                sold("210", 100.0, date(2026, 4, 20)),
                sold("211", 200.0, date(2026, 4, 9)),
                {"unit": "212", "type": "wall oven"},
            ]
        ),
    )

    assert (card.n_kept, card.n_open, len(card.scored), card.n_caught) == (3, 1, 2, 1)
    assert [one.unit for one in card.scored] == ["211", "210"]  # by day sold
    assert card.off == pytest.approx((0.10 + 0.05) / 2)
    assert card.off_both == (pytest.approx(0.075), pytest.approx((0.05 + 0.25) / 2))
    assert card.nearer == (1, 1, 0)


def test_each_call_writes_one_new_file_and_touches_no_other(home: Home) -> None:
    keep(home, answer("1", 10, 8, 12), None, DAY)
    folder = home.data / "estimates"
    first = {path.name: path.read_bytes() for path in folder.iterdir()}
    keep(home, [answer("2", 10, 8, 12), answer("3", 10, 8, 12)], None, DAY)
    second = {path.name: path.read_bytes() for path in folder.iterdir()}

    assert [*first] == ["000001.jsonl"]
    assert {name: second[name] for name in first} == first
    assert second["000002.jsonl"].count(b"\n") == 2
    assert all(
        json.loads(line)["as_of"] == "2026-04-01"
        for data in second.values()
        for line in data.splitlines()
    )


def test_a_failed_write_is_a_sentence(home: Home) -> None:
    """A file where the folder should be: the answer stands, the sentence says why it was
    not kept."""
    home.data.mkdir(parents=True)
    (home.data / "estimates").write_text("in the way")
    warning = keep(home, answer("1", 10, 8, 12), None, DAY)

    assert warning is not None
    assert "not kept" in warning


def test_a_unit_asked_about_again_counts_once_with_the_last_answer_before_the_sale(
    home: Home,
) -> None:
    """The own number of the first answer stays beside the second. An answer given after the sale
    may have known the price: it does not count."""
    keep(home, answer("1", 100, 80, 120), 130.0, date(2026, 3, 1))
    keep(home, answer("1", 140, 120, 160), None, date(2026, 4, 1))
    keep(home, answer("1", 150, 149, 151), 150.0, date(2026, 5, 1))
    card = score(home, from_rows([sold("1", 150.0, date(2026, 4, 20))]))

    assert [(one.kept.median, one.kept.own) for one in card.scored] == [(140.0, 130.0)]
    assert card.n_open == 1


def test_answers_without_a_number_are_matched_only_where_one_sale_fits(home: Home) -> None:
    """What was said must hold; blanks of the record do not speak against it; two that fit are told
    apart by nobody."""
    keep(
        home, answer("", 100, 80, 120, type="electric dryer", age=8.0, condition="good"), None, DAY
    )
    one = sold("9", 95.0, date(2026, 4, 11), age=8.0, condition="good")
    other = sold("10", 60.0, date(2026, 4, 12), age=15.0, condition="rough")

    assert [scored.unit for scored in score(home, from_rows([one, other])).scored] == ["9"]
    assert score(home, from_rows([one, one | {"unit": "11"}])).scored == ()
    assert score(home, from_rows([other])).n_open == 1


def test_damaged_lines_are_named_and_the_others_count(home: Home) -> None:
    keep(home, answer("1", 10, 8, 12), None, DAY)
    folder = home.data / "estimates"
    good = (folder / "000001.jsonl").read_text()
    bad = [
        "{",
        "[]",
        '{"unit": "2"}',
        good.strip().replace("10", "-10"),
        good.strip().replace("10", "NaN"),
        good.strip().replace("2026-04-01", "soon"),
    ]
    (folder / "000002.jsonl").write_text("\n".join([*bad, good.strip()]) + "\n")
    (folder / "notes.txt").write_text("not ours")
    kept, problems = read(home)

    assert len(kept) == 2
    assert [(Path(problem.file or "").name, problem.line) for problem in problems] == [
        ("000002.jsonl", line) for line in range(1, 7)
    ]


def test_an_offer_is_kept_by_the_price_in_it_and_an_answer_without_a_price_is_passed_over(
    home: Home,
) -> None:
    keep(
        home,
        {
            "unit": {"unit": "7", "type": "electric dryer"},
            "price": {"median": 200.0, "low": 150.0, "high": 260.0, "mean": 205.0},
        },
        None,
        DAY,
    )
    keep(home, {"unit": {"unit": "8"}, "problem": "not readable"}, None, DAY)
    kept, _ = read(home)

    assert [(one.unit, one.median) for one in kept] == [("7", 200.0)]


def test_an_empty_card(home: Home) -> None:
    card = score(home, Units(0, {}, {}))

    assert (card.n_kept, card.n_open, card.scored, card.nearer) == (0, 0, (), (0, 0, 0))
    assert np.isnan(card.off)
