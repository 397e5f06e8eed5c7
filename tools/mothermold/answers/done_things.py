"""What runs say is done of a build on a day: things, pieces, what is done once; and which molds can be cast in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import cached_property
from typing import Final

from mothermold.answers.castings_needed import stage_of
from mothermold.answers.molds import GONE, molds_in
from mothermold.answers.pieces import Piece
from mothermold.model.build import Build, Thing
from mothermold.model.mold import Mold
from mothermold.model.names import RunRef
from mothermold.model.run import Run
from mothermold.view.view import View

WELL: Final = ("good", "usable")


class DoneThings:
    """What is done of a build.

    Args:
        view: The book.
        name: The build.
        today: Runs after this day are not known.
    """

    def __init__(self, view: View, name: str, today: date) -> None:
        self._view, self._name = view, name
        build: Build = view.models(Build)[name]
        self._things = {str(each.id): each for each in build.things}
        self._runs = [each for each in view.evidence.lineage.of_build(name) if each.started.date() <= today]

    def of_thing(self, name: str) -> list[Run]:
        """The runs that made a thing or tried to, oldest first."""
        return [each for each in self._runs if each.thing == name]

    def is_done(self, name: str) -> bool:
        """Whether a thing need not be made: it was, and a mold can be cast in, and a sculpture stands."""
        thing = self._things[name]
        well = [each for each in self.of_thing(name) if each.outcome in WELL and each.kind != "test"]
        if stage_of(thing.recipe) == "mold" and self._known_molds(name):
            return bool(self.molds(name))
        if stage_of(thing.recipe) == "sculpt":
            over = [
                each
                for each, other in self._things.items()
                if name in map(str, other.from_) and stage_of(other.recipe) == "mold"
            ]
            used = [
                run.finished or run.started
                for mold in over
                if not self.is_done(mold)
                for run in self.of_thing(mold)
                if run.outcome in WELL
            ]
            return any(all(run.started >= each for each in used) for run in well)
        return bool(well)

    def has_been(self, piece: Piece, thing: Thing) -> bool:
        """Whether a piece went through what is made of it."""
        return any(
            run.outcome in WELL
            and run.recipe is not None
            and self._view.today(run.recipe.address) == self._view.today(thing.recipe.address)
            and any(used.piece == piece.kept.piece for used in run.used)
            for run in self._runs
        )

    def molds(self, name: str) -> list[str]:
        """The molds a thing stands for that can be cast in, now or when they are dry."""
        return [each for each in self._known_molds(name) if self._view.models(Mold)[each].state not in GONE]

    def _known_molds(self, name: str) -> Sequence[str]:
        return self._made.get(name, ())

    @cached_property
    def _made(self) -> dict[str, list[str]]:
        """By thing the molds of this build that a run of it made by today."""
        by_run = {str(each.id): str(each.thing) for each in self._runs if each.thing is not None}
        found: dict[str, list[str]] = {}
        for mold in molds_in(self._view).get(self._name, ()):
            made = self._view.models(Mold)[mold].made
            if isinstance(made, RunRef) and made.address in by_run:
                found.setdefault(by_run[made.address], []).append(mold)
        return found

    def was_done_once(self, recipe: str, mold: str | None) -> bool:
        """Whether what a recipe does once was done, by any run of it; in a mold, where one is named."""
        address = self._view.today(recipe.partition("@")[0])
        return any(
            run.kind != "test"
            and run.outcome is not None
            and run.recipe is not None
            and self._view.today(run.recipe.address) == address
            and (mold is None or str(run.mold) == mold)
            for run in self._runs
        )
