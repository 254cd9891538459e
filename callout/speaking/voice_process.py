"""The child process behind the voice: one JSON request a line in, one JSON reply a line out.

Requests: ``say`` (text, rate, volume, voice), ``tone`` (verdict, volume), ``voices``, ``probe``.
Replies always hold ``ok``; ``error`` and ``hint`` when it is False. The process ends when its
input does, even in the middle of a word, so that no voice outlives the session.
"""

from __future__ import annotations

import json
import os
import queue
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import IO, Any

from callout.core.sentences import sound_devices as sentences
from callout.errors import CalloutError, EngineUnavailable
from callout.speaking.espeak_file import EspeakFile

Request = dict[str, Any]
Reply = dict[str, Any]

_SHORTEST_WORD_S = 0.03
"""No voice says a word faster, at the highest rate that can be set."""


class _Voice:
    """The platform's engine, started on first use."""

    def __init__(self, scratch: Path) -> None:
        self._sound = scratch / "speech.wav"
        self._engine: Any = None
        self._espeak: EspeakFile | None = None
        self._voices: list[Reply] = []
        self._wanted = self._note = ""
        self._default: object = None

    def engine(self) -> Any:
        if self._engine is None:
            try:
                import pyttsx3

                self._engine = pyttsx3.init()
                if self._engine.driver_name == "espeak":
                    self._espeak = EspeakFile(self._engine)
            except Exception as error:  # each platform's driver fails in its own way
                reason = str(error).rstrip("!. ")
                raise EngineUnavailable(sentences.no_voice_starts(reason)) from error
        return self._engine

    def voices(self) -> list[Reply]:
        if not self._voices:
            self._voices = [_describe_voice(voice) for voice in self.engine().getProperty("voices")]
        return self._voices

    def say(self, request: Request) -> Reply:
        engine = self.engine()
        note = self._use_voice(str(request.get("voice") or ""))
        self._set("rate", int(request.get("rate", 180)))
        self._set("volume", float(request.get("volume", 1.0)))
        self._speak(engine, str(request["text"]))
        return {"note": note} if note else {}

    def _use_voice(self, wanted: str) -> str:
        """Choose a voice, or the platform's own for none; return a note if there is no such."""
        from callout.speaking.choice import choose_voice

        if wanted == self._wanted:
            return self._note
        self._default = self._default or self.engine().getProperty("voice")
        found = choose_voice(self.voices(), wanted)
        self._set("voice", found["id"] if found else self._default)
        self._wanted = wanted
        self._note = f'there is no voice called "{wanted}"' if wanted and not found else ""
        return self._note

    def _set(self, name: str, value: object) -> None:
        if self._espeak:
            self._espeak.set(name, value)
        else:
            self.engine().setProperty(name, value)

    def _speak(self, engine: Any, text: str) -> None:
        if not self._espeak:
            _speak_natively(engine, text)
            return
        self._espeak.write(text, self._sound)
        _play_file(self._sound)


def _speak_natively(engine: Any, text: str) -> None:
    """Let the platform play; a second run that returns at once without a sound is a known fault."""
    started = time.monotonic()
    engine.say(text)
    engine.runAndWait()
    if time.monotonic() - started < _SHORTEST_WORD_S * len(text.split()):
        raise EngineUnavailable(sentences.VOICE_SAID_NOTHING)


def _describe_voice(voice: Any) -> Reply:
    languages = [
        lang.decode(errors="replace") if isinstance(lang, bytes) else str(lang)
        for lang in (voice.languages or [])
    ]
    return {
        "id": str(voice.id),
        "name": str(voice.name),
        "languages": [lang.strip("\x00\x02\x05 ") for lang in languages],
    }


def _play_file(path: Path) -> None:
    from callout.speaking import player

    try:
        samples, rate = player.read_mono(path)
        player.play_samples(player.without_tail(samples, rate), rate)
    except EngineUnavailable:
        if not _play_by_program(path):
            raise


def _play_by_program(path: Path) -> bool:
    from callout import portaudio

    return any(
        subprocess.run([*command, str(path)], capture_output=True, check=False).returncode == 0
        for command in portaudio.installed_players()
    )


def _play_tone(request: Request) -> Reply:
    from callout.core.model.verdict import Verdict
    from callout.speaking import player, tones

    samples = tones.verdict_tone(Verdict(request["verdict"]))
    player.play_samples(samples * float(request.get("volume", 1.0)), tones.RATE)
    return {}


def _probe_voice(voice: _Voice) -> Reply:
    from callout import portaudio

    found = {"engine": getattr(voice.engine(), "driver_name", ""), "voices": len(voice.voices())}
    if found["engine"] != "espeak":
        return found
    try:
        device = portaudio.find_device(portaudio.load_library(), None, output=True)
    except EngineUnavailable:
        if not portaudio.installed_players():
            raise
        return found
    return {**found, "output": device.name}


def answer_request(voice: _Voice, request: Request) -> Reply:
    """Carry out one request; every failure becomes a reply."""
    actions: dict[str, Callable[[], Reply]] = {
        "say": lambda: voice.say(request),
        "tone": lambda: _play_tone(request),
        "voices": lambda: {"voices": voice.voices()},
        "probe": lambda: _probe_voice(voice),
    }
    try:
        return {"ok": True, **actions[request["do"]]()}
    except CalloutError as error:
        return {"ok": False, "error": error.message, "hint": error.hint}
    except Exception as error:  # libraries' own exceptions; the parent must hear of all of them
        return {"ok": False, "error": f"{type(error).__name__}: {error}"}


def _follow_requests(stream: IO[str], requests: queue.Queue[Request], scratch: str) -> None:
    for line in stream:
        requests.put(json.loads(line))
    shutil.rmtree(scratch, ignore_errors=True)  # the parent may have died before it could
    os._exit(0)


def main(scratch: str) -> None:
    """Serve requests from standard input until it ends."""
    replies = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)  # libraries print where the replies go
    stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115 (read until the end)
    requests: queue.Queue[Request] = queue.Queue()
    threading.Thread(target=_follow_requests, args=(stdin, requests, scratch), daemon=True).start()
    voice = _Voice(Path(scratch))
    answer_request(voice, {"do": "probe"})  # loads engine and device before the first word is due
    while True:
        print(json.dumps(answer_request(voice, requests.get())), file=replies, flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
