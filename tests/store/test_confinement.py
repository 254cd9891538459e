"""What a process has given up it cannot take back: memory, files, programs, connections.

Reference: landlock(7) and setrlimit(2) of the Linux manual pages (kernel errors: EACCES, ENOMEM).
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="gives nothing up elsewhere")

_TRY = """
import socket, subprocess, sys
from pathlib import Path
from callout.store.confinement import limit_memory, only_read
scratch, outside = map(Path, sys.argv[1:3])
if not only_read(scratch):
    sys.exit(77)
def attempt():
{body}
try:
    attempt()
except OSError as error:
    print(error.errno)
else:
    print("done")
"""
BODIES = {
    "write": "(outside / 'file').write_text('evil')",
    "make": "(outside / 'new').write_text('evil')",
    "folder": "(outside / 'folder').mkdir()",
    "remove": "(outside / 'file').unlink()",
    "move": "(outside / 'file').rename(scratch / 'file')",
    "link": "(outside / 'link').symlink_to('/')",
    "program": "subprocess.run(['/bin/true'])",
    "connect": "socket.create_connection(('127.0.0.1', 9))",
}


def attempted(body: str, scratch: Path, outside: Path) -> str:
    """Return what came of ``body`` in a process that may only read: "done" or an error number."""
    code = _TRY.format(body=f"    {body}")
    done = subprocess.run(
        [sys.executable, "-c", code, scratch, outside], capture_output=True, text=True, check=False
    )
    if done.returncode == 77:
        pytest.skip("this system has no such guard")
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.fixture
def folders(tmp_path: Path) -> tuple[Path, Path]:
    scratch, outside = tmp_path / "scratch", tmp_path / "outside"
    scratch.mkdir()
    outside.mkdir()
    (outside / "file").write_text("whole")
    return scratch, outside


@pytest.mark.parametrize("what", BODIES)
def test_nothing_outside_can_be_changed(what: str, folders: tuple[Path, Path]) -> None:
    assert attempted(BODIES[what], *folders) in ("13", "18")  # refused; for a move: another place
    assert [path.read_text() for path in folders[1].iterdir()] == ["whole"]


def test_reading_and_the_scratch_folder_stay(folders: tuple[Path, Path]) -> None:
    body = "(scratch / 'a').write_text((outside / 'file').read_text()); (scratch / 'a').unlink()"
    assert attempted(body, *folders) == "done"


def test_not_even_a_writing_query_writes(folders: tuple[Path, Path]) -> None:
    """With everything allowed that the database can forbid."""
    pytest.importorskip("duckdb")
    body = (
        "import duckdb\n    try: duckdb.execute(f\"COPY (SELECT 1) TO '{outside}/stolen.csv'\")\n"
        "    except duckdb.IOException as error: raise OSError(13, str(error))"
    )
    code = _TRY.replace("{body}", "    " + body)
    done = subprocess.run(
        [sys.executable, "-c", code, *folders], capture_output=True, text=True, check=False
    )
    if done.returncode == 77:
        pytest.skip("this system has no such guard")
    assert done.stdout.strip() == "13", done.stderr
    assert not (folders[1] / "stolen.csv").exists()


def test_no_more_memory_than_allowed() -> None:
    code = (
        "from callout.store.confinement import limit_memory\n"
        "kept = bytearray(50_000_000)\n"
        "assert limit_memory(100_000_000)\n"
        "more = bytearray(90_000_000)\n"
        "try: bytearray(2_000_000_000)\n"
        "except MemoryError: print('refused')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "refused", done.stderr
