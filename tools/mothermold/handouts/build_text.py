"""A build on paper: the sheet of each look, what is packed for it, and the course of each day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Final

from mothermold.answers.day_pack import bag_of
from mothermold.answers.day_sheet import coming_days, day_sheet, days_of
from mothermold.answers.piece_life import sets_of
from mothermold.answers.pieces import Piece, pieces_of
from mothermold.book.document import Document
from mothermold.handouts.pen import Pen
from mothermold.handouts.prose import Block, Letters
from mothermold.handouts.sheaf import SheetLeaf, foot_of
from mothermold.handouts.shown import sections_on_paper
from mothermold.model.build import STAGES_WORN, Build, Look, LookPiece
from mothermold.model.names import RecipeRef
from mothermold.model.pictures import Picture
from mothermold.pages.addresses import page_of
from mothermold.pages.day_plan import glance, plan_sections
from mothermold.pages.hurt import numbers
from mothermold.pages.pinned import pinned_title
from mothermold.pages.saying import Loose, joined, marked, quiet, section
from mothermold.pages.wording import spoken
from mothermold.view.view import View

SIZES: Final = (10.0, 9.0, 8.0, 7.0)
"""Letters in points, from the largest: the first in which a sheet stands on its sides is taken."""
_VIEWS: Final = ("front", "left 3/4", "right 3/4", "left", "right", "back", "detail")
_WORN: Final = {"application": "On", "wear": "Through the day", "removal": "Off"}
_GATE: Final = frozenset(
    {"not-cleared", "reading-not-known", "read-too-soon", "cleared-too-late", "lot-not-cleared", "glue-without-removal"}
)
"""What is said of a build's patch tests and of what takes its glue off: it stands on every day sheet."""
_MOST: Final = 6
"""Photos of one look: more do not stand on one sheet."""


class BuildText:
    """What a build says on paper."""

    def __init__(self, view: View, pen: Pen, document: Document[Build]) -> None:
        """Takes a build up.

        Args:
            view: The edition.
            pen: What writes.
            document: The build.
        """
        self.view, self.pen, self.name, self.build = view, pen, document.address, document.model
        self.document, self.file = document, document.file
        self.pieces = pieces_of(view, self.name)

    def _leaf(self, kind: str, called: str, blocks: list[Block]) -> SheetLeaf:
        day = self.view.day
        whole = f"{self.build.title}: {called}{f', as of {day}' if day else ''}"
        return SheetLeaf(kind, whole, foot_of(self.view, page_of("build", self.name)), blocks)

    def fit(self, look: Look) -> list[Piece]:
        """The pieces of its things that are there and can be worn."""
        things = {str(each.thing) for each in look.pieces}
        return [each for each in self.pieces if each.can_be_worn and each.thing in things]

    def pinned(self, refs: Iterable[RecipeRef]) -> Loose:
        """Recipes by their titles, each with its version."""
        return joined(((pinned_title(self.view, ref), quiet(f" ({ref})")) for ref in refs), "; then ")

    def numbers(self) -> list[Block]:
        """Whom to call, where the edition holds it."""
        told = numbers(self.view.settings.emergency)
        return [self.pen.framed(self.pen.labels([(title, said) for _key, title, said in told]), "loud")] if told else []

    # Looks.

    def looks(self) -> list[SheetLeaf]:
        """A sheet for each look."""
        if not self.build.looks:
            return [
                self._leaf(
                    "Look sheet",
                    "no look",
                    [self.pen.title(self.build.title), self.pen.para("No look is written down yet.", style="banner")],
                )
            ]
        return [self._leaf("Look sheet", f"look {look.id}", list(self._look(look))) for look in self.build.looks]

    def _look(self, look: Look) -> Iterator[Block]:
        pen, wearer = self.pen, self.build.wearer_of(look)
        yield pen.title(f"{self.build.title}: {spoken(look.id)}", below=f"for {wearer}" if wearer else "")
        days = sorted(str(day.day) for day in self.build.days if day.look == look.id)
        facts = [(_WORN[stage], self.pinned(getattr(look, stage))) for stage in STAGES_WORN]
        yield from pen.labels([*facts, ("Worn on", ", ".join(days))])
        if (look.application or look.wear) and not look.removal:
            yield pen.para("No removal is written down.", style="banner")
        yield pen.heading("Pieces, in gluing order")
        yield from pen.table(
            {"": "auto", "Piece": "", "Made by": "", "There to be worn": "wide"},
            map(self._piece, enumerate(look.pieces, 1)),
        )
        yield from self._palette(look)
        if look.supplied:
            yield pen.heading("Brought by others")
            yield from pen.points(
                (each.what, each.who and f", from the {each.who}", each.due and (", due ", each.due))
                for each in look.supplied
            )
        if photos := self._photos(look):
            yield pen.heading("Seen from every side")
            yield from pen.pictures(photos, 480, across=3)

    def _piece(self, numbered: tuple[int, LookPiece]) -> list[Loose | Letters]:
        number, each = numbered
        thing = next((thing for thing in self.build.things if thing.id == each.thing), None)
        count = each.count and f" × {each.count}"
        kind = each.piece and f", {each.piece}"
        there = [piece for piece in self.pieces if piece.can_be_worn and piece.thing == each.thing]
        labels = ", ".join(
            f"{piece.kept.piece}{f' (box {piece.kept.box})' if piece.kept.box else ''}" for piece in there
        )
        named = spoken(str(each.thing))
        return [
            str(number),
            (marked("strong", named), kind, count),
            self.pinned([thing.recipe]) if thing else None,
            labels or "none",
        ]

    def _palette(self, look: Look) -> Iterator[Block]:
        """The color wanted on each zone, and what was used there the last time."""
        runs = [
            run for run in self.view.evidence.lineage.of_build(self.name) if run.palette and run.look in (None, look.id)
        ]
        used = {str(each.zone): each.note for run in runs for each in run.palette}
        wanted = {str(target.zone): target for target in look.targets}
        rows = []
        for zone in dict.fromkeys((*wanted, *used)):
            target = wanted.get(zone)
            figures = "  ".join(
                f"{key} {getattr(target, key)}"
                for key in ("L", "a", "b")
                if target and getattr(target, key) is not None
            )
            seen = joined((target.light, target.date and ("approved ", target.date)), ", ") if target else None
            rows.append((marked("strong", zone), figures, seen, used.get(zone)))
        if rows:
            yield self.pen.heading("Palette by zone")
            yield from self.pen.table({"Zone": "", "L* a* b*": "", "Seen in": "", "Used last": "wide"}, rows)

    def _photos(self, look: Look) -> list[Picture]:
        """Photos of the whole and of its things, from the front round to the details."""
        things = [thing for thing in self.build.things if any(piece.thing == thing.id for piece in look.pieces)]
        worn = [run for run in self.view.evidence.lineage.of_build(self.name) if run.look == look.id]
        every = (self.build.photos, *(thing.photos for thing in things), *(run.photos for run in reversed(worn)))
        found = {str(each.file): each for photos in every for each in photos}
        order = sorted(found.values(), key=lambda each: _VIEWS.index(each.view) if each.view in _VIEWS else len(_VIEWS))
        return order[:_MOST]

    # What is packed.

    def packing(self) -> list[SheetLeaf]:
        """A list for each look, what takes it off on top."""
        return [self._leaf("Packing list", f"look {look.id}", list(self._packed(look))) for look in self.build.looks]

    def _packed(self, look: Look) -> Iterator[Block]:
        pen, spare = (
            self.pen,
            [each for each in sets_of(self.view, self.name, self.build, self.view.day) if each.look == look.id],
        )
        yield pen.title(f"To pack: {self.build.title}, {spoken(look.id)}")
        yield from self.numbers()
        for layer in bag_of(self.view, look):
            yield pen.heading(layer.title)
            yield from pen.points(layer.things, "ticks") or [
                pen.para("Nothing is written down: think of it now.", style="banner")
            ]
        yield pen.heading("Pieces")
        fit = self.fit(look)
        told = ((marked("strong", each.kept.piece), f", {spoken(each.thing)}", each.kept.box and f", box {each.kept.box}", each.kept.day and (", for ", each.kept.day)) for each in fit)  # fmt: skip
        yield from pen.points(told, "ticks") or [pen.para("No piece is there that can be worn.", style="banner")]
        if any(each.day is None and not each.is_ready for each in spare):
            yield pen.para("The set to spare is not whole.", style="banner")
        yield pen.heading("Brought by others")
        yield from pen.points(
            ((each.what, each.who and f", from the {each.who}") for each in look.supplied), "ticks"
        ) or [pen.para("Nothing is written down.")]

    # Days.

    def days(self) -> list[SheetLeaf]:
        """A sheet for each day still to come; where none is, for every day."""
        coming = coming_days(self.build, self.view.day) or days_of(self.build)
        if not coming:
            return [
                self._leaf(
                    "Day sheet",
                    "no day",
                    [self.pen.title(self.build.title), self.pen.para("No day is written down yet.", style="banner")],
                )
            ]
        return [self._leaf("Day sheet", str(each), list(self._day(each))) for each in coming]

    def _day(self, day: date) -> Iterator[Block]:
        pen, sheet = self.pen, day_sheet(self.view, self.document, day)
        what = joined(dict.fromkeys(str(each.day.what) for each in sheet.looks if each.day.what), ", ")
        yield pen.title(f"{day}: {self.build.title}", below=what)
        yield from self.numbers()
        for look in sheet.looks:
            yield from sections_on_paper(pen, [section("glance", "", glance(sheet, look))])
            yield from self._gate()
            planned = plan_sections(self.view, sheet, look, alone=len(sheet.looks) == 1)
            # What is packed is a sheet of its own, and lies in the bag.
            yield from sections_on_paper(pen, (each for each in planned if each.key != "pack"))
            yield pen.heading("Touch-ups, meals, photos, and afterwards")
            yield from pen.blanks(
                [*["At, where", "What"] * 2, "Worn for", "Pieces thrown away", "Photos taken", "Asked next morning at"]
            )

    def _gate(self) -> Iterator[Block]:
        """What the book says against its patch tests and against what takes its glues off."""
        for notice in self.view.touching({self.file}):
            if notice.code in _GATE:
                yield self.pen.para(f"{notice.message} {notice.help}".replace("`", ""), style="banner")
