"""A record from Python: the answers of the commands, tables in and out, pictures as figures."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pandas as pd
import pytest
from click.testing import CliRunner

import pricing
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.units import Units
from pricing.cli import group
from pricing.proof import accuracy

DAY = date(2026, 10, 5)
STAMP = ("schema", "version", "currency", "as_of")


@pytest.fixture(scope="module")
def shop(demo_home_once: Home, tmp_path_factory: pytest.TempPathFactory) -> pricing.Shop:
    folder = tmp_path_factory.mktemp("shop") / "home"
    shutil.copytree(demo_home_once.path, folder)
    return pricing.open(folder, DAY)


@pytest.fixture(scope="module", autouse=True)
def replayed_once() -> Iterator[None]:
    """A replay of one record is the same each time and takes seconds: made once for what is asked
    here, which is that all ways show it alike."""
    kept: dict[str, accuracy.Accuracy] = {}
    judge = accuracy.judge

    def once(units: Units, *told: Any) -> accuracy.Accuracy:
        key = f"{units.n} {units.word('unit').texts()} {told}"
        if key not in kept:
            kept[key] = judge(units, *told)
        return kept[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(accuracy, "judge", once)
        yield


def command(shop: pricing.Shop, *words: str) -> dict[str, Any]:
    done = CliRunner().invoke(
        group, [*words, "--json", "--home", str(shop.home.path), "--as-of", DAY.isoformat()]
    )
    assert done.exit_code == 0, done.output
    return {key: value for key, value in json.loads(done.stdout).items() if key not in STAMP}


def plain(answer: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in json.loads(json.dumps(answer)).items() if key not in STAMP}


CALL = "electric dryer, 8 years, no heat, wants 40, 12 miles"
WASHER = {"type": "front-load washer", "age": 7, "condition": "good"}


def test_answers_are_those_of_the_commands(shop: pricing.Shop) -> None:
    assert plain(shop.offer(CALL)) == command(shop, "offer", CALL)
    assert plain(shop.bench("dishwasher, leaks", hours=2)) == command(
        shop, "bench", "dishwasher, leaks", "--hours", "2"
    )
    asked = [f"--{name}={value}" for name, value in WASHER.items()]
    assert plain(shop.ask(WASHER)) == command(shop, "ask", *asked)
    first = shop.unsold()["unit"].iloc[0]
    assert plain(shop.ask("", unit=first)) == command(shop, "ask", "--unit", first)
    assert plain(shop.ask(f"{first}, bid 60")) == command(shop, "ask", f"{first}, bid 60")


def test_a_table_of_calls_is_answered_row_by_row(shop: pricing.Shop) -> None:
    """Of any library; the row that cannot be served says so in its place."""
    polars = pytest.importorskip("polars")
    calls = pd.DataFrame({
        "type": ["electric dryer", "gas range", "gas range"], "age": [8, -3, None],
        "fault": ["no heat", "dead", None], "their_price": [40, 0, 25],
    }, index=["a", "b", "c"])  # fmt: skip
    found = shop.offer(calls)
    single = shop.offer("", type="electric dryer", age=8, fault="no heat", their_price=40)

    assert list(found.index) == ["a", "b", "c"]
    assert found.loc["a", "pay_up_to"] == pytest.approx(single["pay_up_to"])
    assert found.loc["a", "price.median"] == pytest.approx(single["price"]["median"])
    assert "-3" in found.loc["b", "problem"] and pd.isna(found.loc["c", "problem"])
    other = shop.offer(polars.from_pandas(calls))
    assert other["pay_up_to"].tolist()[::2] == pytest.approx(found["pay_up_to"].tolist()[::2])


def test_lists_and_groups_are_tables(shop: pricing.Shop) -> None:
    groups, whole = shop.compare("type"), command(shop, "compare")
    assert groups["per_hour"].tolist() == pytest.approx(
        [one["per_hour"] for one in whole["groups"]]
    )
    assert groups.attrs["verdict"] == whole["verdict"]
    assert shop.unsold()["unit"].tolist() == [
        one["unit"] for one in command(shop, "unsold")["unsold"]
    ]
    assert len(shop.compare(["type", "condition"])) > len(groups)


@pytest.mark.long
def test_the_quarter_and_the_proof(shop: pricing.Shop, tmp_path: Path) -> None:
    report = shop.report(out=tmp_path)
    assert report["quarter"] == "2026Q3"
    assert all(Path(file).exists() for file in report["files"])
    assert plain(shop.accuracy()) == command(shop, "accuracy")


def test_pictures_are_figures(shop: pricing.Shop) -> None:
    from matplotlib.figure import Figure

    for words in (("ask", "gas range, 8 years, good"), ("compare", "type"), ("accuracy",)):
        drawn = shop.draw(*words)
        assert isinstance(drawn, Figure) and drawn.axes
    with pytest.raises(ValueError, match="no picture of 'nothing'"):
        shop.draw("nothing")


def test_tables_and_files_go_into_the_record(tmp_path: Path) -> None:
    """A table of dates and numbers is read as it is; the same twice changes nothing."""
    polars = pytest.importorskip("polars")
    shop = pricing.open(tmp_path / "own", DAY)
    sales = pd.DataFrame({
        "unit": [1, 2, 3], "type": ["wall oven", "gas range", "dishwasher"], "price": [150.5, 260.0, None],
        "sold": [date(2026, 9, 1), date(2026, 9, 3), None], "outcome": ["sold", "sold", "in work"],
    })  # fmt: skip
    tried = shop.add(sales, dry_run=True)
    added, again = shop.add(sales), shop.add(polars.from_pandas(sales))
    file = tmp_path / "more.csv"
    file.write_text("unit,type,price,sold\n4,wall oven,1,03/04/2026\n")
    more = shop.add(file, learn=False, date_order="dmy")

    assert [one["accepted"] for one in (tried, added, again, more)] == [3, 3, 0, 1]
    assert added["control_total"] == pytest.approx(410.5)
    assert shop.fit()["sold"] == 3
    assert shop.ask("wall oven, 5 years")["sales_used"] == 3


def test_what_cannot_be_served_is_said(shop: pricing.Shop, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="do not know what it is"):
        shop.offer("zzz")
    with pytest.raises(Refused, match="run pricing fit"):
        pricing.open(tmp_path / "nothing", DAY).ask("wall oven")
    with pytest.raises(ValueError, match="day 'now'"):
        pricing.open(tmp_path, "now")  # type: ignore[arg-type]


def test_a_shop_is_of_today_unless_a_day_is_told(tmp_path: Path) -> None:
    assert pricing.open(tmp_path).as_of == date.today()
    assert repr(pricing.open(tmp_path, DAY)) == f"<Shop in {tmp_path}>"
    assert "open" in dir(pricing)
