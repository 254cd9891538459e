"""Start by voice: while no session is open, the page listens for the name of a list.

It listens only if a person asked for it on the page, only while a page is open, and never during a
session: whatever starts takes over the microphone, and returns it when it ends.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from callout.app.page.listening import Ears, Stretch
from callout.app.page.page_session import Stage
from callout.app.page.request_fields import Answer, Handler, text_in
from callout.app.page.shelf import Shelf
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.flight_run import called_alone as alone
from callout.core.flight_run.calls import first_phrase
from callout.core.model.checklist import Checklist
from callout.core.model.heard import Heard
from callout.core.sentences import flight as flight_sentences
from callout.core.sentences import page as sentences
from callout.errors import CalloutError
from callout.ports.hearing import Recogniser

UNSEEN_S = 15.0
"""Seconds without any open page after which the microphone is closed."""
LAPSES_S = 30.0
"""Seconds after which an unanswered question is dropped."""
_NO_QUESTION = {"question": "", "list": ""}


class Calling:
    """Listens between sessions. begin: starts a list as the page does. viewers: number of open
    pages.
    """

    def __init__(
        self, shelf: Shelf, stage: Stage, begin: Handler, viewers: Callable[[], int], ears: Ears
    ) -> None:
        self._shelf, self._stage, self._begin = shelf, stage, begin
        self._viewers, self._ears = viewers, ears
        self._wish: Mapping[str, Any] = {}
        self._lists: Mapping[str, tuple[str, Checklist]] = {}
        self._asked = ""
        self._shown: dict[str, Any] = {"on": False}
        self._lock = threading.RLock()
        self._now: Stretch | None = None
        stage.before, stage.after = self._pause, self._resume

    def handlers(self) -> dict[str, Handler]:
        """Return the requests it handles."""
        return {"call-on": self._on, "call-off": self._off, "call-answer": self._answer}

    def close(self) -> None:
        """Stop listening."""
        self._wish = {}
        self._pause()

    def _on(self, wish: Mapping[str, Any]) -> Answer:
        """Start listening for the lists of one aircraft; only if replies are by voice."""
        if wish.get("replies") != "microphone":
            raise CalloutError(sentences.CALLS_NEED_MICROPHONE)
        group = self._shelf.find_group(text_in(wish, "group"))
        self._stage.must_be_free()
        self.close()
        usable = [(one.key, one.checklist) for one in group.lists if one.checklist]
        self._lists = {checklist.id: (key, checklist) for key, checklist in usable}
        self._wish = {**wish, "group": group.key}
        self._show(on=True, group=group.key, said="", heard="", say=_example(self._checklists()))
        self._resume()
        return {}

    def _off(self, wish: Mapping[str, Any]) -> Answer:
        self.close()
        self._show(on=False, said="", heard="", **_NO_QUESTION)
        return {}

    def _answer(self, wish: Mapping[str, Any]) -> Answer:
        """Take an answer given by button; an answer to an earlier question is ignored."""
        asked, said = self._asked, wish.get("answer")
        if not asked or text_in(wish, "list") != asked:
            return {}
        if said == "yes":
            self._begin_list(asked, "")
        elif said == "no":
            self._drop_question()
            if self._now:
                self._now.turn()
        return {}

    def _checklists(self) -> Sequence[Checklist]:
        return [checklist for _, checklist in self._lists.values()]

    def _resume(self) -> None:
        """Listen again, if that is still wanted."""
        with self._lock:
            if self._wish and self._now is None:
                self._asked = ""
                self._now = Stretch(self._listen)

    def _pause(self) -> None:
        """Close the microphone, and wait until it is closed."""
        with self._lock:
            ending, self._now = self._now, None
            self._asked = ""
        if ending:
            ending.end()
            self._show(listening=False, **_NO_QUESTION)

    def _listen(self, here: Stretch) -> None:
        try:
            hearing = self._ears.recogniser()
            try:
                while not here.ended:
                    self._turn(here, hearing)
            finally:
                hearing.close()
        except CalloutError as error:
            self._give_up(here, f"{error.message} {error.hint}".strip())

    def _turn(self, here: Stretch, hearing: Recogniser) -> None:
        """Listen until something must be said or done; the microphone is closed meanwhile."""
        source = self._ears.source()
        here.hears(source)
        try:
            call, ended = self._next_call(here, hearing, source)
        finally:
            source.close()
        if here.ended:
            return
        if call:
            self._do(call)
        elif ended:
            self._give_up(here, ended)

    def _next_call(
        self, here: Stretch, hearing: Recogniser, source: Any
    ) -> tuple[alone.AloneCall | None, str]:
        """Return what was called for, or why listening ended; neither: listen for other words."""
        from callout.app.listening.microphone_booth import Booth

        asked, since = self._asked, time.monotonic()
        commands = default_commands()
        among = alone.to_listen_for(self._checklists(), commands, default_tables(), asked)
        booth, seen = Booth(source, hearing), since
        self._show(listening=True)
        while not here.ended and self._asked == asked:
            said = booth.say("", among)
            now = time.monotonic()
            seen = now if self._viewers() else seen
            if said and self._asked == asked:
                self._show(heard=_words_of(said.heard))
                call = alone.take_call(said.heard, self._checklists(), commands, asked)
                if call:
                    return call, ""
            if booth.ended:
                return None, "" if here.turned else sentences.MICROPHONE_ENDED
            if now - seen > UNSEEN_S:
                return None, sentences.NO_PAGE_OPEN
            if asked and now - since > LAPSES_S:
                self._drop_question()
        return None, ""

    def _do(self, call: alone.AloneCall) -> None:
        match call:
            case alone.BeginList(list_id, words):
                self._begin_list(list_id, words)
            case alone.AskMeant(list_id, _):
                self._asked, title = list_id, self._lists[list_id][1].title
                self._tell(sentences.list_meant(title), question=title, list=list_id)
            case alone.NoSuchList(words):
                self._tell(flight_sentences.no_such_list(words))
            case alone.NotMeant():
                self._drop_question()

    def _drop_question(self) -> None:
        self._asked = ""
        self._show(said=sentences.CALL_AGAIN, **_NO_QUESTION)

    def _begin_list(self, list_id: str, words: str) -> None:
        """Release the microphone, and start the list as its button does."""
        key, checklist = self._lists[list_id]
        self._pause()
        self._show(said=sentences.list_begins(checklist.title), heard="")
        try:
            self._begin({**self._wish, "list": key, "called": words})
        except CalloutError as error:
            self._show(said=f"{error.message} {error.hint}".strip())
            if not self._stage.busy:
                self._resume()

    def _tell(self, words: str, **shown: Any) -> None:
        self._show(said=words, **shown)
        if self._wish.get("silent") is not True:
            self._ears.say(words)

    def _give_up(self, here: Stretch, why: str) -> None:
        """Stop listening for a reason that the page shows."""
        with self._lock:
            if here.ended or self._now is not here:
                return
            self._wish, self._now, self._asked = {}, None, ""
        here.end()
        self._show(on=False, listening=False, said=why, **_NO_QUESTION)

    def _show(self, **changes: Any) -> None:
        with self._lock:
            self._shown = {**self._shown, **changes}
            self._stage.hub.put(call=self._shown)


def _words_of(heard: Heard) -> str:
    """Return what to show as heard: an unsure guess is never shown as if it were sure."""
    return heard.text if heard.sure else heard.transcript


def _example(lists: Sequence[Checklist]) -> str:
    """Return an example of what to say, such as "before start checklist"."""
    normal = [one for one in lists if not one.any_time] or list(lists)
    return first_phrase(normal[0]).lower() if normal else ""
