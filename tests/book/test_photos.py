"""Photos of a book: which files may be named, and what is said of those that cannot be shown or tell too much."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from book.photos import jpeg, patches, saved, telling_files
from mothermold.book.files import PHOTOS
from mothermold.book.photos import Photo, read_photo
from mothermold.ground.notices import Notice
from mothermold.view.view import open_view

RUN: Final = "recipes/runs/r-a.yaml"


def book(folder: Path, files: dict[str, bytes], said: str) -> Path:
    """A book with one run, which says something of photos, and these files among them."""
    texts = {"recipes/book.yaml": "title: A book\n", RUN: f"id: r-a\nkind: test\nstarted: 2026-02-03 09:00\n{said}"}
    for name, data in {**{key: text.encode() for key, text in texts.items()}, **files}.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    return folder


def told(root: Path) -> list[Notice]:
    return [each for each in open_view(root, "private").notices if each.code != "no-repository"]


def test_a_photo_that_is_described_and_says_nothing_else_is_silent(tmp_path: Path) -> None:
    root = book(tmp_path, {f"{PHOTOS}/r-a-1.jpg": jpeg(patches())}, "photos:\n  - {file: r-a-1.jpg, alt: A piece}\n")
    assert told(root) == []
    photo = read_photo(root, "r-a-1.jpg")
    assert isinstance(photo, Photo)
    assert photo.data == jpeg(patches())


@pytest.mark.parametrize(
    ("name", "data", "why"),
    [
        ("gone.jpg", None, "is not in recipes/photos"),
        ("empty.jpg", b"", "is empty"),
        ("text.jpg", b"Stipple, never wipe.\n", "is not a whole JPEG"),
        ("cut.jpg", jpeg(patches())[:900], "is not a whole JPEG"),
        ("screen.jpg", saved(patches(), "PNG"), "is not a whole JPEG"),
        ("screen.png", saved(patches(), "PNG"), "is not a photo by its name"),
        ("IMG_2041.JPG", jpeg(patches()), "is not a photo by its name"),
        ("../book.jpg", None, "is not a photo by its name"),
        ("/etc/passwd", None, "is not a photo by its name"),
        ("a/b.jpg", None, "is not a photo by its name"),
        ("..jpg", None, "is not a photo by its name"),
        (".hidden.jpg", jpeg(patches()), "is not a photo by its name"),
        ("a" * 200 + ".jpg", None, "is not a photo by its name"),
    ],
)
def test_a_photo_that_cannot_be_shown_is_said_with_what_to_do(
    name: str, data: bytes | None, why: str, tmp_path: Path
) -> None:
    root = book(
        tmp_path, {f"{PHOTOS}/{name}": data} if data is not None else {}, f"photos:\n  - file: {name}\n    alt: A\n"
    )
    (notice,) = [each for each in told(root) if each.code != "photo-unnamed"]
    assert (notice.code, notice.severity, notice.file, notice.line) == ("picture-unusable", "warning", RUN, 5)
    assert why in notice.message
    assert "mothermold photo" in notice.help


def test_a_file_that_only_points_elsewhere_is_not_read(tmp_path: Path) -> None:
    secret = tmp_path / "secret.jpg"
    secret.write_bytes(jpeg(patches()))
    root = book(tmp_path / "book", {}, "photos:\n  - file: a.jpg\n")
    (root / PHOTOS).mkdir()
    (root / PHOTOS / "a.jpg").symlink_to(secret)
    assert read_photo(root, "a.jpg") == "is not in recipes/photos"
    (root / PHOTOS / "a.jpg").unlink()
    (root / PHOTOS).rmdir()
    (root / PHOTOS).symlink_to(tmp_path)
    assert read_photo(root, "secret.jpg") == "is not in recipes/photos"


def test_what_a_photo_tells_beside_its_picture_is_named_and_how_to_be_rid_of_it(tmp_path: Path) -> None:
    root = book(tmp_path, {f"{PHOTOS}/a.jpg": telling_files()["phone.jpg"]}, "photos:\n  - file: a.jpg\n    alt: A\n")
    (notice,) = told(root)
    assert (notice.code, notice.severity) == ("photo-tells", "advice")
    assert "when, where and with what it was taken" in notice.message
    assert "`mothermold photo recipes/photos/a.jpg --to`" in notice.help


def test_a_photo_without_words_is_advised_to_have_some_and_a_drawing_is_not(tmp_path: Path) -> None:
    drawing = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"><path d="M0 0h4"/></svg>'
    root = book(
        tmp_path,
        {f"{PHOTOS}/a.jpg": jpeg(patches()), "recipes/pictures/b.svg": drawing},
        "photos:\n  - file: a.jpg\n    caption: Third casting\n  - file: b.svg\n",
    )
    (notice,) = told(root)
    assert (notice.code, notice.severity, notice.line) == ("photo-without-words", "advice", 5)


def test_photos_no_document_names_are_listed_once(tmp_path: Path) -> None:
    files = {f"{PHOTOS}/{name}.jpg": jpeg(patches()) for name in ("a", "b", "c")}
    root = book(tmp_path, {**files, f"{PHOTOS}/.DS_Store": b"x"}, "photos:\n  - {file: a.jpg, alt: A}\n")
    (notice,) = told(root)
    assert (notice.code, notice.severity, notice.file) == ("photo-unnamed", "advice", f"{PHOTOS}/b.jpg")
    assert notice.message.endswith("`recipes/photos/b.jpg` and `recipes/photos/c.jpg`.")


def test_another_file_of_the_same_name_is_judged_again(tmp_path: Path) -> None:
    root = book(tmp_path, {f"{PHOTOS}/a.jpg": jpeg(patches())}, "photos:\n  - {file: a.jpg, alt: A}\n")
    before = open_view(root, "private")
    assert [each.code for each in before.notices if each.code != "no-repository"] == []
    (root / PHOTOS / "a.jpg").write_bytes(b"not a picture")
    assert [each.code for each in told(root)] == ["picture-unusable"]
