"""Chooses the recogniser; no other module does."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from callout.errors import CalloutError, EngineUnavailable

if TYPE_CHECKING:
    from callout.hearing.embedded.recogniser import EmbeddedRecogniser
    from callout.hearing.voices import Voice
    from callout.ports.hearing import Recogniser

ENGINES = ("auto", "embedded", "vosk")


def open_recogniser(which: str = "auto", voices: Sequence[Voice] = ()) -> Recogniser:
    """Return a recogniser ready to listen.

    voices: enrolled people; only the embedded recogniser compares replies with them.

    If the weights of a second opinion are installed, the embedded one asks it when in doubt.
    ``auto`` takes an installed English Vosk model if there is one, else the embedded weights.
    Raises EngineUnavailable or ModelNotFound, with the command that helps.
    """
    if which == "vosk":
        return _vosk_recogniser()
    if which == "embedded":
        return _embedded_recogniser(voices)
    try:
        return _vosk_recogniser()
    except CalloutError:
        return _embedded_recogniser(voices)


def _embedded_recogniser(voices: Sequence[Voice]) -> Recogniser:
    from callout.hearing.second_opinion.published import MODEL, package_file

    first = _first(voices)
    if package_file(MODEL) is None:
        return first
    from callout.hearing.second_opinion.asking import AskingRecogniser

    return AskingRecogniser(first)


def _first(voices: Sequence[Voice]) -> EmbeddedRecogniser:
    if voices:
        from callout.hearing.embedded.enrolled import EnrolledRecogniser

        return EnrolledRecogniser(voices)
    from callout.hearing.embedded.recogniser import EmbeddedRecogniser

    return EmbeddedRecogniser()


def _vosk_recogniser() -> Recogniser:
    from callout.app.models.installed_models import preferred_model
    from callout.hearing.vosk_engine import VoskRecogniser

    model = preferred_model("en")
    if model is None:
        raise EngineUnavailable("no English Vosk model is installed.", "callout model --help")
    return VoskRecogniser(model.path)
