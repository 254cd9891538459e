"""Sessions of somebody who learns: flows by stages, memory items, a question, fuller replies."""

from __future__ import annotations

from tests.end_to_end.crew_sessions import CrewSession

STUDY = {
    "tidy-up": """
callout: 1
id: tidy-up
title: Tidy up
phase: after-landing
method: flow-then-verify
complete: tidy up checklist complete
flow:
  - panel: Pedestal
    do:
      - {control: Cowl flaps, position: open, why: The engine cools.}
      - {control: Flap lever, position: up, rest: up}
  - panel: Radio stack
    do:
      - {control: Transponder, position: standby, rest: standby}
items:
  - {id: lights, challenge: Landing lights, response: off, wrong: on}
""",
    "generator": """
callout: 1
id: generator
title: Generator
phase: non-normal
method: read-and-do
complete: generator checklist complete
ends:
  recovered: generator checklist complete, recovered
  lost: generator checklist complete, lost
sections:
  - title: From memory
    items:
      - {id: reset, challenge: Generator switch, response: off, wrong: on, memory: yes}
      - {id: load, challenge: Cabin heater, response: off, wrong: on, memory: yes}
      - id: result
        challenge: Ammeter
        leads:
          - {reply: charging, to: recovered}
          - {reply: discharging, to: shed}
  - id: shed
    title: On the battery
    then: lost
    items:
      - {id: lights, challenge: Cabin lights, response: off, wrong: on}
""",
    "leaving": """
callout: 1
id: leaving
title: Before leaving
phase: parking
method: challenge-and-response
complete: before leaving checklist complete
items:
  - {id: doors, challenge: Doors, response: closed, critical: yes}
  - {id: brake, challenge: Parking brake, response: set, wrong: released}
""",
}
"""More lists, in a folder of their own: a flow, memory items with a question after them, and two
items that are answered with more than is listed."""


def _right(*words: str) -> tuple[tuple[str, str], ...]:
    return tuple(("right", said) for said in words)


def _stage(number: int, *words: str) -> CrewSession:
    command = ("run", "STUDY/tidy-up.yaml", "--stage", str(number))
    return CrewSession(f"flow-stage-{number}", command, _right(*words))


STUDY_SESSIONS = (
    _stage(1, "tell me why", "done", "done", "off"),
    _stage(2, "done", "done", "on", "off"),
    _stage(
        3,
        "cowl flaps closed",
        "cowl flaps open",
        "flap lever up",
        "transponder standby",
        "off",
    ),
    _stage(4, "done", "off"),
    CrewSession(
        "memory-items-and-a-branch",
        ("run", "STUDY/generator.yaml"),
        _right(
            "generator switch on",
            "generator switch off",
            "cabin heater off",
            "discharging",
            "off",
        ),
    ),
    CrewSession(
        "fuller-replies",
        ("run", "STUDY/leaving.yaml"),
        _right("they are closed and unlocked", "they are closed and locked", "set and holding"),
    ),
)
