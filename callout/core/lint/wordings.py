"""Other wordings of a reply, which must not say anything else than the reply."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from callout.core.judging.parse_answer import parse_answer
from callout.core.lint.finding import Remark, Subject
from callout.core.model.checklist import Item, Response
from callout.core.model.expectation import Answer, Expectation, WrongReply
from callout.core.planning.templates import slots_of
from callout.core.sentences import check_findings as sentences
from callout.core.understanding.own_wordings import ACCEPTED, NUMBERS, why_not


def contrary_wording(subject: Subject) -> Iterator[Remark]:
    """An `also:` that is a contrary, a wrong value, or says too little."""
    for item in subject.checklist.items:
        for wording in item.also:
            fault = "" if slots_of(wording.text) else _wording_fault(item, wording.text, subject)
            if fault:
                said = f'"{wording.text}" would be accepted at "{item.challenge}". {fault}'
                hint = sentences.CONTRARY_WORDING_HINT
                yield Remark(wording.line, said, hint, item.id)


def _wording_fault(item: Item, words: str, subject: Subject) -> str:
    wrong = _literal_replies((w.response for w in item.wrong), subject)
    expected = Expectation(
        accepted=tuple(_literal_replies(item.responses, subject)),
        wrong=tuple(WrongReply(answer) for answer in wrong),
        challenge=item.spoken,
        actual_status=item.actual_status,
        contrasts=subject.checklist.contrasts,
        synonyms=subject.checklist.synonyms,
    )
    found = why_not(words, expected, subject.tables) if expected.accepted else ""
    return "" if found in (ACCEPTED, NUMBERS) else found


def _literal_replies(responses: Iterable[Response], subject: Subject) -> Iterator[Answer]:
    """Yield the replies that contain no value of the flight."""
    return (parse_answer(r.text, subject.tables) for r in responses if not slots_of(r.text))
