"""Every document is written on a page of its own: sent unchanged it stays, what was typed is exactly what changes, nothing is lost."""

from __future__ import annotations

import random
import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from campaigns.seeds import REST, divided, seeds
from desk.forms.as_sent import another, lay_out
from desk.forms.test_sending import MISTAKES
from mothermold.answers.records import runs_of
from mothermold.desk.forms.making import form_of
from mothermold.desk.forms.sending import sent
from mothermold.desk.forms.trees import name_of, path_of
from mothermold.ground.errors import CannotRunError, MothermoldError
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


def test_the_form_of_a_locked_recipe_says_what_a_change_begins_and_what_needs_no_new_number(
    own_sample_book: Path,
) -> None:
    desk = Desk(open_view(own_sample_book, "private"))
    page = desk.open("recipe", "cast/face-piece")
    words = " ".join(page.words.split())
    runs = len(runs_of(desk.view, "cast/face-piece", 4))
    assert "Version 4 is locked" in words
    assert f"{runs} runs were done by it" in words
    assert "the save makes version 5 of it and asks why; version 4 stays as it is" in words
    free = words.partition("without a new number")[2].partition("a slip of the pen")[0]
    assert all(
        each in free
        for each in ("What it makes", "failures it answers", "how it comes off a person now", "(of a step)")
    )
    assert not any(each in free for each in ("mixes", "needs", "version", "status"))
    file = own_sample_book / "recipes/cast/face-piece.yaml"
    file.write_text(file.read_text().replace("status: locked", "status: draft"))
    assert "is locked" not in Desk(open_view(own_sample_book, "private")).open("recipe", "cast/face-piece").words


def test_a_locked_number_that_was_never_saved_says_nothing_of_the_next(desk: Desk) -> None:
    (desk.view.root / FILE).write_text(TEXT.replace("draft", "locked"))
    assert "is locked" not in Desk(open_view(desk.view.root, "private")).open("recipe", PIECE).words


def documents(view: View) -> Iterator[tuple[str, str, str]]:
    for document in sorted(view.documents.every(), key=lambda document: document.file):
        yield document.kind, document.address, document.file


def check_unchanged(desk: Desk, some: Iterable[tuple[str, str, str]]) -> int:
    number = 0
    for kind, address, file in some:
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


@pytest.mark.parametrize("rest", REST)
def test_every_document_of_the_sample_book_opened_on_its_page_and_sent_unchanged_stays_byte_for_byte(
    rest: bool, view: View
) -> None:
    assert check_unchanged(Desk(view), divided(documents(view), 5, rest)) > 30


@pytest.mark.parametrize("seed", seeds(1, 12))
def test_so_does_every_document_made_at_random(seed: int, tmp_path: Path) -> None:
    view = open_view(lay_out(seed, tmp_path), "private")
    assert check_unchanged(Desk(view), documents(view)) >= 15


@pytest.mark.parametrize("kind", KINDS)
def test_a_new_document_of_every_kind_has_a_page(kind: str, desk: Desk) -> None:
    page = desk.open("new", kind)
    assert page.faults() == []
    assert page.control("title")


def test_what_is_not_there_has_no_page(desk: Desk) -> None:
    for room, at in (("recipe", "cast/nothing"), ("new", "nothing"), ("new", ""), ("recipe", "")):
        assert ROOMS[room].show(Visit(desk.view, at, (), lambda: SEAL)) is None


@pytest.mark.parametrize("seed", seeds(3, 60))
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


@pytest.mark.parametrize("seed", seeds(4, 40))
def test_two_tabs_and_an_editor_in_any_order_lose_nothing(seed: int, desk: Desk) -> None:
    rng = random.Random(seed)
    # Each has a field of its own, and all of them the title.
    own = {"one": ("steps.0.title", "Pour"), "other": ("steps.1.title", "Open "), "editor": ("", "[x, y]")}
    tabs = {who: desk.open("recipe", PIECE) for who in ("one", "other")}
    expected, title = TEXT, "A"
    said = {who: words for who, (_name, words) in own.items()}
    for number, who in enumerate(rng.sample([*own, *own], 6)):
        is_titling = rng.random() < 0.4
        mine = f"{who}{number}"
        new = {"editor": f"[x, y, {mine}]", "one": f"{mine} step"}.get(who, f"{mine} step ")
        if who == "editor":
            text = desk.text().replace(said[who], new)
            if is_titling:
                text, title = text.replace(f"title: {title}   # said", f"title: {mine}   # said"), mine
            (desk.view.root / FILE).write_text(text, "utf-8")
            expected = text
        else:
            typed = {own[who][0]: new.strip()} | ({"title": mine} if is_titling else {})
            found = desk.send("recipe", PIECE, tabs[who].sends(typed_=typed))
            takes_mine = True
            if isinstance(found, Read):
                # Whoever changed the same as another sees both, and chooses.
                assert mine in found.words
                undecided = {each.name for each in found.fields if each.name.startswith("_take.")} - {
                    each.name for each in found.fields if "checked" in each.said
                }
                assert undecided <= {"_take.title"}
                takes_mine = not undecided or rng.random() < 0.5
                assert title in found.words
                chosen = [(name, "mine" if takes_mine else "theirs") for name in undecided]
                found = desk.send("recipe", PIECE, [*found.sends("choose"), *chosen])
            assert isinstance(found, str), found.words
            expected = expected.replace(f"title: {said[who]}", f"title: {new}")
            if is_titling and takes_mine:
                expected, title = expected.replace(f"title: {title}   # said", f"title: {mine}   # said"), mine
            desk.view = open_view(desk.view.root, "private")
            tabs[who] = desk.open("recipe", PIECE)
        said[who] = new
        assert desk.text() == expected


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


def test_looking_writes_nothing_whatever_the_form_is(desk: Desk) -> None:
    page = desk.open("recipe", PIECE, [("_as", "text")])
    typed = [(name, text) for name, text in page.sends(typed_={"_text": TEXT + "why: So.\n"}) if name != "_do"]
    for pressed in ("look", "again", "", "nothing"):
        desk.back("recipe", PIECE, [*typed, ("_do", pressed)])
        desk.back("recipe", PIECE, [("title", "B"), ("_do", pressed)])
    desk.back("recipe", PIECE, desk.open("recipe", PIECE).sends("look", {"title": "B"}))
    desk.back("new", "material", [("title", "Gel"), ("families", "wax"), ("_do", "look")])
    desk.back("new", "recipe", [("_note", "Chin"), ("_do", "note")])
    assert desk.text() == TEXT
    assert not (desk.view.root / "recipes/materials/gel.yaml").exists()


def test_a_text_whose_file_is_gone_or_broken_meanwhile_is_not_lost(desk: Desk) -> None:
    page = desk.open("recipe", PIECE, [("_as", "text")])
    (desk.view.root / FILE).write_text("title: [a\n", "utf-8")
    again = desk.back("recipe", PIECE, page.sends(typed_={"_text": TEXT + "why: So.\n"}))
    assert "title: [a" in again.words
    assert isinstance(desk.send("recipe", PIECE, again.sends()), str)
    assert desk.text() == TEXT + "why: So.\n"
    (desk.view.root / FILE).unlink()
    again = desk.back("recipe", PIECE, again.sends(typed_={"_text": TEXT}))
    assert "is not there any more" in again.words
    assert again.control("_text").value == TEXT
    # Nobody has it any more: it is a new one, with all that was typed.
    desk.view = open_view(desk.view.root, "private")
    again = desk.back("recipe", PIECE, again.sends(typed_={"_text": TEXT.replace("title: A", "title: Mine")}))
    assert again.control("title").value == "Mine"


def test_the_settings_have_a_page_with_the_emergency_card_in_them(desk: Desk) -> None:
    for at in ("", "book"):
        page = desk.open("book", at)
        assert page.faults() == []
        assert "When somebody is hurt" in page.words
        assert page.form["action"] == ("../../desk/book/book" if at else "../desk/book")


def test_there_is_one_file_of_settings_and_whoever_begins_another_writes_in_it(desk: Desk) -> None:
    page = desk.open("new", "book")
    assert page.control("title").value == desk.open("book", "book").control("title").value
    before = desk.text("recipes/book.yaml")
    assert isinstance(desk.send("new", "book", page.sends(typed_={"title": "Another"})), str)
    assert desk.text("recipes/book.yaml") != before
    (desk.view.root / "recipes/book.yaml").unlink()
    desk.view = open_view(desk.view.root, "private")
    page = desk.open("new", "book")
    assert isinstance(desk.send("new", "book", page.sends(typed_={"title": "Third"})), str)
    assert "title: Third" in desk.text("recipes/book.yaml")


def test_a_form_that_arrives_damaged_is_refused_and_shown_again_with_what_was_typed(desk: Desk) -> None:
    pairs = [(name, "damaged" if name == "_opened" else text) for name, text in desk.open("recipe", PIECE).sends()]
    visit = Visit(desk.view, PIECE, arrives([*pairs, ("title", "B")]), lambda: SEAL)
    with pytest.raises(CannotRunError) as refused:
        ROOMS["recipe"].take(visit)
    again = ROOMS["recipe"].show(replace(visit, said=str(refused.value)))
    assert again is not None
    assert Read(again.body).control("title").value == "B"
    assert "did not arrive whole" in Read(again.body).words


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


@pytest.mark.parametrize("name", ["../../../evil", "a/b", "Evil Name", "con", "x" * 300, "..", ".hid"])
def test_a_name_that_cannot_be_one_is_told_beside_it_and_no_file_is_made(name: str, desk: Desk) -> None:
    before = sorted(desk.view.root.parent.rglob("*"))
    for kind, said in (("material", {"families": "wax"}), ("mold", {"_build": "../../z"})):
        page = desk.open("new", kind)
        again = desk.back("new", kind, page.sends(typed_={"title": "T"} | said | {"_name": name}))
        assert again.control("_name").said["aria-invalid"] == "true"
        assert again.control("_name").value == name
        assert kind == "material" or again.control("_build").said["aria-invalid"] == "true"
    assert sorted(desk.view.root.parent.rglob("*")) == before


@pytest.mark.parametrize("started", ["2026.13.45", "[", "?", "noon"])
def test_a_new_run_that_began_on_no_day_is_told_so_at_once(started: str, desk: Desk) -> None:
    page = desk.open("new", "run")
    again = desk.back("new", "run", page.sends(typed_={"started": started, "kind": "test"}))
    assert (again.control("started").value, again.control("started").said["aria-invalid"]) == (started, "true")


@pytest.mark.parametrize("kind", KINDS)
def test_hostile_text_in_every_field_is_shown_as_text(kind: str, desk: Desk) -> None:
    evil = "\"><script>alert(1)</script></textarea></select><img src=x onerror=alert(2)>'{{ 7*7 }}"
    page = desk.open("new", kind)
    lists = [each.value for each in page.controls if each.tag == "button" and each.value.startswith("add ")]
    for button in lists:
        page = desk.back("new", kind, page.sends(button))
    tags = page.tags
    # Nobody can fill in which file is chosen.
    names = {each.name for each in page.fields if each.said.get("type") != "file"}
    assert len(names) > 8
    again = desk.back("new", kind, page.sends("look", dict.fromkeys(names, evil)))
    assert (again.tags["script"], again.tags["img"]) == (tags["script"], 0)
    assert {again.control(name).value for name in names} == {evil}
    assert again.faults() == []


def test_what_it_brings_about_elsewhere_is_told_and_does_not_stop_it(own_sample_book: Path) -> None:
    desk = Desk(open_view(own_sample_book, "private"))
    build = "builds/reed-cutter"
    page = desk.open("build", "reed-cutter")
    place = next(each.name for each in page.fields if each.value == "face-painted" and each.name.endswith(".id"))
    looked = desk.back("build", "reed-cutter", page.sends("look", {place: "face-done"}))
    assert "What it would bring about elsewhere" in looked.words
    sentence = "No thing of the build reed-cutter is called face-painted."
    assert sentence in looked.words
    assert "id: face-painted" in desk.text(f"recipes/{build}/build.yaml")
    written = desk.back("build", "reed-cutter", looked.sends())
    assert "is written" in written.words
    assert sentence in written.words
    assert any("desk/done?file=recipes/builds/reed-cutter/build.yaml" in each for each in written.hrefs)
    assert "id: face-painted" not in desk.text(f"recipes/{build}/build.yaml")


def mistaken(view: View, rng: random.Random) -> tuple[str, str, str, str, str]:
    """A document, and a field of it with something typed into it that cannot stand."""
    kind, address, file = rng.choice(list(documents(view)))
    fields = [each for each in form_of(view, kind, address).fields if each.kind in MISTAKES and not each.stiff]
    field = rng.choice([each for each in fields if not each.many and each.own] or [None])
    return (
        (kind, address, file, name_of(field.path), rng.choice(MISTAKES[field.kind]))
        if field is not None
        else mistaken(view, rng)
    )


@pytest.mark.parametrize("seed", seeds(2, 60))
def test_a_mistake_anywhere_is_told_beside_its_field_in_the_words_of_check(
    seed: int, view: View, own_sample_book: Path
) -> None:
    rng, desk = random.Random(seed), Desk(view)
    while True:
        kind, address, file, name, mistake = mistaken(view, rng)
        page = desk.open(kind, address)
        again = desk.back(kind, address, page.sends("look", {name: mistake}))
        was = {each.message for each in view.notices if each.file == file}
        (own_sample_book / file).write_text(sent_text(desk, kind, address, name, mistake), "utf-8")
        told = {each.message for each in open_view(own_sample_book, "private").notices if each.file == file} - was
        (own_sample_book / file).write_bytes((view.root / file).read_bytes())
        if told:
            break
    assert again.control(name).value == mistake
    for sentence in told:
        assert plain(sentence) in again.words, (file, name, mistake)
    beside = " ".join(again.texts.get(each, "") for each in again.control(name).said["aria-describedby"].split())
    assert any(plain(each) in beside for each in told) or again.control(name).said.get("aria-invalid") is None


def sent_text(desk: Desk, kind: str, address: str, name: str, mistake: str) -> str:
    """The text of the file, were the mistake written into it."""
    form = form_of(desk.view, kind, address)
    return sent(desk.view, form, [(path_of(name), mistake)]).typed or form.text


def plain(sentence: str) -> str:
    """A sentence as it is read, without the marks of what is typed."""
    return re.sub(r"`([^`]+)`", r"\1", sentence)


# What it makes, and where it is begun


def test_looking_at_a_recipe_shows_what_the_change_makes_in_words_grams_and_hours(view: View) -> None:
    desk = Desk(view)
    page = desk.open("recipe", "cast/face-piece")
    assert "Since version" not in page.words
    told = desk.back(
        "recipe", "cast/face-piece", page.sends("look", {"steps.0.hands_on": "3 h", "mixes.0.fills": "90 ml"})
    )
    assert told.faults() == []
    assert "Since version 4: 2 changes" in told.words
    assert "hands-on time 30 min → 3 h" in told.words
    assert "Hands-on time" in told.words
    refused = desk.back("recipe", "cast/face-piece", page.sends("look", {"version": "one"}))
    assert "Mend what is said beside the fields" in refused.words
    # Another kind is only looked over.
    name = sorted(view.on("material"))[0]
    page = desk.open("material", name)
    assert "Since version" not in desk.back("material", name, page.sends("look")).words


def test_a_recipe_is_begun_from_another_with_its_comments_as_a_draft_of_its_own(desk: Desk) -> None:
    (desk.view.root / FILE).write_text(
        TEXT.replace("version: 1", "version: 3").replace("draft", "locked") + "why: So.\n"
    )
    desk.view = open_view(desk.view.root, "private")
    begun = desk.open("new", "recipe", [("_from", PIECE)])
    assert begun.faults() == []
    assert isinstance(desk.send("new", "recipe", begun.sends(typed_={"title": "Another", "_name": "another"})), str)
    assert desk.text("recipes/cast/another.yaml") == TEXT.replace("title: A ", "title: Another ")
    assert ROOMS["new"].show(Visit(desk.view, "recipe", (("_from", "cast/nothing"),), lambda: SEAL)) is None


NOTE = "Soft chin\n\nBase:\n- 100 g <b>gel</b>\n- 5 g wax-block\n1) Stipple & wait 30 min. Never wipe.\n"


def test_a_recipe_is_begun_from_an_old_note_whose_lines_are_seen_first(desk: Desk) -> None:
    (desk.view.root / "recipes/materials/wax-block.yaml").write_text("title: Wax\nfamilies: wax\n", "utf-8")
    desk.view = open_view(desk.view.root, "private")
    page = desk.open("new", "recipe")
    assert page.faults() == []
    seen = desk.back("new", "recipe", [("_note", NOTE), ("_do", "note")])
    assert seen.faults() == []
    assert [each for each in ("its title", "a heading", "a part of a mix", "a step") if each not in seen.words] == []
    assert seen.control("_line.5").value == "wax-block"
    begun = desk.back("new", "recipe", seen.sends("begin"))
    assert begun.control("title").value == "Soft chin"
    assert begun.control("mixes.+1.parts.+1.material").value == "wax-block"
    assert begun.control("steps.+1.title").value == "100 g <b>gel</b>"
    assert begun.tags["b"] == 0
    # Whoever says it is none of these is believed.
    begun = desk.back("new", "recipe", seen.sends("begin", {"_line.5": ""}))
    assert begun.control("mixes.+1.parts.+1.material").value == ""
    again = begun.sends(typed_={"stage": "cast", "_name": "chin"})
    assert isinstance(desk.send("new", "recipe", again), str)
    assert "Stipple & wait 30 min. Never wipe." in desk.text("recipes/cast/chin.yaml")


ODD = (
    "", "0", "+1", "0+1", "99", "999999999999", "+", "++", "a.b", "\0", "-1", "[", "{", "\n", "x" * 300, "mine", "look",
    "again", "add steps", "add title", "up title", "down ", "remove steps", "double needs", "more x", "more steps.0",
    "choose", "write", "note", "begin", "text",
)  # fmt: skip
STEPS = (
    "steps 0 1 +1 + 2+1 uses title 99 needs mixes parts wait time _take _text _as _do _opened _name _build _from _note"
)


@pytest.mark.parametrize("seed", seeds(4, 30))
def test_whatever_is_sent_gives_a_page_or_a_sentence(seed: int, desk: Desk) -> None:
    rng = random.Random(seed)
    for _ in range(8):
        room, at = rng.choice([("recipe", PIECE), ("new", "recipe"), ("new", "run"), ("new", "book"), ("book", "")])
        pairs = desk.open(room, at).sends("look")
        for _ in range(rng.randint(1, 6)):
            place = rng.randrange(len(pairs))
            name = ".".join(rng.choice([*STEPS.split(), ""]) for _ in range(rng.randint(1, 5)))
            pairs[place : place + rng.randint(0, 1)] = [(rng.choice([name, pairs[place][0]]), rng.choice(ODD))]
        for deed in (ROOMS[room].show, ROOMS[room].take):
            with suppress(MothermoldError):
                deed(Visit(desk.view, at, tuple(pairs), lambda: SEAL))
        desk.view = open_view(desk.view.root, "private")
