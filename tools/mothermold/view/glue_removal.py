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
from mothermold.model.walk import KeyPath
from mothermold.trade.skin import Glue, comes_off, glues_of, removers
from mothermold.view.ruling import Ruling, is_sound


def find_glue_faults(ruling: Ruling, faulty: Collection[str | None]) -> Iterator[Notice]:
    """Glues of the looks of all builds that no removal takes off; as advice, those of which nobody can tell."""
    documents, unread = ruling.documents, set[str]()
    for document in documents.of(Build).values():
        build = document.model
        if document.file not in faulty:
            for index, look in enumerate(build.looks):
                sheets = []
                for (stage, number), ref in look.recipes.items():
                    today = documents.on("recipe").get(ruling.today(ref).address)
                    text = ruling.text(ref) if today is None or today.model is not None else None
                    words = look.called((stage, number))
                    sheets.append(_LookSheet(("looks", index, stage, number), stage, ref, text, words))
                missing = {str(each.ref.address) for each in sheets if each.text is None}
                # A slip is told where it is. What follows from a sheet that cannot be read at all is told once, in one look.
                sound = is_sound(documents, map(ruling.today, look.recipes.values()), faulty)
                if sound or missing - unread:
                    yield from _LookGlues(document, build, look, ruling, sheets).notices()
                unread |= missing


@dataclass(frozen=True, slots=True, eq=False)
class _LookSheet:
    """A recipe of a look: where it is named, for which stage, its text, or None where that cannot be read, and in words."""

    path: KeyPath
    stage: str
    ref: RecipeRef
    text: Recipe | None
    words: str

    @property
    def pieces(self) -> set[str]:
        """The things of the build its surfaces belong to; none where it speaks of skin alone."""
        return {str(each.from_) for each in self.text.surfaces if each.from_} if self.text else set()


@dataclass(frozen=True, slots=True)
class _GlueVerdict:
    """What is wrong with a glue: how bad, the end of the sentence, what to do, and where."""

    severity: Severity
    words: str
    advice: str
    path: KeyPath


@dataclass(frozen=True, slots=True)
class _LookGlues:
    document: Document
    build: Build
    look: Look
    ruling: Ruling
    sheets: list[_LookSheet]

    def notices(self) -> Iterator[Notice]:
        told: dict[tuple[str, _GlueVerdict], list[str]] = {}
        for sheet in self.sheets:
            if sheet.stage == "removal":
                continue
            if sheet.text is None:
                yield self._notice(
                    f"Which glue {sheet.words} of the look `{self.look.id}` puts on skin is not known, "
                    "so whether it comes off again is not known either.",
                    _GlueVerdict(
                        "advice",
                        "",
                        "That sheet is not in the book, or has a slip of its own: mend that first.",
                        sheet.path,
                    ),
                )
                continue
            for glue in glues_of(sheet.text, self.ruling.materials):
                if verdict := self._verdict(glue, sheet):
                    told.setdefault((glue.name, verdict), []).append(f"{sheet.ref}#{glue.step}")
        for (name, verdict), steps in told.items():
            yield self._notice(f"`{name}` goes on skin in {in_words(steps)}{verdict.words}.", verdict)

    def _verdict(self, glue: Glue, sheet: _LookSheet) -> _GlueVerdict | None:
        """What is wrong with one glue at one step; None where it comes off."""
        removals = [each for each in self.sheets if each.stage == "removal"]
        path = removals[0].path[:3] if removals else sheet.path
        if not glue.kind:
            return _GlueVerdict(
                "advice",
                "; what takes it off again is not known",
                "Type in its material the family of glue it is, as `adhesive-acrylic`; else try it on an arm to see how it comes off.",
                path,
            )
        found = {each: comes_off(glue, each.text, self.ruling.materials) for each in removals if each.text}
        takes = [each for each in removals if found.get(each) == "yes"]
        left_on = self._pieces_left_on(glue, takes)
        if takes and not left_on:
            return None
        words = removers()[glue.kind].words
        if unread := [each for each in removals if each.text is None]:
            return _GlueVerdict(
                "advice",
                "; whether it comes off again is not known",
                f"{unread[0].words.capitalize()} is not in the book, or has a slip of its own: mend that first.",
                unread[0].path,
            )
        if not takes and (maybe := [each for each in removals if found.get(each) == "ask"]):
            return _GlueVerdict(
                "advice",
                f"; whether {in_words([each.ref for each in maybe])} takes it off is not known",
                f"Read the remover's label: where it names this glue, type that family in its material; else use {words}.",
                maybe[0].path,
            )
        return _GlueVerdict(
            "warning",
            f", and {self._why(removals, takes, left_on)}",
            f"Add a removal with {words} under `removal:`, patch tested too; never pull.",
            path,
        )

    def _why(self, removals: list[_LookSheet], takes: list[_LookSheet], left_on: list[str]) -> str:
        if not removals:
            return f"the look `{self.look.id}` has no removal"
        if left_on:
            verb = "takes" if len(takes) == 1 else "take"
            return (
                f"{in_words([each.ref for each in takes])} {verb} it off other pieces and not off {in_words(left_on)}"
            )
        verb = "does" if len(removals) == 1 else "do"
        return f"{in_words([each.ref for each in removals])} {verb} not take it off"

    def _pieces_left_on(self, glue: Glue, removals: list[_LookSheet]) -> list[str]:
        """The pieces it holds of which no removal of these speaks; a removal that names no piece means all of them."""
        if not removals or not all(each.pieces for each in removals):
            return []
        worn = [str(piece.thing) for piece in self.look.pieces]
        spoken_of = {name for each in removals for name in each.pieces}
        return [name for name in sorted(glue.pieces) if self._akin(name, worn) and not self._akin(name, spoken_of)]

    def _akin(self, name: str, others: Collection[str]) -> bool:
        """Whether a thing is one of these, or made of one, or one of them of it: a painted face is the face."""
        return any(name in self.build.behind(each) or each in self.build.behind(name) for each in others)

    def _notice(self, message: str, verdict: _GlueVerdict) -> Notice:
        return self.document.notice(
            "glue-without-removal", message, verdict.advice, verdict.path, severity=verdict.severity
        )
