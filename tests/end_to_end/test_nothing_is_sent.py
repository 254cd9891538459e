"""Nothing leaves the machine, and nothing is written outside the folders that doctor names."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from callout.app.shared.shipped import CHECKLISTS, RECORDINGS, shipped_folder
from tests.end_to_end.network_guard import can_trace, watched

DEMO = shipped_folder(RECORDINGS) / "demo"
LIST = shipped_folder(CHECKLISTS) / "sandling-two" / "before-start.yaml"
RUNS = {
    "demo": ["-m", "callout", "demo", "--fast"],
    "run": ["-m", "callout", "run", str(LIST), "--replies", str(DEMO / "closed-and-locked.wav")],
    "doctor": ["-m", "callout", "doctor"],
    "hear": ["-m", "callout", "hear", str(DEMO / "on-1.wav"), "--expect", "on"],
    "mic": ["-m", "callout", "mic", "--replies", str(shipped_folder(RECORDINGS) / "mic")],
}
ELSEWHERE = ("/dev/", "/proc/", "/sys/")
PROBES = {
    "a look-up": "import socket\ntry: socket.getaddrinfo('callout.invalid', 80)\nexcept OSError: 0",
    "a connection": "import socket\ns = socket.socket(type=socket.SOCK_DGRAM)\n"
    "try: s.connect(('192.0.2.1', 9))\nexcept OSError: 0",  # RFC 5737: for documentation only
}


def own_folders(tmp_path: Path) -> dict[str, str]:
    home = tmp_path / "home"
    for name in ("", "tmp", "run"):
        (home / name).mkdir(exist_ok=True)
    return {
        "HOME": str(home), "TMPDIR": str(home / "tmp"), "XDG_RUNTIME_DIR": str(home / "run"),
        "XDG_CACHE_HOME": str(home / ".cache"), "XDG_CONFIG_HOME": str(home / ".config"),
        "XDG_DATA_HOME": str(home / ".local/share"), "PYTHONDONTWRITEBYTECODE": "1",
        "CALLOUT_SETTINGS": str(home / "settings.toml"),
        "CALLOUT_JOURNAL_DIR": str(home / "journals"), "PYTHONUTF8": "1",
    }  # fmt: skip


@pytest.mark.audio
@pytest.mark.parametrize("name", list(RUNS))
def test_nothing_is_sent_and_no_file_lies_astray(name: str, tmp_path: Path) -> None:
    env = own_folders(tmp_path)
    found = watched(RUNS[name], tmp_path / "watch", env)
    assert "went wrong inside callout" not in found.done.stderr
    assert found.done.returncode in (0, 1), found.done.stderr
    assert found.sent == ()
    # The system's sound library keeps the place of its socket in the session's own folder.
    socket_place = f"{env['XDG_RUNTIME_DIR']}/pulse"
    named = (env["CALLOUT_JOURNAL_DIR"], env["TMPDIR"], socket_place, *ELSEWHERE)
    assert [path for path in found.wrote if not path.startswith(named)] == []
    home = Path(env["HOME"])
    left = {p.name for p in home.iterdir()} - {"tmp", "run", "journals"}
    assert left == set()
    assert os.listdir(env["TMPDIR"]) == []


@pytest.mark.parametrize("probe", list(PROBES))
def test_the_guard_itself_notices(probe: str, tmp_path: Path) -> None:
    script = tmp_path / "probe.py"
    script.write_text(PROBES[probe])
    assert watched([str(script)], tmp_path / "watch", own_folders(tmp_path)).sent


def test_the_guard_sees_a_stray_file_of_a_child(tmp_path: Path) -> None:
    script, stray = tmp_path / "probe.py", tmp_path / "stray.txt"
    made = f"open({str(stray)!r}, 'w').close()"
    script.write_text(
        f"import subprocess, sys\nsubprocess.run([sys.executable, '-c', {made!r}], check=True)"
    )
    assert str(stray) in watched([str(script)], tmp_path / "watch", own_folders(tmp_path)).wrote


@pytest.mark.skipif(not can_trace(), reason="needs strace")
def test_the_guard_sees_a_connection_that_python_does_not(tmp_path: Path) -> None:
    script = tmp_path / "probe.py"
    script.write_text(
        "import ctypes, socket, struct\n"
        "s = socket.socket(type=socket.SOCK_DGRAM)\n"
        "where = struct.pack('<H', 2) + struct.pack('>H', 9) + bytes([192, 0, 2, 1]) + bytes(8)\n"
        "ctypes.CDLL(None).connect(s.fileno(), where, 16)\n"
    )
    assert watched([str(script)], tmp_path / "watch", own_folders(tmp_path)).sent
