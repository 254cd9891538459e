"""Codes of verdicts that a session gives besides those of the judge."""

from __future__ import annotations

from typing import Final

NOT_SET: Final = "not-set"
"""A right reply that the aircraft shows to be untrue."""
