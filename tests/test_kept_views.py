"""Every view looks as it was kept, on a phone and on a desk: a broken layout is seen.

After a change that is meant: `python tests/make_screenshots.py`, look at what changed, commit it.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from chromium import launched, needs_browser
from conftest import DEMO_DAY
from kept_views import FOLDER, MOST_OTHER, SIZES, VIEWS, other_share, picture, pictures
from PIL import Image
from web_client import start

from pricing.basis.home import Home

if TYPE_CHECKING:
    from playwright.sync_api import Browser

pytestmark = [pytest.mark.browser, needs_browser]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched() as started:
        yield started


@pytest.fixture(scope="module")
def port(demo_home_once: Home, tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    home = Home(tmp_path_factory.mktemp("views") / "home")
    shutil.copytree(demo_home_once.path, home.path)
    running = start(home, "--as-of", DEMO_DAY.isoformat())
    yield running.port
    running.process.kill()
    running.process.communicate()


@pytest.mark.long
@pytest.mark.parametrize("size", SIZES)
def test_every_view_looks_as_it_was_kept(
    browser: Browser, port: int, size: str, tmp_path: Path
) -> None:
    """At most a fiftieth is other; the pictures that differ more are left beside."""
    other, seen = {}, 0
    for name, now in pictures(browser, port, size):
        seen += 1
        share = other_share(now, Image.open(FOLDER / f"{name}-{size}.png"))
        print(f"{name} {size}: {share:.4f}")
        if share > MOST_OTHER:
            now.save(tmp_path / f"{name}-{size}.png")
            other[name] = round(share, 3)
    assert seen == len(VIEWS)
    assert other == {}, f"see {tmp_path}; meant so? python tests/make_screenshots.py"


@pytest.mark.parametrize(
    "broken",
    [
        ".plate{width:60%}",
        ".row{display:block}",
        "main{padding:0 3rem!important}",
        ".drawn{display:none}",
    ],
)
def test_a_broken_layout_is_seen(browser: Browser, port: int, broken: str) -> None:
    """Each of these would pass for a page that only holds the right words."""
    width, height, end = SIZES["phone"]
    page = browser.new_page(viewport={"width": width, "height": height}, bypass_csp=True)
    page.goto(f"http://127.0.0.1:{port}{VIEWS['ask']}")
    page.add_style_tag(content=broken)
    share = other_share(picture(page, end), Image.open(FOLDER / "ask-phone.png"))
    page.close()
    print(f"{broken}: {share:.3f}")
    assert share > MOST_OTHER


def test_a_line_of_words_more_is_no_broken_layout(browser: Browser, port: int) -> None:
    """Words change often: what stands below moves down, and little is other."""
    width, height, end = SIZES["phone"]
    page = browser.new_page(viewport={"width": width, "height": height}, bypass_csp=True)
    page.goto(f"http://127.0.0.1:{port}{VIEWS['ask']}")
    page.evaluate("document.querySelector('h1').insertAdjacentHTML('afterend', '<p>One line.</p>')")
    share = other_share(picture(page, end), Image.open(FOLDER / "ask-phone.png"))
    page.close()
    assert 0.002 < share < MOST_OTHER


def test_the_kept_pictures_are_those_of_the_views() -> None:
    """Two a view, none left over."""
    kept = {path.stem for path in FOLDER.glob("*.png")}
    assert kept == {f"{name}-{size}" for name in VIEWS for size in SIZES}
