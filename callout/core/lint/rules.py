"""All rules, and the one way to apply them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from callout.core.lint.applicability import always_applies, asked_twice, many_facts, never_applies
from callout.core.lint.branches import never_reached, one_way, unnamed_end
from callout.core.lint.finding import ListFinding, Remark, Rule, Severity, Subject
from callout.core.lint.order import (
    critical_late,
    flow_travel,
    list_travel,
    long_list,
    long_section,
    unknown_panel,
)
from callout.core.lint.prefixes import lost_prefix
from callout.core.lint.proofs import PROOF_RULES
from callout.core.lint.replies import (
    bare_allowed,
    missing_opposite,
    same_response,
    sounds_alike,
    vague_response,
)
from callout.core.lint.synonyms import contrary_synonym
from callout.core.lint.values import fixed_value
from callout.core.lint.wording import completion_call, long_challenge, negative_wording, same_call
from callout.core.lint.wordings import contrary_wording
from callout.core.sentences import check_rules as sentences

_DW93: Final = "Degani and Wiener, Human Factors 35(2), 1993"
_DW90: Final = "Degani and Wiener, NASA CR-177549, 1990"
_COMMON: Final = "common practice"

RULES: Final[tuple[Rule, ...]] = (
    Rule(
        "vague-response",
        sentences.WHY_VAGUE_RESPONSE,
        f"{_DW93}, guideline 1; FAA AC 120-71B, para 5.4",
        vague_response,
    ),
    Rule(
        "bare-allowed",
        sentences.WHY_BARE_ALLOWED,
        f"{_DW93}, guideline 1; FAA AC 120-71B, para 5.4",
        bare_allowed,
    ),
    Rule(
        "missing-opposite",
        sentences.WHY_MISSING_OPPOSITE,
        f"{_COMMON}: the opposite position is known for every switch",
        missing_opposite,
    ),
    Rule(
        "same-response",
        sentences.WHY_SAME_RESPONSE,
        f"{_COMMON}; the same concern in {_DW90}, on responses given without looking",
        same_response,
    ),
    Rule(
        "sounds-alike",
        sentences.WHY_SOUNDS_ALIKE,
        "from memory: ICAO Doc 9432 asks for words that cannot be mistaken; distances are our own",
        sounds_alike,
    ),
    Rule(
        "contrary-synonym",
        sentences.WHY_CONTRARY_SYNONYM,
        _COMMON,
        contrary_synonym,
    ),
    Rule(
        "contrary-wording",
        sentences.WHY_CONTRARY_WORDING,
        _COMMON,
        contrary_wording,
    ),
    Rule(
        "lost-prefix",
        sentences.WHY_LOST_PREFIX,
        f"{_COMMON}; often the word is the trade's only one, so this is a note",
        lost_prefix,
        Severity.NOTE,
    ),
    Rule(
        "negative-wording",
        sentences.WHY_NEGATIVE_WORDING,
        "from memory: Clark and Chase, Cognitive Psychology 3, 1972, on the cost of negation",
        negative_wording,
    ),
    Rule(
        "long-challenge",
        sentences.WHY_LONG_CHALLENGE,
        f"{_COMMON}; four to five syllables a second is a usual reading pace, from memory",
        long_challenge,
    ),
    Rule(
        "completion-call",
        sentences.WHY_COMPLETION_CALL,
        f"{_DW90}, guideline 6",
        completion_call,
    ),
    Rule(
        "same-call",
        sentences.WHY_SAME_CALL,
        _COMMON,
        same_call,
    ),
    Rule(
        "long-list",
        sentences.WHY_LONG_LIST,
        f"{_DW93}, on list length; the limit of 25 is common practice",
        long_list,
    ),
    Rule(
        "long-section",
        sentences.WHY_LONG_SECTION,
        f"{_DW93}, guideline 3; seven and two items: Miller, Psychological Review 63, 1956, "
        "from memory",
        long_section,
    ),
    Rule(
        "critical-late",
        sentences.WHY_CRITICAL_LATE,
        f"{_DW90}, guideline 10",
        critical_late,
    ),
    Rule(
        "flow-travel",
        sentences.WHY_FLOW_TRAVEL,
        f"{_DW93}, on motor and eye flow; the limit of 1.5 is common practice",
        flow_travel,
    ),
    Rule(
        "list-travel",
        sentences.WHY_LIST_TRAVEL,
        f"{_DW93}, on the order of items; the limit of 3 is common practice",
        list_travel,
    ),
    Rule(
        "fixed-value",
        sentences.WHY_FIXED_VALUE,
        f"{_COMMON}: each number has one source, and lists read it from there",
        fixed_value,
    ),
    Rule(
        "unknown-panel",
        sentences.WHY_UNKNOWN_PANEL,
        f"{_DW93}, guideline 2: touch or point at the control",
        unknown_panel,
    ),
    Rule(
        "never-applies",
        sentences.WHY_NEVER_APPLIES,
        "14 CFR 121.315(b): nothing that must be checked is left to memory",
        never_applies,
    ),
    Rule(
        "always-applies",
        sentences.WHY_ALWAYS_APPLIES,
        _COMMON,
        always_applies,
    ),
    Rule(
        "asked-twice",
        sentences.WHY_ASKED_TWICE,
        _COMMON,
        asked_twice,
    ),
    Rule(
        "never-reached",
        sentences.WHY_NEVER_REACHED,
        "14 CFR 121.315(b): nothing that must be checked is left to memory",
        never_reached,
    ),
    Rule(
        "unnamed-end",
        sentences.WHY_UNNAMED_END,
        f"{_DW90}, guideline 6, on completion calls; common practice for each way",
        unnamed_end,
    ),
    Rule(
        "one-way",
        sentences.WHY_ONE_WAY,
        _COMMON,
        one_way,
    ),
    Rule(
        "many-facts",
        sentences.WHY_MANY_FACTS,
        _COMMON,
        many_facts,
    ),
    *PROOF_RULES,
)

NEEDLESS: Final = "needless-allowance"
"""Reported if an `allow:` names a rule that finds nothing there."""


def lint_list(subject: Subject) -> list[ListFinding]:
    """Return what the rules report about a list, in line order.

    Whatever the list or an item allows, with a reason, is left out.
    """
    used: set[tuple[str, str]] = set()
    findings = []
    for rule in RULES:
        for remark in rule.look(subject):
            allowed_by = _who_allows(rule.id, remark, subject)
            if allowed_by is None:
                findings.append(_rule_finding(rule.id, rule.severity, remark, subject))
            else:
                used.add((allowed_by, rule.id))
    for remark in _needless_allowances(subject, used):
        findings.append(_rule_finding(NEEDLESS, Severity.WARNING, remark, subject))
    return sorted(findings, key=lambda finding: (finding.file, finding.line))


def _who_allows(rule: str, remark: Remark, subject: Subject) -> str | None:
    """Return the id of the item that allows it, an empty id for the list, None for neither."""
    if rule in subject.checklist.allowed:
        return ""
    item = next((i for i in subject.checklist.items if i.id == remark.item_id), None)
    return item.id if item and rule in item.allowed else None


def _needless_allowances(subject: Subject, used: set[tuple[str, str]]) -> Iterator[Remark]:
    checklist = subject.checklist
    places = [("", checklist.allowed, checklist.origin.line)]
    places += [(item.id, item.allowed, item.line) for item in checklist.items]
    for item_id, allowed, line in places:
        for rule in allowed:
            if (item_id, rule) not in used:
                said = f'"{rule}" is allowed here, but has nothing to say.'
                yield Remark(line, said, sentences.NEEDLESS_ALLOWANCE_HINT, item_id)


def _rule_finding(rule: str, severity: Severity, remark: Remark, subject: Subject) -> ListFinding:
    checklist = subject.checklist
    item = next((i for i in checklist.items if i.id == remark.item_id), None)
    file = item.origin.file if item else checklist.origin.file
    return ListFinding(
        rule, severity, file, remark.line, remark.message, remark.hint, item_id=remark.item_id
    )
