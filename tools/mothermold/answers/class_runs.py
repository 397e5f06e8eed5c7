"""What the runs of a class say: which step trips how many, by version, and what somebody did differently that went well."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

from mothermold.book.document import Document
from mothermold.model.run import Run
from mothermold.view.sums import entry_by_entry
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class TrippedStep:
    """A step that went wrong in a class.

    Attributes:
        step: Its id; empty where no step was named.
        failure: The failure note; empty where there is none yet.
        what: What happened, in the words of the first who noted it.
        runs: In how many runs.
    """

    step: str
    failure: str
    what: str
    runs: int


@dataclass(frozen=True, slots=True)
class ClassRuns:
    """The runs a class did of one recipe version.

    Attributes:
        recipe: The recipe, by its address of today.
        version: The version; 0 where the runs name none.
        runs: How many there are.
        ended: How many ended good or usable, and how many were scrapped.
        tripped: The steps that went wrong, the most frequent first.
        finds: The runs that did something differently and ended good, by document, each with the code of who did it.
    """

    recipe: str
    version: int
    runs: int
    ended: tuple[int, int]
    tripped: tuple[TrippedStep, ...]
    finds: tuple[tuple[str, str], ...]


@entry_by_entry("class-runs")
def _of_courses(view: View) -> dict[str, list[str]]:
    """The documents of runs by the course they were done in."""
    found: dict[str, list[str]] = {}
    for name, document in sorted(view.on("run").items()):
        if course := view.made.of(f"run/{name}: course", partial(_course, document)):
            found.setdefault(course, []).append(name)
    return found


def _course(document: Document[Any]) -> str:
    run = document.model
    return str(run.course) if isinstance(run, Run) and run.course else ""


def class_runs(view: View, course: str) -> list[ClassRuns]:
    """What the runs of a course say, recipe by recipe and version by version.

    Args:
        view: The edition.
        course: The course's name.
    """
    by_version: dict[tuple[str, int], list[tuple[str, Run]]] = {}
    for name, run in runs_in(view, course):
        if run.recipe is not None and run.kind != "test":
            key = view.today(run.recipe.address), run.recipe.version or 0
            by_version.setdefault(key, []).append((name, run))
    return [_told(recipe, version, mine) for (recipe, version), mine in sorted(by_version.items())]


def runs_in(view: View, course: str) -> Iterator[tuple[str, Run]]:
    """The runs done in a course, tests too, each by the name of its document."""
    runs = view.models(Run)
    for name in _of_courses(view).get(course, ()):
        if (run := runs.get(name)) is not None:
            yield name, run


def _told(recipe: str, version: int, mine: Sequence[tuple[str, Run]]) -> ClassRuns:
    ends = [run.outcome for _name, run in mine]
    ended = sum(end in ("good", "usable") for end in ends), ends.count("scrapped")
    return ClassRuns(recipe, version, len(mine), ended, tuple(_tripped(mine)), tuple(_finds(mine)))


def _tripped(mine: Sequence[tuple[str, Run]]) -> Iterator[TrippedStep]:
    found: dict[tuple[str, str], list[tuple[str, str]]] = {}
    for name, run in mine:
        for wrong in run.went_wrong:
            key = str(wrong.step or ""), str(wrong.failure or "")
            found.setdefault(key, []).append((name, str(wrong.what or wrong.note or "")))
    told = [
        TrippedStep(step, failure, next((what for _name, what in said if what), ""), len({name for name, _ in said}))
        for (step, failure), said in found.items()
    ]
    yield from sorted(told, key=lambda each: (-each.runs, each.step, each.failure))


def _finds(mine: Sequence[tuple[str, Run]]) -> Iterator[tuple[str, str]]:
    for name, run in mine:
        if run.changed and run.outcome == "good":
            yield name, ", ".join(map(str, run.who))
