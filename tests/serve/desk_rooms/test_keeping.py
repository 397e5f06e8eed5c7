"""What a draft lacks, who sees what, and the emergency card: each is shown with what it takes, and written by the one door."""

from __future__ import annotations

import pytest

from desk.answering import files
from mothermold.answers.open_needs import find_needs
from mothermold.model.course import Course
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.view.editions import visibility_of
from mothermold.view.view import open_view
from serve.desk_rooms.sitting_down import Desk

RECIPE = "recipes/cast/nose-piece.yaml"
HOSTILE = "<script>alert(1)</script>"


def draft(desk: Desk, *changes: tuple[str, str]) -> None:
    file = desk.book / RECIPE
    text = file.read_text(encoding="utf-8")
    for old, new in (("version: 4\nstatus: locked", "version: 5\nstatus: draft"), *changes):
        assert old in text
        text = text.replace(old, new, 1)
    file.write_text(text, encoding="utf-8")


def test_a_draft_that_lacks_nothing_is_locked_and_saved_under_its_number(desk: Desk) -> None:
    draft(desk)
    before = files(desk.book)
    desk.go("desk/locking/cast/nose-piece")
    assert "Nothing is missing." in desk.text
    assert files(desk.book) == before
    desk.press("Lock it")
    assert open_view(desk.book, "private").models(Recipe)["cast/nose-piece"].status == "locked"
    assert "It stands in the book" in desk.text
    desk.go("desk/save").press("Save", {"why": "So it stays."})
    versions = open_view(desk.book, "private").versions("cast/nose-piece")
    assert versions is not None
    assert [(row.number, row.status) for row in versions.rows][-1] == (5, "locked")


def test_what_it_lacks_leads_to_the_field_and_there_is_no_button(desk: Desk) -> None:
    draft(desk, ("fills: 22 ml", "fills: much"))
    desk.go("desk/locking/cast/nose-piece")
    assert "Missing, or wrong" in desk.text
    assert "../../../desk/recipe/cast/nose-piece#f-mixes.2.fills" in [where for where, _ in desk.read.links]
    assert desk.read.forms == []
    before = files(desk.book)
    desk.send("desk/locking/cast/nose-piece", (("digest", "x"),))
    assert "changed meanwhile" in desk.said
    assert files(desk.book) == before


def test_a_reason_is_missing_from_the_second_version_on(desk: Desk) -> None:
    file = desk.book / RECIPE
    text = file.read_text(encoding="utf-8")
    start, end = text.index("why:"), text.index("visibility:")
    file.write_text(
        (text[:start] + text[end:]).replace("version: 4\nstatus: locked", "version: 5\nstatus: draft"), encoding="utf-8"
    )
    desk.go("desk/locking/cast/nose-piece")
    assert "cast/nose-piece becomes version 5, and nothing says why." in desk.text
    assert any(where.endswith("desk/recipe/cast/nose-piece#f-why") for where, _ in desk.read.links)
    assert desk.read.forms == []


def test_a_locked_version_is_not_locked_again(desk: Desk) -> None:
    assert "Version 4 of cast/nose-piece is locked already." in desk.go("desk/locking/cast/nose-piece").text
    assert desk.read.forms == []
    assert not desk.is_there("desk/locking/cast/nobody")


def test_every_document_stands_there_with_who_sees_it(desk: Desk) -> None:
    desk.go("desk/editions")
    view = open_view(desk.book, "private")
    for kind in ("material", "recipe", "course", "build", "run", "mold", "failure"):
        for address in view.on(kind):
            assert f"../desk/editions/{kind}/{address}" in [where for where, _ in desk.read.links]


def test_a_material_is_opened_and_kept_to_oneself_again(desk: Desk) -> None:
    view = open_view(desk.book, "private")
    name = next(name for name, each in view.of(Material).items() if visibility_of(each) == "public")
    document = view.on("material")[name]
    desk.go(f"desk/editions/material/{name}").press("For me alone")
    now = open_view(desk.book, "private").on("material")[name]
    assert visibility_of(now) == "private"
    desk.press("to the class")
    assert visibility_of(open_view(desk.book, "private").on("material")[name]) == "class"
    assert "now that the class may see it" in desk.text
    assert len(now.text.splitlines()) == len(document.text.splitlines())


def test_a_course_is_opened_with_all_it_needs_and_with_nothing_that_was_not_shown(desk: Desk) -> None:
    view = open_view(desk.book, "private")
    course = next(iter(view.of(Course)))
    for each in (desk.book / "recipes/materials").glob("*.yaml"):
        each.write_text(
            each.read_text(encoding="utf-8").replace("visibility: public", "visibility: private"), encoding="utf-8"
        )
    needs = find_needs(open_view(desk.book, "private"), course, "public")
    assert len(needs.opens) > 2
    desk.go(f"desk/editions/course/{course}")
    for each in needs.opens:
        assert each.file in desk.text
    before = files(desk.book)
    desk.send(f"desk/editions/course/{course}", (("to", "public"), ("opens", needs.opens[0].file)))
    assert "is not what it was" in desk.said
    assert files(desk.book) == before
    desk.press("to the public")
    now = open_view(desk.book, "private")
    assert find_needs(now, course, "public").opens == ()
    changed = {name for name, data in files(desk.book).items() if data != before.get(name)}
    assert changed == {each.file for each in needs.opens}


@pytest.mark.parametrize("to", ["", "everybody", HOSTILE])
def test_nothing_is_opened_to_nobody(desk: Desk, to: str) -> None:
    before = files(desk.book)
    desk.send("desk/editions/material/isopropanol-99", (("to", to),))
    assert desk.said == f"Nothing is opened to `{to}`."
    assert "script" not in desk.read.tags
    assert files(desk.book) == before


def test_the_card_is_written_and_no_other_line_of_the_settings(desk: Desk) -> None:
    file = desk.book / "recipes/book.yaml"
    before = file.read_text(encoding="utf-8").splitlines()
    desk.go("desk/emergency")
    assert desk.controls["emergency.nearest"].value == "the hospital across the dike (invented), 9 min by car"
    desk.press("Write", {"emergency.nearest": "the hospital in the dunes (invented)"})
    after = file.read_text(encoding="utf-8").splitlines()
    assert [(old, new) for old, new in zip(before, after, strict=True) if old != new] == [
        (
            "  nearest: the hospital across the dike (invented), 9 min by car",
            "  nearest: the hospital in the dunes (invented)",
        )
    ]


def test_settings_changed_meanwhile_are_not_written_over(desk: Desk) -> None:
    file = desk.book / "recipes/book.yaml"
    desk.go("desk/emergency")
    other = file.read_text(encoding="utf-8").replace("9 min by car", "12 min by car")
    file.write_text(other, encoding="utf-8")
    desk.press("Write", {"emergency.nearest": HOSTILE})
    assert file.read_text(encoding="utf-8") == other
    assert desk.controls["emergency.nearest"].value == HOSTILE
    assert "12 min by car" in desk.text
    assert "script" not in desk.read.tags
    desk.press("Write")
    assert HOSTILE in file.read_text(encoding="utf-8")
    assert "script" not in desk.read.tags


def test_what_cannot_be_read_is_opened_to_nobody_and_every_room_says_so(desk: Desk) -> None:
    (desk.book / RECIPE).write_text("title: A\n  steps: [\n", encoding="utf-8")
    (desk.book / "recipes/materials/isopropanol-99.yaml").write_text(": {", encoding="utf-8")
    before = files(desk.book)
    for address in (
        "desk/",
        "desk/save",
        "desk/undo",
        "desk/made",
        "desk/next",
        "desk/wrong?words=stuck",
        "desk/editions",
    ):
        desk.go(address)
    assert "cannot be read" in desk.go("desk/locking/cast/nose-piece").text
    for address in ("recipe/cast/nose-piece", "material/isopropanol-99"):
        assert "Mend it first" in desk.go(f"desk/editions/{address}").text
        desk.send(f"desk/editions/{address}", (("to", "public"),))
        assert "cannot be read" in desk.said
    assert "What is wrong with it" in desk.go(f"desk/done?file={RECIPE}").text
    assert files(desk.book) == before
