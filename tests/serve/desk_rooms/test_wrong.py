"""*It went wrong*: first aid before all else, then what it may be; a yes is noted in a run, a no begins a note. And what comes next."""

from __future__ import annotations

import pytest

from desk.answering import files
from mothermold.find.shouted import shouted
from mothermold.model.failure import Failure
from mothermold.model.run import Run
from mothermold.view.view import open_view
from serve.desk_rooms.sitting_down import Desk
from serve.desk_rooms.test_made import written

HOSTILE = "<script>alert(1)</script>"


@pytest.mark.parametrize(
    "words", ["silicone catalyst in my eye", "she cannot breathe under the cast", "it tore at the nostril"]
)
def test_somebody_hurt_comes_first_and_by_the_same_decision_as_everywhere(desk: Desk, words: str) -> None:
    desk.go("desk/wrong").press("What is it", {"words": words})
    rows = shouted(words)
    for row in rows:
        assert row.acts[0].words in desk.text
        assert desk.text.index(row.title) < desk.text.index(
            "None of these" if "None of these" in desk.text else "It is new"
        )
    assert ("first-aid" in desk.page.body) == bool(rows)
    if rows:
        assert desk.page.body.index("first-aid") < desk.page.body.index(
            "None of these" if "None of these" in desk.page.body else "It is new"
        )
        assert "Salt Yard 3" in desk.text


def test_what_it_may_be_stands_there_with_what_to_do_now_and_how_often(desk: Desk) -> None:
    desk.go("desk/wrong?words=tore+at+the+nostril")
    assert "Piece tore at the nostril" in desk.text
    assert "What to do now" in desk.text
    assert "last on" in desk.text


def under_way(desk: Desk) -> str:
    desk.go("desk/made").follow("Nose in encapsulated").press("Write")
    return str(written(desk)[1].id)


def test_yes_this_one_is_noted_in_the_run_under_way_and_only_once(desk: Desk) -> None:
    run = under_way(desk)
    desk.go("desk/wrong?words=tore+at+the+nostril")
    assert desk.controls["run"].value == run
    pairs = next(form for form in desk.read.forms if ("failure", "tore-at-the-nostril") in form.sent()).sent(
        {"harm": "piece lost"}
    )
    desk.send("desk/wrong", pairs)
    noted = written(desk)[1]
    assert [(str(each.failure), each.harm) for each in noted.went_wrong] == [("tore-at-the-nostril", "piece lost")]
    before = files(desk.book)
    desk.send("desk/wrong", pairs)
    assert "says so already" in desk.said
    assert files(desk.book) == before


def test_what_a_run_says_already_stays_when_more_is_noted(desk: Desk) -> None:
    view = open_view(desk.book, "private")
    name, old = next((name, run) for name, run in view.models(Run).items() if len(run.went_wrong) > 1)
    desk.send("desk/wrong", (("failure", "cracked-mold"), ("run", name), ("harm", "")))
    now = open_view(desk.book, "private").models(Run)[name]
    assert now.went_wrong[:-1] == old.went_wrong
    assert str(now.went_wrong[-1].failure) == "cracked-mold"


def test_in_a_run_that_is_not_written_yet_it_goes_on_to_the_run(desk: Desk) -> None:
    desk.send("desk/wrong", (("failure", "tore-at-the-nostril"), ("run", "")))
    assert "It went wrong with it: Piece tore at the nostril." in desk.text
    desk.follow("Nose in encapsulated")
    assert desk.controls["_what"].value == "tore-at-the-nostril"
    desk.press("Write", {"outcome": "scrapped"})
    assert [str(each.failure) for each in written(desk)[1].went_wrong] == ["tore-at-the-nostril"]


def test_none_of_these_begins_a_note_with_the_words(desk: Desk) -> None:
    desk.go("desk/wrong?words=the+filler+went+all+zippered").follow("Write a failure note")
    assert desk.controls["title"].value == "The filler went all zippered"
    assert "the filler went all zippered" in [
        each.value for form in desk.read.forms for each in form.controls if each.name == "symptoms"
    ]


@pytest.mark.parametrize(
    ("failure", "run", "said"),
    [("nothing", "", "No failure note is called"), ("cracked-mold", "r-0", "No run is called")],
)
def test_a_name_that_is_not_there_is_refused(desk: Desk, failure: str, run: str, said: str) -> None:
    before = files(desk.book)
    desk.send("desk/wrong", (("failure", failure), ("run", run)))
    assert said in desk.said
    assert files(desk.book) == before


def test_hostile_words_are_words(desk: Desk) -> None:
    desk.go("desk/wrong").press("What is it", {"words": HOSTILE})
    assert desk.controls["words"].value == HOSTILE
    assert "script" not in desk.read.tags


def test_a_note_offers_the_runs_that_told_of_it_and_a_yes_names_it_there(desk: Desk) -> None:
    desk.go("desk/made").follow("Nose in encapsulated").press(
        "Write", {"_what": "Zippered along the bridge", "outcome": "scrapped"}
    )
    run = str(written(desk)[1].id)
    desk.follow("Write the failure note")
    assert desk.controls["title"].value == "Zippered along the bridge"
    assert desk.controls["seen_at"].value == "cast"
    desk.press("Write it into the book")
    assert "Do these runs tell of the same?" in desk.text
    assert "Zippered along the bridge" in desk.text
    desk.press("Yes, this one")
    name = next(
        name
        for name, note in open_view(desk.book, "private").models(Failure).items()
        if note.title == "Zippered along the bridge"
    )
    told = open_view(desk.book, "private").models(Run)[run]
    assert [(str(each.failure), each.what) for each in told.went_wrong] == [(name, "Zippered along the bridge")]
    assert "names it now" in desk.text
    assert "Do these runs" not in desk.text


def test_because_of_a_run_the_next_version_is_begun_with_its_number_and_its_reason(desk: Desk) -> None:
    before = files(desk.book)
    desk.go("desk/next").follow("Full face with brow bands")
    assert {key: desk.controls[key].value for key in ("version", "status")} == {"version": "6", "status": "draft"}
    assert desk.controls["why"].value == "In the run of 2026-08-20: Glue shines at the edge of the cheek."
    fixes = [each.value for form in desk.read.forms for each in form.controls if each.name == "fixes" and each.value]
    assert fixes == ["glue-shines-at-the-edge"]
    assert files(desk.book) == before


def test_because_of_a_note_it_is_asked_which_recipe_and_a_draft_keeps_its_number_and_its_reason(desk: Desk) -> None:
    file = desk.book / "recipes/cast/nose-piece.yaml"
    text = file.read_text(encoding="utf-8").replace("version: 4\nstatus: locked", "version: 5\nstatus: draft")
    file.write_text(text, encoding="utf-8")
    desk.go("desk/next?because=failure/cracked-mold")
    assert "Because of: Mold cracked while being opened" in desk.text
    desk.follow("Nose in encapsulated")
    assert desk.controls["version"].value == "5"
    assert desk.controls["why"].value.startswith("The words said a drop of soap")
    fixes = [each.value for form in desk.read.forms for each in form.controls if each.name == "fixes" and each.value]
    assert fixes[-1] == "cracked-mold"


def test_because_of_nothing_that_is_there_it_says_so_and_begins_all_the_same(desk: Desk) -> None:
    desk.go("desk/next/cast/nose-piece?because=run/r-0")
    assert "No run is called r-0." in desk.text
    assert desk.controls["version"].value == "5"
    assert not desk.is_there("desk/next/cast/nobody")


@pytest.mark.parametrize("file", ["", "recipes/runs/none.yaml", "../x.yaml", "recipes/../x.yaml", ".git/config"])
def test_what_does_not_stand_in_the_book_is_not_done(desk: Desk, file: str) -> None:
    assert not desk.is_there(f"desk/done?file={file}")
