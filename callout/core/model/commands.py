"""Spoken and single-key control: which words and keys mean what."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import lru_cache


class Command(Enum):
    """Everything a person can ask of a session besides replying."""

    SAY_AGAIN = "say-again"
    HOLD = "hold"
    CONTINUE = "continue"
    SKIP = "skip"
    DEFER = "defer"
    GO_BACK = "go-back"
    DISREGARD = "disregard"
    WHAT_IS_LEFT = "what-is-left"
    WHY = "why"
    SLOWER = "slower"
    FASTER = "faster"
    QUIET = "quiet"
    READ_ALOUD = "read-aloud"
    SET_UP = "set-up"
    DO_ANYWAY = "do-anyway"
    HELP = "help"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class CommandEntry:
    """How one command is given."""

    command: Command
    phrases: tuple[str, ...]
    """Ways to say it; the first is the one that help shows."""
    keys: tuple[str, ...] = ()
    about: str = ""
    """What it does, for help."""
    takes_rest: bool = False
    """True: words may follow (the reason for a skip)."""
    endings: tuple[str, ...] = ()
    """Common words to follow, listened for as one phrase with the first way to say it."""
    everyday: tuple[str, ...] = ()
    """Other words for it; if the open item lists such a word as a reply, the reply wins."""
    reasons: tuple[str, ...] = ()
    """Words that give the command and its reason at once."""

    @property
    def alone(self) -> tuple[str, ...]:
        """Every way to give the command alone."""
        return (*self.phrases, *self.everyday)

    @property
    def reasoned(self) -> tuple[str, ...]:
        """Ways to give it together with a common reason."""
        first = self.phrases[0]
        return (*(f"{first} {ending}" for ending in self.endings), *self.reasons)


@dataclass(frozen=True, slots=True)
class CommandTable:
    """All commands, and the words that answer the session's own questions."""

    entries: tuple[CommandEntry, ...]
    answers: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Phrases by choice: ``yes``, ``no``, ``done``, ``take-now``, ``leave-open``."""
    fillers: tuple[str, ...] = ()
    """Courtesy words allowed before or after a command."""
    connectors: tuple[str, ...] = ()
    """Words allowed between a skip and its reason."""
    desk: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Phrases between lists: ``next-list``, ``what-is-due``, ``end-flight``."""

    def phrases(self) -> tuple[str, ...]:
        """Return every way to give every command, for a recogniser to listen for."""
        said = [p for entry in self.entries for p in (*entry.alone, *entry.reasoned)]
        return tuple(dict.fromkeys(said))

    def groups(self) -> tuple[tuple[str, ...], ...]:
        """Return the same by meaning: different ways to say one thing do not compete.

        A command with a common ending ("skip, inoperative") is a meaning of its own.
        """
        taken: set[str] = set()
        found = []
        for entry in self.entries:
            for group in (entry.alone, *((phrase,) for phrase in entry.reasoned)):
                fresh = tuple(p for p in dict.fromkeys(group) if p not in taken)
                taken.update(fresh)
                found += [fresh] if fresh else []
        return tuple(found)

    def without(self, commands: Collection[Command]) -> CommandTable:
        """Return the table without some commands."""
        entries = tuple(entry for entry in self.entries if entry.command not in commands)
        return replace(self, entries=entries)

    def formal(self, commands: Collection[Command]) -> CommandTable:
        """Return the table without the everyday words of some commands."""
        entries = tuple(
            replace(entry, everyday=(), reasons=()) if entry.command in commands else entry
            for entry in self.entries
        )
        return replace(self, entries=entries)

    def off_hold(self) -> CommandTable:
        """Return what is listened for while nothing is on hold: "go on" sounds like "both on"."""
        return self.formal((Command.CONTINUE,))

    def entry(self, command: Command) -> CommandEntry:
        """Return how ``command`` is given."""
        return next(entry for entry in self.entries if entry.command is command)

    def of_key(self, key: str) -> Command | None:
        """Return the command on ``key``, or None."""
        return next((e.command for e in self.entries if key in e.keys), None)


@dataclass(frozen=True, slots=True)
class Found:
    """A command recognised in words."""

    command: Command
    rest: str = ""
    """Words after it, joined by single spaces, with the connector dropped."""


def match_command(words: str, table: CommandTable) -> Found | None:
    """Return the command in ``words``, or None; whole words only, no guessing."""
    said = without_fillers(plain_words(words), table.fillers)
    for entry in table.entries:
        if any(said == plain_words(form) for form in entry.alone):
            return Found(entry.command)
        if any(said == plain_words(form) for form in entry.reasons):
            return Found(entry.command, " ".join(said))
        rest = _words_after(said, entry) if entry.takes_rest else ()
        if rest:
            return Found(entry.command, _reason_given(rest, table.connectors))
    return None


def _words_after(said: tuple[str, ...], entry: CommandEntry) -> tuple[str, ...]:
    """Return the words after the longest way to say the command that leads them."""
    forms = [form for form in map(plain_words, entry.phrases) if form and said[: len(form)] == form]
    return said[len(max(forms, key=len)) :] if forms else ()


def find_command(words: str, table: CommandTable) -> Command | None:
    """Return the command in ``words`` without the words after it, or None."""
    found = match_command(words, table)
    return found.command if found else None


def find_answer(words: str, table: CommandTable, choices: tuple[str, ...]) -> str | None:
    """Return which of ``choices`` the words mean, or None; whole words only."""
    said = without_fillers(plain_words(words), table.fillers)
    for choice in choices:
        if said and any(said == plain_words(form) for form in table.answers.get(choice, ())):
            return choice
    return None


@lru_cache(maxsize=4096)
def plain_words(words: str) -> tuple[str, ...]:
    """Return the words in lower case without punctuation ("What's left?" -> what's, left)."""
    straight = words.casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    return tuple(re.findall(r"[^\W_]+(?:'[^\W_]+)*", straight))


def without_fillers(words: tuple[str, ...], fillers: tuple[str, ...]) -> tuple[str, ...]:
    """Drop courtesy words at either end, unless nothing else would be left."""
    start, end = 0, len(words)
    while start < end and words[start] in fillers:
        start += 1
    while end > start and words[end - 1] in fillers:
        end -= 1
    return words[start:end] or words


def _reason_given(words: tuple[str, ...], connectors: tuple[str, ...]) -> str:
    return " ".join(words[1:] if words[:1] and words[0] in connectors else words)
