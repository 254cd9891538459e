"""Fixtures of whole sessions."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from callout.bench.hostile.nursery import Nursery

LIST = """\
callout: 1
id: line-up
title: Line-up checklist
phase: before-takeoff
method: challenge-and-response
complete: line-up checklist complete
sections:
  - title: Outside
    items:
      - {id: beacon, challenge: Beacon, response: "on", wrong: "off"}
      - {id: pump, challenge: Fuel pump, response: "on", wrong: "off", critical: yes}
      - {id: altimeter, challenge: Altimeter, response: "{1013 hPa}"}
      - {id: ice, challenge: Anti-ice, response: "on", when: icing}
  - title: Inside
    items:
      - {id: doors, challenge: Doors, response: closed and locked}
      - {id: flaps, challenge: Flaps, response: "flaps {5}"}
      - {id: trim, challenge: Trim, response: neutral}
      - {id: transponder, challenge: Transponder, response: altitude}
"""
FLIGHT = """\
callout: 1
title: An invented flight
facts: {icing: "no"}
"""
RIGHT = {
    "beacon": "on",
    "pump": "on",
    "altimeter": "one zero one three",
    "doors": "closed and locked",
    "flaps": "flaps five",
    "trim": "neutral",
    "transponder": "altitude",
}


@pytest.fixture
def checklist(tmp_path: Path) -> Path:
    path = tmp_path / "line-up.yaml"
    path.write_text(LIST)
    (tmp_path / "flight.yaml").write_text(FLIGHT)
    return path


@pytest.fixture(scope="module")
def nursery() -> Iterator[Nursery]:
    if not hasattr(os, "fork"):
        pytest.skip("needs fork")
    made = Nursery()
    yield made
    made.close()
