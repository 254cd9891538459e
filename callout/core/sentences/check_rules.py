"""What each rule of the check asks, why, and after which source."""

from __future__ import annotations

FILE_CANNOT_READ = "The file cannot be read."

FILE_DOES_NOT_FOLLOW = "The file does not follow the format."

OVERLAY_CANNOT_MERGED_INTO = "The overlay cannot be merged into its list."

LIST_OVERLAY_CHANGES_NOT = "The list that the overlay changes is not among the files checked."

OVERLAY_MAY_ADD_MOVE = (
    "An overlay may add, move, reword and tighten items, but never remove or loosen them."
)

LIST_BEFORE_ONE_NOT = "The list before this one is not among the files checked."

CONDITION_ASKS_FACT_NOT = "A condition asks for a fact that is not in the flight file."

VALUE_CANNOT_WORKED_OUT = "A value cannot be worked out from the flight file."

FLIGHT_FILE_DOES_NOT = "The flight file does not give a value."

RECOGNISER_CAN_NEVER_REPORT = "The recogniser can never report a word of the reply."

WHEN_VOICE_SPOKE_REPLY = "When a voice spoke the reply, the recogniser heard its opposite."

WHICHEVER_VOICE_SPOKE_RECOGNISER = (
    "Whichever voice spoke it, the recogniser was unsure of the reply."
)

EXCEPTION_MADE_WHERE_NO = "An exception is made where no rule is broken."
