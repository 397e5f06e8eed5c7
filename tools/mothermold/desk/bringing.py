"""Takes what was noted at the bench into the book: once however often, and nothing that the book would call wrong.

A run is known by its id, not by the name of its file. What is in the book already stays where it lies; a run that was
handed over half way and comes again with more in it is renewed. Failure notes and lots are for
`bringing_notes`, the photos beside a file for `bringing_photos`.
"""

from __future__ import annotations

import dataclasses
import os
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Final

from mothermold.book.document import Document, read_document
from mothermold.desk.asking import Asking
from mothermold.desk.bringing_notes import is_lot, is_note, look_at_lot, look_at_note
from mothermold.desk.bringing_photos import beside, cleared, is_photos, look_at_photos, put, with_photos_of
from mothermold.desk.bringing_where import place_of
from mothermold.desk.brought import BRINGS, Brought, OtherWay, accepted, judged
from mothermold.desk.check_ahead import foresee
from mothermold.desk.only_adds import first_difference
from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.ground.reading import read_bytes
from mothermold.ground.rendering import as_text
from mothermold.ground.words import nearest
from mothermold.model.names import name_fault
from mothermold.model.run import Run
from mothermold.view.view import View, open_view

INBOX: Final = "inbox"
LARGEST: Final = 1_000_000
"""Bytes; what a document of a book may have at most."""
_ENDINGS: Final = (".yaml", ".yml", ".yaml.txt", ".yml.txt")
_ENDING: Final = re.compile(r"(?i)\.ya?ml(?:\.txt)?$")
_AGAIN: Final = 5
"""How often a file is looked at anew where somebody else writes the same at the same moment."""
_COMMENT: Final = re.compile(r"(?m)(?:^|\s)#.*$")


def bring_runs(root: Path, given: Sequence[str], asking: Asking, *, to: str | None = None, asks: bool = True) -> str:
    """Takes in runs, failure notes, lots and photos, says what became of each, and hands back the sum in a sentence.

    Args:
        root: The book's folder.
        given: Files and folders; without any the book's inbox.
        asking: Who is told, and asked where the book says otherwise than the file.
        to: The build runs belong to, where it is said.
        asks: Whether anyone can be asked.

    Raises:
        RefusedError: Some of it could not come in; what could is in the book by then.
        CannotRunError: A file or folder cannot be read.
    """
    inbox = root / INBOX
    view = open_view(root, "private")
    known_build(view, to)
    paths = list(_files(given, inbox))
    if not paths and given:
        return "Nothing to bring: there is no run there."
    taken: list[Brought] = []
    for path in paths:
        done = bring_one(root, view, path, asking, to=to, asks=asks)
        taken.append(done)
        if done.deed in {"new", "renewed"}:
            view = open_view(root, "private")
            is_new = done.deed == "new" and done.kind != "lot"
            asking.say(f"{done.file} {'is new' if is_new else 'has more in it now'}.")
    told = [notice for done in taken for notice in done.notices]
    alone = cleared(inbox, root, taken) if not given else []
    for each in alone:
        asking.say(f"inbox/{each} has no words. `mothermold photo inbox/{each} --to` and what it shows takes it in.")
    if not taken:
        return "Nothing came in." if alone else "Nothing to bring: the inbox is empty."
    said = _sum(taken)
    if any(done.deed is None for done in taken):
        asking.say(said)
        raise RefusedError(*told)
    for notice in told:
        asking.say(as_text(notice))
    return said


def known_build(view: View, to: str | None) -> None:
    """Refuses the name of a build that is not in the book."""
    if to is not None and to not in view.on("build"):
        near = nearest(to, view.on("build"))
        raise refused(
            "unknown-reference",
            f"--to: no build is called `{to}`.",
            f"Did you mean `{near}`?" if near else "Write the build down first, with `mothermold new build`.",
        )


def bring_one(
    root: Path,
    view: View,
    path: Path,
    asking: Asking,
    *,
    to: str | None = None,
    asks: bool = True,
    way: OtherWay | None = None,
) -> Brought:
    """Takes one file in, and clears it out of the inbox once the book has it.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        path: The file.
        asking: Who is asked where the book says otherwise than the file.
        to: The build it belongs to, where it is said.
        asks: Whether anyone can be asked.
        way: How it comes in where its name is taken; not at all unless given.

    Raises:
        CannotRunError: A file cannot be read or written.
    """
    waits = path.resolve().is_relative_to((root / INBOX).resolve())
    found = look_at(root, view, path, to, way or OtherWay())
    for _ in range(_AGAIN):
        if found.deed is None and waits and not path.exists():
            # Somebody else took it out of the inbox at this moment, and does so only when the book has it.
            return dataclasses.replace(found, deed="known", notices=())
        if found.differs:
            book = f"{found.name}: the book already has `{found.called}`."
            agreed = asks and asking.agree(f"{book} {found.differs} Take the file instead?", default=False)
            found = found.agreed() if agreed else found.declined()
        try:
            if found.deed is not None:
                put(root, view, found)
            break
        except RefusedError as refusal:
            if found.photos and not any(each.code == "changed-meanwhile" for each in refusal.notices):
                return found.refused(*refusal.notices)
            # Somebody else wrote there at this moment; it is looked at as the book is now.
            view = open_view(root, "private")
            found = look_at(root, view, path, to, way or OtherWay())
    else:
        busy = f"{found.file} was changed again and again while this was brought."
        return found.refused(Notice("changed-meanwhile", "error", busy, "Wait a moment, then bring it again."))
    if found.deed is not None and waits:
        # The book's own copy is safely written by now.
        for each in (path, *(photo.path for photo in found.photos)):
            each.unlink(missing_ok=True)
    return found


def waiting(root: Path, view: View) -> list[Brought]:
    """What would become of each file in the inbox now; nothing is touched.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
    """
    return [look_at(root, view, path, None, OtherWay()) for path in in_inbox(root)]


def in_inbox(root: Path) -> list[Path]:
    """The files that wait in the inbox of a book."""
    return list(_files((), root / INBOX))


def _files(given: Sequence[str], inbox: Path) -> Iterator[Path]:
    """The files meant, folders looked through, each once and in order."""
    if not given:
        yield from _inside(inbox) if inbox.is_dir() else ()
        return
    seen: set[Path] = set()
    for name in given:
        path = Path(name)
        if not path.exists():
            raise CannotRunError(f"There is no file or folder {path}.")
        for each in _inside(path) if path.is_dir() else (path,):
            if each.resolve() not in seen:
                seen.add(each.resolve())
                yield each


def _inside(folder: Path) -> list[Path]:
    found = [
        Path(here) / name
        for here, _, names in os.walk(folder)
        for name in names
        if name.casefold().endswith(_ENDINGS) and not name.startswith(".")
    ]
    return sorted(found)


def look_at(root: Path, view: View, path: Path, to: str | None, way: OtherWay) -> Brought:
    """What would become of a file; nothing is touched.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        path: The file.
        to: The build it belongs to, where it is said.
        way: How it comes in where its name is taken.
    """
    name = path.as_posix()
    document = _read(path, name)
    if isinstance(document, Notice):
        return Brought(name, "", None, (document,))
    if is_photos(document.raw):
        return look_at_photos(view, name, path, document)
    document, photos = beside(path, document)
    return dataclasses.replace(_look_at(root, view, document, to, way), photos=photos)


def _look_at(root: Path, view: View, document: Document, to: str | None, way: OtherWay) -> Brought:
    name = document.file
    if is_note(document.raw):
        stem = _ENDING.sub("", name.rpartition("/")[2])
        return look_at_note(root, view, name, document.text.encode(), stem, way=way)
    if is_lot(document.raw):
        return look_at_lot(view, name, document, way)
    run = document.model
    if not isinstance(run, Run):
        return Brought(name, "", None, tuple(each for each in document.notices if each.severity == "error"))
    there = view.on("run").get(str(run.id))
    if there is not None:
        return _again(root, with_photos_of(document, there), run, there, name)
    file = place_of(view, run, to)
    return accepted(
        Brought(name, file, "new", (), run, text=document.text, called=str(run.id)),
        judged(root, view, file, document.text, name),
    )


def _read(path: Path, name: str) -> Document | Notice:
    """The file as a run, by the id inside; or the one thing that keeps it from being looked at."""
    if path.is_symlink() or not path.is_file():
        return Notice("not-a-run", "error", f"`{name}` is not a plain file.", "Name the file itself.", file=name)
    if path.stat().st_size > LARGEST:
        return Notice(
            "too-large",
            "error",
            f"`{name}` is larger than 1 MB, and a run is a page.",
            "Check whether it is the right file.",
            file=name,
        )
    try:
        data = read_bytes(path)
    except CannotRunError as problem:
        return Notice(
            "not-a-run", "error", str(problem), "See that the file may be read, then bring it again.", file=name
        )
    document = read_document("run", path.stem, name, data)
    own = document.raw.get("id")
    if is_note(document.raw) or is_lot(document.raw) or is_photos(document.raw):
        return document
    if document.raw and not ("id" in document.raw and "started" in document.raw):
        advice = "Bring what the bench page handed over; other documents are copied into the book by hand."
        return Notice("not-a-run", "error", f"`{name}` is not a run: it has no `id` and `started`.", advice, file=name)
    if isinstance(own, str) and name_fault(own) is None and own != path.stem:
        return read_document("run", own, name, data)
    return document


def _again(root: Path, new: Document, run: Run, old: Document, name: str) -> Brought:
    """A run whose id the book has: known already, renewed where it only says more, else to be asked about."""
    # The book may say more than the file, which is older then.
    if new.said == old.said or first_difference(new.said, old.said) is None:
        return Brought(name, old.file, "known", (), run, called=str(run.id))
    differs = first_difference(old.said, new.said) or ""
    if not differs and not set(_comments(old.text)) <= set(_comments(new.text)):
        differs = "There are notes in the book's file that this one does not have."
    told = tuple(notice for notice in foresee(root, {old.file: new.text}) if notice.file == old.file)
    was = read_bytes(root / old.file).decode("utf-8")
    found = Brought(name, old.file, "renewed", told, run, differs, new.text, was, called=str(run.id))
    return found if differs else found.agreed()


def _comments(text: str) -> Iterable[str]:
    return [found.strip() for found in _COMMENT.findall(text)]


def _sum(taken: Sequence[Brought]) -> str:
    new, renewed, known, failed = (
        [done for done in taken if done.deed == deed] for deed in ("new", "renewed", "known", None)
    )
    told = [
        f"{_counted(new)} came in" if new else "",
        f"{_counted(renewed)} got more" if renewed else "",
        f"{_counted(known)} {'was' if len(known) == 1 else 'were'} in the book already" if known else "",
        f"{_counted(failed)} could not come in" if failed else "",
    ]
    said = ", ".join(words for words in told if words) + "."
    changed = len(new) or len(renewed)
    return f"{said} Keep {'it' if changed == 1 else 'them'} with `mothermold save`." if changed else said


def _counted(taken: Sequence[Brought]) -> str:
    """How many of what: ``2 runs and 1 lot``."""
    count = {kind: sum(1 for done in taken if done.kind == kind) for kind in BRINGS}
    said = [f"{number} {BRINGS[kind][number > 1]}" for kind, number in count.items() if number]
    return f"{', '.join(said[:-1])} and {said[-1]}" if len(said) > 1 else said[0]
