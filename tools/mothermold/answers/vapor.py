"""Vapor of a recipe's steps in a room, against the limits that issuers name: an estimate, and never a clearance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from typing import Annotated, Any, Final

from mothermold.answers.amounts import missing, one_amount
from mothermold.answers.evaporating import Air, Evaporating
from mothermold.answers.question import RECIPE_VERSION, Typed, option, question
from mothermold.answers.recipes import find_version, readable
from mothermold.answers.result import Result
from mothermold.answers.vapor_text import BURNING_SHARE, limit_words, ppm_over, vapor_text
from mothermold.book.document import Document
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.reckon.vapor import NEAR, Pulse, in_ppm, lel_share, mixture
from mothermold.view.view import View

EMPTY: dict[str, Any] = {
    "recipe": None, "version": None, "steps": [], "mixtures": [], "day": [], "not_known": [], "gives_off_nothing": [], "cautions": [],
}  # fmt: skip
ESTIMATE: Final = "A model estimate of the room's average, with the air well mixed; whoever leans over the work breathes 3 to 10 times as much."
BURNS: Final = "However small the share of the lower explosive limit, at the cup and the spray it can burn."
NO_CLEARANCE: Final = "It covers no isocyanate, no dust and no skin, and it is not a clearance: the maker's sheet, local rules and licensed practice decide."
LONG: Final = ("PEL 8 h", "REL 10 h")
"""The kinds of limit an 8 hour average is held against; all others are held against the peak."""


@dataclass(frozen=True, slots=True)
class VaporAsked:
    """What is asked, as typed."""

    room: Annotated[Typed, option("Q", "the room, like '42 m3'")] = None
    changes: Annotated[Typed, option("N", "how many times an hour its air is changed")] = None
    minutes: Annotated[Typed, option("N", "over how many minutes it evaporates; default: the step's own time")] = None


@question("vapor", empty=EMPTY, text=vapor_text)
def reckon_vapor(view: View, recipe: Annotated[str, RECIPE_VERSION], asked: VaporAsked) -> Result:
    """The vapor of each step of a recipe, each in a room that was clean before.

    Args:
        view: The book.
        recipe: Address, with ``@version`` where not the current one is meant.
        asked: The room, its air changes an hour, and over how many minutes it evaporates where not the step's time counts.

    Raises:
        RefusedError: Something asked for is not there or cannot be read.
    """
    if asked.room is None:
        raise missing("The room", f"mothermold vapor {recipe} --room '42 m3' --changes 3")
    if asked.changes is None:
        raise missing("How many times an hour the room's air is changed", "--changes 3")
    room = one_amount("--room", asked.room, "volume") / 1_000_000
    if room < 1:
        raise refused(
            "out-of-range",
            f"--room: `{asked.room}` is not a room.",
            "Give length times width times height, as `42 m3`.",
        )
    changes = _at_least_nothing("--changes", asked.changes)
    minutes = None if asked.minutes is None else _at_least_nothing("--minutes", asked.minutes)
    versions, row = find_version(view, recipe)
    document = readable(versions, row)
    assert isinstance(document.model, Recipe)
    air = Air(document, document.model, view.models(Material), minutes)
    steps = [_row(each, float(room), float(changes)) for each in air.found]
    _hold_against_limits(steps)
    mixtures, day = _mixtures(steps), _day(steps)
    data = {
        "recipe": versions.address,
        "version": row.number,
        "steps": steps,
        "mixtures": mixtures,
        "day": day,
        "not_known": [asdict(each) for each in air.not_known],
        "gives_off_nothing": [
            {
                "material": name,
                "families": [each.family for each in told],
                "why": "; ".join(each.words for each in told),
            }
            for name, told in air.nothing.items()
        ],
        "cautions": [ESTIMATE, BURNS, NO_CLEARANCE],
    }
    return Result(data, (*view.touching({document.file}), *air.notices, *_loud(steps, mixtures, day, document)))


def _at_least_nothing(option: str, text: str) -> Fraction:
    if text.strip() in ("0", "0.0"):
        return Fraction(0)
    return one_amount(option, text, "number")


def _row(each: Evaporating, room: float, changes: float) -> dict[str, Any]:
    pulse = Pulse(each.grams, each.minutes, room, changes)
    mass = each.substance.molar_mass if each.substance else None
    peak = in_ppm(pulse.peak(), mass) if mass else None
    average = in_ppm(pulse.average(), mass) if mass else None
    lel = each.substance.lel if each.substance else None
    return {
        "step": each.step,
        "substance": each.name,
        "grams": each.grams,
        "minutes": each.minutes,
        "peak_ppm": peak,
        "near_ppm": [peak * times for times in NEAR] if peak is not None else None,
        "twa_8h_ppm": average,
        "limits": [asdict(limit) for limit in (each.substance.limits if each.substance else ())],
        "lel_percent": lel_share(peak, lel) if peak is not None and lel else None,
        "usual": [
            {
                "material": usual.material,
                "family": usual.family.family,
                "percent": list(usual.family.percent),
                "source": usual.family.source,
                "words": usual.words,
            }
            for usual in each.usual
        ],
    }


def _hold_against_limits(steps: Sequence[dict[str, Any]]) -> None:
    """Marks what is over its limits: `over` in each limit with the `room_ppm` it is held against, and `near_lel` in the row.

    A substance that stands twice in a step, once by its maker and once as usual, is held against them as a whole.
    """
    for row in steps:
        same = [each for each in steps if (each["step"], each["substance"]) == (row["step"], row["substance"])]
        whole = {
            key: sum(each[key] for each in same) if row[key] is not None else None
            for key in ("twa_8h_ppm", "peak_ppm", "lel_percent")
        }
        for limit in row["limits"]:
            level = whole["twa_8h_ppm" if limit["kind"] in LONG else "peak_ppm"]
            limit |= {"room_ppm": level, "over": level is not None and level > limit["ppm"]}
        row["near_lel"] = whole["lel_percent"] is not None and whole["lel_percent"] >= BURNING_SHARE


def _mixtures(steps: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """For each step with several substances the sum of average over limit, by kind of long limit."""
    found = []
    for step in dict.fromkeys(row["step"] for row in steps):
        for kind in LONG:
            held = [
                (row, limit["ppm"])
                for row in steps
                for limit in row["limits"]
                if row["step"] == step and limit["kind"] == kind and row["twa_8h_ppm"] is not None
            ]
            if len({row["substance"] for row, _ in held}) > 1:
                shares = [(row["twa_8h_ppm"], ppm) for row, ppm in held]
                found.append({"step": step, "kind": kind, "sum": mixture(shares)})
    return found


def _day(steps: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """The sum of all steps' averages: what it comes to at most where all are done within 8 hours."""
    names = dict.fromkeys(row["substance"] for row in steps if row["twa_8h_ppm"] is not None)
    return [
        {"substance": name, "twa_8h_ppm": sum(row["twa_8h_ppm"] for row in steps if row["substance"] == name)}
        for name in names
    ]


def _loud(
    steps: Sequence[Mapping[str, Any]],
    mixtures: Sequence[Mapping[str, Any]],
    day: Sequence[Mapping[str, Any]],
    document: Document,
) -> Iterator[Notice]:
    for mixed in mixtures:
        if mixed["sum"] > 1:
            what = f"At `{mixed['step']}` the substances together come to {mixed['sum']:.1f} times what the {mixed['kind']} limits allow."
            yield _above(what, document)
    for each in day:
        single = [row for row in steps if row["substance"] == each["substance"]]
        over = [
            limit
            for limit in single[0]["limits"]
            if limit["kind"] in LONG and limit["ppm"] < each["twa_8h_ppm"] and not _is_over(single, limit["kind"])
        ]
        if over:
            # No step is above it; that all of them in one day are is said once.
            named = " and ".join(map(_named, over))
            what = f"All steps in one day come to {each['twa_8h_ppm']:.0f} ppm of {each['substance']} over 8 h, above the {named}."
            yield _above(what, document)
    for row in {(row["step"], row["substance"]): row for row in steps}.values():
        if over := [limit for limit in row["limits"] if limit["over"]]:
            held = ", and over the ".join(f"{_named(limit)}: {ppm_over(limit)} ppm" for limit in over)
            yield _above(f"At `{row['step']}` the room's estimate of {row['substance']} is over the {held}.", document)
        if row["near_lel"]:
            yield Notice(
                "vapor-can-burn",
                "warning",
                f"At `{row['step']}` the room's average alone comes to {row['lel_percent']:.0f} % of the lower explosive limit.",
                "Stop here: no flame, no switch, air first, and ask whoever is qualified where you work.",
                file=document.file,
            )


def _is_over(rows: Sequence[Mapping[str, Any]], kind: str) -> bool:
    return any(limit["over"] for row in rows for limit in row["limits"] if limit["kind"] == kind)


def _above(what: str, document: Document) -> Notice:
    advice = "Move more air, take less at once, or work where an exhaust takes it away."
    return Notice("vapor-above-limit", "warning", what, advice, file=document.file)


def _named(limit: Mapping[str, Any]) -> str:
    return f"{limit['issuer']} {limit['kind']} of {limit_words(limit)}"
