"""The only way out for text: to the terminal, to a pipe, and to a file.

Everything printed goes through a ``Guarded`` stream, which leaves no control character that could
move the cursor, colour the screen, ring the bell or reverse the writing direction. What this
program draws itself goes through ``drawing_stream``; its texts have already been made harmless
(terminal/console).
"""

from __future__ import annotations

import contextlib
import errno
import io
import os
import re
import stat
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final, TextIO, cast

from callout.core.sentences import sound_devices as sentences
from callout.errors import CalloutError
from callout.hidden import escape_hidden

GONE: Final = {errno.EPIPE, errno.EIO, errno.ESHUTDOWN, errno.ENXIO}
"""What writing raises when the reader or terminal has gone away."""


class OutputGone(CalloutError):
    """Nothing more can be printed.

    left: nobody is reading, and nobody need be told. hung_up: because the terminal is gone.
    """

    def __init__(self, error: OSError | ValueError) -> None:
        number = getattr(error, "errno", None)
        why = (getattr(error, "strerror", None) or str(error)).rstrip(".").lower()
        super().__init__(sentences.output_unwritable(why), sentences.OUTPUT_HINT)
        self.left = number in GONE
        self.hung_up = number == errno.EIO


def harmless_text(text: str) -> str:
    """Return ``text`` with every harmful character as a visible escape; line ends and tabs are
    kept.

    The escapes are those of JSON, so that JSON keeps its meaning.
    """
    if _PLAIN.fullmatch(text):
        return text
    return "\r\n".join(map(_harmless_line, text.split("\r\n")))


_PLAIN: Final = re.compile(r"[\t\n -~\u00a0-\u00ac\u00ae-\u034e\u0350-\u0377]*")
"""Most texts: nothing in them needs to be looked up."""


def _harmless_line(text: str) -> str:
    return escape_hidden(text.replace("\r", " "), "\n\t")


def harmless_values(value: Any) -> Any:
    """Return a JSON value with every text in it made harmless, for programs that show them
    unchanged.
    """
    if isinstance(value, str):
        return harmless_text(value)
    if isinstance(value, dict):
        return {harmless_values(key): harmless_values(one) for key, one in value.items()}
    return [harmless_values(one) for one in value] if isinstance(value, list | tuple) else value


class Guarded(io.TextIOBase):
    """A text stream that lets nothing harmful through, and reports clearly when it can no longer
    write.

    raw: None if the program was started without this stream.
    """

    def __init__(self, raw: TextIO | None, change: Callable[[str], str] = harmless_text) -> None:
        self.raw = raw
        self._change = change

    @property
    def encoding(self) -> str:  # type: ignore[override]
        """The encoding of the stream itself."""
        return getattr(self.raw, "encoding", None) or "utf-8"

    @property
    def errors(self) -> str:  # type: ignore[override]
        """Unencodable characters become question marks."""
        return "replace"

    def writable(self) -> bool:
        """Return True."""
        return True

    def isatty(self) -> bool:
        """Say whether a terminal is at the other end."""
        try:
            return bool(self.raw and self.raw.isatty())
        except ValueError:
            return False

    def fileno(self) -> int:
        """Return the descriptor; raises OSError if there is none."""
        if self.raw is None:
            raise io.UnsupportedOperation("fileno")
        return self.raw.fileno()

    def write(self, text: str | bytes) -> int:
        """Write ``text``; bytes (as shell completion writes) are accepted. Raises OutputGone."""
        if isinstance(text, bytes):
            text = text.decode(self.encoding, "replace")
        with _told_once():
            if self.raw is None:
                raise OSError(errno.EBADF, os.strerror(errno.EBADF))
            safe = self._change(text).encode(self.encoding, "replace").decode(self.encoding)
            self.raw.write(safe)
        return len(text)

    def flush(self) -> None:
        """Flush the stream; raises OutputGone."""
        with _told_once():
            if self.raw is not None and not self.raw.closed:
                self.raw.flush()


@contextlib.contextmanager
def _told_once() -> Iterator[None]:
    try:
        yield
    except (OSError, ValueError) as error:
        raise OutputGone(error) from error


def guarded_stream(stream: TextIO | None) -> TextIO:
    """Return ``stream`` wrapped in a guard."""
    return stream if isinstance(stream, Guarded) else cast(TextIO, Guarded(stream))


def drawing_stream(stream: TextIO) -> TextIO:
    """Return a stream to the same destination for what this program draws itself."""
    raw = stream.raw if isinstance(stream, Guarded) else stream
    return cast(TextIO, Guarded(raw, _same_text))


def _same_text(text: str) -> str:
    return text


@contextlib.contextmanager
def guarded_streams() -> Iterator[None]:
    """Replace standard output and error with guarded streams."""
    before = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = guarded_stream(sys.stdout), guarded_stream(sys.stderr)
    try:
        yield
    finally:
        sys.stdout, sys.stderr = before


def save_text(
    path: Path,
    text: str,
    what: str = "",
    *,
    as_it_is: bool = False,
    folders: bool = False,
    private: bool = False,
) -> None:
    """Write a text file, completely or not at all; raises CalloutError naming it.

    what: what it is, for the error. as_it_is: for a person's own file that is changed in part.
    folders: create missing ones. private: only the owner may read a new file.
    """
    data = (text if as_it_is else harmless_text(text)).encode("utf-8", "replace")
    save_bytes(path, data, what, folders=folders, private=private)


def save_bytes(
    path: Path, data: bytes, what: str = "", *, folders: bool = False, private: bool = False
) -> None:
    """Write a file, completely or not at all; raises CalloutError naming it."""
    path = path.resolve()  # a link stays a link
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        if _is_device(path):
            path.write_bytes(data)
            return
        if folders:
            path.parent.mkdir(parents=True, exist_ok=True)
        _write_beside(beside, path, data, private)
        os.replace(beside, path)
    except OSError as error:
        with contextlib.suppress(OSError):
            beside.unlink()
        why = (error.strerror or str(error)).rstrip(".").lower()
        named = f"{what} cannot be written to {path}" if what else f"{path} cannot be written"
        raise CalloutError(f"{named}: {why}.", sentences.OUTPUT_FILE_HINT) from error


def _is_device(path: Path) -> bool:
    """Say whether the path is something that cannot be replaced by a file, such as /dev/stdout."""
    try:
        mode = path.stat().st_mode
    except OSError:
        return False
    return not (stat.S_ISREG(mode) or stat.S_ISDIR(mode))


def _owned(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


def _write_beside(beside: Path, path: Path, data: bytes, private: bool = False) -> None:
    with open(beside, "xb", opener=_owned if private else None) as file:
        with contextlib.suppress(OSError):  # an existing file keeps its permissions
            os.chmod(beside, os.stat(path).st_mode & 0o7777)
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def reserve_descriptors() -> None:
    """Fill closed standard descriptors, so that none of our files takes one.

    Libraries print to descriptors 1 and 2, whatever those are.
    """
    for wanted in (0, 1, 2):
        try:
            os.fstat(wanted)
        except OSError:
            with contextlib.suppress(OSError):
                os.open(os.devnull, os.O_RDONLY)


def let_go(stream: Any) -> None:
    """Write nothing more to a stream that has failed, even when the program ends."""
    raw = stream.raw if isinstance(stream, Guarded) else stream
    if raw is None:
        return
    with contextlib.suppress(OSError, ValueError, AttributeError):
        sink = os.open(os.devnull, os.O_WRONLY)
        os.dup2(sink, raw.fileno())
        os.close(sink)
