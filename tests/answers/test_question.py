"""A question is asked with what was typed, each piece read; what was not typed is left to the default of its parameter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

import pytest

from mothermold.answers.question import QuestionEntry, Typed, argument, flag, option
from mothermold.answers.result import Result
from mothermold.ground.errors import RefusedError, refused


def _count(text: str) -> int:
    if not text.isdigit():
        raise refused("out-of-range", f"`{text}` is not a number.", "Give a whole number.")
    return int(text)


@dataclass(frozen=True)
class Asked:
    fill: Annotated[Typed, option("Q", "the cavity")] = None
    castings: Annotated[int, option("N", "how many", read=_count)] = 1
    flat: Annotated[bool, flag("taken apart")] = False


def mix(
    view: str,
    recipe: Annotated[str, argument("RECIPE", "which")],
    why: Annotated[str, option("WHY", "why", "-m", "--why")] = "for itself",
    asked: Asked = Asked(castings=7),
) -> Result:
    return Result({"view": view, "recipe": recipe, "why": why, "asked": asked})


NOTHING: dict[str, Any] = {"recipe": "cast/cheek", "why": None, "fill": None, "castings": None, "flat": False}


def ask(**typed: Any) -> Any:
    handed: list[str] = []
    answer = QuestionEntry(mix).answer(lambda name: handed.append(name) or f"the {name}", NOTHING | typed)
    assert answer is not None
    assert handed == ["view"]
    return answer.data


def test_what_was_not_typed_is_left_to_the_default() -> None:
    assert ask() == {"view": "the view", "recipe": "cast/cheek", "why": "for itself", "asked": Asked()}


def test_what_was_typed_is_read() -> None:
    assert ask(why="", fill="9 ml", castings="3", flat=True) == {
        "view": "the view", "recipe": "cast/cheek", "why": "", "asked": Asked("9 ml", 3, flat=True),
    }  # fmt: skip


def test_a_slip_is_told_before_anything_is_handed_over() -> None:
    with pytest.raises(RefusedError, match="`x` is not a number"):
        QuestionEntry(mix).answer(lambda name: pytest.fail(f"{name} was opened"), NOTHING | {"castings": "x"})


def test_only_what_has_no_default_must_be_typed() -> None:
    options = QuestionEntry(mix).options()
    assert {name: needed for name, (_option, needed) in options.items()} == {
        "recipe": True, "why": False, "fill": False, "castings": False, "flat": False,
    }  # fmt: skip
    assert options["why"][0].names == ("-m", "--why")
    assert QuestionEntry(mix).handed == ("view",)
