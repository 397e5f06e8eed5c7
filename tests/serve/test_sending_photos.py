"""Photos from a phone wait in the inbox, rebuilt and seen by nobody, and come into the book with their document."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from book.photos import CANARY, MARKERS, jpeg, patches, telling_files
from browser import breaches, too_wide
from desk.answering import Scripted, files
from desk.test_bringing import bring
from mothermold.book.beside_pixels import told_beside
from mothermold.book.files import PHOTOS
from mothermold.desk import bringing_photos
from mothermold.desk.bringing import bring_runs
from mothermold.ground.errors import CannotRunError, RefusedError
from mothermold.model.pictures import Picture, pictures_of
from mothermold.pages.desk.photo_fields import MOST_PHOTOS
from mothermold.serve import inbox as inbox_module
from mothermold.serve.inbox import Inbox
from mothermold.serve.parts import SentFile
from mothermold.view.view import open_view
from serve.callers import come_in
from serve.desk_rooms.sitting_down import Desk
from serve.test_parts import BOUNDARY, written
from serve.test_sending import ALL, MADE, NOTE, Sender, opened_to_a_phone, served

PHONE, OTHER = telling_files()["phone.jpg"], jpeg(patches(200, 100))
OF_RUN = [("to", "run/r-2026-03-10-cheek-1")]
ROOMS = {"made": MADE, "note": NOTE, "photo": OF_RUN}
SAID = [("_photo.1.face", "no"), ("_photo.1.view", "left 3/4")]
Pairs = list[tuple[str, str]]


def send(
    phone: Sender, room: str, pairs: Pairs, *photos: bytes, seal: Pairs | None = None, **other: str
) -> tuple[int, str]:
    """What a phone hears that sends a form with photos: the status, and where it is led or the page."""
    query = {"made": "?recipe=cast%2Fcheek%402", "photo": "?to=run/r-2026-03-10-cheek-1"}.get(room, "")
    sealed = phone.seal(f"{room}{query}") if seal is None else seal
    sent = [SentFile("_photo.1", f"IMG_{number}.JPG", data) for number, data in enumerate(photos)]
    body = written([*sealed, *pairs, *sent, ("_do", "write")])
    headers = {
        **phone.at.cookie, "Origin": phone.at.doors.origin, "Content-Type": f"multipart/form-data; boundary={BOUNDARY.decode()}",
        "Content-Length": str(len(body)), **other,
    }  # fmt: skip
    status, told, page = phone.at.ask("POST", f"/send/{room}", headers, body)
    return status, told.get("location", page.decode())


@pytest.fixture
def phone(good_book: Path) -> Iterator[Sender]:
    with served(good_book, "private") as sender:
        yield sender


def inbox(book: Path) -> dict[str, bytes]:
    return {name[6:]: data for name, data in files(book).items() if name.startswith("inbox/") and "ignore" not in name}


def shown(book: Path) -> list[Picture]:
    view = open_view(book, "private")
    models = [
        each.model for kind in ("run", "failure", "recipe") for each in view.on(kind).values() if each.model is not None
    ]
    return [picture for model in models for picture in pictures_of(model).values() if not picture.file.is_drawing]


@pytest.mark.parametrize("room", ROOMS)
def test_photos_wait_in_the_inbox_without_what_cameras_note_and_come_in_with_their_document(
    phone: Sender, room: str
) -> None:
    before, had = files(phone.book), len(shown(phone.book))
    assert send(phone, room, [*ROOMS[room], *SAID], PHONE, OTHER)[1].startswith("/send/sent")
    after = files(phone.book)
    assert all(name.startswith("inbox/") for name in after if before.get(name) != after[name])
    waits = inbox(phone.book)
    assert sorted(Path(name).suffix for name in waits) == [".jpg", ".jpg", ".yaml"]
    assert not any(marker in data for name, data in waits.items() for marker in MARKERS)
    assert all(told_beside(data) == () for name, data in waits.items() if name.endswith(".jpg"))
    told = Scripted()
    bring_runs(phone.book, [], told, asks=False)
    assert inbox(phone.book) == {}
    photos = shown(phone.book)[-2:]
    assert len(shown(phone.book)) == had + 2
    assert [(each.face, each.view) for each in photos] == [(False, "left 3/4")] * 2
    assert str(photos[0].taken) == "2026-04-18 15:40:00"
    assert all(each.alt for each in photos)
    for each in photos:
        # It is not rebuilt once more: nothing is lost twice.
        assert (phone.book / PHOTOS / each.file).read_bytes() in waits.values()
    assert not any(CANARY.encode() in data for data in files(phone.book).values())


@pytest.mark.parametrize("room", ROOMS)
def test_what_nobody_said_a_face_of_is_the_owners_alone_after_it_came_in(phone: Sender, room: str) -> None:
    send(phone, room, ROOMS[room], PHONE)
    bring_runs(phone.book, [], Scripted(), asks=False)
    assert [each.seen_by for each in shown(phone.book)][-1] == "private"


def test_the_same_sent_twice_is_one_and_brought_twice_too(phone: Sender) -> None:
    for _ in range(2):
        told = send(phone, "made", MADE, PHONE)[1]
    assert "before=yes" in told
    waits = inbox(phone.book)
    assert len(waits) == 2
    bring_runs(phone.book, [], Scripted(), asks=False)
    once = {name: data for name, data in files(phone.book).items() if name.startswith("recipes/")}
    for name, data in waits.items():
        (phone.book / "inbox" / name).write_bytes(data)
    assert "was in the book already" in bring_runs(phone.book, [], Scripted(), asks=False)
    assert {name: data for name, data in files(phone.book).items() if name.startswith("recipes/")} == once
    assert inbox(phone.book) == {}


def test_a_step_is_said_with_its_photo_and_what_is_none_is_refused(phone: Sender) -> None:
    to = [("to", "recipe/cast/cheek"), ("_photo.1.part", "open")]
    assert send(phone, "photo", to, PHONE)[0] == 303
    (name,) = [each for each in inbox(phone.book) if each.endswith(".yaml")]
    assert (
        (phone.book / "inbox" / name)
        .read_text()
        .startswith("# Noted on the phone.\nto: cast/cheek\npart: open\nphotos:\n  - file: photo-")
    )
    bring_runs(phone.book, [], Scripted(), asks=False)
    recipe = open_view(phone.book, "private").on("recipe")["cast/cheek"].model
    assert [len(each.pictures) for each in recipe.steps if each.id == "open"] == [1]  # type: ignore[union-attr]
    for wrong in (
        [("to", "recipe/cast/cheek"), ("_photo.1.part", "melt")],
        [("to", "recipe/cast/none")],
        [("to", "material/gel-silicone-a")],
    ):
        assert send(phone, "photo", wrong, OTHER)[0] in (200, 409)
    assert inbox(phone.book) == {}


@pytest.mark.parametrize("room", ROOMS)
def test_hostile_files_are_refused_one_by_one_and_what_was_typed_and_the_good_one_come_back(
    phone: Sender, room: str
) -> None:
    status, page = send(phone, room, [*ROOMS[room], ("_photo.1.alt", "All of it")], PHONE, b"MZ", PHONE[:2000], b"")
    assert (status, page.count("error:</strong> The photo ")) == (200, 3)
    assert 'value="All of it"' in page
    assert page.count("_photo.1.kept") == 1
    assert inbox(phone.book) == {}
    assert send(phone, room, [*ROOMS[room], ("_photo.1.view", "above")], PHONE)[0] == 200
    assert send(phone, room, [*ROOMS[room], ("_photo.1.kept", "!"), ("_photo.1.name", "<b>")])[0] == 200
    many = [jpeg(patches(40 + each, 40)) for each in range(MOST_PHOTOS + 1)]
    assert f"More than {MOST_PHOTOS} photos" in send(phone, room, ROOMS[room], *many)[1]
    assert inbox(phone.book) == {}


@pytest.mark.parametrize("room", ROOMS)
def test_from_elsewhere_without_the_token_or_a_second_time_no_photo_is_taken(phone: Sender, room: str) -> None:
    assert send(phone, room, ROOMS[room], OTHER, Origin="http://rebound.test")[0] == 403
    assert send(phone, room, ROOMS[room], OTHER, seal=[])[0] == 403
    assert send(phone, room, ROOMS[room], OTHER, Cookie="mothermold_1=x")[0] == 403
    assert inbox(phone.book) == {}
    query = {"made": "?recipe=cast%2Fcheek%402", "photo": "?to=run/r-2026-03-10-cheek-1"}.get(room, "")
    seal = phone.seal(f"{room}{query}")
    assert send(phone, room, ROOMS[room], OTHER, seal=seal)[0] == 303
    waits = inbox(phone.book)
    status, page = send(phone, room, [*ROOMS[room], ("_note", "x")], PHONE, seal=seal)
    assert (status, "was sent before" in page) == (409, True)
    assert inbox(phone.book) == waits


def test_where_the_inbox_is_full_nothing_of_it_is_kept_and_the_photo_comes_back(
    phone: Sender, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name, most in (("MOST_FILES", 1), ("MOST_ALTOGETHER", 1000)):
        with monkeypatch.context() as small:
            small.setattr(inbox_module, name, most)
            status, page = send(phone, "made", MADE, PHONE)
        assert (status, "inbox on the computer is full" in page, "_photo.1.kept" in page) == (409, True, True)
        assert inbox(phone.book) == {}


# Taking it in


def test_at_the_desk_the_photos_are_seen_beside_their_words_and_taken_with_them(phone: Sender) -> None:
    send(phone, "note", NOTE, PHONE, OTHER)
    send(phone, "photo", OF_RUN, OTHER)
    before = files(phone.book)
    desk = Desk(phone.book).go("desk/inbox")
    assert desk.page.body.count('src="data:image/jpeg;base64,') == 3
    assert files(phone.book) == before
    desk.press("Take in")
    assert "is new in the book" in desk.text
    assert "shows them now" in desk.text
    assert "The inbox is empty now." in desk.text
    assert len(shown(phone.book)) == 3


def test_a_note_under_another_name_takes_its_photo_along(phone: Sender) -> None:
    send(phone, "note", NOTE, PHONE)
    bring_runs(phone.book, [], Scripted(), asks=False)
    note = phone.book / "recipes/failures/seam-lifts-at-the-heel.yaml"
    note.write_text(note.read_text().replace("Too thin", "Too warm"))
    send(phone, "note", NOTE, PHONE)
    name = "seam-lifts-at-the-heel.yaml"
    (phone.book / "inbox/seam-lifts-at-the-heel-2.yaml").rename(phone.book / "inbox" / name)
    Desk(phone.book).go("desk/inbox").press("Take in", {f"way.{name}": ["other"], f"called.{name}": "second-seam"})
    assert "- file: seam-lifts-at-the-heel-1.jpg" in (phone.book / "recipes/failures/second-seam.yaml").read_text()
    assert inbox(phone.book) == {}


def test_a_damaged_photo_keeps_its_document_out_and_nothing_is_written(phone: Sender) -> None:
    send(phone, "note", NOTE, PHONE)
    (photo,) = (phone.book / "inbox").glob("*.jpg")
    photo.write_bytes(b"\xff\xd8 nothing")
    before = files(phone.book)
    with pytest.raises(RefusedError) as refusal:
        bring(phone.book)
    assert [each.code for each in refusal.value.notices] == ["photo-refused"]
    assert files(phone.book) == before


def test_photos_the_book_has_added_meanwhile_keep_no_run_out_that_says_more_by_now(phone: Sender) -> None:
    run = "id: r-2026-05-20-cheek-1\nkind: run\nrecipe: cast/cheek@2\nstarted: 2026-05-20 14:32\n"
    phone.at.send(run)
    bring_runs(phone.book, [], Scripted(), asks=False)
    Desk(phone.book).go("desk/run/r-2026-05-20-cheek-1").choose(("a.jpg", PHONE)).press("Write it")
    phone.at.send(run + "outcome: good\n")
    assert "got more" in bring_runs(phone.book, [], Scripted(), asks=False)
    said = open_view(phone.book, "private").on("run")["r-2026-05-20-cheek-1"].model
    assert (said.outcome, len(said.photos)) == ("good", 1)  # type: ignore[union-attr]


def test_a_photo_alone_in_the_inbox_is_told_and_one_the_book_has_is_cleared_away(phone: Sender) -> None:
    send(phone, "note", NOTE, PHONE)
    photo = next(iter((phone.book / "inbox").glob("*.jpg")))
    data = photo.read_bytes()
    bring_runs(phone.book, [], Scripted(), asks=False)
    photo.write_bytes(data)
    (phone.book / "inbox/alone.jpg").write_bytes(OTHER)
    send(phone, "lot", ALL["lot"])
    asking = Scripted()
    bring_runs(phone.book, [], asking, asks=False)
    assert "inbox/alone.jpg has no words" in asking.told
    assert not photo.exists()


def test_photos_alone_in_the_inbox_are_told_where_nothing_else_waits(phone: Sender) -> None:
    send(phone, "note", NOTE, PHONE)
    known = {path: path.read_bytes() for path in (phone.book / "inbox").glob("*.jpg")}
    bring_runs(phone.book, [], Scripted(), asks=False)
    for path, data in known.items():
        path.write_bytes(data)
    (phone.book / "inbox/alone.jpg").write_bytes(OTHER)
    (phone.book / "inbox/damaged.jpg").write_bytes(b"no photo")
    desk = Desk(phone.book).go("desk/inbox")
    assert "Photos without words" in desk.text
    assert ("alone.jpg" in desk.text, "damaged.jpg" in desk.text) == (True, True)
    assert [path for path in known if path.name in desk.text] == []
    asking = Scripted()
    assert bring_runs(phone.book, [], asking, asks=False) == "Nothing came in."
    assert "inbox/alone.jpg has no words" in asking.told
    assert sorted(inbox(phone.book)) == ["alone.jpg", "damaged.jpg"]


def test_at_the_desk_a_photo_the_book_has_is_cleared_away_with_the_next_that_is_taken_in(phone: Sender) -> None:
    send(phone, "note", NOTE, PHONE)
    (known,) = (phone.book / "inbox").glob("*.jpg")
    data = known.read_bytes()
    Desk(phone.book).go("desk/inbox").press("Take in")
    known.write_bytes(data)
    (phone.book / "inbox/alone.jpg").write_bytes(OTHER)
    send(phone, "lot", ALL["lot"])
    Desk(phone.book).go("desk/inbox").press("Take in")
    assert sorted(inbox(phone.book)) == ["alone.jpg"]


def test_killed_before_its_words_are_written_a_photo_waits_for_them_and_is_not_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_given: object, **_how: object) -> None:
        raise CannotRunError("full")

    box, photos = Inbox(tmp_path), {"photo-1.jpg": OTHER, "photo-2.jpg": OTHER}
    box.keep("id: a\n", photos={})
    with monkeypatch.context() as stopped:
        stopped.setattr(inbox_module, "write_text", full)
        with pytest.raises(CannotRunError):
            box.keep("id: b\n", photos=photos)
    assert sorted(inbox(tmp_path)) == ["a.yaml", "photo-1.jpg", "photo-2.jpg"]
    assert box.keep("id: b\n", photos=photos).new
    assert sorted(inbox(tmp_path)) == ["a.yaml", "b.yaml", "photo-1.jpg", "photo-2.jpg"]


def test_where_the_disk_refuses_the_text_no_photo_of_it_stays_in_the_book(
    phone: Sender, monkeypatch: pytest.MonkeyPatch
) -> None:
    send(phone, "note", NOTE, PHONE)
    before = files(phone.book)

    def full(*_given: object, **_how: object) -> None:
        raise CannotRunError("full")

    monkeypatch.setattr(bringing_photos, "write_text", full)
    with pytest.raises(CannotRunError):
        bring(phone.book)
    assert files(phone.book) == before


# In a browser


@pytest.mark.parametrize("scripts", [False, True])
def test_from_a_narrow_phone_a_photo_is_sent_with_its_note(
    chromium: Browser, good_book: Path, tmp_path: Path, scripts: bool
) -> None:
    (tmp_path / "a.jpg").write_bytes(PHONE)
    how = {"viewport": {"width": 320, "height": 640}, "java_script_enabled": scripts}
    with come_in(chromium, opened_to_a_phone(good_book, "class", tmp_path), **how) as seen:
        page = seen.page
        page.goto(f"{seen.home}send/note")
        for name, text in NOTE[:2]:
            page.locator(f"[name={name}]").fill(text)
        page.locator("[name=seen_at]").select_option("cast")
        page.get_by_text("Photos", exact=True).click()
        expect(page.locator("#p-1-now")).to_have_attribute("capture", "environment")
        page.locator("#p-1-now").set_input_files(tmp_path / "a.jpg")
        assert too_wide(page) == []
        assert scripts is False or breaches(page) == []
        page.get_by_role("button", name="Send it to the computer").click()
        expect(page.get_by_role("heading", level=1)).to_have_text("It is on the computer now, in the inbox")
        page.goto(f"{seen.home}recipes/cast/cheek.html")
        page.get_by_role("link", name="Photos of it").click()
        page.locator("#p-1").set_input_files(tmp_path / "a.jpg")
        assert too_wide(page) == []
        page.get_by_role("button", name="Send it to the computer").click()
        expect(page.locator("main")).to_contain_text("set of photos")
        assert seen.faults == []
    assert len([name for name in inbox(good_book) if re.fullmatch(r"photo-\w{16}\.jpg", name)]) == 2
    assert bring_runs(good_book, [], Scripted(), asks=False).startswith(
        "1 failure note came in, 1 set of photos got more."
    )
