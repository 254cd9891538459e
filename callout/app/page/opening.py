"""Opens the page for everything, and keeps it open until it is ended.

A second start finds the open page: the running one stores its address and its present code in a
file that only this person can read.
"""

from __future__ import annotations

import contextlib
import os
import socket
import threading
import time
import webbrowser
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from callout.app.page.calling import Calling
from callout.app.page.desk import PageDesk
from callout.app.page.editing import Editing
from callout.app.page.flight_values import FlightValues
from callout.app.page.listening import USUAL_EARS, Ears
from callout.app.page.looking_back import LookingBack
from callout.app.page.page_session import Stage
from callout.app.page.practising import Practising
from callout.app.page.reading_in import ReadingIn
from callout.app.page.request_fields import Answer, Handler
from callout.app.page.setting_up import SettingUp
from callout.app.page.shelf import Shelf
from callout.app.page.starting import Starting
from callout.app.running.glancing import DEVICES
from callout.app.shared.own_lists import own_lists_folder
from callout.app.shared.settings import journal_folder, load_settings
from callout.core.sentences import page as sentences
from callout.errors import CalloutError
from callout.outlet import save_text
from callout.web.documents import Documents

PORT = 8750
"""Always the same, so that a page left open finds the program when it restarts."""
ADDRESS = "page-address.txt"
_LOOK_S = 0.5
_LAST_S = 5.0


@dataclass(frozen=True, slots=True)
class PageWish:
    """How to open the page. here: another folder of lists to show; browser: open one."""

    here: Path | None = None
    port: int = PORT
    browser: bool = True


class OpenPage:
    """The page while it is open."""

    def __init__(self, wish: PageWish, folder: Path, ears: Ears = USUAL_EARS) -> None:
        from callout.terminal.report import report_lines
        from callout.web.devices import Devices
        from callout.web.hub import Hub
        from callout.web.server import LOOPBACK, GlanceServer

        self._file = folder / ADDRESS
        self._end = threading.Event()
        self.hub = Hub()
        self.stage = Stage(self.hub, report_lines)
        documents = Documents()
        shelf = Shelf(own_lists_folder(), wish.here.resolve() if wish.here else None)
        reading = ReadingIn(shelf)
        starting = Starting(shelf, self.stage)
        self.calling = Calling(
            shelf, self.stage, starting.begin, lambda: self._server.viewers(), ears
        )
        self.handlers = {
            **starting.handlers(),
            **self.calling.handlers(),
            **_handlers(shelf, self.stage, documents),
            **reading.handlers(),
            "end": self._ask_to_end,
        }
        self.desk = PageDesk(self.handlers, reading.bring)
        self._devices = Devices(folder / DEVICES, time.time)
        self._server = GlanceServer(
            self.hub, self._devices, LOOPBACK, wish.port, desk=self.desk, documents=documents
        )

    @property
    def address(self) -> str:
        """Its address, with the code that admits the next browser."""
        return f"http://127.0.0.1:{self._server.port}/#{self._devices.code}"

    def open(self) -> None:
        """Start to serve; raises CalloutError."""
        self._server.start()
        self._devices.on_code = self._leave_address
        self._leave_address()

    def wait(self) -> None:
        """Wait until somebody ends it on the page or presses Ctrl-C."""
        while not self._end.wait(_LOOK_S):
            pass

    def close(self) -> None:
        """Interrupt a running session, and end."""
        with contextlib.suppress(OSError):
            self._file.unlink()
        self.calling.close()
        self.stage.close(_LAST_S)
        self._server.stop()

    def _ask_to_end(self, wish: Mapping[str, Any]) -> Answer:
        self.stage.must_be_free()
        threading.Timer(_LOOK_S, self._end.set).start()  # the answer goes first
        return {"said": sentences.PROGRAM_ENDED}

    def _leave_address(self) -> None:
        """Tell a second start where the page is; without the file, that start says so itself."""
        with contextlib.suppress(CalloutError, OSError):
            save_text(self._file, self.address, "The address", private=True, folders=True)


def _handlers(shelf: Shelf, stage: Stage, documents: Documents) -> dict[str, Handler]:
    return {
        **LookingBack(documents).handlers(),
        **Editing(shelf, documents).handlers(),
        **FlightValues(shelf).handlers(),
        **SettingUp(stage).handlers(),
        **Practising(shelf, stage).handlers(),
    }


def run_page(wish: PageWish, tell: Callable[[str], None]) -> None:
    """Open the page and serve it until it is ended; raises CalloutError if it cannot open."""
    folder = journal_folder(None, load_settings())
    known = _open_already(folder / ADDRESS, wish.port)
    if known:
        tell(sentences.already_open(known))
        if wish.browser:
            open_browser(known, tell)
        return
    page = OpenPage(wish, folder)
    try:
        page.open()
    except CalloutError as error:
        hint = sentences.OTHER_PORT if "port" in error.message else sentences.TRY_AGAIN
        said = error.message.replace("The glance page", "The page")
        raise CalloutError(said, hint) from error
    try:
        tell(sentences.page_address(page.address))
        tell(sentences.HOW_TO_END)
        if wish.browser:
            open_browser(page.address, tell)
        page.wait()
    except KeyboardInterrupt:
        tell("")
    finally:
        page.close()


def open_browser(address: str, tell: Callable[[str], None]) -> None:
    """Open a browser on this machine; if there is none, say so."""
    try:
        opened = webbrowser.open(address)
    except (webbrowser.Error, OSError):
        opened = False
    if not opened:
        tell(sentences.NO_BROWSER)


def has_browser() -> bool:
    """Whether a visible browser can be opened."""
    if os.name == "posix" and os.uname().sysname == "Linux":
        seen = os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
        if not (seen or os.environ.get("BROWSER")):
            return False
    try:
        webbrowser.get()
    except webbrowser.Error:
        return False
    return True


def _open_already(file: Path, port: int) -> str:
    """Return the address of a page already open at ``port``; empty: there is none."""
    try:
        told = file.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return ""
    if not told.startswith(f"http://127.0.0.1:{port}/#"):
        return ""
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=2.0):
            return told
    except OSError:
        return ""
