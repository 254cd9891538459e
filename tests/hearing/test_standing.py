"""How three opinions are made one order."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from callout.hearing.embedded.evidence import PhraseScore
from callout.hearing.embedded.standing import EVEN, Mix, Share

LOGS = st.floats(-60, 0)
SCORES = st.lists(st.builds(PhraseScore, st.text(max_size=4), LOGS, LOGS, LOGS, st.just(3), LOGS))


@settings(deadline=None)
@given(SCORES)
def test_the_order_is_by_standing_and_nobody_is_lost(scores: list[PhraseScore]) -> None:
    ranked = EVEN.ranked(scores)
    assert sorted(s.text for s in ranked) == sorted(s.text for s in scores)
    assert all(a.standing >= b.standing for a, b in pairwise(ranked))


def test_where_all_agree_their_choice_leads() -> None:
    on, off = PhraseScore("on", -1, -1, -1, 2, -1), PhraseScore("off", -9, -9, -9, 2, -9)
    assert [s.text for s in EVEN.ranked([off, on])] == ["on", "off"]


def test_an_opinion_takes_off_no_more_than_its_floor_allows() -> None:
    share = Share(2.0, -3.0, 1.0)

    given_out = share.of(np.array([0.0, -500.0]))
    assert given_out[0] - given_out[1] == pytest.approx(2 * np.log((1 + np.exp(-3)) / np.exp(-3)))


@settings(deadline=None)
@given(st.floats(-40, 40))
def test_a_constant_on_all_scores_changes_nothing(added: float) -> None:

    scores = np.array([-1.0, -2.0, -7.0])
    share = Share(1.0, -5.0, 0.5)
    assert share.of(scores + added) == pytest.approx(share.of(scores))


def test_no_candidates_no_order() -> None:
    assert Mix.of(((1, -5, 1),) * 3).ranked([]) == ()
