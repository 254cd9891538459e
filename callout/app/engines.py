"""Which recogniser serves: the only place that chooses one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from callout.errors import CalloutError, EngineUnavailable

if TYPE_CHECKING:
    from callout.ports.hearing import Recogniser

ENGINES = ("auto", "embedded", "vosk")


def open_recogniser(which: str = "auto") -> Recogniser:
    """Return a recogniser ready to listen.

    ``auto`` takes an installed English Vosk model if there is one, else the embedded weights.
    Raises EngineUnavailable or ModelNotFound, with the command that helps.
    """
    if which == "vosk":
        return _vosk()
    if which == "embedded":
        return _embedded()
    try:
        return _vosk()
    except CalloutError:
        return _embedded()


def _embedded() -> Recogniser:
    from callout.hearing.embedded.recogniser import EmbeddedRecogniser

    return EmbeddedRecogniser()


def _vosk() -> Recogniser:
    from callout.app.models import preferred_model
    from callout.hearing.vosk_engine import VoskRecogniser

    model = preferred_model("en")
    if model is None:
        raise EngineUnavailable("no English Vosk model is installed.", "callout model --help")
    return VoskRecogniser(model.path)
