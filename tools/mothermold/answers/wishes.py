"""What a batch is asked for: a fill, a mold, a casting, clay, what is left, or what was poured already."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, Final

from mothermold.answers.amounts import amount
from mothermold.answers.molds import GONE, is_offered, molds_of, standing_words
from mothermold.answers.question import Typed, flag, option
from mothermold.answers.records import last_casting
from mothermold.ground.errors import refused
from mothermold.ground.words import nearest
from mothermold.model.material import Material
from mothermold.model.mold import Mold
from mothermold.quantities import Dimension, Quantity
from mothermold.reckon.batches import Wanted
from mothermold.view.view import View

_POURED: Final = (
    "what is already in the cup; the rest is scaled to it. Given for several parts: what was really mixed, and how far that "
    "is off the recipe"
)


def _castings(text: str) -> int:
    # Figures in other positions, as `²`, count as digits for the language, and for nobody else.
    if not (text.isascii() and text.isdigit() and len(text) <= 4 and int(text) >= 1):
        raise refused(
            "out-of-range", f"--castings: `{text}` is not a number of castings.", "Give a whole number from 1 to 9999."
        )
    return int(text)


@dataclass(frozen=True, slots=True)
class BatchAsked:
    """What someone asks a batch for, as typed; at most one of fill, mold, piece, clay, have and poured."""

    fill: Annotated[Typed, option("Q", "the cavity, like '185 ml'")] = None
    mold: Annotated[Typed, option("ID", "a mold whose cavity was measured")] = None
    piece: Annotated[Typed, option("Q", "a good casting weighed with its flashing, like '214 g'")] = None
    clay: Annotated[Typed, option("Q", "the weight of the sculpture's clay")] = None
    clay_material: Annotated[Typed, option("M", "the clay's name in the book")] = None
    have: Annotated[Sequence[str], option("PART=Q", "what is left of a part; may be repeated", action="append")] = ()
    poured: Annotated[Sequence[str], option("PART=Q", _POURED, action="append")] = ()
    castings: Annotated[int, option("N", "how many castings", read=_castings)] = 1
    flat: Annotated[bool, flag("take premixes apart into raw materials")] = False
    room: Annotated[Typed, option("T", "today's temperature, like '26 degC': can it be closed in time?")] = None
    today: Annotated[
        Typed, option("DAY", "the day it is mixed, for the lots' dates; default: that of the last save")
    ] = None


def wanted_of(view: View, recipe: str, asked: BatchAsked, materials: Mapping[str, Material]) -> tuple[Wanted, str]:
    """What a batch is for, read; and in a sentence what it goes by where the mold's own record did not say.

    Raises:
        RefusedError: Two amounts are given, or one cannot be read or is not in the book.
    """
    given = [
        f"--{key}"
        for key in ("fill", "mold", "piece", "clay", "have", "poured")
        if getattr(asked, key) not in (None, (), [])
    ]
    if len(given) > 1:
        raise refused(
            "two-fills",
            f"{' and '.join(f'`{key}`' for key in given)} say two different amounts.",
            "Give only one of them.",
        )
    if asked.clay_material is not None and asked.clay is None:
        raise refused("no-clay", "`--clay-material` needs the weight of the clay.", "Give `--clay 300 g` too.")
    castings = asked.castings
    if asked.fill is not None:
        return Wanted(fill=amount("--fill", asked.fill, "volume").value, castings=castings), ""
    if asked.piece is not None:
        return Wanted(piece=amount("--piece", asked.piece, "mass").value, castings=castings), ""
    if asked.clay is not None:
        return Wanted(fill=_clay(asked, materials), castings=castings), ""
    if asked.mold is not None:
        return _of_mold(view, asked.mold, recipe, castings)
    if asked.have:
        return Wanted(
            have=tuple(_of_part("--have", each, "mass", "volume") for each in asked.have), castings=castings
        ), ""
    if len(asked.poured) == 1:
        name, poured = _of_part("--poured", asked.poured[0], "mass")
        return Wanted(poured=(name, poured.value), castings=castings), ""
    return Wanted(castings=castings), ""


def poured_of(asked: BatchAsked) -> dict[str, Fraction]:
    """A batch with its own weights: grams by part; empty where less than two were given, for one scales the rest.

    Raises:
        RefusedError: One cannot be read, or a part is given twice.
    """
    found: dict[str, Fraction] = {}
    for text in asked.poured if len(asked.poured) > 1 else ():
        name, grams = _of_part("--poured", text, "mass")
        if name in found:
            raise refused(
                "bad-have", f"`--poured` gives two amounts of `{name}`.", "Add them up, and give the part once."
            )
        found[name] = grams.value
    return found


def _clay(asked: BatchAsked, materials: Mapping[str, Material]) -> Fraction:
    weight = amount("--clay", str(asked.clay), "mass")
    if asked.clay_material is None:
        raise refused(
            "no-clay-material",
            "The clay's density is not known without its material.",
            "Give `--clay-material` with the clay's name in the book.",
        )
    clay = materials.get(asked.clay_material)
    if clay is None:
        near = nearest(asked.clay_material, materials)
        raise refused(
            "unknown-reference",
            f"No material is called `{asked.clay_material}`.",
            f"Did you mean `{near}`?" if near else "Write the clay as a material first.",
        )
    if clay.density is None:
        raise refused(
            "missing-density",
            f"The density of `{asked.clay_material}` is not in the book.",
            "Type `density: 1.5 g/ml` from a weighed block into the material.",
        )
    return weight.value / clay.density.value


def _of_mold(view: View, name: str, recipe: str, castings: int) -> tuple[Wanted, str]:
    """By the mold's record, else by the last good casting out of it that was weighed with its flashing."""
    mold = view.of(Mold).get(name)
    if mold is None:
        near = nearest(name, view.on("mold"))
        raise refused(
            "unknown-reference",
            f"No mold is called `{name}`.",
            f"Did you mean `{near}`?" if near else "Write the mold down first.",
        )
    if mold.model.state in GONE:
        raise refused(
            "mold-out-of-use",
            f"No batch for a mold that is out of use: {standing_words(view, f'`{name}`', name, mold.model)}",
            _instead(view, mold.model, recipe),
        )
    if mold.model.cavity is not None:
        return Wanted(fill=mold.model.cavity.volume.value, castings=castings), ""
    casting = last_casting(view, name, recipe)
    if casting is not None:
        said = f"Nobody wrote the cavity of `{name}` down; it goes by its last good casting of {casting.weight}, `{casting.run.id}`."
        return Wanted(piece=casting.weight.value, castings=castings), said
    raise refused(
        "no-cavity",
        f"The cavity of `{name}` was not measured yet.",
        "Weigh its last good casting with the flashing and give `--piece`, or type `cavity:` in the mold.",
    )


def _instead(view: View, mold: Mold, recipe: str) -> str:
    """What to type in place of a mold that is out of use."""
    others = [
        name
        for name, each in molds_of(view, recipe).items()
        if is_offered(each) and (each.cavity is not None or last_casting(view, name, recipe) is not None)
    ]
    if others:
        return f"Type {' or '.join(f'`--mold {name}`' for name in others)}."
    if mold.cavity is not None:
        return f"For another mold type `--fill` with what that one holds; this one held {mold.cavity.volume}."
    return "Type `--fill` with what the mold holds that you cast in."


def _of_part(option: str, text: str, *wanted: Dimension) -> tuple[str, Quantity]:
    name, equals, quantity = text.partition("=")
    if not equals or not name.strip():
        raise refused("bad-have", f"`{option} {text}` names no part.", f"Type it as `{option} 'gel-silicone-a=60 g'`.")
    return name.strip(), amount(option, quantity, *wanted)
