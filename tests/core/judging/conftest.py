"""Shared helpers for the judge's tests."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from callout.app.shared.tables import default_tables
from callout.core.judging.judge import judge_reply
from callout.core.judging.parse_answer import parse_answer
from callout.core.language.tables import Tables
from callout.core.model.expectation import Expectation
from callout.core.model.verdict import Judgement

Judge = Callable[..., Judgement]


@pytest.fixture(scope="session")
def tables() -> Tables:
    return default_tables()


@pytest.fixture(scope="session")
def said(tables: Tables) -> Judge:
    """Judge a reply against an answer written as in a list."""

    def run(reply: str, *expect: str, **more: object) -> Judgement:
        accepted = tuple(parse_answer(text, tables) for text in expect)
        return judge_reply(reply, Expectation(accepted, **more), tables)  # type: ignore[arg-type]

    return run
