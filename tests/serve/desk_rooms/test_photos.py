"""Photos are chosen on the forms: rebuilt at once, named from the first in the text, and nothing is lost where one cannot be taken."""

from __future__ import annotations

import io
from pathlib import Path
from urllib.parse import parse_qsl, urlsplit

from PIL import Image
from playwright.sync_api import Browser, expect

from book.photos import CANARY, MARKERS, jpeg, opened, patches, telling_files
from browser import breaches, too_wide
from desk.answering import files
from mothermold.book.beside_pixels import told_beside
from mothermold.book.files import PHOTOS
from mothermold.model.pictures import Picture, pictures_of
from mothermold.model.run import Run
from mothermold.pages.desk.photo_fields import MOST_PHOTOS
from mothermold.view.view import open_view
from serve.desk_rooms import in_a_window
from serve.desk_rooms.sitting_down import Desk

PHONE = ("IMG_2041.JPG", telling_files()["phone.jpg"])
OTHER = ("IMG_2042.JPG", jpeg(patches(200, 100)))
NOISE = ("notes.txt", b"No photo at all")
RECIPE, NOTE = "cast/nose-piece", "tore-at-the-nostril"
NOSE = "Nose in encapsulated gel silicone"


def added(book: Path, before: dict[str, bytes]) -> set[str]:
    after = files(book)
    return {name for name in after if before.get(name) != after[name]}


def lines_added(book: Path, file: str, before: dict[str, bytes]) -> list[str]:
    """The lines a file has more than before; it has lost none."""
    old, new = before[file].decode().split("\n"), (book / file).read_text("utf-8").split("\n")
    left = list(old)
    more = [line for line in new if not (left and line == left[0] and left.pop(0) is not None)]
    assert left == []
    return more


def shown(book: Path, kind: str, address: str) -> list[Picture]:
    model = open_view(book, "private").on(kind)[address].model
    assert model is not None
    return [each for each in pictures_of(model).values() if not each.file.is_drawing]


def a_run(book: Path) -> str:
    return next(name for name, run in open_view(book, "private").models(Run).items() if not run.photos)


def forms(book: Path) -> dict[str, str]:
    view = open_view(book, "private")
    return {
        "recipe": RECIPE,
        "run": a_run(book),
        "failure": NOTE,
        "mold": next(iter(view.on("mold"))),
        "build": "reed-cutter",
    }


def test_every_form_of_what_can_show_a_photo_takes_some_and_no_other_line_is_touched(desk: Desk) -> None:
    for kind, address in forms(desk.book).items():
        before, count = files(desk.book), len(shown(desk.book, kind, address))
        file = open_view(desk.book, "private").on(kind)[address].file
        desk.go(f"desk/{kind}/{address}").choose(PHONE, OTHER).press(
            "Write it", {"_photo.1.view": "left 3/4", "_photo.1.face": "no"}
        )
        assert desk.title == "It stands in the book", kind
        photos = shown(desk.book, kind, address)
        assert len(photos) == count + 2, kind
        assert [(each.view, each.face) for each in photos[-2:]] == [("left 3/4", False)] * 2, kind
        assert str(photos[-2].taken) == "2026-04-18 15:40:00", kind
        assert photos[-1].alt, kind
        new = {f"{PHOTOS}/{each.file}" for each in photos[-2:]} - before.keys()
        assert added(desk.book, before) == {file, *new}, kind
        assert all(":" in line for line in lines_added(desk.book, file, before)), kind
        for name in new:
            data = (desk.book / name).read_bytes()
            assert told_beside(data) == ()
            assert not any(marker in data for marker in MARKERS)
        assert f"Photo, {photos[-1].alt}: " in desk.text, kind
    # On its side in the file, upright in the book; and one picture of five documents lies there once.
    assert opened((desk.book / PHOTOS / "cast-nose-piece-1.jpg").read_bytes()).size == (160, 240)


def test_a_kind_that_shows_no_photo_asks_for_none(desk: Desk) -> None:
    for address in ("desk/material/gel-silicone-a", "desk/new/course", "desk/book/book"):
        desk.go(address)
        assert not [name for name in desk.controls if name.startswith("_photo")], address
        assert "multipart" not in desk.page.body


def test_a_new_note_is_written_with_its_photo_from_the_first(desk: Desk) -> None:
    before = files(desk.book)
    desk.go("desk/new/failure").choose(PHONE).press(
        "Write it", {"title": "Chin split", "symptoms": ["it split"], "seen_at": "cast", "_photo.1.as": "bad", "_photo.1.alt": "A split: below the lip"},
    )  # fmt: skip
    (photo,) = shown(desk.book, "failure", "chin-split")
    assert (photo.file, photo.as_, photo.alt, photo.face) == ("chin-split-1.jpg", "bad", "A split: below the lip", None)
    assert added(desk.book, before) == {"recipes/failures/chin-split.yaml", f"{PHOTOS}/chin-split-1.jpg"}
    assert "Only you see it. Say in its form whether a face can be seen" in desk.text


def test_a_photo_stands_with_the_step_or_the_thing_it_shows(desk: Desk) -> None:
    steps = list(open_view(desk.book, "private").on("recipe")[RECIPE].model.steps)  # type: ignore[union-attr]
    step = str(steps[1].id)
    desk.go(f"desk/recipe/{RECIPE}").choose(PHONE).choose(OTHER, place=2)
    desk.press("Write it", {"_photo.1.part": step, "_photo.2.caption": "All of it"})
    text = (desk.book / f"recipes/{RECIPE}.yaml").read_text("utf-8")
    assert f"- file: cast-nose-piece-{step}-1.jpg" in text
    assert "- file: cast-nose-piece-1.jpg" in text
    desk.go("desk/build/reed-cutter").choose(PHONE).press("Write it", {"_photo.1.part": "nose"})
    things = open_view(desk.book, "private").on("build")["reed-cutter"].model.things  # type: ignore[union-attr]
    assert [len(each.photos) for each in things if each.id == "nose"] == [1]


def test_somebodys_face_is_private_unless_somebody_says_otherwise(desk: Desk) -> None:
    seen = {"": "private", "yes": "private", "yes class": "class", "yes public": "public", "no": "public"}
    for number, (said, readers) in enumerate(seen.items()):
        picture = (f"{number}.jpg", jpeg(patches(100 + number, 80)))
        desk.go(f"desk/failure/{NOTE}").choose(picture).press("Write it", {"_photo.1.face": said} if said else {})
        assert shown(desk.book, "failure", NOTE)[-1].seen_by == readers, said


def test_a_file_that_is_no_photo_is_said_beside_its_field_and_nothing_else_is_lost(desk: Desk) -> None:
    before = files(desk.book)
    desk.go(f"desk/failure/{NOTE}").choose(PHONE, NOISE).press(
        "Write it", {"title": "Nostril went", "_photo.1.alt": "The nostril"}
    )
    assert "notes.txt is not a photo, or a damaged one" in desk.text
    assert files(desk.book) == before
    assert desk.controls["title"].value == "Nostril went"
    # The other photo is in the page, and need not be chosen again.
    assert desk.controls["_photo.1.name"].value == "IMG_2041.JPG"
    assert desk.controls["_photo.1.taken"].value == "2026-04-18 15:40"
    assert CANARY not in desk.page.body
    desk.press("Write it")
    (photo,) = shown(desk.book, "failure", NOTE)
    assert (photo.alt, str(photo.taken)) == ("The nostril", "2026-04-18 15:40:00")
    assert "title: Nostril went" in (desk.book / f"recipes/failures/{NOTE}.yaml").read_text("utf-8")


def test_where_another_field_is_wrong_the_photo_is_not_chosen_again_and_can_be_left_out(desk: Desk) -> None:
    before = files(desk.book)
    wrong = {"started": "at noon-ish"}
    for left_out in (False, True):
        name = a_run(desk.book)
        desk.go(f"desk/run/{name}").choose(PHONE).press("Write it", wrong)
        assert "noon-ish" in desk.text
        assert files(desk.book) == before
        desk.press("Look it over", {"started": "2026-05-20 10:00"}).press(
            "Write it", {"_photo.1.drop": ["yes"]} if left_out else {}
        )
        assert desk.title == "It stands in the book"
        assert len(shown(desk.book, "run", name)) == (0 if left_out else 1)
        for path, data in files(desk.book).items():
            if before.get(path) != data:
                (desk.book / path).write_bytes(before[path]) if path in before else (desk.book / path).unlink()


def test_what_is_said_of_a_photo_and_cannot_stand_is_told_beside_it_and_nothing_is_written(desk: Desk) -> None:
    before = files(desk.book)
    for says in (
        {"view": "above"},
        {"as": "perfect"},
        {"face": "perhaps"},
        {"face": "yes everybody"},
        {"taken": "soon"},
        {"part": "melt"},
    ):
        (name, said), kind = next(iter(says.items())), "recipe" if "part" in says else "failure"
        desk.go(f"desk/{kind}/{RECIPE if kind == 'recipe' else NOTE}").choose(PHONE)
        pairs = [pair for pair in desk.read.forms[0].sent({}, "Write it") if pair[0] != f"_photo.1.{name}"]
        desk.send(desk.here, (*pairs, (f"_photo.1.{name}", said)))
        assert desk.title != "It stands in the book", says
        assert 'id="t-1"' in desk.page.body, says
        assert files(desk.book) == before, says
        assert desk.controls["_photo.1.name"].value == "IMG_2041.JPG", says


def test_more_photos_than_are_taken_at_once_are_refused_one_by_one(desk: Desk) -> None:
    desk.go(f"desk/failure/{NOTE}").choose(*((f"{n}.jpg", jpeg(patches(60 + n, 60))) for n in range(MOST_PHOTOS + 2)))
    desk.press("Write it")
    assert desk.text.count(f"More than {MOST_PHOTOS} photos were chosen at once") == 2
    desk.press("Write it")
    assert len(shown(desk.book, "failure", NOTE)) == MOST_PHOTOS


def test_hostile_files_and_names_are_refused_or_words(desk: Desk) -> None:
    before = files(desk.book)
    bomb = io.BytesIO()
    Image.new("1", (20_000, 20_000)).save(bomb, "PNG")
    hostile = {
        "bomb.png": bomb.getvalue(), "empty.jpg": b"", "half.jpg": PHONE[1][: len(PHONE[1]) // 3], "x.svg": b"<svg onload='alert(1)'/>",
        '../../"><script>alert(1)</script>.jpg': b"GIF89a", "run.exe": b"MZ" + bytes(300),
    }  # fmt: skip
    desk.go(f"desk/failure/{NOTE}").choose(*hostile.items()).press("Write it")
    assert desk.text.count("error: The photo ") == len(hostile)
    assert "<script>alert" not in desk.page.body
    assert files(desk.book) == before
    name = '"><img src=x onerror=alert(1)>.jpg'
    desk.go(f"desk/failure/{NOTE}").choose((name, OTHER[1])).press("Look it over")
    assert desk.controls["_photo.1.name"].value == name
    # What a page carries along is looked at as any other file.
    pairs = [
        (key, "bm90IGEgcGhvdG8=" if key == "_photo.1.kept" else text)
        for key, text in desk.read.forms[0].sent({}, "Write it")
    ]
    desk.send(desk.here, tuple(pairs))
    assert "is not a photo" in desk.text
    assert files(desk.book) == before


def test_a_file_changed_meanwhile_is_chosen_about_and_the_photo_comes_in_with_the_choice(desk: Desk) -> None:
    file = desk.book / f"recipes/failures/{NOTE}.yaml"
    desk.go(f"desk/failure/{NOTE}").choose(PHONE)
    file.write_text(file.read_text("utf-8").replace("title: ", "title: Their ", 1), "utf-8")
    before = files(desk.book)
    desk.press("Write it", {"title": "Mine"})
    assert "was changed while you wrote" in desk.text
    assert files(desk.book) == before
    desk.press("Write it so", {"_take.title": ["mine"]})
    assert [each.file for each in shown(desk.book, "failure", NOTE)] == [f"{NOTE}-1.jpg"]
    assert "title: Mine" in file.read_text("utf-8")


def test_the_same_photo_of_two_documents_lies_in_the_book_once(desk: Desk) -> None:
    desk.go(f"desk/failure/{NOTE}").choose(PHONE, PHONE).press("Write it")
    desk.go(f"desk/run/{(name := a_run(desk.book))}").choose(PHONE).press("Write it")
    assert [each.file for each in shown(desk.book, "failure", NOTE)] == [f"{NOTE}-1.jpg"]
    assert [each.file for each in shown(desk.book, "run", name)] == [f"{NOTE}-1.jpg"]


def test_of_a_run_the_lines_keep_their_own_ends(desk: Desk) -> None:
    view = open_view(desk.book, "private")
    name = a_run(desk.book)
    file = desk.book / view.on("run")[name].file
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    desk.go(f"desk/run/{name}").choose(PHONE).press("Write it")
    data = file.read_bytes()
    assert data.count(b"\n") == data.count(b"\r\n")
    assert len(shown(desk.book, "run", name)) == 1


def test_in_a_browser_each_photo_gets_its_own_words_and_comes_back_after_a_mistake(
    chromium: Browser, tmp_path: Path, desk: Desk
) -> None:
    (tmp_path / "around").mkdir()
    paths = [tmp_path / "a.jpg", tmp_path / "b.jpg"]
    for path, data in zip(paths, (PHONE[1], OTHER[1]), strict=True):
        path.write_bytes(data)
    name = a_run(desk.book)
    with in_a_window.opened(chromium, desk.book, tmp_path / "around") as window:
        page = window.go(f"desk/run/{name}").browser
        page.locator("#p-1").set_input_files(paths)
        expect(page.locator(".photo-slot")).to_have_count(3)
        expect(page.locator(".photo-kept canvas")).to_have_count(2)
        page.wait_for_function("() => [...document.querySelectorAll('canvas')].every((each) => each.height === 200)")
        page.locator("[name='_photo.2.as']").select_option("after")
        page.locator("[name='_photo.1.as']").select_option("before")
        assert breaches(page) == []
        assert too_wide(page) == []
        window.press("Write it into the book", {"started": "at noon-ish"})
        assert "noon-ish" in window.text
        expect(page.locator(".photo-kept img")).to_have_count(2)
        window.press("Write it into the book", {"started": "2026-05-20 10:00"})
        assert window.title == "It stands in the book"
        assert [each.as_ for each in shown(desk.book, "run", name)] == ["before", "after"]
        # One that is left out is not sent, and a choice that is too much is said before it is sent.
        window.go(f"desk/run/{name}")
        page.locator("#p-1").set_input_files(paths)
        page.get_by_role("button", name="Leave it out").first.click()
        expect(page.locator(".photo-slot")).to_have_count(2)
        page.evaluate("() => { document.querySelector('.photos').dataset.bytes = '100'; }")
        page.get_by_role("button", name="Write it into the book").click()
        expect(page.locator(".photo-news")).to_contain_text("leave some out")
        assert len(shown(desk.book, "run", name)) == 2
        assert parse_qsl(urlsplit(window.here).query) == []


def test_i_made_one_takes_photos_and_all_other_fields_say_that_they_are_chosen_again(desk: Desk) -> None:
    before = files(desk.book)
    desk.go("desk/made").follow(NOSE).choose(PHONE).press("Write", {"started": "someday"})
    assert files(desk.book) == before
    assert desk.controls["_photo.1.name"].value == "IMG_2041.JPG"
    desk.press("Write", {"started": "2026-05-20 14:10", "_photo.1.as": "after", "_photo.1.face": "no"})
    file = dict(parse_qsl(urlsplit(desk.here).query))["file"]
    name = Path(file).stem
    (photo,) = shown(desk.book, "run", name)
    assert (photo.as_, photo.alt) == ("after", "Nose, as cast 2026-04-18")
    assert added(desk.book, before) == {file, f"{PHOTOS}/{name}-1.jpg"}
    desk.go("desk/made").follow(NOSE).choose(PHONE).press("All other")
    assert desk.here.startswith("desk/new/run?")
    assert "choose it again here" in desk.text
    desk.go("desk/made").follow(NOSE).press("All other")
    assert "choose it again here" not in desk.text


def test_it_happened_again_is_noted_with_its_photo(desk: Desk) -> None:
    runs = open_view(desk.book, "private").models(Run)
    offered = desk.go("desk/wrong?words=tore+at+the+nostril").controls["run"].choices
    name = next(each for each in offered if each and not runs[each].photos and not runs[each].went_wrong)
    before = files(desk.book)
    desk.choose(NOISE, place=100).press("Note it", {"run": name})
    assert "notes.txt is not a photo" in desk.text
    assert "Is it one of these?" in desk.text
    assert files(desk.book) == before
    desk.choose(PHONE, place=101).press("Note it", {"run": name, "_photo.101.caption": "At the wing"})
    assert [each.caption for each in shown(desk.book, "run", name)] == ["At the wing"]
    assert NOTE in (desk.book / open_view(desk.book, "private").on("run")[name].file).read_text("utf-8")
    # A run that is not written yet is written on another page, and says so.
    desk.go("desk/wrong?words=tore+at+the+nostril").choose(PHONE, place=100).press("Note it")
    assert "choose it again here" in desk.follow(NOSE).text
