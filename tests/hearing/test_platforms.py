"""Each platform gets the recogniser packages that exist for it, and no others.

Expected values: which wheels the package index offered on 25 November 2026.
"""

from __future__ import annotations

import importlib.metadata
import tomllib
from pathlib import Path

import pytest

requirements = pytest.importorskip("packaging.requirements")

PYPROJECT = Path(__file__).parents[2] / "pyproject.toml"
DARWIN = "Darwin Kernel Version {}: Thu Oct 10 21:02:45 PDT 2030; root:xnu/RELEASE_ARM64"
PLATFORMS = {
    "Linux x86-64": ("linux", "x86_64", "#1 SMP Debian 6.1.90-1", True),
    "Linux arm64": ("linux", "aarch64", "#1 SMP", True),
    "Linux arm 32-bit": ("linux", "armv7l", "#1 SMP", True),
    "Windows x86-64": ("win32", "AMD64", "10.0.19045", True),
    "Windows ARM": ("win32", "ARM64", "10.0.22631", False),
    "macOS 26 Apple silicon": ("darwin", "arm64", DARWIN.format("25.0.0"), True),
    "macOS 15 Apple silicon": ("darwin", "arm64", DARWIN.format("24.1.0"), True),
    "macOS 14 Apple silicon": ("darwin", "arm64", DARWIN.format("23.6.0"), True),
    "macOS 11 Apple silicon": ("darwin", "arm64", DARWIN.format("20.6.0"), True),
    "macOS 15 Intel": ("darwin", "x86_64", DARWIN.format("24.1.0"), True),
}


def wanted(package: str, system: str, machine: str, version: str) -> bool:
    project = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["project"]
    lines = project["optional-dependencies"]["vosk"]
    (found,) = [r for r in map(requirements.Requirement, lines) if r.name == package]
    around = {"sys_platform": system, "platform_machine": machine, "platform_version": version}
    return found.marker is None or bool(found.marker.evaluate(around))


@pytest.mark.parametrize("platform", list(PLATFORMS))
def test_a_platform_asks_only_for_wheels_that_exist(platform: str) -> None:
    *where, vosk = PLATFORMS[platform]
    assert wanted("vosk", *where) is vosk


def test_what_is_always_installed_is_the_same_everywhere() -> None:
    """A package that some platform lacks belongs into an extra, or nothing is installed there."""
    lines = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["project"]["dependencies"]
    assert [r.name for r in map(requirements.Requirement, lines) if r.marker] == []


def test_what_decides_hearing_is_bounded_on_both_sides() -> None:
    lines = tomllib.loads(PYPROJECT.read_text(encoding="utf-8"))["project"]["dependencies"]
    (numpy,) = [r for r in map(requirements.Requirement, lines) if r.name == "numpy"]
    assert {s.operator for s in numpy.specifier} == {">=", "<"}
    assert importlib.metadata.version("numpy") in numpy.specifier
