"""The moments of a session as lines of text."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from callout.core.debrief.moments import Moment
from callout.core.debrief.shown import clock_words
from callout.core.sentences import kept_sound
from callout.core.sentences import moments as sentences


def moment_lines(moments: Sequence[Moment], sounds: Collection[int]) -> Iterator[str]:
    """Yield what was asked, heard and judged at each item; sounds: records whose sound was kept."""
    for moment in moments:
        yield f"{moment.challenge}"
        if moment.right:
            yield f"  {sentences.LISTENED_FOR}: {'; '.join(moment.right)}"
        for step in moment.steps:
            kept = f"  {kept_sound.sound_number(step.heard)}" if step.heard in sounds else ""
            slip = "!" if step.slip else " "
            yield f" {slip} {clock_words(step.at)}  {step.who} {step.what}{kept}"
