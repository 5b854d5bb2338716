"""Reminders: at most two, those that type, fault and stage call for; the exceptions that cap the
advice."""

from __future__ import annotations

import re
from datetime import date

import pytest

from pricing.advice.cautions import (
    BENCH,
    CALL,
    FIRST,
    SALE,
    USUAL,
    cautions_for,
    first_of,
    for_offer,
)
from pricing.basis import assumed
from pricing.basis.settings import Settings
from pricing.pages.cautions_text import cautions_lines

DAY = date(2026, 4, 30)
OWN = Settings()


@pytest.mark.parametrize(
    ("unit", "name"),
    [
        ({"type": "gas range", "fault": "smells of gas"}, "gas smell"),
        ({"type": "gas dryer", "fault": "gas smell when on"}, "gas smell"),
        ({"type": "over-the-range microwave", "fault": "dead"}, "microwave"),
        ({"type": "microwave"}, "microwave"),
        ({"type": "top-freezer fridge", "fault": "warm", "features": "latch door"}, "latch fridge"),
        ({"type": "chest freezer", "age": 70.0}, "latch fridge"),
        ({"type": "top-freezer fridge", "found": "sealed system"}, "sealed system"),
        ({"type": "window ac", "fault": "no refrigerant"}, "sealed system"),
    ],
)
def test_what_goes_first(unit: dict[str, object], name: str) -> None:
    first = first_of(unit, DAY, OWN)
    assert first is not None and first.name == name


@pytest.mark.parametrize(
    "unit",
    [
        {"type": "over-the-range microwave", "fault": "works; owner upgraded"},
        {"type": "over-the-range microwave", "fault": "turntable broken"},
        {"type": "dishwasher", "fault": "door latch"},
        {"type": "front-load washer", "fault": "door/lid won't lock (error code)"},
        {"type": "top-freezer fridge", "fault": "both warm and compressor clicks or is silent"},
        {"type": "gas range", "fault": "burner clicks or won't light (gas)"},
        {"type": "electric dryer", "fault": "smells burnt"},
    ],
)
def test_what_does_not(unit: dict[str, object]) -> None:
    assert first_of(unit, DAY, OWN) is None


@pytest.mark.parametrize("stage", [CALL, BENCH, SALE])
def test_at_most_two_for_every_type_and_stage(stage: str) -> None:
    for row in assumed.TYPES:
        said = cautions_for({"type": row.type, "age": 8.0}, stage, OWN, DAY)
        assert 1 <= len(said) <= 2
        assert len(for_offer({"type": row.type, "age": 8.0}, OWN, DAY)) <= 2


def test_type_and_fault_choose() -> None:
    def names(stage: str, **unit: object) -> list[str]:
        return [one.name for one in cautions_for(unit, stage, OWN, DAY, most=9)]

    assert "cord" in names(SALE, type="electric dryer") and "cord" not in names(
        SALE, type="gas dryer"
    )
    assert "bracket" in names(SALE, type="gas range") and "bracket" not in names(
        SALE, type="over-the-range microwave"
    )
    assert "fuse" in names(BENCH, type="electric dryer")
    assert "flammable" in names(
        BENCH, type="top-freezer fridge", age=4.0
    ) and "flammable" not in names(BENCH, type="top-freezer fridge", age=20.0)
    assert "move front-load" in names(CALL, type="front-load washer")
    assert "pests" in names(CALL, type="top-load washer", fault="smells or mold")
    assert "recall sale" in names(SALE, type="dishwasher") and "recall sale" not in names(
        SALE, type="dishwasher", recall_checked=739000.0
    )


def test_weight_in_the_persons_unit() -> None:
    assert "115 lb" in cautions_for({"type": "electric dryer"}, CALL, OWN, DAY)[0].full
    assert (
        "52 kg"
        in cautions_for({"type": "electric dryer"}, CALL, Settings(weight_unit="kg"), DAY)[0].full
    )
    assert not any(
        one.name == "weight" for one in cautions_for({"type": "dehumidifier"}, CALL, OWN, DAY)
    )


def test_no_line_promises_or_counts_deaths() -> None:
    for caution in (*FIRST, *USUAL):
        for text in (caution.full, caution.short):
            assert not re.search(
                r"\b(safe|safely|legal|legally|not recalled|deaths?|killed|died)\b", text, re.I
            ), text
    page = "\n".join(cautions_lines())
    assert not re.search(r"\b(safe|legal|not recalled|deaths?)\b", page, re.I)
    assert all(len(line) <= 60 for line in cautions_lines())
    assert "licensed" in page and "local code" in page
