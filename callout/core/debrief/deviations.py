"""Classes of checklist deviation that a session can detect.

They follow the checklist deviations of the observation study of Dismukes and Berman, Checklists and
Monitoring in the Cockpit, NASA/TM-2010-216396 (2010): 194 on 60 flights. Two of its classes leave
no trace in what is said (done from memory; a flow made while the list is read), and have no class
here.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

STUDY = "Dismukes and Berman, NASA/TM-2010-216396 (2010)"


class Deviation(Enum):
    """What went wrong at an item, or with a list."""

    OMITTED = "omitted"
    MISMATCHED = "mismatched"
    NOT_SET = "not-set"
    TOO_FAST = "too-fast"
    OUT_OF_SEQUENCE = "out-of-sequence"
    INCOMPLETE = "incomplete"
    WRONG_TIME = "wrong-time"
    NEVER_STARTED = "never-started"


EQUIPMENT = frozenset({"inoperative", "not installed"})
"""Reasons for a skip that lie in the aircraft, not in the person."""


def lies_in_aircraft(reason: str) -> bool:
    """Say whether a skip for this reason says nothing about the person."""
    return reason.casefold().rstrip(" .") in EQUIPMENT


@dataclass(frozen=True, slots=True)
class Class:
    """One class in words."""

    name: str
    meaning: str
    in_study: str
    """The nearest class of the study, in our words."""


CLASSES = {
    Deviation.OMITTED: Class(
        "Omitted",
        "skipped though it was there, or left open at the end of a list",
        "item omitted, misworded, or list not called complete (42 of 194)",
    ),
    Deviation.MISMATCHED: Class(
        "Wrong reply",
        "a wrong reply was given first, and caught",
        "item omitted, misworded, or list not called complete (42 of 194)",
    ),
    Deviation.NOT_SET: Class(
        "Said, not set",
        "a right reply, and the aircraft showed otherwise",
        "answered without looking, or looked without seeing (43 of 194)",
    ),
    Deviation.TOO_FAST: Class(
        "Too fast to have looked",
        "a right reply sooner than a glance at the control takes",
        "answered without looking, or looked without seeing (43 of 194)",
    ),
    Deviation.OUT_OF_SEQUENCE: Class(
        "Out of order",
        "challenged before its turn",
        "item omitted, misworded, or list not called complete (42 of 194)",
    ),
    Deviation.INCOMPLETE: Class(
        "Not completed",
        "the list ended, or was left, without its completion call",
        "item omitted, misworded, or list not called complete (42 of 194)",
    ),
    Deviation.WRONG_TIME: Class(
        "Wrong time",
        "called for before a list that comes first",
        "list called at the wrong time (31 of 194)",
    ),
    Deviation.NEVER_STARTED: Class(
        "Never called for",
        "due in the flight, and never begun",
        "list never called for (13 of 194)",
    ),
}
