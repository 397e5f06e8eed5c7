"""What every answer is: its data in the promised shape, and the notices that touch it; and how these end its text."""

from __future__ import annotations

import textwrap
from collections import ChainMap
from collections.abc import Iterator, Mapping, MutableMapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, cast

from mothermold.ground.errors import RefusedError
from mothermold.ground.notices import Notice, in_order
from mothermold.ground.rendering import as_text
from mothermold.reckon.errors import ReckoningError

if TYPE_CHECKING:
    # Whoever reckons without a book need not load what reads one.
    from mothermold.book.document import Document
    from mothermold.view.view import View


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


class _TitlesByName(Mapping[str, str]):
    """What the documents of a kind are called, by name; each is looked into when somebody asks for it."""

    def __init__(self, documents: Mapping[str, Document]) -> None:
        self._documents = documents

    def __getitem__(self, name: str) -> str:
        title: str | None = getattr(self._documents[name].model, "title", None)
        if not title:
            raise KeyError(name)
        return title

    def __iter__(self) -> Iterator[str]:
        return (name for name in self._documents if name in self)

    def __len__(self) -> int:
        return sum(1 for _name in self)


def title_words(view: View, *kinds: str) -> ChainMap[str, str]:
    """What each material, or each document of these kinds, is called, by name; ``|`` adds other names."""
    told = [_TitlesByName(view.on(kind)) for kind in kinds or ("material",)]
    # What is added goes into the first; nobody writes into the others.
    return ChainMap({}, *cast("list[MutableMapping[str, str]]", told))


def notices_text(result: Result) -> str:
    """The notices of an answer, below its text; nothing where there are none."""
    return "".join(["\n", *(f"{as_text(notice)}\n" for notice in in_order(result.notices))]) if result.notices else ""


def cautions_text(result: Result) -> str:
    """The cautions of an answer, below its text; nothing where there are none."""
    told = [line for each in result.data["cautions"] for line in textwrap.wrap(each, 96)]
    return "".join(["\n", *(f"{line}\n" for line in told)]) if told else ""
