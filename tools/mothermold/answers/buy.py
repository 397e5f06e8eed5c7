"""What to cast, what to buy, and what a good piece costs; the owner's alone, for it is all lots and prices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Annotated, Any, Final

from mothermold.answers.amounts import percent
from mothermold.answers.build_takes import Kitchen, build_takes
from mothermold.answers.buy_text import as_csv, buy_text
from mothermold.answers.castings_needed import CastingsAsked, CastingsNeeded, castings_needed
from mothermold.answers.packs_to_buy import Shopping, called, pack_row
from mothermold.answers.piece_cost import Cost, PieceCost, days_cost, piece_costs
from mothermold.answers.question import Typed, argument, flag, option, question
from mothermold.answers.result import Result, number
from mothermold.ground.errors import refused
from mothermold.ground.notices import Notice
from mothermold.ground.words import nearest, offer
from mothermold.model.build import Build
from mothermold.quantities import Dimension, QuantityError, parse
from mothermold.reckon.castings import ENOUGH_ON_RECORD, MOST_CASTINGS, USUAL_CONFIDENCE
from mothermold.view.view import View

EMPTY: Final[dict[str, Any]] = {
    "build": None, "currency": None, "castings": [], "packs": [], "total": None, "per_piece": [], "total_at_least": None,
    "quote": None, "today": None, "until": None, "to_make": [], "unsure": [], "cautions": [], "csv": None,
}  # fmt: skip
BUILD: Final = argument("BUILD", "the build, like saltpan-keeper")
CAUTIONS: Final = (
    "Castings out of one cup, or out of one worn mold, fail together; then even this many may be too few.",
    "A mold wears: look at its last castings before you count on so many more.",
)


@dataclass(frozen=True, slots=True)
class BuyAsked:
    """What is told, as typed."""

    rate: Annotated[
        Sequence[str],
        option(
            "P",
            "how many castings come out good, like '80 %'; 'face=80 %' for one thing; may be repeated",
            action="append",
        ),
    ] = ()
    confidence: Annotated[Typed, option("P", "how surely there shall be enough; default: 90 %")] = None
    hour_rate: Annotated[Typed, option("MONEY", "what an hour of hands costs, in the book's currency")] = None
    today: Annotated[Typed, option("DAY", "days after it are still to come; default: the day of the last save")] = None
    csv: Annotated[bool, flag("the list to buy as a table for a spreadsheet")] = False


_NOTHING_TOLD: Final = BuyAsked()
_NUMBER: Final[tuple[Dimension, ...]] = ("number",)


@question("buy", empty=EMPTY, text=buy_text, page="builds/BUILD.html")
def what_to_buy(view: View, build: Annotated[str, BUILD], asked: BuyAsked = _NOTHING_TOLD) -> Result:
    """Castings to make, packs to buy beyond the lots in hand, and what a good piece costs.

    Args:
        view: The book; the owner's edition.
        build: The build's name.
        asked: What is told of it.

    Raises:
        RefusedError: ``owner-only`` in another edition, ``unknown-reference``, or something typed cannot be read.
    """
    if view.edition != "private":
        raise refused(
            "owner-only",
            f"What is bought and what it costs stays with you: the {view.edition} edition holds no lots and no prices.",
            "Leave `--for` out.",
        )
    if build not in view.models(Build):
        near = nearest(build, view.on("build"))
        raise refused(
            "unknown-reference",
            f"No build is called `{build}`.",
            f"Did you mean `{near}`?" if near else "Type the name of its folder in `recipes/builds`.",
        )
    told, hour_rate = _told(view, asked), _money("--hour-rate", asked.hour_rate)
    things = [str(thing.id) for thing in view.models(Build)[build].things]
    for name in told.rates.keys() - {"", *things}:
        raise refused("unknown-reference", f"--rate: the build has no thing called `{name}`.", offer(name, things))
    data, notices = bought(view, build, told, hour_rate)
    return Result({**data, "csv": as_csv(data) if asked.csv else None}, notices)


def bought(
    view: View, build: str, told: CastingsAsked | None = None, hour_rate: Fraction | None = None
) -> tuple[dict[str, Any], list[Notice]]:
    """The same without anything that was typed.

    Args:
        view: The owner's edition.
        build: A build it holds.
        told: What is told about castings.
        hour_rate: What an hour of hands costs.
    """
    told = told or CastingsAsked(today=view.day)
    kitchen = Kitchen(view, build)
    castings = castings_needed(view, build, told)
    takes = build_takes(kitchen, castings, told.today)
    shopping = Shopping(view, takes.taken, takes.until, takes.unread)
    packs, unsure = shopping.packs, shopping.unsure
    costs, days = piece_costs(kitchen, castings), days_cost(kitchen)
    if not view.settings.currency:
        unsure.append("The book says no currency: type `currency: EUR` in `recipes/book.yaml`.")
    priced = [row.price for row in packs if row.price is not None]
    data = {
        "build": build,
        "currency": view.settings.currency and str(view.settings.currency),
        "castings": [_casting_row(each) for each in castings],
        "packs": [pack_row(row, takes.first) for row in packs],
        "total": number(sum(priced, Fraction(0))) if priced or not packs else None,
        "per_piece": [_cost_row(kitchen, each, hour_rate) for each in costs],
        "total_at_least": any(row.price is None for row in packs),
        "quote": _quote(costs, days, hour_rate),
        "today": told.today.isoformat() if told.today else None,
        "until": takes.until.isoformat() if takes.until else None,
        "to_make": list(takes.to_make),
        "unsure": list(dict.fromkeys(unsure)),
        "cautions": list(CAUTIONS) if any(each.needed for each in castings) else [],
    }
    return data, list(_notices(view, build, castings))


# What is typed.


def _told(view: View, asked: BuyAsked) -> CastingsAsked:
    rates: dict[str, Fraction] = {}
    for text in asked.rate:
        name, equals, share = text.rpartition("=")
        rates[name.strip()] = _share("--rate", share if equals else text)
        if rates[name.strip()] > 1:
            raise refused("out-of-range", f"--rate: `{text}` is more than all.", "Give at most `100 %`.")
    confidence = USUAL_CONFIDENCE if asked.confidence is None else _share("--confidence", asked.confidence)
    if confidence >= 1:
        raise refused(
            "out-of-range",
            f"--confidence: nobody can be sure to `{asked.confidence}`.",
            "Give less than `100 %`, like `95 %`.",
        )
    return CastingsAsked(rates, confidence, _day(view, asked.today))


def _share(name: str, text: str) -> Fraction:
    """A share as typed: `80 %`, `80`, or `0.8`, which as a percentage nobody means."""
    share = percent(name, text)
    if "%" not in text and share <= Fraction(1, 100):
        share *= 100
    if not share:
        raise refused("out-of-range", f"{name}: `{text}` is nothing.", "Give an amount above 0, like `80 %`.")
    return share


def _day(view: View, text: str | None) -> date | None:
    if text is None:
        return view.day
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise refused("bad-date", f"--today: `{text}` is not a day.", "Type it as `2026-04-18`.") from None


def _money(name: str, text: str | None) -> Fraction | None:
    if text is None:
        return None
    try:
        return parse(text, _NUMBER, default="number").value
    except QuantityError as problem:
        raise refused(problem.code, f"{name}: {problem.message}", problem.advice) from None


# What is answered.


def _casting_row(each: CastingsNeeded) -> dict[str, Any]:
    return {
        "thing": str(each.thing.id),
        "needed": each.needed,
        "cast": each.cast,
        "confidence": number(each.confidence),
        "rate": number(each.rate),
        "wanted": each.wanted,
        "kept": each.kept,
        "a_casting": each.a_casting,
        "came_good": each.record.runs - each.record.failed,
        "on_record": each.record.runs,
        "castings_on_record": each.castings,
        "by_record": each.by_record,
        "by_rate": each.by_rate,
        "reckoned_with": each.reckoned_with,
        "kinds": [
            {"kind": kind.kind, "wanted": kind.wanted, "kept": kind.kept, "needed": kind.needed}
            for kind in each.kinds
            if kind.kind
        ],
    }


def _notices(view: View, build: str, castings: Sequence[CastingsNeeded]) -> Iterator[Notice]:
    file = view.of(Build)[build].file
    for each in castings:
        thing = f"`{each.thing.id}`"
        if each.needed and each.told is None and not each.enough_on_record:
            record = f"{each.castings} {'casting is' if each.castings == 1 else 'castings are'}"
            yield Notice(
                "rate-not-known",
                "advice",
                f"How many {thing} come out good is not known: {record} on record of `{each.thing.recipe}`, and it takes {ENOUGH_ON_RECORD} to go by them.",
                f"Say what you expect: `--rate '{each.thing.id}=80 %'`. Materials are reckoned for {each.reckoned_with} until then.",
                file=file,
            )
        elif each.needed and each.cast is None:
            yield Notice(
                "rate-hopeless",
                "warning",
                f"At this rate no {MOST_CASTINGS} castings of {thing} give {each.needed} good ones as surely as asked.",
                "Mend the recipe first, or ask for less with `--confidence`.",
                file=file,
            )


def _cost_row(kitchen: Kitchen, each: PieceCost, hour_rate: Fraction | None) -> dict[str, Any]:
    whole = each.cost
    return {
        "thing": each.thing,
        "cost": number(whole.money) if whole.money or not whole.unpriced else None,
        "at_least": bool(whole.unpriced) or not each.scrap_known,
        "parts": {name: number(part.money) for name, part in each.parts.items()},
        "minutes": number(whole.minutes),
        "steps_untimed": sorted(whole.untimed),
        "steps_by_runs": sorted(whole.by_runs),
        "with_hours": number(_with_hours(whole, hour_rate)),
        "scrap_known": each.scrap_known,
        "pieces": each.pieces,
        "unpriced": sorted(called(kitchen.materials, name) for name in whole.unpriced),
    }


def _quote(costs: Sequence[PieceCost], days: Cost, hour_rate: Fraction | None) -> dict[str, Any]:
    """The whole build: every good piece all its days want, and those days on the face."""
    whole = days
    for each in costs:
        whole = whole + each.cost.times(Fraction(each.pieces))
    return {
        "without_hours": number(whole.money),
        "hours": number(whole.minutes / 60),
        "hour_rate": number(hour_rate),
        "with_hours": number(_with_hours(whole, hour_rate)),
        "at_least": bool(whole.unpriced) or not all(each.scrap_known for each in costs),
        "steps_untimed": sorted(whole.untimed),
    }


def _with_hours(cost: Cost, hour_rate: Fraction | None) -> Fraction | None:
    return None if hour_rate is None else cost.money + cost.minutes / 60 * hour_rate
