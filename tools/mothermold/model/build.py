"""A build: a character with its wearers, the things made for it, looks and days."""

from __future__ import annotations

from typing import Annotated, Final, Literal

from mothermold.model.names import LocalName, LookName, Name, RecipeRef, ThingName
from mothermold.model.parts import (
    Accept,
    Codes,
    Color,
    DocumentModel,
    Materials,
    Part,
    RecipeRefs,
    UsedLot,
    many,
    must,
    some,
)
from mothermold.model.pictures import Pictures
from mothermold.model.scalars import ONE_OR_MANY, Clock, Code, Day, Positive, Prose, Text, WholeNumber, YesNo

SheetPlace = tuple[str, int]
"""Where a look or a clearance names a recipe: the stage, and which of its recipes there, from 0."""

STAGES_WORN: Final = ("application", "wear", "removal")


class Thing(Part):
    """Something made for the build, by which recipe and from what."""

    id: Name = must("The thing's name in the build.", "face")
    recipe: RecipeRef = must("The recipe version it is made by.", "cast/cheek-piece@3", pinned=True)
    wearer: Code | None = some("For whom.", "W1")
    from_: Annotated[tuple[ThingName, ...], ONE_OR_MANY] = many("The things it is made from.", ["face-mold"])
    worn: YesNo | None = some("Whether it is worn, and so used up.", "yes")
    photos: Pictures = many("Photos of it.", [{"file": "the-ferryman-face-1.jpg"}])


class LookPiece(Part):
    """A piece of a look."""

    thing: ThingName = must("The thing it is a casting of.", "bands")
    piece: Text | None = some("Which of its kinds.", "left")
    count: Positive | None = some("How many; default: 1.", 1)


class Supplied(Part):
    """Something others bring."""

    what: Text = must("What.", "contact lenses")
    who: Text | None = some("Who brings it, as a role.", "licensed eye professional")
    due: Day | None = some("By when.", "2026-04-20")


class Target(Color):
    """The color wanted on a zone."""

    zone: Text = must("Where.", "cheeks")
    date: Day | None = some("When it was approved.", "2026-04-10")


class Look(Part):
    """What is worn together."""

    id: Name = must("The look's name in the build.", "full")
    wearer: Code | None = some("Who wears it.", "W1")
    pieces: tuple[LookPiece, ...] = must("Its pieces in gluing order.", [{"thing": "face"}])
    application: RecipeRefs = many("How it goes on, in order.", ["application/full@2"], pinned=True)
    wear: RecipeRefs = many("How it is kept through the day.", ["wear/full@1"], pinned=True)
    removal: RecipeRefs = many("How it comes off, in order: something for every glue.", ["removal/full@1"], pinned=True)
    spares: WholeNumber | None = some("Whole sets to spare for the run of days.", 1)
    supplied: tuple[Supplied, ...] = many("What others bring.", [{"what": "contact lenses"}])
    targets: tuple[Target, ...] = many("The colors wanted.", [{"zone": "cheeks"}])

    @property
    def recipes(self) -> dict[SheetPlace, RecipeRef]:
        """The recipes it names, by place, in the order they are done."""
        return _recipes(self)

    def called(self, place: SheetPlace) -> str:
        """A place in words: the removal, or which of several. A recipe's name may be hidden from who reads the look."""
        stage, number = place
        return f"{stage} {number + 1}" if len(getattr(self, stage)) > 1 else f"the {stage}"


class WornDay(Part):
    """A day the look is worn."""

    day: Day = must("When.", "2026-05-04")
    what: Literal["camera test", "fitting", "shoot"] | None = some("What the day is for.", "shoot")
    look: LookName = must("Which look.", "full")
    chair: Clock | None = some("When the wearer sits down.", "06:30")
    ready: Clock | None = some("When it must be finished.", "09:00")
    wrap: Clock | None = some("When removal may begin.", "19:00")


class Approval(Part):
    """Something that must be approved."""

    what: Text = must("What.", "sculpt")
    due: Day | None = some("By when.", "2026-03-20")


class Clearance(Part):
    """A patch test that was read and was clear; the facts lie outside the book."""

    wearer: Code = must("The wearer's code.", "W1")
    application: RecipeRefs = many("The applications whose products it covers.", ["application/full@2"], pinned=True)
    wear: RecipeRefs = many("The care through the day whose products it covers.", ["wear/full@1"], pinned=True)
    removal: RecipeRefs = many("The removals whose products it covers.", ["removal/full@1"], pinned=True)
    products: Materials = many("Further products it covers.", ["adhesive-acrylic"])
    lots: tuple[UsedLot, ...] = many(
        "The lots that were tried.", [{"material": "adhesive-acrylic", "lot": "20E5"}], own=True
    )
    tested: Day | None = some("When the patch was put on.", "2026-03-31")
    on: Day | None = some("When it was read; 48 hours after it was put on, or later.", "2026-04-02")

    @property
    def recipes(self) -> dict[SheetPlace, RecipeRef]:
        """The recipes whose products it covers, by place."""
        return _recipes(self)


def _recipes(each: Look | Clearance) -> dict[SheetPlace, RecipeRef]:
    return {(stage, index): ref for stage in STAGES_WORN for index, ref in enumerate(getattr(each, stage))}


ChapterShows = Literal["brief", "route", "story", "thing", "days", "troubles", "numbers", "photos"]


class WriteUpChapter(Part):
    """A chapter of the write-up: what of the book stands there, and what its maker says to it."""

    shows: ChapterShows | None = some("What of the book it shows; default: its own words alone.", "thing")
    thing: ThingName | None = some("Which thing, where it shows one.", "face")
    title: Text | None = some("Its heading; default: what it shows.", "A face in two pours")
    text: Prose | None = some("What you say before it.", "The third casting was the first without a bubble.")
    photos: Pictures = many("Photos that belong there.", [{"file": "the-ferryman-2.jpg"}])


class Build(DocumentModel):
    """A character, from head cast to the last day."""

    title: Text = must("The character's name.", "The ferryman")
    brief: Prose | None = some("What is wanted.", "An old man of the river.")
    people: Positive | None = some("How many pairs of hands there are.", 2)
    wearers: Codes = many("The wearers' codes, never names.", ["W1"])
    things: tuple[Thing, ...] = must("What is made, from what.", [{"id": "face", "recipe": "cast/cheek-piece@3"}])
    looks: tuple[Look, ...] = many("What is worn together.", [{"id": "full", "pieces": [{"thing": "face"}]}])
    days: tuple[WornDay, ...] = many("The days.", [{"day": "2026-05-04", "look": "full"}])
    approvals: tuple[Approval, ...] = many("What must be approved, and by when.", [{"what": "sculpt"}])
    cleared: tuple[Clearance, ...] = many("Patch tests read and clear.", [{"wearer": "W1"}])
    accepts: tuple[Accept, ...] = many("Findings accepted with a reason.", [])
    photos: Pictures = many("Photos of the whole.", [{"file": "the-ferryman-1.jpg"}])
    story: Prose | None = some("How it went, as you would tell it.", "It began with a head cast in a cold week.")
    write_up: tuple[WriteUpChapter, ...] = many(
        "The chapters of the write-up in your order, what is left out is left out; default: all the book has to show.",
        [{"shows": "brief"}],
    )

    def behind(self, name: str) -> list[str]:
        """A thing and those it is made from at any depth, the nearest first."""
        by_id = {str(thing.id): thing for thing in self.things}
        found: dict[str, None] = {name: None}
        for each in (trail := [name]):
            for other in by_id[each].from_ if each in by_id else ():
                if other not in found:
                    found[str(other)] = None
                    trail.append(str(other))
        return list(found)

    @property
    def names(self) -> dict[type[LocalName], list[Name]]:
        """The names it brings, of its things and of its looks."""
        return {ThingName: [thing.id for thing in self.things], LookName: [look.id for look in self.looks]}

    def wearer_of(self, look: Look) -> str | None:
        """Who wears a look: whom it names, else the only one there is; None where that is not said."""
        return look.wearer or (self.wearers[0] if len(self.wearers) == 1 else None)

    @property
    def recipes(self) -> tuple[RecipeRef, ...]:
        """Every recipe it names for its things and looks."""
        return (
            *(thing.recipe for thing in self.things),
            *(ref for look in self.looks for ref in look.recipes.values()),
        )
