"""Plays verdict tones, and reports when they cannot be heard."""

from __future__ import annotations

from typing import Protocol

from callout.core.model.verdict import Verdict


class Tones(Protocol):
    """Plays short tones."""

    @property
    def failure(self) -> str:
        """Why nothing sounds any more; empty while all is well."""

    def play(self, verdict: Verdict) -> None:
        """Sound a verdict's tone soon; returns at once and never raises."""

    def close(self) -> None:
        """Release the sound device; safe to call twice."""


class NoTones:
    """Tones are off."""

    failure = ""

    def play(self, verdict: Verdict) -> None:
        """Nothing sounds."""

    def close(self) -> None:
        """Nothing to release."""
