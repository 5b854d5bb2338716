"""The first page says the same on every surface: compare's text and JSON, the report's text, JSON
and HTML, and the two views of the page."""

from __future__ import annotations

import html
import json
import re
from pathlib import Path

from click.testing import CliRunner
from conftest import DEMO_DAY
from web_client import Browser

from pricing.basis.home import Home
from pricing.cli import group


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
    print(f"words on page 1: {len(first.split())}")
    assert len(first.split()) <= 200
