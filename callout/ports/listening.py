"""The listening port: from microphone (or recording) to utterances, as the runner uses it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from callout.core.conversation.sound import SoundNotice
from callout.core.model.candidates import CandidateSet
from callout.core.model.checklist import Role
from callout.core.model.heard import Heard

if TYPE_CHECKING:
    from callout.ports.hearing import Samples


class ListeningSink(Protocol):
    """Receives what a listener reports; every call is safe from any thread and returns at once."""

    def on_heard(
        self,
        item_id: str,
        heard: Heard,
        started_at: float | None = None,
        seat: Role | None = None,
        sound: Samples | None = None,
    ) -> None:
        """Report one utterance heard while armed for ``item_id``.

        started_at: clock seconds (``time.monotonic``) at which the speech began, if known. sound:
        what the recogniser was given of it.
        """

    def on_speech(self) -> None:
        """Report that a person has begun to speak; while the tool speaks, only if barge-in is
        detected.
        """

    def on_disturbed(self, notice: SoundNotice) -> None:
        """Report that the sound is degraded, or good again; listening continues."""

    def on_failure(self, message: str, hint: str = "") -> None:
        """Report that listening is over or interrupted; the session continues on the keyboard."""

    def on_recovery(self) -> None:
        """Report that listening works again."""


class Listener(Protocol):
    """Hears replies in its own thread."""

    @property
    def name(self) -> str:
        """The source and recogniser, for the screen ("microphone, embedded recogniser"); empty:
        none.
        """

    def start(self, sink: ListeningSink) -> None:
        """Open the source; errors are reported to ``sink``, never raised."""

    def listen(self, candidates: CandidateSet, attempt: int = 1) -> None:
        """Arm for an item and report every utterance until told otherwise.

        attempt: 1 for the first attempt at the item, then counting up, so that evidence can
        accumulate.
        """

    def stop_listening(self) -> None:
        """Discard the current utterance and report nothing until armed again."""

    def tool_speaks(self, now: bool) -> None:
        """Note that the tool's own voice begins (True) or has stopped."""

    def taken(self) -> None:
        """Note that the last reported utterance has been handled (a recording may continue)."""

    def close(self) -> None:
        """Stop the source; safe to call twice."""
