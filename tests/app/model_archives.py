"""Zip files of model folders, whole and hostile."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

from callout.app.models import installed_models as models
from tests.hearing.vosk_folders import ALWAYS, AT_RUN_TIME

FILES = (*ALWAYS, *AT_RUN_TIME)


def model_zip(path: Path, top: str = "vosk-model-small-en-us-0.15/", *, pad: int = 0) -> Path:
    """Write a zip file with a hollow model under ``top``; ``pad`` adds that many bytes."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as made:
        for name in FILES:
            made.writestr(f"{top}{name}", f"{name}\n")
        if pad:
            noise = bytes((i * i * 31 + i // 7) % 251 for i in range(pad))
            stored = zipfile.ZipInfo(f"{top}ivector/padding")
            made.writestr(stored, noise, zipfile.ZIP_STORED)
    return path


def add_entry(path: Path, name: str, data: bytes = b"x", mode: int = 0) -> Path:
    """Append one entry as given, with Unix ``mode`` bits."""
    info = zipfile.ZipInfo("placeholder")
    info.filename = name
    info.external_attr = mode << 16
    with zipfile.ZipFile(path, "a") as made:
        made.writestr(info, data)
    return path


def isolated(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """Return a model folder yet to be made; no other place has models."""
    folder = tmp_path / "models"
    monkeypatch.setenv("CALLOUT_MODEL_DIR", str(folder))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("USERPROFILE", str(tmp_path / "home"))
    monkeypatch.delenv("VOSK_MODEL_PATH", raising=False)
    monkeypatch.setattr(models, "_packaged_models", lambda: iter(()))
    return folder
