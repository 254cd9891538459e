"""The page for everything, served by ``callout page`` in a process of its own."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.web.axe_rules import RULES
from tests.web.live_kit import LIST, free_port
from tests.web.own_process import Program

CHROMIUM = next(
    filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), ""
)
DESK = {"width": 1280, "height": 800}
TABLET = {"width": 820, "height": 1180}
PHONE = {"width": 390, "height": 844}


class App:
    """``callout page`` with folders of its own; the list of ``LIST`` is among one's own."""

    def __init__(
        self, folder: Path, port: int = 0, environment: Mapping[str, str] = os.environ
    ) -> None:
        self.folder = folder
        self.environment = environment
        self.fresh = environment is not os.environ
        self.port = port or free_port()
        self.lists = folder / "lists" / "my-plane"
        if not self.lists.exists():
            self.lists.mkdir(parents=True)
            (self.lists / "line-up.yaml").write_text(LIST)
        self.start()

    def start(self) -> None:
        """Start it, again on the same port."""
        self.process = Program(
            ["page", "--no-browser", "--port", str(self.port)],
            {
                **self.environment,
                "CALLOUT_JOURNAL_DIR": str(self.folder / "journals"),
                "CALLOUT_LISTS": str(self.folder / "lists"),
                "CALLOUT_SETTINGS": str(self.folder / "settings.toml"),
            },
            fresh=self.fresh,
        )
        deadline = time.monotonic() + 120
        while "Ctrl-C" not in self.process.text:
            if self.process.has_ended() or time.monotonic() > deadline:
                self.close()
                raise AssertionError(self.process.text)
            time.sleep(0.02)

    @property
    def address(self) -> str:
        """The page's address, with the code of the moment."""
        return (self.folder / "journals" / "page-address.txt").read_text(encoding="utf-8")

    @property
    def root(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def kill(self) -> None:
        """End it as a power cut does; it is started again by an interpreter of its own."""
        self.process.kill()
        self.fresh = True

    def close(self) -> None:
        """End it in any case."""
        self.process.kill()


@contextmanager
def chromium(playwright: Any) -> Iterator[Any]:
    """Open a browser for a module's tests."""
    with playwright.sync_playwright() as driver:
        args = ["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []
        made = driver.chromium.launch(executable_path=CHROMIUM, args=args)
        yield made
        made.close()


def violations(page: Any, axe: Any) -> list[str]:
    """Return what axe-core finds in dark and in light, in frames too where it may look."""
    found = []
    for scheme in ("dark", "light"):
        page.emulate_media(color_scheme=scheme)
        response = axe.Axe().run(page, options=RULES).response
        assert len(response["passes"]) > 8, "the rules were not run"
        for rule in response["violations"]:
            where = [node["html"] for node in rule["nodes"]]
            found.append(f"{scheme}: {rule['id']}: {rule['help']}: {where}")
    return found


SMALL = """() => [...document.querySelectorAll("button, a.button, #ways a, input, select")]
  .filter((button) => button.getClientRects().length)
  .map((button) => [button, button.getBoundingClientRect()])
  .filter(([button, box]) => {
    const least = ["radio", "checkbox"].includes(button.getAttribute("type")) ? 24 : 44;
    return box.width < least - 0.5 || box.height < least - 0.5;
  }).map(([button, box]) => `${button.outerHTML}: ${JSON.stringify(box)}`)"""
"""Asked at once: every question to the browser for itself took a second for each screen."""


def fits(page: Any) -> list[str]:
    """Return what is too small to touch or wider than the window."""
    wrong = list(page.evaluate(SMALL))
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    if wide > 0:
        wrong.append(f"{wide} pixels too wide")
    return wrong


def complaints(page: Any) -> list[str]:
    """Return what the console said, but for what comes of a page left or a program ended."""
    usual = ("net::ERR", "WebSocket is closed before the connection is established")
    return [said for said in page.said if not any(words in said for words in usual)]


def enter(context: Any, app: App) -> Any:
    """Return a page that has used the code; what its console says stays in ``page.said``."""
    page = context.new_page()
    page.said = []
    page.on("console", lambda message: page.said.append(message.text))
    page.on("pageerror", lambda error: page.said.append(str(error)))
    page.goto(app.address)
    page.wait_for_selector("#ways:not([hidden])")
    page.wait_for_selector("#groups button, #challenge:not(:empty)")
    return page


def typed_and_silent(page: Any) -> None:
    """Choose to reply by the keyboard, and to have nothing read aloud."""
    page.evaluate("document.getElementById('how-part').open = true")
    page.check("#how input[value=keyboard]")
    page.check("#how input[name=silent]")


def run_list(page: Any, title: str = "Line-up checklist") -> None:
    """Run a list, replies typed and nothing read aloud; wait for its first challenge."""
    page.goto(f"{page.url.partition('#')[0]}#/lists")
    page.wait_for_selector("#groups button")
    typed_and_silent(page)
    page.click(f"#groups button.name:has-text('{title}') >> nth=0")
    page.wait_for_selector("#challenge:text-matches('\\\\?$')")


def reply(page: Any, words: str) -> None:
    """Type a reply and send it."""
    page.fill("#line", words)
    page.press("#line", "Enter")


def challenge(page: Any, words: str) -> None:
    """Wait until the page shows ``words`` as its challenge."""
    page.wait_for_function(
        "words => document.getElementById('challenge').textContent === words", arg=words
    )
