"""The Vosk adapter on a real model: Korean, the only one in a package registry.

espeak-ng's Korean voice is hard to understand for it, so the phrases that must be recognised
are ones it understands; nothing here says how well an English model hears a crew.
"""

from __future__ import annotations

import logging
import os
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.errors import EngineUnavailable, ModelNotFound
from callout.hearing.vosk_engine import VoskRecogniser
from callout.hearing.vosk_native import native_messages_kept, new_recogniser
from callout.ports.hearing import SAMPLE_RATE
from tests.hearing import korean
from tests.hearing.measure_vosk import measure
from tests.hearing.vosk_folders import make_model

pytestmark = [
    pytest.mark.vosk,
    pytest.mark.skipif(bool(korean.why_not()), reason=korean.why_not() or "all is there"),
]

PHRASES = ("라디오", "음악", "아래", "아버지")


@pytest.fixture(scope="module")
def recogniser() -> Iterator[VoskRecogniser]:
    folder = korean.model_folder()
    assert folder is not None
    made = VoskRecogniser(folder)
    yield made
    made.close()


@pytest.mark.parametrize(
    ("phrase", "voice"),
    [
        ("라디오", "low"),
        ("라디오", "second"),
        ("음악", "slow"),
        ("아래", "second"),
        ("아버지", "low"),
        ("아버지", "second"),
    ],
)
def test_the_spoken_phrase_of_the_grammar_is_recognised(
    recogniser: VoskRecogniser, phrase: str, voice: str
) -> None:
    recogniser.listen_for(korean.listening_for(*PHRASES))
    recogniser.accept(korean.say(phrase, voice))
    heard = recogniser.decide()
    assert (heard.text, heard.sure, heard.transcript) == (phrase, True, phrase)
    assert heard.engine == "vosk"


def test_another_word_is_not_accepted_though_the_closed_pass_names_a_listed_one(
    recogniser: VoskRecogniser,
) -> None:
    recogniser.listen_for(korean.listening_for(*PHRASES))
    recogniser.accept(korean.say("대통령"))
    heard = recogniser.decide()
    assert heard.text in PHRASES
    assert heard.transcript not in PHRASES
    assert not heard.sure


def test_a_listed_phrase_is_not_taken_for_another_listed_one(recogniser: VoskRecogniser) -> None:
    for phrase in PHRASES:
        recogniser.listen_for(korean.listening_for(*(p for p in PHRASES if p != phrase)))
        recogniser.accept(korean.say(phrase))
        assert not recogniser.decide().sure


def test_two_replies_in_one_utterance_are_not_one_of_them(recogniser: VoskRecogniser) -> None:
    recogniser.listen_for(korean.listening_for(*PHRASES))
    pause = np.zeros(SAMPLE_RATE, np.int16)
    recogniser.accept(np.concatenate([korean.say("라디오"), pause, korean.say("아버지")]))
    heard = recogniser.decide()
    assert heard.transcript == "라디오 아버지"
    assert not heard.sure


def test_the_form_leads_back_to_the_candidate(recogniser: VoskRecogniser) -> None:
    spoken = Candidate("RADIO: ON", CandidateRole.ACCEPTED, ("음악", "라디오"))
    recogniser.listen_for(CandidateSet("item", (spoken,)))
    recogniser.accept(korean.say("라디오"))
    assert recogniser.decide().text == "RADIO: ON"


def test_times_are_those_of_the_words(recogniser: VoskRecogniser) -> None:
    recogniser.listen_for(korean.listening_for(*PHRASES))
    said = korean.say("라디오")
    before = np.zeros(SAMPLE_RATE, np.int16)
    recogniser.accept(np.concatenate([before, said, before]))
    heard = recogniser.decide()
    length = np.flatnonzero(np.abs(said) > 300)[-1] / SAMPLE_RATE
    assert heard.start == pytest.approx(1.0, abs=0.3)
    assert heard.end == pytest.approx(1.0 + length, abs=0.4)


def test_vocabulary_is_asked_word_by_word(recogniser: VoskRecogniser) -> None:
    words = ["라디오", "disarmed", "오늘", "[unk]", "<UNK>", "<eps>", "", "on off"]
    assert recogniser.unknown_words(words) == tuple(w for w in words if w not in ("라디오", "오늘"))


def test_words_outside_the_vocabulary_are_left_out_and_harmless(
    recogniser: VoskRecogniser, capfd: pytest.CaptureFixture[str]
) -> None:
    recogniser.listen_for(korean.listening_for("disarmed", "라디오", "qqq zzz"))
    recogniser.accept(korean.say("라디오"))
    assert recogniser.decide().sure
    recogniser.listen_for(korean.listening_for("disarmed", "qqq"))
    recogniser.accept(korean.say("라디오"))
    assert not recogniser.decide().sure
    assert capfd.readouterr() == ("", "")


def test_unlisted_words_are_hardly_ever_accepted(recogniser: VoskRecogniser) -> None:
    unknown = set(recogniser.unknown_words(korean.WORDS))
    words = [word for word in korean.WORDS if word not in unknown][::4]
    count = measure(recogniser, words, ["low"], listed=False)
    assert count.recordings >= 30
    assert count.closed_listed > count.recordings // 3, "the closed pass alone would be believed"
    assert count.sure_wrong == 0, count.errors


def test_native_warnings_go_to_the_log(
    recogniser: VoskRecogniser,
    capfd: pytest.CaptureFixture[str],
    caplog: pytest.LogCaptureFixture,
) -> None:
    with caplog.at_level(logging.DEBUG, "callout.hearing.vosk_native"):
        new_recogniser(recogniser._model, ["qqqq"])
    assert "qqqq" in caplog.text
    assert capfd.readouterr() == ("", "")


def test_standard_error_is_given_back(capfd: pytest.CaptureFixture[str]) -> None:
    with native_messages_kept() as messages:
        os.write(2, b"kept")
        assert messages() == "kept"
        os.write(2, b" too")
        assert messages() == "kept too"
    os.write(2, b"shown")
    assert capfd.readouterr().err == "shown"


def test_closing_ends_everything_quietly() -> None:
    folder = korean.model_folder()
    assert folder is not None
    recogniser = VoskRecogniser(folder)
    recogniser.close()
    recogniser.close()
    recogniser.listen_for(korean.listening_for(*PHRASES))
    recogniser.accept(np.ones(512, np.int16))
    assert recogniser.decide().text == ""
    assert recogniser.unknown_words(["라디오"]) == ()


def test_a_model_of_the_right_files_with_wrong_content_is_refused(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(ModelNotFound, match="could not load"):
        VoskRecogniser(make_model(tmp_path / "hollow"))
    assert capfd.readouterr() == ("", "")


def test_a_path_with_spaces_and_accents_loads(tmp_path: Path) -> None:
    folder = korean.model_folder()
    assert folder is not None
    copy = tmp_path / "modèle à moi 모델"
    shutil.copytree(folder, copy, copy_function=lambda a, b: Path(b).hardlink_to(a))
    VoskRecogniser(copy).close()


def test_a_missing_library_is_said_plainly(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "vosk", None)
    with pytest.raises(EngineUnavailable, match="Vosk library") as caught:
        VoskRecogniser(make_model(tmp_path))
    assert "pip install vosk" in caught.value.hint
