"""The card says what the record holds and nothing more."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from pricing.advice.card import card, said_tested
from pricing.basis.settings import Settings
from pricing.pages import laid_out
from pricing.pages.text import width_of
from pricing.wording import card_words as words

TODAY = date(2026, 10, 5)
UNIT: dict[str, Any] = {
    "unit": "212",
    "type": "front-load washer",
    "maker": "arvend",
    "age": 7.0,
    "got": "2026-09-20",
    "size": 4.5,
    "features": "large capacity; steam",
    "condition": "good",
    "repair": "door seal; drain pump",
    "note": "ran a full cycle hot, no leaks",
    "warranty_days": 30.0,
    "asked": "2026-09-28:349; 2026-10-03:325; 2026-10-09:299",
    "recall_checked": "2026-09-25",
    "outcome": "listed",
    "paid": 40.0,
    "parts": 55.0,
}


def screen(**changes: Any) -> list[str]:
    found = card({**UNIT, **changes}, Settings(), TODAY)
    return laid_out.card_lines(laid_out.worded(words.view, found, Settings()))


def test_a_full_card() -> None:
    found = card(UNIT, Settings(), TODAY)

    assert found.title == "Arvend front-load washer"
    assert found.facts == (
        "about 2019, 7 years old when it came in",
        "size 4.5",
        "large capacity",
        "steam",
        "condition: good",
    )
    assert found.done == ("door seal", "drain pump")
    assert found.tests == ("ran a full cycle", "checked for leaks")
    assert found.promise == 30
    assert found.ask == 325  # the ask in force, not the one still to come
    assert found.recall == date(2026, 9, 25)


def test_the_tag_and_the_ad() -> None:
    lines = screen()

    assert lines[:4] == ["TAG", "No. 212", "ARVEND FRONT-LOAD WASHER", "$325"]
    assert "- 30 days of promise" in lines
    assert "FOR AN AD" in lines
    assert max(map(width_of, lines)) <= 60
    assert not any(
        "40" in line or "55" in line for line in lines
    )  # what went in is nobody's business
    assert not any("ecall" in line for line in lines)


def test_what_is_blank_is_not_said() -> None:
    lines = screen(
        age=None,
        size=None,
        features=None,
        repair=None,
        note=None,
        warranty_days=None,
        asked=None,
        condition=None,
        maker=None,
    )

    assert lines[:3] == ["TAG", "No. 212", "FRONT-LOAD WASHER"]
    assert not any(
        word in " ".join(lines) for word in ("promise", "done", "years", "$", "None", "nan")
    )
    assert "No test is on record: write what you ran in its note." in lines


def test_the_recall_check_is_asked_for_until_it_is_dated() -> None:
    assert "Recall check: not done yet. Do it before you sell it." in screen(recall_checked=None)


def test_a_repair_that_is_only_planned_is_not_claimed() -> None:
    """While the unit is in work its repair may still be a plan."""
    for outcome in ("in work", "waiting for part"):
        assert not any("drain pump" in line for line in screen(outcome=outcome))
        assert "Still in work" in " ".join(screen(outcome=outcome))


@pytest.mark.parametrize(
    "note",
    [
        "not tested",
        "untested",
        "leak test failed",
        "needs a leak test",
        "heats?",
        "overheats",
        "doesn't heat; no longer heats",
        "barely cools",
        "should be tested",
        "ran without a full cycle",
    ],
)
def test_denied_doubted_or_planned_tests_are_not_claimed(note: str) -> None:
    assert said_tested(note) == ()


@pytest.mark.parametrize(
    ("note", "tests"),
    [
        ("tested", ("tested",)),
        ("Heats, no leaks.", ("heats", "checked for leaks")),
        ("loud, tested; not pretty", ("tested",)),
        ("every burner lit", ("every burner lit",)),
    ],
)
def test_plain_words_are_taken(note: str, tests: tuple[str, ...]) -> None:
    assert said_tested(note) == tests


def test_no_word_that_promises_what_nobody_can_know() -> None:
    assert not {"safe", "legal", "guaranteed", "recalled", "new"} & set(
        " ".join(screen()).lower().replace(",", " ").replace(".", " ").split()
    )
