"""No test reads or writes the settings, lists and voices of the person who runs it."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture(scope="session", autouse=True)
def folders_of_nobody(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """The data and settings folders of this run, inherited by every process that a test starts."""
    folder: Path = tmp_path_factory.mktemp("nobody")
    with pytest.MonkeyPatch.context() as patch:
        for name in ("DATA", "CONFIG"):
            patch.setitem(os.environ, f"XDG_{name}_HOME", str(folder / name.lower()))
        yield
