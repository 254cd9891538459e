"""``callout mic`` on recordings: rooms good and bad, a voice enrolled, used and forgotten."""

from __future__ import annotations

import json
import unicodedata
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result

from callout.app.listening import enrolling
from callout.app.listening.crew_voices import crew_voices
from callout.app.listening.room_verdict import WORDS
from callout.app.shared.settings import load_settings
from callout.bench.fixtures import write_wav
from callout.bench.levels import impulse_response
from callout.cli.main import app
from callout.core.model.checklist import Role
from callout.errors import CalloutError
from callout.hearing.cabin_noise import cabin_noise
from callout.hearing.voices import VoiceInvalid
from callout.hearing.wav_file import read_wav
from callout.ports.hearing import SAMPLE_RATE
from tests.hearing.recordings import FOLDER, embedded, recording

pytestmark = pytest.mark.audio

SAID = FOLDER / "mic"
OWN = ("on", "off", "up", "down", "left", "right", "seven", "nine")
"""Words of which there are human recordings: as many as an enrolment needs at least."""


@pytest.fixture(autouse=True, scope="module")
def _weights() -> None:
    embedded().close()


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("CALLOUT_VOICES_DIR", str(tmp_path / "voices"))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "journals"))
    return tmp_path


def mic(*words: object) -> Result:
    return CliRunner().invoke(app, ["mic", *map(str, words)])


def refusal(*words: object) -> str:
    """Return what a person is told by a command that ends with exit code 2."""
    found = mic(*words)
    assert isinstance(found.exception, CalloutError), found.output
    assert found.exception.exit_code == 2
    return f"{found.exception.message} {found.exception.hint}"


def in_one(folder: Path, gain: float = 1.0, noise: float = 0.0) -> Path:
    """Return the five words, two seconds each, as one recording.

    gain: what goes beyond full scale is cut off. noise: root mean square of cabin noise over all.
    """
    sound = np.zeros(2 * SAMPLE_RATE * (len(WORDS) + 1))
    for number, file in enumerate(sorted(SAID.glob("*.wav")), 1):
        word = recording(f"mic/{file.name}")
        sound[2 * SAMPLE_RATE * number :][: len(word)] = word * gain
    sound += cabin_noise(len(sound), seed=5) * noise
    path = folder / "said.wav"
    write_wav(path, np.clip(sound, -32768, 32767).astype(np.int16))
    return path


def echoing(folder: Path, decay_s: float, metres: float) -> Path:
    """Return the five words as from so far away in a made room with that reverberation time."""
    path = in_one(folder)
    sound = read_wav(path).astype(float)
    heard = np.convolve(sound, impulse_response(decay_s, metres))
    write_wav(path, (heard * np.abs(sound).max() / np.abs(heard).max()).astype(np.int16))
    return path


def tried(*replies: Path, code: int = 0) -> dict[str, Any]:
    found = mic("--json", *(f"--replies={path}" for path in replies))
    assert found.exit_code == code, found.output
    return dict(json.loads(found.stdout))


def test_a_good_room_is_told_in_words() -> None:
    found = mic("--replies", SAID)
    assert found.exit_code == 0, found.output
    assert found.output.count("Understood: ") == len(WORDS)
    assert [f"Say: {word.upper()}" in found.output for word in WORDS] == [True] * len(WORDS)
    assert "Understood first time: 5 of 5 words." in found.output
    assert "This will work well here." in found.output
    assert "  - " not in found.output, "there is nothing to put right"
    assert max(map(len, found.output.splitlines())) < 80


def test_a_good_room_as_json_and_the_requests_beside_it() -> None:
    found = mic("--json", "--replies", SAID)
    told = json.loads(found.stdout)
    assert [row["asked"] for row in told["words"]] == list(WORDS)
    assert all(row["understood"] and row["sure"] for row in told["words"])
    assert (told["room"], told["right"], told["advice"]) == ("good", 5, [])
    assert not told["echo"]
    assert told["snr_db"] > 20
    assert "Say: SEVEN" in found.stderr


@pytest.mark.parametrize("noise", [1500.0, 5000.0])
def test_a_noisy_room_is_measured_and_says_what_to_change(folder: Path, noise: float) -> None:
    """Noise of a known level is measured at that level: dB of full scale by definition."""
    told = tried(in_one(folder, noise=noise), code=0 if noise < 3000 else 1)
    assert told["noise_db"] == pytest.approx(20 * np.log10(noise / 32768), abs=1.5)
    assert told["room"] == ("fair" if noise < 3000 else "bad")
    assert any("above the noise" in line for line in told["advice"])


def test_a_clipping_microphone_is_no_good_room_however_much_is_understood(folder: Path) -> None:
    told = tried(in_one(folder, gain=12.0))
    assert told["room"] in ("fair", "poor")
    assert told["clipped"] > 0.01
    assert told["share"] == ""
    assert any("overloads" in line for line in told["advice"])
    assert not any("offset" in line for line in told["advice"]), "a clipped voice has no offset"


def test_a_room_that_echoes_is_named(folder: Path) -> None:
    told = tried(echoing(folder, 0.4, 1.0))
    assert told["echo"]
    assert told["room"] == "fair"
    assert "The room echoes" in told["advice"][0]


def test_a_faint_voice_is_understood_and_told_to_come_closer(folder: Path) -> None:
    told = tried(in_one(folder, gain=0.008, noise=1.0))
    assert told["speech_db"] < -50
    assert told["right"] >= 4
    assert any("too quiet" in line for line in told["advice"])


def test_a_silent_microphone_is_named_as_such_and_ends_soon() -> None:
    found = mic("--plain", "--replies", FOLDER / "sounds/silence.wav")
    assert found.exit_code == 1
    assert "Voice none heard, noise none" in found.output
    assert "no sound at all" in found.output
    assert found.output.count("Say: ") == 1, "nobody is asked for five words in vain"


@pytest.fixture
def few_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(enrolling, "WORDS", OWN)
    monkeypatch.setattr(enrolling, "OTHER_TAKES", 1)


def own_words() -> list[str]:
    numbers = {"seven": "mic/2-seven.wav", "nine": "mic/5-nine.wav"}
    return [f"--replies={FOLDER / numbers.get(w, f'human/{w}.wav')}" for w in OWN]


@pytest.mark.usefixtures("few_words")
def test_voices_are_enrolled_listed_chosen_and_forgotten(folder: Path) -> None:
    """Names as people write them; asked for in capitals and with accents put together apart."""
    kept, voices, settings = folder / "kept", folder / "voices", folder / "settings.toml"
    found = mic("--enrol", "Zoë", "--takes", 1, "--save", "--keep-recordings", kept, *own_words())
    assert found.exit_code == 0, found.output
    assert "Zoë: 8 takes of 8 words." in found.output
    assert [p.stem for p in sorted(kept.iterdir())][:2] == ["001-on", "002-off"]
    assert load_settings().own_voice == "Zoë"
    assert [v.name for v in crew_voices(load_settings()).voices] == ["Zoë"]

    heard = ["hear", str(FOLDER / "human/on.wav"), "--expect", "on", "--enrolled", "zoë"]
    assert "match" in CliRunner().invoke(app, heard).output

    again = mic("--json", "--enrol", "Jürgen Voß", "--takes", 1, "--replies", kept)
    assert again.exit_code == 0, again.output
    assert json.loads(again.stdout)["takes"] == 8
    assert "Jürgen Voß: 8 takes of 8 words\nZoë: 8 takes" in mic("--voices").output
    settings.write_text('[crew]\nleft = "zoë"\nright = "JÜRGEN VOSS"\n', "utf-8")
    seats = crew_voices(load_settings()).seats
    assert seats == {"Zoë": Role.LEFT_SEAT, "Jürgen Voß": Role.RIGHT_SEAT}

    forgotten = mic("--forget", unicodedata.normalize("NFD", "ZOË"))
    assert "settings.toml still names" in forgotten.output
    with pytest.raises(VoiceInvalid, match='No voice is enrolled as "zoë"'):
        crew_voices(load_settings())
    asked = unicodedata.normalize("NFD", "Jürgen Voß")
    empty = {"XDG_DATA_HOME": str(voices.parent / "data")}  # no collection was ever made there
    done = CliRunner(env=empty).invoke(app, ["forget", "--person", asked, "--yes"])
    assert done.exit_code == 0, done.output
    assert "1 enrolled voice" in done.output
    assert not list(voices.iterdir())
    assert settings.read_text("utf-8") == '[crew]\nleft = "zoë"\n'


def test_too_little_said_is_not_kept(folder: Path) -> None:
    told = refusal("--enrol", "Ben", "--replies", SAID, "--takes", 1)
    assert "words were understood, so nothing was kept" in told
    assert not (folder / "voices").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--enrol", "a/b", "--replies", SAID), "cannot name a voice"),
        (("--forget", "Nobody"), 'No voice is enrolled as "Nobody". See: callout mic --voices'),
        (("--replies", "none.wav"), "none.wav does not exist"),
        (("--replies", FOLDER / "README.md"), "README.md is not a WAV file"),
        (("--replies", Path(__file__).parent / "golden"), "There is no WAV file in"),
        (("--keep-recordings", "x"), "Add: --enrol NAME"),
        (("--save", "--replies", SAID), "--replies uses none"),
    ],
)
def test_what_cannot_be_is_one_sentence_with_a_remedy(words: tuple[object, ...], said: str) -> None:
    assert said in refusal(*words)


def test_nobody_enrolled_says_how() -> None:
    assert "callout mic --enrol NAME" in mic("--voices").output
    assert json.loads(mic("--voices", "--json").stdout)["voices"] == []
