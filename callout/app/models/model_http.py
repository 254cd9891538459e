"""Addresses, and one HTTP request, with every failure turned into one kind of error."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from http import HTTPStatus
from typing import TYPE_CHECKING, Any
from urllib.parse import unquote, urlsplit, urlunsplit

from callout import __version__
from callout.app.models.model_place import ModelRefused
from callout.core.sentences import models as sentences

if TYPE_CHECKING:
    import requests

_CONNECT_SECONDS = 20
_READ_SECONDS = 60
_MOST_REDIRECTS = 5
_TRY_LATER = {
    HTTPStatus.REQUEST_TIMEOUT,
    HTTPStatus.TOO_MANY_REQUESTS,
    HTTPStatus.INTERNAL_SERVER_ERROR,
    HTTPStatus.BAD_GATEWAY,
    HTTPStatus.SERVICE_UNAVAILABLE,
    HTTPStatus.GATEWAY_TIMEOUT,
}
_EXPECTED = {
    HTTPStatus.OK,
    HTTPStatus.PARTIAL_CONTENT,
    HTTPStatus.REQUESTED_RANGE_NOT_SATISFIABLE,
}


class DownloadFailed(ModelRefused):
    """The file could not be fetched, or is not what was requested."""


class Unfinished(Exception):
    """A request that did not return the whole answer.

    stale: True if the answer did not match the earlier data, which has been dropped.
    """

    def __init__(
        self, why: str, *, worth_retrying: bool = True, stale: bool = False, hint: str = ""
    ) -> None:
        super().__init__(why)
        self.worth_retrying = worth_retrying
        self.stale = stale
        self.hint = hint


def checked_address(url: str) -> str:
    """Return ``url`` if it is an http or https address of a file; raises DownloadFailed."""
    try:
        parts = urlsplit(url)
        usable = parts.scheme in ("http", "https") and bool(parts.hostname)
        _ = parts.port
    except ValueError:
        usable = False
    if usable and not any(ord(character) <= 32 for character in url):
        return url
    raise DownloadFailed(
        sentences.not_an_address(url),
        sentences.ADDRESS_HINT,
    )


def shown_address(url: str) -> str:
    """Return the address without user name and password, for showing and storing."""
    parts = urlsplit(url)
    return urlunsplit(parts._replace(netloc=parts.netloc.rpartition("@")[2]))


def file_name(url: str) -> str:
    """Return a plain file name for what is at ``url``."""
    last = unquote(urlsplit(url).path).replace("\\", "/").rstrip("/").rpartition("/")[2]
    plain = "".join(c for c in last if c.isascii() and (c.isalnum() or c in "._-"))
    return plain.lstrip(".")[-80:] or "model.zip"


@contextlib.contextmanager
def open_session() -> Iterator[requests.Session]:
    """Yield a session that follows few redirects, and never from https to http."""
    import requests

    with requests.Session() as session:
        session.max_redirects = _MOST_REDIRECTS
        session.headers["User-Agent"] = f"callout/{__version__}"
        # Byte ranges count the file's own bytes, so it must not be compressed on the way.
        session.headers["Accept-Encoding"] = "identity"
        session.hooks["response"].append(_no_downgrade)
        yield session


@contextlib.contextmanager
def send_request(
    session: requests.Session, url: str, headers: dict[str, str]
) -> Iterator[requests.Response]:
    """Yield the response to a GET request, its body not read yet; raises Unfinished, also for
    errors while the body is read.
    """
    import requests

    try:
        timeouts = (_CONNECT_SECONDS, _READ_SECONDS)
        with session.get(url, headers=headers, stream=True, timeout=timeouts) as response:
            _check_status(response)
            yield response
    except requests.exceptions.TooManyRedirects as error:
        raise Unfinished("it redirects too many times", worth_retrying=False) from error
    except (requests.exceptions.InvalidSchema, requests.exceptions.InvalidURL) as error:
        raise Unfinished("it redirects to an unusable address", worth_retrying=False) from error
    except requests.exceptions.SSLError as error:
        raise Unfinished(
            f"no safe connection ({_innermost_cause(error)})", worth_retrying=False
        ) from error
    except requests.exceptions.ChunkedEncodingError as error:
        raise Unfinished("the connection broke off") from error
    except requests.exceptions.Timeout as error:
        raise Unfinished("the server does not answer in time") from error
    except requests.exceptions.RequestException as error:
        raise Unfinished(f"the connection failed ({_innermost_cause(error)})") from error


def _check_status(response: requests.Response) -> None:
    if response.headers.get("Content-Encoding", "identity").lower() != "identity":
        raise Unfinished("the server compresses the file in transit", worth_retrying=False)
    if response.status_code in _EXPECTED:
        return
    said = f"{response.status_code} {response.reason or ''}".strip()
    raise Unfinished(
        f"the server answered {said}", worth_retrying=response.status_code in _TRY_LATER
    )


def _no_downgrade(response: requests.Response, **_: Any) -> None:
    try:
        target = urlsplit(response.headers.get("Location", "")).scheme
    except ValueError as error:  # as of "http://[::1"
        raise Unfinished("it redirects to an unusable address", worth_retrying=False) from error
    if response.is_redirect and urlsplit(response.url).scheme == "https" and target == "http":
        raise Unfinished(
            "it redirects from https to plain http",
            worth_retrying=False,
            hint=sentences.DOWNGRADE_HINT,
        )


def _innermost_cause(error: BaseException) -> str:
    """Return the innermost cause, which is the one a person can act on."""
    while (inner := error.__cause__ or error.__context__ or _wrapped_error(error)) is not None:
        error = inner
    text = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return str(text).rstrip(".")[:160]


def _wrapped_error(error: BaseException) -> BaseException | None:
    reason = getattr(error, "reason", None)
    return reason if isinstance(reason, BaseException) else None
