"""Takes what a phone noted beside runs: a failure note becomes a document of its own, a lot stands with its material."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from mothermold.book.document import Document, read_document
from mothermold.book.files import RECIPES
from mothermold.book.tree import Raw
from mothermold.desk.brought import BringDeed, Brought, accepted, judged
from mothermold.desk.editing import Changes, edited
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


def look_at_note(root: Path, view: View, name: str, data: bytes, stem: str) -> Brought:
    """What would become of a failure note; one of that name is never written over.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        name: The file as it was named.
        data: Its bytes.
        stem: Its own name without its ending, by which the note goes where it can be a name.
    """
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
    if there is not None or (root / file).exists():
        advice = "Add what it says to that one by hand, or give the file another name and bring it again."
        message = f"A failure note is called `{called}` already, and says something else."
        return found.refused(Notice("name-taken", "error", message, advice))
    return accepted(found, judged(root, view, file, document.text, name))


def look_at_lot(root: Path, view: View, name: str, document: Document) -> Brought:
    """What would become of a lot: no other line of its material is touched.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        name: The file as it was named.
        document: The file, as it was read.
    """
    said = {key: value for key, value in document.raw.items() if value is not None}
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
    try:
        was = read_bytes(root / there.file).decode("utf-8")
        text = edited(there, changes, original=was)
    except RefusedError as refusal:
        return found.refused(*refusal.notices)
    told = judged(root, view, there.file, text, there.file)
    found = dataclasses.replace(found, deed=deed, text=text, was=was, differs=differs)
    if differs:
        return dataclasses.replace(found, notices=tuple(told))
    # The line is one of the material, as it would be.
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
