"""Whatever a view hands out of its book is noted where somebody makes something of it; so nothing made can be out of date."""

from __future__ import annotations

import ast
from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

import mothermold
from mothermold.ground.looking import looking
from mothermold.model.run import Run
from mothermold.model.settings import Settings
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View

_ASKED: Final[dict[str, Callable[[View], object]]] = {
    "settings": lambda view: view.settings,
    "words": lambda view: view.words,
    "newest": lambda view: view.newest,
    "day": lambda view: view.day,
    "recipes": lambda view: view.recipes,
    "state": lambda view: view.state,
    "pins": lambda view: view.pins.get("a course"),
    "notices": lambda view: view.notices,
    "touching": lambda view: view.touching(["recipes/book.yaml"]),
    "kept": lambda view: view.kept("nothing", "", lambda: 1),
    "versions": lambda view: view.versions("cast/nose-piece"),
    "today": lambda view: view.today("cast/nose-piece"),
    "of": lambda view: list(view.of(Run)),
    "models": lambda view: list(view.models(Settings)),
    "on": lambda view: list(view.on("run")),
    "documents": lambda view: list(view.documents.on("run")),
    "past": lambda view: view.past("recipe"),
    "evidence": lambda view: view.evidence.of("a failure"),
    "picture": lambda view: view.picture("a-drawing.svg"),
    "ruling": lambda view: view.ruling.own,
}
"""Of each member what is asked of it."""
_NOTHING_OF_THE_BOOK: Final = {"edition", "store", "once", "made", "take_up", "sum", "open_sums"}
_BY_WHAT_IS_GIVEN: Final = {"that_says"}
"""Who hands it a run has looked at the run."""
_ONLY_WHERE_THEY_CANNOT_BE_READ: Final = {"unsettled"}
_RAW: Final = {"root"}
"""What makes pages and answers may not ask for it."""


def _members(view: View) -> set[str]:
    return {name for name in dir(view) if not name.startswith("_")}


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_member_of_a_view_notes_that_it_was_asked(
    edition: Edition, sample_view: Callable[[Edition], View]
) -> None:
    view = sample_view(edition)
    known = {*_ASKED} | _NOTHING_OF_THE_BOOK | _BY_WHAT_IS_GIVEN | _ONLY_WHERE_THEY_CANNOT_BE_READ | _RAW
    assert _members(view) == known, "a new member notes what it hands out (ground.looking.saw), and stands here"
    for _time in range(2):
        for name, ask in _ASKED.items():
            with looking() as seen:
                ask(view)
            assert seen, name


def _raw(path: Path) -> list[str]:
    asked = [node for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))) if isinstance(node, ast.Attribute)]
    mine = [each for each in asked if isinstance(each.value, ast.Name) and each.value.id == "view"]
    return [f"{path.name}: {each.attr}" for each in mine if each.attr in _RAW or each.attr.startswith("_")]


def test_what_makes_pages_and_answers_asks_for_nothing_that_is_not_noted() -> None:
    package = Path(mothermold.__file__).parent
    modules = [
        *(package / "answers").rglob("*.py"),
        *(package / "pages").glob("*.py"),
        *(package / "compare").glob("*.py"),
    ]
    assert [each for path in modules for each in _raw(path)] == []


def test_a_cache_of_the_language_keeps_nothing_of_a_view() -> None:
    """`lru_cache` and its kin hand out what was made without a word of what was looked at for it; `View.once` does not."""
    package = Path(mothermold.__file__).parent
    paths = (path for floor in ("answers", "pages", "view") for path in (package / floor).rglob("*.py"))
    made = [(path.name, each) for path in paths for each in ast.walk(ast.parse(path.read_text(encoding="utf-8")))]
    functions = [(name, each) for name, each in made if isinstance(each, ast.FunctionDef)]
    assert [(name, each.name) for name, each in functions if _is_cached(each) and _takes_a_view(each)] == []


def _is_cached(made: ast.FunctionDef) -> bool:
    return any(
        word in ast.dump(each) for each in made.decorator_list for word in ("lru_cache", "'cache'", "once_for_each")
    )


def _takes_a_view(made: ast.FunctionDef) -> bool:
    return any(each.annotation is not None and "'View'" in ast.dump(each.annotation) for each in made.args.args)
