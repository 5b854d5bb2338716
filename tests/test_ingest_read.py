"""Whole sheets as people keep them: what is read, what is set aside with a reason, what is asked
with the exact option that answers it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.ingest import Answers, read_file
from pricing.ingest.reading import Reading

TODAY = date(2026, 11, 25)


def read(
    tmp_path: Path,
    text: str | bytes,
    answers: Answers | None = None,
    settings: Settings | None = None,
    question: bool = False,
) -> Reading:
    path = tmp_path / "sheet.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_file(path, settings or Settings(), TODAY, answers, question)


def refusal(tmp_path: Path, text: str | bytes, answers: Answers | None = None) -> str:
    with pytest.raises(Refused) as refused:
        read(tmp_path, text, answers)
    return str(refused.value)


DESCRIBED = """Item,In it,Sold for,Date
Elec dryer 8yr no heat - element,45,195,3/14/2026
Front load washer 6 yr leaks,60,275,3/15/2026
W/D set,120,425,3/20/2026
Gas range - clean,20,250 OBO,3/21/2026
French door fridge 9yr,80,300/275,3/22/2026
chest freezer,0,traded for mower,3/25/2026
"""


def test_a_description_is_asked_for_and_the_plain_rows_go_in(tmp_path: Path) -> None:
    reading = read(tmp_path, DESCRIBED)

    assert [row.line for row in reading.rows] == [4, 7]
    assert reading.questions[0].options == ('--describe "Item"',)
    assert reading.questions[0].lines == (2, 3, 5, 6)


def test_a_description_is_read_once_the_person_says_so(tmp_path: Path) -> None:
    reading = read(tmp_path, DESCRIBED, Answers(describe="Item", slash="asked/sold"))
    first, *_ = reading.rows

    assert [row.values["type"] for row in reading.rows] == [
        "electric dryer",
        "front-load washer",
        "washer + dryer pair",
        "gas range",
        "bottom-freezer/French-door fridge",
        "chest freezer",
    ]
    assert (first.values["age"], first.values["fault"], first.values["note"]) == (
        8.0,
        "no heat",
        "element",
    )
    assert first.extra["Item"] == "Elec dryer 8yr no heat - element"
    assert reading.rows[4].values["asked"] == "300"
    assert reading.rows[4].values["price"] == 275
    assert "price" not in reading.rows[5].values  # traded: unknown, not 0
    assert first.values["cost_in"] == 45


def test_a_description_where_no_column_is_called_type(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Unit no,My words,Sold for\n1,Elec dryer 8yr,195\n2,gas dryer 3 yr,150\n3,chest freezer 6"
        " yrs,90\n",
    )

    assert reading.rows == ()
    assert reading.questions[0].text.startswith(
        "I found no column for the type, but 'My words' names"
    )


def test_days_without_a_year_are_asked_for_and_turn_at_the_new_year(tmp_path: Path) -> None:
    text = (
        "No,What,Got,Sold,Got for it\nNOVEMBER,,,,\n1,Gas dryer,11/1,11/14,250\n2,Gas"
        " range,11/20,12/20,300\n3,Wall oven,12/20,1/4,210\n"
    )
    reading = read(tmp_path, text)

    assert reading.questions[0].options == ("--year 2026",)
    assert [row.values["sold"] for row in read(tmp_path, text, Answers(year=2024)).rows] == [
        date(2024, 11, 14),
        date(2024, 12, 20),
        date(2025, 1, 4),
    ]
    assert read(tmp_path, text, Answers(year=2024)).rows[2].values["got"] == date(2024, 12, 20)


def test_a_year_in_a_heading_needs_no_question(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "No,What,Got,Sold,Got for it\n2023,,,,\n1,Gas dryer,3/1,3/14,250\n2024,,,,\n2,Gas"
        " range,3/20,4/25,300\n",
    )

    assert [row.values["sold"] for row in reading.rows] == [date(2023, 3, 14), date(2024, 4, 25)]


def test_sections_name_the_type_and_are_told(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Ref,Appliance,Got,Sold,Sold"
        " for\nWashers,,,,\n1,,2025-03-01,2025-03-05,200\nDryers,,,,\n3,,2025-03-01,2025-03-05,150\n4,Gas"
        " dryer,2025-03-01,2025-03-06,170\n",
    )

    assert [row.values["type"] for row in reading.rows] == ["washer", "dryer", "gas dryer"]
    assert [bool(row.notes) for row in reading.rows] == [True, True, False]
    assert len(reading.skipped) == 2


def test_one_missing_type_is_never_filled(tmp_path: Path) -> None:
    reading = read(tmp_path, "Ref,Type,Price\n1,Oven,200\n2,,210\n3,Hob,90\n4,Hob,80\n5,Hob,70\n")

    assert [row.line for row in reading.rejected] == [3]


@pytest.mark.parametrize(
    ("cell", "words"),
    [
        ("2 dryers", "2 units on one row"),
        ("dryer x2", "2 units on one row"),
        ("two washers", "2 units on one row"),
        ("", "type is missing"),
        ("12", "no type"),
        ("?", "type is missing"),
    ],
)
def test_types_that_are_no_one_unit(cell: str, words: str, tmp_path: Path) -> None:
    reading = read(tmp_path, f"Ref,Type,Price\n1,{cell},300\n2,oven,100\n")

    assert words in reading.rejected[0].problems[0].what


@pytest.mark.parametrize(
    ("price", "outcome", "words"),
    [
        ("", "Sold", "price is missing"),
        ("n/a", "Sold", "price is missing"),
        ("-20", "Sold", "below 0"),
        ("(45.00)", "Sold", "below 0"),
        ("=1+1", "Sold", "formula"),
        ("#REF!", "Sold", "error"),
        ("tbc", "Sold", "price is missing"),
        ("$40 dep", "Sold", "deposit"),
        ("80-100", "Sold", "range"),
        ("300/275", "Sold", "two amounts"),
        ("200", "Kept", "yet there is a sale price"),
    ],
)
def test_prices_that_are_no_sale(price: str, outcome: str, words: str, tmp_path: Path) -> None:
    reading = read(
        tmp_path, f"Ref,Type,Price,Outcome\n1,oven,{price},{outcome}\n2,hob,80.50,Sold\n"
    )

    assert len(reading.rows) == 1
    assert words in reading.rejected[0].problems[0].what


def test_outcomes_move_money_where_it_belongs_and_say_so(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Ref,Type,Price,Outcome\n1,oven,0,Sold\n2,hob,12,Scrapped\n3,hob,250,Still"
        " listed\n4,oven,,Parted out\n5,oven,free,Sold\n",
    )
    given, scrap, listed, parted, free = reading.rows

    assert (given.values["outcome"], given.values["price"]) == ("kept", 0)
    assert (scrap.values["outcome"], scrap.values["salvage"], "price" in scrap.values) == (
        "scrapped",
        Decimal(12),
        False,
    )
    assert (listed.values["outcome"], listed.values["asked"], "price" in listed.values) == (
        "listed",
        "250",
        False,
    )
    assert (parted.values["outcome"], parted.notes) == ("parted", ())
    assert free.values["outcome"] == "kept"
    assert all(row.notes for row in (given, scrap, listed, free))


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("2025-01-02,2025-01-05,2027-05-01", "still to come"),
        ("2025-03-02,2025-03-05,2025-02-01", "before it was got"),
        ("2025-03-02,2025-03-25,2025-03-20", "before it was listed"),
        ("2025-03-02,2025-03-05,31/02/2025", "no such day"),
        ("2025-03-02,2025-03-05,last week", "not a date"),
        ("2025-03-02,2025-03-05,03/04/2025", "can be read as"),
    ],
)
def test_events_that_cannot_be(row: str, words: str, tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        f"Ref,Type,Price,Got,Listed,Sold\n1,oven,90,{row}\n2,hob,80.50,2025-01-01,2025-01-02,2025-01-03\n",
    )

    assert words in reading.rejected[0].problems[0].what
    assert reading.rejected[0].problems[0].line == 2


def test_another_currency_in_one_file_is_set_aside(tmp_path: Path) -> None:
    reading = read(tmp_path, "Ref,Type,Price\n1,oven,£90.00\n2,hob,£80.50\n3,hob,€70.00\n")

    assert [row.line for row in reading.rejected] == [4]
    assert "EUR" in reading.rejected[0].problems[0].what
    assert any("your settings say USD" in note.what for note in reading.notes)


def test_two_price_columns_are_asked_for_and_one_strong_name_leads(tmp_path: Path) -> None:
    assert '--header "Sold for=price"' in refusal(
        tmp_path, "Ref,Type,Sold for,Final price\n1,oven,90,95\n2,hob,80,85\n"
    )

    reading = read(tmp_path, "Ref,Type,Price,Sale price\n1,oven,100,90\n")
    assert reading.rows[0].values["price"] == 90
    assert any("Price" in note.what for note in reading.notes)


def test_the_same_column_twice(tmp_path: Path) -> None:
    assert (
        read(tmp_path, "Ref,Type,Sale price,Sale price\n1,oven,90,90\n").rows[0].values["price"]
        == 90
    )
    assert "two columns could be the price" in refusal(
        tmp_path, "Ref,Type,Sale price,Sale price\n1,oven,90,95\n"
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Ref,Type,Sold\n1,oven,2025-01-01\n", "price column is missing"),
        ("Ref,Sold for\n1,90\n2,80\n", "type column is missing"),
        (
            "Dear Sam,\nthe oven, the hob and the rest are gone, sold for cash,\nyours\n",
            "no header line",
        ),
        ("R1,Oven,10,120,Sold\nR2,Fridge,20,220,Sold\n", "no header line"),
        (
            "Ref,R1,R2\nType,Oven,Hob\nPaid,1,2\nSold,2024-01-02,2024-01-03\nSale price,100,90\n",
            "on its side",
        ),
        ("\n\n,,,\n", "empty"),
    ],
)
def test_what_is_no_sheet_of_units_is_refused(text: str, words: str, tmp_path: Path) -> None:
    assert words in refusal(tmp_path, text)


def test_columns_can_be_named_where_no_header_stands(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "R1,Oven,10,120,Sold\nR2,Fridge,20,220,Sold\n",
        Answers(columns=("unit", "type", "paid", "price", "outcome")),
    )

    assert [row.values["price"] for row in reading.rows] == [120, 220]


def test_an_own_header_and_an_own_word(tmp_path: Path) -> None:
    own = Settings(
        headers={"Dosh": "price"},
        words={"types": {"Big white thing": "dishwasher"}, "outcomes": {"Out the door": "sold"}},
    )
    reading = read(
        tmp_path, "Ref,Type,Dosh,Outcome\n1,big white thing,90,out the door\n", settings=own
    )

    assert reading.rows[0].values == {
        "unit": "1",
        "type": "dishwasher",
        "price": 90,
        "outcome": "sold",
    }
    assert reading.rows[0].said == {"type": "big white thing", "outcome": "out the door"}


def test_words_we_do_not_know_are_kept_and_named(tmp_path: Path) -> None:
    reading = read(tmp_path, "Ref,Type,Price,Condition,Outcome\n1,flux capacitor,90,wobbly,Sold\n")

    assert reading.rows[0].values["type"] == "flux capacitor"
    assert reading.rows[0].said["condition"] == "wobbly"
    assert "condition" not in reading.rows[0].values
    assert any("'wobbly'" in note.what for note in reading.notes)


def test_ragged_rows(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Ref,Type,Paid,Price,Outcome\n1,oven,5,90,Sold\n2,hob,5,80\n3,hob\n4,hob,white,5,80,Sold\n5,hob,5,80,Sold,,\n6,oven,,,Kept\n",
    )

    assert [row.line for row in reading.rows] == [2, 3, 6, 7]
    assert [row.line for row in reading.rejected] == [4, 5]


def test_question_sheets_need_no_price_and_keep_their_own_columns(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Unit,Type,Their price,Miles,Fix"
        " chance,Hours,Age\nA,oven,40,12,90%,1:30,7\nB,,10,3,0.5,1,2\nC,hob,-5,,,2,\n",
        question=True,
    )

    assert [row.record for row in reading.rows] == [1, 3]
    assert reading.rows[0].known == {"their_price": 40.0, "fix_chance": 0.9}
    assert (reading.rows[0].values["miles"], reading.rows[0].values["hours"]) == (12, 1.5)
    assert reading.rows[1].known == {"their_price": -5.0}
    assert [row.record for row in reading.rejected] == [2]


def test_own_attributes_are_typed(tmp_path: Path) -> None:
    own = Settings(attributes={"Horsepower": "number", "Trim": "category"})
    reading = read(
        tmp_path,
        'Ref,Type,Price,Horsepower,Trim\n1,tractor,9000,"1,250",Deluxe'
        " \n2,tractor,8000.50,lots,deluxe\n",
        settings=own,
    )

    assert reading.rows[0].extra == {"Horsepower": 1250.0, "Trim": "deluxe"}
    assert reading.rows[1].extra == {"Trim": "deluxe"}
    assert reading.rows[1].notes


def test_trips_and_expenses_are_kept_without_a_type(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Unit,Type,Trip,Drive min,Miles,Expense,Sold,Price,Note\n,,T9,50,20,,,,nobody"
        " home\n,,,,,35.50,2025-01-02,,hand truck\n1,oven,T9,,,,2025-01-03,90,\n",
    )

    assert [row.values["outcome"] for row in reading.rows] == ["trip", "expense", "sold"]
    assert reading.rows[1].values["expense"] == Decimal("35.50")


@given(st.binary(max_size=400))
@settings(deadline=None, max_examples=150)
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    """Whatever bytes a file holds: a reading that ties out, or a refusal in words; never an error
    of ours."""
    from pricing.ingest.encoding import decode
    from pricing.ingest.read import read_text

    try:
        reading = read_text(decode(data, "x.csv"), "x.csv", Settings(), TODAY, Answers(), False, {})
    except Refused as refused:
        assert refused.problems[0].fix
    else:
        assert reading.seen == len(reading.rows) + len(reading.rejected) + len(reading.skipped)


@given(st.text(alphabet="ab1,;\t\"'\n\r.=- $€", max_size=200))
@settings(deadline=None, max_examples=150)
def test_any_rows_below_a_header_tie_out(text: str) -> None:
    from pricing.ingest.encoding import decode
    from pricing.ingest.read import read_text

    data = ("Ref,Type,Sale price,Sold,Outcome\n" + text).encode()
    try:
        reading = read_text(decode(data, "x.csv"), "x.csv", Settings(), TODAY, Answers(), False, {})
    except Refused:
        return
    assert reading.seen == len(reading.rows) + len(reading.rejected) + len(reading.skipped)
    assert all(row.values["price"] > 0 for row in reading.rows if row.values["outcome"] == "sold")


def test_a_second_table_below_is_set_aside(tmp_path: Path) -> None:
    text = "Ref,Type,Sold,Price,Outcome\n1,oven,2025-01-02,90.00,Sold\n2,hob,2025-01-03,80.00,Sold\n\nDate,Paid,Notes,,\n2025-02-01,12,gloves,,\n2025-02-02,9,tape,,\n"
    reading = read(tmp_path, text)

    assert [row.line for row in reading.rows] == [2, 3]
    assert [row.line for row in reading.rejected] == [6, 7]
    assert "another table, which begins on line 5" in reading.rejected[0].problems[0].what


def test_a_header_on_two_lines(tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        "Item,What,Date,Date,Asking,Sale,\nno,,bought,sold,price,price,Outcome\n1,oven,2025-01-02,2025-01-09,100,90.00,Sold\n",
    )
    row = reading.rows[0]

    assert row.values["price"] == 90
    assert (row.values["got"], row.values["sold"], row.values["asked"], row.values["unit"]) == (
        date(2025, 1, 2),
        date(2025, 1, 9),
        "100",
        "1",
    )


@pytest.mark.parametrize(("asked", "price"), [("205", "2050"), ("2050", "205"), ("150", "15")])
def test_a_price_far_from_its_ask_is_told(asked: str, price: str, tmp_path: Path) -> None:
    reading = read(
        tmp_path,
        f"Ref,Type,Asked,Price,Outcome\n1,oven,{asked},{price},Sold\n2,hob,100,95.50,Sold\n",
    )

    assert reading.rows[0].notes
    assert not reading.rows[1].notes
