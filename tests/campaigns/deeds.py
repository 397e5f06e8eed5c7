"""Every way the desk writes a book, each on a small book of its own, for the campaign of faults."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Final

from PIL import Image

from desk.answering import noon
from desk.forms.as_sent import as_sent
from desk.someone import Curt
from history.repositories import FIRST, RECIPE, SECOND, THIRD, Repository, empty_book, recipe, start_repository
from mothermold.desk.bringing import bring_runs
from mothermold.desk.broken_off import finish_broken_off
from mothermold.desk.forms.keeping import keep
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.sending import sent
from mothermold.desk.founding import found_book
from mothermold.desk.heard import Heard
from mothermold.desk.mending import mend_book
from mothermold.desk.numbering import Wish
from mothermold.desk.opening import open_for
from mothermold.desk.photo_places import find_place
from mothermold.desk.photos import new_photo, take_in
from mothermold.desk.putting_back import put_back
from mothermold.desk.saving import save_book
from mothermold.desk.starting import start
from mothermold.desk.undoing import undo_save
from mothermold.ground.errors import CannotRunError
from mothermold.view.view import open_view

NOTE: Final = "recipes/failures/cracked.yaml"
RUN: Final = "id: r-2026-05-20-cheek\nrecipe: cast/cheek@1\nstarted: 2026-05-20 14:32\noutcome: good\n"


@dataclass(frozen=True, slots=True)
class Deed:
    """A way to write.

    Attributes:
        prepare: Makes the book as it is before; given a small saved book.
        do: Does it.
        saves: Whether it makes a save.
    """

    prepare: Callable[[Repository], None]
    do: Callable[[Path], object]
    saves: bool = False


def book(folder: Path) -> Repository:
    """A small book with two saves, so that there is something to go back to."""
    repository = start_repository(folder)
    note = "title: Cracked\nseen_at: cast\nsymptoms: [snap]\n"
    repository.save(FIRST, empty_book() | {RECIPE: recipe(1), NOTE: note, ".gitignore": "private/\nsite/\n/inbox/\n"})
    repository.save(SECOND, {"recipes/notes.txt": "one\n", "recipes/gone.txt": "gone\n"})
    return repository


def _changed(repository: Repository) -> None:
    more = {RECIPE: recipe(1, deadener="80 %"), "recipes/new/paper.txt": "new\n", "recipes/gone.txt": None}
    repository.write(more)


def _saved(repository: Repository) -> None:
    _changed(repository)
    repository.write({RECIPE: recipe(2, why="Softer.", deadener="80 %")})
    repository.save(THIRD, {"recipes/notes.txt": "two\n"})


def _in_the_inbox(repository: Repository) -> None:
    repository.write({"inbox/a.yaml": RUN, "inbox/b.yaml": RUN.replace("05-20", "05-21")})


def _in_trouble(repository: Repository) -> None:
    _changed(repository)
    (repository.folder / ".git" / "index").write_bytes(b"DIRC damaged")
    copy = repository.folder / "recipes/failures/cracked (conflicted copy).yaml"
    copy.write_text("title: Cracked twice\n")


def _nothing(_repository: Repository) -> None:
    return None


def _no_book(repository: Repository) -> None:
    shutil.rmtree(repository.folder)
    repository.folder.mkdir()


def _photo(root: Path) -> object:
    picture = BytesIO()
    Image.new("RGB", (24, 16), "teal").save(picture, "JPEG")
    view = open_view(root, "private")
    return take_in(
        root, view, find_place(view, "cracked"), [(new_photo("a.jpg", picture.getvalue()), {"alt": "A crack"})]
    )


def _form(root: Path) -> object:
    view = open_view(root, "private")
    form = form_of(view, "failure", "cracked")
    return keep(view, form, sent(view, form, as_sent(form, {("title",): "Cracked at the rim"})))


def _mended(root: Path) -> None:
    left = [
        each
        for each in mend_book(root, Heard(), agrees=lambda _trouble: True, clock=lambda: noon(None))
        if not each.done
    ]
    if left:
        raise CannotRunError(left[0].why_not)


def _new(root: Path) -> object:
    return start(root, Curt(), "failure", now=datetime(2026, 6, 1, 14, 30, tzinfo=UTC))


DEEDS: Final[Mapping[str, Deed]] = {
    "new": Deed(_nothing, _new),
    "save": Deed(_changed, lambda root: save_book(root, Wish("Softer."), Heard(), asks=False, clock=noon), saves=True),
    "undo": Deed(_saved, lambda root: undo_save(root, Heard(), asks=False, clock=noon), saves=True),
    "put back": Deed(_changed, lambda root: put_back(root, Heard(), asks=False, clock=noon)),
    "bring": Deed(_in_the_inbox, lambda root: bring_runs(root, (), Heard(), asks=False)),
    "photo": Deed(_nothing, _photo),
    "form": Deed(_nothing, _form),
    "open": Deed(_nothing, lambda root: open_for(root, "cast/cheek", "class", Heard(), yes=True, asks=False)),
    "init": Deed(_no_book, found_book),
    "mend": Deed(_in_trouble, _mended),
}


def begun(name: str, root: Path) -> None:
    """A deed as it is asked for: what an earlier one left is put in order first, which may be all that is to be done."""
    heard = Heard()
    if finish_broken_off(root, heard) != name.replace(" ", "-"):
        DEEDS[name].do(root)


def copied(whole: Path, to: Path) -> Path:
    """A copy to break."""
    return Path(shutil.copytree(whole, to, symlinks=True))
