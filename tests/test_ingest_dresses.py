"""One table of units in many dresses: however a spreadsheet writes it, the same values come out.
Invented data."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from pricing.basis.settings import Settings
from pricing.ingest import Answers, read_file
from pricing.ingest.reading import Reading

TODAY = date(2026, 11, 25)
HEADER = [
    "Ref",
    "Type",
    "Age (years)",
    "Condition",
    "Repair done",
    "Features",
    "Paid",
    "Parts",
    "Hours",
    "Bought",
    "Listed",
    "Asked",
    "Sold",
    "Sale price",
    "Outcome",
]
TYPES = ["Washing machine", "Tumble dryer", "Fridge", "Wall oven", "Dishwasher"]
Truth = list[dict[str, object]]


def truth() -> Truth:
    rows: Truth = []
    for i in range(12):
        got = date(2024, 1, 3) + timedelta(days=29 * i)
        rows.append(
            {
                "unit": f"R{i:03d}",
                "type": TYPES[i % 5],
                "age": 2 + i / 2,
                "condition": ["Good", "Fair", "Poor"][i % 3],
                "repair": "Door seal replaced",
                "features": "White",
                "paid": Decimal(5 * i),
                "parts": Decimal(f"{10 + i}.25"),
                "hours": 0.5 + 0.25 * i,
                "got": got,
                "listed": got + timedelta(days=9),
                "asked": Decimal(1000 + 125 * i),
                "sold": got + timedelta(days=20),
                "price": Decimal(f"{980 + 125 * i}.50"),
                "outcome": "Sold",
            }
        )
    return rows


def cells(
    row: dict[str, object],
    day: Callable[[date], str],
    money: Callable[[Decimal], str],
    number: Callable[[float], str],
) -> list[str]:
    out = []
    for value in row.values():
        out.append(
            day(value)
            if isinstance(value, date)
            else (
                money(value)
                if isinstance(value, Decimal)
                else number(value)
                if isinstance(value, float)
                else str(value)
            )
        )
    return out


def write(
    path: Path,
    table: list[list[str]],
    delimiter: str = ",",
    line_end: str = "\n",
    encoding: str = "utf-8",
    quoting: int = csv.QUOTE_MINIMAL,
) -> Path:
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter, lineterminator=line_end, quoting=quoting).writerows(table)
    path.write_bytes(out.getvalue().encode(encoding))
    return path


def iso(day: date) -> str:
    return day.isoformat()


def plain(value: Decimal | float) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def point(value: float) -> str:
    return f"{value:g}"


def comma(value: float) -> str:
    return f"{value:g}".replace(".", ",")


def assert_same(reading: Reading, rows: Truth) -> None:
    """Every row in, with the values of the truth; words in the person's own spelling."""
    assert [problem for row in reading.rejected for problem in row.problems] == []
    assert len(reading.rows) == len(rows)
    for row, expected in zip(reading.rows, rows, strict=True):
        found = {**row.values, **row.said}
        for name, value in expected.items():
            if name == "asked":
                assert Decimal(str(found[name])) == value
            elif isinstance(value, str):
                assert str(found[name]).casefold() == value.casefold()
            else:
                assert found[name] == (
                    pytest.approx(value) if isinstance(value, float) else value
                ), name


def swiss(value: Decimal) -> str:
    return f"{value:,.2f}".replace(",", "'")


def german(value: Decimal) -> str:
    return f"{value:,.2f}".replace(",", "x").replace(".", ",").replace("x", ".")


def french(value: Decimal) -> str:
    return f"{value:,.2f}".replace(",", "\u202f").replace(".", ",")


DATES: dict[str, Callable[[date], str]] = {
    "iso": iso,
    "compact": lambda d: f"{d:%Y%m%d}",
    "slashes, year first": lambda d: f"{d:%Y/%m/%d}",
    "day first": lambda d: f"{d:%d/%m/%Y}",
    "day first, short": lambda d: f"{d.day}.{d.month}.{d:%y}",
    "month first": lambda d: f"{d.month}/{d.day}/{d.year}",
    "month first, two digits": lambda d: f"{d:%m/%d/%y}",
    "month first, dashes": lambda d: f"{d:%m-%d-%Y}",
    "month name": lambda d: f"{d:%d-%b-%y}",
    "long": lambda d: f"{d:%B} {d.day}, {d.year}",
    "ordinal": lambda d: f"{d.day}th {d:%B} {d.year}",
    "weekday": lambda d: f"{d:%a} {d:%d/%m/%Y}",
    "weekday long": lambda d: f"{d:%A}, {d:%d %B %Y}",
    "with a time": lambda d: f"{d:%d/%m/%Y} 14:05",
    "iso with a time": lambda d: f"{d:%Y-%m-%d}T14:05:00Z",
    "american with a time": lambda d: f"{d.month}/{d.day}/{d.year} 2:05 PM",
    "serial": lambda d: str((d - date(1899, 12, 30)).days),
    "serial with a time": lambda d: f"{(d - date(1899, 12, 30)).days}.5868",
    "iso week": lambda d: "{}-W{:02d}-{}".format(*d.isocalendar()),
    "two digits, year first": lambda d: f"{d:%y/%m/%d}",
    "points, year first": lambda d: f"{d:%Y.%m.%d.}",
    "disarmed text": lambda d: f"'{d:%Y-%m-%d}",
}
MONEY: dict[str, Callable[[Decimal], str]] = {
    "plain": plain,
    "dollars": lambda v: f"${v:,.2f}",
    "pounds apart": lambda v: f"£ {v:,.2f} ",
    "code behind": lambda v: f"{v:,.2f} USD",
    "code before": lambda v: f"CAD {v:,.2f}",
    "cents always": lambda v: f"{v:.2f}",
    "swiss": swiss,
    "no-break blanks": lambda v: f"{v:,.2f}".replace(",", "\xa0"),
    "accounting": lambda v: f" $ {v:,.2f} " if v else " $ -   ",
    "full width": lambda v: f"{v:.2f}".translate(
        str.maketrans("0123456789.", "０１２３４５６７８９．")
    ),
}
EUROPEAN: dict[str, Callable[[Decimal], str]] = {
    "german": lambda v: f"{german(v)} €",
    "german bare": german,
    "french": lambda v: f"{french(v)} €",
    "code": lambda v: f"EUR {german(v)}",
    "no thousands": lambda v: f"{v:.2f}".replace(".", ","),
}


@pytest.mark.parametrize("name", DATES)
def test_dates(name: str, tmp_path: Path) -> None:
    rows = truth()
    path = write(
        tmp_path / "a.csv", [HEADER, *(cells(row, DATES[name], plain, point) for row in rows)]
    )

    assert_same(read_file(path, Settings(), TODAY), rows)


@pytest.mark.parametrize("name", MONEY)
def test_money(name: str, tmp_path: Path) -> None:
    rows = truth()
    path = write(
        tmp_path / "a.csv", [HEADER, *(cells(row, iso, MONEY[name], point) for row in rows)]
    )
    if name == "accounting":
        rows[0].pop("paid")  # a dash is blank, not 0

    assert_same(read_file(path, Settings(), TODAY), rows)


@pytest.mark.parametrize("name", EUROPEAN)
@pytest.mark.parametrize("delimiter", [";", "\t", ","])
def test_decimal_comma(name: str, delimiter: str, tmp_path: Path) -> None:
    rows = truth()
    table = [HEADER, *(cells(row, DATES["day first"], EUROPEAN[name], comma) for row in rows)]
    path = write(tmp_path / "a.csv", table, delimiter)

    assert_same(read_file(path, Settings(), TODAY), rows)


@pytest.mark.parametrize(
    "encoding", ["utf-8-sig", "utf-16", "utf-16-be", "cp1252", "mac_roman", "utf-32"]
)
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|", "~"])
def test_bytes(encoding: str, delimiter: str, tmp_path: Path) -> None:
    rows = [row | {"features": "größer, weiß"} for row in truth()]
    path = write(
        tmp_path / "a.csv",
        [HEADER, *(cells(row, iso, plain, point) for row in rows)],
        delimiter,
        "\r\n",
        encoding,
    )

    assert_same(
        read_file(path, Settings(), TODAY),
        [{k: v for k, v in row.items() if k != "features"} for row in rows],
    )


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r", "\r\r\n"])
@pytest.mark.parametrize("quoting", [csv.QUOTE_MINIMAL, csv.QUOTE_ALL])
def test_line_ends(line_end: str, quoting: int, tmp_path: Path) -> None:
    rows = truth()
    path = write(
        tmp_path / "a.csv",
        [HEADER, *(cells(row, iso, plain, point) for row in rows)],
        ",",
        line_end,
        "utf-8",
        quoting,
    )

    assert_same(read_file(path, Settings(), TODAY), rows)


HEADERS: dict[str, list[str]] = {
    "camel case": [
        "ref",
        "applianceType",
        "ageYears",
        "condition",
        "repairDone",
        "features",
        "pricePaid",
        "partsCost",
        "laborHours",
        "dateBought",
        "dateListed",
        "askingPrice",
        "dateSold",
        "salePrice",
        "status",
    ],
    "snake case": [
        "item_no",
        "appliance",
        "age_years",
        "state",
        "work_done",
        "options",
        "bought_for",
        "parts_cost",
        "hours_worked",
        "purchase_date",
        "list_date",
        "list_price",
        "sale_date",
        "sold_for",
        "result",
    ],
    "shouted": [name.upper() for name in HEADER],
    "starred and padded": [f"  {name}*  " for name in HEADER],
    "broken over two lines": [name.replace(" ", "\n") for name in HEADER],
    "with units": [
        "Ref #",
        "Type",
        "Age [yrs]",
        "Condition",
        "Repair done",
        "Features",
        "Paid ($)",
        "Parts ($)",
        "Hours (h)",
        "Bought on",
        "Listed on",
        "Asked ($)",
        "Sold on",
        "Sale price, USD",
        "Outcome?",
    ],
    "everyday": [
        "No.",
        "What",
        "How old",
        "Cond",
        "Fixed",
        "Extras",
        "I paid",
        "Spares",
        "Time spent",
        "Got",
        "Posted",
        "Asking",
        "Date sold",
        "Got for it",
        "What happened",
    ],
    "slips": [
        "Ref",
        "Type",
        "Age (years)",
        "Conditon",
        "Repair done",
        "Features",
        "Paid",
        "Parts",
        "Hours",
        "Bought",
        "Listed",
        "Asked",
        "Sold",
        "Sale prise",
        "Outcome",
    ],
}


@pytest.mark.parametrize("name", HEADERS)
def test_headers(name: str, tmp_path: Path) -> None:
    rows = truth()
    path = write(
        tmp_path / "a.csv", [HEADERS[name], *(cells(row, iso, plain, point) for row in rows)]
    )

    assert_same(read_file(path, Settings(), TODAY), rows)


def with_rows(
    before: list[list[str]], inside: list[list[str]], after: list[list[str]]
) -> Callable[[list[list[str]]], list[list[str]]]:
    def dress(table: list[list[str]]) -> list[list[str]]:
        return [*before, table[0], *table[1:7], *inside, *table[7:], *after]

    return dress


BLANK = [""] * 15
STRUCTURES: dict[str, Callable[[list[list[str]]], list[list[str]]]] = {
    "titles": with_rows(
        [["My ledger"], [], ["Prices in USD, all mine"], ["", ""], ["Printed:", "2025-01-07"]],
        [],
        [],
    ),
    "totals": with_rows(
        [],
        [["Subtotal", *[""] * 12, "1234.50", ""]],
        [
            ["Grand total", *[""] * 12, "9999.00", ""],
            ["Average", *[""] * 12, "99", ""],
            ["Count", "12", *[""] * 13],
        ],
    ),
    "total in the type": with_rows([], [], [["", "TOTAL:", *[""] * 11, "9999.00", ""]]),
    "header again": with_rows([], [HEADER, BLANK, HEADER], []),
    "blank lines": with_rows([[], BLANK], [[], BLANK, [" "]], [[], BLANK, []]),
    "remarks": with_rows(
        [], [["(page 2)"]], [["* = not tested"], [], ["Exported by my sheet, 2025"]]
    ),
    "months": with_rows([], [["JULY 2024"]], [["AUGUST"]]),
    "group row above": with_rows(
        [["", "Unit", "", "", "", "", "Costs", "", "", "Dates", "", "Asking", "", "Result", ""]],
        [],
        [],
    ),
    "units row below": lambda table: [
        table[0],
        [
            "",
            "",
            "years",
            "",
            "",
            "",
            "$",
            "$",
            "h",
            "yyyy-mm-dd",
            "yyyy-mm-dd",
            "$",
            "yyyy-mm-dd",
            "$",
            "",
        ],
        *table[1:],
    ],
    "empty first column": lambda table: [["", *row] for row in table],
    "row numbers": lambda table: [["" if i == 0 else str(i), *row] for i, row in enumerate(table)],
    "empty columns": lambda table: [[*row[:5], "", *row[5:], "", ""] for row in table],
    "columns turned round": lambda table: [row[::-1] for row in table],
    "profit worked out": lambda table: [
        [*row, "Profit" if i == 0 else "123.45"] for i, row in enumerate(table)
    ],
    "unknown columns": lambda table: [
        ["Shelf", *row, "Buyer's remark"] if i == 0 else [f"S{i}", *row, "nice, paid cash"]
        for i, row in enumerate(table)
    ],
    "unknown column of sums": lambda table: [
        [*row, "Tip"] if i == 0 else [*row, "5,5"] for i, row in enumerate(table)
    ],
}


@pytest.mark.parametrize("name", STRUCTURES)
def test_structures(name: str, tmp_path: Path) -> None:
    rows = truth()
    path = write(
        tmp_path / "a.csv",
        STRUCTURES[name]([HEADER, *(cells(row, iso, plain, point) for row in rows)]),
    )

    assert_same(read_file(path, Settings(), TODAY), rows)


@pytest.mark.parametrize(
    ("form", "factor"),
    [
        ("{:g} yrs", 1),
        ("{:g}y", 1),
        ("~{:g}", 1),
        ("{:g} months", 12),
        ("approx {:g}", 1),
        ("{:g} years old", 1),
    ],
)
def test_ages(form: str, factor: float, tmp_path: Path) -> None:
    rows = truth()
    table = [HEADER, *(cells(row, iso, plain, point) for row in rows)]
    for line, row in zip(table[1:], rows, strict=True):
        line[2] = form.format(float(str(row["age"])) * factor)

    assert_same(read_file(write(tmp_path / "a.csv", table), Settings(), TODAY), rows)


@pytest.mark.parametrize(
    "form", ["{h}:{m:02d}", "{h}h {m:02d}m", "{t} min", "{h}h{m:02d}", "{d:g} hrs", "{d:g} hours"]
)
def test_hours(form: str, tmp_path: Path) -> None:
    rows = truth()
    table = [HEADER, *(cells(row, iso, plain, point) for row in rows)]
    for line, row in zip(table[1:], rows, strict=True):
        hours = float(str(row["hours"]))
        line[8] = form.format(h=int(hours), m=round(hours % 1 * 60), t=round(hours * 60), d=hours)

    assert_same(read_file(write(tmp_path / "a.csv", table), Settings(), TODAY), rows)


def test_plain_rows_are_told_nothing(tmp_path: Path) -> None:
    """A warning that always comes says nothing."""
    path = write(tmp_path / "a.csv", [HEADER, *(cells(row, iso, plain, point) for row in truth())])
    reading = read_file(path, Settings(), TODAY)

    assert reading.notes == ()
    assert reading.questions == ()
    assert all(row.notes == () for row in reading.rows)


def test_what_the_person_said_decides(tmp_path: Path) -> None:
    rows = truth()
    path = write(
        tmp_path / "a.csv",
        [HEADER, *(cells(row, lambda d: f"{d:%d/%m/%Y}", plain, point) for row in rows)],
    )

    assert_same(read_file(path, Settings(), TODAY, Answers(date_order="dmy")), rows)
    assert_same(read_file(path, Settings(date_order="dmy"), TODAY), rows)
