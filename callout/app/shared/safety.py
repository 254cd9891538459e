"""The note that every session, card and report carries."""

from callout.core.sentences import settings_help as sentences

SAFETY = sentences.SAFETY
