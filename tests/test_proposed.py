"""Headings that nobody knows, proposed by what their cells do: right where the rows show it, silent
where they do not."""

from __future__ import annotations

import random
import re
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.ingest import Answers, read_file
from pricing.ingest.reading import Reading
from pricing.pipeline import adding

TODAY = date(2026, 11, 25)
TRUE = {"blip": "got", "zorp": "listed", "quux": "sold", "flim": "paid", "flam": "asked"}


def read(tmp_path: Path, text: str, *said: str) -> Reading:
    path = tmp_path / "sheet.csv"
    path.write_text(text, encoding="utf-8")
    headers = dict(one.split("=") for one in said)
    return read_file(path, Settings(), TODAY, Answers(headers=headers))


def proposed(reading: Reading) -> dict[str, list[str]]:
    """What each unknown heading may be, by the options offered."""
    found: dict[str, list[str]] = {}
    for question in reading.questions:
        for option in question.options:
            if match := re.fullmatch(r'--header "(.*)=(\w+)"', option):
                found.setdefault(match[1], []).append(match[2])
    return found


def ledger(seed: int, n: int = 24, years: bool = True) -> str:
    """An invented list whose columns of days and money have names that say nothing, in any order,
    beside a day that is none of them (when a filter was last cleaned) and a count of visits."""
    chance = random.Random(seed)
    columns = ["unit", "type", "price", "parts", *TRUE, "dust", "visits"]
    chance.shuffle(columns)
    lines = [",".join(columns)]
    day = date(2025, 1, 3)
    for number in range(1, n + 1):
        day += timedelta(days=chance.randint(2, 12))
        listed = day + timedelta(days=chance.randint(1, 9))
        sold = listed + timedelta(days=chance.randint(1, 40))
        price = chance.randint(90, 400)
        in_hand = chance.random() < 0.15
        form = "%m/%d/%Y" if years else "%m/%d"
        row = {
            "unit": f"A{number}",
            "type": chance.choice(["electric dryer", "gas range", "dishwasher"]),
            "price": "" if in_hand else f"{price}.00",
            "parts": str(chance.randint(0, 60)),
            "blip": day.strftime("%m/%d/%Y"),
            "zorp": listed.strftime(form),
            "quux": "" if in_hand else sold.strftime(form),
            "flim": chance.choice(["free", "$10", "$20", "$25", "$40"]),
            "flam": f"{price + chance.choice([0, 10, 25, 40])}",
            "dust": (date(2025, 1, 1) + timedelta(days=chance.randint(0, 400))).isoformat(),
            "visits": str(chance.randint(0, 5)),
        }
        lines.append(",".join(row[name] for name in columns))
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("years", [True, False])
def test_in_sixty_lists_the_right_columns_are_proposed_and_no_other(
    tmp_path: Path, years: bool
) -> None:
    for seed in range(30):
        found = proposed(read(tmp_path, ledger(seed, years=years)))
        assert found == {heading: [column] for heading, column in TRUE.items()}, seed


def test_what_is_taken_over_is_read(tmp_path: Path) -> None:
    """With every proposal taken over, days without a year stand beside those with one."""
    said = [f"{heading}={column}" for heading, column in TRUE.items()]
    told = read(tmp_path, ledger(3), *said)
    bare = read(tmp_path, ledger(3, years=False), *said)
    assert len(told.rows) == len(bare.rows) == 24
    for one, other in zip(told.rows, bare.rows, strict=True):
        assert one.values == other.values
    assert sum("the year goes by" in str(note) for note in bare.notes) == 2
    assert not [note for note in told.notes if "the year goes by" in str(note)]


def test_where_two_events_are_left_both_are_offered(tmp_path: Path) -> None:
    text = "unit,type,price,sold,blip\n" + "".join(
        f"{n},dishwasher,{90 + n},2026-03-{n + 10},2026-03-{n:02d}\n" for n in range(1, 8)
    )
    assert proposed(read(tmp_path, text)) == {"blip": ["got", "listed"]}


def test_days_without_order_are_not_proposed(tmp_path: Path) -> None:
    """Half of them before the unit came: no event of its life."""
    text = "unit,type,price,got,sold,blip\n" + "".join(
        f"{n},dishwasher,90,2026-03-{n:02d},2026-04-{n:02d},2026-0{2 + 3 * (n % 2)}-11\n"
        for n in range(1, 9)
    )
    assert proposed(read(tmp_path, text)) == {}


def test_a_year_is_not_guessed_across_most_of_a_year(tmp_path: Path) -> None:
    """Got on Jan 5, gone on "1/3": a year later, or a slip; and one that would be still to come."""
    head = "unit,type,price,got,sold\n1,dishwasher,90,1/25/2026,2/20\n"
    reading = read(tmp_path, head + "2,dishwasher,90,1/25/2026,1/23\n3,oven,90,10/25/2026,2/2\n")
    assert [row.values["sold"] for row in reading.rows] == [date(2026, 2, 20)]
    assert [row.line for row in reading.rejected] == [3, 4]


@pytest.mark.parametrize(
    ("note", "outcome", "salvage"),
    [
        ("sealed system, scrapped $18", "scrapped", "18.00"),
        ("trans. bad - parted $40", "parted", "40.00"),
        ("Scrapped.", "scrapped", None),
        ("drum gone. scrap 12", "scrapped", "12.00"),
        ("may be scrapped", "in work", None),
        ("good for scrap", "in work", None),
        ("scrapped the paint off", "in work", None),
    ],
)
def test_a_note_that_ends_with_the_end_is_taken_and_told(
    tmp_path: Path, note: str, outcome: str, salvage: str | None
) -> None:
    text = f'unit,type,price,sold,note\n1,oven,90,2026-02-01,\n2,oven,,,"{note}"\n'
    row = read(tmp_path, text).rows[1]
    assert row.values["outcome"] == outcome
    assert row.values.get("salvage") == (None if salvage is None else Decimal(salvage))
    assert bool([one for one in row.notes if "became of it" in str(one)]) == (outcome != "in work")


_CELLS = {"nr": "7", "blub": "gas range", "type": "gas range", "price": "200", "foo": "15",
          "sold": "2026-02-0{}", "bar": "2{}9", "baz": "2{}0", "gone": "2026-02-0{}"}  # fmt: skip


def _lines_under(head: str) -> str:
    lines = [",".join(_CELLS[name].format(n) for name in head.split(",")) for n in range(1, 6)]
    return "\n".join([head, *lines]) + "\n"


def test_a_price_that_may_be_an_ask_is_asked_for(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=re.escape('--header "baz=price"')):
        read(tmp_path, _lines_under("nr,type,foo,sold,bar,baz"))


@pytest.mark.parametrize(
    ("head", "taken"),
    [("nr,blub,price,sold", ("blub", "type")), ("nr,type,foo,sold,bar", ("bar", "price"))],
)
def test_a_missing_column_is_taken_where_the_cells_show_it_and_told(
    tmp_path: Path, head: str, taken: tuple[str, str]
) -> None:
    reading = read(tmp_path, _lines_under(head))
    assert taken in [(one.text, one.column) for one in reading.facts.headings]
    assert any(note.column == taken[0] and "--header" in note.fix for note in reading.notes)
    assert len(reading.rows) == 5


def test_a_price_far_under_what_is_usual_is_told_as_a_slip(tmp_path: Path) -> None:
    text = 'unit,type,price,sold\n1,oven,190,2026-02-01\n2,oven,"1,10",2026-02-02\n3,oven,210,2026-02-03\n'
    said = [str(note) for row in read(tmp_path, text).rows for note in row.notes]
    assert len(said) == 1 and "sold for 1.1: a slip?" in said[0]


@pytest.mark.parametrize(
    ("cell", "price"), [("$260 (by app)", 260), ("180 (cash)", 180), ("SOLD 175", 175)]
)
def test_how_it_was_paid_stands_behind_an_amount(tmp_path: Path, cell: str, price: int) -> None:
    text = f"unit,type,price,sold\n1,oven,{cell},2026-02-01\n"
    row = read(tmp_path, text).rows[0]
    assert row.values["price"] == price and "was read as" in str(row.notes[0])


@pytest.mark.parametrize("cell", ["60 (obo)", "300 (deposit)", "80 (for both)", "50 (trade)"])
def test_other_words_behind_an_amount_are_not_passed_over(tmp_path: Path, cell: str) -> None:
    text = f"unit,type,price,sold\n1,oven,{cell},2026-02-01\n"
    reading = read(tmp_path, text)
    assert reading.rejected or "ask" in str(reading.rows[0].notes)


def test_lines_that_sum_up_a_month_are_no_units(tmp_path: Path) -> None:
    text = (
        "unit,type,price,sold\n1,oven,190,2025-01-04\nJan total,,190,\nFebruary 2025 total,,0,\n"
        "Q1 totals,,190,\n2025 total,,190,\n"
    )
    reading = read(tmp_path, text)
    assert (len(reading.rows), len(reading.skipped), len(reading.rejected)) == (1, 4, 0)


@pytest.mark.parametrize(
    ("cell", "years"), [("7ish", 7.0), ("5 years?", 5.0), ("10 or so", 10.0), ("about 6", 6.0)]
)
def test_ages_that_are_only_about(tmp_path: Path, cell: str, years: float) -> None:
    text = f"unit,type,price,sold,how old\n1,oven,190,2025-01-04,{cell}\n"
    assert read(tmp_path, text).rows[0].values["age"] == pytest.approx(years)


def test_days_are_compared_in_the_order_of_the_file(tmp_path: Path) -> None:
    """Day first: read month first, half of them would be sold before they came."""
    text = "unit,type,price,listed,sold,blip\n" + "".join(
        f"{n},oven,190,{n + 2:02d}.0{n}.2025,{n + 14:02d}.0{n}.2025,{n:02d}.0{n}.2025\n"
        for n in range(1, 9)
    )
    assert proposed(read(tmp_path, text)) == {"blip": ["got"]}


def answered(tmp_path: Path, text: str, *options: str) -> Reading:
    """The sheet read with some of the options that it offered, as one press takes them."""
    path, answers = tmp_path / "sheet.csv", Answers()
    path.write_text(text, encoding="utf-8")
    for option in options:
        answers = adding.answered(answers, option)
    return read_file(path, Settings(), TODAY, answers)


def test_a_slip_in_a_makers_name_is_asked_and_mended_by_one_press(tmp_path: Path) -> None:
    makers = ["Norvane"] * 14 + ["Norvnae", "Halden", "Haldor"]
    rows = "".join(f"{n},dryer,{one},2026-03-0{n % 9 + 1},150\n" for n, one in enumerate(makers))
    text = f"unit,type,maker,sold,price\n{rows}"
    [question] = answered(tmp_path, text).questions
    [option] = question.options

    assert (option, question.lines) == ('--word "Norvnae=Norvane"', (16,))
    mended = answered(tmp_path, text, option)
    assert [row.values["maker"] for row in mended.rows].count("norvane") == 15
    assert mended.rows[14].said["maker"] == "Norvnae"
    assert not mended.questions


@pytest.mark.parametrize(
    ("outcomes", "heading"),
    [(("Y", "N", "N"), "Sold?"), (("", "", ""), "Kind"), (("ja", "nein", "nein"), "Sold?")],
)
def test_units_that_ended_unsold_are_asked_about_once(
    outcomes: tuple[str, ...], heading: str, tmp_path: Path
) -> None:
    a, b, c = outcomes
    text = (
        f"unit,type,got,asked,gone,price,{heading}\n1,dryer,2026-01-02,200,2026-02-03,150,{a}\n"
        f"2,dryer,2026-01-02,,2026-02-05,,{b}\n3,dryer,2026-01-02,,2026-02-06,,{b}\n"
        f"4,dryer,2026-01-02,180,,,{c}\n5,dryer,2026-01-02,,,,{c}\n"
    )
    asked = [one for one in answered(tmp_path, text).questions if "--ended" in one.options[0]]

    assert [one.lines for one in asked] == [(3, 4)]
    read = answered(tmp_path, text, asked[0].options[1]).rows
    assert [row.values["outcome"] for row in read] == [
        "sold",
        "parted",
        "parted",
        "listed",
        "in work",
    ]


def test_an_outcome_in_words_that_nobody_knows_is_asked_once(tmp_path: Path) -> None:
    text = (
        "unit,type,got,sold,price,outcome\n1,dryer,2026-01-02,2026-02-03,150,sold\n"
        "2,dryer,2026-01-02,,,zumpf\n3,dryer,2026-01-02,2026-02-06,,zumpf\n"
    )
    [question] = answered(tmp_path, text).questions

    assert question.lines == (3, 4)
    read = answered(tmp_path, text, '--word "zumpf=kept"').rows
    assert [row.values["outcome"] for row in read] == ["sold", "kept", "kept"]
