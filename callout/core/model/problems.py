"""Problems in a file; each has its line, its place and its remedy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from callout.core.sentences import list_format as sentences
from callout.errors import ChecklistInvalid

MOST_SHOWN = 10


@dataclass(frozen=True, slots=True)
class Problem:
    """One defect of one file."""

    file: str
    line: int
    """Line of the file, 1 first; 0 for the whole file."""
    message: str
    """One sentence, without the file and line."""
    hint: str = ""
    path: str = ""
    """Field path, for example ``sections[0].items[3].response``."""
    rule: str = "format"
    """Id of the check rule that it breaks."""

    def __str__(self) -> str:
        return f"{self.file}, line {self.line}: {self.message}"


class FileProblems(ChecklistInvalid):
    """A file that cannot be used; ``problems`` holds the first ten reasons."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        first, more = problems[0], len(problems) - 1
        rest = sentences.more_problems(more, first.file) if more else ""
        super().__init__(str(first), first.hint + rest)
        self.problems = tuple(problems)


class ProblemReport:
    """Collects the problems found while one file is read."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def add(self, line: int, path: str, message: str, hint: str = "", rule: str = "format") -> None:
        """Add a problem; the tenth one stops the reading."""
        self.problems.append(Problem(self.file, line, message, hint, path, rule))
        if len(self.problems) >= MOST_SHOWN:
            self.check()

    def check(self) -> None:
        """Raise FileProblems if there are any, in line order."""
        if self.problems:
            raise FileProblems(sorted(self.problems, key=lambda problem: problem.line))
