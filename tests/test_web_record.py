"""*My list* in a browser without script: whole ways of a unit, undo, two windows, sheets that are
dropped."""

from __future__ import annotations

import csv
import io
import re
from html import unescape
from pathlib import Path

import pytest
from conftest import DEMO_DAY
from web_client import DAY, Browser, Page, home_with

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.pages.text import money
from pricing.pipeline.adding import add
from pricing.pipeline.by_hand import next_number
from pricing.pipeline.keeping import export
from pricing.record import store
from pricing.record.current import read_current

SHEET = """unit,type,maker,age,fault,got,paid,listed,asked,sold,price,outcome
101,electric dryer,Ostrand,8,no heat,2026-08-01,40,2026-08-06,200,2026-08-15,185,sold
102,front-load washer,Halbrook,6,won't drain,2026-09-20,30,2026-09-25,320,,,listed
103,dishwasher,,5,leaks,2026-10-01,0,,,,,in work
"""


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return home_with(tmp_path, SHEET)


@pytest.fixture
def browser(home: Home) -> Browser:
    return Browser(home)


def rows(home: Home) -> dict[str, dict[str, str]]:
    """The current record by unit, as it would be exported."""
    data = export(home, None)
    assert data is not None
    return {row["unit"]: row for row in csv.DictReader(io.StringIO(data.decode("utf-8-sig")))}


def step(browser: Browser, unit: str, button: str, **typed: str) -> Page:
    """Open a unit, fill the form with that button, press it."""
    page = browser.get(f"/records/unit?unit={unit}")
    return browser.send(page.form(button), **typed)


def test_the_list_shows_units_not_sold_yet(browser: Browser) -> None:
    page = browser.get("/records")
    assert page.status == 200
    assert "102 · front-load washer" in page.text
    assert "103 · dishwasher" in page.text
    assert "101" not in page.text
    assert "listed 10 days" in page.text


def test_a_search_looks_everywhere_and_forgives_capitals(browser: Browser) -> None:
    page = browser.get("/records?show=all&q=OSTR")
    assert "101 · electric dryer" in page.text
    assert "102" not in page.text


@pytest.mark.parametrize(
    "query",
    [
        "show=<b>",
        "page=0",
        "page=-1",
        "page=99999999999",
        "page=x",
        "q=%00",
        "q=" + "x" * 5000,
        "done=999999",
        "done=-1",
        "done=1%27",
    ],
)
def test_odd_addresses_show_the_list(browser: Browser, query: str) -> None:
    assert browser.get(f"/records?{query}").status == 200


def test_a_unit_goes_from_the_curb_to_the_sale(browser: Browser, home: Home) -> None:
    """Without a spreadsheet: got, bench, listed, a lower ask, an offer, sold, came back."""
    page = browser.send(
        browser.get("/records/new").form("Keep it"),
        type="Electric dryer",
        age="8",
        fault="no heat",
        paid="$20",
        got="2026-08-30",
        got_from="classified ad",
    )
    assert "Saved: 104 got" in page.text
    step(
        browser,
        "104",
        "Write it down",
        found="open element",
        repair="element",
        parts="24.50",
        repair_min="45",
        outcome="waiting for part",
    )
    assert rows(home)["104"]["outcome"] == "waiting for part"
    step(browser, "104", "Listed", ask="199", listed="2026-09-05", condition="good")
    step(browser, "104", "Change the ask", ask="179", on="2026-09-19")
    offered = browser.get("/records/unit?unit=104")
    offer_form = next(form for form in offered.forms if "offer" in form.names)
    browser.send(offer_form, offer="150", on="2026-09-20")
    page = step(browser, "104", "Sold", price="165", sold="2026-09-22", sold_where="local ad")
    row = rows(home)["104"]
    assert row["outcome"] == "sold"
    assert (row["price"], row["paid"], row["parts"], row["got"]) == (
        "165.00",
        "20.00",
        "24.50",
        "2026-08-30",
    )
    assert row["asked"] == "2026-09-05:199; 2026-09-19:179"
    assert row["offers"] == "2026-09-20:150"
    back = next(form for form in page.forms if "back_hours" in form.names)
    browser.send(back, on="2026-10-01", back_hours="0.5", back_cost="12")
    assert rows(home)["104"]["comeback"] == "2026-10-01: 0.5: 12"
    assert browser.refit.wanted == 7


@pytest.mark.parametrize(
    ("button", "outcome"), [("Parted out", "parted"), ("Scrapped", "scrapped")]
)
def test_a_unit_that_was_not_worth_it_is_written_down_too(
    browser: Browser, home: Home, button: str, outcome: str
) -> None:
    step(browser, "103", button, salvage="35")
    row = rows(home)["103"]
    assert (row["outcome"], row["salvage"], row["sold"], row["price"]) == (
        outcome,
        "35.00",
        DAY.isoformat(),
        "",
    )


def test_what_a_form_does_not_show_stays(browser: Browser, home: Home) -> None:
    before = rows(home)["102"]
    step(browser, "102", "Sold", price="300")
    after = rows(home)["102"]
    assert {
        name: value for name, value in after.items() if name not in ("price", "sold", "outcome")
    } == {name: value for name, value in before.items() if name not in ("price", "sold", "outcome")}


def test_a_day_to_come_is_told_beside_the_field(browser: Browser, home: Home) -> None:
    page = step(browser, "102", "Sold", price="300", sold="2026-12-24")
    assert page.status == 409
    assert 'id="sold-sold-wrong"' in page.html
    assert rows(home)["102"]["outcome"] == "listed"


def test_every_change_can_be_undone_and_brought_back(browser: Browser, home: Home) -> None:
    before = rows(home)
    page = step(browser, "102", "Sold", price="300")
    after = rows(home)
    page = browser.send(page.form("Undo"))
    assert "Taken back" in page.text
    assert rows(home) == before
    browser.send(browser.get("/records/changes").form("Bring back"))
    assert rows(home) == after


def test_undo_in_two_windows_takes_back_once(browser: Browser, home: Home) -> None:
    """The second window still says Undo; pressing it there must not bring the change back."""
    before = rows(home)
    step(browser, "102", "Sold", price="300")
    first, second = browser.get("/records/changes"), browser.get("/records/changes")
    browser.send(first.form("Undo"))
    page = browser.send(second.form("Undo"))
    assert "that is what the record says already" in page.text
    assert rows(home) == before


def test_undoing_the_first_word_about_a_unit_leads_to_the_list(browser: Browser) -> None:
    page = browser.send(browser.get("/records/new").form("Keep it"), type="gas range")
    page = browser.send(page.form("Undo"))
    assert page.status == 200
    assert "My list" in page.text


def test_a_double_press_does_one_thing(browser: Browser, home: Home) -> None:
    form = browser.get("/records/new").form("Keep it")
    first = browser.send(form, type="gas range")
    second = browser.send(form, type="gas range")
    assert first.address == second.address
    assert len(rows(home)) == 4


def test_two_windows_on_one_unit(browser: Browser, home: Home) -> None:
    """The second one is told, its typing kept, and nothing is overwritten."""
    first, second = browser.get("/records/unit?unit=102"), browser.get("/records/unit?unit=102")
    browser.send(first.form("Sold"), price="300")
    page = browser.send(second.form("Sold"), price="290", sold_where="neighbor")
    assert page.status == 409
    assert "changed in another window" in page.text
    assert page.form("Sold").fields["price"] == "290"
    assert page.form("Sold").fields["sold_where"] == "neighbor"
    assert rows(home)["102"]["price"] == "300.00"
    again = browser.send(page.form("Sold"))  # the form now rests on what the unit is
    assert again.status == 200
    assert rows(home)["102"]["price"] == "290.00"


def test_a_sheet_that_came_between_is_no_less_seen(
    browser: Browser, home: Home, tmp_path: Path
) -> None:
    form = browser.get("/records/unit?unit=102").form("Sold")
    sheet = tmp_path / "later.csv"
    sheet.write_text(
        "unit,type,price,sold,outcome\n102,front-load washer,310,2026-10-04,sold\n",
        encoding="utf-8",
    )
    add(home, sheet, Settings(), DAY)
    assert browser.send(form, price="290").status == 409
    assert rows(home)["102"]["price"] == "310.00"


@pytest.mark.parametrize(
    "typed", ["lots", "1e999", "-5", "12 3 4 5x", "9" * 20, "٣٠٠x", "<b>240</b>", "24O"]
)
def test_words_for_a_number_are_told_beside_the_field(
    browser: Browser, home: Home, typed: str
) -> None:
    page = step(browser, "102", "Sold", price=typed)
    assert page.status == 422
    assert page.form("Sold").fields["price"] == typed
    assert 'aria-invalid="true"' in page.html
    assert rows(home)["102"]["outcome"] == "listed"


def test_a_day_that_cannot_be_is_told(browser: Browser, home: Home) -> None:
    page = step(browser, "102", "Sold", price="300", sold="2026-02-31")
    assert page.status in (409, 422)
    assert page.form("Sold").fields["sold"] == "2026-02-31"
    assert rows(home)["102"]["outcome"] == "listed"


HARD = [
    "<script>alert(1)</script>",
    "=HYPERLINK(1)",
    "مجفف كهربائي",
    "🧺 dryer 🔥",
    'O\'Brien "quoted", and; more',
    "a" * 1500,
    "line\nbreak",
    "DROP TABLE units;--",
]


@pytest.mark.parametrize("note", HARD)
def test_any_text_comes_back_as_text(browser: Browser, home: Home, note: str) -> None:
    page = browser.send(browser.get("/records/new").form("Keep it"), type="gas range", note=note)
    assert page.status == 200
    assert "<script>alert" not in page.html
    kept = (
        rows(home)["104"]["note"].removeprefix("'")
        if note.startswith("=")
        else rows(home)["104"]["note"]
    )
    assert " ".join(kept.split()) == " ".join(note.split())


def test_a_number_that_is_taken_is_refused(browser: Browser, home: Home) -> None:
    page = browser.send(browser.get("/records/new").form("Keep it"), type="gas range", unit="102")
    assert page.status == 409
    assert "belongs to another unit" in page.text
    assert rows(home)["102"]["type"] == "front-load washer"


def test_numbers_go_on_in_the_persons_own_style(tmp_path: Path) -> None:
    assert next_number(home_with(tmp_path / "a", "")) == "1"
    (tmp_path / "b").mkdir()
    assert (
        next_number(
            home_with(
                tmp_path / "b", "unit,type,price\nD-07,dryer,10\nD-08,dryer,20\nX,washer,30\n"
            )
        )
        == "D-09"
    )


SHEET_2 = b"unit,type,price,sold\n201,gas dryer,150,2026-09-01\n202,gas dryer,abc,2026-09-02\n"


def test_a_dropped_sheet_is_shown_before_anything_is_written(browser: Browser, home: Home) -> None:
    before = rows(home)
    page = browser.drop(browser.get("/records/file").form("Show me"), "march sales.csv", SHEET_2)
    assert page.status == 200
    assert "2 rows seen" in page.text
    assert "$150.00" in page.text
    assert "line 3" in page.text
    assert rows(home) == before
    page = browser.send(page.form("Add these"))
    assert "Saved: march_sales.csv" in page.text
    assert rows(home)["201"]["price"] == "150.00"
    browser.send(page.form("Undo"))
    assert rows(home) == before


def test_the_same_sheet_again_adds_nothing(browser: Browser) -> None:
    for _ in range(2):
        page = browser.drop(browser.get("/records/file").form("Show me"), "a.csv", SHEET.encode())
        assert "You have all of these rows already" in page.text


PICTURE = b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)) * 20


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("photo.csv", PICTURE),
        ("empty.csv", b""),
        ("prose.csv", b"Dear all,\nthe washer is sold.\n"),
        ("../../etc/passwd", PICTURE),
        ("x" * 300 + ".csv", b""),
    ],
)
def test_what_is_no_sheet_is_refused_in_words(
    browser: Browser, home: Home, name: str, data: bytes
) -> None:
    before = rows(home)
    page = browser.drop(browser.get("/records/file").form("Show me"), name, data)
    assert page.status == 422
    assert 'role="alert"' in page.html
    assert str(home.path) not in page.text
    assert rows(home) == before


def test_a_question_about_a_sheet_is_answered_by_a_press(browser: Browser, home: Home) -> None:
    """All days fit both orders: only the person can say."""
    sheet = b"unit,type,price,sold\n301,gas dryer,150,03/04/2026\n302,gas dryer,160,05/06/2026\n"
    page = browser.drop(browser.get("/records/file").form("Show me"), "days.csv", sheet)
    page = browser.send(page.form("day first"))
    browser.send(page.form("Add these"))
    assert rows(home)["301"]["sold"] == "2026-04-03"


def test_a_sheet_waits_only_so_long(browser: Browser) -> None:
    first = browser.drop(browser.get("/records/file").form("Show me"), "a.csv", SHEET_2)
    for _ in range(4):
        browser.drop(browser.get("/records/file").form("Show me"), "b.csv", SHEET_2)
    page = browser.send(first.form("Add these"))
    assert page.status == 409
    assert "no longer waiting" in page.text


def test_a_home_that_cannot_be_written_is_a_sentence_and_keeps_the_typing(
    browser: Browser, home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite is told to write nothing: it says what it says of a read-only disk."""
    form = browser.get("/records/unit?unit=102").form("Sold")
    before = rows(home)
    steady = store._steady
    monkeypatch.setattr(
        store, "_steady", lambda db: (steady(db), db.execute("pragma query_only = on"))
    )
    page = browser.send(form, price="300", sold_where="neighbor")
    assert page.status == 409
    assert "cannot be opened for writing" in page.text
    assert page.form("Sold").fields["price"] == "300"
    assert page.form("Sold").fields["sold_where"] == "neighbor"
    monkeypatch.setattr(store, "_steady", steady)
    assert rows(home) == before
    assert (
        browser.send(page.form("Sold")).status == 200
    )  # the same form serves once the disk can be written


@pytest.mark.parametrize(
    ("address", "button", "typed"),
    [
        ("/records/unit?unit=102", "Sold", {"price": "300"}),
        ("/records/new", "Keep it", {"type": "gas range", "note": "300"}),
    ],
)
def test_a_home_that_went_away_is_a_sentence_and_no_other_one_begins(
    browser: Browser, home: Home, address: str, button: str, typed: dict[str, str]
) -> None:
    """As where the disk was pulled out: what was typed is kept, and one press serves once it is
    back."""
    form = browser.get(address).form(button)
    before = rows(home)
    away = home.path.rename(home.path.with_name("away"))
    page = browser.send(form, **typed)
    assert page.status == 409
    assert "no longer in" in page.text
    assert "300" in page.text
    assert browser.get("/records").status == 409
    assert not home.path.exists()
    away.rename(home.path)
    assert rows(home) == before
    again = browser.send(page.form("Send it again"))
    assert again.status == 200
    assert "Saved: " in again.text


def other_row(browser: Browser, kind: str, **typed: str) -> Page:
    return browser.send(browser.get(f"/records/new/{kind}").form("Write it down"), **typed)


def test_trips_calls_and_expenses_are_written_down_and_counted_as_the_report_counts_them(
    browser: Browser, home: Home
) -> None:
    """A drive of 14 there and back costs its distance and its hour; a call its minutes; an expense
    its money."""
    import numpy as np

    from pricing.quarter.money import add_up, keep_books
    from pricing.record.current import units_for_models

    def totals() -> tuple[int, float, float, float]:
        settings = Settings(cost_per_distance=0.5, average_speed=28.0)
        books = keep_books(units_for_models(read_current(home), settings), settings, DAY)
        sums = add_up(books, np.ones(books.units.n, dtype=bool))
        return sums.n_trips, sums.expenses, sums.trip_hours, sums.profit

    before = totals()
    page = other_row(
        browser, "trip", type="electric dryer", miles="14", note="nobody there", got="2026-10-03"
    )
    assert "Saved: trip 2026-10-03" in page.text
    assert rows(home)["trip 2026-10-03"]["outcome"] == "trip"
    assert totals() == (before[0] + 1, before[1], before[2] + 1.0, before[3] - 14.0)
    other_row(browser, "call", type="gas range", minutes="15", note="wanted too much")
    assert totals() == (before[0] + 2, before[1], before[2] + 1.25, before[3] - 14.0)
    page = other_row(browser, "expense", expense="$32.50", note="dump fee")
    assert f"Saved: expense {DAY.isoformat()}" in page.text
    assert "$32" in page.text
    assert totals() == (before[0] + 2, before[1] + 32.5, before[2] + 1.25, before[3] - 46.5)
    assert browser.refit.wanted == 3
    browser.send(page.form("Undo"))
    assert totals()[1] == before[1]
    assert "104" not in rows(home)  # none of them is a unit
    assert "Not sold yet 2" in browser.get("/records").text


def test_an_expense_needs_its_money_and_its_reason(browser: Browser, home: Home) -> None:
    page = other_row(browser, "expense", expense="a lot", note="tools")
    assert page.status == 422
    assert 'id="expense-wrong"' in page.html
    assert page.form("Write it down").fields["note"] == "tools"
    assert 'id="note-wrong"' in other_row(browser, "expense", expense="5").html
    assert (
        other_row(browser, "expense", expense="5", note="tools", got="2026-12-31").status == 409
    )  # not yet
    assert not any(name.startswith("expense") for name in rows(home))
    assert browser.get("/records/new/<script>").status == 404


def test_what_is_no_unit_can_be_put_right(browser: Browser, home: Home) -> None:
    other_row(browser, "call", minutes="10", note="gone already")
    name = f"call {DAY.isoformat()}"
    page = browser.get(f"/records/unit?unit={name}")
    assert "Tag and ad" not in page.text
    form = page.form("Save")
    assert form.fields["minutes"] == "10"
    browser.send(form, minutes="30")
    assert float(rows(home)[name]["hours"]) == 0.5
    other_row(browser, "expense", expense="5", note="my own words")
    assert '<option value="my own words">' in browser.get("/records/new/expense").html
    browser.send(
        browser.get(f"/records/unit?unit=expense {DAY.isoformat()}").form("Save"), expense="7.25"
    )
    assert rows(home)[f"expense {DAY.isoformat()}"]["note"] == "my own words"
    again = other_row(browser, "expense", expense="6", note="the second of the day")
    assert f"Saved: expense {DAY.isoformat()} b" in again.text


def test_a_sheet_whose_columns_are_unclear_is_answered_by_a_press(
    browser: Browser, home: Home
) -> None:
    """What only the command line understands is never shown; the sheet waits."""
    sheet = (
        b"unit,type,amount of it,sold\n501,gas dryer,150,2026-09-01\n502,gas dryer,160,2026-09-02\n"
    )
    page = browser.drop(browser.get("/records/file").form("Show me"), "odd.csv", sheet)
    assert page.status == 422
    assert "--header" not in page.text
    page = browser.send(page.form("“amount of it” is the price"))
    assert "$310.00" in page.text
    two = (
        b"unit,type,sale price,sold price,sold\n501,gas dryer,150,151,2026-09-01\n502,gas"
        b" dryer,160,161,2026-09-02\n"
    )
    page = browser.drop(browser.get("/records/file").form("Show me"), "two.csv", two)
    browser.send(browser.send(page.form("“sold price” is the price")).form("Add these"))
    assert rows(home)["501"]["price"] == "151.00"


def test_an_expense_of_a_sheet_is_put_right_with_its_day(
    browser: Browser, home: Home, tmp_path: Path
) -> None:
    """A sheet may have its day in another column than the page writes."""
    sheet = tmp_path / "shop.csv"
    sheet.write_text(
        "unit,type,price,sold,expense,outcome,note\nE1,,,2026-09-03,40,expense,tools\n",
        encoding="utf-8",
    )
    add(home, sheet, Settings(), DAY)
    assert "expense Sep 3" in browser.get("/records?show=other").text
    form = browser.get("/records/unit?unit=E1").form("Save")
    assert (form.fields["got"], form.fields["expense"]) == ("2026-09-03", "40")
    page = browser.send(form, expense="42", got="2026-09-01")
    assert "Expense Sep 1: $42" in page.text


def test_an_answer_that_no_button_gives_is_refused(browser: Browser) -> None:
    """By hand, with the right form token."""
    page = browser.drop(
        browser.get("/records/file").form("Show me"),
        "days.csv",
        b"unit,type,price,sold\n301,gas dryer,150,03/04/2026\n",
    )
    for answer in ("--year x", "rm -rf", '--header "', ""):
        assert browser.send(page.form("day first"), answer=answer).status == 400


EVERY_STEP = [
    ("102", "bench", {"found": "pump", "parts": "20"}),
    ("103", "list", {"ask": "150", "listed": "2026-10-02"}),
    ("102", "down", {"ask": "299"}),
    ("102", "offer", {"offer": "250"}),
    ("102", "sold", {"price": "300"}),
    ("103", "parted", {"salvage": "35"}),
    ("103", "scrapped", {"salvage": "9"}),
    ("101", "comeback", {"back_hours": "1", "back_cost": "5"}),
    ("102", "correct", {"maker": "Quillon"}),
]


@pytest.mark.parametrize(
    ("unit", "name", "typed"), EVERY_STEP, ids=[name for _, name, _ in EVERY_STEP]
)
def test_each_small_form_says_what_it_did_and_takes_it_back(
    browser: Browser, home: Home, unit: str, name: str, typed: dict[str, str]
) -> None:
    def told() -> dict[str, dict[str, str]]:
        return {
            key: {column: text for column, text in row.items() if text}
            for key, row in rows(home).items()
        }

    before = told()
    form = next(
        form
        for form in browser.get(f"/records/unit?unit={unit}").forms
        if form.fields.get("step") == name
    )
    page = browser.send(form, **typed)
    assert f"Saved: {unit} " in page.text
    after = told()
    assert [other for other in after if after[other] != before[other]] == [unit]
    browser.send(page.form("Undo"))
    assert told() == before


OWN = (
    "What,Laid out $,Up since,Brought home\n"
    "electric dryer,40,3/1/2024,185\n"
    'gas range,25,3/4/2024,"1,x"\n'
    "dishwasher,10,3/29/2024,120\n"
)


def test_own_headings_are_said_by_choices_and_a_row_is_mended_in_place(tmp_path: Path) -> None:
    """Each heading stands with values of it; what is left out goes on waiting in sight."""
    browser = Browser(home_with(tmp_path / "home"))
    page = browser.drop(browser.get("/records/file").form("Show me"), "own.csv", OWN.encode())
    assert "sale price column is missing" in page.text
    assert "electric dryer · gas range · dishwasher" in page.text
    form = page.form("Read it again like this")
    headings = ["What", "Laid out $", "Up since", "Brought home"]
    meant = ["type", "paid", "listed", "price"]
    page = browser.send(form, theirs=headings, was=[""] * 4, ours=meant)
    assert "2 in, 1 to fix" in page.text
    added = browser.send(page.form("Add these rows"))
    assert "Saved" in added.text
    assert "1 to fix" in added.text
    assert "own.csv" in browser.get("/records/file").text
    mended = browser.send(added.form("Mended"), text="150")
    assert "$455.00" in mended.text
    browser.send(mended.form("Add these rows"))
    rows = read_current(browser.app.config["PLACE"].home).to_pylist()
    assert sorted(float(row["price"]) for row in rows) == [120.0, 150.0, 185.0]
    assert sorted(float(row["paid"]) for row in rows) == [10.0, 25.0, 40.0]
    assert "own.csv" not in browser.get("/records/file").text


def test_unknown_columns_are_taken_over_by_one_press(tmp_path: Path) -> None:
    """Each is proposed with what it would be, and all of them together."""
    head = "What,Parts,Laid out,Blip,Listed,Zorp,Brought\n"
    body = [
        f"oven,{n},${10 + n},3/{n}/2024,3/{n + 9}/2024,4/{n}/2024,{180 + n}\n" for n in range(1, 9)
    ]
    browser = Browser(home_with(tmp_path / "home"))
    page = browser.drop(
        browser.get("/records/file").form("Show me"), "s.csv", (head + "".join(body)).encode()
    )
    assert "“Blip” is the day you got it" in page.text
    form = page.html[page.html.rindex("<form", 0, page.html.index("Yes, all of them")) :]
    every = re.findall(r'name="answer" value="([^"]+)"', form.split("</form>")[0])
    assert len(every) == 3
    read = browser.send(page.form("Yes, all of them"), answer=[unescape(one) for one in every])
    assert "not known: kept" not in read.text
    browser.send(read.form("Add these rows"))
    row = read_current(browser.app.config["PLACE"].home).to_pylist()[0]
    assert (row["paid"], row["got"].isoformat(), row["sold"].isoformat()) == (
        11, "2024-03-01", "2024-04-01"
    )  # fmt: skip


def test_rows_left_out_for_good_wait_no_more(tmp_path: Path) -> None:
    browser = Browser(home_with(tmp_path / "home"))
    sheet = OWN.replace("What", "Type").replace("Brought home", "Sold for")
    page = browser.drop(browser.get("/records/file").form("Show me"), "s.csv", sheet.encode())
    browser.send(page.form("Mended"), drop="yes")
    assert "s.csv" not in browser.get("/records/file").text


def test_a_unit_that_ended_says_what_it_brought(demo_home: Home) -> None:
    """The same row of the books that the quarter is added up from."""
    browser = Browser(demo_home, DEMO_DAY)
    place = browser.app.config["PLACE"]
    books = place.books()
    units = books.units.word("unit").texts()
    at = next(i for i in range(len(units)) if books.counted[i] and books.sold[i])
    page = browser.get(f"/records/unit?unit={units[at]}")
    kept, worked = books.profit[at], books.worked[at]
    assert f"Kept {money(kept)} in" in page.text
    assert f"{money(kept / worked)} an hour" in page.text
    open_one = next(row["unit"] for row in place.open_units())
    assert "Kept $" not in browser.get(f"/records/unit?unit={open_one}").text


def test_a_comeback_is_said_in_words(demo_home: Home) -> None:
    browser = Browser(demo_home, DEMO_DAY)
    unit = next(
        r["key"]
        for r in read_current(browser.app.config["PLACE"].home).to_pylist()
        if r["outcome"] == "sold"
    )
    page = browser.get(f"/records/unit?unit={unit}&open=comeback")
    after = browser.send(
        page.form("Write it down"), on="2026-10-02", back_hours="1.5", back_cost="9.8"
    )
    assert "Oct 2, 1.5 hours, $9.80" in after.text
