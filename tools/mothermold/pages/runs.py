"""The page of a run, and how runs are named and listed on other pages."""

from __future__ import annotations

from calendar import month_name
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from itertools import groupby, starmap
from typing import Any, Final

from mothermold.answers.pieces import Piece, pieces_of
from mothermold.answers.records import kind_words, run_title
from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.model.run import (
    Batch,
    Changed,
    Conditions,
    Cup,
    CupPart,
    DayMoment,
    Kept,
    Measured,
    Run,
    Took,
    TouchUp,
    UsedPiece,
    WentWrong,
)
from mothermold.model.walk import KeyPath
from mothermold.pages.content import Content, Labels, Lead, Row, Tag, When, Words
from mothermold.pages.pictures import pictures_widget, slots_widget
from mothermold.pages.pieces import piece_lead
from mothermold.pages.saying import (
    Loose,
    cells,
    framed,
    joined,
    labels,
    listed,
    listing,
    marked,
    numbered,
    pairs,
    para,
    quiet,
    said,
    section,
    tabled,
    words,
)
from mothermold.pages.wording import spoken
from mothermold.quantities.wording import percent_words
from mothermold.view.view import View

_MINUTE: Final = "%Y-%m-%d %H:%M"


def ending(run: Run) -> str:
    """How it ended, in a word; of a test, what its cups said."""
    if run.outcome:
        return run.outcome
    if run.kind == "test":
        results = [cup.result for cup in run.cups if cup.result]
        return "failed" if "failed" in results and "passed" not in results else "tested"
    return "under way"


@dataclass(frozen=True, slots=True)
class RunEntry:
    """A run in a list.

    Attributes:
        id: Its id.
        version: The version of the recipe it did; empty where it names none.
        title: What it is called anywhere in the book.
        day: When it began.
        ending: How it ended.
        build: The build it was done for.
        apart: What tells it from other runs of the same recipe: its thing, its mold.
        troubles: What went wrong in it, failure notes by title.
        went_wrong: Whether anything is written down that went wrong, also where the edition holds no word of it.
    """

    id: str
    version: str
    title: str
    day: str
    ending: str
    build: str
    apart: str
    troubles: Sequence[str]
    went_wrong: bool


def entries(view: View, runs: Iterable[Run]) -> list[RunEntry]:
    """Runs as they stand in a list, in the order given."""
    return entries_of(view, (view.that_says(run).address for run in runs))


def entries_of(view: View, names: Iterable[str]) -> list[RunEntry]:
    """The same of runs by the names of their documents: only those are opened that changed since they were listed last."""
    return [RunEntry(*view.made.of(f"run/{name}: listed", partial(_listed, view, name))) for name in names]


def _listed(view: View, name: str) -> list[Any]:
    document = view.of(Run)[name]
    run = document.model
    return [
        str(run.id),
        str(run.recipe.version or "") if run.recipe else "",
        run_title(view, run),
        run.started.date().isoformat(),
        str(ending(run)),
        _title(view, "build", build_of(document.file)),
        _apart(view, run),
        [words for each in run.went_wrong if (words := _title(view, "failure", each.failure) or str(each.what or ""))],
        bool(run.went_wrong),
    ]


def run_line(entry: RunEntry) -> Words:
    """A run in a list: how it ended, when it was, what was done at which version."""
    done = (Tag(entry.ending, entry.ending), When(entry.day, entry.day), " ", Lead("run", entry.id, entry.title))
    return words(*done, entry.version and (" ", quiet(f"v{entry.version}")))


def by_month(listed: Iterable[RunEntry]) -> list[tuple[str, list[RunEntry]]]:
    """Runs under the month they began in, in the order given: ``August 2026``."""
    months = groupby(listed, key=lambda entry: entry.day[:7])
    return [(f"{month_name[int(month[5:])]} {int(month[:4])}", list(each)) for month, each in months]


def _title(view: View, kind: str, name: str | None) -> str:
    document = view.on(kind).get(name) if name else None
    return str(getattr(document.model, "title", None) or name) if document else ""


def _apart(view: View, run: Run) -> str:
    """What tells a run from others of its recipe: its own title, else the thing, the mold, the day it was worn."""
    mold = _title(view, "mold", run.mold)
    words = [
        "" if run.kind == "run" else kind_words(run),
        spoken(str(run.thing)) if run.thing else "",
        f"in “{mold}”" if mold else "",
        f"look {spoken(str(run.look))}" if run.look else "",
    ]
    return str(run.title) if run.title else ", ".join(word for word in words if word)


def content(view: View, document: Document[Run]) -> Content:
    """What the page of a run shows."""
    run, told = document.model, _Telling(view, document)
    beside = said(id=run.id, recipe=run.recipe and (", ", Lead("reference", run.recipe, run.recipe)))
    origins = listed(run.from_, "; ", "from")
    tried = listed(run.between, ", ", "between")
    lots = (cells(at, each, "material", "lot") for at, each in numbered(run.lots, "lots"))
    palette = (cells(at, each, "zone", "note") for at, each in numbered(run.palette, "palette"))
    return Content(
        run_title(view, run),
        said(kind=kind_words(run)),
        beside,
        (
            section("glance", "", told.glance()),
            section("made_with", "", para(framed("Made with what came out of ", origins, "."))),
            section("tried", "", para(framed("Tried together: ", tried, "."))),
            listing("went_wrong", "What went wrong", run.went_wrong, told.wrong),
            listing("changed", "Done differently from the recipe", run.changed, told.change),
            section("photos", "Photos", pictures_widget(run.photos, "photos")),
            section("slots", "", slots_widget(view, run)),
            tabled("cups", "Cups", _CUPS, run.cups, told.cup),
            listing("batch", "Mixed", run.batch, told.batch),
            listing("measured", "Measured", run.measured, told.measured),
            tabled("took", "How long it took", _TOOK, run.took, told.took),
            section("lots", "Lots used", pairs(lots)),
            listing("used", "Worn pieces", run.used, told.used),
            listing("kept", "Kept", run.kept, told.kept),
            section("palette", "Palette", pairs(palette)),
            listing("touch_ups", "Touch-ups during the day", run.touch_ups, told.touch_up),
            listing("moments", "Meals, breaks, photos", run.moments, told.moment),
        ),
        "Also recorded",
    )


_CUPS: Final = {"Tried": "", "Result": "", "Seen": "across"}
_TOOK: Final = {"Step": "", "Done": "number", "Hands-on": "number", "Waited": "number"}


class _Telling:
    """The words of a run's entries, each with its place in the document.

    Args:
        view: The edition.
        document: The run.
    """

    def __init__(self, view: View, document: Document[Run]) -> None:
        self.view, self.run = view, document.model
        self.build, self.builds = build_of(document.file), view.on("build")
        pieces = pieces_of(view, self.build) if self.run.kept else ()
        self.pieces = [piece for piece in pieces if piece.run is self.run]
        recipe = self.run.recipe
        self.pinned = f"{recipe.address}@{recipe.version}" if recipe and recipe.version else str(recipe or "")
        versions = view.versions(recipe.address) if recipe else None
        row = (versions.get(recipe.version) if recipe and recipe.version else versions.current) if versions else None
        done = row.recipe if row is not None else None
        self.steps = {str(step.id): step.title for step in done.steps} if done else {}
        self.mixes = {str(mix.id): mix.title or mix.id for mix in done.mixes} if done else {}

    def mix(self, name: str) -> Lead | str:
        return Lead("mix", f"{self.pinned}#{name}", self.mixes[name]) if name in self.mixes else name

    def step(self, name: str) -> Lead | str:
        return Lead("reference", f"{self.pinned}#{name}", self.steps.get(name, name)) if self.pinned else name

    def at_step(self, name: str | None) -> Loose:
        return (" ", quiet("at “", self.step(name), "”")) if name else None

    def glance(self) -> Labels:
        run, room = self.run, self.run.conditions or Conditions()
        at_room = partial(said, "conditions")
        air = (at_room(room=room.room), at_room(humidity=room.humidity and f"{percent_words(room.humidity)} humidity"))
        look = said(look=run.look and spoken(run.look))
        return labels(
            ("Outcome", said(outcome=ending(run))),
            ("Started", said(started=f"{run.started:{_MINUTE}}")),
            ("Finished", said(finished=run.finished and f"{run.finished:{_MINUTE}}")),
            # A build the edition leaves out is not named either.
            ("Build", Lead("build", self.build) if self.build and self.build in self.builds else None),
            ("Course", said(course=run.course)),
            ("What", said(thing=run.thing and spoken(run.thing))),
            ("Mold", said(mold=run.mold)),
            (("Day", look and (", look ", look)), said(day=self.day(run.day))) if run.day else ("Look", look),
            ("Worn", said(worn=run.worn)),
            ("The morning after", said(morning_after=run.morning_after)),
            ("The room", joined(air, ", ")),
            ("The mold", at_room(mold_temp=room.mold_temp)),
            ("The materials", at_room(material_temp=room.material_temp)),
            ("What it asks", listed(run.asks, ", ", "asks")),
            style="glance",
        )

    def wrong(self, at: KeyPath, each: WentWrong) -> Words:
        return said(
            *at,
            failure=each.failure,
            what=each.what and (": " if each.failure else "", each.what),
            step=self.at_step(each.step),
            harm=each.harm and (" ", quiet(f"({each.harm})")),
            note=each.note and marked("below", each.note),
        )

    def change(self, at: KeyPath, each: Changed) -> Words:
        return said(*at, step=each.step and (quiet(self.step(each.step), ":"), " "), note=each.note)

    def cup(self, at: KeyPath, each: Cup) -> Row:
        parts = joined(starmap(self.tried, numbered(each.parts, *at, "parts")), " + ")
        chosen = "" if each.chosen is None else (" ", Tag("chosen", "good")) if each.chosen else " not chosen"
        result = said(*at, result=each.result, chosen=chosen)
        return Row((parts or (f"cup {int(at[-1]) + 1}",), result, *cells(at, each, "note")))

    def tried(self, at: KeyPath, each: CupPart) -> Words:
        mix = self.mix(each.mix) if each.mix and not each.material else None
        weighed = each.weighed and (" ", each.weighed)
        return said(*at, material=each.material, mix=mix, weighed=weighed)

    def batch(self, at: KeyPath, each: Batch) -> Words:
        poured = each.pot_life and (", could be poured for ", each.pot_life)
        return said(*at, mix=self.mix(each.mix), weighed=each.weighed and (": ", each.weighed), pot_life=poured)

    def measured(self, at: KeyPath, each: Measured) -> Words:
        return said(*at, what=each.what, value=(": ", marked("bold", each.value)), step=self.at_step(each.step))

    def took(self, at: KeyPath, each: Took) -> Row:
        # The day is said where it is another than the first.
        done = f"{each.done:{_MINUTE}}" if each.done else ""
        short = done[-5:] if each.done and each.done.date() == self.run.started.date() else done
        step, when = said(*at, step=self.step(each.step)), said(*at, done=done and When(done, short))
        return Row((step, when, *cells(at, each, "hands_on", "waited")))

    def used(self, at: KeyPath, each: UsedPiece) -> Words:
        return said(*at, piece=self.piece(each.piece), then=each.then and f", {each.then} afterwards")

    def kept(self, at: KeyPath, each: Kept) -> Words:
        cast = said(
            *at,
            piece=self.piece(each.piece),
            grade=each.grade and f", {each.grade}",
            box=each.box and f", box {each.box}",
            day=each.day and (", for ", each.day),
        )
        pieces = (now for now in self.pieces if now.kept.piece == each.piece and (now.by or now.what != each.grade))
        return words(cast, *map(self.today, pieces))

    def piece(self, label: str) -> Words:
        return marked("bold", piece_lead(self.view, self.build, label) if self.build else label)

    def today(self, piece: Piece) -> Words:
        why = f": {piece.because}" if piece.because != piece.what else ""
        since = (", in ", Lead("run", piece.by.id)) if piece.by else None
        return words(" ", quiet(f"now {piece.what}{why}", since))

    def day(self, day: date) -> Loose:
        """The day worn; the owner's leads to its page."""
        known = self.view.edition == "private" and self.build
        return Lead("day", f"{self.build}/{day.isoformat()}", day.isoformat()) if known else day

    def moment(self, at: KeyPath, each: DayMoment) -> Words:
        return said(
            *at,
            at=each.at and (marked("bold", each.at), " "),
            what=each.what,
            zone=each.zone and f", {each.zone}",
            note=each.note and (": ", each.note),
        )

    def touch_up(self, at: KeyPath, each: TouchUp) -> Words:
        return said(
            *at,
            at=each.at and (marked("bold", each.at), " "),
            zone=each.zone,
            note=each.note and (": " if each.zone else "", each.note),
        )
