"""What each setting means, and what is wrong with a settings file."""

from __future__ import annotations

SAFETY = (
    "For simulation, study and briefing only. The aircraft's approved manual, the "
    "operator's procedures and the licensed crew always rule."
)

SECONDS_FASTER_REPLY_MARKED = "Seconds; a faster reply is marked as too fast to have looked."

SECONDS_SLOWER_REPLY_MARKED = "Seconds; a slower reply is marked as slow."

SECONDS_SILENCE_BEFORE_CHALLENGE = "Seconds of silence before the challenge is repeated; 0: never."

SECONDS_BETWEEN_END_VOICE = "Seconds between the end of the voice and the start of listening."

WHO_MAKES_COMPLETION_CALL = "Who makes the completion call: the tool or the person."

HOW_TOOL_FOLLOWS_FLOW = (
    "How the tool follows a flow: timed only, or in a stage of learning; next: the "
    "stage that is due."
)

WHETHER_YOU_RECITE_MEMORY = (
    "Whether you recite memory items first, or hear them read like other items."
)

WHEN_REFUSAL_REVEALS_RIGHT = "When a refusal reveals the right reply."

YOU_WEAR_HEADSET_SO = "You wear a headset, so you can answer while a challenge is being read."

ANSWER_DURING_CHALLENGE_WITHOUT = (
    "Answer during the challenge without a headset: callout removes its built-in voice "
    "from what the microphone hears. Try it first: `callout mic --tool-voice`."
)

NAME_MICROPHONE_CALLOUT_DEVICES = "Name of the microphone; `callout devices` lists them."

YOUR_VOICE_PROFILE_FROM = "Your voice profile from `callout mic --enrol`."

VOICE_PROFILE_PERSON_LEFT = "Voice profile of the person in the left seat."

VOICE_PROFILE_PERSON_RIGHT = "Voice profile of the person in the right seat."

READ_CHALLENGES_ALOUD = "Read challenges aloud."

SPEED_VOICE_WORDS_PER = "Speed of the voice, in words per minute."

VOLUME_VOICE_1_FULL = "Volume of the voice; 1 is full."

VOICE_BUILT_BUILT_LOW = (
    'The voice: "built-in", "built-in low", "platform" for your system\'s usual voice, '
    "or the name of one of your system's voices."
)

PLAY_SHORT_TONE_EACH = "Play a short tone with each verdict."

HOW_MANY_PEOPLE_ANSWER = "How many people answer."

WHO_READS_CHALLENGES_TOOL = "Who reads the challenges: the tool or the other pilot."

WHICH_SEAT_PILOT_FLYING = "Which seat is the pilot flying."

NAME_CREW_ITEMS_DUE = "Name of this crew; items due once per crew depend on it."

PARTS_YOUR_SIMULATOR_DOES = (
    "Parts that your simulator does not have, separated by commas; their items are skipped."
)

COLOURS_SCREEN = "Colours of the screen."

JOURNAL_FOLDER_EMPTY_YOUR = "Journal folder; empty: your data folder."


def settings_cannot_read(path: object, error: object) -> str:
    return f"The settings {path} cannot be read: {error}."


def not_toml(path: object, error: object) -> str:
    return f"{path} is not TOML: {error}."


CORRECT_RENAME = "Correct or rename it."


def outside_a_table(file: object, key: object) -> str:
    return f"{file}: {key} is outside a table."


def not_setting(file: object, key: object) -> str:
    return f'{file}: "{key}" is not a setting.'


def must_one(file: object, key: object, names: object) -> str:
    return f"{file}: {key} must be one of: {names}."


def must_be(file: object, key: object, wanted: object) -> str:
    return f"{file}: {key} must be {wanted}."


def must_be_from_to(file: object, key: object, kind: object, least: float, most: float) -> str:
    return f"{file}: {key} must be {kind} from {least:g} to {most:g}."


def settings_are(names: object) -> str:
    return f"Settings are: {names}."


def no_setting(key: object) -> str:
    return f'There is no setting "{key}".'


def settings_cannot_changed(path: object, error: object) -> str:
    return f"The settings {path} cannot be changed: {error}."


SIMULATION_STUDY_BRIEFING_ONLY = "For simulation, study and briefing only."
