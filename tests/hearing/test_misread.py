"""Is the free transcript what was said? The acoustic model compares; on a real recording."""

from __future__ import annotations

from dataclasses import replace

import pytest

from callout.hearing.embedded.misread import is_misread, transcript_lag
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from tests.hearing.recordings import embedded, listening_for, recording

pytestmark = pytest.mark.audio


@pytest.fixture(scope="module")
def recogniser() -> EmbeddedRecogniser:
    made = embedded()
    made.listen_for(listening_for("both on", "both off"))
    return made


@pytest.mark.parametrize(
    ("transcript", "misread"),
    [
        ("both on", False),
        ("Boss on.", False),
        ("Nothing like it at all.", True),
        ("Zzyx qq", False),
    ],
)
def test_a_transcript_is_misread_if_the_sound_is_another(
    recogniser: EmbeddedRecogniser, transcript: str, misread: bool
) -> None:
    """A word whose pronunciation is unknown decides nothing."""
    sound = recording("demo/both-on.wav")
    impression, opinion = recogniser.impression(sound), recogniser.opinion(sound)
    assert opinion is not None
    written = replace(opinion, reading=replace(opinion.reading, text=transcript))
    assert is_misread(written, impression, recogniser._lexicon) is misread
    assert not is_misread(written, None, recogniser._lexicon)


def test_what_was_said_lies_behind_nothing(recogniser: EmbeddedRecogniser) -> None:
    sound = recording("demo/both-on.wav")
    impression, opinion = recogniser.impression(sound), recogniser.opinion(sound)
    assert opinion is not None
    said, other = (
        transcript_lag(
            replace(opinion, reading=replace(opinion.reading, text=text)),
            impression,
            recogniser._lexicon,
        )
        for text in ("Both on.", "Both off.")
    )
    assert said == pytest.approx(0.0, abs=1e-4)
    assert other > 5.0


@pytest.mark.parametrize(
    ("phrases", "apart"),
    [
        (("locked and fastened", "both on", "off"), [True, False, False]),
        (("received", "resumed"), [True, True]),
        (("latched", "unlatched", "fastened"), [False, False, True]),
    ],
)
def test_long_and_unlike_all_others(
    recogniser: EmbeddedRecogniser, phrases: tuple[str, ...], apart: list[bool]
) -> None:
    recogniser.listen_for(listening_for(*phrases))
    assert [recogniser.phrases.stands_apart(text) for text in phrases] == apart
