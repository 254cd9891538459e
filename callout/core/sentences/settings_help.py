"""What each setting means, and what is wrong with a settings file."""

from __future__ import annotations

from pathlib import PurePath

SAFETY = (
    "For simulation, study and briefing only. The aircraft's approved manual, the "
    "operator's procedures and the licensed crew always rule."
)

PACING_GLANCE = "Seconds; a faster reply is marked as too fast to have looked."

PACING_SLOW = "Seconds; a slower reply is marked as slow."

PACING_SILENCE = "Seconds of silence before the challenge is repeated; 0: never."

PACING_TAIL = "Seconds between the end of the voice and the start of listening."

PACING_COMPLETION = "Who makes the completion call: the tool or the person."

PACING_FLOW = (
    "How the tool follows a flow: timed only, or in a stage of learning; next: the "
    "stage that is due."
)

PACING_MEMORY = "Whether you recite memory items first, or hear them read like other items."

PACING_REVEAL = "When a refusal reveals the right reply."

HEARING_HEADSET = "You wear a headset, so you can answer while a challenge is being read."

HEARING_TALK_OVER = (
    "Answer during the challenge without a headset: callout removes its built-in voice "
    "from what the microphone hears. Try it first: `callout mic --tool-voice`."
)

HEARING_MICROPHONE = "Name of the microphone; `callout devices` lists them."

HEARING_VOICE = "Your voice profile from `callout mic --enrol`."

HEARING_KEEP_SOUND = (
    "Keep the sound of each reply beside the journal, on this machine, readable by you alone, "
    "so that a debrief can play it; forgetting a session removes it."
)

CREW_LEFT = "Voice profile of the person in the left seat."

CREW_RIGHT = "Voice profile of the person in the right seat."

VOICE_SPEAK = "Read challenges aloud."

VOICE_RATE = "Speed of the voice, in words per minute."

VOICE_VOLUME = "Volume of the voice; 1 is full."

VOICE_NAME = (
    'The voice: "built-in", "built-in low", "platform" for your system\'s usual voice, '
    "or the name of one of your system's voices."
)

VOICE_TONES = "Play a short tone with each verdict."

CREW_SIZE = "How many people answer."

CREW_CHALLENGES = "Who reads the challenges: the tool or the other pilot."

CREW_FLYING = "Which seat is the pilot flying."

CREW_NAME = "Name of this crew; items due once per crew depend on it."

SIMULATOR_LACKS = (
    "Parts that your simulator does not have, separated by commas; their items are skipped."
)

SCREEN_COLOURS = "Colours of the screen."

JOURNAL_FOLDER = "Journal folder; empty: your data folder."


def settings_unreadable(path: PurePath, error: Exception) -> str:
    return f"The settings {path} cannot be read: {error}."


def not_toml(path: PurePath, error: Exception) -> str:
    return f"{path} is not TOML: {error}."


SETTINGS_FILE_HINT = "Correct or rename it."


def outside_a_table(file: str, key: str) -> str:
    return f"{file}: {key} is outside a table."


def not_a_setting(file: str, key: str) -> str:
    return f'{file}: "{key}" is not a setting.'


def must_be_one_of(file: str, key: str, names: str) -> str:
    return f"{file}: {key} must be one of: {names}."


def must_be(file: str, key: str, wanted: str) -> str:
    return f"{file}: {key} must be {wanted}."


def must_be_from_to(file: str, key: str, kind: str, least: float, most: float) -> str:
    return f"{file}: {key} must be {kind} from {least:g} to {most:g}."


def settings_are(names: str) -> str:
    return f"Settings are: {names}."


def no_setting(key: str) -> str:
    return f'There is no setting "{key}".'


def settings_not_saved(path: PurePath, error: Exception) -> str:
    return f"The settings {path} cannot be changed: {error}."


SHORT_SAFETY = "For simulation, study and briefing only."
