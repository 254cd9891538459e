"""Imports point inward, and the core touches nothing outside itself."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import callout

ROOT = Path(callout.__file__).parent
MODULES = sorted(ROOT.rglob("*.py"))
CORE = [path for path in MODULES if path.is_relative_to(ROOT / "core")]

ADAPTERS = {"hearing", "reporting", "speaking", "journal", "state", "terminal", "web", "store"}
RANK = {
    "core": 0,
    "ports": 1,
    **dict.fromkeys(ADAPTERS, 2),
    "app": 3,
    "bench": 4,
    "cli": 5,
}
"""A module may import its own part, and parts of a lower rank."""

SHARED = {
    "arithmetic",
    "errors",
    "hidden",
    "outlet",
    "own_process",
    "portaudio",
    "quiet",
    "rates",
    "regular",
    "remedy",
}
"""Single modules that any part but the core may use; the core may use ``errors`` and ``hidden``."""

SENTENCES = "core.sentences"
"""What is said to people: nothing but text, so every module may use it."""

NOT_IN_CORE = {
    "asyncio",
    "concurrent",
    "glob",
    "io",
    "logging",
    "multiprocessing",
    "os",
    "pathlib",
    "queue",
    "random",
    "secrets",
    "shutil",
    "signal",
    "socket",
    "sounddevice",
    "soundfile",
    "subprocess",
    "sys",
    "tempfile",
    "threading",
    "time",
    "uuid",
}
CALLS_NOT_IN_CORE = {"open", "print", "input", "eval", "exec", "compile", "__import__"}
CLOCK_CALLS = {"now", "utcnow", "today"}


def _part(path: Path) -> str:
    inside = path.relative_to(ROOT)
    return inside.parts[0] if len(inside.parts) > 1 else inside.stem


@cache
def _nodes(path: Path) -> tuple[ast.AST, ...]:
    """Return what matters here of a module, wherever it stands: imports and calls."""
    every = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    return tuple(node for node in every if isinstance(node, ast.Import | ast.ImportFrom | ast.Call))


def _imports(path: Path) -> Iterator[tuple[int, str]]:
    """Yield line and full name of everything a module imports, wherever it does so."""
    package = ("callout", *path.relative_to(ROOT).parts[:-1])
    for node in _nodes(path):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else ()
            origin = ".".join([*base, *([node.module] if node.module else [])])
            yield node.lineno, origin
            yield from ((node.lineno, f"{origin}.{alias.name}") for alias in node.names)


def _own_parts(path: Path) -> Iterator[tuple[int, str]]:
    """Yield line and part ("hearing") of each import from this package."""
    for line, name in _imports(path):
        words = name.split(".")
        known = {*RANK, *SHARED}
        if name.startswith(f"callout.{SENTENCES}"):
            yield line, SENTENCES
        elif words[0] == "callout" and len(words) > 1 and words[1] in known:
            yield line, words[1]


def _allowed(part: str, imported: str) -> bool:
    if part == imported or imported == SENTENCES or part in {"__init__", "__main__"}:
        return True
    if imported in SHARED:
        return part != "core" or imported in ("errors", "hidden")
    if part in SHARED:
        return False
    return RANK[imported] < RANK[part]


def test_imports_point_inward() -> None:
    wrong: list[str] = []
    for path in MODULES:
        part = _part(path)
        known = part in {*RANK, *SHARED, "__init__", "__main__"}
        assert known, f"{part} has no place in the layers"
        own = _own_parts(path)
        wrong += [f"{path}:{line} imports {p}" for line, p in own if not _allowed(part, p)]
    assert not wrong


def test_sentences_use_nothing_of_the_program() -> None:
    paths = sorted((ROOT / "core" / "sentences").rglob("*.py"))
    used = [f"{p}:{line} imports {part}" for p in paths for line, part in _own_parts(p)]
    assert paths
    assert not [line for line in used if not line.endswith(SENTENCES)]


def test_the_core_has_no_clock_files_threads_or_chance() -> None:
    wrong: list[str] = []
    for path in CORE:
        wrong += [f"{path}:{line} imports {name}" for line, name in _imports_not_in_core(path)]
        wrong += [f"{path}:{c.lineno} calls {_name(c)}" for c in _calls(path) if _impure(c)]
    assert not wrong


def _imports_not_in_core(path: Path) -> list[tuple[int, str]]:
    """Return line and name of each forbidden import; ``PurePath`` alone touches no file."""
    found = [(at, name) for at, name in _imports(path) if name.split(".")[0] in NOT_IN_CORE]
    names = {at: {name for line, name in found if line == at} for at, _ in found}
    return [(at, name) for at, name in found if names[at] != {"pathlib", "pathlib.PurePath"}]


def _calls(path: Path) -> Iterator[ast.Call]:
    return (node for node in _nodes(path) if isinstance(node, ast.Call))


def _name(call: ast.Call) -> str:
    return ast.unparse(call.func)


def _impure(call: ast.Call) -> bool:
    if isinstance(call.func, ast.Name):
        return call.func.id in CALLS_NOT_IN_CORE
    return isinstance(call.func, ast.Attribute) and call.func.attr in CLOCK_CALLS


def test_the_rules_catch_a_breach(tmp_path: Path) -> None:
    """The walk sees imports inside functions, aliases and relative ones."""
    assert not _allowed("core", "ports")
    assert not _allowed("hearing", "speaking")
    assert not _allowed("ports", "hearing")
    assert not _allowed("app", "cli")
    assert not _allowed("core", "portaudio")
    assert _allowed("cli", "app")
    assert _allowed("app", "hearing")
    path = ROOT / "hearing" / "wav_file.py"
    assert ("hearing") in {part for _, part in _own_parts(path)}
    call = ast.parse("datetime.now()").body[0]
    assert isinstance(call, ast.Expr)
    assert isinstance(call.value, ast.Call)
    assert _impure(call.value)


WRITES_TEXT = {
    "outlet.py": "the one place",
    "app/models/model_download.py": "notes of a download, for the program itself",
    "app/models/model_record.py": "the same, of a model",
    "app/listening/by_ear.py": "a text for a voice program, in a folder that is removed",
    "store/partitions.py": "what Parquet files were made from, for the program itself",
}
PRINTS = {
    "outlet.py": "the one place",
    "speaking/voice_process.py": "answers of a child process to its parent",
    "hearing/vosk_trial.py": "the same",
}
DRAWS = {"terminal/console.py": "the one place", "terminal/screen.py": "measures only"}


def test_text_leaves_the_program_in_one_place() -> None:
    for path in MODULES:
        name = path.relative_to(ROOT).as_posix()
        if name.startswith("bench/"):
            continue
        calls = [ast.unparse(call.func) for call in _calls(path)]
        assert name in PRINTS or "print" not in calls, name
        assert name in DRAWS or "Console" not in calls, name
        assert name in WRITES_TEXT or not [c for c in calls if c.endswith(".write_text")], name
        assert "sys.stderr.write" not in calls, name


MOST_LINES = 250


def test_files_are_short_enough_to_be_read() -> None:
    lines = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    long = [f"{path} has {count} lines" for path, count in lines.items() if count > MOST_LINES]
    assert not long, "take a part out"


def _module(path: Path) -> str:
    parts = ("callout", *path.relative_to(ROOT).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _circles(imports: dict[str, set[str]]) -> list[list[str]]:
    """Return the modules that import one another, directly or through others."""
    left = {name: set(found) for name, found in imports.items()}
    while bare := {name for name, found in left.items() if not found & left.keys()}:
        left = {name: found for name, found in left.items() if name not in bare}
    while unused := left.keys() - set().union(*left.values()):
        left = {name: found for name, found in left.items() if name not in unused}
    return [sorted(left)] if left else []


MOST_MODULES = 35
ROOMS = sorted({path.parent for path in MODULES})


@pytest.mark.parametrize("room", ROOMS, ids=lambda p: str(p.relative_to(ROOT.parent)))
def test_a_room_is_small_enough_to_be_known(room: Path) -> None:
    modules = [path for path in room.glob("*.py") if path.name != "__init__.py"]
    assert len(modules) <= MOST_MODULES, f"{room} has {len(modules)} modules: divide it"
    first = ast.get_docstring(ast.parse((room / "__init__.py").read_text(encoding="utf-8")))
    assert first, f"{room}/__init__.py does not say what the room is for"


@pytest.mark.parametrize("hall", ["core", "app"])
def test_core_and_app_are_divided_into_rooms(hall: str) -> None:
    loose = [path.name for path in (ROOT / hall).glob("*.py") if path.name != "__init__.py"]
    assert not loose, f"callout/{hall}: put {', '.join(loose)} into a room"


def _room(module: str, packages: set[str]) -> str:
    return module if module in packages else module.rpartition(".")[0]


def test_no_rooms_import_one_another_in_a_circle() -> None:
    known = {_module(path): path for path in MODULES}
    packages = {_module(path) for path in MODULES if path.name == "__init__.py"}
    imports: dict[str, set[str]] = {}
    for name, path in known.items():
        rooms = {_room(other, packages) for _, other in _imports(path) if other in known}
        here = _room(name, packages)
        imports.setdefault(here, set()).update(rooms - {here, "callout"})
    assert not _circles(imports)


def test_no_modules_import_one_another_in_a_circle() -> None:
    known = {_module(path): path for path in MODULES}
    imports = {
        name: {other for _, other in _imports(path) if other in known and other != name}
        for name, path in known.items()
    }
    packages = {_module(path) for path in MODULES if path.name == "__init__.py"}
    inside = {name: found - packages for name, found in imports.items()}
    assert not _circles(inside)


def test_a_circle_is_seen() -> None:
    assert _circles({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}}) == [["a", "b", "c"]]
