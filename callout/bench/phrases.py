"""Multi-word replies and numbers for synthetic voices, each with a plausible wrong reply."""

from __future__ import annotations

VOICES = (
    "flite:rms",
    "flite:slt",
    "flite:awb",
    "flite:kal16",
    "espeak:en-gb+m3",
    "espeak:en-us+f3",
)
"""Voices of different makes; the phone reading was trained on others' words in these voices."""

PHRASES: tuple[tuple[str, str, str], ...] = (
    ("both on", "both on", "left on"),
    ("closed and locked", "closed and locked", "closed and unlocked"),
    ("free and correct", "free and correct", "not free"),
    ("three green", "three green", "two green"),
    ("gear down", "gear down", "gear up"),
    ("flaps up", "flaps up", "flaps down"),
    ("flaps 10", "flaps ten", "flaps fifteen"),
    ("flaps 5", "flaps five", "flaps nine"),
    ("flaps 25", "flaps twenty five", "flaps fifteen"),
    ("armed", "armed", "disarmed"),
    ("locked", "locked", "unlocked"),
    ("fully rich", "fully rich", "fully lean"),
    ("removed and stowed", "removed and stowed", "not removed"),
    ("normal", "normal", "alternate"),
    ("auto", "auto", "manual"),
    ("open", "open", "closed"),
    ("set for takeoff", "set for takeoff", "set for landing"),
    ("left engine running", "left engine running", "right engine running"),
    ("checked and fastened", "checked and fastened", "unfastened"),
    ("retracted", "retracted", "extended"),
    ("idle", "idle", "cutoff"),
    ("cabin secure", "cabin secure", "cabin not secure"),
    ("1013 hPa", "one zero one three", "one zero zero three"),
    ("1018 hPa", "one zero one eight", "one zero one nine"),
    ("29.92 inHg", "two niner niner two", "two niner two niner"),
    ("29.92 inHg", "twenty nine ninety two", "twenty nine eighty two"),
    ("heading 240", "heading two four zero", "heading two five zero"),
    ("heading 005", "heading zero zero five", "heading zero five zero"),
    ("76 kt", "seven six", "six seven"),
    ("88 knots", "eighty eight knots", "eighty four knots"),
    ("squawk 4271", "four two seven one", "four two one seven"),
    (
        "118.705 MHz",
        "one one eight decimal seven zero five",
        "one one eight decimal five zero five",
    ),
    ("4000 ft", "four thousand feet", "five thousand feet"),
    ("FL190", "flight level one nine zero", "flight level one five zero"),
    ("runway 24", "two four", "two five"),
    ("145 L", "one four five litres", "one five four litres"),
)
"""Expected reply as written in a list; a right reply and a plausible wrong one as spoken."""

CHALLENGES = (
    "Parking brake", "Fuel selectors", "Avionics master", "Altimeter setting", "Flaps",
    "Beacon", "Doors", "Trim", "Landing gear", "Mixture", "Carburettor heat", "Transponder",
)  # fmt: skip
"""The tool's own voice: heard while it listens, none may be taken for a reply."""
