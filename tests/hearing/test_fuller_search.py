"""What a quick look for fuller answers finds is what a look at everything finds."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from callout.app.listening.recordings import expected_reply
from callout.app.shared.command_tables import default_commands
from callout.app.shared.tables import default_tables
from callout.core.understanding.candidate_sets import candidates_for
from callout.hearing.embedded import fuller_search
from callout.hearing.embedded.evidence import WORST
from callout.hearing.embedded.fuller_search import LOUDEST, Answer, search_fuller
from callout.hearing.embedded.opinions import Impression, Opinion, fuller_answer
from callout.hearing.embedded.phrase_book import PhraseBook, PhraseSet
from callout.hearing.embedded.phrases import Phrase
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from tests.hearing.recordings import embedded, recording

pytestmark = pytest.mark.audio

ASKED = (
    ("closed", "demo/closed-and-locked.wav", "closed"),
    ("locked", "demo/closed-and-locked.wav", None),
    ("on", "demo/both-on.wav", "on"),
    ("off", "demo/both-on.wav", None),
    ("both open", "demo/both-on.wav", None),
)


@pytest.fixture(scope="module")
def recogniser() -> Iterator[EmbeddedRecogniser]:
    made = embedded()
    yield made
    made.close()


class Looks:
    """Looks for fuller answers in one recording, and keeps what was decided on the way."""

    def __init__(self, recogniser: EmbeddedRecogniser, expect: str, name: str) -> None:
        groups = default_commands().groups()
        wanted = candidates_for(expected_reply([expect], []), groups, default_tables())
        recogniser.listen_for(wanted)
        self.recogniser, self.wanted = recogniser, wanted
        first = recogniser.considered(recording(name))
        assert first is not None
        self.first: Opinion = first
        assert wanted.fuller is not None
        self.more = wanted.fuller(first.reading.text)
        self.answers: list[Answer] = []
        self.levels: list[set[float]] = []

    def decide(self, seen: Impression, told: PhraseSet) -> Answer:
        made = self.recogniser
        self.levels.append({p.noise for p in told.phrases.values() if p.candidate in self.more})
        opinion = made.weigh(seen, made._probe, told)
        found = fuller_answer(opinion, self.first, made._decision, told, self.more)
        self.answers.append(found)
        return found

    def search(self) -> Answer:
        made, seen = self.recogniser, self.recogniser._impression
        assert made._network is not None
        assert seen is not None
        return search_fuller(
            made._network, made._ends, made._book, made._probe, made.phrases, self.more,
            seen, self.decide,
        )  # fmt: skip


@pytest.mark.parametrize(("expect", "name", "wanted"), ASKED)
def test_it_finds_what_a_whole_look_finds(
    recogniser: EmbeddedRecogniser,
    expect: str,
    name: str,
    wanted: str | None,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    looks = Looks(recogniser, expect, name)
    quick = looks.search()
    monkeypatch.setattr(fuller_search, "NEARLY", 2.0)  # never near enough
    asked = iter(((expect, 1.0), None))  # as if the extremes differed
    decide = looks.decide
    monkeypatch.setattr(looks, "decide", lambda *told: next(asked, decide(*told)))
    whole = looks.search()
    assert (quick and quick[0]) == (whole and whole[0]) == wanted


def test_levels_on_noise_lie_between_the_extremes_it_tries(
    recogniser: EmbeddedRecogniser, monkeypatch: pytest.MonkeyPatch
) -> None:
    shared: list[float] = []
    share = PhraseBook.share_level

    def noted(book: PhraseBook, made: list[Phrase]) -> None:
        share(book, made)
        shared.extend(p.noise for p in made)

    monkeypatch.setattr(PhraseBook, "share_level", noted)
    monkeypatch.setattr(fuller_search, "NEARLY", 2.0)
    looks = Looks(recogniser, "closed", "demo/closed-and-locked.wav")
    looks.search()
    assert looks.levels[:2] == [{WORST}, {LOUDEST}]
    assert looks.levels[2:] == [set(shared)]
    assert max(shared) < LOUDEST
