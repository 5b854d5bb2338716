"""Small steps of reading and keeping, by hand or by a second way: slips of letters, the parts of a
line, lines that are no unit, quotes that stay open, the order of days, months of sales, lives of a
unit. Found, as those of `test_noticed`, by changing the code a little."""

from __future__ import annotations

import random
from datetime import date
from functools import cache
from typing import Any

import pyarrow as pa
import pytest

from pricing.ingest import by_cells, dialect, structure
from pricing.ingest.dialect import Dialect
from pricing.ingest.structure import Header
from pricing.record import changes, months
from pricing.record.rows import PLACE
from pricing.record.store import CELLS
from pricing.words import sayings, tokens

# ---- slips of letters


def slips_by_definition(a: str, b: str) -> int:
    """The optimal string alignment distance (Damerau 1964, Communications of the ACM 7(3)), by its
    own recursion."""

    @cache
    def far(i: int, j: int) -> int:
        if i == 0 or j == 0:
            return i + j
        ways = [far(i - 1, j) + 1, far(i, j - 1) + 1, far(i - 1, j - 1) + (a[i - 1] != b[j - 1])]
        if i > 1 and j > 1 and a[i - 1] == b[j - 2] and a[i - 2] == b[j - 1]:
            ways.append(far(i - 2, j - 2) + 1)
        return min(ways)

    return far(len(a), len(b))


def test_slips_are_those_of_the_definition() -> None:
    draw = random.Random(4)
    near = 0
    for _ in range(600):
        a, b = ("".join(draw.choices("abc", k=draw.randrange(8))) for _ in range(2))
        exact = slips_by_definition(a, b)
        near += exact < 3
        assert sayings.slips(a, b) == min(exact, 3), (a, b)
    assert near > 100


# ---- the parts of a line


@pytest.mark.parametrize(
    ("said", "parts"),
    [
        # a range rises by less than six tenths; else the dash is a stop
        ("5 - 6 years", [("5", 5, 0), ("-", None, 0), ("6", 6, 0), ("years", None, 0)]),
        ("5 - 7.9 years", [("5", 5, 0), ("-", None, 0), ("7.9", 7.9, 0), ("years", None, 0)]),
        ("5 - 8 years", [("5", 5, 0), ("8", 8, 1), ("years", None, 0)]),
        ("5 - 5 years", [("5", 5, 0), ("5", 5, 1), ("years", None, 0)]),
        ("like new - 40", [("like", None, 0), ("new", None, 0), ("40", 40, 1)]),
        ("'11 - 14 firm", [("2011", 2011, 0), ("14", 14, 1), ("firm", None, 0)]),
        # years of two digits turn at forty
        ("'14 oven", [("2014", 2014, 0), ("oven", None, 0)]),
        ("'40 oven", [("2040", 2040, 0), ("oven", None, 0)]),
        ("'41 oven", [("1941", 1941, 0), ("oven", None, 0)]),
        # what ends a sentence counts more than a comma; a short form ends none
        ("dead. leaks, 40", [("dead", None, 0), ("leaks", None, 2), ("40", 40, 1)]),
        ("dead, . leaks", [("dead", None, 0), ("leaks", None, 2)]),
        ("dead. , leaks", [("dead", None, 0), ("leaks", None, 2)]),
        ("20 min. from here",
         [("20", 20, 0), ("min", None, 0), ("from", None, 0), ("here", None, 0)]),
        ("20 min. From here",
         [("20", 20, 0), ("min", None, 0), ("from", None, 2), ("here", None, 0)]),
        ("8 min. away", [("8", 8, 0), ("min", None, 0), ("away", None, 0)]),
        ("no. 2, dead", [("no", None, 0), ("2", 2, 0), ("dead", None, 1)]),
        ("dead -", [("dead", None, 0)]),
        ("40 -", [("40", 40, 0)]),
        ("dead -- leaks", [("dead", None, 0), ("leaks", None, 1)]),
        # numbers with a sign, a thousand, a hundred, in words
        ("1.2k", [("1.2", 1200, 0)]),
        ("2 hundred", [("2", 200, 0)]),
        ("hundred bucks", [("hundred", 100, 0), ("bucks", None, 0)]),
        ("old -$20", [("old", None, 0), ("20", -20, 0)]),
        ("1,299", [("1,299", 1299, 0)]),
        ("forty five, six", [("forty five", 45, 0), ("six", 6, 1)]),
        ("a hundred", [("a hundred", 100, 0)]),
        ("five hundred", [("five hundred", 500, 0)]),
    ],
)  # fmt: skip
def test_the_parts_of_a_line(said: str, parts: list[tuple[str, float | None, int]]) -> None:
    found = [(one["w"], one["n"], one["stop"]) for one in tokens.tokens_of(said)]

    assert found == [(word, None if n is None else pytest.approx(n), s) for word, n, s in parts]


def test_signs_of_a_line_go_to_what_they_belong_to() -> None:
    before, after, asked = (tokens.tokens_of(text) for text in ("$ 40", "40 $", "leaks? 40"))

    assert [(one["n"], one["money"]) for one in (*before, *after)] == [(40, "$"), (40, "$")]
    assert [one["ask"] for one in asked] == [True, False]
    assert [one["used"] for one in tokens.tokens_of("# 209 dead")] == ["no", ""]


# ---- lines of a sheet that are no unit


@pytest.mark.parametrize(
    ("cells", "total"),
    [
        (["Total", "", "1892.5"], True),
        (["Total", "oven", "190"], False),  # a maker of that name
        (["", "total", "$1,892"], True),  # the first text cell
        (["1892.5", "", ""], False),
        (["R1", "oven", "190"], False),
        (["March", "", "1,892"], True),
        (["March", "March", "1,892"], True),
        (["March", "oven", "190"], False),
    ],
)
def test_a_total_is_told_from_a_unit(cells: list[str], total: bool) -> None:
    assert structure.is_total(cells, 1, 0) is total


def header_of(*names: str) -> Header:
    return Header(0, 1, tuple(names))


@pytest.mark.parametrize(
    ("cells", "reordered"),
    [
        (["Type", "Unit", "Price", "Age", "Note"], True),
        (["Unit", "Type", "Price", "Age", "Note"], False),  # the header itself is told elsewhere
        (["Note", "Age", "Price", "", "Type"], True),  # four of five
        (["Note", "Age", "", "", "Type"], False),  # three of five: not over six tenths
        (["Note", "Age", "Price", "oven", "Type"], False),
        (["Note", "Note", "Price", "Age", "Type"], False),
    ],
)
def test_a_header_in_another_order_is_no_unit(cells: list[str], reordered: bool) -> None:
    header = header_of("Unit", "Type", "Price", "Age", "Note")

    assert structure.is_reordered(cells, header) is reordered


@pytest.mark.parametrize(("width", "text"), [(3, ""), (4, "March")])
def test_a_lone_cell_of_a_wide_line_is_a_heading(width: int, text: str) -> None:
    assert structure.heading_of(["", " March ", ""], width) == text
    assert structure.heading_of(["x", "March"], width) == ""


# ---- quotes


@pytest.mark.parametrize(
    ("lines", "n_cells", "width", "swallows"),
    [
        (['a,"b\n', 'c",d\n'], 3, 3, False),  # closes before a delimiter, as wide as the others
        (['a,"b\n', "c,d,e\n", 'f",g\n'], 3, 3, False),  # whatever stands inside it
        (['a,"b\n', 'c",d\n'], 3, 0, False),  # of whose width nothing is known
        (['a,"b\n', 'c"x,d,e\n', "f,g,h\n"], 3, 3, True),  # what follows are whole lines
        (['a,"b\n', "c,d,e\n", "f\n", "g\n", 'h"x\n'], 2, 3, False),  # one in four is too few
        (['a,"b\n', "c,d,e\n", "f,g,h\n", "i\n", 'j"x\n'], 2, 3, True),
        (['a,"b\n', *["c\n"] * 49, 'd"x\n'], 1, 2, True),  # 51 lines
        (['a,"b\n', *["c\n"] * 48, 'd"x\n'], 1, 2, False),
    ],
)
def test_a_quote_that_stays_open_is_told_from_a_long_cell(
    lines: list[str], n_cells: int, width: int, swallows: bool
) -> None:
    assert dialect._swallows(lines, ("",) * n_cells, Dialect(","), width) is swallows


def test_another_quote_is_one_that_frames_most_lines() -> None:
    lines = ["'a','b'"] * 9 + ["c"]
    assert dialect._framed(lines, "'") == 1.0
    assert dialect._framed([*lines[:8], "c", "d"], "'") == 0.0  # eight of ten are not over .8
    assert dialect._framed(['"a"'] * 5, '"') == 0.0  # the usual one needs no proof


# ---- days that tell what they are


def days(*numbers: int | None) -> list[date | None]:
    return [None if n is None else date.fromordinal(739_000 + n) for n in numbers]


@pytest.mark.parametrize(
    ("first", "last", "before"),
    [
        (days(0, 0, 0), days(1, 2, 0), True),
        (days(0), days(5), False),  # one row shows nothing
        (days(0, None, 0), days(5, 3, None), False),  # nor two of which one is told
        (days(*[0] * 20), days(-1, *[3] * 19), True),  # a slip in twenty
        (days(*[0] * 19), days(-1, *[3] * 18), False),
        (days(*[0] * 10), days(*[0] * 7, 1, 1, 1), True),  # three in ten lie apart
        (days(*[0] * 10), days(*[0] * 8, 1, 1), False),
    ],
)
def test_one_event_is_before_another_in_nearly_all_rows(
    first: list[date | None], last: list[date | None], before: bool
) -> None:
    assert by_cells._before(first, last) is before


def test_a_day_without_a_year_goes_to_the_nearest_one() -> None:
    new_year = date(2026, 1, 2)
    assert by_cells._beside((12, 30), new_year) == (date(2025, 12, 30), 3)
    assert by_cells._beside((1, 5), date(2025, 12, 30)) == (date(2026, 1, 5), 6)
    assert by_cells._beside((2, 29), date(2025, 3, 1)) == (date(2024, 2, 29), 366)
    assert by_cells._beside(date(2026, 1, 1), new_year) == (None, None)
    assert by_cells._beside((2, 30), new_year) == (None, None)


def test_a_column_of_days_is_the_sale_where_it_stands_beside_the_price() -> None:
    told = days(*range(9), None)
    assert by_cells._where(told, [True] * 9 + [False])
    assert by_cells._where(told, [True] * 10)  # nine of ten
    assert not by_cells._where(told, [True] * 8 + [False, True])


def test_missing_events_get_the_columns_that_keep_the_order() -> None:
    known = {"got": days(0, 10, 20)}
    unknown = {4: days(9, 19, 29), 7: days(5, 15, 25)}

    assert by_cells._ways(known, unknown, ["listed", "sold"]) == [{"listed": 7, "sold": 4}]
    assert by_cells._ways(known, {4: days(-5, 5, 15)}, ["listed", "sold"]) == []
    assert by_cells._ways(known, {7: unknown[7]}, ["sold"]) == [{"sold": 7}]


# ---- the record


def test_months_of_sales_are_counted_from_the_year_nought() -> None:
    sold = [date(2026, 12, 31), None, date(2026, 1, 1), date(1969, 12, 31), date(2026, 12, 1)]
    table = pa.table({"sold": pa.array(sold, pa.date32()), "unit": list("abcde")})

    assert months._month_numbers(table).tolist() == [24_323, 0, 24_312, 23_639, 24_323]
    apart = {name: part.column("unit").to_pylist() for name, part in months._by_month(table, None)}
    assert apart == {
        months.UNSOLD: ["b"], "1969-12": ["d"], "2026-01": ["c"], "2026-12": ["a", "e"],
    }  # fmt: skip
    few = months._by_month(table, frozenset({0, 24_323}))
    assert {name: part.column("unit").to_pylist() for name, part in few} == {
        months.UNSOLD: ["b"], months.EARLIER: ["c", "d"], "2026-12": ["a", "e"],
    }  # fmt: skip
    assert list(months._by_month(table.slice(0, 0), None)) == []


def test_parts_of_sales_and_of_the_unsold_are_told_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(months, "ROWS", 100)
    files = tuple(
        months.File(f"month={name}/part-0.parquet", "", 0, groups)
        for name, groups in ((months.UNSOLD, (60, 40)), ("2026-01", (60, 41)), ("2026-02", (50,)))
    )
    found = months.DataSet("x", "", (), files)

    def pieces(unsold: bool | None) -> list[list[tuple[str, int, int]]]:
        return [
            [(file.path[6:13], first, end) for file, first, end in part.pieces]
            for part in months.parts(found, unsold)
        ]

    assert found.rows == 251
    assert pieces(True) == [[(f"{months.UNSOLD}/part-0"[:7], 0, 2)]]
    assert pieces(False) == [[("2026-01", 0, 1)], [("2026-01", 1, 2), ("2026-02", 0, 1)]]
    assert len(pieces(None)) == 3


def test_a_number_came_before_where_it_did() -> None:
    """Two places of 2^27 each: of a thousand numbers none is taken for another."""
    sieve = changes._Sieve()
    names = [f"U-{n}" for n in range(1_000)]

    assert sieve.again(names) == [False] * 1_000
    assert sieve.again([*names[::-1], "V-1", "V-1"]) == [True] * 1_000 + [False, True]


def test_a_persons_own_words_stay_where_a_file_has_no_column_for_them() -> None:
    assert changes._joined('{"Shelf": "3", "Color": "red"}', '{"Color": "blue"}', ["Color"]) == (
        '{"Shelf": "3", "Color": "blue"}'
    )
    assert changes._joined('{"Shelf": "3"}', None, ["Shelf"]) is None
    assert changes._joined(None, '{"Color": "blue"}', []) == '{"Color": "blue"}'


def cells(**told: Any) -> tuple[Any, ...]:
    row: list[Any] = [None] * (len(CELLS) + 2)
    for name, value in told.items():
        row[PLACE[name]] = value
    return tuple(row)


@pytest.mark.parametrize(
    ("old", "new", "again"),
    [
        ({"outcome": "returned", "sold": "2026-03-01"}, {"outcome": "listed"}, True),
        ({"outcome": "returned"}, {"outcome": "listed"}, False),  # it was never sold
        ({"outcome": "sold", "sold": "2026-03-01"}, {"outcome": "listed"}, False),  # nor came back
        ({"outcome": "sold", "sold": "2026-03-01", "refund": 100}, {"outcome": "listed"}, True),
        ({"outcome": "listed", "sold": "2026-03-01", "refund": 100}, {"outcome": "listed"}, False),
        ({"outcome": "returned", "sold": "2026-03-01"}, {}, False),
        ({"outcome": "returned", "sold": "2026-03-01"},
         {"outcome": "sold", "sold": "2026-03-02"}, True),
        ({"outcome": "returned", "sold": "2026-03-01"},
         {"outcome": "sold", "sold": "2026-03-01"}, False),
        ({"outcome": "returned", "sold": "2026-03-01"},
         {"outcome": "scrapped", "sold": "2026-04-01"}, False),
    ],
)  # fmt: skip
def test_a_unit_that_came_back_is_sold_again_from_here_on(
    old: dict[str, Any], new: dict[str, Any], again: bool
) -> None:
    assert changes.is_sold_again(cells(**old), cells(**new)) is again


def test_a_new_life_keeps_what_the_unit_is_and_what_is_news() -> None:
    old = cells(type="dryer", age=8.0, price=19_000, parts=2_000, listed="2026-02-01")
    new = cells(type="dryer", age=8.0, price=19_000, parts=2_500, listed="2026-04-01")

    assert changes.goes_on(old, new) == cells(
        type="dryer", age=8.0, parts=2_500, listed="2026-04-01"
    )
