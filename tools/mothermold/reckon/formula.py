"""Whether a recipe's mixes can be worked out at all: every percent has a base, and nothing goes in a circle.

The order of percents: (1) plain parts; (2) percents of listed parts, which may name only (1) and (2);
(3) percents of the rest; (4) percents of the finished mix.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from mothermold.ground.words import in_words, offer
from mothermold.model.recipe import THE_REST, TOTAL, Mix, MixPart
from mothermold.reckon.nesting import first_circle, materials_inside


@dataclass(frozen=True, slots=True)
class FormulaFault:
    """A fault in a formula: its code, where (path below the list of mixes), what is wrong, what to type."""

    code: str
    path: tuple[str | int, ...]
    message: str
    advice: str


def find_formula_faults(mixes: Sequence[Mix]) -> Iterator[FormulaFault]:
    """Everything that keeps the mixes of one recipe from being reckoned, one fault for each root cause."""
    by_id: dict[str, Mix] = {mix.id: mix for mix in mixes}
    materials: set[str] = {part.material for mix in mixes for part in mix.parts if part.material}
    for number, mix in enumerate(mixes):
        if mix.id in materials:
            yield FormulaFault(
                "name-shared",
                (number, "id"),
                f"`{mix.id}` is the name of a mix and of a material in it.",
                f"Give the mix a name of its own, such as `{mix.id}-mix`.",
            )
        yield from _part_faults(number, mix, by_id)
    circle = first_circle(mixes, by_id)
    if circle is not None:
        number, index, names = circle
        one = len(names) == 1
        who = f"mix {in_words(names)} contains itself" if one else f"mixes {in_words(names)} contain each other"
        yield FormulaFault(
            "mix-circle",
            (number, "parts", index, "mix"),
            f"The {who}.",
            f"Let {in_words(names, 'or')} be made of materials alone.",
        )
        return
    for number, mix in enumerate(mixes):
        yield from _percent_faults(number, mix, by_id)


def _part_faults(number: int, mix: Mix, by_id: Mapping[str, Mix]) -> Iterator[FormulaFault]:
    seen: set[str] = set()
    for index, part in enumerate(mix.parts):
        here = (number, "parts", index)
        if part.material and part.mix:
            yield FormulaFault(
                "both-given",
                (*here, "mix"),
                "A part names a material and a mix.",
                "Keep one of them; a part is one thing.",
            )
        elif not part.name:
            yield FormulaFault("missing-key", here, "This part names no material.", "Type `material: name` in it.")
            continue
        if part.mix and part.mix not in by_id:
            message = f"No mix of this recipe is called `{part.mix}`."
            yield FormulaFault("unknown-mix", (*here, "mix"), message, offer(part.mix, by_id))
        if part.name and part.name in seen:
            key = "material" if part.material else "mix"
            yield FormulaFault(
                "part-twice",
                (*here, key),
                f"`{part.name}` is in this mix twice.",
                f"Put both amounts of `{part.name}` into one part.",
            )
        seen.add(part.name)
        yield from _measure_faults(here, part)


def _measure_faults(here: tuple[str | int, ...], part: MixPart) -> Iterator[FormulaFault]:
    given = [key for key in ("parts", "percent", "amount", "match") if getattr(part, key) is not None]
    if not given:
        if part.of:
            yield FormulaFault(
                "no-amount", here, f"`{part.name}` has an `of` without a percent.", "Type `percent: 10` before it."
            )
        else:
            yield FormulaFault(
                "no-amount",
                here,
                f"`{part.name}` has no amount.",
                "Type `parts: 100`, or `percent:` with `of:`, or `amount:`.",
            )
    elif len(given) > 1:
        message = f"`{part.name}` has both `{given[0]}` and `{given[1]}`."
        yield FormulaFault(
            "both-given",
            (*here, given[1]),
            message,
            f"Keep `{given[0]}` or `{given[1]}`; together they say two things.",
        )
    elif part.percent is not None and not part.of:
        percent = part.percent.text if "%" in part.percent.text else f"{part.percent} %"
        message = f"Nothing says what `{part.name}` is a percent of: {percent}."
        advice = "Type `of:` with a part of this mix, a list of parts, `the-rest` or `total`."
        yield FormulaFault("percent-without-of", here, message, advice)


def _percent_faults(number: int, mix: Mix, by_id: Mapping[str, Mix]) -> Iterator[FormulaFault]:
    faults = [*_base_faults(number, mix, by_id)]
    yield from faults
    # A mix whose percents lead nowhere has its fault already.
    if not faults and _lacks_parts(mix):
        yield FormulaFault(
            "no-parts",
            (number, "parts"),
            "No part of this mix is above 0 parts.",
            "Give the main part `parts: 100`; the percents are taken of it.",
        )


def _lacks_parts(mix: Mix) -> bool:
    """Whether nothing can be scaled though the mix is more than fixed amounts; a mix still in writing may."""
    if any(part.parts is not None and part.parts.value > 0 for part in mix.parts):
        return False
    outside = [part.amount is not None or part.match is not None for part in mix.parts]
    said = [part.parts is not None or (part.percent is not None and bool(part.of)) for part in mix.parts]
    return not all(outside) and all(one or other for one, other in zip(outside, said, strict=True))


def _base_faults(number: int, mix: Mix, by_id: Mapping[str, Mix]) -> Iterator[FormulaFault]:
    parts = {part.name: part for part in mix.parts}
    total = Fraction(0)
    for index, part in enumerate(mix.parts):
        if part.percent is None or not part.of:
            continue
        here = (number, "parts", index, "of")
        if part.of == (TOTAL,):
            before, total = total, total + part.percent.value
            if before < 1 <= total:
                yield FormulaFault(
                    "percent-over-total",
                    (number, "parts", index, "percent"),
                    f"With `{part.name}` the percents of the total come to {_percent(total)}, "
                    "which leaves nothing else.",
                    "Keep the percents of the total together under 100 %, or take them of a part.",
                )
        elif part.of != (THE_REST,):
            for place, name in enumerate(part.of):
                if fault := _listed_fault((*here, place), part, name, parts, by_id):
                    yield fault
                elif name in part.of[:place]:
                    yield FormulaFault(
                        "part-twice", (*here, place), f"`{name}` is in this `of` twice.", f"Name `{name}` once."
                    )
    yield from _percent_circle(number, mix, parts)


def _percent(share: Fraction) -> str:
    return f"{float(share * 100):g} %"


def _listed_fault(
    here: tuple[str | int, ...],
    part: MixPart,
    name: str,
    parts: Mapping[str, MixPart],
    by_id: Mapping[str, Mix],
) -> FormulaFault | None:
    first, _, inner = name.partition("/")
    other = parts.get(first)
    if name in (THE_REST, TOTAL):
        return FormulaFault(
            "of-not-allowed",
            here,
            f"`{name}` is in a list with others.",
            f"Type `of: {name}` alone, or list parts by name.",
        )
    if other is None:
        own = [known for known in parts if known and known != part.name]
        reachable = own + [f"{known}/{material}" for known in own for material in materials_inside(known, by_id)]
        advice = offer(name, dict.fromkeys(reachable))
        return FormulaFault("unknown-part", here, f"`{name}` is not a part of this mix.", advice)
    if inner:
        inside = materials_inside(first, by_id)
        if inner not in inside:
            offered = {f"{first}/{material}": None for material in inside}
            advice = offer(name, offered) if offered else f"Type `{first}`; it is a material, not a mix."
            return FormulaFault("unknown-part", here, f"`{first}` holds no `{inner}`.", advice)
        if inner not in materials_inside(first, by_id, measured=True):
            return FormulaFault(
                "of-not-allowed",
                here,
                f"`{inner}` is measured by amount or eye in `{first}`, outside the parts.",
                "Name a part that has `parts`.",
            )
    if other.of in ((THE_REST,), (TOTAL,)):
        of = "the rest" if other.of == (THE_REST,) else "the total"
        return FormulaFault(
            "of-not-allowed",
            here,
            f"`{first}` is itself a percent of {of}.",
            f"Leave `{first}` out, or name a part that has `parts`.",
        )
    if other.parts is None and other.percent is None and (other.amount is not None or other.match is not None):
        message = f"`{first}` is measured by amount or eye, outside the parts."
        return FormulaFault("of-not-allowed", here, message, "Name a part that has `parts`.")
    return None


def _percent_circle(number: int, mix: Mix, parts: Mapping[str, MixPart]) -> Iterator[FormulaFault]:
    def bases(name: str) -> list[str]:
        part = parts.get(name)
        if part is None or part.percent is None or part.of in ((THE_REST,), (TOTAL,)):
            return []
        return [base.partition("/")[0] for base in part.of]

    def leads_back(name: str) -> bool:
        seen: set[str] = set()
        ahead = bases(name)
        while ahead:
            here = ahead.pop()
            if here == name:
                return True
            if here not in seen:
                seen.add(here)
                ahead += bases(here)
        return False

    for index, part in enumerate(mix.parts):
        if part.name and leads_back(part.name):
            yield FormulaFault(
                "percent-circle",
                (number, "parts", index, "of"),
                f"The percent of `{part.name}` leads back to itself.",
                f"Take the percent of `{part.name}` of a part that has `parts`.",
            )
            return
