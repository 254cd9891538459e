"""The closed sets of words used in lists."""

from __future__ import annotations

from enum import Enum


class Method(Enum):
    """How a list is worked."""

    CHALLENGE_AND_RESPONSE = "challenge-and-response"
    FLOW_THEN_VERIFY = "flow-then-verify"
    READ_AND_DO = "read-and-do"


class Role(Enum):
    """Who answers."""

    PILOT_FLYING = "pilot-flying"
    PILOT_MONITORING = "pilot-monitoring"
    LEFT_SEAT = "left-seat"
    RIGHT_SEAT = "right-seat"
    EITHER = "either"
    BOTH = "both"


class Phase(Enum):
    """Phases of flight, in order; abnormal drills belong to none."""

    POWER_UP = "power-up"
    PREFLIGHT = "preflight"
    BEFORE_START = "before-start"
    START = "start"
    AFTER_START = "after-start"
    TAXI = "taxi"
    BEFORE_TAKEOFF = "before-takeoff"
    TAKEOFF = "takeoff"
    CLIMB = "climb"
    CRUISE = "cruise"
    DESCENT = "descent"
    APPROACH = "approach"
    LANDING = "landing"
    AFTER_LANDING = "after-landing"
    PARKING = "parking"
    SECURING = "securing"
    NON_NORMAL = "non-normal"

    @property
    def order(self) -> int:
        """Position in the flight, from 0."""
        return list(Phase).index(self)


class Once(Enum):
    """How often an item is due, if not on every run."""

    DAY = "day"
    POWER_UP = "power-up"
    CREW = "crew"


class ChangeKind(Enum):
    """What an overlay did to a line."""

    ADDED = "added"
    MOVED = "moved"
    REWORDED = "reworded"
    TIGHTENED = "tightened"
    ACCEPTED = "wording accepted"
