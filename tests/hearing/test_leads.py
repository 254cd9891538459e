"""To be taken, a phrase must stand well above its contrary, however likely it seems."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from callout.core.model.candidates import Candidate, CandidateRole, CandidateSet
from callout.hearing.embedded.joint_decision import joint_decision
from callout.hearing.embedded.phrase_book import contraries_of
from callout.hearing.embedded.recogniser import EmbeddedRecogniser
from callout.hearing.embedded.standing import lead_over
from callout.hearing.second_opinion.weighing import Leader, SecondDecision
from tests.hearing.recordings import embedded, listening_for
from tests.hearing.test_asking import as_heard, hear

pytestmark = pytest.mark.audio
ROLES = {
    "on": CandidateRole.ACCEPTED,
    "auto": CandidateRole.ACCEPTED,
    "off": CandidateRole.CONTRAST,
    "armed": CandidateRole.WRONG,
    "both on": CandidateRole.NEIGHBOUR,
    "say again": CandidateRole.COMMAND,
}
STANDINGS = st.dictionaries(st.sampled_from([*ROLES, "up", "down"]), st.floats(-40, 0), min_size=1)


@pytest.mark.parametrize(
    ("text", "contraries"),
    [
        ("on", {"off", "armed"}),
        ("auto", {"off", "armed"}),
        ("off", {"on", "auto"}),
        ("armed", {"on", "auto"}),
        ("both on", set()),
        ("say again", set()),
    ],
)
def test_answers_and_wrong_replies_are_contrary(text: str, contraries: set[str]) -> None:
    assert contraries_of(text, ROLES) == contraries


@given(STANDINGS)
def test_a_lead_is_over_the_best_rival(standings: dict[str, float]) -> None:
    best = max(standings, key=lambda text: standings[text])
    rest = sorted((s for t, s in standings.items() if t != best), reverse=True)
    expected = standings[best] - rest[0] if rest else math.inf
    assert lead_over(standings, best, standings.keys() - {best}) == expected
    assert lead_over(standings, best, ()) == math.inf


@given(STANDINGS, st.sets(st.sampled_from([*ROLES])), st.floats(0, 1))
def test_likely_or_clear(standings: dict[str, float], against: set[str], chance: float) -> None:
    best = max(standings, key=lambda text: standings[text])
    decision, leader = SecondDecision.shipped(), Leader(best, (), standings)
    rivals = [standings[best] - s for t, s in standings.items() if t != best]
    contraries = against - {best}
    contrary = [standings[best] - standings[t] for t in contraries if t in standings]
    far = min(rivals, default=99.0) >= 3.0 and min(contrary, default=99.0) >= 5.0
    assert decision.is_clear(chance, leader, contraries) is (chance >= 0.7 and far)
    likely = chance >= 0.95 and min(contrary, default=99.0) >= 3.0
    assert decision.is_likely(chance, leader, contraries) is likely


def test_no_lead_is_needed_where_the_transcript_agrees() -> None:
    shipped = joint_decision()
    assert shipped.leads_enough(0.1, agreed=True)
    assert not shipped.leads_enough(0.1, agreed=False)


def test_what_is_clear_leads_by_more_than_what_is_likely() -> None:
    first, both = joint_decision(), SecondDecision.shipped()
    assert 0.0 < first.over_contrary <= both.over_contrary < both.clear_of_contrary
    assert 0.5 < both.clear < both.threshold


@pytest.fixture(scope="module")
def strict() -> EmbeddedRecogniser:
    return embedded()


@pytest.fixture(scope="module")
def without_leads() -> EmbeddedRecogniser:
    return EmbeddedRecogniser(replace(joint_decision(), over_contrary=0.0))


@pytest.mark.parametrize(("surrounding", "seed"), [("vehicle 10 dB", 2), ("vehicle 5 dB", 2)])
def test_likely_but_close_to_the_contrary_is_not_taken(
    strict: EmbeddedRecogniser, without_leads: EmbeddedRecogniser, surrounding: str, seed: int
) -> None:
    sound = as_heard("off", surrounding, seed)
    now, before = (hear(r, sound, "off", "on") for r in (strict, without_leads))
    assert (before.text, before.sure) == ("off", True)
    assert not now.sure
    assert now.confidence == pytest.approx(before.confidence)


def test_without_a_contrary_no_lead_is_needed(strict: EmbeddedRecogniser) -> None:
    sound = as_heard("off", "vehicle 10 dB", 2)
    both = tuple(Candidate(w, CandidateRole.ACCEPTED, (w,)) for w in ("off", "on"))
    strict.listen_for(CandidateSet("item", both))
    strict.accept(sound)
    heard = strict.decide()
    assert (heard.text, heard.sure) == ("off", True)


def test_what_lies_within_its_contrary_is_never_clear(strict: EmbeddedRecogniser) -> None:
    """Heard without its start, "unlocked" is "locked"."""
    strict.listen_for(listening_for("locked", "unlocked", "open"))
    decision = replace(SecondDecision.shipped(), apart=0.5)
    standings = {"locked": 0.0, "unlocked": -9.0, "open": -9.0}
    assert not decision.suffices(0.9, Leader("locked", (), standings), strict.phrases)
    assert decision.suffices(0.96, Leader("locked", (), standings), strict.phrases)
    standings = {"unlocked": 0.0, "locked": -9.0, "open": -9.0}
    assert decision.suffices(0.75, Leader("unlocked", (), standings), strict.phrases)


@pytest.mark.parametrize("surrounding", ["vehicle 10 dB", "far, 3 m", "echo"])
@pytest.mark.parametrize("word", ["on", "off", "up", "down", "left", "right"])
def test_whatever_is_taken_leads(strict: EmbeddedRecogniser, word: str, surrounding: str) -> None:
    others = [w for w in ("on", "off", "up", "down", "left", "right") if w != word]
    strict.listen_for(listening_for(word, *others))
    strict.accept(as_heard(word, surrounding, 0))
    heard = strict.decide()
    assert strict.latest is not None
    if heard.sure and heard.transcript.lower().strip(".!?, ") != word:
        assert strict.phrases.lead(strict.latest.scores) >= joint_decision().over_contrary
