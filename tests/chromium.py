"""A real browser for the tests: Debian's Chromium by playwright, without a sandbox because tests
may run as root, a new profile each time."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
needs_browser = pytest.mark.skipif(
    CHROMIUM is None, reason="no Chromium here: apt-get install -y chromium"
)


@contextmanager
def launched() -> Iterator[Browser]:
    """A browser that is closed at the end."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as player:
        started = player.chromium.launch(
            executable_path=CHROMIUM,
            args=["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"],
        )
        yield started
        started.close()
