"""Questions that decide how a list continues: which path, which items drop out, and which end."""

from __future__ import annotations

from callout.core.checklist_run import records as r
from callout.core.checklist_run.branch_paths import nodes_of
from callout.core.checklist_run.turn import Turn
from callout.core.judging.judge import judge_reply
from callout.core.language.tables import Tables
from callout.core.model.expectation import Expectation, WrongReply
from callout.core.model.list_routes import nodes_reached
from callout.core.model.verdict import Judgement, Verdict
from callout.core.planning.plan import Plan, PlannedItem, PlannedLead
from callout.core.sentences import checklist as sentences

WHICH_WAY = "which-way"
"""A reply fits more than one path, or none for certain."""
UNDECIDED = sentences.LIST_BRANCHES_HERE


def judge_way(item: PlannedItem, words: str, tables: Tables) -> Judgement:
    """Return the judgement of a reply to a branching question: right for exactly one path."""
    whole = judge_reply(words, item.expectation, tables)
    if whole.verdict is not Verdict.MATCH or lead_of(item, words, tables):
        return whole
    said = "; ".join(lead.replies[0].text for lead in item.leads)
    return Judgement(Verdict.UNCLEAR, WHICH_WAY, sentences.say_which_branch(said))


def lead_of(item: PlannedItem, words: str, tables: Tables) -> PlannedLead | None:
    """Return the one path that ``words`` choose, or None."""
    found = [lead for lead in item.leads if _reply_fits(item, lead, words, tables)]
    return found[0] if len(found) == 1 else None


def _reply_fits(item: PlannedItem, lead: PlannedLead, words: str, tables: Tables) -> bool:
    others = [answer for other in item.leads if other is not lead for answer in other.replies]
    expected = Expectation(
        accepted=lead.replies,
        wrong=(*map(WrongReply, others), *item.expectation.wrong),
        challenge=item.expectation.challenge,
        actual_status=item.expectation.actual_status,
        contrasts=item.expectation.contrasts,
        synonyms=item.expectation.synonyms,
    )
    return judge_reply(words, expected, tables).verdict is Verdict.MATCH


def go_on(turn: Turn, item: PlannedItem, words: str) -> str:
    """Take the path that a reply chose; return what to say about it."""
    lead = lead_of(item, words, turn.context.tables)
    if lead is None:
        return ""
    progress = turn.progress
    ways = {**progress.ways, item.id: lead.to}
    on_it = nodes_reached(nodes_of(progress.plan, ways), [item.id])
    later = progress.plan.items[_item_place(progress.plan, item.id) + 1 :]
    states = {i.id: s for i, s in zip(progress.plan.items, progress.items, strict=True)}
    turn.record(
        r.Led(
            item_id=item.id,
            to=lead.to,
            reply=_lead_reply(lead, words, turn.context.tables),
            dropped=tuple(i.id for i in later if i.id not in on_it and states[i.id].open),
            restored=tuple(i.id for i in later if i.id in on_it and states[i.id].dropped_by),
        )
    )
    return _next_part(progress.plan, item, lead)


def _item_place(plan: Plan, item_id: str) -> int:
    at = plan.index(item_id)
    assert at is not None
    return at


def _lead_reply(lead: PlannedLead, words: str, tables: Tables) -> str:
    matched = judge_reply(words, Expectation(accepted=lead.replies), tables).reply
    return matched or lead.replies[0].text


def _next_part(plan: Plan, item: PlannedItem, lead: PlannedLead) -> str:
    """Return the name of the part it continues with, if that is another one."""
    target = next((other for other in plan.items if other.id == lead.to), None)
    if target is None or target.section == item.section or not target.section:
        return ""
    return f"{target.section}."
