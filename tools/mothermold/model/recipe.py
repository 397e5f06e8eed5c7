"""A recipe: how to do one job at one stage, with its mixes, steps and surfaces."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from pydantic import BeforeValidator

from mothermold.model.names import (
    LocalName,
    MaterialRef,
    MixName,
    Name,
    PartName,
    RecipeAddress,
    StepName,
    SurfaceName,
    ThingName,
)
from mothermold.model.parts import (
    Accept,
    Coats,
    DocumentModel,
    Failures,
    Part,
    Proses,
    Shared,
    Timed,
    many,
    must,
    some,
)
from mothermold.model.pictures import Pictures
from mothermold.model.scalars import (
    ONE_OR_MANY,
    Amount,
    AmountOrWords,
    Area,
    Density,
    Duration,
    Holder,
    Length,
    MassOrVolume,
    Measure,
    Number,
    Once,
    Percent,
    Positive,
    Prose,
    Status,
    Temperature,
    Text,
    Volume,
    YesNo,
    Yields,
)

THE_REST: Final = "the-rest"
TOTAL: Final = "total"
# Surfaces that need no declaring.
BODY_SURFACES: Final = frozenset({"skin", "hair"})


class Surface(Part):
    """Something the work touches: of a material, or of another thing."""

    id: Name = must("The surface's name in this recipe.", "mold-face", names=True)
    material: MaterialRef | None = some("What it is made of.", "polyurethane-resin")
    from_: ThingName | None = some("The thing of the build it belongs to.", "face")
    surface: SurfaceName | None = some("Its name there.", "piece-back")


class Gives(Part):
    """What comes out of the recipe."""

    what: Text | None = some("The thing made.", "piece")
    surfaces: tuple[Surface, ...] = many("The surfaces it has.", [{"id": "piece-back", "material": "encapsulant"}])


class MixPart(Part):
    """One part of a mix: of a material or another mix, by parts, percent, amount or eye."""

    material: MaterialRef | None = some("The material.", "gel-silicone-a", names=True)
    mix: MixName | None = some("Another mix of this recipe.", "tinted-a", names=True)
    parts: Number | None = some("How many parts.", 100, change="quantity")
    percent: Percent | None = some("How many percent of what `of` names.", 120, change="quantity")
    of: Annotated[tuple[PartName, ...], ONE_OR_MANY] = many(
        "Of what the percent is: parts of this mix, `the-rest` or `total`.", "gel-silicone-a", change="quantity"
    )
    amount: AmountOrWords | None = some("A fixed amount.", "4 drops", change="quantity")
    match: Text | None = some("What it is matched to by eye.", "swatch-3", change="quantity")
    by: Measure | None = some("By weight or volume, where it differs from the mix.", "weight", change="quantity")
    temperature: Temperature | None = some("How warm it goes in.", "20 degC", change="quantity")

    @property
    def name(self) -> str:
        """The material's or the premix's name; empty in a draft that lacks both."""
        return str(self.material or self.mix or "")


def _plain_percent(value: Any) -> Any:
    return {"percent": value} if isinstance(value, str) else value


class Allowance(Part):
    """How much more than the cavity is mixed, and within which bounds."""

    percent: Percent | None = some("On top of what is poured.", "10 %")
    left_in_cups: MassOrVolume | None = some("What stays on cups and stick.", "15 g")
    smallest_batch: MassOrVolume | None = some("The least that mixes and cures well.", "40 g")
    largest_batch: MassOrVolume | None = some("The most that can be mixed at once.", "900 ml")


class Covers(Part):
    """A layer: an area and how thick it is."""

    area: Area = must("The area covered.", "700 cm2")
    thick: Length = must("How thick.", "4 mm")


class Mix(Shared):
    """A formula."""

    id: Name = must("The mix's name in this recipe.", "base", names=True)
    title: Text | None = some("What it is called.", "Base silicone", change="wording")
    once: Once | None = some("Mixed once for the whole build, mold or wearer.", "build", change="order")
    by: Measure = some("Whether parts are weighed or measured by volume.", "weight", "weight", change="quantity")
    parts: tuple[MixPart, ...] = must(
        "The parts, in pouring order.", [{"material": "gel-silicone-a", "parts": 100}], ordered=True
    )
    batch: MassOrVolume | None = some("How much is mixed, where no cavity decides.", "160 ml", change="quantity")
    fills: Volume | None = some("The cavity one pour fills.", "185 ml", change="quantity")
    covers: Covers | None = some("The layer it makes.", {"area": "700 cm2", "thick": "4 mm"}, change="quantity")
    allowance: (
        Annotated[Allowance, BeforeValidator(_plain_percent, json_schema_input_type=Allowance | Percent)] | None
    ) = some("How much more is mixed.", "10 %", change="quantity")
    density: Density | None = some(
        "Measured density of the mix; wins over the one worked out.", "1.05 g/ml", change="quantity"
    )
    pot_life: Timed | None = some("How long it can be poured.", {"time": "25 min", "at": "23 degC"}, change="time")
    demold: Timed | None = some("When it can be opened.", {"time": "4 h", "at": "23 degC"}, change="time")
    full_cure: Timed | None = some("When it has its full strength.", {"time": "24 h", "at": "23 degC"}, change="time")


Role = Name
"""What a use is for: seal, prime, release, cast, coat and so on; a book may add words."""


class Use(Part):
    """A material or mix used in a step."""

    material: MaterialRef | None = some("The material.", "petroleum-jelly-thinned", names=True)
    mix: MixName | None = some("The mix.", "film", names=True)
    as_: Role = must("What it is used as.", "release", safety="protect")
    on: Annotated[tuple[SurfaceName, ...], ONE_OR_MANY] = many("The surfaces it goes on.", ["mold-face", "core-face"])
    amount: Amount | None = some("For the whole step, all coats and surfaces.", "10 ml", change="quantity")
    how: Text | None = some("The way of doing it.", "brush", change="wording")
    share: Percent | None = some("How much of the mix, where one mix serves two steps.", "50 %", change="quantity")
    coats: Coats | None = some("Coats of this use alone.", {"count": 3, "between": "10 min"}, change="quantity")

    @property
    def name(self) -> str:
        """The material's or the mix's name; empty in a draft that lacks both."""
        return str(self.material or self.mix or "")


def _plain_wait(value: Any) -> Any:
    return {"time": value} if isinstance(value, str) else value


class Wait(Part):
    """A time, or the demold or full cure of a mix."""

    time: Duration | None = some("How long.", "30 min")
    demold: MixName | None = some("Until this mix can be opened.", "base")
    full_cure: MixName | None = some("Until this mix has its full strength.", "base")


class Until(Part):
    """A wait for something that is seen or felt."""

    what: Prose = must("What is waited for.", "two equal weighings a day apart")
    usual: Duration | None = some("How long it usually takes.", "4 days")
    longest: Duration | None = some("When to give up waiting.", "10 days")


class Within(Part):
    """The latest start, counted from another step."""

    time: Duration = must("At most this long.", "8 h")
    after: StepName = must("After this step.", "encapsulate")
    from_: Literal["work", "wait"] | None = some("Counted from the end of its work or of its waiting.", "wait")


class Step(Shared):
    """One action, with its hands-on time and its waiting."""

    id: Name = must("The step's name in this recipe.", "fill", names=True)
    phase: Text | None = some("The part of the job it belongs to.", "cast")
    title: Text = must("What is done, in a few words.", "Fill and close", change="wording")
    do: Prose | None = some("How it is done.", "A thin thread into the lowest point.", change="wording")
    hands_on: Duration | None = some("How long hands are busy.", "10 min", change="time")
    people: Positive | None = some("How many people it needs.", 2, change="quantity")
    after: Annotated[tuple[StepName, ...], ONE_OR_MANY] = many(
        "The steps that must be done before; default: the step before.", "release"
    )
    within: Within | None = some("The latest start.", {"time": "8 h", "after": "encapsulate"}, change="time")
    coats: Coats | None = some(
        "Coats and the waiting between them.", {"count": 8, "between": "10 min"}, change="quantity"
    )
    uses: tuple[Use, ...] = many(
        "What is used.", [{"mix": "base", "as": "cast", "on": "mold-face"}], change="material", ordered=True
    )
    with_: Annotated[tuple[Name, ...], ONE_OR_MANY] = many(
        "Equipment and actions with their own cautions.", ["oven"], change="safety"
    )
    starts: MixName | None = some("The mix whose pot life starts here.", "base")
    wait: Annotated[Wait, BeforeValidator(_plain_wait, json_schema_input_type=Wait | Duration)] | None = some(
        "The waiting afterwards.", {"demold": "base"}, change="time", whole=True
    )
    until: Until | None = some("What is waited for instead of a time.", {"what": "the film is clear"}, change="time")
    holds: Holder | None = some("What the waiting ties up.", "mold", change="time")
    once: Once | None = some("Done once for the whole build, mold or wearer.", "mold")
    may_pause: YesNo | None = some("Whether the work may be left here.", "yes")
    zone: Text | None = some("Where on the face.", "left cheek", change="wording")
    temperature: Temperature | None = some("At which temperature.", "20-25 degC", change="quantity")
    check: Prose | None = some(
        "How one sees that it is right.", "Silicone shows along the whole flange.", change="wording"
    )
    watch: Failures = many("Failure notes to mind here.", ["cracked-mold"], change="wording", note=True)
    pictures: Pictures = many("Pictures of it.", [{"file": "encapsulant-even.svg"}], change="wording", note=True)


class Recipe(DocumentModel):
    """How to do one job at one stage."""

    title: Text = must(
        "What the recipe makes.", "Cheek-and-jowl piece in encapsulated gel silicone", change="wording", note=True
    )
    stage: Name = must("The stage of the work; also the first folder.", "cast")
    version: Positive = must("The version's number.", 3, change="never")
    status: Status = must(
        "draft while it may change, locked when done, retired when no longer used.", "locked", change="never"
    )
    why: Prose | None = some("Why this version differs from the one before.", "Air sat at the cheek.", change="never")
    fixes: Failures = many("The failure notes this version answers.", ["air-at-cheek"], change="never")
    yields: Yields | None = some("Pieces one run makes, or how many of each kind.", 1, change="quantity")
    formerly: Annotated[tuple[RecipeAddress, ...], ONE_OR_MANY] = many(
        "Earlier addresses.", "cast/cheek", change="never"
    )
    needs: Proses = many("What must be at hand.", ["scale to 0.1 g"], change="wording")
    surfaces: tuple[Surface, ...] = many(
        "What the work touches.", [{"id": "mold-face", "material": "resin"}], change="material"
    )
    gives: Gives | None = some("What comes out.", {"what": "piece"}, change="material")
    mixes: tuple[Mix, ...] = many("The formulas.", [{"id": "base", "parts": []}], change="material")
    steps: tuple[Step, ...] = many("The steps in order.", [{"id": "fill", "title": "Fill and close"}], ordered=True)
    pictures: Pictures = many(
        "Pictures of the whole.", [{"file": "cast-cheek-piece-1.jpg"}], change="wording", note=True
    )
    accepts: tuple[Accept, ...] = many("Findings accepted with a reason.", [], change="never")
    off: Proses = many(
        "How it comes off a person now, in order, for the worst minute.",
        ["Both hands under the chin."],
        change="safety",
        note=True,
    )

    @property
    def names(self) -> dict[type[LocalName], list[Name]]:
        """The names it brings, of its steps and of its mixes."""
        return {StepName: [step.id for step in self.steps], MixName: [mix.id for mix in self.mixes]}
