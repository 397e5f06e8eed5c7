"""The page of a build: what is made from what, who wears it when, which pieces exist, how it went."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from mothermold.answers.pieces import Piece, pieces_of
from mothermold.answers.records import all_runs, record_of
from mothermold.book.document import Document
from mothermold.book.files import build_of
from mothermold.model.build import Build, Thing
from mothermold.model.mold import Mold
from mothermold.model.run import Run
from mothermold.pages.leads import cited
from mothermold.pages.rules import along_build
from mothermold.pages.runs import RunEntry, entries
from mothermold.trade.skin import PATCH_TEST_HOURS
from mothermold.view.view import View

SHOWN: Final = (
    "title", "brief", "people", "wearers", "things", "looks", "days", "approvals", "cleared", "accepts", "story",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ThingShown:
    """A thing of the build.

    Attributes:
        thing: What the build says.
        title: What its recipe is called.
        newer: A newer version in use than the one it is pinned to.
        record: How its runs ended, in words.
    """

    thing: Thing
    title: str
    newer: int | None
    record: str


@dataclass(frozen=True, slots=True)
class Supply:
    """Pieces that can be worn against pieces the coming days need, for one thing of a look; ``bare`` ones lack their paint."""

    look: str
    thing: str
    have: int
    bare: int
    need: int
    days: int
    spares: int


def details(view: View, document: Document[Build]) -> dict[str, Any]:
    """What the page of a build shows beside the build itself."""
    build = document.model
    inside = {id(each.model) for each in view.of(Run).values() if build_of(each.file) == document.address}
    runs = [run for run in all_runs(view) if id(run) in inside]
    pieces = pieces_of(view, document.address)
    today = view.newest.astimezone(view.settings.zone).date() if view.newest else None
    return {
        "things": [_thing(view, thing, runs) for thing in build.things],
        "pieces": pieces,
        "cited": lambda name: cited(view, name),
        "supply": _supply(build, pieces, today),
        "today": today.isoformat() if today else "",
        "by_thing": _by_thing(view, build, runs),
        "molds": [
            (name, each.model)
            for name, each in sorted(view.of(Mold).items())
            if build_of(each.file) == document.address
        ],
        "told_rules": along_build(view, document.address, build),
        "days": sorted(build.days, key=lambda day: day.day),
        "patch_test_hours": PATCH_TEST_HOURS,
    }


def _thing(view: View, thing: Thing, runs: Sequence[Run]) -> ThingShown:
    versions = view.versions(thing.recipe.address)
    current = versions.current if versions else None
    row = versions.get(thing.recipe.version) if versions and thing.recipe.version else current
    newer = current.number if current and thing.recipe.version and current.number > thing.recipe.version else None
    title = row.recipe.title if row and row.recipe else thing.recipe.address
    mine = [run for run in runs if run.thing == thing.id]
    return ThingShown(thing, title, newer, str(record_of(mine)) if mine else "")


def _supply(build: Build, pieces: Iterable[Piece], today: date | None) -> list[Supply]:
    """For each look with days to come: is there enough that can be worn for them and for the spares?"""
    have: Counter[str] = Counter()
    bare: Counter[str] = Counter()
    for piece in pieces:
        have[piece.thing] += piece.can_be_worn
        bare[piece.thing] += piece.lacks_paint
    found = []
    for look in build.looks:
        days = sum(1 for day in build.days if day.look == look.id and (today is None or day.day > today))
        if not days:
            continue
        spares = look.spares or 0
        counts: dict[str, int] = {}
        for part in look.pieces:
            counts[str(part.thing)] = counts.get(str(part.thing), 0) + int(part.count or 1)
        for thing, count in counts.items():
            need = count * (days + spares)
            found.append(Supply(str(look.id), thing, have[thing], bare[thing], need, days, spares))
    return found


def _by_thing(view: View, build: Build, runs: Sequence[Run]) -> list[tuple[str, list[RunEntry]]]:
    """The runs of the build, thing by thing in the order they are made, then the days on the face and the tests."""
    known = [str(thing.id) for thing in build.things]
    groups = [(name, [run for run in runs if run.thing == name]) for name in known]
    rest = [run for run in runs if run.thing not in known]
    groups += [
        ("days on the face", [run for run in rest if run.day is not None]),
        ("other runs and tests", [run for run in rest if run.day is None]),
    ]
    return [(name, entries(view, mine)) for name, mine in groups if mine]
