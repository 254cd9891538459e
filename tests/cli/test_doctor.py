"""``callout doctor`` and ``callout devices``."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from callout import portaudio
from callout.app.doctor import check_system
from callout.app.doctor.examination import CHECKS, examine_machine
from callout.app.shared.findings import FindingState, MachineFinding, MachineReport
from callout.cli.devices import command as devices_command
from callout.cli.doctor import command, doctor_conclusion
from callout.errors import EngineUnavailable
from tests.fakes import FakeSoundDevice, device


@pytest.fixture(autouse=True)
def journal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "deep" / "journals"
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "settings.toml"))
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(folder))
    return folder


def _finding(name: str) -> MachineFinding:
    return next(f for f in examine_machine().findings if f.name == name)


def test_it_runs_here_and_every_line_has_words() -> None:
    result = CliRunner().invoke(command)
    assert result.exit_code == 0
    lines = result.output.splitlines()
    width = max(map(len, CHECKS))
    for name in CHECKS:
        (line,) = [row for row in lines if row[9:].startswith(f"{name:{width}}  ")]
        assert line.split()[0] in {state.value for state in FindingState}
        assert line[9 + width :].strip()
    assert lines[-1].startswith("Ready: ")


def test_json_has_the_same_findings() -> None:
    shown = json.loads(CliRunner().invoke(command, ["--json"]).output)
    assert shown["can_run"] is True
    assert [row["name"] for row in shown["checks"]] == list(CHECKS)
    for row in shown["checks"]:
        assert row["message"]
        assert row["state"] in {state.value for state in FindingState}
        assert row["state"] != "missing" or row["fix"]


def test_one_check_that_breaks_hides_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(name: str) -> MachineFinding:
        raise ZeroDivisionError("a library's own fault")

    monkeypatch.setitem(CHECKS, "speaker", broken)
    report = examine_machine()
    assert len(report.findings) == len(CHECKS)
    assert "a library's own fault" in _finding("speaker").message
    assert report.can_run


def test_no_portaudio_names_the_package_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse() -> None:
        raise EngineUnavailable("PortAudio cannot be used.", portaudio.install_hint())

    monkeypatch.setattr(portaudio, "load_library", refuse)
    monkeypatch.setattr(sys, "platform", "linux")
    report = examine_machine()
    for name in ("portaudio", "microphone", "speaker"):
        assert report.state(name) is FindingState.MISSING
    assert not report.can_hear
    assert report.can_run
    assert "keyboard" in doctor_conclusion(report)


def test_devices_here_are_ready(monkeypatch: pytest.MonkeyPatch) -> None:
    library = FakeSoundDevice(device("Desk", outputs=2), device("Other"))
    monkeypatch.setattr(portaudio, "load_library", lambda: library)
    assert _finding("microphone").message.startswith("Desk at 48000 Hz and 1 more")
    assert _finding("speaker").message == "Desk at 48000 Hz"


def test_missing_packages_are_named_in_one_command(monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = ("click", "no-such-package", "nor-this")
    monkeypatch.setattr(check_system, "_needed_packages", lambda: wanted)
    finding = _finding("packages")
    assert finding.state is FindingState.MISSING
    assert finding.fix == "pip install no-such-package nor-this"


def test_an_unwritable_journal_means_no_session(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(blocked / "journals"))
    result = CliRunner().invoke(command)
    assert result.exit_code == 1
    assert str(blocked) in result.output
    assert "CALLOUT_JOURNAL_DIR" in result.output


def test_the_journal_folder_is_looked_at_but_not_made(journal: Path) -> None:
    assert str(journal) in _finding("journal").message
    assert not journal.parent.exists()


def test_broken_settings_are_a_finding_and_hide_no_other(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text("[voice]\nrate = 'fast'\n", encoding="utf-8")
    finding = _finding("settings")
    assert finding.state is FindingState.MISSING
    assert "voice.rate" in finding.message
    assert _finding("journal").state is FindingState.READY


def test_a_full_disk_is_a_warning(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check_system, "_ENOUGH_BYTES", float("inf"))
    finding = _finding("journal")
    assert finding.state is FindingState.CHECK
    assert "Free some space" in finding.fix


@pytest.mark.parametrize(
    ("there", "hears"),
    [
        ({"microphone", "voice activity", "embedded recogniser"}, True),
        ({"microphone", "voice activity", "vosk", "vosk models"}, True),
        ({"microphone", "voice activity", "vosk"}, False),
        ({"voice activity", "embedded recogniser"}, False),
        ({"microphone", "embedded recogniser"}, False),
    ],
)
def test_what_hearing_needs(there: set[str], hears: bool) -> None:
    states = {n: FindingState.READY if n in there else FindingState.MISSING for n in CHECKS}
    report = MachineReport(tuple(MachineFinding(n, s, "x") for n, s in states.items()))
    assert report.can_hear is hears
    assert not report.can_run


@pytest.mark.parametrize("version", [(3, 10, 0), (3, 14, 0)])
def test_other_pythons_are_pointed_out(
    version: tuple[int, int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(check_system.sys, "version_info", version)
    finding = check_system.check_python("python")
    assert finding.state is (FindingState.MISSING if version < (3, 11) else FindingState.CHECK)
    assert "3.13" in finding.fix


def test_devices_are_listed_by_name(monkeypatch: pytest.MonkeyPatch) -> None:
    library = FakeSoundDevice(device("Desk"), device("Box", inputs=0, outputs=2))
    monkeypatch.setattr(portaudio, "load_library", lambda: library)
    text = CliRunner().invoke(devices_command).output
    assert "* Desk  (Test, 48000 Hz)" in text
    assert "Box" in text
    shown = json.loads(CliRunner().invoke(devices_command, ["--json"]).output)
    assert [d["name"] for d in shown["microphones"]] == ["Desk"]
    assert shown["speakers"][0]["channels"] == 2


def test_no_devices_say_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(portaudio, "load_library", lambda: FakeSoundDevice())
    result = CliRunner().invoke(devices_command)
    assert result.exit_code == 0
    assert result.output.count("Plug one in") == 2


def test_what_is_missing_is_told_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a speaker neither voice can sound; the reason and the fix are said at the speaker."""
    fix = "Plug one in."
    for name, said in (
        ("speaker", "There is no speaker."),
        ("voice", "built in, but nothing to hear it with: There is no speaker."),
        ("platform's voice", "There is no speaker."),
    ):
        found = MachineFinding(name, FindingState.MISSING, said, fix)
        monkeypatch.setitem(CHECKS, name, lambda name, found=found: found)  # type: ignore[misc]
    told = " ".join(CliRunner().invoke(command).output.split())
    assert told.count("There is no speaker.") == 1
    assert told.count(fix) == 1
    assert told.count('see "speaker" above.') == 2
    rows = {
        row["name"]: row
        for row in json.loads(CliRunner().invoke(command, ["--json"]).output)["checks"]
    }
    assert rows["voice"]["fix"] == fix
