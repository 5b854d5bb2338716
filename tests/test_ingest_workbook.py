"""Workbooks as themselves: a minimal .xlsx written here by hand (ECMA-376), read through the
optional reader; refused in words otherwise."""

from __future__ import annotations

import sys
import zipfile
from datetime import date
from decimal import Decimal
from pathlib import Path
from xml.sax.saxutils import escape

import pytest

from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.ingest import read_file

TODAY = date(2026, 11, 25)
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
DOC = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACK = "http://schemas.openxmlformats.org/package/2006/relationships"


def cell(value: object) -> str:
    if isinstance(value, date):
        return f'<c s="1"><v>{(value - date(1899, 12, 30)).days}</v></c>'
    if isinstance(value, int | float):
        return f"<c><v>{value}</v></c>"
    return f'<c t="inlineStr"><is><t>{escape(str(value))}</t></is></c>'


def workbook(path: Path, **sheets: list[list[object]]) -> Path:
    """A minimal workbook; cell style 1 is a date."""
    names = list(sheets)
    parts = {
        "[Content_Types].xml": (
            '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default'
            ' Extension="xml" ContentType="application/xml"/><Default Extension="rels"'
            ' ContentType="application/vnd.openxmlformats-package.relationships+xml"/></Types>'
        ),
        "_rels/.rels": (
            f'<Relationships xmlns="{PACK}"><Relationship Id="r1" Type="{DOC}/officeDocument"'
            ' Target="xl/workbook.xml"/></Relationships>'
        ),
        "xl/workbook.xml": (
            f'<workbook xmlns="{MAIN}" xmlns:r="{DOC}"><sheets>'
            + "".join(
                f'<sheet name="{name}" sheetId="{i}" r:id="r{i}"/>'
                for i, name in enumerate(names, 1)
            )
            + "</sheets></workbook>"
        ),
        "xl/_rels/workbook.xml.rels": (
            f'<Relationships xmlns="{PACK}">'
            + "".join(
                f'<Relationship Id="r{i}" Type="{DOC}/worksheet" Target="worksheets/sheet{i}.xml"/>'
                for i in range(1, len(names) + 1)
            )
            + f'<Relationship Id="s" Type="{DOC}/styles" Target="styles.xml"/></Relationships>'
        ),
        "xl/styles.xml": (
            f'<styleSheet xmlns="{MAIN}"><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14"'
            ' applyNumberFormat="1"/></cellXfs></styleSheet>'
        ),
    }
    for i, rows in enumerate(sheets.values(), 1):
        body = "".join("<row>" + "".join(cell(value) for value in row) + "</row>" for row in rows)
        parts[f"xl/worksheets/sheet{i}.xml"] = (
            f'<worksheet xmlns="{MAIN}"><sheetData>{body}</sheetData></worksheet>'
        )
    with zipfile.ZipFile(path, "w") as archive:
        for name, text in parts.items():
            archive.writestr(name, '<?xml version="1.0" encoding="UTF-8"?>' + text)
    return path


ROWS: list[list[object]] = [
    ["My ledger"],
    ["Ref", "Type", "Paid", "Sold", "Sale price", "Features"],
    ["R1", "Oven", 5, date(2025, 3, 4), 120.5, "white\nquiet"],
    ["R2", "Hob", "free", date(2025, 11, 4), 90, "a, b"],
]


def test_a_workbook_is_read_as_itself(tmp_path: Path) -> None:
    reading = read_file(
        workbook(tmp_path / "units.xlsx", Notes=[["nothing here"]], Units=ROWS), Settings(), TODAY
    )
    first, second = reading.rows

    assert (first.line, first.values["sold"], first.values["price"]) == (
        3,
        date(2025, 3, 4),
        Decimal("120.50"),
    )
    assert (second.line, second.values["sold"], second.values["paid"]) == (4, date(2025, 11, 4), 0)
    assert reading.facts.encoding == "workbook"


def test_a_workbook_under_another_name_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="save as CSV"):
        read_file(workbook(tmp_path / "units.csv", Units=ROWS), Settings(), TODAY)


def test_a_workbook_without_a_sheet_of_units_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="no sheet of this workbook"):
        read_file(workbook(tmp_path / "units.xlsx", Notes=[["nothing here"]]), Settings(), TODAY)


@pytest.mark.parametrize(
    "data", [b"PK\x03\x04 and no more", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(2000)]
)
def test_a_damaged_workbook_is_refused(data: bytes, tmp_path: Path) -> None:
    path = tmp_path / "units.xlsx"
    path.write_bytes(data)
    with pytest.raises(Refused, match="cannot be read"):
        read_file(path, Settings(), TODAY)


def test_without_the_reader_the_way_out_is_named(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "python_calamine", None)
    with pytest.raises(Refused, match="save as CSV"):
        read_file(workbook(tmp_path / "units.xlsx", Units=ROWS), Settings(), TODAY)


def test_the_list_of_units_is_found_and_its_years_are_read_together(tmp_path: Path) -> None:
    """A price list stands first, a year a sheet behind it: the list has days, the prices have none."""
    head: list[object] = ["Ref", "Type", "Paid", "Sold", "Sale price"]
    path = workbook(
        tmp_path / "years.xlsx",
        Prices=[["Type", "Price"], ["Oven", 150], ["Hob", 180]],
        Y2024=[head, ["R1", "Oven", 5, date(2024, 3, 4), 120]],
        Y2025=[
            head,
            ["R2", "Hob", 5, date(2025, 3, 4), 90],
            ["R3", "Hob", 5, date(2025, 4, 4), 95],
        ],
    )
    reading = read_file(path, Settings(), TODAY)

    assert [row.values["unit"] for row in reading.rows] == ["R1", "R2", "R3"]
    assert reading.control_total == 305
    assert any("sheets read: Y2024, Y2025; not read: Prices" in n.what for n in reading.notes)
