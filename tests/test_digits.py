"""One reader of a number: the same text means the same in a sheet, a field, an option, an answer of
setup, among words and in the phone's file."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
import to_js
from click.testing import CliRunner
from in_node import said_by

from pricing.basis import said_number
from pricing.basis.problems import Refused
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.cli import group
from pricing.ingest.values import decimal_of, marks_shown
from pricing.pipeline.question_from import with_options
from pricing.web.forms import Field, read
from pricing.words.tokens import tokens_of

# Money as typed, the decimal mark of the settings, and what it is.
SAID = [
    ("12,5", ".", 12.5),
    ("12,50", ".", 12.5),
    ("1,250", ".", 1250.0),
    ("1.250,50", ".", 1250.5),
    ("1.250,50", ",", 1250.5),
    ("1,250.50", ",", 1250.5),
    ("1.250", ",", 1250.0),
    ("1,25,000", ".", 125000.0),
    ("0,45", ".", 0.45),
    ("7", ",", 7.0),
]


@pytest.mark.parametrize(("text", "mark", "value"), SAID)
def test_a_text_is_the_same_number_everywhere(text: str, mark: str, value: float) -> None:
    settings = Settings(decimal=mark)
    assert decimal_of(text, mark, True).value == Decimal(str(value))
    assert said_number.typed(text, mark, True) == pytest.approx([value])
    field = Field("their_price", "They want", "money")
    assert read([field], {"their_price": text}, mark=mark).values["their_price"] == pytest.approx(
        value
    )
    asked = with_options(Question(), {"their_price": text}, settings)
    assert asked.known["their_price"] == pytest.approx(value)
    assert [one["n"] for one in tokens_of(f"wants ${text}", mark)] == [None, pytest.approx(value)]


@pytest.mark.parametrize("text", ["1.250", "$1.250"])
def test_what_reads_both_ways_is_asked_back(text: str) -> None:
    """$1.250 is twelve hundred fifty or a dollar and a quarter: nobody may guess in a field."""
    wrong = read([Field("price", "Price", "money")], {"price": text}).wrong["price"]
    assert "1250 or as 1.25" in wrong
    with pytest.raises(Refused, match=r"1250 or as 1\.25"):
        with_options(Question(), {"price": text}, Settings())


@pytest.mark.parametrize("text", ["1,2,3", "1.2.3", "12,34,56", "1,234,5", "ten", "1-2", "--", ""])
def test_what_is_no_number_is_none(text: str) -> None:
    assert said_number.typed(text) == []
    assert decimal_of(text, "", False).value is None


def test_setup_reads_a_comma_and_a_unit(tmp_path: Path) -> None:
    """`12,5` was 125 and `0,45` was 45: every offer was a PASS then."""
    typed = "\n\n12,5\n0,45 km\nabout 20 min\n" + "\n" * 12
    done = CliRunner().invoke(group, ["setup", "--home", str(tmp_path)], input=typed)
    assert done.exit_code == 0, done.output
    written = (tmp_path / "pricing.toml").read_text(encoding="utf-8")
    assert "hourly_target = 12.5" in written
    assert "cost_per_distance = 0.45" in written
    assert "minutes_per_trip = 20" in written


def test_the_mark_that_a_cell_proves() -> None:
    shown = {"1,250.50": ".", "1.250,50": ",", "12,5": ",", "1,250": "", "1.250.000": ",", "7": ""}
    assert {text: marks_shown(text) for text in shown} == shown


def test_the_phone_reads_the_same(tmp_path: Path) -> None:
    texts = [text for text, _, _ in SAID] + [
        "$1.250",
        "8 out of 10",
        "(10.00)",
        "2k",
        "ten",
        "-",
        "",
    ]
    run = """
const asked = JSON.parse(require("fs").readFileSync(0, "utf8"));
console.log(JSON.stringify(asked.map(([text, mark, money]) =>
  digits_words.said_number(text, mark, money))));
"""
    asked = [(text, mark, money) for text in texts for mark in ".," for money in (True, False)]
    ours = [said_number.typed(text, mark, money) for text, mark, money in asked]
    theirs = said_by(to_js.script() + run, asked, tmp_path)
    assert theirs == [pytest.approx(one) for one in ours]


def test_the_day_of_an_answer_is_no_number() -> None:
    asked = with_options(Question(), {"listed": "2026-03-01"}, Settings())
    assert asked.unit["listed"] == pytest.approx(date(2026, 3, 1).toordinal())
