"""Why things happen in a session: closed sets shared by records, questions and screens."""

from __future__ import annotations

from enum import Enum
from typing import Final

NOT_SET: Final = "not-set"
"""Code of a right reply that the aircraft contradicts."""


class Why(Enum):
    """Why an item was challenged."""

    NEXT = "next"
    MISMATCH = "mismatch"
    UNCLEAR = "unclear"
    SILENCE = "silence"
    ASKED = "asked"
    """The person said "say again"."""
    RETURNED = "returned"
    """It had been deferred."""
    REOPENED = "reopened"
    CONTINUED = "continued"
    OTHER_SEAT = "other-seat"
    """The first of two seats has answered."""
    NOT_SET = "not-set"
    """The reply was right, but the aircraft shows otherwise."""
    CALLED = "called"
    """A person challenged it."""


class Question(Enum):
    """What the session may ask besides its items."""

    FLOW = "flow"
    """Is the flow (or this panel of it) done?"""
    SKIP_REASON = "skip-reason"
    STOP = "stop"
    """Really stop?"""
    OPEN_ITEMS = "open-items"
    """Deferred items are still open: take them now or leave them?"""
    COMPLETION = "completion"
    """The person gives the completion call."""
    FACT = "fact"
    """What is the set-up?"""
    QUANTITY = "quantity"
    """Was a quantity heard correctly?"""
    MEMORY = "memory"
    """Which memory items are done, in order?"""


class Choice(Enum):
    """How a question was settled."""

    YES = "yes"
    NO = "no"
    DONE = "done"
    TAKE_NOW = "take-now"
    LEAVE_OPEN = "leave-open"
    UNKNOWN = "unknown"


class Ending(Enum):
    """How a list ended."""

    COMPLETED = "completed"
    STOPPED = "stopped"
