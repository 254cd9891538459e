"""Which words an item lists: at that item they are a reply, whatever else they may mean."""

from __future__ import annotations

from callout.core.language.reasons import Reason
from callout.core.model.commands import plain_words
from callout.core.model.expectation import Expectation
from callout.core.model.verdict import Judgement, Verdict


def is_listed(expectation: Expectation, words: str, judged: Judgement) -> bool:
    """Say whether ``words`` are a reply that the list names: right, wrong, or a position."""
    if judged.verdict is Verdict.MATCH or judged.code == Reason.NAMED_WRONG:
        return True
    said = "".join(plain_words(words))
    return any(
        said == "".join(plain_words(text)) for group in expectation.contrasts for text in group
    )
