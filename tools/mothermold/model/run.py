"""A run: one doing of one recipe version, a test, or the first pull of a mold."""

from __future__ import annotations

from typing import Annotated, Literal

from mothermold.model.names import (
    CourseRef,
    FailureRef,
    LookName,
    MaterialRef,
    MixName,
    MoldRef,
    Name,
    RecipeRef,
    RunRef,
    StepName,
    ThingName,
)
from mothermold.model.parts import Codes, Color, DocumentModel, Part, UsedLot, many, must, some
from mothermold.model.pictures import Pictures
from mothermold.model.scalars import (
    ONE_OR_MANY,
    Clock,
    Day,
    Duration,
    Harm,
    Length,
    MassOrVolume,
    Measurement,
    Moment,
    Percent,
    Prose,
    Temperature,
    Text,
    YesNo,
)


class Conditions(Part):
    """The room and the temperatures."""

    room: Temperature | None = some("The room.", "21 degC")
    humidity: Percent | None = some("Relative humidity.", "48 %")
    mold_temp: Temperature | None = some("The mold.", "20 degC")
    material_temp: Temperature | None = some("The materials.", "21 degC")


class Batch(Part):
    """What was mixed."""

    mix: MixName = must("Which mix.", "base")
    weighed: MassOrVolume | None = some("How much was mixed.", "263 g")
    pot_life: Duration | None = some("How long it could be poured.", "22 min")


class Took(Part):
    """How long a step took."""

    step: StepName = must("Which step.", "fill")
    done: Moment | None = some("When it was done.", "2026-04-18 10:40")
    hands_on: Duration | None = some("Hands busy.", "9 min")
    waited: Duration | None = some("Waited afterwards.", "4 h 10 min")


class Measured(Part):
    """Something measured."""

    step: StepName | None = some("At which step.", "open")
    what: Text = must("What was measured.", "piece with flashing")
    value: Measurement = must("The value.", "214 g")


class Changed(Part):
    """Where the run left the recipe."""

    step: StepName | None = some("At which step.", "fill")
    note: Prose = must("What was done differently.", "Poured in two lifts.")


class WentWrong(Part):
    """Something that went wrong this time."""

    failure: FailureRef | None = some("The failure note.", "cracked-mold")
    what: Prose | None = some("What happened, until it has a note.", "A crack at the chin.")
    step: StepName | None = some("At which step.", "open")
    harm: Harm | None = some("What it cost this time.", "cosmetic")
    note: Prose | None = some("What was seen.", "Small, at the chin.")


class Kept(Part):
    """A piece that exists."""

    piece: Text = must("The piece's label, unique in the build.", "F-07")
    grade: Literal["hero", "second", "spare"] | None = some("How good it is.", "hero")
    box: Text | None = some("Where it lies.", "B3")
    day: Day | None = some("For which day.", "2026-05-04")


class Swatch(Color):
    """A color compared with the approved one."""

    match: Text | None = some("How it compares by eye.", "same")
    thick: Length | None = some("How thick the swatch is.", "3 mm")
    backing: Text | None = some("What lay behind it.", "white")
    age: Duration | None = some("How long after casting.", "24 h")


class UsedPiece(Part):
    """A piece that was worn, and what became of it."""

    piece: Text = must("The piece's label.", "F-07")
    then: Literal["discarded", "kept", "repaired"] | None = some("What became of it.", "discarded")


class Palette(Part):
    """A color used on a zone."""

    zone: Text = must("Where.", "cheeks")
    note: Prose | None = some("What was used.", "Two washes of warm brown.")


class TouchUp(Part):
    """A repair during the day."""

    at: Clock | None = some("When.", "13:30")
    zone: Text | None = some("Where.", "left corner of the mouth")
    note: Prose | None = some("What was done.", "Glued again, powdered.")


class DayMoment(Part):
    """Something of the day that is no repair: what was noted in two taps."""

    at: Clock | None = some("When.", "12:40")
    what: Literal["meal", "break", "photo", "note"] = must("What it was.", "meal")
    zone: Text | None = some("Where on the face, or from which side.", "front")
    note: Prose | None = some("What is to be said of it.", "Soup, with a spoon.")


class CupPart(Part):
    """A part that was tried, weighed."""

    material: MaterialRef | None = some("The material.", "gel-silicone-a")
    mix: MixName | None = some("Or a mix of the recipe.", "base")
    weighed: MassOrVolume | None = some("How much.", "10 g")


class Cup(Part):
    """One trial of a test."""

    parts: tuple[CupPart, ...] = many("What was tried, weighed.", [{"material": "gel-silicone-a", "weighed": "10 g"}])
    result: Literal["passed", "failed", "unclear"] | None = some("How it came out.", "passed")
    note: Prose | None = some("What was seen.", "Firm after four hours.")
    chosen: YesNo | None = some("Whether this one was taken.", "yes")


MorningAfter = Literal["available", "not available"]
"""Whether somebody may be glued again. Production hears the same two words; how the skin was is in the closed folder alone."""

Asks = Literal["inhibition", "color", "softness", "cure", "paint", "lace", "adhesive"]


class Run(DocumentModel):
    """One doing of one recipe version, or a test on a draft."""

    id: Name = must("The run's id, also its file's name.", "r-2026-04-18-face-3")
    title: Text | None = some("A few words, where wanted.", "Third casting")
    kind: Literal["run", "test", "pull"] = some("A run, a test, or the first pull of a mold.", "run", "run")
    recipe: RecipeRef | None = some("The recipe and its version.", "cast/cheek-piece@3", pinned=True)
    thing: ThingName | None = some("The thing of the build.", "face")
    started: Moment = must("When it began.", "2026-04-18 09:10")
    finished: Moment | None = some("When it ended.", "2026-04-18 15:40")
    who: Codes = many("Role codes, never names.", ["R2"])
    mold: MoldRef | None = some("The physical mold used.", "face-mold-1")
    from_: Annotated[tuple[RunRef, ...], ONE_OR_MANY] = many("Other runs whose product this one used.", [])
    conditions: Conditions | None = some("The room and the temperatures.", {"room": "21 degC"})
    batch: tuple[Batch, ...] = many("What was mixed.", [{"mix": "base", "weighed": "263 g"}])
    took: tuple[Took, ...] = many("How long steps took.", [{"step": "fill", "hands_on": "9 min"}])
    measured: tuple[Measured, ...] = many("What was measured.", [{"what": "piece with flashing", "value": "214 g"}])
    changed: tuple[Changed, ...] = many(
        "Where it was done differently from the recipe.", [{"note": "Poured in two lifts."}]
    )
    outcome: Literal["good", "usable", "scrapped"] | None = some("How it ended; none while under way.", "good")
    went_wrong: tuple[WentWrong, ...] = many("What went wrong.", [{"failure": "cracked-mold"}])
    kept: tuple[Kept, ...] = many("The pieces that exist, as cast.", [{"piece": "F-07"}])
    swatch: Swatch | None = some("A color compared with the approved one.", {"match": "same"})
    lots: tuple[UsedLot, ...] = many("The lots used.", [{"material": "gel-silicone-a", "lot": "20E5"}], own=True)
    photos: Pictures = many("Photos, in order.", [{"file": "r-2026-04-18-face-3-1.jpg"}])
    course: CourseRef | None = some("The course it was done in.", "silicone-spring-2026")
    look: LookName | None = some("The look worn.", "full")
    day: Day | None = some("The day it was worn.", "2026-05-04")
    used: tuple[UsedPiece, ...] = many("The pieces worn.", [{"piece": "F-07", "then": "discarded"}])
    palette: tuple[Palette, ...] = many("The colors used, by zone.", [{"zone": "cheeks"}])
    worn: Duration | None = some("How long it was worn.", "11 h")
    touch_ups: tuple[TouchUp, ...] = many("Repairs during the day.", [{"at": "13:30"}])
    moments: tuple[DayMoment, ...] = many(
        "What else the day had: meals, breaks, photos.", [{"at": "12:40", "what": "meal"}]
    )
    morning_after: MorningAfter | None = some(
        "What the wearer said the next morning, and no word more; never why.", "available", own=True
    )
    asks: Annotated[tuple[Asks, ...], ONE_OR_MANY] = many("What a test asks.", ["cure"])
    between: Annotated[tuple[MaterialRef, ...], ONE_OR_MANY] = many("Which materials met in a test.", [])
    cups: tuple[Cup, ...] = many("The trials of a test.", [{"result": "passed"}])
