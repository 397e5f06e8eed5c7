"""Takes runs noted at the bench into the book: once however often, and nothing that the book would call wrong.

A run is known by its id, not by the name of its file. What is in the book already stays where it lies; a run that was
handed over half way and comes again with more in it is renewed.
"""

from __future__ import annotations

import dataclasses
import os
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from mothermold.book.document import Document, read_document
from mothermold.book.files import build_of
from mothermold.desk.asking import Asking
from mothermold.desk.check_ahead import foresee
from mothermold.desk.only_adds import first_difference
from mothermold.ground.errors import CannotRunError, RefusedError, refused
from mothermold.ground.notices import Notice
from mothermold.ground.reading import read_bytes
from mothermold.ground.rendering import as_text
from mothermold.ground.words import nearest
from mothermold.ground.writing import write_text
from mothermold.model.build import Build
from mothermold.model.names import name_fault
from mothermold.model.run import Run
from mothermold.view.view import View, open_view

INBOX: Final = "inbox"
LARGEST: Final = 1_000_000
"""Bytes; what a document of a book may have at most."""
_ENDINGS: Final = (".yaml", ".yml", ".yaml.txt", ".yml.txt")
_COMMENT: Final = re.compile(r"(?m)(?:^|\s)#.*$")

BringDeed = Literal["new", "renewed", "known"]


@dataclass(frozen=True, slots=True)
class Brought:
    """What becomes of one file.

    Attributes:
        name: The file as it was named.
        file: Where the run lies in the book, or will; empty where it is refused.
        deed: Whether it is new there, renewed, or was known; None where it is refused.
        notices: What is said about it.
        run: What it says; None where it cannot be read as a run.
        differs: Why it has to be agreed to, where the book says otherwise; then it is renewed only after a yes.
        text: What is written; empty where nothing is.
        was: The text it is written over; None where there is none.
    """

    name: str
    file: str
    deed: BringDeed | None
    notices: tuple[Notice, ...]
    run: Run | None = None
    differs: str = ""
    text: str = ""
    was: str | None = None

    def declined(self) -> Brought:
        """The same where nobody agreed to it."""
        address = str(self.run.id) if self.run is not None else ""
        advice = f"Change {self.file} by hand, or lay it aside and bring the file again."
        told = Notice("run-differs", "error", f"`{address}` is in the book. {self.differs}", advice, file=self.name)
        return Brought(self.name, "", None, (told,), self.run)

    def agreed(self) -> Brought:
        """The same where somebody agreed to it: an error keeps it out all the same."""
        errors = tuple(dataclasses.replace(each, file=self.name) for each in self.notices if each.severity == "error")
        return Brought(self.name, "", None, errors, self.run) if errors else dataclasses.replace(self, differs="")


def bring_runs(root: Path, given: Sequence[str], asking: Asking, *, to: str | None = None, asks: bool = True) -> str:
    """Takes runs in, says what became of each, and hands back the sum in a sentence.

    Args:
        root: The book's folder.
        given: Files and folders; without any the book's inbox.
        asking: Who is told, and asked where the book says otherwise than the file.
        to: The build they belong to, where it is said.
        asks: Whether anyone can be asked.

    Raises:
        RefusedError: Some run could not come in; what could is in the book by then.
        CannotRunError: A file or folder cannot be read.
    """
    inbox = root / INBOX
    view = open_view(root, "private")
    known_build(view, to)
    paths = list(_files(given, inbox))
    if not paths:
        return "Nothing to bring: the inbox is empty." if not given else "Nothing to bring: there is no run there."
    taken: list[Brought] = []
    for path in paths:
        done = bring_one(root, view, path, asking, to=to, asks=asks)
        taken.append(done)
        if done.deed in {"new", "renewed"}:
            view = open_view(root, "private")
            asking.say(f"{done.file} {'is new' if done.deed == 'new' else 'has more in it now'}.")
    told = [notice for done in taken for notice in done.notices]
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
    root: Path, view: View, path: Path, asking: Asking, *, to: str | None = None, asks: bool = True
) -> Brought:
    """Takes one file in, and clears it out of the inbox once the book has it.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        path: The file.
        asking: Who is asked where the book says otherwise than the file.
        to: The build it belongs to, where it is said.
        asks: Whether anyone can be asked.

    Raises:
        CannotRunError: A file cannot be read or written.
    """
    found = look_at(root, view, path, to)
    if found.differs:
        book = f"{found.name}: the book already has `{found.run.id if found.run else ''}`."
        agreed = asks and asking.agree(f"{book} {found.differs} Take the file instead?", default=False)
        found = found.agreed() if agreed else found.declined()
    if found.text:
        write_text(root / found.file, found.text, replaces=found.was)
    if found.deed is not None and path.resolve().is_relative_to((root / INBOX).resolve()):
        # The book's own copy is safely written by now.
        path.unlink(missing_ok=True)
    return found


def waiting(root: Path, view: View) -> list[Brought]:
    """What would become of each file in the inbox now; nothing is touched.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
    """
    return [look_at(root, view, path) for path in in_inbox(root)]


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


def look_at(root: Path, view: View, path: Path, to: str | None = None) -> Brought:
    """What would become of a file; nothing is touched.

    Args:
        root: The book's folder.
        view: The owner's book as it is now.
        path: The file.
        to: The build it belongs to, where it is said.
    """
    name = path.as_posix()
    document = _read(path, name)
    if isinstance(document, Notice):
        return Brought(name, "", None, (document,))
    run = document.model
    if not isinstance(run, Run):
        return Brought(name, "", None, tuple(each for each in document.notices if each.severity == "error"))
    there = view.on("run").get(str(run.id))
    if there is not None:
        return _again(root, document, run, there, name)
    file = _place(view, run, to)
    told = _judged(root, view, document, file, name)
    if errors := tuple(each for each in told if each.severity == "error"):
        return Brought(name, "", None, errors, run)
    said = tuple(dataclasses.replace(each, file=file) if each.file == name else each for each in told)
    return Brought(name, file, "new", said, run, text=document.text)


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
    if document.raw and not ("id" in document.raw and "started" in document.raw):
        advice = "Bring what the bench page handed over; other documents are copied into the book by hand."
        return Notice("not-a-run", "error", f"`{name}` is not a run: it has no `id` and `started`.", advice, file=name)
    if isinstance(own, str) and name_fault(own) is None and own != path.stem:
        return read_document("run", own, name, data)
    return document


def _place(view: View, run: Run, to: str | None) -> str:
    """Where a new run belongs: the build that is said, that of its mold, or the only one that makes its thing."""
    build = to or _build_of_mold(view, run) or _build_of_thing(view, run)
    return f"recipes/builds/{build}/runs/{run.id}.yaml" if build else f"recipes/runs/{run.id}.yaml"


def _build_of_mold(view: View, run: Run) -> str | None:
    document = view.on("mold").get(str(run.mold)) if run.mold else None
    return build_of(document.file) if document else None


def _build_of_thing(view: View, run: Run) -> str | None:
    if run.thing is None or run.recipe is None:
        return None
    found = {
        name
        for name, build in view.models(Build).items()
        for thing in build.things
        if thing.id == run.thing and thing.recipe.address == run.recipe.address
    }
    return found.pop() if len(found) == 1 else None


def _judged(root: Path, view: View, document: Document, file: str, name: str) -> list[Notice]:
    """What the book would say of the run, and of other documents because of it."""
    before = {_key(notice) for notice in view.notices}
    fresh = [notice for notice in foresee(root, {file: document.text}) if _key(notice) not in before]
    return [dataclasses.replace(notice, file=name) if notice.file == file else notice for notice in fresh]


def _key(notice: Notice) -> tuple[object, ...]:
    return notice.code, notice.severity, notice.file, notice.line, notice.message


def _again(root: Path, new: Document, run: Run, old: Document, name: str) -> Brought:
    """A run whose id the book has: known already, renewed where it only says more, else to be asked about."""
    # The book may say more than the file, which is older then.
    if new.said == old.said or first_difference(new.said, old.said) is None:
        return Brought(name, old.file, "known", (), run)
    differs = first_difference(old.said, new.said) or ""
    if not differs and not set(_comments(old.text)) <= set(_comments(new.text)):
        differs = "There are notes in the book's file that this one does not have."
    told = tuple(notice for notice in foresee(root, {old.file: new.text}) if notice.file == old.file)
    was = read_bytes(root / old.file).decode("utf-8")
    found = Brought(name, old.file, "renewed", told, run, differs, new.text, was)
    return found if differs else found.agreed()


def _comments(text: str) -> Iterable[str]:
    return [found.strip() for found in _COMMENT.findall(text)]


def _sum(taken: Sequence[Brought]) -> str:
    count = {deed: sum(1 for done in taken if done.deed == deed) for deed in ("new", "renewed", "known", None)}
    told = [
        f"{_runs(count['new'])} came in" if count["new"] else "",
        f"{_runs(count['renewed'])} got more" if count["renewed"] else "",
        f"{_runs(count['known'])} {'was' if count['known'] == 1 else 'were'} in the book already"
        if count["known"]
        else "",
        f"{_runs(count[None])} could not come in" if count[None] else "",
    ]
    said = ", ".join(words for words in told if words) + "."
    changed = count["new"] or count["renewed"]
    return f"{said} Keep {'it' if changed == 1 else 'them'} with `mothermold save`." if changed else said


def _runs(count: int) -> str:
    return "1 run" if count == 1 else f"{count} runs"
