"""Fetches a model's zip file over HTTP, continuing where an earlier attempt stopped.

Nothing here runs unless a person gives an address.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import time
from collections.abc import Callable
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path
from typing import TYPE_CHECKING

from callout.app.models.model_archive import MOST_BYTES
from callout.app.models.model_http import (
    DownloadFailed,
    Unfinished,
    checked_address,
    file_name,
    open_session,
    send_request,
    shown_address,
)
from callout.app.models.model_place import disk_errors, downloads_dir, need_space, readable_size
from callout.app.models.model_record import Progress, sha256_of
from callout.core.sentences import models as sentences

if TYPE_CHECKING:
    import requests

TRIES = 5
"""Consecutive attempts of one command without new data."""
_MOST_TRIES = 100
_MOST_STALE = 2
_CHUNK = 1 << 14
"""Bytes; this much is lost when the connection breaks, so it is kept small for bad lines."""


@dataclass(slots=True)
class _Part:
    """A download in progress: the bytes so far, and the server's name for this version."""

    path: Path
    address: str
    total: int | None = None
    """Size of the whole file, in bytes; None if the server does not say."""
    etag: str = ""
    modified: str = ""

    @property
    def url(self) -> str:
        """The address without user name and password."""
        return shown_address(self.address)

    @property
    def have(self) -> int:
        return self.path.stat().st_size if self.path.exists() else 0

    @property
    def notes(self) -> Path:
        return self.path.with_name("download.json")

    @property
    def whole(self) -> Path:
        """Where the file is once it is complete."""
        return self.path.with_suffix("")

    def headers(self) -> dict[str, str]:
        """Return headers that request the rest of the same version, or all of it."""
        if not self.have:
            return {}
        strong = self.etag if not self.etag.startswith("W/") else ""
        version = strong or self.modified
        unless = {"If-Range": version} if version else {}
        return {"Range": f"bytes={self.have}-", **unless}

    def note(self, response: requests.Response, total: int | None) -> None:
        """Store what the next attempt needs to know."""
        self.total = total
        self.etag = response.headers.get("ETag", "")
        self.modified = response.headers.get("Last-Modified", "")
        kept = {"total": total, "etag": self.etag, "modified": self.modified}
        with disk_errors("write to"):
            self.notes.write_text(json.dumps(kept), encoding="utf-8")

    def drop(self) -> None:
        """Delete what there is."""
        for path in (self.path, self.notes, self.whole):
            path.unlink(missing_ok=True)


def fetch_archive(
    url: str,
    *,
    sha256: str = "",
    progress: Progress | None = None,
    wait: Callable[[float], None] = time.sleep,
) -> Path:
    """Fetch ``url`` and return the file, kept until ``drop_archive`` unless its checksum differs.

    sha256: 64 hexadecimal digits that the file must match; "" accepts any. wait: called with the
    seconds before each new attempt. Raises DownloadFailed; what has arrived is kept, and the next
    call continues from there.
    """
    checked_address(url)
    wanted = _checked_digest(sha256)
    with disk_errors("write to"):
        part = _part_for(url)
        part.path.parent.mkdir(parents=True, exist_ok=True)
    if not part.whole.exists():
        with open_session() as session:
            _fetch_all(session, part, progress, wait)
        with disk_errors("write to"):
            part.path.replace(part.whole)
    if wanted and (found := sha256_of(part.whole)) != wanted:
        part.drop()
        raise DownloadFailed(
            sentences.checksum_differs(shown_address(url), found, wanted),
            sentences.CHECKSUM_HINT,
        )
    return part.whole


def drop_archive(url: str) -> None:
    """Delete the file fetched from ``url``, complete or not."""
    shutil.rmtree(_part_for(url).path.parent, ignore_errors=True)


def _part_for(url: str) -> _Part:
    key = hashlib.sha256(url.encode()).hexdigest()[:12]
    part = _Part(path=downloads_dir() / key / f"{file_name(url)}.part", address=url)
    try:
        kept = json.loads(part.notes.read_text(encoding="utf-8"))
        part.total = None if kept["total"] is None else int(kept["total"])
        part.etag, part.modified = str(kept["etag"]), str(kept["modified"])
    except (OSError, ValueError, TypeError, KeyError):
        part.path.unlink(missing_ok=True)  # bytes of unknown origin are no start
    return part


def _fetch_all(
    session: requests.Session,
    part: _Part,
    progress: Progress | None,
    wait: Callable[[float], None],
) -> None:
    idle = stale = 0
    for tries in range(1, _MOST_TRIES + 1):
        before = part.have
        try:
            return _fetch_part(session, part, progress)
        except Unfinished as error:
            idle = idle + 1 if part.have <= before else 0
            stale += error.stale
            hopeless = idle >= TRIES or stale > _MOST_STALE or tries == _MOST_TRIES
            if hopeless or not error.worth_retrying:
                raise _gave_up(part, error) from error
            wait(0.0 if error.stale else min(2.0**idle, 30.0))


def _fetch_part(session: requests.Session, part: _Part, progress: Progress | None) -> None:
    """Send one request, and append what arrives."""
    with send_request(session, part.address, part.headers()) as response:
        if response.status_code == HTTPStatus.REQUESTED_RANGE_NOT_SATISFIABLE:
            if part.have and _content_range(response)[1] == part.have:
                return None  # there was nothing left to ask for
            part.drop()
            raise Unfinished("the server now offers a different file", stale=True)
        total = _agreed_size(response, part)
        _check_room(total, part)
        part.note(response, total)
        _append_part(response, part, progress)
    if part.total is not None and part.have != part.total:
        raise Unfinished(f"{part.have} of {part.total} bytes arrived")
    return None


def _agreed_size(response: requests.Response, part: _Part) -> int | None:
    """Return the size of the whole file; earlier data is dropped unless it fits."""
    if response.status_code == HTTPStatus.PARTIAL_CONTENT:
        start, total = _content_range(response)
        if start == part.have and part.total in (None, total):
            return total
        part.drop()
        raise Unfinished("the server sent a different part from the one requested", stale=True)
    part.path.unlink(missing_ok=True)
    length = response.headers.get("Content-Length", "")
    return int(length) if length.isdecimal() else None


def _append_part(response: requests.Response, part: _Part, progress: Progress | None) -> None:
    have = part.have
    with disk_errors("write to"):
        file = part.path.open("ab")
    with file:
        for chunk in response.iter_content(_CHUNK):
            have += len(chunk)
            if have > (part.total or MOST_BYTES):
                file.truncate(0)
                raise DownloadFailed(sentences.too_much_data(part.url))
            with disk_errors("write to"):
                file.write(chunk)
            if progress:
                progress(have, part.total)
        with disk_errors("write to"):
            file.flush()
            os.fsync(file.fileno())


def _check_room(total: int | None, part: _Part) -> None:
    if total is None:
        return
    if total > MOST_BYTES:
        raise DownloadFailed(sentences.too_large_to_be_a_model(part.url, readable_size(total)))
    need_space(total - part.have)


def _content_range(response: requests.Response) -> tuple[int, int | None]:
    """Return start and total of a Content-Range header (RFC 9110, section 14.4); -1 if none."""
    unit, _, rest = response.headers.get("Content-Range", "").partition(" ")
    span, _, total = rest.partition("/")
    start = span.partition("-")[0]
    known = int(total) if total.isdecimal() else None
    return (int(start) if unit == "bytes" and start.isdecimal() else -1), known


def _checked_digest(sha256: str) -> str:
    plain = sha256.strip().lower()
    if not plain or (len(plain) == 64 and all(c in "0123456789abcdef" for c in plain)):
        return plain
    raise DownloadFailed(sentences.not_a_checksum(sha256), sentences.CHECKSUM_FORM_HINT)


def _gave_up(part: _Part, error: Unfinished) -> DownloadFailed:
    what = sentences.could_not_download(part.url, error)
    if part.have:
        kept = sentences.continue_download(readable_size(part.have))
        return DownloadFailed(what, kept)
    return DownloadFailed(what, error.hint or sentences.DOWNLOAD_HINT)
