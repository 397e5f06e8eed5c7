"""Whether every glue a look puts on skin comes off again by a removal of the same look, and what cannot be told.

A recipe alone is not judged: which removal belongs to it only a look says.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from mothermold.book.document import Document
from mothermold.ground.notices import Notice, Severity
from mothermold.ground.words import in_words
from mothermold.model.build import Build, Look
from mothermold.model.names import RecipeRef
from mothermold.model.recipe import Recipe
from mothermold.model.walk import Path
from mothermold.trade.skin import Glue, comes_off, glues_of, removers
from mothermold.view.ruling import Documents, Ruling, is_sound


def find_glue_faults(documents: Documents, ruling: Ruling, faulty: Collection[str | None] = ()) -> Iterator[Notice]:
    """Glues of a look that no removal of it takes off; as advice, those of which nobody can tell."""
    for document in documents["build"].values():
        build = document.model
        if isinstance(build, Build) and document.file not in faulty:
            for index, look in enumerate(build.looks):
                sheets = []
                for (stage, number), ref in look.recipes.items():
                    sound = is_sound(documents, [ruling.today(ref)], faulty)
                    text = ruling.text(ref) if sound else None
                    sheets.append(_Sheet(("looks", index, stage, number), stage, ref, text))
                yield from _Judging(document, build, look, ruling, sheets).notices()


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A recipe of a look: where it is named, for which stage, and its text; None where that cannot be read."""

    path: Path
    stage: str
    ref: RecipeRef
    text: Recipe | None

    @property
    def pieces(self) -> set[str]:
        """The things of the build its surfaces belong to; none where it speaks of skin alone."""
        return {str(each.from_) for each in self.text.surfaces if each.from_} if self.text else set()


@dataclass(frozen=True, slots=True)
class _Judging:
    document: Document
    build: Build
    look: Look
    ruling: Ruling
    sheets: list[_Sheet]

    def notices(self) -> Iterator[Notice]:
        glues: dict[str, list[tuple[_Sheet, Glue]]] = {}
        for sheet in self.sheets:
            if sheet.stage == "removal":
                continue
            if sheet.text is None:
                yield self._notice(
                    "advice",
                    f"Which glue `{sheet.ref}` puts on skin is not known, so neither is whether it comes off again.",
                    "That sheet is not in the book, or has a slip of its own: mend that first.",
                    sheet.path,
                )
                continue
            for glue in glues_of(sheet.text, self.ruling.materials):
                glues.setdefault(glue.name, []).append((sheet, glue))
        for name, laid in glues.items():
            yield from self._of_glue(name, laid)

    def _of_glue(self, name: str, laid: list[tuple[_Sheet, Glue]]) -> Iterator[Notice]:
        """What is wrong with one glue: worst first, and only the worst."""
        removals = [sheet for sheet in self.sheets if sheet.stage == "removal"]
        steps = in_words([f"{sheet.ref}#{glue.step}" for sheet, glue in laid])
        goes_on = f"`{name}` goes on skin in {steps}"
        path = removals[0].path[:3] if removals else laid[0][0].path
        kinds = sorted(laid[0][1].kinds)
        if not kinds:
            yield self._notice(
                "advice",
                f"{goes_on}; what takes it off again is not known.",
                "Type the family of the glue it is in its material, as `adhesive-acrylic`; else try on an arm how it comes off.",
                path,
            )
            return
        unread = [sheet for sheet in removals if sheet.text is None]
        verdicts = {
            sheet.ref: comes_off(laid[0][1], sheet.text, self.ruling.materials) for sheet in removals if sheet.text
        }
        by_family = [sheet for sheet in removals if verdicts.get(sheet.ref) == "yes"]
        left_on = self._pieces_left_on(laid, by_family)
        if by_family and not left_on:
            return
        maybe = [sheet for sheet in removals if verdicts.get(sheet.ref) == "ask"]
        words = removers()[kinds[0]].words
        if unread:
            yield self._notice(
                "advice",
                f"{goes_on}; whether it comes off again is not known.",
                f"{in_words([sheet.ref for sheet in unread])} is not in the book, or has a slip of its own: mend that first.",
                unread[0].path,
            )
        elif maybe and not by_family:
            yield self._notice(
                "advice",
                f"{goes_on}; whether {in_words([sheet.ref for sheet in maybe])} takes it off is not known.",
                f"Read the remover's label: where it names this glue, type that family in its material; else use {words}.",
                maybe[0].path,
            )
        else:
            yield self._notice(
                "warning",
                f"{goes_on}, and {self._why(removals, by_family, left_on)}.",
                f"Add a removal with {words} under `removal:`, patch tested too; never pull.",
                path,
            )

    def _why(self, removals: list[_Sheet], by_family: list[_Sheet], left_on: list[str]) -> str:
        if not removals:
            return f"the look `{self.look.id}` has no removal"
        if left_on:
            takes = "takes" if len(by_family) == 1 else "take"
            return f"{in_words([each.ref for each in by_family])} {takes} it off other pieces and not off {in_words(left_on)}"
        takes = "does" if len(removals) == 1 else "do"
        return f"{in_words([each.ref for each in removals])} {takes} not take it off"

    def _pieces_left_on(self, laid: list[tuple[_Sheet, Glue]], removals: list[_Sheet]) -> list[str]:
        """The pieces it holds of which no removal of these speaks; a removal that names no piece means all of them."""
        if not removals or not all(sheet.pieces for sheet in removals):
            return []
        worn = [str(piece.thing) for piece in self.look.pieces]
        held = dict.fromkeys(name for _sheet, glue in laid for name in sorted(glue.pieces))
        spoken_of = {name for sheet in removals for name in sheet.pieces}
        return [name for name in held if self._akin(name, worn) and not self._akin(name, spoken_of)]

    def _akin(self, name: str, others: Collection[str]) -> bool:
        """Whether a thing is one of these, or made of one, or one of them of it: a painted face is the face."""
        return any(name in self.build.behind(each) or each in self.build.behind(name) for each in others)

    def _notice(self, severity: Severity, message: str, advice: str, path: Path) -> Notice:
        return self.document.notice("glue-without-removal", message, advice, path, severity=severity)
