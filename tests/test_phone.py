"""The phone file: what is in it, where it is put, and how it answers in a browser without a network."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from datetime import date, timedelta
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from click.testing import CliRunner
from conftest import DEMO_DAY
from phone_vectors import DAY, as_given, questions, world
from test_phone_parity import compared

from pricing.cli import group
from pricing.model import saved
from pricing.pages import phone
from pricing.pages.phone import Cell
from pricing.pipeline import phoning
from pricing.records.home import Home
from pricing.records.problems import Refused
from pricing.records.settings import Settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
needs_browser = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here: apt-get install -y chromium")


@pytest.fixture(scope="module")
def written(demo_home_once: Home, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The phone file of the invented demo record."""
    home = Home(tmp_path_factory.mktemp("phone") / "home")
    shutil.copytree(demo_home_once.path, home.path)
    return phoning.write(home, Settings(), DEMO_DAY)


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
    policy = next(a["content"] for tag, a in seen.found if tag == "meta" and a.get("http-equiv") == "Content-Security-Policy")

    assert written.stat().st_size <= 1_200_000
    assert policy is not None and policy.startswith("default-src 'none'") and "unsafe" not in policy
    assert not [a for tag, a in seen.found if tag in ("link", "img", "iframe") or a.get("src") or a.get("style") or any(name.startswith("on") for name in a)]
    assert "%" not in re.sub(r"<script.*?</script>|<style>.*?</style>", "", text, flags=re.DOTALL)  # every place was filled


def test_a_table_stands_in_the_page_without_scripts(written: Path, demo_home_once: Home) -> None:
    """Its numbers are those of the ask and the offer."""
    text = re.sub(r"<script.*?</script>", "", written.read_text(encoding="utf-8"), flags=re.DOTALL)
    cells = phoning.cells(saved.load(demo_home_once), Settings(), DEMO_DAY)

    assert text.count("<tr>") == len(cells) + len({cell.type for cell in cells})
    assert {cell.age for cell in cells} == set(phoning.AGES) and all(cell.low < cell.price < cell.high for cell in cells)
    assert phone.table(cells[:6], Settings()) in text


def test_words_of_the_record_cannot_become_part_of_the_page(tmp_path: Path) -> None:
    numbers, settings = world(0, tmp_path / "home")
    cell = Cell("</script><script>alert(1)</script>", 3.0, "good", 1.0, 1.0, 1.0, 1.0)
    text = phone.page(numbers, Settings(usual_price={"</script><b>%SCRIPT%": 100.0}), [cell])

    assert text.count("<script") == 2 and text.count("</script>") == 2 and "<b>" not in text
    assert settings == Settings()


def test_the_place_is_remembered_and_the_file_written_anew(demo_home: Home, tmp_path: Path) -> None:
    folder = tmp_path / "cloud"
    folder.mkdir()
    assert phoning.rewrite(demo_home, Settings(), DEMO_DAY) is None  # never asked for

    path = phoning.write(demo_home, Settings(), DEMO_DAY, folder)
    path.unlink()
    again = phoning.rewrite(demo_home, Settings(), DEMO_DAY)

    assert path == folder / phoning.NAME == again and again.is_file()
    shutil.rmtree(folder)
    assert phoning.rewrite(demo_home, Settings(), DEMO_DAY) is None  # the folder is away: the fit goes on
    (demo_home.data / "phone.json").write_text("[1")
    assert phoning.place(demo_home) is None


def test_command_writes_the_file_and_refuses_a_folder_that_is_not_there(demo_home: Home, tmp_path: Path) -> None:
    out = tmp_path / "mine.html"
    done = CliRunner().invoke(group, ["phone", "--home", str(demo_home.path), "--as-of", DEMO_DAY.isoformat(), "--out", str(out), "--json"])

    assert done.exit_code == 0 and json.loads(done.output) == {"file": str(out), "bytes": out.stat().st_size}
    with pytest.raises(Refused, match="is not there"):
        phoning.write(demo_home, Settings(), DEMO_DAY, tmp_path / "no" / "mine.html")
    with pytest.raises(Refused, match="nothing has been learned"):
        phoning.write(Home(tmp_path / "empty"), Settings(), DEMO_DAY, out)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as player:
        started = player.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"])
        yield started
        started.close()


def opened(browser: Browser, path: Path, scripts: bool = True) -> tuple[Page, list[str]]:
    """The file opened from the disk as on a phone; errors, refusals of the policy and requests to anywhere else are collected."""
    wrong: list[str] = []
    page = browser.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=scripts).new_page()
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.on("request", lambda request: None if request.url.startswith(("file:", "blob:")) else wrong.append(request.url))
    page.goto(path.as_uri())
    return page, wrong


@needs_browser
@pytest.mark.browser
def test_a_call_at_the_curb(browser: Browser, written: Path, tmp_path: Path, demo_home: Home) -> None:
    """Ask, keep the call, hand it over, and the record reads it."""
    from pricing.pipeline import record

    page, wrong = opened(browser, written)
    page.get_by_role("button", name="What do I pay?").click()
    assert "Say what it is." in page.inner_text("#answer")
    page.select_option("#type", "electric dryer")
    page.fill("#age", "old")
    page.get_by_role("button", name="What do I pay?").click()
    assert page.input_value("#age") == "old" and "write a number" in page.inner_text("#answer")
    page.fill("#age", "8")
    page.select_option("#fault", "no heat (electric)")
    page.fill("#their_price", "20")
    page.get_by_role("button", name="What do I pay?").click()
    assert re.search(r"GO GET IT|PASS", page.inner_text(".verdict"))
    assert page.locator("#answer svg").count() == 1 and "Ask them first" in page.inner_text("#answer")
    small = page.evaluate(
        "[...document.querySelectorAll('button, select, summary, input:not([type=checkbox])')].filter(e => e.offsetParent && e.getBoundingClientRect().height < 44).length"
    )
    assert small == 0 and page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.get_by_role("button", name="Keep this call").click()
    page.get_by_label("I got it today").check()
    page.locator("#note0").fill('loud, "=cmd"')
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as a file").click()
    sheet = tmp_path / "calls.csv"
    download.value.save_as(sheet)
    report = record.add(demo_home, sheet, Settings(), date.today())
    assert report is not None and "electric dryer" in sheet.read_text() and not wrong


@needs_browser
@pytest.mark.browser
def test_set_the_ask_and_the_age_of_the_file(browser: Browser, written: Path) -> None:
    page, wrong = opened(browser, written)
    page.get_by_role("tab", name="Set the ask").click()
    page.select_option("#type", "front-load washer")
    page.get_by_role("button", name="What do I ask?").click()

    assert page.inner_text(".verdict").startswith("ASK $") and "If it sits" in page.inner_text("#answer")
    old = (date.today() - DEMO_DAY) > timedelta(days=60)
    assert page.is_visible("#old") == old and not wrong


@needs_browser
@pytest.mark.browser
def test_old_file_warns_and_scripts_off_leave_the_table(browser: Browser, tmp_path: Path) -> None:
    numbers, settings = world(3, tmp_path / "home")
    path = tmp_path / "phone.html"
    path.write_text(phone.page(numbers, settings, phoning.cells(numbers, settings, DAY)), encoding="utf-8")
    page, wrong = opened(browser, path)
    clock = "learned" in page.inner_text("#old") if date.today() - DAY > timedelta(days=60) else not page.is_visible("#old")
    bare, _ = opened(browser, path, scripts=False)
    bare.locator("summary").first.click()

    assert clock and not wrong
    assert "Pay up to" in bare.inner_text("#table") and "$" in bare.inner_text("#table table >> nth=0")


@needs_browser
@pytest.mark.browser
def test_the_browser_gives_the_same_answers(browser: Browser, tmp_path: Path) -> None:
    """What the page computes from nothing but its own file."""
    numbers, settings = world(4, tmp_path / "home")
    path = tmp_path / "phone.html"
    path.write_text(phone.page(numbers, settings, []), encoding="utf-8")
    page, wrong = opened(browser, path)
    asked = questions(7, 30, settings)
    theirs: list[dict[str, Any]] = page.evaluate(
        "([asked, day]) => asked.map((one) => ({ offer: offer(one, day), ask: ask(one, day) }))", [[as_given(one) for one in asked], DAY.isoformat()]
    )

    assert not wrong and not compared(numbers, settings, asked, json.loads(json.dumps(theirs)))
