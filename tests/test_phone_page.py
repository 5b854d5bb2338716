"""The phone file opened from the disk in a real browser, with no network: whole journeys, by
keyboard, with hard texts, with scripts off; axe-core over its views."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from chromium import launched, needs_browser
from click.testing import CliRunner
from conftest import DEMO_DAY
from phone_vectors import DAY, world

from pricing.basis.home import Home
from pricing.basis.settings import Settings
from pricing.cli import group
from pricing.pages import phone
from pricing.pipeline import phoning
from pricing.record.current import read_current

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = [pytest.mark.browser, needs_browser]
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1280, "height": 800}
SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
SMALL_TARGETS = """() => [...document.querySelectorAll('button, select, summary, textarea, .tick, input:not([type=checkbox])')]
    .filter(e => e.checkVisibility() && e.getBoundingClientRect().height < 43.5).map(e => e.outerHTML.slice(0, 80))"""
SIDEWAYS = "() => document.documentElement.scrollWidth - window.innerWidth"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as started:
        yield started


@pytest.fixture
def written(demo_phone_once: Path) -> Path:
    """The phone file of the invented demo record."""
    return demo_phone_once


class Opened:
    """The file in a browser. Errors, refusals of its policy and requests to anywhere else are
    collected in `wrong`."""

    def __init__(
        self,
        browser: Browser,
        path: Path,
        size: dict[str, int] = PHONE,
        *,
        day: date = DEMO_DAY,
        before: str = "",
        **more: Any,
    ) -> None:
        self.wrong: list[str] = []
        page = browser.new_context(viewport=size, timezone_id="UTC", **more).new_page()  # type: ignore[arg-type]
        page.on("pageerror", lambda error: self.wrong.append(str(error)))
        page.on(
            "console",
            lambda message: self.wrong.append(message.text) if message.type == "error" else None,
        )
        page.on(
            "request",
            lambda request: (
                None
                if request.url.startswith(("file:", "blob:"))
                else self.wrong.append(request.url)
            ),
        )
        page.on("dialog", lambda _: self.wrong.append("text ran as script"))
        page.set_default_timeout(15_000)
        page.clock.set_fixed_time(datetime(day.year, day.month, day.day, 12))
        if before:
            page.add_init_script(before)
        page.goto(path.as_uri())
        self.page: Page = page

    def ask(self, **typed: str) -> str:
        """Fill the form, press the large button, and give the decision."""
        for name, value in typed.items():
            here = self.page.locator(f"#{name}")
            if here.evaluate("e => e.tagName") == "SELECT":
                here.select_option(value)
            else:
                here.fill(value)
        self.page.locator("form .big").click()
        return self.page.locator(".verdict").inner_text()

    def see(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()

    def close(self) -> None:
        self.page.context.close()
        assert not self.wrong


def test_a_line_in_plain_words(browser: Browser, written: Path) -> None:
    """Said instead of filled in: dangers stand first, a number that means nothing is asked about,
    fields count beside the words, several units are a lot."""
    opened = Opened(browser, written)
    page = opened.page

    danger = "gas range, smells of gas when off, wants 50, 8 miles"
    assert opened.ask(say_offer=danger) == "LEAVE IT."
    assert page.locator("#answer > *").first.inner_text().startswith("Gas smell: leave")

    line = "electric dryer, 8 years, drum won't turn, aldora, 10 miles, 5"
    assert opened.ask(say_offer=line).startswith("NO PRICE UNDERSTOOD.")
    assert '"5": is that the price?' in page.locator(".verdict").inner_text()
    assert "PRICE" not in opened.ask(their_price="5")
    assert "wants $5, 10 miles" in page.inner_text("#answer")

    # what the old sentence left in the form counts no more where another kind is said
    lot = "2 gas dryers, one no heat, one squeals, 60 for both, 4 miles"
    assert "for all" in opened.ask(type="dishwasher", say_offer=lot)
    said = page.inner_text("#answer")
    assert "No. 1 gas dryer, no heat" in said and "No. 2 gas dryer, squeals" in said
    assert page.get_by_role("button", name="I take it").count() == 0

    page.fill("#say_offer", "washer, won't drain, 150 years old, wants 20")
    page.locator("form .big").click()
    assert "Age, years: 150 is not possible; from 0 to 120." in page.inner_text("#answer")
    opened.close()


def test_what_cannot_be_is_said_and_what_was_typed_is_kept(browser: Browser, written: Path) -> None:
    opened = Opened(browser, written)
    page = opened.page
    opened.see("What do I pay?")
    assert "Say what it is." in page.inner_text("#answer")
    page.select_option("#type", "electric dryer")
    page.fill("#age", "old")
    page.fill("#made", "nineties")
    page.fill("#miles", "99999999999999999999")
    opened.see("What do I pay?")
    said = page.inner_text("#answer")
    assert (
        "Age, years: write a number from 0 to 120" in said
        and "Year made: write 2016" in said
        and "One way: write a number from 0 to 2,000" in said
    )
    assert page.input_value("#age") == "old" and page.evaluate("document.activeElement.id") == "age"
    page.fill("#age", "8")
    page.fill("#made", "2001")
    page.fill("#miles", "12")
    opened.see("What do I pay?")
    assert "contradict each other" in page.inner_text("#answer")
    assert re.match(r"GO GET IT|PASS|ONLY", opened.ask(made=""))
    assert page.evaluate("document.activeElement.className").startswith(
        "plate"
    )  # a reader of screens is led to the decision
    assert "I read: electric dryer, 8 years, 12 miles each way." in page.inner_text("#answer")
    opened.close()


def test_what_to_ask_them_comes_a_moment_after_the_decision(
    browser: Browser, written: Path
) -> None:
    """The decision does not wait for it; of two presses in a row only the last one's questions are
    shown."""
    opened = Opened(browser, written)
    opened.ask(type="gas range", fault="", miles="0", their_price="45")
    opened.page.locator("#ask-them", has_text="up to").wait_for()
    assert (
        "What does it do, or not do?" in (asked := opened.page.inner_text("#ask-them"))
        and "(electric)" not in asked
    )
    drawn = opened.page.evaluate("""() => new Promise((done) => {
        const press = () => document.querySelector("form .big").click(), type = document.getElementById("type");
        press();
        type.value = "front-load washer";
        press();
        const first = document.getElementById("ask-them").innerText;
        setTimeout(() => done([first, document.getElementById("ask-them").innerText]), 1500);
    })""")
    assert "…" in drawn[0] and "up to" not in drawn[0]
    last = (
        "() => ask_first(latest.question, latest.found.paid_assumed, latest.day).slice(0,"
        " 3).map((one) => one.question)"
    )
    expected = opened.page.evaluate(last)
    assert expected and all(question[1:] in drawn[1] for question in expected)
    opened.close()


def test_calls_are_handed_over_and_read_by_add_once(
    browser: Browser, written: Path, tmp_path: Path
) -> None:
    """One got, one passed on by phone, one driven to for nothing, one still open: the first three
    reach the record as what they are."""
    opened = Opened(browser, written)
    page = opened.page
    opened.ask(
        type="electric dryer", made="2016, 2018", fault="no heat", their_price="20", miles="12"
    )
    opened.see("Taken anyway")  # the answer is PASS at their price
    page.locator("#paid0").fill("$15")
    page.locator("#note0").fill('=loud, "very"\u202e')
    opened.see("Before the drive")
    opened.ask(type="gas range", made="", age="10", fault="", their_price="60", miles="9")
    opened.see("I pass on it")
    page.locator("#offered1").fill("25")
    page.locator("#minutes1").fill("12")
    page.locator("#note1").fill("too dear, rusty")
    opened.see("Before the drive")
    opened.ask(type="dishwasher", age="", their_price="free", miles="30")
    opened.see("Keep the call")
    page.locator("#came2").select_option("Wasted trip")
    page.locator("#note2").fill("gone when I came")
    opened.see("Before the drive")
    opened.ask(type="wall oven")
    opened.see("Keep the call")
    assert "3 to hand over, 1 still open" in page.inner_text("#count")
    kept = page.input_value("#csv")
    page.locator("details").filter(has=page.locator("#came0")).locator("summary").click()
    page.locator("#came0 >> xpath=ancestor::details").get_by_role("button", name="Remove").click()
    assert "2 to hand over" in page.inner_text("#count") and page.input_value("#csv") != kept
    page.reload()
    opened.see("Calls")
    opened.see("Bring back the call you removed")
    back = page.input_value("#csv").splitlines()
    assert sorted(back) == sorted(kept.splitlines())
    assert page.get_by_text("Bring back the call").count() == 0
    page.reload()
    opened.see("Calls")
    with page.expect_download() as download:
        opened.see("Save as a file")
    sheet = tmp_path / "calls.csv"
    download.value.save_as(sheet)
    rows = list(csv.DictReader(io.StringIO(sheet.read_text(encoding="utf-8"))))
    assert sorted(row["outcome"] for row in rows) == ["in work", "trip", "trip"]
    opened.close()

    home = Home(tmp_path / "home")
    home.path.mkdir()
    add = ["add", str(sheet), "--home", str(home.path), "--no-fit", "--as-of", DEMO_DAY.isoformat()]
    once, twice = CliRunner().invoke(group, add), CliRunner().invoke(group, add)
    units = {row["type"]: row for row in read_current(home).to_pylist()}

    assert once.exit_code == twice.exit_code == 0, once.output + twice.output
    assert "3 rows seen: 3 in" in once.output, once.output
    assert len(units) == 3 and read_current(home).num_rows == 3
    got, passed, drove = units["electric dryer"], units["gas range"], units["dishwasher"]
    assert (got["outcome"], float(got["paid"]), got["fault"], got["got"], got["made"]) == (
        "in work",
        15.0,
        "no heat",
        DEMO_DAY,
        "2016, 2018",
    )
    assert got["note"].lstrip("'") == '=loud, "very"\u202e'
    assert passed["outcome"] == drove["outcome"] == "trip" and passed["got"] == DEMO_DAY
    assert (
        passed["unit"].startswith("call P")
        and passed["trip"] is None
        and drove["unit"].startswith("trip P")
        and drove["trip"] == drove["unit"]
    )
    assert (
        passed["note"]
        == "passed on: gas range, 10 years, wants $60, 9 miles each way; I offered $25; too dear,"
        " rusty"
    )
    assert (
        passed["hours"] == 0.2
        and passed["paid"] is None
        and passed["drive_min"] is None
        and passed["miles"] is None
    )
    assert drove["note"] == "empty trip: dishwasher, free, 30 miles each way; gone when I came"
    assert (
        drove["drive_min"] > 60
        and float(drove["haul_cost"]) > 0
        and drove["miles"] == 30.0
        and drove["hours"] is None
    )


@pytest.mark.parametrize(("came", "log"), [("I passed on it", "passed"), ("Wasted trip", "trip")])
def test_a_call_passed_on_is_written_as_the_command_writes_it(
    browser: Browser, written: Path, demo_home: Home, came: str, log: str
) -> None:
    """The same call passed on at the computer and on the phone: the same columns with the same
    values."""
    told = ["gas dryer, 7 years, wants 40, 10 miles", "--minutes", "12", "--log", log]
    done = CliRunner().invoke(
        group, ["offer", *told, "--home", str(demo_home.path), "--as-of", DEMO_DAY.isoformat()]
    )
    assert done.exit_code == 0, done.output
    theirs = next(
        row
        for row in read_current(demo_home).to_pylist()
        if row["unit"] in (f"call {DEMO_DAY}", f"trip {DEMO_DAY}")
    )
    opened = Opened(browser, written)
    opened.page.locator("summary", has_text="Numbers you know better").click()
    opened.ask(type="gas dryer", age="7", their_price="40", miles="10", minutes="12")
    opened.see("Keep the call")
    opened.page.locator("#came0").select_option(came)
    ours = next(csv.DictReader(io.StringIO(opened.page.input_value("#csv"))))
    opened.close()

    assert (ours["type"], ours["outcome"], ours["got"], ours["note"]) == (
        theirs["type"],
        "trip",
        theirs["got"].isoformat(),
        theirs["note"],
    )
    for column in ("hours", "drive_min", "haul_cost", "miles"):
        assert (float(ours[column]) if ours[column] else None) == (
            None if theirs[column] is None else float(theirs[column])
        ), column


def test_set_the_ask_with_an_offer_on_the_table_past_sales_and_a_pair(
    browser: Browser, written: Path
) -> None:
    opened = Opened(browser, written)
    page = opened.page
    opened.see("Set the ask")
    assert opened.ask(type="front-load washer", age="7").startswith("ASK $")
    shown = page.inner_text("#answer")
    assert "If it doesn't sell" in shown and "Recall check" in shown
    page.locator("summary", has_text="More: the reasons").click()
    shown = page.inner_text("#answer")
    assert "Your sales that count most" in shown and "DEMO-" in shown
    assert "as a pair" not in shown
    least = int(re.search(r"don't take under \$(\d+)", shown)[1])  # type: ignore[index]
    assert opened.ask(offered="1000") == "TAKE the $1,000 bid."
    assert re.match(r"SAY \$\d+ to their", opened.ask(offered=str(least - 10)))
    assert opened.ask(offered="5") == "SAY NO to $5."
    assert opened.ask(type="front-load washer + dryer pair", offered="").startswith("ASK $")
    page.locator("summary", has_text="More: the reasons").click()
    assert "Sell them" in page.inner_text("#answer")
    page.locator("summary", has_text="It is listed already").click()
    assert opened.ask(listed=(DEMO_DAY - timedelta(days=70)).isoformat()).startswith("SELL IT OFF")
    opened.close()


def test_several_years_made_are_told_apart(browser: Browser, written: Path) -> None:
    opened = Opened(browser, written)
    opened.ask(type="gas dryer", made="2006 or 2016", fault="no heat")

    assert [
        line[:4]
        for line in (
            opened.page.locator("h2", has_text="By the year it was made")
            .locator("+ table tbody tr")
            .all_text_contents()
        )
    ] == ["2006", "2016"]
    opened.close()


@pytest.mark.parametrize("days", [60, 61])
def test_an_old_file_says_so(browser: Browser, written: Path, days: int) -> None:
    opened = Opened(browser, written, day=DEMO_DAY + timedelta(days=days))

    assert (
        f"learned {DEMO_DAY:%B} {DEMO_DAY.day}, {DEMO_DAY.year} from 140 sales"
        in opened.page.inner_text("header")
    )
    assert opened.page.is_visible("#old") == (days > 60)
    if days > 60:
        assert (
            opened.page.inner_text("#old")
            == "This file was learned 61 days ago. Write a new one: pricing fit, then pricing"
            " phone."
        )
    opened.close()


def test_scripts_off_leave_the_table(browser: Browser, written: Path) -> None:
    page = browser.new_context(viewport=PHONE, java_script_enabled=False).new_page()
    page.goto(written.as_uri())
    page.locator("summary").first.click()

    assert "Pay up to" in page.inner_text("#table") and re.search(
        r"\$\d", page.inner_text("#table table >> nth=0")
    )
    assert not page.locator("form").count() and page.evaluate(SIDEWAYS) <= 0
    page.context.close()


NOTHING_KEPT = (
    "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no',"
    " 'SecurityError'); } })"
)


def test_a_phone_that_lets_the_file_keep_nothing(browser: Browser, written: Path) -> None:
    """Calls last as long as the page is open, and it says so."""
    opened = Opened(browser, written, before=NOTHING_KEPT)
    opened.ask(type="gas dryer", age="4")
    opened.see("I pass on it")

    assert "lets the page keep nothing" in opened.page.inner_text(
        "main"
    ) and "passed on: gas dryer, 4 years" in opened.page.input_value("#csv")
    opened.close()


@pytest.mark.long
@pytest.mark.parametrize(
    ("size", "scheme"),
    [
        (PHONE, "light"),
        (DESK, "dark"),
        pytest.param(PHONE, "dark", marks=pytest.mark.slow),
        pytest.param(DESK, "light", marks=pytest.mark.slow),
    ],
    ids=["phone-light", "desk-dark", "phone-dark", "desk-light"],
)
def test_axe_targets_and_width_in_every_view(
    browser: Browser, written: Path, size: dict[str, int], scheme: str
) -> None:
    """Empty, refused, answered, and with calls kept; all folds open; no sideways scroll, with
    letters twice as large neither; targets of 44 px and more."""
    axe = pytest.importorskip(
        "axe_playwright_python.sync_playwright", reason="pip install axe-playwright-python"
    ).Axe()
    opened = Opened(browser, written, size, color_scheme=scheme, bypass_csp=True)
    page = opened.page

    def looked_at(where: str) -> None:
        page.evaluate(
            "first => document.querySelectorAll('details').forEach(each => each.open = each.id !=="
            " 'table' || first)",
            where == "empty",
        )
        found = axe.run(page).response["violations"]
        assert [
            (each["id"], each["impact"], each["nodes"][0]["html"][:150]) for each in found
        ] == [], where
        assert page.evaluate(SMALL_TARGETS) == [], where
        assert page.evaluate(SIDEWAYS) <= 0, where
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        assert page.evaluate(SIDEWAYS) <= 0, where
        page.evaluate("document.documentElement.style.fontSize = ''")

    looked_at("empty")
    page.locator("form .big").click()
    looked_at("refused")
    opened.ask(
        type="electric dryer", made="2014-2016", fault="no heat", their_price="20", miles="12"
    )
    looked_at("offer")
    opened.see("I pass on it")
    looked_at("calls")
    opened.see("Set the ask")
    opened.ask(type="top-load washer + dryer pair", made="", age="6", offered="100")
    looked_at("ask")
    opened.close()


SHOWS_FOCUS = (
    "() => [document.activeElement, ...(document.activeElement.labels || [])].some(each =>"
    " getComputedStyle(each).outlineStyle !== 'none')"
)


@SIZES
def test_by_keyboard_alone(browser: Browser, written: Path, size: dict[str, int]) -> None:
    """From the first stop to the sheet that is handed over; each stop shows where it is."""
    opened = Opened(browser, written, size)
    page = opened.page

    def go(wanted: str, most: int = 40) -> None:
        for _ in range(most):
            page.keyboard.press("Tab")
            assert page.evaluate(SHOWS_FOCUS)
            if (
                page.evaluate("document.activeElement.id || document.activeElement.textContent")
                == wanted
            ):
                return
        pytest.fail(f"{wanted} was not reached by tab")

    def choose(wanted: str) -> None:
        """By its first letter, again and again: on a busy machine a second may pass between two
        letters, and a list forgets the first of them."""
        for _ in range(60):
            if page.evaluate("document.activeElement.value").startswith(wanted):
                return
            page.keyboard.press(wanted[0])
        pytest.fail(f"{wanted} was not reached by its letter")

    go("type")
    choose("electric dryer")
    go("fault")
    choose("no heat")
    go("their_price")
    page.keyboard.type("20")
    page.keyboard.press("Enter")
    assert page.locator(".verdict").inner_text() and page.evaluate(
        "document.activeElement.className"
    ).startswith("plate")
    assert page.input_value("#type") == "electric dryer" and page.input_value("#fault").startswith(
        "no heat"
    )
    go("I pass on it")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.textContent") == "Calls"
    go("offered0")
    page.keyboard.type("10")
    go("note0")
    page.keyboard.type("too far")
    go("Save as a file")
    with page.expect_download() as download:
        page.keyboard.press("Enter")
    assert "I offered $10; too far" in download.value.path().read_text(encoding="utf-8")
    opened.close()


MARKUP = "<img src=x onerror=alert(1)></script><script>alert(1)</script>"
RTL = "غسالة أطباق قديمة لا تعمل"
HARD = Settings(
    usual_price={"w" * 120: 90.0, MARKUP: 80.0, RTL: 70.0, "🧺🔥 👩‍🔧": 60.0},
    attributes={"color": "category"},
)


@pytest.fixture(scope="module")
def hard_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The phone file of a record whose words are hard texts."""
    folder = tmp_path_factory.mktemp("hard")
    numbers, _ = world(0, folder / "home")
    path = folder / "phone.html"
    path.write_text(phone.page(numbers, HARD, phoning.cells(numbers, HARD, DAY)), encoding="utf-8")
    return path


@pytest.mark.long
@SIZES
def test_hard_texts_stay_text_and_inside_the_page(
    browser: Browser, hard_file: Path, size: dict[str, int]
) -> None:
    """Endless, right-to-left, emoji, twenty digits, markup: as words of the record, in the fields
    and in the notes."""
    markup, rtl = MARKUP, RTL
    opened = Opened(browser, hard_file, size, day=DAY)
    page = opened.page
    for place, name in enumerate(HARD.usual_price):
        page.locator('[name="own color"]').fill(f"{rtl} {markup} 12345678901234567890" + "w" * 100)
        page.fill("#their_price", "12345678901234567890")
        page.locator("form .big").click()
        assert (
            "They want: write a number" in page.inner_text("#answer")
            and page.evaluate(SIDEWAYS) <= 0
        )
        assert opened.ask(type=name, their_price="1,5")
        assert page.evaluate(SIDEWAYS) <= 0
        opened.see("Keep the call")
        page.locator(f"#came{place}").select_option("I passed on it")
        for field in ("wanted", "offered", "minutes", "note"):
            page.locator(f"#{field}{place}").fill(
                f"{rtl} {markup} 🧺 12345678901234567890 " + "w" * 900
            )
        assert page.evaluate(SIDEWAYS) <= 0 and page.locator("main img").count() == 0
        opened.see("Set the ask")
        opened.ask(type=name)
        assert page.evaluate(SIDEWAYS) <= 0
        opened.see("Before the drive")
    opened.see("Calls")
    rows = list(csv.DictReader(io.StringIO(page.input_value("#csv"))))
    assert [row["type"] for row in rows] == list(HARD.usual_price) and all(
        markup in row["note"] and rtl in row["note"] for row in rows
    )
    opened.close()
