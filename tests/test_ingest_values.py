"""Cells to values: money, hours, ages and dates in the many forms people write, and no guess where
a cell reads two ways."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pricing.ingest import dates, evidence
from pricing.ingest.dates import decide_order, read_date, resolve
from pricing.ingest.values import read_age, read_hours, read_money, read_number

TODAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("text", "mark", "value"),
    [
        ("$1,250.00", ".", "1250.00"),
        ("1.250,50", ",", "1250.50"),
        ("1 234,50 €", ",", "1234.50"),
        ("1'234.50", ".", "1234.50"),
        ("€ 65,00", ",", "65.00"),
        ("250,-", ",", "250"),
        ("GBP 140.00", ".", "140.00"),
        ("250.00 GBP", ".", "250.00"),
        ("£ 107.50 ", ".", "107.50"),
        ("US$ 20", ".", "20"),
        ("Rs. 250", ".", "250"),
        ("kr 300", ".", "300"),
        ("(10.00)", ".", "-10.00"),
        ("-$45", ".", "-45"),
        ("$-45", ".", "-45"),
        ("(£20)", ".", "-20"),
        ("45-", ".", "-45"),
        ("−12", ".", "-12"),
        ("free", ".", "0"),
        ("FREE!", ".", "0"),
        ("gift", ".", "0"),
        ("0", ".", "0"),
        ("1.2k", ".", "1200"),
        ("１２３", ".", "123"),
        ("١٢٣", ".", "123"),
        ("1,234,567.89", ".", "1234567.89"),
        ("12.345.678", ",", "12345678"),
        ("250 OBO", ".", "250"),
        ("$300 firm", ".", "300"),
        ("Â£12", ".", "12"),
        ("+50", ".", "50"),
        (".50", ".", "0.50"),
    ],
)
def test_money_is_read(text: str, mark: str, value: str) -> None:
    cell = read_money(text, mark)

    assert not cell.problem
    assert cell.value == Decimal(value)


@pytest.mark.parametrize("text", ["", " ", "-", "n/a", "N/A", "?", "unknown", "null", "tbc", "—"])
def test_blank_money_is_blank_never_zero(text: str) -> None:
    assert read_money(text) == (None, "", "", "", False, "")


@pytest.mark.parametrize(
    "text",
    [
        "=60+25",
        "#REF!",
        "#N/A",
        "80-100",
        "tomorrow",
        "12abc",
        "1e3",
        "300/275",
        "$40 dep",
        "1.2.3",
        "12,34,5",
        "1,25,0",
        "²",
        "10 or 12",
        "99999999999",
        "1.005",
    ],
)
def test_what_is_no_amount_is_no_number(text: str) -> None:
    cell = read_money(text, ".")

    assert cell.value is None
    assert cell.problem


def test_three_digits_behind_one_mark_are_thousands_only_where_the_file_shows_the_other_mark() -> (
    None
):
    assert read_money("1,250", ".").value == 1250
    assert not read_money("1,250", ".").note
    assert read_money("1.250", ",").value == 1250
    assert read_money("1.250", ".").problem.startswith("this can be read as 1250 or as 1.25")
    assert read_money("1,250", "").note
    assert read_money("1.250", "").problem


def test_the_other_mark_with_two_digits_has_one_reading_and_is_told() -> None:
    cell = read_money("12,50", ".")

    assert cell.value == Decimal("12.50")
    assert cell.note


@given(
    st.decimals(0, 10**6, places=2),
    st.sampled_from([(".", ","), (",", "."), (",", " "), (".", "'")]),
    st.sampled_from(["{}", "${}", "{} EUR", "GBP {}", "({})"]),
)
@settings(deadline=None, max_examples=200)
def test_money_prints_back_to_an_equal_reading(
    amount: Decimal, marks: tuple[str, str], form: str
) -> None:
    """Written with any marks and any sign, an amount is read as itself under its own
    decimal mark."""
    decimal, thousands = marks
    text = f"{amount:,.2f}".replace(",", "\0").replace(".", decimal).replace("\0", thousands)
    cell = read_money(form.format(text), decimal)

    assert cell.value == (-amount if form == "({})" else amount)


@given(st.text(max_size=20))
@settings(deadline=None, max_examples=400)
def test_no_text_breaks_a_reader(text: str) -> None:
    """Any text is a value or a reason, never an error of ours."""
    for cell in (
        read_money(text, "."),
        read_money(text, ","),
        read_hours(text, "."),
        read_age(text, "", "years", 2026),
        read_number(text, "."),
    ):
        assert cell.value is None or not cell.problem
    reading = read_date(text, TODAY)
    assert resolve(reading, "mdy")[0] is None or not reading.problem


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("1.5", 1.5),
        ("1,5", 1.5),
        ("1:30", 1.5),
        ("0:45", 0.75),
        ("1:30:00", 1.5),
        ("90 min", 1.5),
        ("90m", 1.5),
        ("1h30", 1.5),
        ("1h 30m", 1.5),
        ("1 hr 15 min", 1.25),
        ("2 h", 2),
        ("1.5 hrs", 1.5),
        ("2 hours", 2),
        ("half an hour", 0.5),
        ("1½", 1.5),
        ("1 1/2", 1.5),
        ("½ h", 0.5),
        ("an hour", 1),
        ("~2", 2),
        ("45'", 0.75),
    ],
)
def test_hours_are_read(text: str, hours: float) -> None:
    assert read_hours(text, "").value == pytest.approx(hours)


def test_minutes_under_a_minutes_header() -> None:
    assert read_hours("90", ".", "minutes").value == pytest.approx(1.5)
    assert read_hours("1:30", ".", "minutes").value == pytest.approx(1.5)


@pytest.mark.parametrize("text", ["2 days", "a few", "-1", "x", "1:75"])
def test_what_is_no_time_is_said(text: str) -> None:
    assert read_hours(text, ".").problem


@pytest.mark.parametrize(
    ("text", "years"),
    [
        ("7", 7),
        ("5 yrs", 5),
        ("5yr", 5),
        ("18 months", 1.5),
        ("6 mo", 0.5),
        ("~5", 5),
        ("<1", 0.5),
        ("10+", 10),
        ("5-6", 5.5),
        ("5 to 7 years", 6),
        ("1y 6m", 1.5),
        ("new", 0),
        ("12 yrs old", 12),
        ("over 10", 10),
    ],
)
def test_ages_are_read(text: str, years: float) -> None:
    assert read_age(text, "", "years", 2026).value.years == pytest.approx(years)


def test_a_year_made_is_no_age() -> None:
    assert read_age("2016", "", "years", 2026).value == (None, "2016")
    assert read_age("2014-2016", "", "years", 2026).value.made == "2014-2016"
    assert read_age("-3").problem
    assert read_age("2099", "", "years", 2026).problem


@pytest.mark.parametrize(
    "text",
    [
        "2024-03-15",
        "2024/3/15",
        "2024.03.15",
        "20240315",
        "2024-03-15T10:22:00",
        "2024-03-15 10:22",
        "15-Mar-2024",
        "15 March 2024",
        "Mar 15, 2024",
        "March 15th, 2024",
        "15. März 2024",
        "15 mars 2024",
        "Friday, March 15, 2024",
        "Fri 15-Mar-24",
        "45366",
        "45366.5",
        "2024-W11-5",
        "2024-03-15T10:22:00Z",
        "15th of March 2024",
        "'2024-03-15",
    ],
)
def test_dates_with_one_reading(text: str) -> None:
    assert resolve(read_date(text, TODAY), "")[0] == date(2024, 3, 15)


@pytest.mark.parametrize(
    "text",
    [
        "31/02/2024",
        "29/02/2023",
        "00/00/0000",
        "2024-02-31",
        "last week",
        "March 2024",
        "2024",
        "5",
        "13/13/2024",
        "=TODAY()",
        "#VALUE!",
        "99999",
    ],
)
def test_what_is_no_date_is_said(text: str) -> None:
    day, problem = resolve(read_date(text, TODAY), "")

    assert day is None
    assert problem


def order_of(*texts: str, said: str = "auto") -> dates.OrderVerdict:
    return decide_order([[read_date(text, TODAY)] for text in texts], said, TODAY)


def test_one_date_above_twelve_decides_the_file() -> None:
    assert order_of("01/02/2024", "13/02/2024").order == "dmy"
    assert order_of("01/02/2024", "02/13/2024").order == "mdy"


def test_without_evidence_nothing_is_decided_and_what_was_said_leads() -> None:
    assert order_of("01/02/2024", "03/04/2024").order == ""
    assert order_of("01/02/2024", said="dmy").order == "dmy"
    assert resolve(read_date("01/02/2024", TODAY), "")[1].startswith(
        "this can be read as January 2, 2024 or as February 1, 2024"
    )


def test_both_habits_in_one_file_decide_nothing() -> None:
    verdict = order_of("13/02/2024", "02/13/2024", "06/05/2024")

    assert verdict.mixed
    assert verdict.order == ""


def test_the_order_of_events_decides_where_it_is_clear() -> None:
    rows = [
        [read_date(text, TODAY) for text in row]
        for row in (
            ("02/05/2024", "03/04/2024"),
            ("01/06/2024", "02/03/2024"),
            ("04/08/2024", "05/07/2024"),
            ("03/09/2024", "04/02/2024"),
        )
    ]

    assert decide_order(rows, "auto", TODAY).order == "mdy"


def test_year_first_with_two_digits_is_told_from_day_first_by_the_order_of_events() -> None:
    rows = [
        [read_date(text, TODAY) for text in row]
        for row in (
            ("24/01/28", "24/02/03"),
            ("24/03/30", "24/04/01"),
            ("24/05/29", "24/06/02"),
            ("24/07/31", "24/08/05"),
        )
    ]

    assert decide_order(rows, "auto", TODAY).order == "ymd"


def test_decimal_mark_of_a_file() -> None:
    assert evidence.decimal_mark(["12,50", "1.250,00", "7"], "auto").decimal == ","
    assert evidence.decimal_mark(["12.50", "1,250"], "auto").decimal == "."
    assert evidence.decimal_mark(["12.50", "12,50"], "auto").mixed
    assert evidence.decimal_mark(["1,250"], "auto").decimal == ""
    assert evidence.decimal_mark(["1,250"], ",").decimal == ","


@pytest.mark.parametrize(
    ("text", "value", "currency"),
    [
        ("140 cash", "140", ""),
        ("250 (cash)", "250", ""),
        ("sold for $85", "85", "$"),
        ("90 Kč", "90", "CZK"),
        ("1 250,00 zł", "1250.00", "PLN"),
        ("R$ 120", "120", "BRL"),
        ("C$120", "120", "CAD"),
        ("12,500円", "12500", "JPY"),
        ("￥12500", "12500", "JPY"),
        ("120 dollars", "120", "$"),
        ("450:-", "450", ""),
        ("€ 1.250,-", "1250", "EUR"),
        ("₹1,15,000", "115000", "INR"),
    ],
)
def test_amounts_as_people_elsewhere_write_them(text: str, value: str, currency: str) -> None:
    cell = read_money(text)
    assert (cell.value, cell.currency, cell.problem) == (Decimal(value), currency, "")


@pytest.mark.parametrize(
    "text", ["250 + 20 delivery", "90 or 100", "two for 90", "90 parts", "R12X"]
)
def test_an_amount_with_more_to_it_is_no_amount(text: str) -> None:
    assert read_money(text).problem


@pytest.mark.parametrize(
    ("text", "month", "day"),
    [
        ("13 janv. 2026", 1, 13),
        ("lun. 2 févr. 2026", 2, 2),
        ("Montag, 16.2.2026", 2, 16),
        ("12 mrt 2026", 3, 12),
        ("Mar 3, 2026", 3, 3),
        ("1er mars 2026", 3, 1),
        ("5 de enero de 2026", 1, 5),
        ("2026年1月21日", 1, 21),
        ("Friday, June 19 2026", 6, 19),
    ],
)
def test_days_in_other_languages(text: str, month: int, day: int) -> None:
    reading = dates.read_date(text, date(2026, 11, 25))
    found, problem = dates.resolve(reading, "dmy")
    assert (found, problem) == (date(2026, month, day), "")


def test_hours_as_programs_write_them() -> None:
    said = ("1:30 h", "PT1H30M", "PT45M", "PT2H")
    assert [read_hours(text).value for text in said] == pytest.approx([1.5, 1.5, 0.75, 2.0])
    assert read_hours("PT").problem
