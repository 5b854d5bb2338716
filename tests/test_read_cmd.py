"""`pricing read`, words beside a unit of the record, and the headline where no price was understood."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from pricing.basis.home import Home
from pricing.cli import group
from pricing.formulas.offer_sums import FLIGHT_MINUTES

DAY = ("--as-of", "2026-10-05")


def run(home: Home, *args: str) -> str:
    done = CliRunner().invoke(group, [*args, "--home", str(home.path), *DAY])
    assert done.exit_code == 0, done.output
    return done.output


def test_a_reading_is_shown_and_given(demo_home_once: Home) -> None:
    line = "dyrer, no heat, 100 firm, xyzzy, 12 miles"
    shown = run(demo_home_once, "read", line)
    given = json.loads(run(demo_home_once, "read", "--json", line))

    assert "their price: 100" in shown and 'not understood: "xyzzy"' in shown
    assert '"dyrer" read as dryer' in shown and "kind open: electric dryer" in shown
    assert given["read"]["their_price"] == 100 and given["read"]["firm"] is True
    assert given["not_understood"] == ["xyzzy"] and given["asks_back"] == []


@pytest.mark.parametrize(
    ("said", "price"),
    [
        ("40 bucks", 40), ("$30 obo", 30), ("60$", 60), ("forty dollars", 40), ("wants -20", -20),
        ("they will pay 20 to have it gone", -20), ("40 or best offer", 40), ("100 firm", 100),
        ("they want it gone", 0), ("come get it", 0), ("$40 across town", 40),
    ],
)  # fmt: skip
def test_a_price_in_everyday_words_is_read(demo_home_once: Home, said: str, price: float) -> None:
    line = f"electric dryer, 8 years, no heat, {said}"
    answer = json.loads(run(demo_home_once, "offer", line, "--json"))

    assert answer["their_price"] == price and answer["heard"]["waits"] == []


@pytest.mark.parametrize(
    ("said", "field", "value"),
    [
        ("10 minutes away", "drive_min", 10), ("24 miles round trip", "round_trip_miles", 24),
        ("third floor", "stairs", 2), ("frost free", "features", ["frost-free"]),
    ],
)  # fmt: skip
def test_numbers_keep_their_meaning(
    demo_home_once: Home, said: str, field: str, value: object
) -> None:
    found = json.loads(run(demo_home_once, "read", f"upright freezer, {said}, $20", "--json"))
    assert found["read"][field] == value and found["read"]["their_price"] == 20


@pytest.mark.parametrize(("page", "asks"), [("ask", "your ask now"), ("bench", "parts still")])
def test_an_open_number_leads_at_the_bench_and_at_the_sale(
    demo_home_once: Home, page: str, asks: str
) -> None:
    told = run(demo_home_once, page, "electric dryer, works, 100, 8 years").splitlines()
    plain = run(demo_home_once, page, "electric dryer, works, 8 years").splitlines()

    assert told[0].startswith('WHAT IS "100": ') and asks in told[0]
    assert told[1].startswith("Without it: ") and plain[0].split()[0] in told[1]
    assert not any("WHAT IS" in line for line in plain)


def test_floors_to_carry_take_minutes(demo_home_once: Home) -> None:
    def hours(said: str) -> float:
        line = f"gas dryer, no heat, $20, 8 miles{said}"
        answer = json.loads(run(demo_home_once, "offer", line, "--json"))
        return float(answer["costs"]["load_hours"])

    plain = hours("")
    assert hours(", 2nd floor walkup") == pytest.approx(plain + FLIGHT_MINUTES / 60)
    assert hours(", third floor") == pytest.approx(plain + 2 * FLIGHT_MINUTES / 60)
    assert hours(", ground floor") == pytest.approx(plain)


def test_no_headline_rests_on_a_price_that_was_not_understood(demo_home_once: Home) -> None:
    told = run(demo_home_once, "offer", "electric dryer, 8 years, no heat, 40")
    answer = json.loads(run(demo_home_once, "offer", "electric dryer, no heat, 40", "--json"))

    assert told.startswith("NO PRICE UNDERSTOOD") and '"40": is that the' in told
    assert answer["heard"]["waits"] == ["their_price"]


def test_words_beside_a_unit_are_read_or_told(demo_home_once: Home) -> None:
    plain = json.loads(run(demo_home_once, "ask", "--unit", "DEMO-210", "--json"))
    named = json.loads(run(demo_home_once, "ask", "DEMO-210 offered 200", "--json"))
    told = run(demo_home_once, "ask", "--unit", "DEMO-210", "rough banana")

    assert named["unit"]["unit"] == plain["unit"]["unit"] == "DEMO-210"
    assert named["as_read"].count("$200") == 1 and "$200" not in plain["as_read"]
    assert 'banana" and left it out' in told.replace("\n", " ")
