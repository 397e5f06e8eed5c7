"""Photos come into the book: rebuilt, named in a document in place, all of them or none, and the same one once."""

from __future__ import annotations

import subprocess
from pathlib import Path
from typing import Any, Final

import pytest

from book.photos import CANARY, MARKERS, exif, jpeg, opened, patches, telling_files
from desk.answering import STOP, Scripted, files
from history.repositories import FIRST, SECOND, Repository, empty_book, recipe, start_repository
from mothermold.book.beside_pixels import told_beside
from mothermold.book.files import PHOTOS
from mothermold.cli.main import main
from mothermold.desk.asking import StoppedError
from mothermold.desk.photo_places import find_place
from mothermold.desk.photo_questions import asked_of, known_of
from mothermold.desk.photos import new_photo, take_in
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.model.build import Build
from mothermold.model.failure import Failure
from mothermold.model.mold import Mold
from mothermold.model.pictures import pictures_of
from mothermold.model.recipe import Recipe
from mothermold.model.run import Run
from mothermold.view.view import open_view

RUN: Final = "recipes/builds/keeper/runs/r-face-1.yaml"
BUILD: Final = "recipes/builds/keeper/build.yaml"
FILES: Final = {
    "recipes/cast/cheek.yaml": recipe(1),
    RUN: "# the first\nid: r-face-1   # ours\nrecipe: cast/cheek@1\nthing: face\nstarted: 2026-04-18 09:10\noutcome: good\nkept:\n  - {piece: F-07, box: B3}\nlots: []\n",
    BUILD: "title: The keeper\nthings:\n  - {id: face, recipe: cast/cheek@1}   # made first\n  - {id: bands, recipe: cast/cheek@1}\n",
    "recipes/builds/keeper/molds/face-mold.yaml": "title: Face mold 1\nmade: 2026-03-01\n",
    "recipes/failures/cracked.yaml": "title: Cracked\nseen_at: cast\nsymptoms: [snap]\n",
    ".gitignore": "private/\nsite/\n",
}


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """A book with something of each kind a photo may show."""
    repository = start_repository(tmp_path / "book")
    repository.save(FIRST, empty_book() | FILES)
    return repository


def typed(repository: Repository, *words: str, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """The command with these words: how it ended, and what it said."""
    code = main(["photo", *words, "-C", str(repository.folder)])
    told = capsys.readouterr()
    return code, told.out + told.err


def laid(folder: Path, name: str = "IMG_2041.JPG", data: bytes | None = None) -> str:
    """A file as it comes from a camera, outside the book."""
    folder.mkdir(exist_ok=True)
    (folder / name).write_bytes(telling_files()["phone.jpg"] if data is None else data)
    return str(folder / name)


PLACES: Final = {
    "r-face-1": (Run, "photos", "r-face-1-1.jpg"),
    "runs/r-face-1": (Run, "photos", "r-face-1-1.jpg"),
    RUN: (Run, "photos", "r-face-1-1.jpg"),
    "keeper/F-07": (Run, "photos", "r-face-1-1.jpg"),
    "cracked": (Failure, "photos", "cracked-1.jpg"),
    "face-mold": (Mold, "photos", "face-mold-1.jpg"),
    "keeper": (Build, "photos", "keeper-1.jpg"),
    "builds/keeper": (Build, "photos", "keeper-1.jpg"),
    "keeper/bands": (Build, "things.1.photos", "keeper-bands-1.jpg"),
    "builds/keeper/face": (Build, "things.0.photos", "keeper-face-1.jpg"),
    "cast/cheek": (Recipe, "pictures", "cast-cheek-1.jpg"),
    "cast/cheek#fill": (Recipe, "steps.{fill}.pictures", "cast-cheek-fill-1.jpg"),
}


@pytest.mark.parametrize("to", PLACES)
def test_a_photo_stands_with_what_it_shows(
    to: str, repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    code, told = typed(repository, laid(tmp_path / "camera"), "--to", to, "--yes", capsys=capsys)
    assert code == 0, told
    model, path, name = PLACES[to]
    (said,) = [each for each in open_view(repository.folder, "private").models(model).values() if pictures_of(each)]
    value: Any = said
    for step in path.split("."):
        place = next((n for n, each in enumerate(value) if each.id == step.strip("{}")), 0) if "{" in step else step
        value = value[int(place)] if str(place).isdecimal() else getattr(value, str(place))
    (photo,) = value
    assert (photo.file, str(photo.taken), photo.face) == (name, "2026-04-18 15:40:00", None)
    assert photo.alt
    data = (repository.folder / PHOTOS / name).read_bytes()
    assert told_beside(data) == ()
    assert opened(data).size == (160, 240)
    assert "Only you see it; type `face: no` there" in told


def test_no_other_line_is_touched(repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = files(repository.folder)
    picture = laid(tmp_path / "camera", data=jpeg(patches()))
    assert (
        typed(
            repository,
            picture,
            "--to",
            "r-face-1",
            "--view",
            "front",
            "--face",
            "no",
            "--light",
            "window",
            "--yes",
            capsys=capsys,
        )[0]
        == 0
    )
    after = files(repository.folder)
    old, new = before[RUN].decode(), after.pop(RUN).decode()
    assert (
        new.replace(
            "photos:\n  - file: r-face-1-1.jpg\n    alt: Face F-07, front, as cast 2026-04-18\n    view: front\n    light: window\n    face: no\n",
            "",
        )
        == old
    )
    assert set(after) - set(before) == {f"{PHOTOS}/r-face-1-1.jpg"}
    assert {name: after[name] for name in before if name != RUN} == {
        name: before[name] for name in before if name != RUN
    }


def test_a_thing_is_written_on_lines_and_a_remark_behind_one_stays(
    repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    picture = laid(tmp_path / "camera", data=jpeg(patches()))
    for to in ("keeper/bands", "keeper/face"):
        assert (
            typed(repository, picture, "--to", to, "--caption", "A pair: left, right", "--yes", capsys=capsys)[0] == 0
        )
    text = (repository.folder / BUILD).read_text(encoding="utf-8")
    assert "  - id: bands\n    recipe: cast/cheek@1\n    photos:\n      - file: keeper-bands-1.jpg\n" in text
    assert "# made first" in text
    assert len(open_view(repository.folder, "private").models(Build)["keeper"].things) == 2


def test_several_come_in_order_and_the_same_picture_once(
    repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    camera = tmp_path / "camera"
    one, other = laid(camera, "a.jpg", jpeg(patches())), laid(camera, "b.jpg", jpeg(patches(300, 100)))
    again = laid(camera, "c.jpg", jpeg(patches(), exif=exif(1), comment=b"the same pixels"))
    code, told = typed(repository, other, one, again, "--to", "r-face-1", "--yes", capsys=capsys)
    assert code == 0
    assert f"{RUN} names this picture already, as recipes/photos/r-face-1-2.jpg" in told
    assert [str(each.file) for each in open_view(repository.folder, "private").models(Run)["r-face-1"].photos] == [
        "r-face-1-1.jpg",
        "r-face-1-2.jpg",
    ]
    code, told = typed(repository, one, "--to", "cracked", "--yes", capsys=capsys)
    assert (
        "lay in the book before, as recipes/photos/r-face-1-2.jpg; recipes/failures/cracked.yaml names it now too"
        in told
    )
    assert sorted(path.name for path in (repository.folder / PHOTOS).iterdir()) == ["r-face-1-1.jpg", "r-face-1-2.jpg"]
    before = files(repository.folder)
    code, told = typed(repository, one, "--to", "cracked", "--yes", capsys=capsys)
    assert (code, "Nothing new is named there." in told) == (0, True)
    assert files(repository.folder) == before


def test_a_number_an_older_version_may_still_show_is_not_given_again(
    repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    named = recipe(1) + "    pictures: [{file: cast-cheek-fill-4.jpg}]\n"
    repository.save(SECOND, {"recipes/cast/cheek.yaml": named})
    repository.write({"recipes/cast/cheek.yaml": recipe(2, why="Softer.")})
    typed(repository, laid(tmp_path / "camera"), "--to", "cast/cheek#fill", "--yes", capsys=capsys)
    assert [path.name for path in (repository.folder / PHOTOS).iterdir()] == ["cast-cheek-fill-5.jpg"]


@pytest.mark.parametrize(
    ("words", "code", "message"),
    [
        (("--to", "nothing"), "photo-nowhere", "Nothing in the book that could show a photo is called `nothing`."),
        (("--to", "r-face-2"), "photo-nowhere", "r-face-2"),
        (("--to", "cast/cheek#fil"), "photo-nowhere", "has no step `fil`"),
        (("--to", "cast/nose"), "photo-nowhere", "`cast/nose`"),
        (("--to", "keeper/F-08"), "photo-nowhere", "no thing and no piece called `F-08`"),
        (("--to", "cracked", "--as", "better"), "unknown-word", "`better`"),
        (("--to", "cracked", "--view", "above"), "unknown-word", "`above`"),
        (("--to", "cracked", "--face", "maybe"), "unknown-word", "`maybe`"),
        (("--to", "cracked", "--visibility", "friends"), "unknown-word", "`friends`"),
    ],
)
def test_what_cannot_be_meant_is_refused_and_nothing_is_written(
    words: tuple[str, ...],
    code: str,
    message: str,
    repository: Repository,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    before = files(repository.folder)
    ended, told = typed(repository, laid(tmp_path / "camera"), *words, "--yes", capsys=capsys)
    assert ended == 1
    assert f"({code})" in told
    assert message in told
    assert files(repository.folder) == before


def test_one_bad_file_among_several_keeps_all_out(
    repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = files(repository.folder)
    camera = tmp_path / "camera"
    for name, data, words in (
        ("b.jpg", b"", "is empty"),
        ("b.jpg", b"text", "is not a photo"),
        ("none.jpg", None, "There is no file"),
    ):
        bad = str(camera / name) if data is None else laid(camera, name, data)
        ended, told = typed(repository, laid(camera, "a.jpg"), bad, "--to", "cracked", "--yes", capsys=capsys)
        assert (ended, words in told) == (1, True), told
        assert files(repository.folder) == before


def test_where_the_document_cannot_be_written_no_photo_stays(
    repository: Repository, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = files(repository.folder)
    view = open_view(repository.folder, "private")
    place, photo = find_place(view, "cracked"), new_photo("a.jpg", jpeg(patches()))
    (repository.folder / "recipes/failures/cracked.yaml").write_text(
        "title: Meanwhile\nseen_at: cast\nsymptoms: [x]\n", encoding="utf-8"
    )
    with pytest.raises(RefusedError, match="changed by someone else"):
        take_in(repository.folder, view, place, [(photo, known_of(place, photo, {}))])
    repository.write({"recipes/failures/cracked.yaml": FILES["recipes/failures/cracked.yaml"]})
    assert files(repository.folder) == before

    def full(*_which: Any) -> None:
        raise CannotRunError("The disk is full.")

    monkeypatch.setattr("mothermold.desk.photos.write_changes", full)
    with pytest.raises(CannotRunError):
        take_in(repository.folder, view, place, [(photo, {})], keep_original=True)
    assert files(repository.folder) == before


def test_a_file_laid_there_by_hand_is_made_anew_in_its_place_and_its_original_kept_apart(
    repository: Repository, capsys: pytest.CaptureFixture[str]
) -> None:
    data = telling_files()["phone.jpg"]
    root = repository.folder
    (root / PHOTOS).mkdir()
    (root / PHOTOS / "mine.jpg").write_bytes(data)
    repository.write(
        {
            "recipes/failures/cracked.yaml": FILES["recipes/failures/cracked.yaml"]
            + "photos:\n  - {file: mine.jpg, alt: A}\n"
        }
    )
    assert [each.code for each in open_view(root, "private").notices] == ["photo-tells"]
    code, told = typed(repository, str(root / PHOTOS / "mine.jpg"), "--to", "cracked", "--yes", capsys=capsys)
    assert code == 0
    assert "mine.jpg was made anew" in told
    assert open_view(root, "private").notices == ()
    assert (root / "private/photos/mine.jpg").read_bytes() == data
    assert told_beside((root / PHOTOS / "mine.jpg").read_bytes()) == ()
    before = files(root)
    assert typed(repository, str(root / PHOTOS / "mine.jpg"), "--to", "cracked", "--yes", capsys=capsys)[0] == 0
    assert files(root) == before

    (root / PHOTOS / "IMG_1.JPG").write_bytes(telling_files()["stage.jpg"])
    assert typed(repository, str(root / PHOTOS / "IMG_1.JPG"), "--to", "cracked", "--yes", capsys=capsys)[0] == 0
    assert sorted(path.name for path in (root / PHOTOS).iterdir()) == ["cracked-1.jpg", "mine.jpg"]
    assert (root / "private/photos/IMG_1.JPG").is_file()
    (root / PHOTOS / "IMG_2.JPG").write_bytes(telling_files()["stage.jpg"])
    assert typed(repository, str(root / PHOTOS / "IMG_2.JPG"), "--to", "cracked", "--yes", capsys=capsys)[0] == 0
    assert sorted(path.name for path in (root / PHOTOS).iterdir()) == ["cracked-1.jpg", "mine.jpg"]


def test_an_original_is_kept_only_where_no_save_takes_it_in(
    repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    picture = laid(tmp_path / "camera")
    assert typed(repository, picture, "--to", "cracked", "--keep-original", "--yes", capsys=capsys)[0] == 0
    assert (repository.folder / "private/photos/IMG_2041.JPG").read_bytes() == Path(picture).read_bytes()
    alike = laid(tmp_path / "another camera", data=jpeg(patches(77, 77)))
    assert typed(repository, picture, alike, "--to", "r-face-1", "--keep-original", "--yes", capsys=capsys)[0] == 0
    kept = {path.name for path in (repository.folder / "private/photos").iterdir()}
    assert kept == {"IMG_2041.JPG", "IMG_2041 2.JPG", "IMG_2041 3.JPG"}
    repository.write({".gitignore": "site/\n"})
    before = files(repository.folder)
    other = laid(tmp_path / "camera", "b.jpg", jpeg(patches(99, 99)))
    ended, told = typed(repository, other, "--to", "cracked", "--keep-original", "--yes", capsys=capsys)
    assert (ended, "(photo-original)" in told) == (1, True)
    assert files(repository.folder) == before


def test_nothing_a_file_told_beside_its_picture_gets_into_the_history(
    repository: Repository, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pictures = [laid(tmp_path / "camera", name, data) for name, data in telling_files().items()]
    assert typed(repository, *pictures, "--to", "r-face-1", "--keep-original", "--yes", capsys=capsys)[0] == 0
    repository.save(SECOND, {})
    every = subprocess.run(
        ["git", "cat-file", "--batch", "--batch-all-objects"], cwd=repository.folder, capture_output=True, check=True
    ).stdout
    assert b"r-face-1-1.jpg" in every
    assert CANARY.encode() not in every
    for path in (repository.folder / PHOTOS).iterdir():
        assert [marker for marker in MARKERS if marker in path.read_bytes()] == []


def test_what_is_not_told_is_asked_with_what_is_known_offered(repository: Repository) -> None:
    place = find_place(open_view(repository.folder, "private"), "r-face-1")
    photo = new_photo("IMG_1.JPG", jpeg(patches(), exif=exif(1)))
    asking = Scripted({
        "From where": "front", "What can be seen": None, "A caption": "Third casting.", "Is it one of these": "before", "When was it": None,
        "face be seen": "yes", "Who agreed": "class", "The light": "window", "taken with": "",
    })  # fmt: skip
    assert asked_of(asking, place, photo, {}) == {
        "view": "front", "alt": "Face F-07, front, as cast 2026-04-18", "caption": "Third casting.", "as": "before", "taken": "2026-04-18 15:40",
        "face": "yes", "visibility": "class", "light": "window",
    }  # fmt: skip
    assert "IMG_1.JPG: 240 × 160 points, taken 2026-04-18 15:40" in asking.told
    told = {"view": "back", "alt": "A", "caption": "B", "as": "after", "face": "no", "light": "x", "camera": "y"}
    few = Scripted({"When was it": None})
    assert asked_of(few, place, photo, told) == told | {"taken": "2026-04-18 15:40"}
    assert len(few.asked) == 1
    with pytest.raises(StoppedError):
        asked_of(Scripted({"From where": STOP}), place, photo, {})
