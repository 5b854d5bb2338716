"""Two pictures of each view, as a phone and a desk show it, kept under `screenshots/views`: what is
taken, in which letters, and how a new picture is set against the kept one.

Letters are those of DejaVu Sans as matplotlib brings it, so that a picture is the same wherever it
is taken. The page is cut off at a height, the color depth is small: what counts is the layout.
"""

from __future__ import annotations

import base64
import io
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import matplotlib
import numpy as np
from PIL import Image

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

FOLDER = Path(__file__).parent / "screenshots" / "views"
# name of a size: width, height, and where the picture ends
SIZES = {"phone": (390, 844, 1700), "desk": (1280, 800, 1100)}
VIEWS = {
    "today": "/",
    "offer": "/offer?words=electric+dryer%2C+8+years%2C+no+heat%2C+wants+10%2C+3+miles",
    "offer-pass": "/offer?words=electric+dryer%2C+8+years%2C+no+heat%2C+wants+40%2C+12+miles",
    "bench": "/bench?words=electric+dryer%2C+8+years%2C+drum+won%27t+turn%2C+found+the+belt",
    "ask": "/ask?words=front-load+washer%2C+7+years%2C+good%2C+steam",
    "bid": "/ask?unit=DEMO-204&offered=30",
    "unsold": "/unsold",
    "tag": "/unsold/card?unit=DEMO-210",
    "pays": "/compare",
    "quarter": "/report",
    "report": "/report/page?quarter=2026Q3",
    "list": "/records",
    "unit": "/records/unit?unit=DEMO-210",
    "new-unit": "/records/new",
    "add-sheet": "/records/file",
    "settings": "/settings",
}
BLOCK, STRIP = 10, 1  # pixels: within a block only the mean gray counts
FAR = 24.0  # of 255: blocks farther apart than this are other blocks
ALONE = 0.3  # what a strip costs that only one of the pictures has
BAND = 200  # strips that the rest may have moved, up or down
MOST_OTHER = 0.02  # one line of words more or less is a hundredth


def pictures(browser: Browser, port: int, size: str) -> Iterator[tuple[str, Image.Image]]:
    """Each view as it looks now."""
    width, height, end = SIZES[size]
    context = browser.new_context(
        viewport={"width": width, "height": height}, color_scheme="light", bypass_csp=True,
        reduced_motion="reduce",
    )  # fmt: skip
    page = context.new_page()
    page.set_default_timeout(60_000)
    for name, address in VIEWS.items():
        page.goto(f"http://127.0.0.1:{port}{address}")
        yield name, picture(page, end)
    context.close()


def picture(page: Page, end: int) -> Image.Image:
    """What the page shows, in our letters, from its top to `end` or its foot."""
    # the bar at the foot of the window would lie over other words as soon as one line moves
    page.add_style_tag(content=_letters())
    page.evaluate("document.fonts.ready")
    tall = min(page.evaluate("document.documentElement.scrollHeight"), end)
    wide = page.viewport_size["width"] if page.viewport_size else 0
    clip = {"x": 0, "y": 0, "width": wide, "height": tall}
    return Image.open(io.BytesIO(page.screenshot(full_page=True, clip=clip)))  # type: ignore[arg-type]


def _letters() -> str:
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    faces = []
    for weight, name in (("100 500", "DejaVuSans.ttf"), ("501 900", "DejaVuSans-Bold.ttf")):
        data = base64.b64encode((folder / name).read_bytes()).decode()
        source = f"url(data:font/ttf;base64,{data})"
        faces.append(f"@font-face{{font-family:kept;font-weight:{weight};src:{source}}}")
    return "".join(faces) + "*{font-family:kept!important} .bar{position:static!important}"


def keep(name: str, size: str, image: Image.Image) -> Path:
    """Write a picture down as the one to compare with."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    path = FOLDER / f"{name}-{size}.png"
    image.convert("RGB").quantize(16, dither=Image.Dither.NONE).save(path, optimize=True)
    return path


def other_share(one: Image.Image, two: Image.Image) -> float:
    """How much of two pictures is other, 0 to 1: their strips are laid beside each other in order,
    a strip that only one of them has costs a third, two that stand side by side the share of
    their blocks that differ. So a line of words more or less moves the rest and costs little."""
    a, b = _strips(one), _strips(two)
    columns = min(a.shape[1], b.shape[1])
    lost = 1 - columns / max(a.shape[1], b.shape[1])
    n, m = len(a), len(b)
    best = np.full(m + 1, np.inf)
    best[: BAND + 1] = ALONE * np.arange(min(BAND, m) + 1)
    for i in range(n):
        low, high = max(0, i - BAND), min(m, i + BAND)
        far = (np.abs(b[low:high, :columns] - a[i, :columns]) > FAR).mean(axis=1)
        now = np.full(m + 1, np.inf)
        side = np.minimum(best[low:high] + far, best[low + 1 : high + 1] + ALONE)
        # the least way to each place, from the place before it at ALONE a strip: a running minimum
        steps = ALONE * np.arange(high - low + 1)
        costs = np.concatenate([[best[low] + ALONE], side])
        now[low : high + 1] = np.minimum.accumulate(costs - steps) + steps
        best = now
    end = best[m] if np.isfinite(best[m]) else float(max(n, m))
    return float(lost + end / max(n, m))


def _strips(image: Image.Image) -> np.ndarray:
    """Mean gray of blocks STRIP high and BLOCK wide, a row a strip."""
    gray = np.asarray(image.convert("RGB").convert("L"), dtype=float)
    rows, columns = gray.shape[0] // STRIP, gray.shape[1] // BLOCK
    cut = gray[: rows * STRIP, : columns * BLOCK]
    return cut.reshape(rows, STRIP, columns, BLOCK).mean(axis=(1, 3))
