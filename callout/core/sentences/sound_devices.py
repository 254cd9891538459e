"""Microphones, speakers, voices, and the tests of them."""

from __future__ import annotations

NO_INSTALLED_VOICE_CAN = "No installed voice can speak into a file."

CHOOSE_REPLY_DIFFERENT_VOWELS = (
    "Choose a reply with different vowels or one more word, and test it yourself: callout hear."
)


def could_not_say(program: object, words: object) -> str:
    return f"{program} could not say {words!r}."


NO_SPEECH = "There is no speech in it."

VOICE_READS_YOUR_CHALLENGES = "This is the voice that reads your challenges."

WHILE_SPEAKS_PLEASE_SAY = "While it speaks, please say nothing."

PARKING_BRAKE_FUEL_SELECTORS = "Parking brake. Fuel selectors. Altimeters."

DOORS_WINDOWS_CLOSED_LOCKED = "Doors and windows, closed and locked."

VOICE_BEING_REMOVED = "Callout is now removing it from what the microphone hears."

FLIGHT_CONTROLS_FULL_FREE = "Flight controls, full and free."

ONE_EIGHT_SEVEN_ZERO = "One eight seven zero, six five four three."

BEFORE_START_CHECKLIST_COMPLETE = "Before start checklist complete."

VOICE_DOES_NOT_REACH = "The voice does not reach the microphone."


def voice_removed_by(voice_db: float, delay_ms: object, left_db: float, removed_db: float) -> str:
    return (
        f"The voice arrives at {voice_db:.0f} dB, {delay_ms} ms late. Callout removes "
        f"{left_db:.0f} dB of it and leaves {removed_db:.0f} dB."
    )


NOT_ENOUGH_ANSWER_AFTER = "That is not enough: answer after the challenge, or use a headset."

VOICE_COULD_NOT_PLAYED = "The voice could not be played."

USE_ANOTHER_WORD_PUT = "Use another word, or put what is heard instead under `synonyms:`."


def output_cannot_written(why: object) -> str:
    return f"The output cannot be written: {why}."


SEND_SOMEWHERE_ELSE = "Send it somewhere else."

NAME_ANOTHER_FILE_FREE = "Name another file, or free some space."


def sounddevice_library_not_installed(error: object) -> str:
    return f"The sounddevice library is not installed ({error})."


def portaudio_cannot_used(error: object) -> str:
    return f"PortAudio cannot be used: {error}."


def device_cannot_be_opened(kind: object, name: object, why: object) -> str:
    return f"The {kind} {name} cannot be opened: {why}."


def there_is_no(kind: object) -> str:
    return f"There is no {kind}."


def no_device_called(kind: object, name: object) -> str:
    return f'There is no {kind} called "{name}".'


def there_are(listed: object) -> str:
    return f"There are: {listed}."


def several_devices_match(kind: object, name: object) -> str:
    return f'More than one {kind} matches "{name}".'


def say_which(names: object) -> str:
    return f"Name one of them: {names}."


def install_your_systems_package(names: object) -> str:
    return f"Install {names} with your system's package manager."


def weights_missing_from_installation(whose: object) -> str:
    return f"{whose} weights are missing from this installation."


def voice_failed(error: object) -> str:
    return f"The voice failed: {error}."


VOICE_DID_NOT_START = "The voice did not start in time."

VOICE_COULD_NOT_LOADED = "The voice could not be loaded."


def voice_could_not_loaded(error: object) -> str:
    return f"The voice could not be loaded: {error}."


def voice_refuses(name: object, value: object) -> str:
    return f"The voice refuses the {name} {value}."


VOICE_MADE_NO_SOUND = "The voice made no sound."


def speaker_no_longer_accepts(name: object) -> str:
    return f"The speaker {name} no longer accepts sound."


def could_not_play(name: object) -> str:
    return f"{name} could not play."


def no_voice_can_started(reason: object) -> str:
    return f"No voice can be started: {reason}."


VOICE_RETURNED_WITHOUT_SPEAKING = "The voice returned without speaking."


def no_wav_file(place: object) -> str:
    return f"There is no WAV file in {place}."


NAME_WAV_FILE_FOLDER = "Name a WAV file or a folder."

WEIGHTS_SECOND_OPINION_NOT = "The weights of the second opinion are not installed."


def not_published_file(path: object) -> str:
    return f"{path} is not the published file."


def name_of_a_voice(longest: object) -> str:
    return (
        f"Begin with a letter or digit. Use up to {longest} letters of any language, "
        "digits, spaces and - _ ' ."
    )


def enrolled_voices(there: object) -> str:
    return f"Enrolled voices: {there}. "


def no_voice_enrolled_as(name: object) -> str:
    return f'No voice is enrolled as "{name}".'


def cannot_deleted(path: object, error: object) -> str:
    return f"{path} cannot be deleted: {error}."


def no_vosk_model(path: object) -> str:
    return f"There is no Vosk model folder {path}."


def not_complete_vosk_model(path: object, missing: object) -> str:
    return f"{path} is not a complete Vosk model: {missing} missing."


def vosk_could_not_load(folder: object, reason: object) -> str:
    return f"Vosk could not load the model in {folder}{reason}."


VOSK_COULD_NOT_START = "Vosk could not start on its model: the model is damaged or memory ran out."


def vosk_library_does_not(error: object) -> str:
    return f"The Vosk library does not start here: {error}."


def loads_but_cannot_hear(error: object) -> str:
    return f"It loads but cannot hear: {error}."


RECORD_AGAIN_SAVE_FROM = "Record it again, or save it from a sound editor as 16-bit PCM WAV."
