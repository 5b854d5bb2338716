"""Makes the pictures of the README anew, three answers on a phone, and those that the views are
compared with (`kept_views`), from the invented demo record.

.venv/bin/python tests/make_screenshots.py        (needs Chromium: apt-get install -y chromium)
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from conftest import fill_demo_home
from kept_views import SIZES, keep, pictures
from web_client import start

from pricing.basis.home import Home
from pricing.pipeline.demo import DEMO_DAY

FOLDER = Path(__file__).parent / "screenshots"
PICTURES = {
    "before-the-drive": "/offer?words=electric+dryer%2C+8+years%2C+no+heat%2C+wants+10%2C+3+miles",
    "set-the-ask": "/ask?words=front-load+washer%2C+7+years%2C+good%2C+steam",
    "unsold": "/unsold",
}


def make(folder: Path) -> list[Path]:
    """The pictures, 390 x 844 at twice the density, written into `folder`."""
    from playwright.sync_api import sync_playwright

    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None:
        sys.exit("no Chromium here: apt-get install -y chromium")
    folder.mkdir(exist_ok=True)
    made = []
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as player:
        home = Home(Path(scratch) / "home")
        fill_demo_home(home, DEMO_DAY)
        running = start(home, "--as-of", DEMO_DAY.isoformat())
        browser = player.chromium.launch(
            executable_path=chromium, args=["--no-sandbox", "--disable-gpu"]
        )
        page = browser.new_context(
            viewport={"width": 390, "height": 844}, device_scale_factor=2, color_scheme="light"
        ).new_page()
        for name, path in PICTURES.items():
            page.goto(f"http://127.0.0.1:{running.port}{path}")
            made.append(folder / f"{name}.png")
            page.screenshot(path=made[-1])
        for size in SIZES:
            made += [keep(name, size, now) for name, now in pictures(browser, running.port, size)]
        browser.close()
        running.process.terminate()
        running.process.communicate()
    return made


if __name__ == "__main__":
    for picture in make(FOLDER):
        print(picture)
