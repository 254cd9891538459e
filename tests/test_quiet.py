"""C libraries' messages stay off the screen, Python's do not."""

from __future__ import annotations

import subprocess
import sys

_SCRIPT = """
import os, sys
from callout.quiet import native_errors_hidden, quiet_stderr

def c_prints(text):
    os.write(2, text.encode())

c_prints("C1 ")
with quiet_stderr():
    c_prints("C2 ")
    with quiet_stderr():
        c_prints("C3 ")
    c_prints("C4 ")
c_prints("C5 ")
with native_errors_hidden():
    c_prints("C6 ")
    print("P1", file=sys.stderr)
c_prints("C7 ")
print("P2", file=sys.stderr)
"""


def test_only_what_c_libraries_print_is_hidden() -> None:
    done = subprocess.run(
        [sys.executable, "-c", _SCRIPT], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stderr.split() == ["C1", "C5", "P1", "C7", "P2"]


_TWO_THREADS = """
import os, threading
from callout.quiet import quiet_stderr

def often():
    for _ in range(300):
        with quiet_stderr():
            os.write(2, b"hidden")

threads = [threading.Thread(target=often) for _ in range(4)]
[t.start() for t in threads]
[t.join() for t in threads]
os.write(2, b"shown")
"""


def test_threads_do_not_lose_the_error_stream() -> None:
    done = subprocess.run(
        [sys.executable, "-c", _TWO_THREADS], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stderr == "shown"


_CLOSED = """
import os, sys
from callout.quiet import native_errors_hidden, quiet_stderr
os.close(2)
sys.stderr = None
with quiet_stderr(), native_errors_hidden():
    print("went on")
"""


def test_a_process_without_an_error_stream_goes_on() -> None:
    done = subprocess.run(
        [sys.executable, "-c", _CLOSED], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout == "went on\n"
