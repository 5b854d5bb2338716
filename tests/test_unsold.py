"""Units that wait: what is normal for each, what comes next, and which to clear first."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from pricing.advice import ask
from pricing.advice.unsold import Unsold, Waiting, unsold
from pricing.basis.home import Home
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.model import saved
from pricing.model.saved import Saved
from pricing.pages import laid_out
from pricing.pages.text import width_of
from pricing.pipeline.demo import DEMO_DAY
from pricing.wording import unsold_words as words

UNIT = {"type": "front-load washer", "age": 7.0, "condition": "good", "outcome": "listed"}


@pytest.fixture(scope="module")
def demo(demo_home_once: Home) -> Saved:
    return saved.load(demo_home_once)


def before(days: int) -> str:
    return (DEMO_DAY - timedelta(days=days)).isoformat()


def judged(numbers: Saved, *rows: dict[str, Any], settings: Settings | None = None) -> Unsold:
    return unsold(
        [{**UNIT, "unit": f"U{place}", **row} for place, row in enumerate(rows)],
        numbers,
        settings or Settings(),
        DEMO_DAY,
    )


def one(numbers: Saved, settings: Settings | None = None, **row: Any) -> Waiting:
    (found,) = judged(numbers, row, settings=settings).waiting
    return found


def usual(numbers: Saved) -> float:
    return ask.decide(
        Question({name: value for name, value in UNIT.items() if name != "outcome"}),
        numbers,
        Settings(),
        DEMO_DAY,
    ).median


def test_every_open_unit_is_in_one_of_the_lists(demo: Saved) -> None:
    """Listed, listed without a date, or in the shop; nothing twice and nothing lost."""
    rows = demo.open_units()
    found = unsold(rows, demo, Settings(), DEMO_DAY)
    names = [entry.unit for part in (found.waiting, found.undated, found.in_work) for entry in part]

    assert sorted(names) == sorted(str(row["unit"]) for row in rows)
    assert sorted(entry.order for entry in found.waiting) == list(range(1, len(found.waiting) + 1))
    assert {entry.outcome for entry in found.in_work} <= {"in work", "waiting for part"}


def test_the_longer_it_sits_the_fewer_would_still_be_there(demo: Saved) -> None:
    chances = [
        one(demo, listed=before(days), asked=f"{usual(demo):.0f}").still for days in (0, 5, 15, 40)
    ]

    assert chances[0] == pytest.approx(1)
    assert (np.diff(chances) < 0).all()


def test_half_are_gone_on_the_normal_day(demo: Saved) -> None:
    """The two figures speak of the same curve: on day `normal` half of them would still be
    there."""
    asked = f"{usual(demo):.0f}"
    normal = round(one(demo, listed=before(1), asked=asked).normal)

    assert_allclose(one(demo, listed=before(normal), asked=asked).still, 0.5, atol=0.03)


def test_a_dear_unit_is_told_to_come_down_and_a_cheap_one_is_left(demo: Saved) -> None:
    worth = usual(demo)
    dear = one(demo, listed=before(20), asked=f"{1.6 * worth:.0f}")
    cheap = one(demo, listed=before(1), asked=f"{0.8 * worth:.0f}")

    assert dear.step == "come down"
    assert dear.on == DEMO_DAY
    assert dear.to < 1.6 * worth
    assert cheap.on > DEMO_DAY
    assert dear.normal > cheap.normal
    assert cheap.least <= 0.8 * worth


def test_time_is_up(demo: Saved) -> None:
    found = one(demo, listed=before(70), asked="300")

    assert (found.step, found.on) == ("clear it out", DEMO_DAY)
    assert_allclose(found.to, found.clear_at)


def test_the_unit_that_brings_least_by_staying_goes_first(demo: Saved) -> None:
    """One whose days are up brings nothing more by staying; a fresh one does."""
    found = judged(
        demo,
        {"listed": before(2), "asked": "320"},
        {"listed": before(70), "asked": "320"},
        {"listed": before(20), "asked": "320"},
    )
    order = {entry.unit: entry.order for entry in found.waiting}

    assert order["U1"] == 1
    assert order["U0"] > order["U1"]


def test_listed_without_an_ask_has_used_up_its_time(demo: Saved) -> None:
    found = one(demo, listed=before(30))

    assert found.asked is None
    assert found.step == "put a price on it"
    assert found.days == 30
    assert found.still < 1


@pytest.mark.parametrize("asked", ["0", "1000000", "soon", "2026-01-01:300", ""])
def test_odd_asks_get_an_answer(demo: Saved, asked: str) -> None:
    found = one(demo, listed=before(10), asked=asked)

    assert np.isfinite(
        [found.days, found.normal, found.still, found.to, found.least, found.worth_a_day]
    ).all()
    assert 0 <= found.still <= 1
    assert found.least > 0


def screen(found: Unsold) -> list[str]:
    return laid_out.unsold_lines(laid_out.worded(words.view, found, Settings()))


def test_no_date_no_days(demo: Saved) -> None:
    found = judged(
        demo,
        {"asked": "300"},
        {"listed": (DEMO_DAY + timedelta(days=9)).isoformat()},
        {"outcome": "waiting for part", "got": before(12)},
    )

    assert [entry.unit for entry in found.undated] == ["U0"]
    assert {entry.unit: entry.days for entry in found.in_work} == {"U1": None, "U2": 12}
    assert "Listed without a date" in " ".join(screen(found))


def test_on_an_older_day_what_came_later_is_not_there(demo: Saved) -> None:
    day = DEMO_DAY - timedelta(days=60)
    row = {"unit": "1", "type": "gas range", "outcome": "listed", "asked": "270"}
    got, later = day.toordinal() - 4, day.toordinal() + 9
    rows = [
        row | {"got": float(got), "listed": float(later)},
        row | {"unit": "2", "got": float(later), "listed": float(later + 3)},
        row | {"unit": "3", "got": float(later), "outcome": "in work"},
    ]

    found = unsold(rows, demo, Settings(), day)

    assert [(one.unit, one.outcome, one.days) for one in found.in_work] == [("1", "in work", 4.0)]
    assert not found.waiting
    assert not found.undated


def test_nothing_waits(demo: Saved) -> None:
    assert screen(unsold([], demo, Settings(), DEMO_DAY)) == ["No unit of yours is open."]


def test_the_screen(demo: Saved) -> None:
    found = unsold(demo.open_units(), demo, Settings(), DEMO_DAY)
    lines = screen(found)

    assert max(map(width_of, lines)) <= 60
    assert not {"nan", "inf", "median", "hazard"} & set(
        " ".join(lines).lower().replace(",", " ").split()
    )
    due = sum(one.on <= DEMO_DAY for one in found.waiting)
    assert (
        f"Do something today about {due} of them." in lines[0]
    )  # the head says what the list says
    assert any("Need a spot?" in line for line in lines)
