"""Every document is written on a page of its own: sent unchanged it stays, what was typed is exactly what changes, nothing is lost."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from campaigns.seeds import seeds
from desk.forms.as_sent import another, lay_out
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.trees import name_of
from mothermold.model.kinds import KINDS
from mothermold.pages.page import Page
from mothermold.serve.desk_rooms.room import Visit
from mothermold.serve.desk_rooms.table import ROOMS
from mothermold.view.view import View, open_view
from serve.browsing import Pairs, Read, arrives

PIECE = "cast/piece"
FILE = "recipes/cast/piece.yaml"
TEXT = (
    "title: A   # said\nstage: cast\nversion: 1\nstatus: draft\nneeds: [x, y]\nsteps:\n"
    "  # of a\n  - id: a\n    title: Pour\n  - id: b\n    title: Open   # beside\n"
)
SEAL = '<input type="hidden" name="-once" value="1">'


@dataclass
class Desk:
    """Somebody at the desk of a book, without scripts."""

    view: View

    def open(self, room: str, at: str, typed: Pairs | None = None) -> Read:
        page = ROOMS[room].show(Visit(self.view, at, tuple(typed or ()), lambda: SEAL))
        assert page is not None
        return Read(page.body)

    def send(self, room: str, at: str, pairs: Pairs) -> str | Read:
        """Where it leads, or the page that comes back."""
        found = ROOMS[room].take(Visit(self.view, at, arrives(pairs), lambda: SEAL))
        return Read(found.body) if isinstance(found, Page) else found

    def back(self, room: str, at: str, pairs: Pairs) -> Read:
        """The page that comes back."""
        found = self.send(room, at, pairs)
        assert isinstance(found, Read), found
        return found

    def text(self, file: str = FILE) -> str:
        return (self.view.root / file).read_bytes().decode()


@pytest.fixture
def desk(good_book: Path) -> Desk:
    (good_book / FILE).write_text(TEXT, encoding="utf-8")
    return Desk(open_view(good_book, "private"))


def documents(view: View) -> Iterator[tuple[str, str, str]]:
    for document in sorted(view.documents.every(), key=lambda document: document.file):
        yield document.kind, document.address, document.file


def check_unchanged(desk: Desk) -> int:
    number = 0
    for kind, address, file in documents(desk.view):
        before = (desk.view.root / file).read_bytes()
        page = desk.open(kind, address)
        if "_text" in {each.name for each in page.fields}:
            continue
        assert page.faults() == [], file
        led = desk.send(kind, address, page.sends())
        assert isinstance(led, str), (file, led.words[:600])
        assert led.startswith("desk/done?file=recipes/")
        assert (desk.view.root / file).read_bytes() == before, file
        number += 1
    return number


def test_every_document_of_the_sample_book_opened_on_its_page_and_sent_unchanged_stays_byte_for_byte(
    view: View,
) -> None:
    assert check_unchanged(Desk(view)) > 150


@pytest.mark.parametrize("seed", seeds(1, 50))
def test_so_does_every_document_made_at_random(seed: int, tmp_path: Path) -> None:
    assert check_unchanged(Desk(open_view(lay_out(seed, tmp_path), "private"))) >= 15


@pytest.mark.parametrize("kind", KINDS)
def test_a_new_document_of_every_kind_has_a_page(kind: str, desk: Desk) -> None:
    page = desk.open("new", kind)
    assert page.faults() == []
    assert page.control("title")


def test_what_is_not_there_has_no_page(desk: Desk) -> None:
    for room, at in (("recipe", "cast/nothing"), ("new", "nothing"), ("new", ""), ("recipe", "")):
        assert ROOMS[room].show(Visit(desk.view, at, (), lambda: SEAL)) is None


@pytest.mark.parametrize("seed", seeds(20, 300))
def test_one_field_typed_anew_is_exactly_that_change(seed: int, view: View, own_sample_book: Path) -> None:
    rng = random.Random(seed)
    kind, address, file = rng.choice(list(documents(view)))
    form = form_of(view, kind, address)
    field, said = rng.choice([(each, said) for each in form.fields if (said := another(each, form, rng))])
    desk = Desk(open_view(own_sample_book, "private"))
    page = desk.open(kind, address)
    pairs = page.sends(typed_={name_of(field.path): said})
    found = desk.send(kind, address, pairs)
    told = form_of(open_view(own_sample_book, "private"), kind, address)
    if isinstance(found, Read) and "is written" not in found.words:
        assert (own_sample_book / file).read_text("utf-8") == form.text
        assert page.control(name_of(field.path)).value == field.value
        assert found.control(name_of(field.path)).value == said
        return
    assert next(each.value for each in told.fields if each.path == field.path) == said
    others = [each for each in told.fields if each.path != field.path]
    assert [each.value for each in others] == [each.value for each in form.fields if each.path != field.path]


def test_a_mistake_comes_back_with_the_sentence_of_check_beside_its_field_and_nothing_is_written(desk: Desk) -> None:
    page = desk.open("recipe", PIECE)
    again = desk.back("recipe", PIECE, page.sends(typed_={"version": "one", "title": "B"}))
    assert desk.text() == TEXT
    field = again.control("version")
    assert (field.value, field.said["aria-invalid"], again.control("title").value) == ("one", "true", "B")
    assert again.faults() == []
    assert "#f-version" in again.hrefs
    (desk.view.root / FILE).write_text(TEXT.replace("version: 1", "version: one"), "utf-8")
    told = [each for each in open_view(desk.view.root, "private").notices if each.file == FILE]
    assert told[0].message.replace("`", "") in again.words
    # Mended and sent again, it is written over the text it was opened with.
    (desk.view.root / FILE).write_text(TEXT, "utf-8")
    led = desk.send("recipe", PIECE, again.sends(typed_={"version": "1"}))
    assert led == f"desk/done?file={FILE}&from=desk/recipe/cast/piece"
    assert desk.text() == TEXT.replace("title: A", "title: B")


def test_a_button_gives_the_page_again_with_all_that_was_typed_and_writes_nothing(desk: Desk) -> None:
    page = desk.open("recipe", PIECE)
    page = desk.back("recipe", PIECE, page.sends("add steps", {"title": "B"}))
    assert page.control("steps.+1.title").value == ""
    page = desk.back("recipe", PIECE, page.sends("up steps.+1", {"steps.+1.title": "Wash"}))
    page = desk.back("recipe", PIECE, page.sends("double steps.0"))
    page = desk.back("recipe", PIECE, page.sends("add steps.+1.uses"))
    page = desk.back("recipe", PIECE, page.sends("double steps.+1", {"steps.+1.uses.+1.amount": "5 g"}))
    page = desk.back("recipe", PIECE, page.sends("remove steps.1"))
    assert page.faults() == []
    tokens = [value for name, value in page.sends() if name == "steps"]
    assert tokens == ["", "0", "0+2", "+1", "+3"]
    assert [page.control(f"steps.{each}.title").value for each in tokens[1:]] == ["Pour", "Pour", "Wash", "Wash"]
    assert page.control("steps.+3.uses.+1.amount").value == "5 g"
    assert page.control("title").value == "B"
    assert desk.text() == TEXT
    page = desk.back("recipe", PIECE, page.sends("look"))
    assert desk.text() == TEXT
    led = desk.send("recipe", PIECE, page.sends("remove steps.+3", {"steps.+1.uses.+1.amount": ""}))
    assert isinstance(led, Read)
    assert isinstance(desk.send("recipe", PIECE, led.sends()), str)
    assert desk.text() == TEXT.replace("title: A", "title: B").replace(
        "  - id: b\n    title: Open   # beside\n", "  - id: a-2\n    title: Pour\n  - id: wash\n    title: Wash\n"
    )


def test_an_empty_row_of_words_stands_ready_and_another_comes_when_asked_for(desk: Desk) -> None:
    page = desk.open("recipe", PIECE)
    assert [each.value for each in page.fields if each.name == "needs"] == ["x", "y", ""]
    pairs = page.sends("more needs")
    pairs[next(n for n, pair in reversed(list(enumerate(pairs))) if pair == ("needs", ""))] = ("needs", "z")
    page = desk.back("recipe", PIECE, pairs)
    assert [each.value for each in page.fields if each.name == "needs"] == ["x", "y", "z", ""]
    assert isinstance(desk.send("recipe", PIECE, page.sends()), str)
    assert desk.text() == TEXT.replace("[x, y]", "[x, y, z]")


def test_the_first_button_which_enter_presses_only_looks(desk: Desk) -> None:
    for room, at in (("recipe", PIECE), ("new", "run")):
        assert next(each.value for each in desk.open(room, at).controls if each.tag == "button") == "look"


def test_a_file_changed_meanwhile_is_shown_field_by_field_and_what_is_chosen_is_written(desk: Desk) -> None:
    page = desk.open("recipe", PIECE)
    there = TEXT.replace("title: A", "title: Theirs").replace("[x, y]", "[x, z]")
    (desk.view.root / FILE).write_text(there, "utf-8")
    desk.view = open_view(desk.view.root, "private")
    page = desk.back("recipe", PIECE, page.sends(typed_={"title": "Mine", "steps.1.title": "Lift"}))
    assert desk.text() == there
    assert page.faults() == []
    chosen = {each.name: each.value for each in page.fields if "checked" in each.said}
    assert chosen == {"_take.needs": "theirs", "_take.steps.1.title": "mine"}
    assert [each for each in ("Theirs", "Mine", "A") if each not in page.words] == []
    pairs = page.sends("choose")
    undecided = desk.back("recipe", PIECE, pairs)
    assert "It was not said of every field" in undecided.words
    assert desk.text() == there
    assert isinstance(desk.send("recipe", PIECE, [*pairs, ("_take.title", "mine")]), str)
    after = there.replace("Theirs", "Mine").replace("Open ", "Lift ")
    assert desk.text() == after
    (desk.view.root / FILE).write_text(there, "utf-8")
    assert isinstance(desk.send("recipe", PIECE, [*pairs, ("_take.title", "theirs")]), str)
    assert desk.text() == there.replace("Open ", "Lift ")


def test_what_was_typed_into_a_file_that_was_taken_away_is_written_as_a_new_one(desk: Desk) -> None:
    page = desk.open("recipe", PIECE)
    (desk.view.root / FILE).unlink()
    for view in (desk.view, open_view(desk.view.root, "private")):
        desk.view = view
        again = desk.back("recipe", PIECE, page.sends(typed_={"title": "Mine"}))
        assert again.control("title").value == "Mine"
        assert again.control("_name").value == "piece"
    assert again.form["action"].endswith("desk/new/recipe")
    assert isinstance(desk.send("new", "recipe", again.sends()), str)
    assert desk.text() == TEXT.replace("title: A", "title: Mine")


def test_what_was_typed_into_a_file_that_cannot_be_read_any_more_stands_beside_it(desk: Desk) -> None:
    page = desk.open("recipe", PIECE)
    (desk.view.root / FILE).write_text("title: [a\n", "utf-8")
    again = desk.back("recipe", PIECE, page.sends(typed_={"title": "Mine"}))
    assert desk.text() == "title: [a\n"
    assert "title: [a" in again.words
    assert again.control("_text").value == TEXT.replace("title: A", "title: Mine")


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_a_broken_file_opens_as_its_text_and_is_mended_there(ends: str, desk: Desk) -> None:
    broken = TEXT.replace("[x, y]", "[x, y").replace("\n", ends)
    (desk.view.root / FILE).write_bytes(broken.encode())
    desk.view = open_view(desk.view.root, "private")
    page = desk.open("recipe", PIECE)
    assert page.faults() == []
    assert page.control("_text").value == broken.replace("\r\n", "\n")
    told = next(each for each in desk.view.notices if each.file == FILE)
    assert told.message.replace("`", "") in page.words
    still = desk.back("recipe", PIECE, page.sends(typed_={"_text": "title: {b\n"}))
    assert still.control("_text").value == "title: {b\n"
    assert desk.text() == broken
    # Nothing was typed: nothing is written.
    assert isinstance(desk.send("recipe", PIECE, page.sends()), Read)
    assert isinstance(desk.send("recipe", PIECE, still.sends(typed_={"_text": TEXT})), str)
    assert desk.text() == TEXT.replace("\n", ends)


def test_a_file_mended_by_somebody_else_meanwhile_is_shown_beside_what_was_typed(desk: Desk) -> None:
    (desk.view.root / FILE).write_text("title: [a\n", "utf-8")
    desk.view = open_view(desk.view.root, "private")
    page = desk.open("recipe", PIECE)
    (desk.view.root / FILE).write_text(TEXT, "utf-8")
    mine = TEXT.replace("title: A", "title: Mine")
    again = desk.back("recipe", PIECE, page.sends(typed_={"_text": mine}))
    assert desk.text() == TEXT
    assert "title: A   # said" in again.words
    assert again.control("_text").value == mine
    assert isinstance(desk.send("recipe", PIECE, again.sends()), str)
    assert desk.text() == mine


def test_any_document_can_be_written_as_its_text_and_is_not_broken_there(desk: Desk) -> None:
    page = desk.open("recipe", PIECE, [("_as", "text")])
    assert isinstance(desk.back("recipe", PIECE, page.sends(typed_={"_text": "title: [a"})), Read)
    assert isinstance(
        desk.back("recipe", PIECE, page.sends(typed_={"_text": TEXT.replace("version: 1", "version: no")})), Read
    )
    assert desk.text() == TEXT
    assert isinstance(desk.send("recipe", PIECE, page.sends(typed_={"_text": TEXT + "why: So.\n"})), str)
    assert desk.text() == TEXT + "why: So.\n"


def test_a_new_document_is_written_where_its_kind_lies_and_takes_no_others_name(desk: Desk) -> None:
    page = desk.open("new", "material", [("title", "Gel"), ("families", "wax")])
    assert page.control("title").value == "Gel"
    led = desk.send("new", "material", page.sends(typed_={"_name": "own-gel"}))
    assert led == "desk/done?file=recipes/materials/own-gel.yaml&from=desk/new/material"
    assert desk.text("recipes/materials/own-gel.yaml").endswith("\ntitle: Gel\nfamilies: [wax]\n")
    page = desk.open("new", "material", [("title", "Other"), ("families", "wax")])
    (desk.view.root / "recipes/materials/own-gel-2.yaml").write_text("title: X\n", "utf-8")
    again = desk.back("new", "material", page.sends(typed_={"_name": "own-gel-2"}))
    assert again.control("_name").said["aria-invalid"] == "true"
    assert desk.text("recipes/materials/own-gel-2.yaml") == "title: X\n"


def test_hostile_text_in_every_field_is_shown_as_text(desk: Desk) -> None:
    evil = "\"><script>alert(1)</script></textarea><img src=x onerror=alert(2)>'{{ 7*7 }}"
    page = desk.open("recipe", PIECE)
    page = desk.back("recipe", PIECE, page.sends("add mixes"))
    tags = page.tags
    names = {each.name for each in page.fields if each.tag != "select"}
    again = desk.back("recipe", PIECE, page.sends("look", dict.fromkeys(names, evil)))
    assert (again.tags["script"], again.tags["img"]) == (tags["script"], 0)
    assert {again.control(name).value for name in names} == {evil}
    assert again.faults() == []


def test_what_it_brings_about_elsewhere_is_told_and_does_not_stop_it(desk: Desk) -> None:
    (desk.view.root / "recipes/materials/own-gel.yaml").write_text("title: Gel\nfamilies: wax\n", "utf-8")
    (desk.view.root / FILE).write_text(
        TEXT + "mixes:\n  - {id: m, parts: [{material: own-gel, parts: 1}], maximum: x}\n", "utf-8"
    )
    desk.view = open_view(desk.view.root, "private")
    page = desk.open("material", "own-gel")
    looked = desk.back("material", "own-gel", page.sends("look", {"density": "5 parsecs"}))
    assert looked.control("density").said["aria-invalid"] == "true"
