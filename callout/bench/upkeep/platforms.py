"""``callout bench platforms``: whether the package index has everything an installation needs."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import click

from callout.core.sentences.commands import benches as sentences
from callout.errors import EngineUnavailable

PLATFORMS = (
    "x86_64-manylinux_2_17", "x86_64-manylinux_2_28", "aarch64-manylinux_2_17",
    "x86_64-unknown-linux-musl", "aarch64-unknown-linux-musl", "aarch64-apple-darwin",
    "x86_64-apple-darwin", "x86_64-pc-windows-msvc", "aarch64-pc-windows-msvc",
)  # fmt: skip
"""As uv names them; the numbers are the oldest glibc that will do."""
PYTHONS = ("3.11", "3.12", "3.13", "3.14")
NOT_OFFERED = {
    ("aarch64-pc-windows-msvc", "3.11"): "pyyaml has wheels for it from Python 3.12 on",
    ("x86_64-manylinux_2_17", "3.14"): "rapidfuzz wants glibc 2.27 there",
    ("aarch64-manylinux_2_17", "3.14"): "rapidfuzz wants glibc 2.27 there",
}
"""Known gaps, with what to use instead."""
NO_CODE = ("docopt", "odfpy", "pyttsx3")
"""Published as source in pure Python: they build everywhere without a compiler."""


@click.command("platforms", short_help=sentences.BENCH_PLATFORMS)
@click.option("--extra", multiple=True, help=sentences.PLATFORMS_EXTRA)
@click.option("--project", type=click.Path(path_type=Path), default=Path("pyproject.toml"))
def command(extra: tuple[str, ...], project: Path) -> None:
    """Resolve the packages for every platform and Python; exit code 1 if one lacks a wheel."""
    tool = _tool()
    lacking = 0
    for platform in PLATFORMS:
        for python in PYTHONS:
            known = NOT_OFFERED.get((platform, python), "")
            problem = known or _resolve(tool, project, platform, python, extra)
            lacking += bool(problem) and not known
            click.echo(f"{platform:28} {python:5} {problem or 'all there'}")
    if lacking:
        sys.exit(1)


def _tool() -> str:
    found = shutil.which("uv")
    if found is None:
        raise EngineUnavailable("uv, which resolves for other platforms, is not installed.",
                                "pip install uv")  # fmt: skip
    return found


def _resolve(tool: str, project: Path, platform: str, python: str, extras: tuple[str, ...]) -> str:
    """Return what is missing in one line, empty for nothing."""
    wanted = [tool, "pip", "compile", "--quiet", "--only-binary", ":all:", str(project)]
    wanted += ["--python-platform", platform, "--python-version", python, "--no-progress"]
    wanted += [part for name in NO_CODE for part in ("--no-binary", name)]
    wanted += [part for name in extras for part in ("--extra", name)]
    done = subprocess.run(wanted, capture_output=True, text=True, check=False)
    if done.returncode == 0:
        return ""
    lines = [line.strip() for line in done.stderr.splitlines() if "ause" in line]
    return " ".join(lines)[:200] or "cannot be resolved"
