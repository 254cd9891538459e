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
    "file": sentences.WHY_FILE,
    "format": sentences.WHY_FORMAT,
    "overlay": sentences.WHY_OVERLAY,
    "overlay-base": sentences.WHY_OVERLAY_BASE,
    "overlay-removes": sentences.WHY_OVERLAY_REMOVES,
    "follows": sentences.WHY_FOLLOWS,
    "unknown-fact": sentences.WHY_UNKNOWN_FACT,
    "value": sentences.WHY_VALUE,
    "value-missing": sentences.WHY_VALUE_MISSING,
    "unknown-words": sentences.WHY_UNKNOWN_WORDS,
    "heard-as-another": sentences.WHY_HEARD_AS_ANOTHER,
    "never-understood": sentences.WHY_NEVER_UNDERSTOOD,
    "needless-allowance": sentences.WHY_NEEDLESS_ALLOWANCE,
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
