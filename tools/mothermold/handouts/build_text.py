"""A build on paper: the sheet of each look, what is packed for it, and the course of each day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, time, timedelta
from typing import Final

from mothermold.answers.pieces import Piece, pieces_of
from mothermold.answers.recipes import pinned_recipe
from mothermold.answers.result import title_words
from mothermold.book.document import Document
from mothermold.handouts.pen import TICK, Pen
from mothermold.handouts.prose import Block, Letters
from mothermold.handouts.sheaf import SheetLeaf, foot_of
from mothermold.model.build import STAGES_WORN, Build, Look, LookPiece, WornDay
from mothermold.model.names import RecipeRef
from mothermold.model.pictures import Picture
from mothermold.pages.addresses import page_of
from mothermold.pages.hurt import numbers
from mothermold.pages.pinned import pinned_title
from mothermold.pages.saying import Loose, joined, marked, quiet
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import minutes_in_words
from mothermold.reckon.times import elapsed_minutes
from mothermold.reckon.work import work_of
from mothermold.view.view import View

ONE_SIDE: Final = (10.0, 9.0, 8.0, 7.0)
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
        self.file = document.file
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
        pen = self.pen
        yield pen.title(f"To pack: {self.build.title}, {spoken(look.id)}")
        yield from self.numbers()
        for stage, title in (
            ("removal", "On top, found with eyes shut: what takes it off"),
            ("application", "To put it on"),
            ("wear", "Through the day"),
        ):
            yield pen.heading(title)
            things = self._needed(getattr(look, stage))
            yield from pen.points(things, "ticks") or [
                pen.para("Nothing is written down: think of it now.", style="banner")
            ]
        yield pen.heading("Pieces")
        fit = self.fit(look)
        told = ((marked("strong", each.kept.piece), f", {spoken(each.thing)}", each.kept.box and f", box {each.kept.box}", each.kept.day and (", for ", each.kept.day)) for each in fit)  # fmt: skip
        yield from pen.points(told, "ticks") or [pen.para("No piece is there that can be worn.", style="banner")]
        yield pen.heading("Brought by others")
        yield from pen.points(
            ((each.what, each.who and f", from the {each.who}") for each in look.supplied), "ticks"
        ) or [pen.para("Nothing is written down.")]

    def _needed(self, refs: Iterable[RecipeRef]) -> list[str]:
        """What recipes ask to have at hand, then the materials they use, each once."""
        titles, found = title_words(self.view), dict[str, None]()
        recipes = [recipe for ref in refs if (recipe := pinned_recipe(self.view, ref)) is not None]
        for recipe in recipes:
            found |= dict.fromkeys(str(each) for each in recipe.needs)
        for recipe in recipes:
            names = sorted({name for each in work_of(recipe).steps for name in each.materials})
            found |= dict.fromkeys(titles.get(name, name) for name in names)
        return list(found)

    # Days.

    def days(self) -> list[SheetLeaf]:
        """A sheet for each day still to come; where none is, for every day."""
        today, listed = self.view.day, sorted(self.build.days, key=lambda each: each.day)
        coming = [each for each in listed if today is None or each.day >= today] or listed
        if not coming:
            return [
                self._leaf(
                    "Day sheet",
                    "no day",
                    [self.pen.title(self.build.title), self.pen.para("No day is written down yet.", style="banner")],
                )
            ]
        return [self._leaf("Day sheet", str(each.day), list(self._day(each))) for each in coming]

    def _day(self, day: WornDay) -> Iterator[Block]:
        pen = self.pen
        look = next((each for each in self.build.looks if each.id == day.look), None)
        wearer = self.build.wearer_of(look) if look else None
        yield pen.title(
            f"{day.day}: {self.build.title}",
            below=joined((day.what, f"look {spoken(day.look)}", wearer and f"wearer {wearer}"), ", "),
        )
        yield from self.numbers()
        yield from pen.labels([("In the chair", day.chair), ("Ready", day.ready), ("Wrap", day.wrap)])
        yield from self._cleared(wearer, day.day)
        if look is None:
            return
        meant = [each for each in self.fit(look) if each.kept.day in (None, day.day)]
        yield pen.heading("Pieces")
        told = (
            f"{each.kept.piece}, {spoken(each.thing)}{f', box {each.kept.box}' if each.kept.box else ''}"
            for each in meant
        )
        yield from pen.points(told, "ticks") or [pen.para("No piece is there that can be worn.", style="banner")]
        yield from self._timed("On", look.application, day.chair, day.ready)
        yield from self._timed("Through the day", look.wear, None)
        yield pen.heading("Touch-ups")
        yield from pen.blanks(["At, where", "What"] * 4)
        yield from self._timed("Off", look.removal, day.wrap)
        yield pen.heading("Afterwards")
        yield from pen.blanks(["Worn for", "Skin looked at by (a code)", "Pieces thrown away", "Photos taken"])

    def _cleared(self, wearer: str | None, day: date) -> Iterator[Block]:
        """The patch tests that were read before a day, and what the gate of the book says against it."""
        read = [each for each in self.build.cleared if each.wearer == wearer and each.on and each.on < day]
        if read:
            days = ", ".join(str(each.on) for each in read)
            yield self.pen.para(
                f"Patch tests of {wearer} read and clear before it: {days}. That is no promise; the skin is asked again this morning."
            )
        else:
            yield self.pen.para(
                "No patch test is written down as read and clear before this day: nothing goes on skin before one is.",
                style="banner",
            )
        for notice in self.view.touching({self.file}):
            if notice.code in _GATE:
                yield self.pen.para(f"{notice.message} {notice.help}".replace("`", ""), style="banner")

    def _timed(
        self, title: str, refs: Iterable[RecipeRef], begins: time | None, due: time | None = None
    ) -> Iterator[Block]:
        """The steps of the recipes one after the other, by the clock where it is known when they begin."""
        rows: list[list[Loose | Letters]] = []
        passed = 0.0
        for ref in refs:
            recipe = pinned_recipe(self.view, ref)
            for each in work_of(recipe).order if recipe is not None else ():
                clock: list[Loose | Letters] = [_at(begins, passed + float(each.starts))] if begins else []
                rows.append(
                    [TICK, *clock, each.step.title, minutes_in_words(each.hands_on) if each.hands_on else "", ""]
                )
            passed += float(elapsed_minutes(recipe)) if recipe is not None else 0.0
        yield self.pen.heading(title)
        if begins and due and passed > (over := _minutes(due) - _minutes(begins)):
            late = minutes_in_words(passed - over)
            yield self.pen.para(
                f"By their written times the steps end {late} after “ready”: begin earlier, or agree on it.",
                style="banner",
            )
        heads = {"": "tick"} | ({"At": "auto"} if begins else {}) | {"Step": "", "Hands-on": "number", "Note": "wide"}
        yield from self.pen.table(heads, rows) or [self.pen.para("Nothing is written down.")]


def _minutes(clock: time) -> int:
    return clock.hour * 60 + clock.minute


def _at(begins: time, minutes: float) -> str:
    """A time of day, so long after another."""
    return f"{datetime.combine(date.min, begins) + timedelta(minutes=minutes):%H:%M}"
