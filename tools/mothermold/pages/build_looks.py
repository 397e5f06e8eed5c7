"""The looks of a build and its days, as its page tells them."""

from __future__ import annotations

from collections.abc import Iterator

from mothermold.model.build import STAGES_WORN, Build, Look, LookPiece, Supplied, Target, WornDay
from mothermold.model.walk import KeyPath
from mothermold.pages.content import Block, Lead, Row, Section, Words
from mothermold.pages.saying import (
    Loose,
    cells,
    framed,
    joined,
    listed,
    numbered,
    para,
    points,
    quiet,
    said,
    section,
)
from mothermold.pages.wording import spoken
from mothermold.view.view import View


def look_told(at: KeyPath, look: Look) -> Section:
    """A look: its pieces, how it goes on, through the day and off, its sets to spare, colors and what others bring."""
    on, wear, off = (listed(getattr(look, stage), "; then ", *at, stage) for stage in STAGES_WORN)
    no_way_off = "Off: no removal is written down." if (on or wear) and not off else None
    sets = "set" if look.spares == 1 else "sets"
    facts: list[Loose] = [
        framed("On: ", on),
        framed("Through the day: ", wear),
        framed("Off: ", off),
        no_way_off,
        said(*at, spares=look.spares and f"{look.spares} whole {sets} to spare"),
        *(_supplied(*each) for each in numbered(look.supplied, *at, "supplied")),
        *(_target(*each) for each in numbered(look.targets, *at, "targets")),
    ]
    order = joined((_look_piece(*each) for each in numbered(look.pieces, *at, "pieces")), ", ")
    title = (
        said(*at, id=spoken(look.id).capitalize()),
        look.wearer and (" ", quiet("for ", said(*at, wearer=look.wearer))),
    )
    return section(look.id, title, para("In gluing order: ", order, "."), points(facts), anchor=f"look-{look.id}")


def _look_piece(at: KeyPath, each: LookPiece) -> Words:
    piece, count = each.piece and f" {each.piece}", each.count and f" × {each.count}"
    return said(*at, thing=Lead("here", f"thing-{each.thing}", spoken(each.thing)), piece=piece, count=count)


def _supplied(at: KeyPath, each: Supplied) -> Words:
    return said(*at, what=each.what, who=each.who and f", from the {each.who}", due=each.due and (", due ", each.due))


def _target(at: KeyPath, each: Target) -> Words:
    figures = [(word, getattr(each, word)) for word in ("L", "a", "b") if getattr(each, word) is not None]
    color: dict[str, Loose] = {
        word: (", " if number else ": ", f"{word} ", figure) for number, (word, figure) in enumerate(figures)
    }
    light = each.light and f", {each.light}"
    return said(*at, zone=each.zone, **color, light=light, date=each.date and (", approved ", each.date))


def plan_told(view: View, name: str, build: Build) -> Iterator[Block]:
    """Where its plan is; the owner's alone."""
    if view.edition == "private" and build.days:
        yield para(Lead("plan", name, "The plan"), ": when what is done for these days, and what has slack.")


def day_told(view: View, name: str, numbered_day: tuple[KeyPath, WornDay]) -> Row:
    """A day in the chair, as a row of the days."""
    at, day = numbered_day
    look = said(*at, look=Lead("here", f"look-{day.look}", spoken(day.look)))
    # The page of a day is the owner's; in other editions the day is words.
    when = said(
        *at,
        day=Lead("day", f"{name}/{day.day.isoformat()}", day.day.isoformat()) if view.edition == "private" else day.day,
    )
    return Row((when, *cells(at, day, "what"), look, *cells(at, day, "chair", "ready", "wrap")))
