"""Lists and aircraft by name, from any folder; and errors that say what to do next."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from callout.app.running.flight_folder import MOST_FOLDERS, load_folder
from callout.app.shared.naming import aircraft_folder, list_file
from callout.cli.main import app
from callout.errors import CalloutError, ChecklistInvalid


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stand in a folder that has nothing to do with the program."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("CALLOUT_JOURNAL_DIR", str(tmp_path / "journals"))
    monkeypatch.setenv("CALLOUT_SETTINGS", str(tmp_path / "none.toml"))


@pytest.mark.parametrize(
    "name",
    [
        "before-start",
        "Before Start",
        "sandling-two/before-start",
        "checklists/sandling-two/before-start.yaml",
    ],
)
def test_a_shipped_list_is_found_by_name(name: str) -> None:
    found = list_file(name)
    assert found.is_file()
    assert found.parts[-2:] == ("sandling-two", "before-start.yaml")


@pytest.mark.parametrize("name", ["sandling-two", "checklists/sandling-two", "Sandling Two"])
def test_a_shipped_aircraft_is_found_by_name(name: str) -> None:
    assert (aircraft_folder(Path(name)) / "flight.yaml").is_file()


def test_a_file_of_ones_own_comes_first(tmp_path: Path) -> None:
    own = tmp_path / "before-start"
    own.write_text("mine", "utf-8")
    assert list_file("before-start").read_text("utf-8") == "mine"


def test_a_list_that_only_one_aircraft_has_is_that_one() -> None:
    assert list_file("power-up").parent.name == "halvern-seventy"


@pytest.mark.parametrize(
    ("name", "hint"), [("befor-start", "before-start"), ("sandling-two/taxy", "taxi")]
)
def test_a_misspelt_list_names_the_nearest(name: str, hint: str) -> None:
    with pytest.raises(ChecklistInvalid) as caught:
        list_file(name)
    assert hint in caught.value.hint


def test_no_aircraft_of_that_name_names_those_there_are() -> None:
    with pytest.raises(ChecklistInvalid, match="none does not exist") as caught:
        aircraft_folder(Path("none"))
    assert "sandling-two" in caught.value.hint
    with pytest.raises(ChecklistInvalid) as caught:
        aircraft_folder(Path("sandlingtwo"))
    assert caught.value.hint == 'Did you mean "sandling-two"?'


def test_a_table_is_no_list_yet(tmp_path: Path) -> None:
    (tmp_path / "bs.csv").write_text("Beacon,on\n", "utf-8")
    with pytest.raises(ChecklistInvalid) as caught:
        list_file("bs.csv")
    assert "callout new bs.csv" in caught.value.hint


def test_a_large_folder_is_not_searched_through(tmp_path: Path) -> None:
    for number in range(MOST_FOLDERS + 1):
        (tmp_path / f"n{number}").mkdir()
    with pytest.raises(ChecklistInvalid, match="too many folders") as caught:
        load_folder(tmp_path)
    assert caught.value.hint == "Name the folder of one aircraft."


def test_a_misspelt_command_names_the_nearest() -> None:
    found = CliRunner().invoke(app, ["runn"])
    assert found.exit_code == 2
    assert 'There is no command "runn". Did you mean "run"?' in found.output
    assert "callout --help" in CliRunner().invoke(app, ["xyzzyq"]).output


def test_measurements_do_not_stand_in_the_help_but_run() -> None:
    assert "bench" not in CliRunner().invoke(app, ["--help"]).output
    assert CliRunner().invoke(app, ["bench", "--help"]).exit_code == 0


@pytest.mark.parametrize(
    ("args", "said", "remedy"),
    [
        (["run", "befor-start"], "no shipped list", "before-start"),
        (["fly", "none"], "none does not exist", "sandling-two"),
        (["trends"], "No sessions yet.", "callout run before-start"),
        (["instructor", "sign", ".", "--by", "A", "--trainee", "B"], "is a folder", "*.jsonl"),
    ],
)
def test_errors_have_a_remedy(args: list[str], said: str, remedy: str) -> None:
    error = CliRunner().invoke(app, args).exception
    assert isinstance(error, CalloutError), args
    assert said in error.message
    assert remedy in error.hint


def test_a_shipped_list_runs_by_name() -> None:
    found = CliRunner().invoke(app, ["run", "before-start", "--plain"], input="stop\nyes\n")
    assert found.exit_code == 0, found.output
    assert "Stopped. Before start is not complete" in found.output


@pytest.mark.parametrize("command", ["show", "list", "export", "check"])
@pytest.mark.parametrize("name", ["before-start", "sandling-two/taxi", "tarnbeck-one"])
def test_every_command_that_reads_lists_takes_names(command: str, name: str) -> None:
    if (command, "/" in name or name == "before-start") in {("show", False), ("list", True)}:
        pytest.skip("one list and a folder of them are different things")
    result = CliRunner().invoke(app, [command, name])
    assert result.exit_code == 0, result.output
    assert name.rpartition("/")[2].replace("-", " ") in result.output.casefold().replace("-", " ")
