"""News of the sound, alike in a list, between lists and in a drill."""

from __future__ import annotations

from callout.core.breath import Breath
from callout.core.events import AdapterFailed, SoundDisturbed
from callout.core.sound import Disturbed


def disturb(turn: Breath, event: SoundDisturbed, kind: type[Disturbed] = Disturbed) -> None:
    """Keep and show what spoils the sound; what is asked, said and listened for stays as it is."""
    found = event.notice
    turn.record(
        kind,
        what=found.what,
        count=found.count,
        message=found.message,
        measured=found.measured,
        told=found.told,
        over=found.over,
    )
    part = found.what.value
    others = tuple(trouble for trouble in turn.moment.troubles if trouble[0] != part)
    turn.set(troubles=others if found.over else (*others, (part, found.message)))
    if found.told:
        turn.news(found.message)


def heard_again(turn: Breath, part: str) -> None:
    """Tell that a part that had failed works again, and listen anew."""
    turn.set(troubles=tuple(trouble for trouble in turn.moment.troubles if trouble[0] != part))
    turn.news(f"{_NAMES.get(part, part.capitalize())} is back.")
    turn.rearm()


def aloud(event: AdapterFailed) -> str:
    """Return what is said aloud of a failure: only that of the journal makes itself not felt."""
    return _JOURNAL if event.part == "journal" else ""


_JOURNAL = "The journal was removed or replaced. It is written again, and nothing is lost."


_NAMES = {"hearing": "The microphone", "voice": "The voice"}
