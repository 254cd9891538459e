"""How two versions of the same lists differ, in the words of a pilot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from callout.core.model.checklist import Checklist, Item
from callout.core.packs.manifest import About
from callout.core.sentences import packs as say


def about_changes(old: About, new: About) -> Iterator[str]:
    """Yield what two packs say differently of themselves."""
    for key in About.__dataclass_fields__:
        before, after = getattr(old, key), getattr(new, key)
        if before != after:
            yield say.changed_about(key, before, after)


def pack_changes(old: Mapping[str, Checklist], new: Mapping[str, Checklist]) -> Iterator[str]:
    """Yield what changes in the lists, by their ids; a list with no change is not named."""
    for name in old.keys() - new.keys():
        yield say.list_gone(old[name].title)
    for name, after in new.items():
        if name not in old:
            yield say.list_new(after.title, len(after.items))
            continue
        changes = list(list_changes(old[name], after))
        if changes:
            yield f"{after.title}:"
            yield from (f"  {change}" for change in changes)


def list_changes(old: Checklist, new: Checklist) -> Iterator[str]:
    """Yield what changes in one list: items gone, new, changed, moved, then the list itself."""
    before = {item.id: item for item in old.items}
    after = {item.id: item for item in new.items}
    for name, item in before.items():
        if name not in after:
            yield say.item_gone(item.challenge, _replies(item), item.critical)
    for name, item in after.items():
        if name not in before:
            yield say.item_new(item.challenge, _replies(item), item.critical)
        else:
            yield from _item_changes(before[name], item)
    kept_before = [name for name in before if name in after]
    kept_after = [name for name in after if name in before]
    for name in _moved_items(kept_before, kept_after):
        yield say.item_moved(after[name].challenge)
    if _flow_texts(old) != _flow_texts(new):
        yield say.changed_flow(
            sorted(set(_flow_texts(old)) - set(_flow_texts(new))),
            sorted(set(_flow_texts(new)) - set(_flow_texts(old))),
        )
    for key in ("title", "completion_call", "phase", "method", "triggers", "cautions", "notes"):
        one, other = getattr(old, key), getattr(new, key)
        if one != other:
            yield say.changed_list(key, _shown(one), _shown(other))


def _item_changes(old: Item, new: Item) -> Iterator[str]:
    pairs = (
        ("challenge", old.challenge, new.challenge),
        ("response", _replies(old), _replies(new)),
        ("also", _texts(old.also), _texts(new.also)),
        ("wrong", _texts(w.response for w in old.wrong), _texts(w.response for w in new.wrong)),
        ("critical", old.critical, new.critical),
        ("actual_status", old.actual_status, new.actual_status),
        ("as_required", old.as_required, new.as_required),
        ("who", old.responder, new.responder),
        ("when", old.when and old.when.text, new.when and new.when.text),
        ("once", old.once, new.once),
        ("memory", old.memory, new.memory),
        ("caution", old.cautions, new.cautions),
        ("note", old.notes, new.notes),
        ("panel", old.panel, new.panel),
        ("proof", _proof_text(old), _proof_text(new)),
        ("leads", [lead.to for lead in old.leads], [lead.to for lead in new.leads]),
    )
    for key, one, other in pairs:
        if one != other:
            yield say.changed_item(new.challenge, key, _shown(one), _shown(other))


def _moved_items(before: list[str], after: list[str]) -> Iterator[str]:
    """Yield items that no longer follow the one they followed, and are not just shifted."""
    led_before = {b: a for a, b in pairwise(["", *before])}
    led_after = {b: a for a, b in pairwise(["", *after])}
    follows_before = {a: b for a, b in pairwise([*before, ""])}
    follows_after = {a: b for a, b in pairwise([*after, ""])}
    for name in after:
        if led_before[name] != led_after[name] and follows_before[name] != follows_after[name]:
            yield name


def _proof_text(item: Item) -> str:
    proof = item.proof
    return "" if proof is None else f"{proof.expression}, within {proof.tolerance}"


def _flow_texts(checklist: Checklist) -> tuple[str, ...]:
    return tuple(
        f"{panel.panel}: {action.control} {action.position}"
        for panel in checklist.flow
        for action in panel.actions
    )


def _replies(item: Item) -> str:
    return _texts(item.responses) or " / ".join(lead.to for lead in item.leads)


def _texts(responses: object) -> str:
    assert hasattr(responses, "__iter__")
    return " / ".join(_response_text(response) for response in responses)


def _response_text(response: object) -> str:
    text = str(getattr(response, "text", ""))
    parts = [text]
    for key in ("unit", "tolerance", "digits", "decimals"):
        value = getattr(response, key, None)
        if value is not None:
            parts.append(f"{key} {value}")
    return ", ".join(parts)


def _shown(value: object) -> str:
    if value is None or value in ("", (), []):
        return say.NOTHING
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (tuple, list)):
        return "; ".join(map(str, value))
    return str(getattr(value, "value", value))
