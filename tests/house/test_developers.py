"""DEVELOPERS.md is read: every file, module and name of a module it speaks of is there, and every command is one."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path

from campaigns.many import through
from mothermold.cli.commands import COMMANDS

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "tools" / "mothermold"
TOLD = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FLOORS = tuple(path.name for path in PACKAGE.iterdir() if (path / "__init__.py").is_file())
# Written by the build, or a name of a script.
MADE = {"assets/find-lines.js", "assets/units.js", "worker.js", "book.here"}
NAMED = sorted(set(re.findall(r"`([\w./*-]+)`", TOLD)) - MADE)
FILES = [
    name for name in NAMED if re.search(r"\w\.(?:py|yaml|html|js|css|txt|lock)$", name) or name.startswith("tests/")
]
MODULES = [
    name for name in NAMED if name not in FILES and re.split(r"[./]", name)[0] in FLOORS and re.search(r"[./]", name)
]


def is_there(name: str) -> bool:
    """Whether a floor, a module or what stands in one is there."""
    words, rest = re.split(r"[./]", name), []
    while words:
        try:
            found = import_module(f"mothermold.{'.'.join(words)}")
        except ModuleNotFoundError:
            rest.insert(0, words.pop())
        else:
            return not rest or (len(rest) == 1 and hasattr(found, rest[0]))
    return False


@through("name", FILES)
def test_a_file_it_speaks_of_is_there(name: str) -> None:
    assert any(ROOT.glob(name)) or any(PACKAGE.rglob(name)) or any((ROOT / "tests").rglob(name))


@through("name", MODULES)
def test_a_module_it_speaks_of_is_there(name: str) -> None:
    assert is_there(name)


def test_the_commands_it_speaks_of_are_commands() -> None:
    named = set(re.findall(r"`mothermold ([a-z]+)", TOLD))
    assert named
    assert named <= COMMANDS.keys()


def test_the_reading_can_fail() -> None:
    assert len(FILES) > 30
    assert len(MODULES) > 30
    assert not is_there("answers.nothing_of_the_kind")
    assert not is_there("answers.find.nothing_of_the_kind")
