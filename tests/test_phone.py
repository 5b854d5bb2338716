"""The phone file: what is in it, where it is put, and that it is written anew after a fit."""

from __future__ import annotations

import json
import re
import shutil
from dataclasses import replace
from html.parser import HTMLParser
from itertools import product
from pathlib import Path

import phone_vectors
import pytest
from click.testing import CliRunner
from conftest import DEMO_DAY
from phone_vectors import DAY, world

from pricing.advice import ask
from pricing.basis.home import Home
from pricing.basis.own_rows import assumed_types
from pricing.basis.problems import Refused
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.cli import group
from pricing.model import saved
from pricing.pages import phone
from pricing.pages.phone import TableCell
from pricing.pipeline import phoning


@pytest.fixture
def written(demo_phone_once: Path) -> Path:
    """The phone file of the invented demo record."""
    return demo_phone_once


@pytest.fixture
def short_table(monkeypatch: pytest.MonkeyPatch) -> None:
    """The table without scripts for a few types, where it is not what is looked at."""
    monkeypatch.setattr(phoning, "MOST_TYPES", 3)


class Seen(HTMLParser):
    """Tags and attributes of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def test_the_file_is_small_and_asks_for_nothing(written: Path) -> None:
    text = written.read_text(encoding="utf-8")
    seen = Seen()
    seen.feed(text)
    policy = next(
        a["content"]
        for tag, a in seen.found
        if tag == "meta" and a.get("http-equiv") == "Content-Security-Policy"
    )

    assert written.stat().st_size <= 1_200_000
    assert policy is not None and policy.startswith("default-src 'none'") and "unsafe" not in policy
    assert not [
        a
        for tag, a in seen.found
        if tag in ("link", "img", "iframe")
        or a.get("src")
        or a.get("style")
        or any(name.startswith("on") for name in a)
    ]
    assert "%" not in re.sub(
        r"<script.*?</script>|<style>.*?</style>", "", text, flags=re.DOTALL
    )  # every place was filled


def test_a_table_stands_in_the_page_without_scripts(
    written: Path, demo_home_once: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its numbers are those of the ask and the offer, looked at for the first type."""
    n_types = phoning.MOST_TYPES
    monkeypatch.setattr(phoning, "MOST_TYPES", 1)
    text = re.sub(r"<script.*?</script>", "", written.read_text(encoding="utf-8"), flags=re.DOTALL)
    cells = phoning.cells(saved.load(demo_home_once), Settings(), DEMO_DAY)

    assert len(cells) == len(phoning.AGES) * len(phoning.GRADES)
    assert text.count("<tr>") == n_types * (len(cells) + 1)
    assert {cell.age for cell in cells} == set(phoning.AGES) and all(
        cell.low < cell.price < cell.high for cell in cells
    )
    assert phone.table(cells, Settings()) in text


@pytest.mark.usefixtures("short_table")
def test_the_table_is_of_the_person_who_asks(tmp_path: Path) -> None:
    """In a record that several people keep together."""
    numbers, settings = world(2, tmp_path / "home")
    group, mine = (
        phoning.cells(numbers, settings, DAY),
        phoning.cells(numbers, replace(settings, owner="Ada"), DAY),
    )
    asked = ask.decide(
        Question(
            {
                "type": mine[0].type,
                "age": mine[0].age,
                "condition": mine[0].condition,
                "owner": "ada",
            }
        ),
        numbers,
        settings,
        DAY,
    )

    assert mine[0].price == pytest.approx(asked.median, rel=1e-9)
    assert mine[0].price != pytest.approx(group[0].price, rel=1e-3)


def test_words_of_the_record_cannot_become_part_of_the_page(tmp_path: Path) -> None:
    numbers, settings = world(0, tmp_path / "home")
    cell = TableCell("</script><script>alert(1)</script>", 3.0, "good", 1.0, 1.0, 1.0, 1.0)
    text = phone.page(numbers, Settings(usual_price={"</script><b>%SCRIPT%": 100.0}), [cell])

    assert text.count("<script") == 3 and text.count("</script>") == 3 and "<b>" not in text
    assert settings == Settings()


@pytest.mark.long
def test_a_shop_with_many_makers_and_faults_has_its_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """25 makers and 30 faults in a record that three people keep: still small enough to mail."""
    makers = tuple(f"maker {first}{last}" for first in "abcde" for last in "vwxyz")
    told = [row for row in phone_vectors.FAULTS if row.family != "any"]
    names = list(dict.fromkeys(row.fault for row in told))[:30]
    monkeypatch.setattr(phone_vectors, "MAKERS", makers)
    monkeypatch.setattr(phone_vectors, "FAULTS", [row for row in told if row.fault in names])
    monkeypatch.setattr(phone_vectors, "N_UNITS", (0, 0, 400))
    numbers, settings = world(2, tmp_path / "home")
    margins = numbers.price.encoding.margins
    # as many cells as the table may have, as wide as money gets: what stands in them is made above
    types = dict.fromkeys([*filter(None, numbers.price.types), *assumed_types(settings)])
    told = product(list(types)[: phoning.MOST_TYPES], phoning.AGES, phoning.GRADES)
    text = phone.page(numbers, settings, [TableCell(*one, *[12_345.0] * 4) for one in told])

    assert {one for margin in margins if margin.column == "maker" for one in margin.labels} == {
        *makers
    }
    assert len({fault for fault, _ in numbers.repair.fixed_of if fault}) >= 30
    assert len(text.encode()) <= phone.LARGEST


@pytest.mark.usefixtures("short_table")
def test_the_place_is_remembered_and_the_file_written_anew(demo_home: Home, tmp_path: Path) -> None:
    folder = tmp_path / "cloud"
    folder.mkdir()
    assert phoning.rewrite(demo_home, Settings(), DEMO_DAY) is None  # never asked for

    path = phoning.write(demo_home, Settings(), DEMO_DAY, folder)
    assert path.read_text(encoding="utf-8").count("DEMO (invented)") == 1  # in sight, at the head
    path.unlink()
    again = phoning.rewrite(demo_home, Settings(), DEMO_DAY)

    assert path == folder / phoning.NAME == again and again.is_file()
    shutil.rmtree(folder)
    assert (
        phoning.rewrite(demo_home, Settings(), DEMO_DAY) is None
    )  # the folder is away: the fit goes on
    (demo_home.data / "phone.json").write_text("[1")
    assert phoning.place(demo_home) is None


@pytest.mark.usefixtures("short_table")
def test_a_name_without_the_ending_is_a_folder(demo_home: Home, tmp_path: Path) -> None:
    """No file that a phone would not open: a folder that is not there is refused, one that is there
    takes the file under its own name, whatever dots it has."""
    with pytest.raises(Refused, match="is not there"):
        phoning.write(demo_home, Settings(), DEMO_DAY, tmp_path / "newfolder")
    (tmp_path / "my.folder").mkdir()
    path = phoning.write(demo_home, Settings(), DEMO_DAY, tmp_path / "my.folder")
    assert path == tmp_path / "my.folder" / phoning.NAME
    assert sorted(each.name for each in tmp_path.iterdir() if each.is_file()) == []


@pytest.mark.usefixtures("short_table")
def test_command_writes_the_file_and_refuses_a_folder_that_is_not_there(
    demo_home: Home, tmp_path: Path
) -> None:
    out = tmp_path / "mine.html"
    done = CliRunner().invoke(
        group,
        [
            "phone",
            "--home",
            str(demo_home.path),
            "--as-of",
            DEMO_DAY.isoformat(),
            "--out",
            str(out),
            "--json",
        ],
    )

    assert done.exit_code == 0
    assert {"file": str(out), "bytes": out.stat().st_size}.items() <= json.loads(
        done.output
    ).items()
    with pytest.raises(Refused, match="is not there"):
        phoning.write(demo_home, Settings(), DEMO_DAY, tmp_path / "no" / "mine.html")
    with pytest.raises(Refused, match="no record yet"):
        phoning.write(Home(tmp_path / "empty"), Settings(), DEMO_DAY, out)
