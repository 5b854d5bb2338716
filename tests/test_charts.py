"""The pictures: the same bytes for the same numbers, well-formed, quiet about the clock, and true
to their axes."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from xml.etree import ElementTree

import matplotlib
import numpy as np
import pytest

from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.pages import charts
from pricing.pages.compare_text import worded
from pricing.quarter.compare import compare
from pricing.quarter.limits import CalledSale, judge
from pricing.quarter.money import keep_books
from pricing.quarter.survival import waiting_curve
from pricing.quarter.worth import Level

DAY = float(date(2026, 8, 1).toordinal())


def pictures(currency: str = "USD") -> dict[str, charts.Picture]:
    """One of each, from a few invented units; a name with signs that markup must not trip over."""
    rows = [
        {
            "type": name,
            "outcome": "sold",
            "sold": DAY + i,
            "price": price,
            "paid": 5.0,
            "parts": 2.0,
            "hours": 2.0,
            "drive_min": 30.0,
        }
        for i in range(5)
        for name, price in (("dryer <new> & $used$", 100.0 + 9 * i), ("range", 40.0 + i))
    ]
    rows.append(
        {
            "type": "wild",
            "outcome": "sold",
            "sold": DAY,
            "price": 4000.0,
            "paid": 0.0,
            "parts": 0.0,
            "hours": 0.5,
            "drive_min": 0.0,
        }
    )
    rows.append(
        {
            "type": "lost",
            "outcome": "scrapped",
            "sold": DAY,
            "paid": 90.0,
            "parts": 40.0,
            "hours": 1.0,
            "drive_min": 0.0,
        }
    )
    books = keep_books(from_rows(rows), Settings(), date(2026, 10, 5))
    comparison = compare(books, Settings())
    curve = waiting_curve(
        np.array([2.0, 5.0, 9.0, 9.0, 30.0]), np.array([True, True, True, True, False])
    )
    calls = judge(
        [CalledSale(str(i), "dryer", 100.0 + i, 90.0, 101.0, 103.0) for i in range(5)], 0.8, 40
    )
    level = Level(
        ("2026-06", "2026-07", "2026-08"),
        np.array([0.9, 0.95, 1.0]),
        np.array([0.8, 0.9, 1.0]),
        np.array([1.0, 1.01, 1.0]),
        np.array([2, 0, 4]),
    )
    return {
        "per_hour": charts.per_hour(comparison, currency),
        "waiting": charts.waiting(curve, [("dryer", curve)]),
        "calls": charts.calls(calls, currency),
        "level": charts.price_level(level),
    }


@pytest.fixture(scope="module")
def drawn() -> dict[str, charts.Picture]:
    return pictures()


def test_the_same_numbers_give_the_same_bytes(drawn: dict[str, charts.Picture]) -> None:
    """Twice in this process; and no date, no version, no maker of the file inside."""
    again = pictures()

    for name, picture in drawn.items():
        assert picture.svg == again[name].svg
        assert not re.search(r"<dc:date|<dc:creator|matplotlib\.org", picture.svg), name


def test_the_same_bytes_in_another_process(drawn: dict[str, charts.Picture]) -> None:
    """Nothing hangs on the order of a set or on memory addresses."""
    code = (
        "import sys; sys.path.insert(0, 'tests'); from test_charts import pictures;"
        " sys.stdout.write(pictures()['per_hour'].svg)"
    )
    other = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=__file__.rsplit("tests", 1)[0],
    )

    assert other.stdout == drawn["per_hour"].svg


def test_pictures_are_well_formed_and_text_stays_text(drawn: dict[str, charts.Picture]) -> None:
    """They parse as XML, whole and as they stand in a page; names are readable text, never shapes
    or formulas."""
    for picture in drawn.values():
        ElementTree.fromstring(picture.svg)
        ElementTree.fromstring(picture.inline)
        assert "<style" not in picture.inline and "<metadata" not in picture.inline
    texts = "".join(ElementTree.fromstring(drawn["per_hour"].svg).itertext())
    assert "dryer <new> & $used$ (5)" in texts
    assert "your $30 an hour" in texts


def test_a_picture_says_what_one_points_at(drawn: dict[str, charts.Picture]) -> None:
    """Each bar and mark has a title of its own: the name whole and the figures as they are shown."""
    for name, beginning in (
        ("per_hour", "dryer <new> & $used$: $"),
        ("calls", "1, dryer: called $"),
    ):
        root = ElementTree.fromstring(drawn[name].inline)
        groups = [g for g in root.iter("{http://www.w3.org/2000/svg}g") if len(g) and g[0].text]
        said = [g[0].text or "" for g in groups if g[0].tag.endswith("}title")]
        assert sum(one.startswith(beginning) for one in said) == 2, said


def test_ids_of_different_pictures_do_not_meet(drawn: dict[str, charts.Picture]) -> None:
    """They stand in one page: an id that two of them share would make one borrow the other's
    shapes."""
    seen: dict[str, str] = {}
    for name, picture in drawn.items():
        for each in re.findall(r'\bid="([^"]+)"', picture.inline):
            assert seen.setdefault(each, name) == name, each


def test_global_settings_of_the_drawing_library_are_left_alone() -> None:
    """Drawing changes nothing for others, and never loads the state machine."""
    before = dict(matplotlib.rcParams)
    pictures()

    assert dict(matplotlib.rcParams) == before
    code = (
        "import sys; sys.path.insert(0, 'tests'); from test_charts import pictures; pictures();"
        " sys.exit('matplotlib.pyplot' in sys.modules)"
    )
    assert (
        subprocess.run(
            [sys.executable, "-c", code], check=False, cwd=__file__.rsplit("tests", 1)[0]
        ).returncode
        == 0
    )


def test_bars_begin_at_zero_and_money_stands_on_the_axes(drawn: dict[str, charts.Picture]) -> None:
    """A bar that does not begin at zero lies."""
    assert drawn["calls"].figure.axes[0].get_ylim()[0] == 0
    assert "$" in "".join(ElementTree.fromstring(drawn["calls"].svg).itertext())
    assert "€" in "".join(ElementTree.fromstring(pictures("EUR")["calls"].svg).itertext())


def test_every_group_is_drawn_by_the_numbers_of_the_table() -> None:
    """Sixteen groups: each has its bar between the ends that the table prints, its dot at what to
    expect, and that figure beside it, in the table's order."""
    rows = [
        {
            "type": f"kind {k}",
            "outcome": "sold",
            "sold": DAY,
            "price": 60.0 + 9 * k * i,
            "hours": 2.0,
        }
        for k in range(16)
        for i in range(1, 4)
    ]
    comparison = compare(keep_books(from_rows(rows), Settings(), date(2026, 10, 5)), Settings())
    table = worded(comparison, "USD")["rows"]

    axes = charts.per_hour(comparison, "USD").figure.axes[0]

    lines = [line.get_xydata().tolist() for line in axes.lines[2:]]
    assert len(table) == 16
    for place, row in enumerate(table):
        bar, dot = lines[2 * place], lines[2 * place + 1]
        assert bar == [[row["low"], place], [row["high"], place]]
        assert dot == [[row["at"], place]]
    said = [f"{row['expect']} {row['mark']}".rstrip() for row in table]
    assert [text.get_text() for text in axes.texts[1:]] == said


def test_one_wild_price_does_not_flatten_the_others() -> None:
    """A sale at twenty times its range stands at the edge, pointing up, with its figure; that not
    all are drawn is said; the learned level has a line and no dots for sales it does not draw."""
    sales = [CalledSale(str(i), "dryer", 95.0 + i % 9, 90.0, 97.0, 105.0) for i in range(100)]
    sales[-1] = replace(sales[-1], price=2000.0, high=106.0, middle=98.0)
    axes = charts.calls(judge(sales, 0.8, 40), "USD").figure.axes[0]

    assert axes.get_ylim()[1] < 1.3 * 106
    edge = [line for line in axes.lines if line.get_marker() == "^"]
    assert len(edge) == 1 and float(edge[0].get_ydata()[0]) < axes.get_ylim()[1]
    assert [text.get_text().strip() for text in axes.texts] == ["$2,000"]
    assert "(80 of 100 drawn)" in axes.get_xlabel()
    assert [line.get_marker() for line in pictures()["level"].figure.axes[0].lines] == ["None"] * 2


def test_a_picture_is_kept_only_under_the_name_of_what_it_is(tmp_path: Path) -> None:
    """SVG under the name of another kind of file would not open."""
    picture = pictures()["level"]

    charts.write(tmp_path / "level.SVG", picture)
    with pytest.raises(Refused, match="drawn as SVG"):
        charts.write(tmp_path / "level.png", picture)

    assert [path.name for path in tmp_path.iterdir()] == ["level.SVG"]


def test_one_group_and_no_group() -> None:
    """A picture of one unit, and of none, is drawn too."""
    for rows in (
        [],
        [{"type": "dryer", "outcome": "sold", "sold": DAY, "price": 90.0, "hours": 1.0}],
    ):
        comparison = compare(keep_books(from_rows(rows), Settings(), date(2026, 10, 5)), Settings())
        ElementTree.fromstring(charts.per_hour(comparison, "USD").svg)


def test_long_names_and_other_scripts_draw_without_a_word() -> None:
    """A name of eighty letters leaves room for the picture; letters our font lacks are left to the
    browser, silently."""
    rows = [
        {"type": name, "outcome": "sold", "sold": DAY, "price": 90.0, "hours": 1.0}
        for name in ("x" * 80, "洗濯機", "пральна машина", "غسالة")
    ]
    comparison = compare(keep_books(from_rows(rows), Settings(), date(2026, 10, 5)), Settings())

    picture = charts.per_hour(comparison, "USD")

    assert "洗濯機 (1)" in picture.svg
    drawn = re.sub("<title>.*?</title>", "", picture.svg)  # the whole name is what a title is for
    assert "x" * 40 not in drawn


def test_the_report_has_the_colors_of_the_page() -> None:
    """Both palettes of the report stand in the sheet of styles of the page."""
    pages = Path(charts.__file__).parent
    page = (pages.parent / "web" / "static" / "page.css").read_text(encoding="utf-8")
    report = (pages / "templates" / "quarter.css").read_text(encoding="utf-8")
    palettes = re.findall(r":root\{(--ground[^}]*)\}", report)[:2]
    assert len(palettes) == 2
    for palette in palettes:
        for one in palette.split(";"):
            assert one in page.replace(" ", "") or one.startswith("--warm")
