"""About microphones, voices and the room."""

from __future__ import annotations

VOICE_OVERLOADS = "Your voice overloads the microphone. Turn its input level down."


def voice_too_quiet(speech_db: float) -> str:
    return f"Your voice is too quiet ({speech_db:.0f} dB). Come closer, or turn the input level up."


def voice_near_noise(snr_db: float) -> str:
    return (
        f"Your voice is only {snr_db:.0f} dB above the noise. Move the microphone closer to "
        "your mouth, use a headset, or turn off whatever hums."
    )


def blocks_lost(said: str) -> str:
    return f"{said} lost. Close other programs."


NO_LONGER_OVERLOADS = "Your voice no longer overloads the microphone."

LOUD_ENOUGH_NOW = "Your voice is loud enough now."

NO_SOUND_LOST_NOW = "No more sound is being lost."

ROOM_ECHOES = (
    "The room echoes. Come closer to the microphone, use a headset, or choose a room "
    "with curtains and carpet."
)

WORKS_WELL = "This will work well here."

WORKS_WITH_REPEATS = "This will work here, but some replies will be asked again."

BARELY_WORKS = "This barely works here: many replies will be asked again."

DOES_NOT_WORK = "Voice replies will not work here as things are. The keyboard always works."


def share_accepted_at(least: float, share: int) -> str:
    return (
        f"At {least:.0f} dB or more above the noise, {share} of 100 words from new speakers "
        "are accepted first time."
    )


NO_SOUND_AT_ALL = (
    "There is no sound at all. The microphone may be muted or switched off, its input "
    "level may be at zero, or it may be the wrong microphone."
)

NO_WORD_HEARD = "No word was heard. Is this the right microphone, and is it switched on?"


def offset_removed(offset_db: float) -> str:
    return (
        f"The device adds a constant offset ({offset_db:.0f} dB). It is removed and does no harm."
    )


SPEAK_MORE_SLOWLY = "Speak a little more slowly. If your words are often missed, enrol your voice."


def levels_measured(voice: str, noise: str, snr: str) -> str:
    return f"Voice {voice}, noise {noise}, voice over noise {snr}."


def words_understood(right: int, words: int) -> str:
    return f"Understood first time: {right} of {words} words."


def keep_quiet(quiet_s: float) -> str:
    return f"Say nothing for {quiet_s:.0f} seconds while the noise is measured."


SAY_EACH_WORD = "Now say each word as you would reply to a checklist."

LEARNING_VOICE = "Learning this voice. This takes a few seconds."

NOTHING_HEARD = "Nothing was heard."


def mistaken_for(text: str) -> str:
    return f'Mistaken for "{text}".'


def not_sure_heard(said: str) -> str:
    return f'Not sure (heard "{said}").'


def too_few_words(understood: int, asked: int) -> str:
    return f"Only {understood} of {asked} words were understood, so nothing was kept."


TRY_MICROPHONE_FIRST = "Try the microphone first: callout mic"

TOO_SHORT = "That was too short."


def sounded_like(text: str) -> str:
    return f'That sounded like "{text}".'


NOT_CLEAR = "That was not clear."


def sounded_like_enrolled(near: str) -> str:
    return f'That sounded like your "{near}".'


UNLIKE_OTHER_TAKE = "That did not sound like your other take."


def same_voice_twice(left: str) -> str:
    return f'crew.left and crew.right are both "{left}".'


NAME_TWO_VOICES = "Name two enrolled voices."


def listening_cannot_start(error: Exception) -> str:
    return f"Listening cannot start ({error})."


def listening_failed(error: Exception) -> str:
    return f"Listening failed ({error})."


SOURCE_ENDED = "The sound source has ended."

CONTINUE_ON_KEYBOARD = "Continue on the keyboard."


def microphone_stopped(name: str, why: str) -> str:
    return f"The microphone {name} has stopped sending sound{why}."


PLUG_IN_AGAIN = "Plug it in again, or answer on the keyboard."


def portaudio_cannot_start_again(error: Exception) -> str:
    return f"PortAudio cannot start again: {error}."


def microphones_not_listed(error: Exception) -> str:
    return f"The microphones cannot be listed: {error}."


NETWORK_WARNING = (
    "Anyone on this network who has the code can see and control the list, and nothing "
    "is encrypted. Use it only on a network you trust."
)
