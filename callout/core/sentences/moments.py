"""A moment of a session, looked at again."""

from __future__ import annotations

CALLOUT = "callout"
CREW = "crew"
AIRCRAFT = "aircraft"
LISTENED_FOR = "The right reply"
SOUND_NOT_KEPT = "The sound of this session was not kept, so you see only the words."
SOUND_TO_PLAY = "Play a reply to hear what was heard."
SOUND_ELSEWHERE = (
    "The replies were kept as sound, but they are not in this report, so that nobody's voice "
    "travels with it."
)


def to_play(session: str, number: int) -> str:
    return f"callout replay {session} --play {number}"


def play_label(who: str, clock: str) -> str:
    return f"The reply at {clock}, {who}, as it was heard"


WHY = {
    "mismatch": "asked again after a wrong reply",
    "unclear": "asked again, not understood",
    "silence": "asked again, nothing heard",
    "asked": "asked again on request",
    "returned": "brought back after it was deferred",
    "reopened": "asked again, because its answer no longer held",
    "continued": "asked again after a hold",
    "other-seat": "asked the other seat",
}
HELD = "held the list"
CONTINUED = "continued the list"


def asked(challenge: str, why: str) -> str:
    return f"{WHY[why]}: {challenge}" if why in WHY else f"asked: {challenge}"


def challenged_by_crew(words: str) -> str:
    return f'challenged it: "{words}"'


def heard(how: str, verbatim: str, taken_as: str, sure: bool) -> str:
    taken = f', taken as "{taken_as}"' if taken_as else ""
    doubt = "" if sure else ", not heard for certain"
    return (
        f'{how} "{verbatim}"{taken}{doubt}' if verbatim else f"{how} something that gave no words"
    )


def judged(verdict: str, reason: str) -> str:
    return f"judged it {verdict}: {reason}" if reason else f"judged it {verdict}"


def showed(found: str) -> str:
    return f"showed: {found}"


def skipped(reason: str) -> str:
    return f"skipped it: {reason}" if reason else "skipped it, no reason given"


def deferred(note: str) -> str:
    return f"deferred it: {note}" if note else "deferred it"


def reopened(because: str) -> str:
    return f"took the answer back: {because}" if because else "went back to it"


def remarked(words: str) -> str:
    return f'side remark: "{words}"'


def commanded(words: str) -> str:
    return f'command: "{words}"'
