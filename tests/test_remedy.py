"""The command that installs a system package."""

from __future__ import annotations

import os
import sys

import pytest

from callout import portaudio, remedy
from callout.speaking import voice


@pytest.mark.parametrize(
    ("manager", "command"),
    [
        # Package names as in Debian 12, Fedora 40, Arch and Alpine 3.20 (from memory).
        ("apt-get", "sudo apt-get install espeak-ng libportaudio2"),
        ("dnf", "sudo dnf install espeak-ng portaudio"),
        ("pacman", "sudo pacman -S espeak-ng portaudio"),
        ("apk", "sudo apk add espeak-ng portaudio"),
    ],
)
def test_the_machine_s_own_package_manager_is_named(
    monkeypatch: pytest.MonkeyPatch, manager: str, command: str
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(remedy.shutil, "which", lambda name: name if name == manager else None)
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    assert voice.install_hint() == command
    monkeypatch.setattr(os, "geteuid", lambda: 0, raising=False)
    assert voice.install_hint() == command.removeprefix("sudo ")


def test_an_unknown_linux_is_told_what_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(remedy.shutil, "which", lambda name: None)
    assert "portaudio" in portaudio.install_hint()


@pytest.mark.parametrize("platform", ["darwin", "win32"])
def test_elsewhere_the_wheels_bring_the_library(
    monkeypatch: pytest.MonkeyPatch, platform: str
) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    assert portaudio.install_hint().startswith("pip install")
    assert voice.install_hint().startswith("pip install")
