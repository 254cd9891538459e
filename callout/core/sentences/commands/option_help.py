"""Help of the options: sessions, sound, models, the page and settings."""

from __future__ import annotations

HOW_YOU_REPLY_KEYBOARD = "How you reply; the keyboard always works."

MICROPHONE_USE_CALLOUT_DEVICES = "Microphone to use; `callout devices` lists them."

RECOGNISER_USE = "Recogniser to use."

RECORDINGS_FOR_MICROPHONE = (
    "Recording, or folder of recordings, to use instead of the microphone; may repeat."
)

READ_CHALLENGES_ALOUD_ONLY = "Read challenges aloud, or only show them."

WHEN_TO_REVEAL = (
    "When a wrong or unclear reply reveals the right one (default: at once in a list, "
    "after the second miss in a drill)."
)

ONE_LINE_PER_EVENT = "One line per event, for screen readers and pipes."

TWO_PEOPLE_ONE_CHALLENGES = (
    "Two people: one challenges, the other responds, and the tool checks both."
)

HOW_TOOL_FOLLOWS_FLOW = (
    "How the tool follows a flow: timed only, panel by panel, or asked from memory."
)

STAGE_LEARNING_FLOW_1 = (
    "Stage of learning the flow: 1 all controls and why, 2 exceptions, 3 each control "
    "from memory, 4 against the clock; next: the stage that is due."
)

ALSO_SHOW_SESSION_ON = "Also show the session on a web page, on this machine only."

GLANCE_ADDRESS = "The same page, at one address of this machine; only that network can open it."

PORT_PAGE = "Port of the page."

RECORDED_STATE = (
    "Check replies against a recorded stream of the aircraft's state: your own file, "
    "or a shipped one such as sandling-two/before-start."
)

CHECK_REPLIES_AGAINST_LIVE = "Check replies against the live state from a bridge on this machine."

WATCH_UNTIL_NEXT_LIST = (
    "With recorded or live state: warn if a control set correctly moves again before the next list."
)

PORT_BRIDGE_SENDS = "Port that the bridge sends to."

PRINT_SCRIPT_WRITE_NOTHING = "Print the script and write nothing."

RUN_FULL_SPEED_WITHOUT = "Run at full speed, without the voice."

SHOW_CHALLENGES_WITHOUT_SPEAKING = "Show the challenges without speaking them."

DRAW_FULL_SCREEN_LIVE = "Draw the full screen of a live session."

ANSWER_YOURSELF_MOVE_SWITCHES = (
    "Answer yourself, and move the switches of a simulated aircraft in a browser."
)

PANEL_WHICH_SHIPPED_LIST = "With --panel: which shipped list."

PRINT_ONE_JSON_OBJECT = "Print one JSON object."

SAY_WHERE_YOUR_DATA = "Say where your data are, and how to upgrade and uninstall."

KIND_EXERCISE_MIXED_PICKS = (
    'Kind of exercise; "mixed" picks the kind that fits each item\'s errors.'
)

LONGEST_DRILL_MINUTES = "Longest drill, in minutes."

WHO_PRACTISING_DEFAULT_CREW = "Who is practising (default: crew.name)."

FOLDER_JOURNALS_FROM_ANOTHER = "Folder of journals from another machine, to count too; may repeat."

HOW_LISTS_WENT_COLLECTION = "Read how lists went from a collection instead of journals."

SHOW_WHAT_DRILL_WOULD = "Show what the drill would contain and why, without starting it."

SHOW_SHORT_DRILL_ON = "Show a short drill on recorded replies."

DEMO_RUN_FULL_SPEED = "With --demo: run at full speed."

FLIGHT_DATA_DEFAULT_FLIGHT = "Flight data [default: flight.yaml in the folder]."

OPERATOR_OVERLAY_MAY_REPEAT = "Operator overlay; may repeat."

BEGIN_FLIGHT_LIST = "Begin the flight with this list."

TAKE_OVER_AIRCRAFT_AS = (
    'Take over the aircraft as it stands ("powered, fuelled"); nothing done before counts.'
)

ASK_MEMORY_ITEMS_RANDOM = (
    "Ask for memory items at random between lists; otherwise only when you ask for them."
)

SPRING_MEMORY_NUMBER_REPEATS = "With --spring-memory: a number that repeats the same choices."

ACCEPTED_REPLY_MAY_REPEAT = "An accepted reply; may repeat."

WRONG_REPLIES_TELL_APART = 'Wrong replies to tell apart from it, such as "off|up".'

ENROLLED_VOICE_SPEAKER = "Enrolled voice of the speaker."

REPLIES_WOULD_WRONG_SUCH = 'Replies that would be wrong, such as "off|up".'

REPLY_KNOWN_WRONG_SUCH = 'A reply known to be wrong, such as "flaps 15" or "flaps 15: why".'

CHALLENGE_AS_SPOKEN_REPLY = "The challenge as spoken; the reply may echo its words."

BARE_CHECKED_SET_NOT = 'A bare "checked" or "set" is not enough.'

ACCEPTED_REPLY_ITEM_BEFORE = "An accepted reply to the item before."

ACCEPTED_REPLY_ITEM_AFTER = "An accepted reply to the item after."

ANOTHER_UNIT_ACCEPT_SUCH = 'Another unit to accept, such as "inHg".'

FILE_JSON_LINES_JUDGE = 'File of JSON lines to judge; "-" reads standard input.'

PRINT_ONE_LINE_JSON = "Print one line of JSON."

SHOW_WHICH_WORDS_WHICH = "Show which words and which rule decided."

MENU_IN_TERMINAL = "Without a command: choose in the terminal instead of on the page."

SHOW_FULL_TRACEBACK_IF = "Show the full traceback if there is an error."

MICROPHONE_USE_OTHERWISE_YOU = "Microphone to use (otherwise you are asked)."

MEASURE_WHETHER_YOU_CAN = "Measure whether you can answer while the tool speaks, without a headset."

SAVE_MICROPHONE_NEWLY_ENROLLED = (
    "Save this microphone, and a newly enrolled voice, in your settings."
)

ENROL_VOICE_YOU_SAY = "Enrol a voice: you say common words, and callout learns how you say them."

NUMBER_TAKES_EACH_WORD = "Number of takes of each word."

ALSO_KEEP_ENROLLED_WORDS = (
    "Also keep the enrolled words as sound; otherwise only features are kept."
)

LIST_ENROLLED_VOICES = "List the enrolled voices."

DELETE_ENROLLED_VOICE = "Delete an enrolled voice."

NO_MOVING_METER = "One line per event, without the moving meter."

JSON_AT_THE_END = "Print one JSON object at the end."

NAME_MODEL_DEFAULT_PUBLISHERS = "Name for the model (default: its publisher's name)."

LANGUAGE_SUCH_AS_EN = "Language, such as en-us, if the name does not show it."

REPLACE_INSTALLED_MODEL_NAME = "Replace an installed model of that name."

LOAD_ONCE_SEPARATE_PROCESS = "Load it once in a separate process to test it (default)."

JSON_PER_MODEL = "Print one JSON object per model."

CHECKSUM_FROM_PUBLISHER_FILE = "Checksum from the publisher; a file that differs is refused."

PORT_PAGE_DEFAULT_8750 = "Port of the page [default: 8750]."

OPEN_BROWSER_ONLY_PRINT = "Open a browser, or only print the address."

FLIGHT_DATA_BESIDE_LIST = "Flight data [default: flight.yaml beside the list]."

TAKE_OVER_FROM_ANOTHER = (
    "Take over from another crew: nothing done before counts, and every item is asked."
)

FOLDER_PUT_INSTEAD_DESKTOP = "Folder to put it in instead of the desktop."

REMOVE_AGAIN = "Remove it again."

REPLACE_ONE_THERE = "Replace the one that is there."

STOP_WHEN_ORDERS_END = "Stop when the orders end, instead of at Ctrl-C."

STOP_AFTER_MANY_SECONDS = "Stop after this many seconds."
