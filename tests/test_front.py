"""The first page says the same on every surface: compare's text and JSON, the report's text, JSON
and HTML, and the two views of the page."""

from __future__ import annotations

import html
import json
import re
from pathlib import Path

from click.testing import CliRunner
from conftest import DEMO_DAY
from test_report_cmd import parse
from web_client import Browser

from pricing.basis.home import Home
from pricing.cli import group
from pricing.wording import drawing


def run(home: Home, *words: str) -> str:
    arguments = [*words, "--home", str(home.path), "--as-of", DEMO_DAY.isoformat()]
    return CliRunner().invoke(group, arguments, catch_exceptions=False).output


def plain(page: str) -> str:
    """The text of an HTML page."""
    bare = re.sub("<style.*?</style>|<[^>]*>", " ", page, flags=re.S)
    return " ".join(html.unescape(bare).split())


def test_every_surface_says_the_same(demo_home_once: Home, tmp_path: Path) -> None:
    """The sentences of the first page, and their numbers, from one object."""
    compared = json.loads(run(demo_home_once, "compare", "--json"))
    reported = json.loads(run(demo_home_once, "report", "--json", "--out", str(tmp_path)))
    page = (tmp_path / f"quarter-{reported['quarter']}.html").read_text(encoding="utf-8")
    browser = Browser(demo_home_once, DEMO_DAY)
    first = plain(page.split("<body>")[1].split('id="details"')[0])
    texts = [
        " ".join(run(demo_home_once, "compare", "--more").split()),
        " ".join(run(demo_home_once, "report", "--out", str(tmp_path)).split()),
        first,
        plain(browser.get("/compare").text),
        plain(browser.get("/report").text),
    ]

    assert compared["front"] == reported["front"]
    assert {one["group"] for one in compared["front"]["stops"]} == {
        "board",
        "8 years and over",
        "10 mi and over",
    }
    said = [
        reported["said"]["kept"],
        *(one for _, some in reported["said"]["lists"] for one in some),
    ]
    assert len(said) >= 6
    for text in texts:
        assert [one for one in said if one not in text] == []
    # and the same drawn line, which holds the hour of the quarter within its range
    line, now = reported["said"]["picture"], reported["front"]["now"]
    assert now["low"] < now["per_hour"] < now["high"]
    assert [mark["said"] for mark in line["marks"]] == ["$38", "$22", "$30"]
    drawn = drawing.money_line(line)
    for whole in (page, browser.get("/compare").html, browser.get("/report").html):
        assert drawn in whole
    print(f"words on page 1: {len(first.split())}")
    assert len(first.split()) <= 200


def test_what_pays_is_one_table_on_every_surface(demo_home_once: Home, tmp_path: Path) -> None:
    """Groups in one order, with what to expect, the range, so far, units and which side of the
    hour they are on, and the headline: the command, its JSON, the page, the report's table and the drawing."""
    plot = tmp_path / "pays.svg"
    command = run(demo_home_once, "compare", "--more", "--plot", str(plot))
    groups = json.loads(run(demo_home_once, "compare", "--json"))["groups"]
    run(demo_home_once, "report", "--out", str(tmp_path))
    written = next(tmp_path.glob("quarter-*.html")).read_text(encoding="utf-8")
    report, page = parse(written), plain(Browser(demo_home_once, DEMO_DAY).get("/compare").text)
    drawn = plain(plot.read_text(encoding="utf-8"))

    caption = next(name for name in report.tables if name.startswith("By type, the whole record"))
    table = report.tables[caption]
    assert table[0][:5] == ["Type", "Expect", "Most", "So far", "Units"]
    assert len(table) - 2 == len(groups) > 12
    at_page, at_drawn, at_command = 0, 0, command.index("BY TYPE")
    for row, one in zip(table[1:-1], groups, strict=True):
        name, expect, most, so_far, units = row[:5]
        for printed, value in ((expect, one["pooled"]), (so_far, one["per_hour"])):
            assert printed == f"{'-' if value < 0 else ''}${abs(value):.0f}"
        sure = {True: "under", False: "over"}
        hour = round(one["pooled_low"]), round(one["pooled_high"])
        mark = sure[hour[1] < 30] if hour[1] < 30 or hour[0] > 30 else ""
        assert row[10] == mark
        marked = f"per hour {mark} your $30" if mark else "per hour"
        said = f"{name} {expect} {marked} most: {most} · so far {so_far} · {units} unit"
        at_page = page.index(said, at_page)
        best = f"chance it's the best {row[9]}"
        assert page.index(best, at_page) - at_page < 200
        at_command = command.index(f"{name[:16]}", at_command)
        line = command[at_command : command.index("\n", at_command)]
        assert [cell in line for cell in (expect, most, so_far, units, mark)] == [True] * 5, line
        at_drawn = drawn.index(f"{name[:20]}", at_drawn)
    assert {row[10] for row in table[1:-1]} == {"under", "over", ""}
    figures = [f"{row[1]} {row[10]}".rstrip() for row in table[1:-1]]
    assert " ".join(figures) in drawn
    headline = next(line for line in page.split(". ") if "TOO CLOSE TO CALL" in line)
    headline = headline[headline.index("TOO CLOSE") :]
    for text in (" ".join(command.split()), plain(written)):
        assert headline in text
