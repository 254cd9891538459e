"""The back end of the page for everything, and the documents made there."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from collections.abc import Mapping
from typing import Any, Protocol

MAX_DOCUMENTS = 12
DOCUMENTS = "/shown/"


class Desk(Protocol):
    """The back end of the page; called in any thread."""

    def take(self, wish: Mapping[str, Any]) -> dict[str, Any]:
        """Return the answer to a request; a failure is an answer too."""

    def bring(self, name: str, data: bytes) -> dict[str, Any]:
        """Take an uploaded file; returns the answer."""


class Documents:
    """Pages made here, each under an unguessable name; safe from any thread."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, bytes] = OrderedDict()
        self._lock = threading.Lock()

    def keep(self, text: str) -> str:
        """Return the path of a page; the oldest one makes room for it."""
        name = DOCUMENTS + secrets.token_urlsafe(16)
        with self._lock:
            self._kept[name] = text.encode()
            while len(self._kept) > MAX_DOCUMENTS:
                self._kept.popitem(last=False)
        return name

    def find(self, path: str) -> bytes | None:
        """Return a page by its path."""
        with self._lock:
            return self._kept.get(path)
