"""Answers every request of the page: one name, one handler."""

from __future__ import annotations

import logging
from collections.abc import Callable, Mapping
from typing import Any

from callout.app.page.request_fields import Answer, Handler
from callout.core.sentences import page as sentences
from callout.core.sentences.page_advice import for_the_page
from callout.errors import CalloutError
from callout.outlet import harmless_values

LOG = logging.getLogger("callout.page")
RAW = "text"
"""The text of a file being edited: it is passed unchanged, character by character."""


def bring_nothing(name: str, data: bytes) -> Answer:
    """Refuse a file: nothing here reads one."""
    raise CalloutError(sentences.NOT_UNDERSTOOD, sentences.RELOAD)


class PageDesk:
    """The back end of the page. handlers: by the name of a request. brings: takes files."""

    def __init__(
        self,
        handlers: Mapping[str, Handler],
        brings: Callable[[str, bytes], Answer] = bring_nothing,
    ) -> None:
        self._handlers = handlers
        self._brings = brings

    def take(self, wish: Mapping[str, Any]) -> Answer:
        """Return the answer to a request; a failure is an answer too."""
        handler = self._handlers.get(str(wish.get("do")))
        return _answered(lambda: handler(wish) if handler else _unknown())

    def bring(self, name: str, data: bytes) -> Answer:
        """Take a file that a person added."""
        return _answered(lambda: self._brings(name, data))


def _unknown() -> Answer:
    raise CalloutError(sentences.NOT_UNDERSTOOD, sentences.RELOAD)


def _answered(work: Callable[[], Answer]) -> Answer:
    try:
        found = work()
    except CalloutError as error:
        said, hint = for_the_page(error.message), for_the_page(error.hint)
        told = {"ok": False, "said": said, "hint": hint}
        return dict(harmless_values(told))
    except Exception:
        LOG.exception("a wish of the page failed")
        return {"ok": False, "said": sentences.INTERNAL_ERROR, "hint": sentences.NOTHING_LOST}
    text = {RAW: found[RAW]} if RAW in found else {}
    return {**harmless_values(found), **text, "ok": True}
