"""The code and the devices it lets in."""

from __future__ import annotations

import json
import math
import os
import sys
from pathlib import Path

import pytest

from callout.web.devices import (
    ALPHABET,
    LENGTH,
    MOST_DEVICES,
    STAY_S,
    TRIES_A_CODE,
    TRIES_ALL,
    TRIES_EACH,
    WINDOW_S,
    Devices,
    TooManyTries,
    WrongCode,
)
from tests.web.page_kit import Clock


def _wrong(devices: Devices, address: str) -> None:
    with pytest.raises(WrongCode):
        devices.enter("AAAA-AAAA", address)


def test_a_code_lets_one_device_in_and_is_then_another() -> None:
    devices = Devices(None, Clock())
    code = devices.code
    token = devices.enter(code.lower().replace("-", " "), "a")
    assert devices.knows(token)
    assert devices.code != code
    with pytest.raises(WrongCode):
        devices.enter(code, "b")


def test_a_stranger_is_not_known() -> None:
    devices = Devices(None, Clock())
    assert not devices.knows("")
    assert not devices.knows("anything")


def test_one_address_must_wait_after_a_few_wrong_codes() -> None:
    clock = Clock()
    devices = Devices(None, clock)
    for _ in range(TRIES_EACH):
        _wrong(devices, "a")
    with pytest.raises(TooManyTries) as refused:
        devices.enter(devices.code, "a")  # even the right one
    assert 0 < refused.value.seconds <= WINDOW_S + 1
    assert devices.knows(devices.enter(devices.code, "b"))
    clock.seconds += WINDOW_S
    assert devices.knows(devices.enter(devices.code, "a"))


def test_many_addresses_must_wait_too() -> None:
    devices = Devices(None, Clock())
    for n in range(TRIES_ALL):
        _wrong(devices, f"address {n}")
    with pytest.raises(TooManyTries):
        devices.enter("AAAA-AAAA", "one more")
    assert devices.knows(devices.enter(devices.code, "who has the right one"))


def test_a_code_that_is_no_text_is_a_wrong_one() -> None:
    devices = Devices(None, Clock())
    with pytest.raises(WrongCode):
        devices.enter("\ud800", "a")
    assert devices.knows(devices.enter(devices.code, "a"))


def test_a_code_under_attack_is_drawn_anew() -> None:
    clock = Clock()
    devices = Devices(None, clock)
    seen: list[str] = []
    devices.on_code = lambda: seen.append(devices.code)
    code, began = devices.code, clock.seconds
    for n in range(TRIES_A_CODE):
        assert devices.code == code
        _wrong(devices, f"address {n}")
        clock.seconds += WINDOW_S * (n % TRIES_ALL == TRIES_ALL - 1)
    assert clock.seconds - began >= 300, "time enough to type it while others try"
    assert devices.code != code
    assert seen == [devices.code]


def test_guessing_is_hopeless() -> None:
    """At the permitted rate, a year of tries finds a code once in 50,000 years or so.

    Least entropy of a short-lived secret typed by hand: 20 bits (NIST SP 800-63B, 5.1.3.2, from
    memory).
    """
    space = len(set(ALPHABET)) ** LENGTH
    assert math.log2(space) > 20
    assert space / (TRIES_ALL * 60 * 24 * 365) > 50_000
    assert not set(ALPHABET) & set("0O1IL"), "letters and digits that look alike"


def test_devices_are_remembered_over_a_restart_by_hash_only(tmp_path: Path) -> None:
    file, clock = tmp_path / "devices.json", Clock()
    devices = Devices(file, clock)
    token = devices.enter(devices.code, "a")
    assert token not in file.read_text()
    assert list(json.loads(file.read_text()).values()) == [clock.seconds + STAY_S]
    again = Devices(file, clock)
    assert again.knows(token)
    assert again.code != devices.code
    clock.seconds += STAY_S
    assert not again.knows(token)
    assert not Devices(file, clock).knows(token)


@pytest.mark.skipif(sys.platform == "win32", reason="permissions are POSIX's")
def test_only_the_owner_reads_the_file(tmp_path: Path) -> None:
    file = tmp_path / "devices.json"
    devices = Devices(file, Clock())
    devices.enter(devices.code, "a")
    assert file.stat().st_mode & 0o077 == 0
    assert os.listdir(tmp_path) == ["devices.json"]


@pytest.mark.parametrize("text", ["", "[]", '{"a": "b"}', '{"a": 1e99}', "{", "\x00", "null"])
def test_a_damaged_file_lets_nobody_in_and_stops_nothing(tmp_path: Path, text: str) -> None:
    file = tmp_path / "devices.json"
    file.write_text(text)
    devices = Devices(file, Clock())
    assert not devices.knows("a")
    assert devices.knows(devices.enter(devices.code, "a"))


def test_a_folder_that_cannot_be_written_costs_only_the_memory(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    devices = Devices(tmp_path / "file" / "devices.json", Clock())
    assert devices.knows(devices.enter(devices.code, "a"))


def test_the_oldest_device_makes_room(tmp_path: Path) -> None:
    file, clock = tmp_path / "devices.json", Clock()
    devices = Devices(file, clock)
    tokens = []
    for _ in range(MOST_DEVICES + 1):
        clock.seconds += 1
        tokens.append(devices.enter(devices.code, "a"))
    assert [devices.knows(t) for t in tokens] == [False] + [True] * MOST_DEVICES
