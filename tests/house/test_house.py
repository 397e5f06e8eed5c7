"""The house holds itself: imports point downward, heavy parts stay where they are used, nothing is left for later."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from campaigns.many import through

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "tools" / "mothermold"

# From the top down: a floor may import itself and what stands below it.
FLOORS = (
    "cli", "serve", "publish", "handouts", "pages", "desk", "answers", "view", "history", "book", "compare", "find", "trade", "reckon", "model", "quantities", "ground",
)  # fmt: skip
# What may be imported in which floor only.
KEPT_IN = {
    "git": ("history",), "argparse": ("cli",), "mkdocs": ("publish",), "pydantic": ("model", "book", "view"),
    "uvicorn": ("serve",), "h11": ("serve",), "typst": ("handouts",),
}  # fmt: skip


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def imported(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level:
            pytest.fail(f"{path} imports relatively")


def floor_of(path: Path) -> str | None:
    inner = path.relative_to(PACKAGE).parts
    return inner[0] if len(inner) > 1 else None


@through("path", modules(), ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_imports_point_downward(path: Path) -> None:
    floor = floor_of(path)
    if floor is None:
        return
    assert floor in FLOORS, f"{floor} has no place in the order of floors"
    for name in imported(path):
        words = name.split(".")
        if words[0] == "mothermold" and len(words) > 1:
            assert FLOORS.index(words[1]) >= FLOORS.index(floor), f"{floor} imports {name}, which stands above it"
        elif words[0] in KEPT_IN:
            assert floor in KEPT_IN[words[0]], f"{floor} imports {words[0]}"


def test_no_modules_import_each_other_in_a_circle() -> None:
    names = {".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts): path for path in modules()}
    uses = {name: sorted({found for found in imported_modules(path) if found in names}) for name, path in names.items()}
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, " -> ".join((*trail, name))
        if name not in done:
            for used in uses[name]:
                visit(used, (*trail, name))
            done.add(name)

    for name in names:
        visit(name, ())


def imported_modules(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield node.module
            yield from (f"{node.module}.{name.name}" for name in node.names)


def test_only_one_module_knows_the_site_builder() -> None:
    knowing = [path.name for path in modules() if any(name.split(".")[0] == "mkdocs" for name in imported(path))]
    assert knowing == ["plugin.py"]


def test_the_test_of_direction_can_fail(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.py"
    wrong.write_text("from mothermold.cli.main import main\nimport git\n", encoding="utf-8")
    assert list(imported(wrong)) == ["mothermold.cli.main", "git"]
    assert FLOORS.index("cli") < FLOORS.index("ground")


def test_modules_stay_small() -> None:
    long = {
        path.name: lines for path in modules() if (lines := len(path.read_text(encoding="utf-8").split("\n"))) > 330
    }
    assert long == {}


def test_every_module_says_what_it_owns() -> None:
    silent = [path for path in modules() if not ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))]
    assert silent == []


def test_nothing_is_left_for_later() -> None:
    word = re.compile(r"\b(TO" + r"DO|FIX" + r"ME|NotImplementedError)\b")
    assert [path for path in modules() if word.search(path.read_text(encoding="utf-8"))] == []


@pytest.mark.parametrize("words", [["--help"], ["gypsum", "--help"], ["nothing"], []])
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    program = (
        "import sys\nfrom mothermold.cli.main import main\n"
        f"try:\n    main({words!r})\nexcept SystemExit:\n    pass\n"
        "print([name for name in ('yaml', 'git', 'pydantic', 'jinja2', 'mkdocs') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT / "tools", capture_output=True, text=True, check=True
    )
    assert done.stdout.strip().endswith("[]")


def types_of(path: Path) -> Iterator[str]:
    """The names of classes and of types given a name, without the stroke that keeps one within its module."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.ClassDef):
            yield node.name.lstrip("_")
        elif isinstance(node, ast.Assign) and isinstance(target := node.targets[0], ast.Name):
            name = target.id.lstrip("_")
            if name[:1].isupper() and not name.isupper():
                yield name


def test_no_two_types_have_one_name() -> None:
    places: dict[str, set[str]] = {}
    for path in modules():
        for name in types_of(path):
            places.setdefault(name, set()).add(path.relative_to(PACKAGE).as_posix())
    several = {name: sorted(found) for name, found in places.items() if len(found) > 1 and len(name) > 1}
    assert several == {}
