"""Everything that is built of a thousand books made at random: nothing an edition hides stands in it, however it is packed.

Each book has visible and invisible documents that name each other, and a photo in every place. Of each one edition is looked at,
by turns, and of it every page, what scripts read, the photos, the list a device keeps, the zip, and some of the files and
handouts, so that a thousand take minutes. What the plan of a build says is in the owner's edition alone, by its addresses.
"""

from __future__ import annotations

import gzip
import io
import os
import re
import zipfile
import zlib
from base64 import b64encode, urlsafe_b64encode
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial
from html import escape
from pathlib import Path
from typing import Final

import pytest

from book.photos import jpeg, patches
from campaigns.seeds import parts
from handouts.reading import pdf_of
from mothermold.answers.export import export_book
from mothermold.book.files import PHOTOS
from mothermold.ground.errors import RefusedError
from mothermold.handouts.command import make_handout
from mothermold.handouts.kinds import KINDS
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.publish.carried.course_file import course_file
from mothermold.publish.carried.one_file import one_file
from mothermold.publish.carried.write_up_file import write_up_file
from mothermold.publish.carried.zipped import zip_name, zipped
from mothermold.publish.frames import Frame
from mothermold.publish.made_files import made_files
from mothermold.publish.offline import keeping_worker, kept_file
from mothermold.view.editions import Edition
from mothermold.view.view import View
from publish.opened_up import opened_up
from view.books import PRICE, make_book
from view.reading import open_editions

BOOKS: Final = parts(6, 1000)
PHOTO: Final = re.compile(r"zq-[\w-]+picture\d+\.jpg")
CAMERA: Final = b"zqcomment-of-the-camera"
"""What a camera left in each photo: no edition shows it."""
HIDDEN: Final = {
    "private": re.compile(rb"(?i)zq[- ]?comment[\w-]*"),
    "class": re.compile(rb"(?i)zq[- ]?(?:private|comment)[\w-]*|" + re.escape(PRICE.encode())),
    "public": re.compile(rb"(?i)zq[- ]?(?:private|class|comment)[\w-]*|" + re.escape(PRICE.encode())),
}
HANDOUTS: Final = [(word, subject) for word, row in KINDS.items() for subject in row.makers]
_LEFT: Final = (
    "plans/",
    "guide/a",
    "guide/e",
    "guide/f",
    "guide/m",
    "guide/o",
    "guide/t",
    "rules.html",
    "notices.html",
    "about",
)
"""What is planned is reckoned for minutes, for the owner alone; these chapters and tables say nothing of a book."""
_BARE: Final = Frame("<title>", "</title><main>", "</main>")
"""What stands around each page says nothing of a book but its lists, and is looked at where sites are built."""


def leaks(edition: Edition, name: str, data: bytes) -> Iterator[str]:
    """What a file says that its edition hides, and where."""
    for said in (name.encode(), *opened_up(data)):
        if (match := HIDDEN[edition].search(said)) is not None:
            yield f"{name}: {match[0].decode()}"
            return


def everything(view: View, seed: int) -> Iterator[tuple[str, bytes]]:
    """What is built of an edition, by name."""
    files: dict[str, bytes] = {}
    for name, make in made_files(view, [_BARE] * 9).items():
        if not name.startswith(_LEFT) and (data := make()) is not None:
            files[name] = data
    yield from files.items()
    yield "worker.js", keeping_worker([kept_file(name, data) for name, data in files.items()], view.edition).encode()
    if seed // 2 % 5 == 0:
        yield zip_name(view), zipped(view, files)
        yield "export.json", repr(export_book(view).data).encode()
    carried: list[tuple[str, Callable[[], str]]] = [("recipes.html", partial(one_file, view))]
    carried += [(f"{name}.html", partial(course_file, view, name)) for name in view.models(Course)]
    carried += [(f"{name}.html", partial(write_up_file, view, name)) for name in view.models(Build)]
    for name, make_text in carried[seed % 3 :: 3]:
        yield f"{view.edition}-{name}", make_text().encode()
    yield from handouts(view, seed)


def handouts(view: View, seed: int) -> Iterator[tuple[str, bytes]]:
    """One kind of handout of a book, another for the next; what cannot be read refuses, and says nothing hidden either."""
    # Editions go by turns of two; each kind is printed in both.
    word, subject = HANDOUTS[seed // 2 % len(HANDOUTS)]
    names = {"recipe": view.recipes, "course": tuple(view.models(Course)), "build": tuple(view.models(Build))}[subject]
    if not names:
        return
    of = f"{subject}s/{names[seed % len(names)]}" if subject != "recipe" else names[seed % len(names)]
    try:
        made = make_handout(view, of, word, "letter" if seed % 2 else "a4")
    except RefusedError as refusal:
        yield f"refused {word}", str(refusal).encode()
        return
    yield made.name, made.printed.pdf
    # To the owner a notice shows the line it speaks of, as it stands in the file.
    if view.edition != "private":
        yield f"notices of {word}", repr(made.notices).encode()


def look_at(folder: Path, books: range) -> tuple[list[str], Counter[str]]:
    """What leaks from some books, and what was looked at."""
    found: list[str] = []
    seen: Counter[str] = Counter()
    small = jpeg(patches(24, 16), comment=CAMERA)
    assert CAMERA in small
    for seed in books:
        os.chdir(folder)
        book = make_book(seed, fullness=0.3)
        photos = folder / "a-book" / PHOTOS
        photos.mkdir(parents=True, exist_ok=True)
        for name in {name for text in book.files.values() for name in PHOTO.findall(text)}:
            (photos / name).write_bytes(small)
        edition: Edition = "private" if seed % 40 == 39 else "class" if seed % 2 else "public"
        views = open_editions(book)
        for name, data in everything(views[edition], seed):
            seen[name.rpartition(".")[2]] += 1
            seen["bytes"] += len(data)
            found += [f"book {seed}, {edition}, {leak}" for leak in leaks(edition, name, data)]
        seen["books"] += 1
        for path in photos.iterdir():
            path.unlink()
    return found, seen


@pytest.mark.parametrize("books", BOOKS)
def test_nothing_that_is_built_says_what_its_edition_hides(
    books: range, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Within this process: what lays sheets out has threads of its own, and a fork of them waits for ever.
    monkeypatch.chdir(tmp_path)
    found, seen = look_at(tmp_path, books)
    assert found == []
    assert seen["books"] == len(books)
    assert seen["html"] > 15 * len(books)
    if len(books) > len(HANDOUTS):
        assert min(seen[kind] for kind in ("pdf", "jpg", "zip", "json", "js")) > 0


@pytest.mark.parametrize(
    ("how", "packed"),
    [
        ("plain", lambda leak: b"x" + leak),
        ("escaped", lambda leak: escape(leak.decode()).replace("-", "&#45;").encode()),
        ("percent", lambda leak: leak.replace(b"-", b"%2D")),
        ("in a script", lambda leak: b"".join(b"\\u%04x" % letter for letter in leak)),
        ("base64", lambda leak: b"src=data:," + b64encode(b"<svg>" + leak + b"</svg>")),
        ("base64 of addresses", lambda leak: urlsafe_b64encode(b"\xff\xfe\xfd<svg>" + leak + b"</svg>")),
        ("gzip", gzip.compress),
        ("deflate", zlib.compress),
        ("gzip in base64 in a page", lambda leak: b"<a href='" + b64encode(gzip.compress(b"." * 99 + leak)) + b"'>"),
        ("a photo", lambda leak: jpeg(patches(24, 16), comment=leak)),
        ("a photo in a page", lambda leak: b"data:image/jpeg;base64," + b64encode(jpeg(patches(24, 16), comment=leak))),
    ],
)
def test_a_leak_that_is_planted_is_found(how: str, packed: Callable[[bytes], bytes]) -> None:
    data = packed(b"zq-private-7-jelly")
    for edition in ("class", "public"):
        assert list(leaks(edition, "a-file", data)), how
        assert list(leaks(edition, "a-file", _zip({"inside": data}))), f"{how}, in a zip"
    assert list(leaks("private", "a-file", data)) == []


def test_a_leak_in_a_name_or_on_a_sheet_of_paper_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert list(leaks("class", "zq-private-7-jelly.pdf", b""))
    assert list(leaks("class", "a.zip", _zip({"zq-private-7-jelly.html": b""})))
    monkeypatch.chdir(tmp_path)
    view = open_editions(make_book(2))["private"]
    found: Counter[str] = Counter()
    for name in view.recipes[:6]:
        # What the owner prints says what a class may not read: in its words, and in what is said of the file.
        with suppress(RefusedError):
            found.update(leaks("class", "a.pdf", pdf_of(view, name)))
    assert found


def _zip(files: dict[str, bytes]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return made.getvalue()
