"""Checks what a session needs, what this machine has, and how to fix what is missing."""

from __future__ import annotations

from collections.abc import Callable

from callout.app.doctor import check_sound, check_system
from callout.app.shared.findings import FindingState, MachineFinding, MachineReport
from callout.core.sentences import doctor as sentences
from callout.errors import CalloutError

CHECKS: dict[str, Callable[[str], MachineFinding]] = {
    "python": check_system.check_python,
    "packages": check_system.check_packages,
    "portaudio": check_sound.check_portaudio,
    "microphone": check_sound.check_microphone,
    "speaker": check_sound.check_speaker,
    "voice": check_sound.check_voice,
    "platform's voice": check_sound.check_platform_voice,
    "embedded recogniser": check_sound.check_embedded,
    "second opinion": check_sound.check_second_opinion,
    "voice activity": check_sound.check_voice_activity,
    "vosk": check_sound.check_vosk,
    "vosk models": check_sound.check_vosk_models,
    "settings": check_system.check_settings,
    "journal": check_system.check_journal,
    "terminal": check_system.check_terminal,
}
"""In the order shown; each is called with its name."""


def examine_machine() -> MachineReport:
    """Run every check; a check that crashes becomes a finding and stops no other."""
    return MachineReport(tuple(_run_check(name, check) for name, check in CHECKS.items()))


def _run_check(name: str, check: Callable[[str], MachineFinding]) -> MachineFinding:
    try:
        return check(name)
    except CalloutError as error:
        return MachineFinding(name, FindingState.MISSING, error.message, error.hint)
    except Exception as error:  # a broken library must not hide the other findings
        message = sentences.check_failed(type(error).__name__, error)
        return MachineFinding(
            name, FindingState.MISSING, message, "pip install --force-reinstall callout"
        )
