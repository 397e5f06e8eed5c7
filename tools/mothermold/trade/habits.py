"""What good benches do, looked for in a recipe: each miss is an advice, never more.

All of it is common practice, no source, unless a line says where it is from. A recipe is read by its words, so a habit
said in words nobody foresaw is missed; that is why none of this stops anything.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from fractions import Fraction
from typing import Final

from mothermold.model.material import Material
from mothermold.model.recipe import Mix, Recipe, Step, Use
from mothermold.trade.face_habits import FACE_HABITS
from mothermold.trade.habit_reading import Habit, RecipeReading, Slip, sentences, spoken, step_words

CODES: Final = frozenset(
    {
        "by-eye", "no-allowance", "no-way-to-open", "no-bolt-count", "no-cure-test", "no-waiting", "gypsum-drain",
        "gypsum-too-hot", "solvent-near-eyes", "no-patch-test", "no-removal", "one-brush-two-faces", "straws",
        "bandage-too-hot",
    }
)  # fmt: skip
"""What may be said of a recipe; like a finding it can be accepted with a reason."""

GYPSUM: Final = frozenset({"gypsum-cement", "gypsum-plaster"})
# Above this, set gypsum starts to lose the water it is made of (120 degF; common practice; suppliers differ).
GYPSUM_LIMIT: Final = Fraction(49)
# From here on, a batch that does not cure is a loss: common practice, no source.
LARGE_POUR: Final = 300
SHEET_YEARS: Final = 3
_PLAIN: Final = frozenset({"water", "disposable", "hair", "lace", "cloth", "fiber", "soap"})
_CURING: Final = frozenset({"platinum-silicone", "tin-silicone", "polyurethane-resin", "polyurethane-rubber"})

_TWO_HALVES: Final = spoken(r"both halves|halves|(?:second|other) half|two parts?")
_WAYS_TO_OPEN: Final = spoken(
    r"pr(?:y|ies|ied|ying)|slots?|wedges?|handles?|(?:steel|iron|crow) ?bars?|bars? to open|screws?|levers?|pry bars?"
)
_CLOSING_TITLE: Final = spoken(
    r"clos(?:e|ed|ing) (?:the |it|up|mold)?|and close|close|clamp(?:ed|ing)?|bolt(?:ed|ing)?|strap(?:ped)?"
)
_CLOSING: Final = spoken(
    r"seat(?:ed)? the (?:core|positive|lid)|clos(?:e|ed) (?:the )?(?:mold|halves)|"
    r"(?:bolt|clamp|strap)(?:s|ed)? (?:the )?(?:mold|halves|core|shut|down|together|closed|in|on|round|tight)|"
    r"(?:halves|mold|core) (?:\w+ ){0,2}(?:bolted|clamped|strapped)"
)
_NUMBER: Final = r"(?:\d+|one|two|three|four|five|six|seven|eight|nine|ten|twelve)"
_COUNTED: Final = spoken(
    rf"{_NUMBER} (?:[^\s.;]+ ){{0,4}}(?:bolts?|clamps?|straps?|weights?|nuts?|screws?|rubber bands?)|\d+ ?(?:kg|lb)"
)
_TRIED: Final = spoken(
    r"(?:kept|test|trial|spare) cups?|keep a cup|cups? (?:is |are )?kept|cup stays|in the cup|spots?|tr(?:y|ied|ial)|test(?:s|ed)?"
)
_WAITED: Final = spoken(
    r"dry|dries|dried|clear(?:s|ed)?|tacky|until|wait(?:s|ed)?|minutes?|hours?|overnight|shin(?:e|es|y)|flash(?:es|ed)? off|cured?"
)
_TO_THE_DRAIN: Final = spoken(
    r"sinks?|drains?|(?:under|at|into) (?:the|a) (?:running )?tap|running water|"
    r"(?:rins\w+|wash\w*) (?:\S+ ){0,5}(?:buckets?|bowls?|tools?)|(?:buckets?|bowls?|tools?) (?:\S+ ){0,4}(?:rinsed|washed)"
)
_NOT_TO_THE_DRAIN: Final = spoken(r"settl\w*|bucket of water|bins?|set|sets|not|never|no")
_OTHER_HEATED: Final = spoken(r"fillers?|flock\w*|resins?|latex|clays?|tools?")
_STONE: Final = spoken(r"stones?|plasters?|gypsum")


def _by_eye(read: RecipeReading) -> Iterator[Slip]:
    for index, mix in enumerate(read.recipe.mixes):
        for number, part in enumerate(mix.parts):
            said = part.match or (part.amount if isinstance(part.amount, str) else None)
            if said:
                yield Slip(
                    "by-eye",
                    f"`{part.name}` in `{mix.id}` is measured by eye (`{said}`).",
                    "Weigh it once and type `parts`, `percent` or an `amount` in grams or drops.",
                    ("mixes", index, "parts", number),
                )


def _no_allowance(read: RecipeReading) -> Iterator[Slip]:
    for index, mix in enumerate(read.recipe.mixes):
        if (mix.fills or mix.covers) and mix.allowance is None:
            yield Slip(
                "no-allowance",
                f"`{mix.id}` has no allowance, so nothing is left for cups and stick.",
                "Type `allowance: 10 %` in the mix, or more for a small batch.",
                ("mixes", index),
            )


def _no_way_to_open(read: RecipeReading) -> Iterator[Slip]:
    if read.recipe.stage != "mold":
        return
    halves = read.recipe.gives is not None and len(read.recipe.gives.surfaces) > 1
    if (halves or read.says(_TWO_HALVES)) and not read.says(_WAYS_TO_OPEN):
        yield Slip(
            "no-way-to-open",
            f"`{read.recipe.title}` has two halves and no word on how they come apart.",
            "Say in a step where wedges can go in, as `do: Four clay wedges on the rim leave slots to pry at.`",
            ("title",),
        )


def _no_bolt_count(read: RecipeReading) -> Iterator[Slip]:
    if read.recipe.stage not in ("core", "mold", "cast") or read.says(_COUNTED):
        return
    for index, step in enumerate(read.recipe.steps):
        poured = any(use.as_ in ("cast", "build", "back") for use in step.uses)
        if (poured and _CLOSING_TITLE.search(step.title)) or closes_the_mold(step):
            yield Slip(
                "no-bolt-count",
                f"`{step.id}` closes the mold, and nothing says with how many bolts, clamps, straps or what weight.",
                "Type it under `needs`, as `8 flange bolts with wing nuts`.",
                ("steps", index),
            )
            return


def closes_the_mold(step: Step) -> bool:
    """Whether a step says that it closes the mold."""
    return _CLOSING.search(f"{step.title}. {step.do or ''}") is not None


def _grams(mix: Mix) -> Fraction:
    """About how much one pour is, at 1 g/ml: enough to tell a large one."""
    if mix.batch is not None:
        return mix.batch.value
    if mix.fills is not None:
        return mix.fills.value
    if mix.covers is not None:
        return mix.covers.area.value * mix.covers.thick.value / 10  # cm2 by mm
    return Fraction(0)


def _no_cure_test(read: RecipeReading) -> Iterator[Slip]:
    if read.says(_TRIED) or any(use.as_ == "test" for step in read.recipe.steps for use in step.uses):
        return
    mixes = {mix.id: mix for mix in read.recipe.mixes}
    for index, step in enumerate(read.recipe.steps):
        for use in step.uses:
            mix = mixes.get(use.mix) if use.as_ == "cast" and use.mix else None
            if mix is not None and _grams(mix) > LARGE_POUR and _CURING & read.families(mix):
                yield Slip(
                    "no-cure-test",
                    f"`{mix.id}` is a large pour, and nothing shows before or after whether it cures.",
                    "Add a spot on the mold the day before, or say `Keep a cup.` in the step that mixes it.",
                    ("steps", index),
                )
                return


def _no_waiting(read: RecipeReading) -> Iterator[Slip]:
    for index, step in enumerate(read.recipe.steps):
        following = read.recipe.steps[index + 1] if index + 1 < len(read.recipe.steps) else None
        words = step_words(step)
        worded = _WAITED.search(f"{words} {(following.do or '') if following else ''}") is not None
        for number, use in enumerate(step.uses):
            coats = use.coats or step.coats
            path = ("steps", index, "uses", number)
            wet = use.as_ in ("glue", "seal", "coat", "prime", "paint", "release")
            if wet and coats and coats.count > 1 and coats.between is None and not _WAITED.search(words):
                yield Slip(
                    "no-waiting",
                    f"`{step.id}` lays {coats.count} coats of `{use.name}` and does not say how long between them.",
                    f"Type it as `coats: {{count: {coats.count}, between: 10 min}}`.",
                    path,
                )
            elif _dries(read, use) and not (worded or _waits(step) or (coats and coats.last)):
                yield Slip(
                    "no-waiting",
                    f"`{use.name}` goes on in `{step.id}`, and nothing says how long it is left or what it looks like then.",
                    "Type `wait: 10 min`, or in `do` what is waited for, as `until it is clear`.",
                    path,
                )
            elif use.as_ == "cast" and use.mix and not any(_waits(later) for later in read.recipe.steps[index:]):
                yield Slip(
                    "no-waiting",
                    f"`{use.name}` is cast in `{step.id}`, and no step waits for it.",
                    f"Type `wait: {{demold: {use.name}}}` in the step, with `demold` in the mix.",
                    path,
                )


def _dries(read: RecipeReading, use: Use) -> bool:
    # Clay and wax rubbed in as a first coat have nothing to wait for.
    return use.as_ in ("glue", "seal", "coat", "prime") and not any(
        family == "wax" or family.startswith("clay") for family in read.families(use)
    )


def _waits(step: Step) -> bool:
    return bool(step.wait or step.until or (step.coats and step.coats.last))


def _gypsum_drain(read: RecipeReading) -> Iterator[Slip]:
    if not any(_is_gypsum(read, mix) for mix in read.recipe.mixes):
        return
    for path, text in read.texts():
        if any(_TO_THE_DRAIN.search(said) and not _NOT_TO_THE_DRAIN.search(said) for said in sentences(text)):
            yield Slip(
                "gypsum-drain",
                "Gypsum is washed down here, and it sets in the trap and in the pipe.",
                "Say where it goes instead, as `Tools into a bucket of water; what settles goes in the bin.`",
                path,
            )


def _is_gypsum(read: RecipeReading, mix: Mix) -> bool:
    families = read.families(mix)
    return "water" in families and bool(GYPSUM & families)


def _gypsum_too_hot(read: RecipeReading) -> Iterator[Slip]:
    surfaces = {
        surface.id: surface.material
        for surface in (*read.recipe.surfaces, *(read.recipe.gives.surfaces if read.recipe.gives else ()))
    }
    stone = {name for name, made in surfaces.items() if made and GYPSUM & read.families_by_name(made)}
    given = {surface.id for surface in read.recipe.gives.surfaces} if read.recipe.gives else set()
    mixed = any(_is_gypsum(read, mix) for mix in read.recipe.mixes)
    for index, step in enumerate(read.recipe.steps):
        if (
            step.temperature is None
            or step.temperature.high <= GYPSUM_LIMIT
            or not {"oven", "heat-gun"} & set(step.with_)
        ):
            continue
        words = step_words(step)
        touched = {name for use in step.uses for name in use.on}
        named = _STONE.search(words) is not None or bool(stone & touched)
        in_the_mold = step.holds == "mold" and bool(stone)
        # A filler or a resin may be baked hotter in a recipe that also works on stone.
        other = _OTHER_HEATED.search(words) is not None
        if named or ((mixed or stone & given or in_the_mold) and not other):
            yield Slip(
                "gypsum-too-hot",
                f"`{step.id}` warms gypsum to {step.temperature}, and above 49 degC it turns back to powder.",
                "Type `temperature: 45 degC`, and give it more days.",
                ("steps", index, "temperature"),
            )


_HABITS: Final[tuple[Habit, ...]] = (
    Habit(_by_eye), Habit(_no_allowance), Habit(_no_way_to_open), Habit(_no_bolt_count), Habit(_no_cure_test),
    Habit(_no_waiting), Habit(_gypsum_drain), Habit(_gypsum_too_hot, safety=True), *FACE_HABITS,
)  # fmt: skip


def find_slips(recipe: Recipe, materials: Mapping[str, Material]) -> Iterator[Slip]:
    """What good benches do and a recipe does not say: of a draft only where someone can be hurt, of a retired one nothing.

    Args:
        recipe: The recipe.
        materials: The book's materials by name, for their families.
    """
    for habit in _HABITS:
        if recipe.status == "locked" or (recipe.status == "draft" and habit.safety):
            yield from habit.look(RecipeReading(recipe, materials))


def find_sheet_slips(material: Material, today: date | None) -> Iterator[Slip]:
    """Whether the maker's safety data sheet is there and not too old.

    Args:
        material: A material that is used.
        today: The day it is asked on; None where it is not known, and then no sheet is old.
    """
    if all(family in _PLAIN or family.startswith("clay") for family in material.families):
        return
    if material.sds is None:
        yield Slip(
            "no-sheet",
            f"`{material.title}` is used, and nothing says where its maker's safety data sheet is.",
            "Ask the supplier for it and type `sds: {where: binder 2, dated: 2025-11-02}`.",
            ("title",),
        )
    elif material.sds.dated is not None and today is not None and _years_before(today) > material.sds.dated:
        yield Slip(
            "old-sheet",
            f"The safety data sheet of `{material.title}` is of {material.sds.dated}, more than {SHEET_YEARS} years old.",
            "Ask the supplier for the current one and type its date under `sds`.",
            ("sds",),
        )


def _years_before(day: date) -> date:
    # Three years before a leap day there is no such day.
    last = 28 if (day.month, day.day) == (2, 29) else day.day
    return day.replace(year=day.year - SHEET_YEARS, day=last)
