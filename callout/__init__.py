"""Offline, voice-driven challenge-and-response checklist assistant.

For simulation, study and briefing only.
"""

__all__ = ["__version__"]
__version__ = "0.1.0"
