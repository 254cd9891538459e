"""Pictures of the glance page: real screens of the demonstration in a real browser."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from callout.core.conversation.view_model import ViewModel
from callout.core.sentences.commands import benches as sentences
from callout.errors import CalloutError

WIDTH, HEIGHT = 1180, 820
"""A tablet of eleven inches, held across."""
BROWSERS = ("chromium", "chromium-browser", "google-chrome")


@dataclass(frozen=True, slots=True)
class GlanceShot:
    """One screen to photograph."""

    name: str
    scheme: str
    """``dark`` or ``light``."""
    view: ViewModel


def photograph(shots: Sequence[GlanceShot], safety: str, into: Path) -> Iterator[Path]:
    """Write a PNG of each shot; raises CalloutError where a browser or a library is missing."""
    with opened_browser() as browser:
        for shot in shots:
            path = into / f"{shot.name}.png"
            _take(browser, shot, safety, path)
            yield path


@contextmanager
def opened_browser() -> Iterator[Any]:
    """Open the browser of this machine; raises CalloutError where it or its library is missing."""
    found = next(filter(None, map(shutil.which, BROWSERS)), None)
    if found is None:
        raise CalloutError(sentences.NO_CHROMIUM, "For example: apt-get install chromium")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError as error:
        said = sentences.NO_BROWSER_LIBRARY
        raise CalloutError(said, "pip install 'callout[glance-test]'") from error
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=found, args=["--no-sandbox"] if root else []
        )
        try:
            yield browser
        finally:
            browser.close()


def _take(browser: Any, shot: GlanceShot, safety: str, path: Path) -> None:
    from callout.web.devices import Devices
    from callout.web.hub import Hub
    from callout.web.server import LOOPBACK, GlanceServer

    hub = Hub()
    hub.put(view=shot.view, safety=safety)
    devices = Devices(None, time.time)
    server = GlanceServer(hub, devices, LOOPBACK, 0)
    server.start()
    try:
        page = browser.new_page(
            viewport={"width": WIDTH, "height": HEIGHT},
            color_scheme=shot.scheme,
            reduced_motion="reduce",
        )
        page.goto(f"http://{LOOPBACK}:{server.port}/#{devices.code}")
        page.wait_for_selector("#challenge:not(:empty)")
        page.screenshot(path=str(path))
        page.close()
    finally:
        server.stop()
