"""Microphones, speakers, voices, and the tests of them."""

from __future__ import annotations

from pathlib import PurePath

NO_VOICE_TO_FILE = "No installed voice can speak into a file."

HEARD_AS_ANOTHER_HINT = (
    "Choose a reply with different vowels or one more word, and test it yourself: callout hear."
)


def could_not_say(program: str, words: str) -> str:
    return f"{program} could not say {words!r}."


NO_SPEECH = "There is no speech in it."

TOOL_VOICE_INTRODUCTION = "This is the voice that reads your challenges."

TOOL_VOICE_SILENCE = "While it speaks, please say nothing."

SAMPLE_CHALLENGES = "Parking brake. Fuel selectors. Altimeters."

SAMPLE_REPLY = "Doors and windows, closed and locked."

TOOL_VOICE_REMOVAL = "Callout is now removing it from what the microphone hears."

SAMPLE_CONTROLS = "Flight controls, full and free."

SAMPLE_DIGITS = "One eight seven zero, six five four three."

SAMPLE_COMPLETION = "Before start checklist complete."

VOICE_DOES_NOT_REACH = "The voice does not reach the microphone."


def voice_removed_by(
    voice_db: float, delay_ms: int | None, left_db: float, removed_db: float
) -> str:
    return (
        f"The voice arrives at {voice_db:.0f} dB, {delay_ms} ms late. Callout removes "
        f"{left_db:.0f} dB of it and leaves {removed_db:.0f} dB."
    )


ECHO_REMAINS = "That is not enough: answer after the challenge, or use a headset."

VOICE_NOT_PLAYED = "The voice could not be played."

UNKNOWN_WORD_HINT = "Use another word, or put what is heard instead under `synonyms:`."


def output_unwritable(why: str) -> str:
    return f"The output cannot be written: {why}."


OUTPUT_HINT = "Send it somewhere else."

OUTPUT_FILE_HINT = "Name another file, or free some space."


def sounddevice_missing(error: Exception) -> str:
    return f"The sounddevice library is not installed ({error})."


def portaudio_unusable(error: Exception) -> str:
    return f"PortAudio cannot be used: {error}."


def device_not_opened(kind: str, name: str, why: str) -> str:
    return f"The {kind} {name} cannot be opened: {why}."


def there_is_no(kind: str) -> str:
    return f"There is no {kind}."


def no_device_called(kind: str, name: str) -> str:
    return f'There is no {kind} called "{name}".'


def there_are(listed: str) -> str:
    return f"There are: {listed}."


def several_devices_match(kind: str, name: str) -> str:
    return f'More than one {kind} matches "{name}".'


def say_which(names: str) -> str:
    return f"Name one of them: {names}."


def system_install(names: str) -> str:
    return f"Install {names} with your system's package manager."


def weights_missing(whose: str) -> str:
    return f"{whose} weights are missing from this installation."


def voice_failed(error: Exception) -> str:
    return f"The voice failed: {error}."


VOICE_DID_NOT_START = "The voice did not start in time."

VOICE_NOT_LOADED = "The voice could not be loaded."


def voice_not_loaded(error: Exception) -> str:
    return f"The voice could not be loaded: {error}."


def voice_refuses(name: str, value: str) -> str:
    return f"The voice refuses the {name} {value}."


VOICE_MADE_NO_SOUND = "The voice made no sound."


def speaker_refuses_sound(name: str) -> str:
    return f"The speaker {name} no longer accepts sound."


def could_not_play(name: str) -> str:
    return f"{name} could not play."


def no_voice_starts(reason: str) -> str:
    return f"No voice can be started: {reason}."


VOICE_SAID_NOTHING = "The voice returned without speaking."


def no_wav_file(place: PurePath) -> str:
    return f"There is no WAV file in {place}."


NO_WAV_HINT = "Name a WAV file or a folder."

SECOND_WEIGHTS_MISSING = "The weights of the second opinion are not installed."


def not_the_published_file(path: PurePath) -> str:
    return f"{path} is not the published file."


def name_of_a_voice(longest: int) -> str:
    return (
        f"Begin with a letter or digit. Use up to {longest} letters of any language, "
        "digits, spaces and - _ ' ."
    )


def enrolled_voices(there: str) -> str:
    return f"Enrolled voices: {there}. "


def no_voice_enrolled_as(name: str) -> str:
    return f'No voice is enrolled as "{name}".'


def file_not_deleted(path: PurePath, error: Exception) -> str:
    return f"{path} cannot be deleted: {error}."


def no_vosk_model(path: PurePath | str) -> str:
    return f"There is no Vosk model folder {path}."


def vosk_model_incomplete(path: PurePath, missing: str) -> str:
    return f"{path} is not a complete Vosk model: {missing} missing."


def vosk_could_not_load(folder: PurePath, reason: str) -> str:
    return f"Vosk could not load the model in {folder}{reason}."


VOSK_COULD_NOT_START = "Vosk could not start on its model: the model is damaged or memory ran out."


def vosk_does_not_start(error: Exception) -> str:
    return f"The Vosk library does not start here: {error}."


def loads_but_cannot_hear(error: Exception) -> str:
    return f"It loads but cannot hear: {error}."


WAV_HINT = "Record it again, or save it from a sound editor as 16-bit PCM WAV."
