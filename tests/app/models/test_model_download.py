"""Downloads from a loopback server: interruption, resume and servers that misbehave."""

from __future__ import annotations

import hashlib
import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from callout.app.models import model_download, model_http
from callout.app.models.model_download import TRIES, drop_archive, fetch_archive
from callout.app.models.model_http import DownloadFailed, checked_address, file_name, shown_address
from callout.app.models.model_place import ModelRefused, downloads_dir
from tests.app.loopback import Served, serving
from tests.app.model_archives import isolated

DATA = random.Random(5).randbytes(3_000_000)
DIGEST = hashlib.sha256(DATA).hexdigest()
LOST = 1 << 14
"""Bytes that may have to come twice after a break."""
PATH = "/models/vosk-model-small-en-us-0.15.zip"


@pytest.fixture(autouse=True)
def _place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    isolated(monkeypatch, tmp_path)
    monkeypatch.setenv("NO_PROXY", "127.0.0.1")
    monkeypatch.setenv("no_proxy", "127.0.0.1")


@pytest.fixture
def served() -> Served:
    return Served(DATA)


@pytest.fixture
def address(served: Served) -> Iterator[str]:
    with serving(served) as base:
        yield base + PATH


def get(url: str, **options: str) -> Path:
    return fetch_archive(url, wait=lambda _: None, **options)  # type: ignore[arg-type]


def starts(served: Served) -> list[str]:
    """Return at which byte each request began."""
    return [(asked[1] or "bytes=0-").removeprefix("bytes=").rstrip("-") for asked in served.asked]


def parts() -> list[str]:
    return sorted(p.name for p in downloads_dir().rglob("*") if p.is_file())


def test_a_file_is_fetched_whole(served: Served, address: str) -> None:
    seen: list[tuple[int, int | None]] = []
    path = fetch_archive(
        address, sha256=DIGEST, progress=lambda done, total: seen.append((done, total))
    )
    assert path.read_bytes() == DATA
    assert path.name == "vosk-model-small-en-us-0.15.zip"
    assert seen[-1] == (len(DATA), len(DATA))
    assert seen == sorted(seen)
    assert served.asked == [(PATH, None, None)]
    drop_archive(address)
    assert parts() == []


@pytest.mark.parametrize("version", ["etag", "modified", "weak", "none"])
def test_a_broken_connection_is_taken_up_again(served: Served, address: str, version: str) -> None:
    served.breaks = [1_000_000, 700_000]
    if version != "etag":
        served.etag = 'W/"weak"' if version == "weak" else ""
        served.modified = None if version == "none" else "Wed, 21 Oct 2015 07:28:00 GMT"
    assert get(address).read_bytes() == DATA
    assert served.sent <= len(DATA) + 2 * LOST, "next to nothing is fetched twice"
    assert len(served.asked) == 3
    assert 1_000_000 - LOST < int(starts(served)[1]) <= 1_000_000
    wanted = {"etag": served.version(), "none": None}.get(version, served.modified)
    assert served.asked[1][2] == wanted


def test_the_next_command_goes_on_from_there(served: Served, address: str) -> None:
    served.breaks = [1_234_567, *[0] * TRIES]
    with pytest.raises(DownloadFailed, match="connection broke off") as caught:
        get(address)
    assert "1.2 MB are saved" in caught.value.hint
    assert parts() == ["download.json", "vosk-model-small-en-us-0.15.zip.part"]
    assert get(address, sha256=DIGEST).read_bytes() == DATA
    assert served.sent <= len(DATA) + LOST


def test_a_person_interrupting_loses_nothing(served: Served, address: str) -> None:
    def interrupt(done: int, total: int | None) -> None:
        if done > 1_000_000:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        fetch_archive(address, progress=interrupt)
    assert get(address).read_bytes() == DATA
    assert served.asked[-1][1] is not None


def test_a_server_without_ranges_starts_over(served: Served, address: str) -> None:
    served.ranges = False
    served.breaks = [2_000_000]
    assert get(address).read_bytes() == DATA
    assert served.sent == len(DATA) + 2_000_000


def test_a_file_that_changed_meanwhile_is_fetched_anew(served: Served, address: str) -> None:
    served.breaks = [2_000_000, *[0] * TRIES]
    with pytest.raises(DownloadFailed):
        get(address)
    served.data = DATA[::-1]
    assert get(address).read_bytes() == DATA[::-1]


def test_a_change_that_the_server_does_not_own_up_to_is_seen_by_its_size(
    served: Served, address: str
) -> None:
    served.etag = ""
    served.breaks = [2_000_000, *[0] * TRIES]
    with pytest.raises(DownloadFailed):
        get(address)
    served.data = DATA[:2_500_000]
    assert get(address).read_bytes() == DATA[:2_500_000]
    served.data = DATA[:1_000_000]


def test_a_file_that_shrank_below_what_is_there_is_fetched_anew(
    served: Served, address: str
) -> None:
    served.etag = ""
    served.breaks = [2_000_000, *[0] * TRIES]
    with pytest.raises(DownloadFailed):
        get(address)
    served.data = DATA[:1_000_000]
    assert get(address).read_bytes() == DATA[:1_000_000]


def test_a_wrong_part_is_not_put_in(served: Served, address: str) -> None:
    served.breaks = [2_000_000]
    served.wrong_range = True
    assert get(address).read_bytes() == DATA
    assert served.asked[-1][1] is None


def test_all_there_but_not_yet_named_so(served: Served, address: str) -> None:
    path = get(address)
    path.rename(path.with_name(path.name + ".part"))
    assert get(address).read_bytes() == DATA
    assert served.sent == len(DATA)


def test_a_whole_file_is_not_asked_for_again(served: Served, address: str) -> None:
    get(address)
    assert get(address, sha256=DIGEST).read_bytes() == DATA
    assert len(served.asked) == 1


def test_bytes_of_unknown_origin_are_dropped(served: Served, address: str) -> None:
    served.breaks = [2_000_000, *[0] * TRIES]
    with pytest.raises(DownloadFailed):
        get(address)
    next(downloads_dir().rglob("download.json")).write_text("{}")
    assert get(address).read_bytes() == DATA
    assert served.asked[-1][1] is None


def test_fewer_bytes_than_announced_are_never_taken_for_the_file(
    served: Served, address: str
) -> None:
    served.too_long = 10
    with pytest.raises(DownloadFailed, match=r"connection broke off|a different part"):
        get(address)
    assert not list(downloads_dir().rglob("*.zip"))


def test_a_file_of_unknown_size_is_fetched(served: Served, address: str) -> None:
    served.sized = False
    assert get(address, sha256=DIGEST).read_bytes() == DATA


def test_a_file_larger_than_any_model_is_refused(
    served: Served, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(model_download, "MOST_BYTES", 1_000_000)
    with pytest.raises(DownloadFailed, match="more than any model has"):
        get(address)
    served.sized = False
    with pytest.raises(DownloadFailed, match="sent more data"):
        get(address)


def test_a_full_disk_is_foreseen(
    served: Served, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(size: int) -> None:
        raise ModelRefused(f"needs {size}")

    monkeypatch.setattr(model_download, "need_space", refuse)
    with pytest.raises(ModelRefused, match="needs 3000000"):
        get(address)
    assert served.asked == [(PATH, None, None)]


def test_the_wrong_checksum_deletes_the_file(served: Served, address: str) -> None:
    wrong = "0" * 64
    with pytest.raises(DownloadFailed, match=f"{DIGEST}, not {wrong}"):
        get(address, sha256=wrong)
    assert parts() == []
    assert get(address, sha256=f" {DIGEST.upper()} ").exists()


@pytest.mark.parametrize("digest", ["abc", "g" * 64, "0" * 63])
def test_what_is_no_checksum_is_refused_before_asking(
    served: Served, address: str, digest: str
) -> None:
    with pytest.raises(DownloadFailed, match="not a SHA-256"):
        get(address, sha256=digest)
    assert served.asked == []


def test_redirects_are_followed(served: Served, address: str) -> None:
    base = address.removesuffix(PATH)
    served.moved = {PATH: "/a", "/a": f"{base}/b.zip"}
    assert get(address).read_bytes() == DATA
    served.breaks = [1_000_000]
    served.moved = {PATH: f"{base}/c.zip"}
    drop_archive(address)
    assert get(address).read_bytes() == DATA
    assert (served.asked[-1][0], served.asked[-1][2]) == ("/c.zip", served.version())
    assert int(starts(served)[-1]) > 1_000_000 - LOST


@pytest.mark.parametrize(
    ("target", "match"),
    [
        (PATH, "redirects too many times"),
        ("file:///etc/passwd", "unusable address|connection failed"),
        ("ftp://127.0.0.1/x", "unusable address|connection failed"),
        ("http://[::1", "unusable address"),
        ("//[", "unusable address"),
    ],
)
def test_bad_redirects_are_refused(served: Served, address: str, target: str, match: str) -> None:
    served.moved = {PATH: target}
    with pytest.raises(DownloadFailed, match=match):
        get(address)
    assert parts() == []


def test_no_redirect_from_https_to_http() -> None:
    import requests

    answer = requests.Response()
    answer.url, answer.status_code = "https://example.invalid/x", 302
    answer.headers["Location"] = "http://example.invalid/x"
    with pytest.raises(model_http.Unfinished, match="plain http"):
        model_http._no_downgrade(answer)
    answer.headers["Location"] = "https://example.invalid/y"
    model_http._no_downgrade(answer)
    answer.url, answer.headers["Location"] = "http://example.invalid/x", "http://a.invalid/"
    model_http._no_downgrade(answer)


def test_a_missing_file_is_said_at_once(served: Served, address: str) -> None:
    served.status = [404] * 9
    with pytest.raises(DownloadFailed, match="404 Not Found"):
        get(address)
    assert len(served.asked) == 1


def test_a_busy_server_is_asked_again(served: Served, address: str) -> None:
    served.status = [503, 500, 429]
    waits: list[float] = []
    assert fetch_archive(address, wait=waits.append).read_bytes() == DATA
    assert waits == [2.0, 4.0, 8.0]


def test_a_server_that_stays_busy_is_given_up(served: Served, address: str) -> None:
    served.status = [503] * 20
    with pytest.raises(DownloadFailed, match="503"):
        get(address)
    assert len(served.asked) == TRIES


def test_compression_on_the_way_is_refused(served: Served, address: str) -> None:
    served.headers = {"Content-Encoding": "gzip"}
    with pytest.raises(DownloadFailed, match="compresses"):
        get(address)


def test_nobody_listening_is_said_plainly(served: Served) -> None:
    with serving(served) as base:
        pass
    with pytest.raises(DownloadFailed, match=r"connection failed \(.*refused\)") as caught:
        get(f"{base}/x.zip")
    assert "\n" not in caught.value.message


@pytest.mark.parametrize(
    "url",
    [
        *("", "x.zip", "file:///etc/passwd", "ftp://host/x", "https://", "http:///x", "HTTPS:x"),
        *("http://host:port/x", "http://host/a b", "http://host/\n", "http://[::1/x", "//host/x"),
    ],
)
def test_only_http_addresses_are_taken(url: str) -> None:
    with pytest.raises(DownloadFailed, match="not an address"):
        checked_address(url)


def test_credentials_are_sent_but_never_shown(served: Served, address: str) -> None:
    secret = address.replace("http://", "http://me:secret@")
    served.status = [404]
    with pytest.raises(DownloadFailed) as caught:
        get(secret)
    assert "secret" not in str(caught.value)
    assert shown_address(secret) == address
    served.breaks = [100, *[0] * TRIES]
    with pytest.raises(DownloadFailed):
        get(secret)
    kept = b"".join(p.read_bytes() for p in downloads_dir().rglob("*") if p.is_file())
    assert b"secret" not in kept


@pytest.mark.parametrize(
    ("url", "name"),
    [
        ("https://h/a/m.zip?x=1#y", "m.zip"),
        ("https://h/a%2Fb%2F..%2Fm.zip", "m.zip"),
        ("https://h/", "model.zip"),
        ("https://h/..", "model.zip"),
        ("https://h/%00%2e%2e%5cx.zip", "x.zip"),
        ("https://h/한국.zip", "zip"),
        ("https://h/" + "a" * 300 + ".zip", "a" * 76 + ".zip"),
    ],
)
def test_file_names_are_plain(url: str, name: str) -> None:
    assert file_name(url) == name
