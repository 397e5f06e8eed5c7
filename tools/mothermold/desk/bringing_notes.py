"""Takes what a phone noted beside runs: a failure note becomes a document of its own, a lot stands with its material."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from mothermold.book.document import Document, read_document
from mothermold.book.files import RECIPES
from mothermold.book.tree import Raw
from mothermold.desk.brought import BringDeed, Brought, OtherWay, accepted, judged
from mothermold.desk.editing import Changes, Value, edited
from mothermold.desk.matching import plain_name
from mothermold.desk.only_adds import first_difference
from mothermold.ground.errors import RefusedError
from mothermold.ground.notices import Notice
from mothermold.ground.reading import read_bytes
from mothermold.ground.words import offer
from mothermold.model.failure import Failure
from mothermold.model.kinds import KINDS
from mothermold.model.material import Lot
from mothermold.model.names import name_fault
from mothermold.model.walk import KeyPath
from mothermold.view.view import View

_LOT_KEYS: Final = ("material", *Lot.model_fields)


def is_note(raw: Raw) -> bool:
    """Whether a text is a failure note: it has a title and the words one would shout, and began at no moment."""
    return isinstance(raw, dict) and {"title", "symptoms"} <= raw.keys() and "started" not in raw


def is_lot(raw: Raw) -> bool:
    """Whether a text is a lot: it says of which material, and the number, and nothing but what a lot says."""
    return (
        isinstance(raw, dict)
        and raw.keys() <= set(_LOT_KEYS)
        and all(isinstance(raw.get(key), str) for key in ("material", "lot"))
    )


def look_at_note(root: Path, view: View, name: str, data: bytes, stem: str, *, way: OtherWay) -> Brought:
    """What would become of a failure note; one of that name is never written over, and added to only where it is said to be it.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        name: The file as it was named.
        data: Its bytes.
        stem: Its own name without its ending, by which the note goes where it can be a name.
        way: How it comes in where its name is taken.
    """
    stem = plain_name(way.called) if way.called else stem
    title = read_document("failure", stem, name, data).raw.get("title")
    called = stem if name_fault(stem) is None else plain_name(title if isinstance(title, str) else "note")
    document = read_document("failure", called, name, data)
    note, file = document.model, f"{RECIPES}/{KINDS['failure'].file_of(called)}"
    found = Brought(name, file, "new", (), kind="failure", called=called, text=document.text)
    if not isinstance(note, Failure):
        return found.refused(*(each for each in document.notices if each.severity == "error"))
    found = dataclasses.replace(found, words=(note.title, f"at {note.seen_at}", *note.symptoms))
    there = view.on("failure").get(called)
    if there is not None and first_difference(document.said, there.said) is None:
        return dataclasses.replace(found, file=there.file, deed="known", text="")
    if there is not None and there.model is not None and way.same:
        return _added(view, found, document, there)
    if there is not None or (root / file).exists():
        taken = called if there is not None else ""
        advice = "Add what it says to that one by hand, or give the file another name and bring it again."
        message = f"A failure note is called `{called}` already, and says something else."
        return dataclasses.replace(found.refused(Notice("name-taken", "error", message, advice)), taken=taken)
    return accepted(found, judged(root, view, file, document.text, name))


def _added(view: View, found: Brought, new: Document, there: Document) -> Brought:
    """A note the book has already: the words it lacks are added to it, and where it says otherwise its own stand."""
    changes: dict[KeyPath, Value] = {}
    left: list[str] = []
    title, symptoms = new.raw["title"], _lines(new.raw["symptoms"])
    # Another title is what one shouted, and by that the note is found again.
    shouted = symptoms if title == there.raw.get("title") else [title, *symptoms]
    for key, said in {**new.raw, "title": None, "symptoms": shouted}.items():
        mine, old = _lines(said), there.raw.get(key)
        if not mine:
            continue
        if isinstance(old, list):
            # A recipe by itself is known where one of its steps is named.
            fresh = [
                each for each in mine if not any(each == known or f"{known}".startswith(f"{each}#") for known in old)
            ]
            changes |= {(key, len(old) + place): each for place, each in enumerate(fresh)}
        elif old is None:
            changes[(key,)] = said
        elif isinstance(said, list):
            changes[(key,)] = list(dict.fromkeys([old, *mine]))
        elif key == "happened" and said != old:
            changes[(key,)] = f"{old}\n\n{said}"
        elif said != old:
            left.append(f"{key.replace('_', ' ')}: {said}")
    return _written_into(view, dataclasses.replace(found, left=tuple(left)), there, changes, "renewed")


def _lines(said: Raw) -> list[Any]:
    return said if isinstance(said, list) else [said] if said else []


def look_at_lot(view: View, name: str, document: Document, way: OtherWay) -> Brought:
    """What would become of a lot: no other line of its material is touched.

    Args:
        view: The owner's book as it is now.
        name: The file as it was named.
        document: The file, as it was read.
        way: How it comes in where its number is taken.
    """
    said = {key: value for key, value in document.raw.items() if value is not None}
    said |= {"lot": way.called} if way.called else {}
    material, number = str(said.pop("material")), str(said["lot"])
    words = tuple(f"{key.replace('_', ' ')} {value}" for key, value in said.items() if key != "lot")
    found = Brought(name, "", None, (), kind="lot", called=number, words=(f"{material}, lot {number}", *words))
    there = view.on("material").get(material)
    if there is None:
        advice = offer(material, list(view.on("material")), "Write the material down first, then bring the lot.")
        message = f"No material is called `{material}`."
        return found.refused(Notice("unknown-reference", "error", message, advice))
    if not there.raw:
        return found.refused(*(each for each in there.notices if each.severity == "error"))
    found = dataclasses.replace(found, file=there.file)
    deed, differs, changes = _changes(there, said)
    if not changes:
        return dataclasses.replace(found, deed="known")
    return _written_into(view, dataclasses.replace(found, differs=differs), there, changes, deed)


def _written_into(view: View, found: Brought, there: Document, changes: Changes, deed: BringDeed) -> Brought:
    """What becomes of a file whose words go into a document of the book."""
    found = dataclasses.replace(found, file=there.file)
    if not changes:
        return dataclasses.replace(found, deed="known", text="")
    try:
        was = read_bytes(view.root / there.file).decode("utf-8")
        text = edited(there, changes, original=was)
    except RefusedError as refusal:
        return found.refused(*refusal.notices)
    told = judged(view.root, view, there.file, text, there.file)
    found = dataclasses.replace(found, deed=deed, text=text, was=was)
    if found.differs:
        return dataclasses.replace(found, notices=tuple(told))
    # The line is one of the document, as it would be.
    errors = [
        dataclasses.replace(each, line=None, column=None, excerpt="") for each in told if each.severity == "error"
    ]
    return found.refused(*errors) if errors else dataclasses.replace(found, notices=tuple(told))


def _changes(material: Document, said: Mapping[str, Any]) -> tuple[BringDeed, str, Changes]:
    """What a lot is to its material, where that says otherwise, and what is to be written."""
    rows = material.raw.get("lots")
    lots = rows if isinstance(rows, list) else []
    for place, old in enumerate(lots):
        if isinstance(old, dict) and old.get("lot") == said["lot"]:
            differs = first_difference(
                {key: old[key] for key in said if old.get(key)}, dict(said), f"lot {said['lot']}"
            )
            more: Changes = {("lots", place, key): value for key, value in said.items() if old.get(key) != value}
            return "renewed", differs or "", more
    return "new", "", {("lots", len(lots)): said} if lots else {("lots",): [said]}
