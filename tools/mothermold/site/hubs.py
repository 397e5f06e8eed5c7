"""The home page, one page for each kind of document, and the page of notices."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from mothermold.ground.notices import in_order
from mothermold.ground.rendering import verdict
from mothermold.history.versions import Version
from mothermold.model.failure import Failure
from mothermold.model.run import Run
from mothermold.site.addresses import HOME, HUBS, NOTICES
from mothermold.site.documents import runs_with
from mothermold.site.pages import Page, render
from mothermold.view.view import View


def home(view: View) -> Page:
    """What is in the book, what changed, what keeps going wrong."""
    return render(
        view,
        "home.html",
        HOME,
        "Home",
        recipes=recipes_by_stage(view),
        latest=_latest(view, 8),
        troubles=_troubles(view)[:8],
        counts=[(HUBS[kind], len(view.documents[kind])) for kind in HUBS if view.documents[kind]],
        verdict=verdict(view.notices) if view.notices else "",
    )


def hub(view: View, kind: str) -> Page:
    """All documents of one kind."""
    address, title = HUBS[kind]
    if kind == "recipe":
        return render(view, "recipes.html", address, title, recipes=recipes_by_stage(view))
    entries = [
        (name, getattr(document.model, "title", None) or name, document.model)
        for name, document in sorted(view.documents[kind].items())
    ]
    if kind == "run":
        entries.sort(
            key=lambda entry: (entry[2].started.isoformat() if isinstance(entry[2], Run) else "", entry[0]),
            reverse=True,
        )
    return render(view, "hub.html", address, title, kind=kind, entries=entries, troubles=_troubles(view))


def notices(view: View) -> Page:
    """Every notice, file by file."""
    told = in_order(view.notices)
    return render(view, "notices.html", NOTICES, "Notices", notices=told, verdict=verdict(told))


@dataclass(frozen=True, slots=True)
class RecipeEntry:
    """A recipe in a list."""

    address: str
    title: str
    row: Version | None
    draft: Version | None


def recipes_by_stage(view: View) -> dict[str, list[RecipeEntry]]:
    """Recipes in use by stage, in the order of the work; retired and deleted ones leave the list."""
    order = {stage: index for index, stage in enumerate(view.words.stages)}
    found: dict[str, list[RecipeEntry]] = {}
    for address in sorted(
        {*view.recipes, *view.documents["recipe"]}, key=lambda a: (order.get(a.split("/")[0], 99), a)
    ):
        versions = view.versions(address)
        row = versions.current if versions else None
        draft = next((each for each in versions.rows if each.status == "draft"), None) if versions else None
        if versions is not None and row is None and draft is None:
            continue
        shown = row or draft
        title = shown.recipe.title if shown and shown.recipe else address
        found.setdefault(address.split("/")[0], []).append(RecipeEntry(address, title, row, draft))
    return found


def _latest(view: View, most: int) -> list[dict[str, Any]]:
    rows = [
        (row.moment, address, row)
        for address in view.recipes
        if (versions := view.versions(address)) is not None
        for row in versions.rows
        if row.moment is not None and row.status == "locked"
    ]
    rows.sort(key=lambda each: (each[0], each[1], each[2].number), reverse=True)
    return [
        {
            "address": address,
            "row": row,
            "day": moment.astimezone(view.settings.zone).date().isoformat(),
            "title": row.recipe.title if row.recipe else address,
        }
        for moment, address, row in rows[:most]
    ]


def _troubles(view: View) -> list[dict[str, Any]]:
    """Failures, open problems first, then by how often they happened."""
    found = []
    for name, document in view.documents["failure"].items():
        if isinstance(document.model, Failure):
            times = len(runs_with(view, name))
            open_problem = not document.model.fixes
            found.append({"name": name, "failure": document.model, "times": times, "open": open_problem})
    return sorted(found, key=lambda each: (not each["open"], -each["times"], each["name"]))
