"""What each rule of the check asks, why, and after which source."""

from __future__ import annotations

WHY_FILE = "The file cannot be read."

WHY_FORMAT = "The file does not follow the format."

WHY_OVERLAY = "The overlay cannot be merged into its list."

WHY_OVERLAY_BASE = "The list that the overlay changes is not among the files checked."

WHY_OVERLAY_REMOVES = (
    "An overlay may add, move, reword and tighten items, but never remove or loosen them."
)

WHY_FOLLOWS = "The list before this one is not among the files checked."

WHY_UNKNOWN_FACT = "A condition asks for a fact that is not in the flight file."

WHY_VALUE = "A value cannot be worked out from the flight file."

WHY_VALUE_MISSING = "The flight file does not give a value."

WHY_UNKNOWN_WORDS = "The recogniser can never report a word of the reply."

WHY_HEARD_AS_ANOTHER = "When a voice spoke the reply, the recogniser heard its opposite."

WHY_NEVER_UNDERSTOOD = "Whichever voice spoke it, the recogniser was unsure of the reply."

WHY_NEEDLESS_ALLOWANCE = "`allow:` makes an exception where no rule is broken."

WHY_AGAINST_TABLE = "Speeds entered for another mass look right, and both pilots read them back."

WHY_OUTSIDE_TABLE = "Outside the table nobody knows what the aircraft will do."

WHY_BROKEN_DEMAND = "If numbers contradict one another, one of them is wrong."

WHY_WRONG_SIDE = "If the emptier tank is called the fuller one, it is selected for take-off."

WHY_UNKNOWN_STATE = "The aircraft never reports this, so it proves nothing."

WHY_UNFIT_POSITION = (
    "The control does not have this position, so every right reply would be refused."
)

WHY_CONTRARY_PROOF = (
    "A proof that asks for a position other than the reply's refuses the right reply."
)

WHY_VAGUE_RESPONSE = (
    "Words such as checked, set and as required can be said without looking at the control."
)

WHY_BARE_ALLOWED = (
    "A critical item needs its state as the reply; otherwise people answer it out of habit."
)

WHY_MISSING_OPPOSITE = (
    "A wrong reply that is not listed can only be called unclear; it cannot be named and corrected."
)

WHY_SAME_RESPONSE = (
    "The same reply several times in a row becomes a rhythm, and a crew that loses "
    "its place does not notice."
)

WHY_SOUNDS_ALIKE = (
    "Noise can turn one reply into another that differs by little more than one sound."
)

WHY_CONTRARY_SYNONYM = (
    "A synonym that joins a state with its opposite would make the wrong reply right."
)

WHY_CONTRARY_WORDING = (
    "An extra wording for a reply must not admit its opposite, nor a reply that says less."
)

WHY_LOST_PREFIX = (
    "A weak first syllable is the first to be lost; without it the reply becomes its opposite."
)

WHY_NEGATIVE_WORDING = "If the small word is missed, the opposite is heard."

WHY_LONG_CHALLENGE = "A challenge too long for one breath is cut short or not listened to."

WHY_COMPLETION_CALL = (
    "A list ends when it is called complete by name; without that call it may stay unfinished."
)

WHY_SAME_CALL = "If two lists share a call, the wrong one may be started or ended."

WHY_LONG_LIST = "Long lists hurt discipline and are abandoned before the end."

WHY_LONG_SECTION = (
    "Short groups by system make it easy to find the place again after an interruption."
)

WHY_CRITICAL_LATE = (
    "Items near the end are lost to interruptions, so the most critical ones come first."
)

WHY_FLOW_TRAVEL = (
    "When a flow jumps back and forth between panels, people lose their place; a "
    "steady scan avoids that."
)

WHY_LIST_TRAVEL = "A list follows the panels as far as the systems allow."

WHY_FIXED_VALUE = "A number written into a list does not change with the flight data."

WHY_UNKNOWN_PANEL = "Nobody can point at a panel whose place is not given."

WHY_NEVER_APPLIES = "The author expects this line to be asked, but no set-up asks it."

WHY_ALWAYS_APPLIES = "A condition that is always true usually hides a mistake."

WHY_ASKED_TWICE = "Conditions that overlap ask the same thing twice."

WHY_NEVER_REACHED = "The author expects this line to be asked, but no answer leads to it."

WHY_UNNAMED_END = "A drill that stops without saying how it ended leaves the crew to guess."

WHY_ONE_WAY = "A question that decides nothing costs time when there is none."

WHY_MANY_FACTS = "A condition too complicated to follow gets set up wrongly."

NEEDLESS_ALLOWANCE_HINT = "Delete it from `allow:`."
