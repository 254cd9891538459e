"""Sessions of invented crews, as spoken: who says what, in order."""

from __future__ import annotations

from dataclasses import dataclass

LISTS = {
    "cockpit": """
callout: 1
id: cockpit
title: Cockpit preparation
phase: power-up
method: flow-then-verify
trigger: cockpit preparation checklist
complete: cockpit preparation complete
flow:
  - panel: Overhead panel
    do:
      - {control: Battery, position: "on", rest: "off"}
      - {control: Pitot heat, position: "off", rest: "off"}
  - panel: Pedestal
    do:
      - {control: Parking brake, position: "on", rest: "on"}
  - panel: Flight instruments
    do:
      - {control: Attitude, position: upright}
items:
  - {id: battery, challenge: Battery, response: "on"}
  - {id: fire-test, challenge: Fire test, response: passed, wrong: failed, once: day}
  - {id: torch, challenge: Torch, response: in reach, when: night}
  - {id: lights, challenge: Navigation lights, response: "on", when: night}
""",
    "before-start": """
callout: 1
id: before-start
title: Before start
phase: before-start
method: challenge-and-response
trigger: before start checklist
follows: cockpit
complete: before start checklist complete
items:
  - {id: hose, challenge: Fuel hose, response: clear, when: fuelling}
  - {id: doors, challenge: Doors, response: closed and locked, wrong: open, critical: yes}
  - {id: altimeter, challenge: Altimeter, response: "{qnh}", critical: yes}
  - {id: beacon, challenge: Beacon, response: "on"}
""",
    "parking": """
callout: 1
id: parking
title: Parking
phase: parking
method: challenge-and-response
trigger: parking checklist
due: parked
complete: parking checklist complete
items:
  - {id: brake, challenge: Parking brake, response: "on"}
  - {id: mixture, challenge: Mixture, response: cutoff, wrong: rich}
  - {id: beacon, challenge: Beacon, response: "off"}
""",
    "fire": """
callout: 1
id: fire
title: Engine fire on the ground
phase: non-normal
method: challenge-and-response
trigger: engine fire drill
complete: engine fire drill complete
items:
  - {id: levers, challenge: Thrust levers, response: idle}
  - {id: brake, challenge: Parking brake, response: "on"}
  - {id: masters, challenge: Fuel levers, response: cutoff, wrong: run}
  - {id: tower, challenge: Tower, response: informed}
""",
}
FLIGHT = """
callout: 1
title: Practice flight
aircraft: Invented One
quantities:
  qnh: {value: 1018 hPa, kind: pressure, name: altimeter setting}
facts:
  night: {is: unknown, ask: "Is it night?"}
  fuelling: {is: "yes", said_no: fuelling complete}
"""


@dataclass(frozen=True, slots=True)
class CrewSession:
    """One session: the command, and what is said by whom."""

    name: str
    command: tuple[str, ...]
    """Words of the command line; ``FOLDER`` and ``STUDY`` stand for folders of lists."""
    said: tuple[tuple[str, str], ...]


def _left(*words: str) -> tuple[tuple[str, str], ...]:
    return tuple(("left", said) for said in words)


SESSIONS = (
    CrewSession(
        "solo-turnaround",
        ("fly", "FOLDER", "--first", "parking"),
        _left(
            "parked",
            "parking checklist",
            "on",
            "rich",
            "cutoff",
            "the crew bus is late, drowned",
            "off",
            "before start checklist",
            "fuelling complete",
            "closed and locked",
            "one zero eight one",
            "one zero one eight",
            "on",
            "end of flight",
            "yes",
        ),
    ),
    CrewSession(
        "first-flight-at-night",
        ("fly", "FOLDER", "--flow", "quiz"),
        (
            *_left(
                "cockpit preparation checklist",
                "yes",
                "pedestal",
                "overhead panel",
                "pedestal",
                "flight instruments",
                "on",
                "come back to that",
                "in reach",
                "on",
            ),
            ("right", "passed"),
            *_left(
                "before start checklist",
                "hold",
                "continue",
                "clear",
                "open",
                "closed and locked",
                "one zero one eight",
                "on",
                "end of flight",
                "yes",
            ),
        ),
    ),
    CrewSession(
        "two-person-drill",
        ("run", "FOLDER/fire.yaml", "--crew-challenges"),
        (
            ("left", "thrust levers"),
            ("right", "idle"),
            ("left", "parking brake"),
            ("right", "on"),
            ("left", "tower"),
            ("right", "informed"),
            ("left", "fuel levers"),
            ("right", "run"),
            ("right", "cutoff"),
            ("left", "engine fire drill complete"),
        ),
    ),
)
