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
from pricing.ingest.encoding import decode
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
        ("\n\n,,,\n", "empty"),
    ],
)
def test_what_is_no_sheet_of_units_is_refused(text: str, words: str, tmp_path: Path) -> None:
    assert words in refusal(tmp_path, text)


def test_a_table_on_its_side_is_turned_and_says_so(tmp_path: Path) -> None:
    text = "Ref,R1,R2\nType,Oven,Hob\nPaid,1,2\nSold,2024-01-02,2024-01-03\nSale price,100,90\n"
    reading = read(tmp_path, text)
    assert [row.values["price"] for row in reading.rows] == [100, 90]
    assert any("on its side" in note.what for note in reading.notes)


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
    from pricing.ingest.read import Given, read_text

    try:
        reading = read_text(decode(data, "x.csv"), Given("x.csv", Settings(), TODAY, Answers()))
    except Refused as refused:
        assert refused.problems[0].fix
    else:
        assert reading.seen == len(reading.rows) + len(reading.rejected) + len(reading.skipped)


@given(st.text(alphabet="ab1,;\t\"'\n\r.=- $€", max_size=200))
@settings(deadline=None, max_examples=150)
def test_any_rows_below_a_header_tie_out(text: str) -> None:
    from pricing.ingest.encoding import decode
    from pricing.ingest.read import Given, read_text

    data = ("Ref,Type,Sale price,Sold,Outcome\n" + text).encode()
    try:
        reading = read_text(decode(data, "x.csv"), Given("x.csv", Settings(), TODAY, Answers()))
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


SAID = {
    "Czech": (
        "sušička nešťastný filtr; pračka, těsnění dveří, žlutá",
        "cp1250 iso8859_2 cp852 mac_latin2",
    ),
    "Polish": ("suszarka żółta, pralka głośna; łożysko, grzałka, część", "cp1250 iso8859_2 cp852"),
    "Hungarian": ("szárítógép, mosógép; fűtőszál, gyűrű, őszi", "cp1250 iso8859_2"),
    "Russian": ("стиральная машина, замена насоса", "cp1251 koi8_r iso8859_5 cp866"),
    "Greek": ("πλυντήριο ρούχων, αντλία", "cp1253 iso8859_7"),
    "Turkish": ("çamaşır makinesi, ısıtıcı değişti; güzel", "cp1254 iso8859_9"),
    "German": ("Wäschetrockner, Tür schließt, Spülmaschine groß", "cp1252 mac_roman cp850 cp437"),
    "French": ("sèche-linge réparé, été; four encastré très bon", "cp1252 mac_roman cp850"),
    "Spanish": ("lavadora pequeño, está bien; niños, ¿funciona?", "cp1252 mac_roman"),
    "Swedish": ("kylskåp, tvättmaskin löst, högt", "cp1252 mac_roman cp850"),
    "Chinese": ("洗衣机很好, 干衣机不加热", "gb18030"),
    "Japanese": ("洗濯機はよい, 乾燥機あたたまらない", "shift_jis euc_jp iso2022_jp"),
    "euros": ("90,00 €", "cp1252 mac_roman iso8859_15"),
    "pounds": ("£90.00", "cp1252 mac_roman cp850"),
}


@pytest.mark.parametrize(
    ("said", "alphabet"),
    [(said, alphabet) for said, many in SAID.values() for alphabet in many.split()],
)
def test_the_alphabet_is_the_one_under_which_most_becomes_readable(
    said: str, alphabet: str
) -> None:
    """Right, or told to be unsure: a note read as other letters is another unit the next time."""
    text = "unit,type,note\n" + "".join(f'{i},oven,"{said}"\n' for i in range(5))
    found = decode(text.encode(alphabet), "a.csv")

    assert found.text == text or not found.sure
    if said not in (SAID["pounds"][0], SAID["euros"][0]):
        assert found.text == text


SHEETS = {
    "a lot is no number": (
        "Lot,Type,Paid,Price,Sold\nL1,dryer,20,150,2024-03-02\nL1,dryer,20,120,2024-03-09\n"
        "L1,dryer,20,130,2024-04-09\nL2,oven,10,110,2024-04-10\nL2,oven,10,90,2024-04-12\n",
        [("unit", None, 5), ("price", 130, 1)],
        "is no number of one unit",
    ),
    "a month and everything are sums": (
        "Item,Price,Sold\noven,150,2024-03-02\noven,120,2024-03-09\nMarch 2024,270,2024-03-31\n"
        "oven,110,2024-04-09\nAll units,380,2024-12-31\n",
        [("type", "oven", 3), ("price", 270, 0), ("price", 380, 0)],
        "",
    ),
    "a name of the person's own is a sum where the money is": (
        "Item,Price,Sold\noven,150,2024-03-02\noven,120,2024-03-09\nSpring haul,270,2024-03-31\n",
        [("type", "oven", 2), ("price", 270, 0)],
        "",
    ),
    "a second header in another order": (
        "unit,type,paid,asked,price,sold\n1,oven,10,120,100,2024-03-02\n"
        "unit,type,paid,price,asked,sold\n3,oven,10,101,121,2024-03-02\n",
        [("price", 100, 1), ("price", 101, 1), ("asked", "121", 1)],
        "",
    ),
    "kilometers and cents": (
        "unit,type,Kilometers,price,sold,Asked (cents)\n1,oven,16.09344,100,2024-03-02,12000\n",
        [("miles", 10, 1), ("asked", "120", 1)],
        "",
    ),
    "a round trip and minutes of work": (
        "unit,type,Miles (round trip),price,sold,Work min\n1,oven,40,100,2024-03-02,45\n",
        [("miles", 20, 1), ("repair_min", 45, 1), ("repair", 45, 0)],
        "holds numbers",
    ),
    "times of day are no work": (
        "unit,type,price,sold,Time\n1,oven,90,2024-03-01,14:30\n2,oven,95,2024-03-01,9:45\n",
        [("hours", None, 2)],
        "times of day",
    ),
    "the date of a purchase": (
        "Date,Item,Sold for,Status\n2024-03-01,oven,100,sold\n2024-03-05,oven,,in work\n",
        [("sold", None, 2), ("got", date(2024, 3, 5), 1)],
        "stands on units that are not sold",
    ),
    "the year of the sale": (
        "unit,type,Year,price,sold\n1,oven,2024,90,2024-03-01\n2,oven,2024,95,2024-03-02\n"
        "3,oven,2023,95,2023-03-01\n",
        [("age", None, 3), ("made", None, 3)],
        "is the year of the sale",
    ),
    "a date made": (
        "unit,type,Date made,got,price,sold\n1,oven,Jun 2016,2024-02-01,90,2024-03-01\n",
        [("age", 8, 1)],
        "",
    ),
    "parts of a day": (
        "unit,type,hours,price,sold\n1,oven,0.0625,90,2024-03-01\n2,oven,0.104166667,95,2024-03-01\n"
        "3,oven,0.041666667,95,2023-03-01\n",
        [("hours", 1.5, 1), ("hours", 2.5, 1), ("hours", 1, 1)],
        "parts of a day",
    ),
    "numbers that a program guarded": (
        'unit,type,price,sold\n="0101",oven,90,2024-03-01\n102.0,oven,95,2024-03-01\n',
        [("unit", "0101", 1), ("unit", "102", 1)],
        "",
    ),
    "amounts under a name of another unit": (
        "unit,type,price,sold,Pair,Donor\n1,oven,90,2024-03-01,12.50,3.00\n",
        [("pair", None, 1), ("from_unit", None, 1)],
        "holds amounts",
    ),
    "a book-keeper's dash": (
        "unit,type,price,sold,parts\n1,oven,90,2024-03-01, $ -   \n2,oven,90,2024-03-01, - \n",
        [("parts", 0, 2)],
        "2 dashes under 'parts' were read as nothing spent",
    ),
    "the blank sheet's example": (
        "unit,type,price,sold,note\n1,oven,195,2024-03-01,example: take this row out\n2,oven,90,2024-03-02,\n",
        [("price", 90, 1), ("price", 195, 0)],
        "",
    ),
}


@pytest.mark.parametrize("name", SHEETS)
def test_the_values_decide_what_a_column_and_a_row_is(name: str, tmp_path: Path) -> None:
    text, expected, told = SHEETS[name]
    path = tmp_path / "a.csv"
    path.write_text(text)
    reading = read_file(path, Settings(), date(2026, 11, 25))
    notes = " ".join(note.what for note in reading.notes)

    assert reading.rejected == ()
    for column, value, n in expected:
        assert sum(_same(row.values.get(column), value) for row in reading.rows) == n, column
    assert told in notes


def _same(found: object, value: object) -> bool:
    if isinstance(value, int | float):
        return (
            found is not None
            and not isinstance(found, str)
            and float(found) == pytest.approx(value, abs=1e-3)
        )  # type: ignore[arg-type]
    return found == value


def dates_sheet(tmp_path: Path, days: list[str]) -> Path:
    path = tmp_path / "dates.csv"
    rows = "".join(f"{i},oven,{90 + i},{day}\n" for i, day in enumerate(days))
    path.write_text(f"unit,type,price,sold\n{rows}")
    return path


def test_dates_that_a_program_turned_are_turned_back(tmp_path: Path) -> None:
    """A month-first program had a day-first sheet: what it could read it turned, the rest stayed text."""
    true = [date(2024, i % 12 + 1, i % 28 + 1) for i in range(40)]
    days = [
        f"2024-{day.day:02d}-{day.month:02d}" if day.day <= 12 else f"{day:%d/%m/%Y}"
        for day in true
    ]
    reading = read_file(dates_sheet(tmp_path, days), Settings(), date(2026, 11, 25))

    assert [row.values["sold"] for row in reading.rows] == true
    assert any("swapped day and month" in note.what for note in reading.notes)


def test_true_dates_are_left_as_they_are(tmp_path: Path) -> None:
    days = [f"2024-{i % 12 + 1:02d}-{i % 28 + 1:02d}" for i in range(40)]
    reading = read_file(dates_sheet(tmp_path, days), Settings(), date(2026, 11, 25))

    assert [row.values["sold"].isoformat() for row in reading.rows] == days
    assert not any("swapped" in note.what for note in reading.notes)


def test_dates_near_one_of_the_other_order_are_not_guessed(tmp_path: Path) -> None:
    days = [f"{i % 12 + 1:02d}/{13 + i % 15}/2024" for i in range(60)]
    reading = read_file(
        dates_sheet(tmp_path, [*days, "25/03/2024", "05/04/2024"]), Settings(), date(2026, 11, 25)
    )

    assert [row.line for row in reading.rejected] == [63]
    assert reading.rows[-1].values["sold"] == date(2024, 3, 25)
    assert any("25/03/2024" in note.what for note in reading.notes)


@pytest.mark.parametrize(
    ("text", "option"),
    [
        (
            "What,Put up,Away,Got for it\noven,2024-03-01,2024-03-05,180\noven,2024-03-02,2024-03-09,190\n"
            "dryer,2024-04-01,,\n",
            '--header "Away=sold"',
        ),
        (
            "unit,type,got,sold,price,Shown\n1,oven,2024-03-01,2024-03-20,90,2024-03-05\n"
            "2,oven,2024-03-02,2024-03-22,95,2024-03-06\n",
            '--header "Shown=listed"',
        ),
        (
            "unit,type,got,sold,price,Shown\n1,oven,2024-03-01,2024-03-20,90,2024-02-05\n"
            "2,oven,2024-03-02,2024-03-22,95,2024-02-06\n",
            "",
        ),
    ],
)
def test_unknown_columns_of_days_are_proposed_with_the_evidence(
    text: str, option: str, tmp_path: Path
) -> None:
    path = tmp_path / "a.csv"
    path.write_text(text)
    reading = read_file(path, Settings(), date(2026, 11, 25))
    options = [one for question in reading.questions for one in question.options]

    assert options == ([option] if option else [])


@pytest.mark.parametrize(
    ("kind", "price", "meant"),
    [
        ("electric dryer", "1900", "190"),
        ("gas range", "2,500", "250"),
        ("electric dryer", "450", None),  # dear, and no ten times
        ("electric dryer", "20", None),  # sold as it stood
        ("electric dryer", "1,10", None),  # told as a slip, whatever was meant
        ("kiln", "9000", None),  # nobody knows what one brings
        ("electric dryer", "90000", None),  # not ten times anything that one brings
    ],
)
def test_a_nought_too_many_is_asked_about_in_the_first_sheet(
    tmp_path: Path, kind: str, price: str, meant: str | None
) -> None:
    """Short and long sheets alike; the row goes in as it stands."""
    rows = [f'{n},{kind},"{price if n == 2 else 180}",2026-09-{n + 10},sold' for n in range(1, 5)]
    text = "unit,type,price,sold,outcome\n" + "\n".join(rows) + "\n"
    reading = read(tmp_path, text)
    said = [str(note) for row in reading.rows for note in row.notes if "mean" in str(note)]
    assert len(reading.rows) == 4
    assert len(said) == (meant is not None)
    assert meant is None or f"did you mean {meant}?" in said[0]
    away = read(tmp_path, text, settings=Settings(currency="JPY"))
    assert not [note for row in away.rows for note in row.notes if "mean" in str(note)]
