"""Debian's Chromium, driven by playwright, which brings no browser of its own here."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome")
MISSING = (
    "There is no Chromium here. Install Debian's (apt-get install chromium), or name another one's"
    " program in the variable CHROMIUM."
)


def chromium_program() -> str | None:
    """Return the browser's path, None where there is none."""
    named = os.environ.get("CHROMIUM")
    return named or next(filter(None, map(shutil.which, NAMES)), None)


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start the browser, and end it."""
    # Chromium's sandbox refuses to work for root, as whom CI runs; it sees our own pages alone.
    arguments = ["--no-sandbox"] if os.geteuid() == 0 else []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_program(), args=arguments)
        yield browser
        browser.close()
