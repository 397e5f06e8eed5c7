"""*I made one*: two steps, everything on one page, and the run stands in the book as its whole form would have written it."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path
from urllib.parse import parse_qsl, urlsplit

from playwright.sync_api import Browser, expect

from desk.answering import files
from mothermold.desk.shop import Shop
from mothermold.model.run import Run
from mothermold.view.view import open_view
from serve.desk_rooms.in_a_window import Window, opened
from serve.desk_rooms.sitting_down import Desk

NOSE = "Nose in encapsulated gel silicone"
HOSTILE = '"><script>alert(1)</script>'


def written(desk: Desk | Window) -> tuple[str, Run]:
    """The file and the run somebody was led to."""
    file = dict(parse_qsl(urlsplit(desk.here).query))["file"]
    view = open_view(desk.book, "private")
    return file, next(view.models(Run)[name] for name, each in view.on("run").items() if each.file == file)


def test_the_recipe_of_the_last_run_stands_first_and_an_older_version_behind_all_newest(desk: Desk) -> None:
    view = open_view(desk.book, "private")
    last = max((run for run in view.models(Run).values() if run.recipe), key=lambda run: run.started)
    desk.go("desk/made")
    recipes = [where.partition("recipe=")[2] for where, _ in desk.read.links if "recipe=" in where]
    assert recipes[0].partition("%40")[0].replace("%2F", "/") == last.recipe.address  # type: ignore[union-attr]
    addresses = [each.partition("%40")[0] for each in recipes]
    newest = len(set(addresses))
    assert len(set(addresses[:newest])) == newest
    assert newest < len(addresses)


def test_a_run_of_yesterday_is_written_with_all_that_was_typed(desk: Desk) -> None:
    desk.go("desk/made").follow(NOSE)
    assert desk.controls["mold"].value == "nose-mold-2"
    assert desk.controls["_for"].value == "reed-cutter/nose"
    assert [each.value for each in desk.read.forms[0].controls if each.name == "_lots" and each.sent] == []
    typed = {
        "started": "yesterday 14:10", "finished": "17:40", "_weighed.base": "41", "outcome": "usable", "conditions.room": "21",
        "_what": "A fold at the rim", "_step": "open", "_lots": ["gel-silicone-a 0702A"], "_note": "Poured in two lifts.",
    }  # fmt: skip
    desk.press("Write", typed)
    file, run = written(desk)
    day = (Shop(open_view(desk.book, "private")).now - timedelta(days=1)).date()
    assert run.started == datetime(day.year, day.month, day.day, 14, 10, tzinfo=run.started.tzinfo)
    assert run.finished is not None
    assert run.finished.date() == day
    assert file.startswith("recipes/builds/reed-cutter/runs/")
    assert [(str(each.mix), str(each.weighed)) for each in run.batch] == [("base", "41 g")]
    assert [(each.what, str(each.step)) for each in run.went_wrong] == [("A fold at the rim", "open")]
    assert [(str(each.material), str(each.lot)) for each in run.lots] == [("gel-silicone-a", "0702A")]
    assert [each.note for each in run.changed] == ["Poured in two lifts."]
    assert str(run.conditions and run.conditions.room) == "21 degC"
    assert "Nothing is wrong with it." in desk.text
    assert 'data-from="desk/made?recipe=' in desk.page.body


def test_a_failure_of_the_book_is_named_by_its_title(desk: Desk) -> None:
    desk.go("desk/made").follow(NOSE).press("Write", {"_what": "piece tore at the nostril", "outcome": "scrapped"})
    assert [str(each.failure) for each in written(desk)[1].went_wrong] == ["tore-at-the-nostril"]


def test_what_cannot_be_read_is_said_at_its_field_and_nothing_is_written(desk: Desk) -> None:
    before = files(desk.book)
    desk.go("desk/made").follow(NOSE).press("Write", {"started": "someday", "_weighed.base": "many"})
    assert "someday cannot be read as a day and a time" in desk.text
    assert "many cannot be read as a weight or a volume" in desk.text
    assert desk.controls["started"].value == "someday"
    assert files(desk.book) == before


def test_all_other_fields_are_one_press_away_with_what_was_typed(desk: Desk) -> None:
    before = files(desk.book)
    desk.go("desk/made").follow(NOSE).press(
        "All other", {"_weighed.base": "41 g", "_what": "It tore", "outcome": "scrapped"}
    )
    assert desk.here.startswith("desk/new/run?")
    assert desk.controls["recipe"].value == "cast/nose-piece@4"
    assert desk.controls["batch.+1.weighed"].value == "41 g"
    assert desk.controls["went_wrong.+1.what"].value == "It tore"
    assert desk.controls["outcome"].value == "scrapped"
    assert files(desk.book) == before


def test_hostile_words_are_words(desk: Desk) -> None:
    desk.go("desk/made").follow(NOSE).press("Write", {"started": HOSTILE, "_what": HOSTILE, "_note": HOSTILE})
    assert desk.controls["_note"].value == HOSTILE
    assert "script" not in desk.read.tags
    desk.press("Write", {"started": "now"})
    assert "script" not in desk.read.tags
    assert written(desk)[1].went_wrong[0].what == HOSTILE


def test_of_an_empty_book_it_leads_to_writing_the_recipe(desk: Desk) -> None:
    for path in [*(desk.book / "recipes").rglob("*.yaml")]:
        if path.name != "book.yaml":
            path.unlink()
    (desk.book / ".git").rename(desk.book / "was")
    assert "no recipe yet" in desk.go("desk/made").text


def test_what_was_typed_of_a_run_comes_back_after_a_crash_and_goes_once_it_is_written(
    chromium: Browser, tmp_path: Path, desk: Desk
) -> None:
    (tmp_path / "around").mkdir()
    with opened(chromium, desk.book, tmp_path / "around") as window:
        page = window.go("desk/made").follow(NOSE).browser
        page.locator('[name="_note"]').fill("Warm room")
        # Enter looks, and writes nothing.
        page.keyboard.press("Enter")
        page.wait_for_timeout(500)
        before = files(desk.book)
        here = window.here
        page.goto("about:blank")
        window.go(here)
        expect(page.locator(".desk-back")).to_contain_text("is back")
        assert window.controls["_note"].value == "Warm room"
        assert files(desk.book) == before
        window.press("Write it into the book", {"started": "yesterday 14:10"})
        assert "It stands in the book" in window.text
        assert written(window)[1].changed[0].note == "Warm room"
        assert page.evaluate("Object.keys(localStorage).filter((each) => each.includes('desk/made')).length") == 0
