"""A real browser: Debian's Chromium, driven by Playwright."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, Page, expect, sync_playwright

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
    "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream",  # a camera that Chromium plays itself
)  # fmt: skip
PHONE, TABLET, WALL = (390, 844), (820, 1180), (1920, 1080)
"""Sizes in CSS pixels; the wall is a 24 inch screen of 16:9, 531 mm wide."""
WALL_MM = 531.0


PATIENT_MS = 60_000
"""So long a page may take to show what it must: on a busy machine it waits for the processor."""


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start the browser."""
    path = shutil.which("chromium")
    assert path, "Chromium is missing; install it with: apt-get install chromium (make test does)"
    with sync_playwright() as playwright:
        expect.set_options(timeout=PATIENT_MS)
        browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        try:
            yield browser
        finally:
            browser.close()


def shows(page: Page, seq: int, seconds: float = PATIENT_MS / 1000) -> None:
    """Wait until the page shows the picture with the number ``seq`` or a newer one."""
    page.wait_for_function(
        "seq => Number(document.getElementById('main').dataset.seq) >= seq", arg=seq, timeout=seconds * 1000
    )
