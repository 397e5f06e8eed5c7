"""The changed files of a book, each read as the document it is, before and after, and told in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from mothermold.book.document import Document, read_document
from mothermold.book.files import RECIPES, Place, place_of
from mothermold.desk.answered_notes import Answered
from mothermold.desk.numbering import Plan
from mothermold.desk.save_message import Told, kind_of, sentences_between, title_of
from mothermold.ground.errors import refused
from mothermold.ground.reading import read_bytes
from mothermold.history.ledger import Ledger, open_ledger
from mothermold.history.saving import ChangedFile, Snapshot, look
from mothermold.model.run import Run
from mothermold.view.view import View


@dataclass(frozen=True, slots=True)
class Item:
    """A changed file of the book.

    Attributes:
        changed: What happened to it.
        place: Its kind and address; None for what is no document.
        old: Its text in the newest save.
        new: Its text in the book's folder.
        original: The same with its own line ends.
    """

    changed: ChangedFile
    place: Place | None
    old: Document | None
    new: Document | None
    original: str

    @property
    def file(self) -> str:
        """Its path relative to the book."""
        return self.changed.file


def unsaved(root: Path) -> Snapshot | None:
    """The book's folder as it lies there, with what changed since its last save; None where it has no history yet."""
    ledger = open_ledger(root)
    return look(ledger) if ledger is not None else None


def read_items(root: Path, ledger: Ledger, changes: Iterable[ChangedFile]) -> list[Item]:
    """Reads what changed as documents, where it is one."""
    documents = {each: place for each in changes if (place := _place(each)) is not None}
    blobs = ledger.blobs(blob for each in documents for blob in (each.before, each.after))
    return [_item(root, each, documents.get(each), blobs) for each in changes]


def _place(changed: ChangedFile) -> Place | None:
    if not changed.file.startswith(f"{RECIPES}/") or not changed.file.endswith((".yaml", ".yml")):
        return None
    place = place_of(changed.file)
    return place if isinstance(place, Place) else None


def _item(root: Path, changed: ChangedFile, place: Place | None, blobs: Mapping[str, bytes]) -> Item:
    if place is None:
        return Item(changed, None, None, None, "")
    old = new = None
    original = ""
    if changed.before in blobs:
        old = read_document(place.kind, place.address, changed.earlier, blobs[changed.before])
    if changed.after in blobs:
        data = read_bytes(root / changed.file)
        if _plain(data) != _plain(blobs[changed.after]):
            raise refused(
                "changed-meanwhile",
                f"{changed.file} was changed while it was being saved.",
                "Save again when it is done; nothing was saved.",
            )
        new = read_document(place.kind, place.address, changed.file, data)
        original = data.decode("utf-8", "replace")
    return Item(changed, place, old, new, original)


def _plain(data: bytes) -> bytes:
    return data.replace(b"\r\n", b"\n")


def told_of(item: Item, plans: Mapping[str, Plan], view: View, answered: Mapping[str, Answered]) -> Told:
    """What is told of a changed file.

    Args:
        item: The file.
        plans: How recipes are saved, by file.
        view: The book.
        answered: The failure notes that are told what answers them, by file.
    """
    changed, place = item.changed, item.place
    if place is None:
        kind = kind_of(changed.file)
        return Told(changed.action, kind, changed.file, changed.file, earlier=changed.earlier)
    document = item.new or item.old
    title = title_of(document, place.address)
    earlier = changed.earlier.removeprefix(f"{RECIPES}/").removesuffix(".yaml")
    if changed.file in answered:
        return told_of_note(answered[changed.file], changed)
    if place.kind != "recipe":
        return Told(
            changed.action,
            place.kind,
            changed.file,
            title,
            place.address,
            earlier=changed.earlier,
            more=_more(document),
        )
    made = plans.get(changed.file)
    if made is None:
        return Told(changed.action, "recipe", changed.file, title, place.address, earlier=earlier)
    before = made.changed.before if made.step != "notes" else item.old
    retired = made.status == "retired" and _status(item.old) != "retired"
    said = sentences_between(view, before, made.changed.document)
    return Told(
        changed.action, "recipe", changed.file, title, place.address, earlier=earlier, step=made.step,
        version=made.version, why=made.why, sentences=said, retired=retired,
    )  # fmt: skip


def told_of_note(note: Answered, changed: ChangedFile | None = None) -> Told:
    """What is told of a failure note that says from now on what answers it.

    Args:
        note: The note.
        changed: What the artist did to it, where she did.
    """
    title = title_of(note.document, note.document.address)
    more = f"answered by {' and '.join(f'{address}, version {number}' for address, number in note.by)}"
    action, earlier = (changed.action, changed.earlier) if changed is not None else ("changed", "")
    return Told(action, "failure", note.file, title, note.document.address, earlier=earlier, more=more)


def _status(document: Document | None) -> object:
    return document.raw.get("status") if document is not None else None


def _more(document: Document | None) -> str:
    run = document.model if document is not None else None
    if not isinstance(run, Run):
        return ""
    return ", ".join(str(each) for each in (run.recipe, run.outcome) if each)
