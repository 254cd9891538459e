"""Findings as SARIF 2.1.0 (OASIS standard), for code hosts and editors that show them in place."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path, PurePosixPath
from typing import Any, Final

from callout import __version__
from callout.app.list_files.checking import Checked
from callout.core.lint.finding import ListFinding, Rule, Severity
from callout.core.lint.flight_rules import FLIGHT_RULES, FlightRule
from callout.core.lint.rules import RULES
from callout.core.sentences import check_rules as sentences

EVERY_RULE: Final[tuple[Rule | FlightRule, ...]] = (*RULES, *FLIGHT_RULES)
SCHEMA: Final = "https://json.schemastore.org/sarif-2.1.0.json"
OTHER_RULES: Final = {
    "file": sentences.FILE_CANNOT_READ,
    "format": sentences.FILE_DOES_NOT_FOLLOW,
    "overlay": sentences.OVERLAY_CANNOT_MERGED_INTO,
    "overlay-base": sentences.LIST_OVERLAY_CHANGES_NOT,
    "overlay-removes": sentences.OVERLAY_MAY_ADD_MOVE,
    "follows": sentences.LIST_BEFORE_ONE_NOT,
    "unknown-fact": sentences.CONDITION_ASKS_FACT_NOT,
    "value": sentences.VALUE_CANNOT_WORKED_OUT,
    "value-missing": sentences.FLIGHT_FILE_DOES_NOT,
    "unknown-words": sentences.RECOGNISER_CAN_NEVER_REPORT,
    "heard-as-another": sentences.WHEN_VOICE_SPOKE_REPLY,
    "never-understood": sentences.WHICHEVER_VOICE_SPOKE_RECOGNISER,
    "needless-allowance": sentences.EXCEPTION_MADE_WHERE_NO,
}


def sarif_text(checked: Iterable[Checked]) -> str:
    """Return all findings as one SARIF log."""
    findings = [finding for file in checked for finding in file.findings]
    driver = {
        "name": "callout check",
        "version": __version__,
        "semanticVersion": f"{__version__}",
        "rules": _sarif_rules(),
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_sarif_result(finding) for finding in findings],
    }
    log = {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}
    return json.dumps(log, indent=2, ensure_ascii=False)


def _sarif_rules() -> list[dict[str, Any]]:
    known = [
        {
            "id": rule.id,
            "shortDescription": {"text": rule.reason},
            "help": {"text": f"Source: {rule.source}."},
            "defaultConfiguration": {"level": rule.severity.value},
        }
        for rule in EVERY_RULE
    ]
    other = [{"id": i, "shortDescription": {"text": text}} for i, text in OTHER_RULES.items()]
    return [*known, *other]


def _sarif_result(finding: ListFinding) -> dict[str, Any]:
    message = f"{finding.message} {finding.hint}".strip()
    place = {
        "artifactLocation": {"uri": _file_uri(finding.file)},
        "region": {"startLine": max(1, finding.line)},
    }
    return {
        "ruleId": finding.rule,
        "level": "error" if finding.severity is Severity.ERROR else "warning",
        "message": {"text": message},
        "locations": [{"physicalLocation": place}],
        "partialFingerprints": {"findingHash/v1": f"{finding.rule}/{finding.item_id}"},
    }


def _file_uri(file: str) -> str:
    path = Path(file)
    if path.is_absolute():
        try:
            path = path.relative_to(Path.cwd())
        except ValueError:
            return path.as_uri()
    from urllib.parse import quote

    return quote(str(PurePosixPath(*path.parts)))
