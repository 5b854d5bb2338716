"""Bytes to text to records: encodings, delimiters, quotes, line ends, against csv-spectrum and by
writing and reading back."""

from __future__ import annotations

import csv
import io

import pytest
from cases.csv_spectrum import CASES
from hypothesis import given, settings
from hypothesis import strategies as st

from pricing.basis.problems import Refused
from pricing.ingest.dialect import Dialect, find_dialect, lines_of, records
from pricing.ingest.encoding import decode
from pricing.ingest.headings import count_known


def read_plainly(data: bytes) -> list[dict[str, str]]:
    lines = lines_of(decode(data, "case.csv").text)
    header, *rows = [
        record.cells for record in records(lines, find_dialect(lines, count_known)) if record.cells
    ]
    return [dict(zip(header, row, strict=True)) for row in rows]


@pytest.mark.parametrize("name", [name for name in CASES if name != "location_coordinates"])
def test_csv_spectrum(name: str) -> None:
    """csv-spectrum 2.0.0: eleven of twelve cell by cell."""
    data, expected = CASES[name]

    assert read_plainly(data) == expected


def test_csv_spectrum_pair_that_is_wrong_as_published() -> None:
    """The twelfth pair differs in its phone number only; everything else is read as its
    JSON says."""
    data, expected = CASES["location_coordinates"]
    read = read_plainly(data)

    assert read[0]["Contact Phone Number"] == "2095257564"
    assert read == [expected[0] | {"Contact Phone Number": "2095257564"}]


TEXT = "Ref;Type;Sale price\nR1;Kühlschrank groß;99,50 €\nR2;Réfrigérateur;12,00 €\n"


@pytest.mark.parametrize(
    "encoding",
    ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "mac_roman", "iso8859_15"],
)
def test_encodings_are_found(encoding: str) -> None:
    assert decode(TEXT.encode(encoding), "x.csv").text == TEXT


@pytest.mark.parametrize("encoding", ["cp1251", "koi8_r", "utf-8"])
def test_other_alphabets_are_found(encoding: str) -> None:
    text = "Ref;Type\n1;Холодильник Атлант\n2;Плита газовая\n"

    assert decode(text.encode(encoding), "x.csv").text == text


def test_one_stray_byte_does_not_spoil_the_other_accents() -> None:
    data = (
        "Ref,Type\n1,Kühlschrank\n".encode() + "2,Größe\n".encode("cp1252") + "3,Gerät\n".encode()
    )
    decoded = decode(data, "x.csv")

    assert "Kühlschrank" in decoded.text
    assert "Größe" in decoded.text
    assert "Gerät" in decoded.text
    assert decoded.stray_lines == {3}


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "empty"),
        (b"  \r\n\n ", "empty"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "picture"),
        (b"\xff\xd8\xff\xe0\x00\x10JFIF", "picture"),
        (b"PK\x03\x04\x14\x00\x06\x00", "workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "workbook"),
        (b"%PDF-1.7\n", "PDF"),
        (b"\x1f\x8b\x08\x00", "archive"),
        (b"<!DOCTYPE html><html><table>", "HTML"),
        (b"\r\n<html xmlns:x='urn'><table>", "HTML"),
        (b'{"rows": [1]}', "JSON"),
        (b'[{"type": "oven"}]', "JSON"),
        (b"<?xml version='1.0'?><Workbook>", "XML"),
        (b"{\\rtf1\\ansi", "word-processor"),
        (bytes(range(256)) * 20, "binary"),
        (b"SQLite format 3\x00", "database"),
    ],
)
def test_what_is_no_text_is_refused_with_words_for_it(data: bytes, words: str) -> None:
    with pytest.raises(Refused, match=words):
        decode(data, "x.csv")


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|", "^"])
def test_delimiters_are_found(delimiter: str) -> None:
    lines = [
        delimiter.join(row) + "\n"
        for row in (
            ("Ref", "Type", "Price"),
            ("R1", "Oven", "7,5"),
            ("R2", "Hob; big | black", "8,25"),
        )
    ]
    if delimiter in (";", "|"):
        lines[2] = lines[2].replace("Hob; big | black", '"Hob; big | black"')
    if delimiter == ",":
        lines[1:] = ['R1,Oven,"7,5"\n', 'R2,Hob; big | black,"8,25"\n']

    assert find_dialect(lines, count_known).delimiter == delimiter


def test_sep_hint_is_obeyed_and_no_record() -> None:
    lines = lines_of("sep=;\r\nRef;Type\r\nR1;Oven\r\n")
    dialect = find_dialect(lines, count_known)

    assert (dialect.delimiter, dialect.hint_lines) == (";", 1)


def test_single_quotes_and_backslashes_are_found() -> None:
    single = lines_of(
        "'Ref','Type','Price'\n'R1','Oven, white','7'\n'R2','Hob','8'\n'R3','Hob','8'\n"
    )
    escaped = lines_of('Ref,Type,Price\nR1,"Oven 24\\" wide, white",7\nR2,"a \\"b\\"",8\n')

    assert [record.cells for record in records(single, find_dialect(single, count_known))][1] == (
        "R1",
        "Oven, white",
        "7",
    )
    assert [record.cells for record in records(escaped, find_dialect(escaped, count_known))][1] == (
        "R1",
        'Oven 24" wide, white',
        "7",
    )


def test_an_open_quote_costs_its_own_line_only() -> None:
    lines = lines_of('Ref,Type,Price\nR1,"Oven,7\nR2,Hob,8\nR3,"a, b",9\n')
    found = list(records(lines, Dialect(",")))

    assert [(record.line, bool(record.broken)) for record in found] == [
        (1, False),
        (2, True),
        (3, False),
        (4, False),
    ]
    assert found[3].cells == ("R3", "a, b", "9")


def test_lines_point_at_the_physical_line_after_quoted_newlines() -> None:
    lines = lines_of('a,b\r\n1,"x\r\ny"\r2,z\n3,"w\nv\nu"\n4,t')

    assert [record.line for record in records(lines, Dialect(","))] == [1, 2, 4, 5, 8]


@given(
    rows=st.lists(
        st.lists(
            st.text(
                st.characters(exclude_categories=("Cs", "Cc"), include_characters="\n"), max_size=12
            ),
            min_size=2,
            max_size=5,
        ),
        min_size=1,
        max_size=8,
    ).filter(lambda rows: len({len(row) for row in rows}) == 1),
    delimiter=st.sampled_from(",;\t|"),
    line_end=st.sampled_from(["\n", "\r\n"]),
)
@settings(deadline=None, max_examples=150)
def test_what_a_writer_wrote_is_read_back(
    rows: list[list[str]], delimiter: str, line_end: str
) -> None:
    """Any table in any of our dialects, every cell quoted, comes back cell by cell."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=delimiter, lineterminator=line_end, quoting=csv.QUOTE_ALL).writerows(
        rows
    )

    assert [
        list(record.cells) for record in records(lines_of(out.getvalue()), Dialect(delimiter))
    ] == rows
