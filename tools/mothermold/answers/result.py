"""What every answer is: its data in the promised shape, and the notices that touch it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from mothermold.ground.errors import RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.reckon.errors import ReckoningError
from mothermold.view.view import View

__all__ = ["Result", "number", "reckoning_refused", "refused", "title_words"]


@dataclass(frozen=True, slots=True)
class Result:
    """An answer.

    Attributes:
        data: Keys in the promised order and shape, numbers as floats of exact values.
        notices: Those touching the documents used.
        ok: Whether all is well (exit 0); only ``check`` answers well and still says no.
    """

    data: Mapping[str, Any]
    notices: Sequence[Notice] = ()
    ok: bool = True


def number(value: Fraction | None) -> float | None:
    """An exact number as the nearest float."""
    return None if value is None else float(value)


def reckoning_refused(problem: ReckoningError, file: str | None = None) -> RefusedError:
    """The same for arithmetic that cannot go on."""
    return RefusedError(Notice(problem.code, "error", problem.message, problem.advice, file=file))


def title_words(view: View, kind: str = "material") -> dict[str, str]:
    """What each material, or each document of another kind, is called, by name."""
    titles = {name: getattr(document.model, "title", None) for name, document in view.on(kind).items()}
    return {name: title for name, title in titles.items() if title}
