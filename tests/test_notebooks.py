"""The notebooks of the guide: every code cell is run, in order, as a reader would."""

from __future__ import annotations

import ast
import json
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from conftest import ROOT

import pricing
from pricing.basis.home import Home

FOLDER = ROOT / "docs" / "notebooks"
BOOKS = sorted(FOLDER.glob("*.ipynb"))


def run_all(path: Path) -> tuple[dict[str, Any], list[Any]]:
    """The names that are there at the end, and the value that each code cell ends with."""
    book = json.loads(path.read_text(encoding="utf-8"))
    assert (book["nbformat"], book["nbformat_minor"]) == (4, 5)
    names: dict[str, Any] = {}
    shown = []
    for cell in book["cells"]:
        if cell["cell_type"] != "code":
            continue
        assert cell["outputs"] == [] and cell["execution_count"] is None  # none goes stale
        *lines, last = ast.parse("".join(cell["source"])).body
        told = isinstance(last, ast.Expr)
        body = ast.Module(lines if told else [*lines, last], [])
        exec(compile(body, f"{path.name}:{cell['id']}", "exec"), names)
        if isinstance(last, ast.Expr):
            shown.append(eval(compile(ast.Expression(last.value), path.name, "eval"), names))
    return names, shown


class Cells(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []

    def handle_data(self, data: str) -> None:
        self.said.append(data)


def cells(html: str) -> list[str]:
    found = Cells()
    found.feed(html)
    return found.said


def test_there_are_two() -> None:
    assert [path.stem for path in BOOKS] == ["a-shop", "any-prices"]


def test_a_shop_from_python() -> None:
    names, shown = run_all(FOLDER / "a-shop.ipynb")

    shop = names["shop"]
    assert shown[0] is shop
    assert cells(shop._repr_html_())[:3] == ["Shop", "folder", str(shop.home.path)]
    assert cells(shop._repr_html_())[-4:] == ["sales", "140", "open units", "15"]
    alone = shop.offer("electric dryer, 8 years, no heat, wants 40, 12 miles")
    assert shown[1] == (alone["advice"], round(alone["pay_up_to"]), round(alone["price"]["median"]))
    # a row of the table is answered as the words are
    first = names["answered"].iloc[0]
    assert first["pay_up_to"] == pytest.approx(alone["pay_up_to"])
    assert len(names["pays"]) > 10 and names["figure"].axes


def test_any_sale_prices() -> None:
    names, shown = run_all(FOLDER / "any-prices.ipynb")

    held, off = shown[1]
    # 40 new rows within a range of .8: four standard errors of such a share are .25; the noise of
    # the invented prices is .15 on the log scale, its median size .10
    assert 0.55 <= held <= 1.0 and 0.05 < off < 0.16
    terms = names["terms"]
    assert terms["amount"].sum() == pytest.approx(float(names["said"]["median"].iloc[0]), abs=0.011)
    assert cells(names["model"]._repr_html_())[-1] == "Runtime"
    assert names["fitted"].shape == (40,)


def test_a_shop_without_a_record_says_so(tmp_path: Path) -> None:
    told = cells(pricing.open(Home(tmp_path / "none & such").path)._repr_html_())
    assert told[-1] == "no record yet" and "none & such" in "".join(told)
