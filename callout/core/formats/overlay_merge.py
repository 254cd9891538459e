"""Merges an overlay into its base list."""

from __future__ import annotations

from dataclasses import replace

from callout.core.formats.overlay import Accept, Add, Move, Overlay, Place, Reword, Tighten
from callout.core.formats.overlay_parts import change_parts, refuse_change
from callout.core.formats.overlay_replies import chosen_responses, closer_response, response_around
from callout.core.model.checklist import (
    Change,
    ChangeKind,
    Checklist,
    Item,
    Origin,
    Role,
    Section,
)
from callout.core.model.list_routes import check_routes
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import did_you_mean
from callout.core.model.state_quantity import Proof
from callout.core.planning.consistency import check_item, check_list
from callout.core.sentences import overlays as sentences
from callout.core.sentences.commands import answers


def merge_overlay(checklist: Checklist, overlay: Overlay) -> Checklist:
    """Return ``checklist`` with ``overlay`` applied; raise FileProblems at the overlay's line.

    No item of the base list is ever lost, and each knows the lines it came from.
    """
    if overlay.base != checklist.id:
        said = f'this overlay is for the list "{overlay.base}", not "{checklist.id}".'
        refuse_change(overlay.origin, said, sentences.WRONG_BASE_HINT)
    merged = checklist
    for change in overlay.changes:
        if isinstance(change, Add | Move | Reword | Tighten | Accept):
            sections = _apply_change(merged.sections, change, checklist.responder)
            merged = replace(merged, sections=sections)
        else:
            merged = change_parts(merged, change)
    merged = replace(
        merged,
        completion_call=overlay.completion_call or checklist.completion_call,
        triggers=tuple(dict.fromkeys(checklist.triggers + overlay.triggers)),
        cautions=checklist.cautions + overlay.cautions,
        notes=checklist.notes + overlay.notes,
        overlays=(*checklist.overlays, overlay.title),
    )
    report = ProblemReport(overlay.origin.file)
    check_list(merged.sections, report)
    check_routes(merged, report)
    report.check()
    assert _part_names(checklist) <= _part_names(merged)
    return merged


def _part_names(checklist: Checklist) -> set[tuple[str, ...]]:
    """Return the names of everything that an overlay must keep."""
    flow = {(p.panel, a.control, a.position) for p in checklist.flow for a in p.actions}
    return {(item.id,) for item in checklist.items} | flow


def _apply_change(
    sections: tuple[Section, ...], change: Add | Move | Reword | Tighten | Accept, role: Role
) -> tuple[Section, ...]:
    if isinstance(change, Add):
        _check_new(sections, change)
        who = role if change.item.responder is Role.EITHER else change.item.responder
        item = _marked_item(replace(change.item, responder=who), ChangeKind.ADDED, change.origin)
        return _insert_item(sections, item, change.place, change.origin)
    item = _find_item(sections, change.item_id, change.origin)
    if item.leads and not isinstance(change, Move) and _changes_replies(change):
        said = f'the replies of "{item.id}" decide how the list goes on.'
        refuse_change(change.origin, said, sentences.BASE_ONLY_HINT)
    if isinstance(change, Move):
        return _moved_item(sections, item, change)
    changed = _changed_item(item, change)
    _check_item(changed, change.origin)
    return tuple(
        replace(section, items=tuple(changed if i.id == item.id else i for i in section.items))
        for section in sections
    )


def _changed_item(item: Item, change: Reword | Tighten | Accept) -> Item:
    match change:
        case Reword():
            return _reworded_item(item, change)
        case Tighten():
            return _tightened_item(item, change)
        case Accept():
            return _widened_item(item, change)


def _widened_item(item: Item, change: Accept) -> Item:
    """Return the item with one more wording; for a critical item only if it was confirmed."""
    if item.critical and not change.confirmed:
        said = f'"{item.id}" is critical, so another wording for it must be confirmed.'
        refuse_change(change.origin, said, sentences.CRITICAL_WORDING_HINT)
    also = (
        *item.also,
        replace(response_around(item, change.also, change.origin), line=change.origin.line),
    )
    return _marked_item(replace(item, also=also), ChangeKind.ACCEPTED, change.origin)


def _changes_replies(change: Reword | Tighten | Accept) -> bool:
    if isinstance(change, Accept):
        return True
    if isinstance(change, Reword):
        return change.responses is not None
    return change.only is not None or change.tolerance is not None


def _check_new(sections: tuple[Section, ...], change: Add) -> None:
    for section in sections:
        for item in section.items:
            if item.id == change.item.id:
                said = f'the id "{item.id}" is already used at {item.origin}.'
                refuse_change(change.origin, said, sentences.ADDED_ID_HINT)


def _moved_item(sections: tuple[Section, ...], item: Item, change: Move) -> tuple[Section, ...]:
    if item.id in (change.place.before, change.place.after):
        refuse_change(
            change.origin, f'"{item.id}" cannot go beside itself.', sentences.BESIDE_ITSELF_HINT
        )
    rest = tuple(
        replace(section, items=tuple(i for i in section.items if i.id != item.id))
        for section in sections
    )
    return _insert_item(
        rest, _marked_item(item, ChangeKind.MOVED, change.origin), change.place, change.origin
    )


def _insert_item(
    sections: tuple[Section, ...], item: Item, place: Place, origin: Origin
) -> tuple[Section, ...]:
    beside = place.before or place.after
    if beside:
        _find_item(sections, beside, origin)
    elif place.section not in {section.title for section in sections}:
        titles = [section.title for section in sections if section.title]
        hint = did_you_mean(place.section, titles) or sentences.its_sections(
            ", ".join(titles) or "none"
        )
        refuse_change(origin, f'the list has no section "{place.section}".', hint)
    return tuple(_insert_into(section, item, place) for section in sections)


def _insert_into(section: Section, item: Item, place: Place) -> Section:
    ids = [i.id for i in section.items]
    if place.before in ids:
        at = ids.index(place.before)
    elif place.after in ids:
        at = ids.index(place.after) + 1
    elif not (place.before or place.after) and section.title == place.section:
        at = 0 if place.first else len(ids)
    else:
        return section
    return replace(section, items=(*section.items[:at], item, *section.items[at:]))


def _reworded_item(item: Item, change: Reword) -> Item:
    responses = item.responses
    if change.responses is not None:
        responses = tuple(response_around(item, text, change.origin) for text in change.responses)
    challenge = change.challenge or item.challenge
    spoken = change.spoken or (change.challenge if change.challenge else item.spoken)
    changed = replace(
        item,
        challenge=challenge,
        spoken=spoken,
        responses=responses,
        cautions=item.cautions + change.cautions,
        notes=item.notes + change.notes,
    )
    return _marked_item(changed, ChangeKind.REWORDED, change.origin)


def _tightened_item(item: Item, change: Tighten) -> Item:
    responses, also = item.responses, item.also
    if change.only is not None:
        responses, also = chosen_responses(item, change.only, change.origin), ()
    if change.tolerance is not None:
        near, where = change.tolerance, change.origin
        responses = tuple(closer_response(item, r, near, where) for r in responses)
        also = tuple(closer_response(item, r, near, where) for r in also)
    _check_role(item, change.responder, change.origin)
    critical = item.critical or change.critical
    responder = change.responder or item.responder
    changed = replace(
        item,
        responses=responses,
        also=also,
        critical=critical,
        actual_status=item.actual_status or change.actual_status or change.critical,
        wrong=item.wrong + change.wrong,
        responder=responder,
        proof=_proof(item, change, spoken=critical or responder is Role.BOTH),
        when=None if change.always else item.when,
        once=None if change.always else item.once,
    )
    return _marked_item(changed, ChangeKind.TIGHTENED, change.origin)


def _proof(item: Item, change: Tighten, *, spoken: bool) -> Proof | None:
    """Return the proof of a tightened item; a reply that must be spoken is never proved by state
    alone.
    """
    if item.proof and change.proof:
        said = f'"{item.id}" has a proof in the base list, which an overlay cannot replace.'
        refuse_change(change.origin, said, sentences.PROOF_HINT)
    if item.leads and change.proof:
        refuse_change(
            change.origin, f'"{item.id}" is a question, which has no proof.', sentences.DELETE_IT
        )
    proof = item.proof or change.proof
    return replace(proof, alone=proof.alone and not spoken) if proof else None


def _check_role(item: Item, role: Role | None, origin: Origin) -> None:
    if role in (None, Role.BOTH, item.responder) or item.responder is Role.EITHER:
        return
    said = f'"{item.id}" is answered by {item.responder.value} in the base list.'
    refuse_change(origin, said, sentences.ROLE_HINT)


def _check_item(item: Item, origin: Origin) -> None:
    report = ProblemReport(origin.file)
    check_item(item, item.id, report)
    if report.problems:
        refuse_change(origin, report.problems[0].message, report.problems[0].hint)


def _marked_item(item: Item, kind: ChangeKind, origin: Origin) -> Item:
    return replace(item, changes=(*item.changes, Change(kind, origin)))


def _find_item(sections: tuple[Section, ...], item_id: str, origin: Origin) -> Item:
    items = {item.id: item for section in sections for item in section.items}
    if item_id not in items:
        hint = did_you_mean(item_id, items) or answers.its_items(", ".join(items))
        refuse_change(origin, f'the list has no item "{item_id}".', hint)
    return items[item_id]
