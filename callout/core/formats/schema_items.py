"""The format of an item: its keys, its replies, and what they become."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Final

from callout.core.formats.compound_shapes import Key, ListOf, MapOf, RecordShape
from callout.core.model.checklist import Item, Lead, Once, Origin, Response, Role, WrongResponse
from callout.core.model.conditions import parse_condition
from callout.core.model.expectation import ValueKind
from callout.core.model.located import Table
from callout.core.model.problems import ProblemReport
from callout.core.model.shapes import BAD, Amount, ChoiceShape, Flag, Text
from callout.core.model.state_quantity import MOST_AGE_S, USUAL_AGE_S, Proof
from callout.core.planning.consistency import check_item
from callout.core.planning.templates import check_comparison, check_expression, check_template
from callout.core.sentences import list_format as sentences

IDENTIFIER: Final = Text(
    60, "[a-z][a-z0-9-]*", "small letters, digits and dashes, beginning with a letter"
)
NAME: Final = Text(
    60, "[a-z][a-z0-9_]*", "small letters, digits and underscores, beginning with a letter"
)
LINE: Final = Text(200)
NOTE: Final = Text(1000)
CONDITION: Final = Text(parse=parse_condition, hint=sentences.EXAMPLE_CONDITION)
ALLOWED: Final = MapOf(LINE, IDENTIFIER, "rules, each with the reason")
EXPRESSION: Final = Text(parse=check_expression, hint=sentences.EXAMPLE_SUM)
TEMPLATE: Final = Text(parse=check_template, hint=sentences.EXAMPLE_SLOT)


def one_or_several(shape: Text | RecordShape, noun: str) -> ListOf:
    """Return the shape of one thing or a list of them."""
    return ListOf(shape, noun, lone=True)


VALUE_KEYS: Final = {
    "unit": Key(Text(20), "the unit it is spoken in"),
    "tolerance": Key(Amount(), "the largest accepted difference"),
    "kind": Key(ChoiceShape(ValueKind), "how the number is spoken"),
    "digits": Key(Amount(1, 8, whole=True), "how many digits must be spoken"),
    "decimals": Key(Amount(0, 6, whole=True), "digits after the decimal point"),
    "say_unit": Key(Flag(), "whether the unit must be spoken"),
    "or_units": Key(one_or_several(Text(20), "units"), "units that will do as well"),
    "name": Key(Text(60), "what the value is called"),
}

REPLY_KEYS: Final = {
    "text": Key(TEMPLATE, "the words of the reply"),
    "value": Key(EXPRESSION, "the number that must be said, or what it is computed from"),
    **VALUE_KEYS,
}


def _read_response(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    if ("text" in values) == ("value" in values):
        fault = "a reply needs either text or value" + (", not both." if "text" in values else ".")
        report.add(node.line, path, fault, sentences.EXAMPLE_TEXT_OR_VALUE)
        return BAD
    text = values["text"] if "text" in values else "{" + values["value"] + "}"
    return Response(
        text=text,
        unit=values.get("unit"),
        tolerance=values.get("tolerance"),
        kind=values.get("kind"),
        digits=values.get("digits"),
        decimals=values.get("decimals"),
        unit_required=values.get("say_unit"),
        other_units=values.get("or_units", ()),
        name=values.get("name", ""),
        line=node.line,
    )


def _read_wrong(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    response = _read_response(values, node, path, report)
    return BAD if response is BAD else WrongResponse(response, values.get("because", ""))


RESPONSE: Final = RecordShape("a response", REPLY_KEYS, _read_response, shorthand="text")
WRONG: Final = RecordShape(
    "a wrong response",
    {**REPLY_KEYS, "because": Key(LINE, "what to tell the person")},
    _read_wrong,
    shorthand="text",
)


def _proof(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    return Proof(
        values["state"],
        tolerance=values.get("tolerance", Decimal(0)),
        age_s=values.get("age", USUAL_AGE_S),
        alone=values.get("alone", False),
        line=node.line,
    )


PROOF: Final = RecordShape(
    "a proof",
    {
        "state": Key(
            Text(parse=check_comparison, hint=sentences.EXAMPLE_PROOF),
            "what must be true of the aircraft's own state",
            required=True,
        ),
        "tolerance": Key(Amount(), "the difference at which two numbers still count as equal"),
        "age": Key(Amount(1, int(MOST_AGE_S)), "the oldest state that counts, in seconds"),
        "alone": Key(Flag(), "yes: the state will do, without a word"),
    },
    _proof,
    shorthand="state",
)

ITEM_TEXT_KEYS: Final = {
    "challenge": Key(LINE, "the words to show", required=True),
    "say": Key(LINE, "the words to speak, when they differ"),
    "caution": Key(one_or_several(NOTE, "cautions"), "what can hurt here"),
    "note": Key(one_or_several(NOTE, "notes"), "anything else worth knowing"),
    "why": Key(NOTE, "why it is done, for who asks"),
}
ITEM_STRICT_KEYS: Final = {
    "critical": Key(Flag(), "yes for an item that must never be missed"),
    "actual_status": Key(
        Flag(), 'yes: a bare "checked" or "set" is not enough (as critical unless written)'
    ),
    "wrong": Key(one_or_several(WRONG, "wrong responses"), "replies to be named as wrong"),
}
ITEM_KEYS: Final = {
    "id": Key(IDENTIFIER, "a short name that never changes", required=True),
    **ITEM_TEXT_KEYS,
    "response": Key(one_or_several(RESPONSE, "responses"), "the accepted reply or replies"),
    "also": Key(one_or_several(RESPONSE, "wordings"), "other wordings that will do as well"),
    **ITEM_STRICT_KEYS,
    "who": Key(ChoiceShape(Role), "who answers"),
    "as_required": Key(Flag(), 'yes: "as required" may lead; the state chosen must follow'),
    "names": Key(one_or_several(LINE, "names"), "what else the control is called when recited"),
    "memory": Key(Flag(), "yes: done from memory before the list is opened"),
    "panel": Key(Text(60), "where to look"),
    "when": Key(CONDITION, "the set-up in which it applies"),
    "once": Key(ChoiceShape(Once), "due once a day, once per power-up or once per crew"),
    "needs": Key(one_or_several(NAME, "names"), "quantities that must be known before it"),
    "produces": Key(one_or_several(NAME, "names"), "quantities that are known after it"),
    "proof": Key(PROOF, "the state of the aircraft that proves the reply"),
    "allow": Key(ALLOWED, "rules of the check that it may break, each with the reason"),
}


def _read_lead(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    return Lead(values["reply"], values["to"], node.line)


LEAD: Final = RecordShape(
    "a lead",
    {
        "reply": Key(one_or_several(RESPONSE, "responses"), "the reply or replies", required=True),
        "to": Key(IDENTIFIER, "the section or end it leads to, or `next`", required=True),
    },
    _read_lead,
)
ITEM_KEYS["leads"] = Key(ListOf(LEAD, "leads", least=2), "where each reply leads")


def _read_item(values: dict[str, Any], node: Table, path: str, report: ProblemReport) -> Any:
    critical = values.get("critical", False)
    leads = values.get("leads", ())
    if ("response" in values) == bool(leads):
        fault = "an item has both response and leads." if leads else 'an item has no "response".'
        report.add(node.line, path, fault, sentences.NO_RESPONSE_HINT)
        return BAD
    if leads and "also" in values:
        fault = "a question takes no other wordings beside its leads."
        report.add(node.line, path, fault, sentences.REPLY_KEYS_HINT)
        return BAD
    proof = values.get("proof")
    if proof and leads:
        fault = "a question has no proof: what is said decides."
        report.add(node.line, path, fault, sentences.PROOF_OF_QUESTION_HINT)
        return BAD
    if proof and proof.alone and (critical or values.get("who") is Role.BOTH):
        fault = "a critical item, or one of both seats, is never proved without a word."
        report.add(proof.line, path, fault, sentences.ALONE_HINT)
        return BAD
    item = Item(
        id=values["id"],
        challenge=values["challenge"],
        spoken=values.get("say", values["challenge"]),
        responses=values.get("response", tuple(r for lead in leads for r in lead.responses)),
        also=values.get("also", ()),
        wrong=values.get("wrong", ()),
        responder=values.get("who", Role.EITHER),
        critical=critical,
        actual_status=values.get("actual_status", critical),
        as_required=values.get("as_required", False),
        memory=values.get("memory", False),
        cautions=values.get("caution", ()),
        notes=values.get("note", ()),
        why=values.get("why", ""),
        names=values.get("names", ()),
        leads=leads,
        panel=values.get("panel", ""),
        when=values.get("when"),
        once=values.get("once"),
        needs=values.get("needs", ()),
        produces=values.get("produces", ()),
        proof=proof,
        allowed=values.get("allow", {}),
        origin=Origin(report.file, node.line),
    )
    check_item(item, path, report)
    return item


ITEM: Final = RecordShape("an item", ITEM_KEYS, _read_item, either=("response", "leads"))
