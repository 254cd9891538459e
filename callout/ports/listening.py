"""The listening port: from microphone (or recording) to utterances, as the runner sees it."""

from __future__ import annotations

from typing import Protocol

from callout.core.conversation.sound import SoundNotice
from callout.core.model.candidates import CandidateSet
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard


class ListeningSink(Protocol):
    """Where a listener reports; every call is safe from any thread and returns at once."""

    def on_heard(
        self,
        item_id: str,
        heard: Heard,
        started_at: float | None = None,
        seat: Role | None = None,
    ) -> None:
        """Report one utterance heard while armed for ``item_id``.

        started_at: clock seconds (``time.monotonic``) at which the speech began, if known.
        """

    def on_speech(self) -> None:
        """Report that a person has begun to speak; over the tool, only where that is heard."""

    def on_disturbed(self, notice: SoundNotice) -> None:
        """Report that the sound is spoilt, or better again; listening goes on."""

    def on_failure(self, message: str, hint: str = "") -> None:
        """Report that listening is over or interrupted; the session continues on the keyboard."""

    def on_recovery(self) -> None:
        """Report that listening works again."""


class Listener(Protocol):
    """Hears replies in its own thread."""

    @property
    def name(self) -> str:
        """What hears, for the screen ("microphone, embedded recogniser"); empty: nothing does."""

    def start(self, sink: ListeningSink) -> None:
        """Open the source; trouble is reported to ``sink``, never raised."""

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        """Arm for an item and report every utterance until told otherwise.

        attempt: 1 for the first try at the item; more, so that evidence can add up.
        """

    def stop_listening(self) -> None:
        """Drop the utterance under way and report nothing until armed again."""

    def tool_speaks(self, now: bool) -> None:
        """Learn that the tool's own voice begins (True), or is silent again."""

    def taken(self) -> None:
        """Learn that the utterance reported last has been dealt with (a recording may go on)."""

    def close(self) -> None:
        """Stop the source; safe to call twice."""
