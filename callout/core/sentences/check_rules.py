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

SPEEDS_ENTERED_ANOTHER_MASS = (
    "Speeds entered for another mass look right, and both pilots read them back."
)

OUTSIDE_TABLE_NOBODY_KNOWS = "Outside the table nobody knows what the aircraft will do."

IF_NUMBERS_CONTRADICT_ONE = "If numbers contradict one another, one of them is wrong."

IF_EMPTIER_TANK_CALLED = (
    "If the emptier tank is called the fuller one, it is selected for take-off."
)

AIRCRAFT_NEVER_REPORTS_SO = "The aircraft never reports this, so it proves nothing."

CONTROL_DOES_NOT_HAVE = (
    "The control does not have this position, so every right reply would be refused."
)

PROOF_ASKS_POSITION_OTHER = (
    "A proof that asks for a position other than the reply's refuses the right reply."
)

WORDS_SUCH_AS_CHECKED = (
    "Words such as checked, set and as required can be said without looking at the control."
)

CRITICAL_ITEM_NEEDS_STATE = (
    "A critical item needs its state as the reply; otherwise habit answers it."
)

WRONG_REPLY_NOT_LISTED = (
    "A wrong reply that is not listed can only be called unclear; it cannot be named and corrected."
)

SAME_REPLY_SEVERAL_TIMES = (
    "The same reply several times in a row becomes a rhythm and hides a lost place."
)

NOISE_CAN_TURN_ONE = (
    "Noise can turn one reply into another that differs by little more than one sound."
)

SYNONYM_JOINS_STATE_OPPOSITE = (
    "A synonym that joins a state with its opposite would make the wrong reply right."
)

EXTRA_WORDING_REPLY_MUST = (
    "An extra wording for a reply must not admit its opposite, nor a reply that says less."
)

WEAK_FIRST_SYLLABLE_FIRST = (
    "A weak first syllable is the first to be lost; without it the reply becomes its opposite."
)

IF_SMALL_WORD_MISSED = "If the small word is missed, the opposite is heard."

CHALLENGE_TOO_LONG_ONE = "A challenge too long for one breath is cut short or not listened to."

LIST_ENDS_WHEN_CALLED = (
    "A list ends when it is called complete by name; without that call it may stay unfinished."
)

IF_TWO_LISTS_SHARE = "If two lists share a call, the wrong one may be started or ended."

LONG_LISTS_HURT_DISCIPLINE = "Long lists hurt discipline and are abandoned before the end."

SHORT_GROUPS_SYSTEM_MAKE = (
    "Short groups by system make it easy to find the place again after an interruption."
)

ITEMS_NEAR_END_LOST = (
    "Items near the end are lost to interruptions, so the most critical come first."
)

JUMPING_BACK_FORTH_BETWEEN = (
    "Jumping back and forth between panels loses the place; a steady scan does not."
)

AS_FAR_AS_SYSTEMS = "As far as the systems allow, a list follows the panels."

NUMBER_WRITTEN_INTO_LIST = "A number written into a list does not change with the flight data."

NOBODY_CAN_POINT_PANEL = "Nobody can point at a panel without a place."

NO_SET_UP_ASKS_IT = "Its author believes that this line is asked, but no set-up asks it."

CONDITION_ALWAYS_TRUE_USUALLY = "A condition that is always true usually hides a mistake."

CONDITIONS_OVERLAP_ASK_SAME = "Conditions that overlap ask the same thing twice."

NO_ANSWER_LEADS_HERE = "Its author believes that this line is asked, but no answer leads to it."

DRILL_STOPS_WITHOUT_SAYING = (
    "A drill that stops without saying how it ended leaves the crew to guess."
)

QUESTION_DECIDES_NOTHING_COSTS = "A question that decides nothing costs time when there is none."

CONDITION_TOO_COMPLICATED_FOLLOW = "A condition too complicated to follow is set up wrongly."

DELETE_FROM_ALLOW = "Delete it from `allow:`."
