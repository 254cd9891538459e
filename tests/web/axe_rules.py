"""What axe-core is asked: every rule of WCAG 2.2 A and AA and of good practice."""

from __future__ import annotations

RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    # Of what passes, one place for each rule: describing every place took four fifths of the time.
    "resultTypes": ["violations"],
}
