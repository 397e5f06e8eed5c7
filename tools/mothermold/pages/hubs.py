"""The home page, one page for each kind of document, and the page of notices."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import partial
from itertools import chain, groupby
from typing import Any, Final, TypeVar

from mothermold.answers.day_sheet import days_of
from mothermold.answers.records import record_of_recipe
from mothermold.answers.troubles import Trouble, troubles
from mothermold.ground.notices import in_order
from mothermold.ground.rendering import verdict
from mothermold.model.build import Build
from mothermold.model.kinds import KINDS, PAGED
from mothermold.model.material import Material
from mothermold.pages.addresses import HOME, HUBS, NOTICES
from mothermold.pages.build_cards import build_cards
from mothermold.pages.narrowing import facts_by_name, narrowings
from mothermold.pages.page import Page, render
from mothermold.pages.plans import today_at_the_bench
from mothermold.pages.runs import RunEntry, by_month, entries_of
from mothermold.pages.wording import document_rows
from mothermold.trade.vocabulary import family_words
from mothermold.view.view import View

T = TypeVar("T")
_MOST_CHAIRS: Final = 3
"""Days in the chair of one build that the home page tells of."""


def home(view: View) -> Page:
    """What is in the book, what changed, what keeps going wrong."""
    return render(
        view,
        "home.html",
        HOME,
        "Home",
        recipes=recipes_by_stage(view),
        latest=_latest(view, 8),
        troubles=[each for each in troubles(view) if each.keeps_going_wrong][:8],
        counts=[(kind, len(view.on(kind.word))) for kind in PAGED if view.on(kind.word)],
        builds=build_cards(view),
        runs=entries_of(view, list(reversed(view.evidence.lineage.names))[:6]),
        verdict=verdict(view.notices) if view.notices else "",
        in_the_chair=_in_the_chair(view) if view.edition == "private" else [],
        at_the_bench=today_at_the_bench(view) if view.edition == "private" else [],
    )


@dataclass(frozen=True, slots=True)
class ChairSoon:
    """A day in the chair that is near: the build and its title, the day, what it is called from today, and what it is for."""

    build: str
    title: str
    day: str
    called: str
    what: str


def _in_the_chair(view: View) -> list[ChairSoon]:
    """The days in the chair to come, the nearest first; of a build that has none left its last one, whose morning after may be open."""
    today, found = view.day, list[ChairSoon]()
    if today is None:
        return []
    for name, build in sorted(view.models(Build).items()):
        days = days_of(build)
        coming = [each for each in days if each >= today]
        for day in [*[each for each in days if each == today - timedelta(days=1)], *coming][:_MOST_CHAIRS]:
            called = {-1: "yesterday", 0: "today", 1: "tomorrow"}.get(
                (day - today).days, f"in {(day - today).days} days"
            )
            what = ", ".join(dict.fromkeys(str(each.what) for each in build.days if each.day == day and each.what))
            found.append(ChairSoon(name, str(build.title), day.isoformat(), called, what))
    return sorted(found, key=lambda each: (each.day, each.build))


def hub(view: View, kind: str) -> Page:
    """All documents of one kind."""
    address, title = HUBS[kind]
    if kind == "recipe":
        by_stage = recipes_by_stage(view)
        gone = _no_longer_used(view)
        listed_here = [*chain.from_iterable(by_stage.values()), *gone]
        found = facts_by_name(view, kind, [each.address for each in listed_here])
        return render(
            view,
            "recipes.html",
            address,
            title,
            recipes=by_stage,
            gone=gone,
            sides=narrowings(view, found.values()),
            facts_of=found.get,
            record=lambda recipe: record_of_recipe(view, recipe),
        )
    every, facts = sorted(view.on(kind)), facts_by_name(view, kind)
    readable: Container[str] = view.of(KINDS[kind].model)
    listed: list[tuple[str, str, Any]] = []
    if kind == "run":
        readable = set(view.evidence.lineage.names)
    elif kind == "failure":
        readable = {each.name for each in troubles(view)}
    elif kind not in ("material", "build"):
        models = [(name, view.on(kind)[name].model) for name in every]
        listed = [(name, getattr(model, "title", None) or name, model) for name, model in models]
    return render(
        view,
        "hub.html",
        address,
        title,
        kind=kind,
        count=len(every),
        unread=[name for name in every if name not in readable],
        entries=listed,
        sides=narrowings(view, facts.values()),
        facts_of=facts.get if facts else None,
        years=_by_year(view) if kind == "run" else [],
        families=_by_family(view) if kind == "material" else [],
        builds=build_cards(view) if kind == "build" else [],
        pressing=[each for each in troubles(view) if each.keeps_going_wrong] if kind == "failure" else [],
        troubles_by_stage=_by_stage(view) if kind == "failure" else [],
    )


def _by_year(view: View) -> list[tuple[str, list[tuple[str, list[RunEntry]]], int]]:
    """The runs by year and month, the newest first, and how many a year has."""
    months = by_month(entries_of(view, reversed(view.evidence.lineage.names)))
    years = [(year, list(each)) for year, each in groupby(months, key=lambda month: month[1][0].day[:4])]
    return [(year, each, sum(len(listed) for _month, listed in each)) for year, each in years]


def _by_stage(view: View) -> list[tuple[str, list[Trouble]]]:
    """Failures by the stage where one meets them, in the order of the work."""
    found: dict[str, list[Trouble]] = {}
    for each in troubles(view):
        found.setdefault(each.seen_at, []).append(each)
    return _in_order(found, view.words.stages)


def _in_order(found: Mapping[str, list[T]], words: Sequence[str]) -> list[tuple[str, list[T]]]:
    """Groups in the order of these words; what is none of them comes last, by name."""
    order = {word: index for index, word in enumerate(words)}
    return sorted(found.items(), key=lambda each: (order.get(each[0], len(order)), each[0]))


def _by_family(view: View) -> list[tuple[str, list[tuple[str, Material]]]]:
    """Materials by the first family each names, in the order the families are listed; within one by title."""
    found: dict[str, list[tuple[str, Material]]] = {}
    for name, material in view.models(Material).items():
        family = str(material.families[0]) if material.families else "no family"
        found.setdefault(family, []).append((name, material))
    return [
        (family_words(family), sorted(each, key=lambda row: (str(row[1].title).casefold(), row[0])))
        for family, each in _in_order(found, view.words.families)
    ]


def notices(view: View) -> Page:
    """Every notice, file by file; for the owner also what the book's settings are."""
    told = in_order(view.notices)
    # Sorted by file already; what is about no file comes first.
    by_file = [(file, list(each)) for file, each in groupby(told, key=lambda notice: notice.file or "")]
    settings = [
        row
        for document in view.on("book").values()
        if view.edition == "private" and document.model is not None
        for row in document_rows(view, document)
    ]
    return render(view, "notices.html", NOTICES, "Notices", by_file=by_file, verdict=verdict(told), settings=settings)


@dataclass(frozen=True, slots=True)
class RecipeEntry:
    """A recipe in a list.

    Attributes:
        address: The recipe.
        title: Its title, of the version in use, else of the draft.
        number: The version in use; None where none is.
        draft: The draft there is.
        unread: Whether its file cannot be read now.
        is_used: Whether it stays in the lists: it can be made, is being written, or wants mending.
        last: The last version it had, and what became of that.
        locked: Every version that was locked, with its moment.
    """

    address: str
    title: str
    number: int | None
    draft: int | None
    unread: bool
    is_used: bool
    last: Sequence[Any] | None
    locked: Sequence[Sequence[Any]]


def _recipe_entry(view: View, address: str) -> RecipeEntry:
    """A recipe in a list; its texts are opened only where something of it changed since it was listed last."""
    return RecipeEntry(address, **view.made.of(f"recipe/{address}: listed", partial(_listed, view, address)))


def _listed(view: View, address: str) -> dict[str, Any]:
    versions, head = view.versions(address), view.on("recipe").get(address)
    rows = versions.rows if versions is not None else ()
    row = versions.current if versions is not None else None
    draft = next((each for each in rows if each.status == "draft"), None)
    shown = row or draft or (rows[-1] if rows else None)
    unread = head is not None and head.model is None
    return {
        "title": shown.recipe.title if shown and shown.recipe else address,
        "number": row.number if row else None,
        "draft": draft.number if draft else None,
        "unread": unread,
        "is_used": row is not None or draft is not None or unread or versions is None,
        "last": [rows[-1].number, rows[-1].status] if rows else None,
        "locked": [[each.number, each.moment.isoformat()] for each in rows if each.moment and each.status == "locked"],
    }


def recipes_by_stage(view: View) -> dict[str, list[RecipeEntry]]:
    """Recipes in use by stage, in the order of the work; retired and deleted ones leave the list."""
    order = {stage: index for index, stage in enumerate(view.words.stages)}
    found: dict[str, list[RecipeEntry]] = {}
    for address in sorted({*view.recipes, *view.on("recipe")}, key=lambda a: (order.get(a.split("/")[0], 99), a)):
        entry = _recipe_entry(view, address)
        if entry.is_used:
            found.setdefault(address.split("/")[0], []).append(entry)
    return found


def _no_longer_used(view: View) -> list[RecipeEntry]:
    """Recipes that left the lists by stage: deleted, retired or withdrawn, and still to be read."""
    every = (_recipe_entry(view, address) for address in sorted(view.recipes))
    return [entry for entry in every if entry.last is not None and not entry.is_used]


def _latest(view: View, most: int) -> list[dict[str, Any]]:
    """The versions locked last, the newest first."""
    rows = [
        (datetime.fromisoformat(moment), address, number)
        for address in view.recipes
        for number, moment in _recipe_entry(view, address).locked
    ]
    rows.sort(reverse=True)
    return [
        {
            "address": address,
            "number": number,
            "day": moment.astimezone(view.settings.zone).date().isoformat(),
            **view.made.of(f"recipe/{address}@{number}: why", partial(_why, view, address, number)),
        }
        for moment, address, number in rows[:most]
    ]


def _why(view: View, address: str, number: int) -> dict[str, str | None]:
    versions = view.versions(address)
    row = versions.get(number) if versions is not None else None
    return {"title": row.recipe.title if row and row.recipe else address, "why": row.why if row else None}
