"""One session after another, killed at random moments, with its files tampered with."""

from __future__ import annotations

import os
import random
import shutil
import signal
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib.resources import as_file, files
from pathlib import Path
from typing import Final

from callout.bench.hostile.kept import Done, acknowledged, kept_in, lost, screen_lines, screen_text
from callout.bench.hostile.killed_script import (
    drill_lines,
    flight_journal,
    flight_lines,
    flight_progress,
    list_lines,
    list_progress,
)
from callout.bench.hostile.nursery import Nursery
from callout.errors import CalloutError
from callout.journal.sector_files import DRILLS

MISCHIEF: Final = ("vanished", "replaced", "linked", "hard-linked", "second", "facts", "no files")
_ALWAYS: Final = ("vanished", "replaced", "facts", "no files")
_LINES: Final = {"run": 9, "fly": 20, "drill": 16}
"""Of a screen, within which most kills come."""
_PATIENCE_S: Final = 8.0
_OVER: Final = "\nJournal: "
_FAIR: Final = (0, 2, -signal.SIGKILL)  # done, refused in a sentence, killed


@dataclass(frozen=True, slots=True)
class Kill:
    """One process that was killed (or ended earlier), and what was wrong afterwards."""

    kind: str
    mischief: str
    killed: bool
    told: int = 0
    """Acknowledgements on its screen."""
    wrong: str = ""


@dataclass(slots=True)
class Killing:
    """One session (a list, a flight, or drills) from its beginning to its end."""

    kind: str
    where: Path
    nursery: Nursery
    chance: random.Random
    before: dict[Path, bytes] = field(default_factory=dict)
    count: int = 0

    def __post_init__(self) -> None:
        with as_file(files("callout") / "data" / "bench" / "killed") as shipped:
            shutil.copytree(shipped, self.lists)

    @property
    def lists(self) -> Path:
        """Folder of the lists and their facts."""
        return self.where / "aircraft"

    @property
    def journals(self) -> Path:
        """Folder of the journals."""
        return self.where / "journals"

    def all(self) -> list[Path]:
        """Return every journal."""
        return sorted(self.journals.rglob("*.jsonl"))

    def own(self) -> Path | None:
        """Return the journal that is resumed."""
        if self.kind == "fly":
            return flight_journal(self.journals)
        return next(iter(sorted(self.journals.glob("*.jsonl"))), None)

    def over(self) -> bool:
        """Say whether the session came to its end."""
        if self.kind == "fly":
            flight = flight_progress(self.journals)
            return bool(flight and flight.ended)
        progress = list_progress(self.own())
        return bool(progress and progress.ending)

    def kill(self) -> Kill:
        """Start or continue the session, kill it at some moment, and examine what is stored."""
        self.count += 1
        mischief = self.chance.choice(MISCHIEF) if self.chance.random() < 0.5 else ""
        with self._changed_files(mischief):
            args, name = self._command(mischief)
            mischief = mischief if name or mischief in _ALWAYS else ""
            before = kept_in(self.all())
            screens = [self.where / f"screen-{self.count}"]
            pids = [self._start(args, screens[0])]
            self._wait(screens[0], self.chance.randint(0, _LINES[self.kind]))
            if mischief == "second" and name:
                screens.append(self.where / f"screen-{self.count}-second")
                pids.append(self._start(["resume", str(name)], screens[1]))
            told_then, taken = self._mischief(mischief, screens[0])
            self._wait(screens[0], screen_lines(screens[0]) + self.chance.randint(0, 6))
            time.sleep(self.chance.uniform(0.0, 0.004))
            codes = [self._killed(pid) for pid in pids]
        told = sum((acknowledged(screen_text(screen)) for screen in screens), Counter())
        wrong = self._wrong(codes, told, before, told_then, taken, screen_text(screens[0]))
        self.before = {path: path.read_bytes() for path in self.all()}
        done = -signal.SIGKILL in codes
        return Kill(self.kind, mischief, done, told.total(), wrong)

    def finish(self) -> str:
        """Continue to the end without a kill; return what is wrong, empty for nothing."""
        if self.kind == "drill":
            return ""
        for _ in range(8):
            if self.over():
                break
            args, _name = self._command("", calm=True)
            self.count += 1
            code = self.nursery.wait(self._start(args, self.where / f"last-{self.count}"))
            if code:
                return f"it cannot be gone on with: exit code {code}"
        return "" if self.over() else "it does not come to its end"

    def _command(self, mischief: str, calm: bool = False) -> tuple[list[str], Path | None]:
        chance = None if calm else self.chance
        own = self.own()
        if self.kind == "drill":
            self._say(drill_lines(self.chance))
            return ["drill", str(self.lists), "--minutes", "2"], None
        if own and not own.read_bytes().count(b"\n"):
            own.unlink()  # killed before its first record
            own = None
        progress = list_progress(own) if self.kind == "run" else None
        flies = self.kind == "fly"
        self._say(flight_lines(self.journals, chance) if flies else list_lines(progress, chance))
        if own is None:
            target = self.lists if flies else self.lists / "before-start.yaml"
            return [self.kind, str(target)], None
        name = self._other_name(own, mischief)
        return ["resume", str(name)], name

    def _other_name(self, own: Path, mischief: str) -> Path:
        """Return a link to a list's journal, or to the folder that a flight's journals are in."""
        if mischief not in ("linked", "hard-linked", "second"):
            return own
        if self.kind == "fly":
            other = self.where / f"other-{self.count}"
            os.symlink(self.journals, other)
            return other / own.relative_to(self.journals)
        other = self.where / f"other-{self.count}.jsonl"
        (os.link if mischief == "hard-linked" else os.symlink)(own, other)
        return other

    def _say(self, lines: Iterator[str]) -> None:
        (self.where / "said").write_text("".join(f"{line}\n" for line in lines), "utf-8")

    def _start(self, args: list[str], screen: Path) -> int:
        options = ["--journal-dir", str(self.journals), "--plain", "--silent"]
        return self.nursery.start([*args, *options], self.where / "said", screen)

    def _wait(self, screen: Path, lines: int) -> None:
        """Wait until the screen has so many lines, or the session is over."""
        until = time.monotonic() + (_PATIENCE_S if lines else self.chance.uniform(0, 0.2))
        while time.monotonic() < until and not (lines and screen_lines(screen) >= lines):
            if _OVER in screen_text(screen) or "callout: " in screen_text(screen):
                return
            time.sleep(0.001)

    def _mischief(self, mischief: str, screen: Path) -> tuple[int, tuple[Path, Path] | None]:
        """Remove or replace the newest journal; return what was shown so far."""
        paths = [*self.journals.glob("*.jsonl"), *(self.journals / DRILLS).glob("*.jsonl")]
        if mischief not in ("vanished", "replaced") or not paths:
            return 0, None
        path = max(paths, key=lambda one: one.stat().st_mtime_ns)
        taken = self.where / f"taken-{self.count}.jsonl"
        os.link(path, taken)
        older, beside = self.where / "older", self.where / "beside"
        older.unlink(missing_ok=True)
        if mischief == "vanished":
            path.unlink()
        else:
            lines = taken.read_bytes().splitlines(keepends=True)
            older.write_bytes(b"".join(lines[: self.chance.randint(1, max(1, len(lines)))]))
            os.replace(shutil.copy(older, beside), path)
        return acknowledged(screen_text(screen)).total(), (path, taken)

    @contextmanager
    def _changed_files(self, mischief: str) -> Iterator[None]:
        flight = self.lists / "flight.yaml"
        if mischief == "facts":
            text = flight.read_text("utf-8")
            kinds = ('is: "no"', 'is: "yes"', "is: unknown")
            flight.write_text(text.replace(kinds[0], self.chance.choice(kinds), 1), "utf-8")
        away = self.where / "away"
        gone = mischief == "no files" and self.own() is not None
        if gone:
            os.rename(self.lists, away)
        yield
        if gone:
            os.rename(away, self.lists)

    def _killed(self, pid: int) -> int:
        os.kill(pid, signal.SIGKILL)
        return self.nursery.wait(pid)

    def _wrong(
        self,
        codes: list[int],
        told: Counter[Done],
        before: Counter[Done],
        told_then: int,
        taken: tuple[Path, Path] | None,
        screen: str,
    ) -> str:
        unfair = [code for code in codes if code not in _FAIR]
        if unfair:
            return f"exit code {unfair[0]}"
        try:
            missing = lost(told, before, kept_in(self.all()))
            if missing and taken:
                since = told.total() - told_then
                if since >= 2 and self.kind != "fly":
                    return f"{since} were acknowledged after the journal {taken[0]} was gone"
                paths = [taken[1] if path == taken[0] else path for path in self.all()]
                missing = lost(told, before, kept_in({*paths, taken[1]}))
                if (self.where / "older").exists():  # it may have begun with that one
                    missing &= lost(told, kept_in([self.where / "older"]), kept_in(self.all()))
            elif taken and told.total() - told_then >= 2 and self.kind != "fly":
                return "" if "written again" in screen else "what happened was not told"
        except CalloutError as error:
            return error.message
        if missing:
            return f"lost: {dict(missing)}"
        return "" if taken else self._unchanged()

    def _unchanged(self) -> str:
        for path, data in self.before.items():
            whole = data[: data.rfind(b"\n") + 1]
            if path.exists() and not path.read_bytes().startswith(whole):
                return f"what was kept in {path.name} has changed"
        return ""
