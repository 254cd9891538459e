"""Help of the options: sessions, sound, models, the page and settings."""

from __future__ import annotations

HEARING = "How you reply; the keyboard always works."

MICROPHONE = "Microphone to use; `callout devices` lists them."

ENGINE = "Recogniser to use."

REPLIES = "Recording, or folder of recordings, to use instead of the microphone; may repeat."

KEEP_SOUND = (
    "Keep the sound of each reply beside the journal, for the debrief; nobody else can read it "
    "and it stays on this machine [default: as set, usually not]."
)

VOICE = "Read challenges aloud, or only show them."

REVEAL = (
    "When a wrong or unclear reply reveals the right one [default: at once in a list, "
    "after the second miss in a drill]."
)

PLAIN = "One line per event, for screen readers and pipes."

CREW_CHALLENGES = "Two people: one challenges, the other responds, and the tool checks both."

FLOW = "How the tool follows a flow: timed only, panel by panel, or asked from memory."

STAGE = (
    "Stage of learning the flow: 1 all controls and why, 2 exceptions, 3 each control "
    "from memory, 4 against the clock; next: the stage that is due."
)

GLANCE = "Also show the session on a web page, on this machine only."

GLANCE_ADDRESS = "The same page, at one address of this machine; only that network can open it."

GLANCE_PORT = "Port of the page."

STATE = (
    "Check replies against a recorded stream of the aircraft's state: your own file, "
    "or a shipped one such as sandling-two/before-start."
)

BRIDGE = "Check replies against the live state from a bridge on this machine."

WATCH = (
    "With recorded or live state: warn if a control set correctly moves again before the next list."
)

STATE_PORT = "Port that the bridge sends to."

COMPLETION_PRINT = "Print the script and write nothing."

DEMO_FAST = "Run at full speed, without the voice."

DEMO_SILENT = "Show the challenges without speaking them."

DEMO_SCREEN = "Draw the full screen of a live session."

DEMO_PANEL = "Answer yourself, and move the switches of a simulated aircraft in a browser."

DEMO_LIST = "With --panel: which shipped list."

JSON = "Print one JSON object."

DOCTOR_PLACES = "Say where your data are, and how to upgrade and uninstall."

DRILL_MODE = 'Kind of exercise; "mixed" picks the kind that fits each item\'s errors.'

DRILL_MINUTES = "Longest drill, in minutes."

DRILL_PERSON = "Who is practising [default: crew.name]."

DRILL_ALSO = "Folder of journals from another machine, to count too; may repeat."

DRILL_FROM = "Read how lists went from a collection instead of journals."

DRILL_SHOW = "Show what the drill would contain and why, without starting it."

DRILL_DEMO = "Show a short drill on recorded replies."

DRILL_FAST = "With --demo: run at full speed."

FLY_FLIGHT = "Flight data [default: flight.yaml in the folder]."

OVERLAY = "Operator overlay; may repeat."

FLY_FIRST = "Begin the flight with this list."

FLY_AS_FOUND = (
    'Take over the aircraft as it stands ("powered, fuelled"); nothing done before counts.'
)

FLY_SPRING_MEMORY = (
    "Ask for memory items at random between lists; otherwise only when you ask for them."
)

FLY_SEED = "With --spring-memory: a number that repeats the same choices."

EXPECT = "An accepted reply; may repeat."

HEAR_AGAINST = 'Wrong replies to tell apart from it, such as "off|up".'

HEAR_ENROLLED = "Enrolled voice of the speaker."

JUDGE_AGAINST = 'Replies that would be wrong, such as "off|up".'

JUDGE_WRONG = 'A reply known to be wrong, such as "flaps 15" or "flaps 15: why".'

JUDGE_CHALLENGE = "The challenge as spoken; the reply may echo its words."

JUDGE_ACTUAL_STATUS = 'A bare "checked" or "set" is not enough.'

JUDGE_PREVIOUS = "An accepted reply to the item before."

JUDGE_FOLLOWING = "An accepted reply to the item after."

JUDGE_OTHER_UNIT = 'Another unit to accept, such as "inHg".'

JUDGE_BATCH = 'File of JSON lines to judge; "-" reads standard input.'

JUDGE_JSON = "Print one line of JSON."

JUDGE_WHY = "Show which words and which rule decided."

APP_TERMINAL = "Without a command: choose in the terminal instead of on the page."

APP_DEBUG = "Show the full traceback if there is an error."

MIC_MICROPHONE = "Microphone to use [default: you are asked]."

MIC_TOOL_VOICE = "Measure whether you can answer while the tool speaks, without a headset."

MIC_SAVE = "Save this microphone, and a newly enrolled voice, in your settings."

MIC_ENROL = "Enrol a voice: you say common words, and callout learns how you say them."

MIC_TAKES = "Number of takes of each word."

MIC_KEEP_RECORDINGS = "Also keep the enrolled words as sound; otherwise only features are kept."

MIC_VOICES = "List the enrolled voices."

MIC_FORGET = "Delete an enrolled voice."

MIC_PLAIN = "One line per event, without the moving meter."

MIC_JSON = "Print one JSON object at the end."

MODEL_NAME = "Name for the model [default: its publisher's name]."

MODEL_LANGUAGE = "Language, such as en-us, if the name does not show it."

MODEL_REPLACE = "Replace an installed model of that name."

MODEL_TRIAL = "Load it once in a separate process to test it [default]."

MODEL_LIST_JSON = "Print one JSON object per model."

MODEL_DOWNLOAD_SHA256 = "Checksum from the publisher; a file that differs is refused."

PAGE_PORT = "Port of the page [default: 8750]."

PAGE_BROWSER = "Open a browser, or only print the address."

RUN_FLIGHT = "Flight data [default: flight.yaml beside the list]."

RUN_TAKE_OVER = "Take over from another crew: nothing done before counts, and every item is asked."

SHORTCUT_INTO = "Folder to put it in instead of the desktop."

SHORTCUT_REMOVE = "Remove it again."

SHORTCUT_REPLACE = "Replace the one that is there."

STATE_AIRCRAFT_TO_THE_END = "Stop when the orders end, instead of at Ctrl-C."

STATE_RECORD_SECONDS = "Stop after this many seconds."
