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
from mothermold.serve.desk_rooms.room import DeskRoom, Visit
from mothermold.serve.desk_rooms.table import ROOMS
from mothermold.serve.inbox import Inbox
from mothermold.serve.parts import SentFile
from mothermold.serve.send_rooms.table import send_rooms
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


def _answered(repository: Repository) -> None:
    """A version that says which failure it fixes, so that a save writes into the failure note first."""
    repository.write({RECIPE: recipe(2, why="Softer.", deadener="80 %", fixes=["cracked"])})


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


def _picture(color: str) -> bytes:
    picture = BytesIO()
    Image.new("RGB", (24, 16), color).save(picture, "JPEG")
    return picture.getvalue()


def _photo(root: Path) -> object:
    view = open_view(root, "private")
    return take_in(
        root, view, find_place(view, "cracked"), [(new_photo("a.jpg", _picture("teal")), {"alt": "A crack"})]
    )


def _pressed(room: DeskRoom, root: Path, typed: Mapping[str, str], *photos: str) -> None:
    """The button of a form with photos, each in a place of its own."""
    files = tuple(SentFile(f"_photo.{place}", "a.jpg", _picture(color)) for place, color in enumerate(photos, start=1))
    pairs = (*typed.items(), ("_do", "write"))
    # A page that comes back instead of an address took nothing.
    led = room.take(Visit(open_view(root, "private"), "", pairs, lambda: "", files=files))
    assert isinstance(led, str), led.body


def _sent(root: Path, *parts: str) -> None:
    """What a phone sends: a note with two photos, and two more of a recipe, each of a part of it."""
    phone = send_rooms(Inbox(root), lambda _said: None)
    note = {"title": "Rim torn", "symptoms": "torn at the rim", "seen_at": "cast", "_photo.1.alt": "The rim"}
    _pressed(phone["note"], root, note, "teal", "navy")
    said = {f"_photo.{place}.part": part for place, part in enumerate(parts, start=1)}
    _pressed(phone["photo"], root, {"to": "recipe/cast/cheek", "_photo.1.alt": "As cast", **said}, "olive", "maroon")


def _sent_before(repository: Repository) -> None:
    _sent(repository.folder, "fill", "fill")


def _chosen(root: Path) -> None:
    _pressed(ROOMS["photo"], root, {"to": "failure/cracked", "_photo.1.alt": "A crack"}, "teal", "navy")


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
    "save an answer": Deed(
        _answered, lambda root: save_book(root, Wish("Softer."), Heard(), asks=False, clock=noon), saves=True
    ),
    "undo": Deed(_saved, lambda root: undo_save(root, Heard(), asks=False, clock=noon), saves=True),
    "put back": Deed(_changed, lambda root: put_back(root, Heard(), asks=False, clock=noon)),
    "bring": Deed(_in_the_inbox, lambda root: bring_runs(root, (), Heard(), asks=False)),
    "send": Deed(_nothing, lambda root: _sent(root, "fill", "")),
    "bring photos": Deed(_sent_before, lambda root: bring_runs(root, (), Heard(), asks=False)),
    "photo": Deed(_nothing, _photo),
    "form": Deed(_nothing, _form),
    "form with photos": Deed(_nothing, _chosen),
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
