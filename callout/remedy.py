"""The one command that installs a system package on this machine."""

from __future__ import annotations

import os
import shutil
import sys

from callout.core.sentences import sound_devices as sentences

_MANAGERS = {
    "apt-get": "apt-get install",
    "dnf": "dnf install",
    "pacman": "pacman -S",
    "zypper": "zypper install",
    "apk": "apk add",
}
_NAMES = {
    "portaudio": {"apt-get": "libportaudio2", "zypper": "libportaudio2"},
}
"""Packages whose name differs between systems."""


def system_install(*packages: str) -> str:
    """Return the command that installs ``packages`` (``portaudio``, ``espeak-ng``).

    Empty if the platform has no package manager of its own; the library then comes with a wheel.
    """
    if not sys.platform.startswith("linux"):
        return ""
    manager = next((name for name in _MANAGERS if shutil.which(name)), "")
    if not manager:
        return sentences.system_install(" and ".join(packages))
    names = " ".join(_NAMES.get(package, {}).get(manager, package) for package in packages)
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    return f"{'' if root else 'sudo '}{_MANAGERS[manager]} {names}"
