"""Judging a spoken reply: match, mismatch or unclear, and why."""
