"""Books made at random, eight in the campaign, printed in every way and edition: nothing hidden stands in any file."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest
from pypdf.generic import StreamObject

from book.photos import jpeg, patches
from campaigns.seeds import short
from handouts.reading import reader, squeezed
from mothermold.book.files import PHOTOS
from mothermold.ground.errors import RefusedError
from mothermold.handouts.command import MadeHandout, make_handout
from mothermold.handouts.kinds import KINDS
from mothermold.model.build import Build
from mothermold.model.course import Course
from mothermold.view.view import View
from view.books import PRICE, make_book
from view.reading import open_editions

PHOTO: Final = re.compile(r"zq-[\w-]+picture\d+\.jpg")
HIDDEN: Final = {
    "private": re.compile(rf"zq-?comment[\w-]*|{re.escape(PRICE)}"),
    "class": re.compile(rf"zq-?(?:private|comment)[\w-]*|{re.escape(PRICE)}"),
    "public": re.compile(rf"zq-?(?:private|class|comment)[\w-]*|{re.escape(PRICE)}"),
}


def every_handout(view: View, step: int) -> Iterator[MadeHandout]:
    """Each kind of each subject the edition holds; what cannot be read refuses, and says nothing hidden either."""
    named = {"recipe": view.recipes, "course": tuple(view.models(Course)), "build": tuple(view.models(Build))}
    prefix = {"recipe": "", "course": "courses/", "build": "builds/"}
    every = [
        (f"{prefix[subject]}{of}", kind)
        for kind, row in KINDS.items()
        for subject in row.makers
        for of in named[subject]
    ]
    for of, kind in every[::step]:
        try:
            yield make_handout(view, of, kind, "a4")
        except RefusedError as refusal:
            hidden = HIDDEN[view.edition].search(str(refusal))
            assert hidden is None, hidden


def said_in(handout: MadeHandout) -> str:
    """All a file says: its letters, what is said of it, every stream unpacked, and its name."""
    read = reader(handout.printed.pdf)
    pages = squeezed("".join(page.extract_text() for page in read.pages))
    streams = (each.get_object() for each in (read.get_object(number) for number in range(1, len(read.xref[0]) + 1)))
    unpacked = " ".join(each.get_data().decode("latin-1") for each in streams if isinstance(each, StreamObject))
    told = " ".join(f"{notice.message} {notice.help} {notice.file}" for notice in handout.notices)
    return f"{pages} {read.metadata} {unpacked} {handout.printed.pdf.decode('latin-1')} {handout.name} {told}"


@pytest.mark.parametrize(("seed", "step"), short([(0, 8), *((seed, 4) for seed in range(1, 8))], 1))
def test_no_handout_says_what_its_edition_hides(
    seed: int, step: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every so many-th handout of a book: a thousand of them would take an hour."""
    monkeypatch.chdir(tmp_path)
    book = make_book(seed)
    folder = tmp_path / "a-book" / PHOTOS
    folder.mkdir(parents=True)
    texts = [*book.files.values(), *(text for commit in book.commits for text in commit.files.values() if text)]
    small = jpeg(patches(60, 40))
    for name in {name for text in texts for name in PHOTO.findall(text)}:
        (folder / name).write_bytes(small)
    seen: Counter[str] = Counter()
    for edition, view in open_editions(book).items():
        leaks: dict[str, str] = {}
        for handout in every_handout(view, step):
            said = said_in(handout)
            if (leak := HIDDEN[edition].search(said)) is not None:
                leaks[f"{edition} {handout.kind} {handout.of}"] = leak[0]
            seen[edition] += 1
            seen["private words"] += "zqprivate" in said or "zq-private" in said
        assert leaks == {}
    assert seen["private"]
    assert seen["private words"], "nothing was looked at"
