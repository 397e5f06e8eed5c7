"""A build writes itself up: what the book knows of it, in its maker's order, and nothing its edition does not hold."""

from __future__ import annotations

import re
import shutil
from html import unescape
from pathlib import Path

import pytest
import yaml

from mothermold.pages.all_pages import addresses
from mothermold.pages.write_up import write_up_page
from mothermold.publish.carried.placing import build_one_file
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import open_view

BUILD = "saltpan-keeper"
FILE = f"recipes/builds/{BUILD}/build.yaml"


def _body(book: Path, edition: Edition = "private", build: str = BUILD) -> str:
    page = write_up_page(open_view(book, edition), build)
    assert page is not None
    return page.body


def _headings(body: str) -> list[str]:
    return [unescape(re.sub("<[^>]+>", "", each)).strip() for each in re.findall(r"<h2>(.*?)</h2>", body)]


def _with_chapters(book: Path, chapters: str) -> None:
    file = book / FILE
    text = file.read_text(encoding="utf-8")
    start = text.index("write_up:")
    file.write_text(text[:start] + chapters + text[text.index("photos:\n  - file: saltpan-keeper-1") :], "utf-8")


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_build_an_edition_holds_has_one(sample_book: Path, edition: Edition) -> None:
    view = open_view(sample_book, edition)
    builds = {name for name, each in view.on("build").items() if each.model is not None}
    assert {f"write-ups/{name}.html" for name in builds} <= addresses(view)
    assert all(write_up_page(view, name) for name in builds)
    assert write_up_page(view, "no-such-build") is None


def test_its_maker_orders_heads_and_introduces_the_chapters_and_leaves_out_the_others(own_sample_book: Path) -> None:
    _with_chapters(
        own_sample_book,
        "write_up:\n  - shows: numbers\n    title: What it cost in hours\n  - title: Thanks\n    text: To whoever held the lamp.\n"
        "  - shows: thing\n    thing: bands\n    text: Thin as they are.\n",
    )
    body = _body(own_sample_book)
    assert _headings(body) == ["What it cost in hours", "Thanks", "Bands"]
    assert body.index("held the lamp") < body.index("Thin as they are.") < body.index("Brow bands, flat-cast")


def test_without_a_word_it_shows_all_the_book_has_in_the_order_of_the_work(sample_book: Path) -> None:
    found = _headings(_body(sample_book, build="reed-cutter"))
    assert found[:3] == ["What was wanted", "The way there", "How it went"]
    assert found[-3:] == ["The days", "What went wrong, and what answered it", "What it took"]
    assert {"Nose", "Nose mold", "Face"} <= set(found)


def test_what_it_tells_of_a_thing_is_what_its_documents_say_today(own_sample_book: Path) -> None:
    assert "version 4" in _body(own_sample_book)
    recipe = own_sample_book / "recipes/cast/face-piece.yaml"
    recipe.write_text(re.sub(r"(?m)^title: .*$", "title: A face of another name", recipe.read_text("utf-8")), "utf-8")
    assert "A face of another name" in _body(own_sample_book)


def test_its_figures_are_those_of_the_runs(sample_book: Path) -> None:
    """Counted here from the files alone."""
    runs = [
        yaml.safe_load(file.read_text("utf-8"))
        for file in (sample_book / f"recipes/builds/{BUILD}/runs").glob("*.yaml")
    ]
    done = [run for run in runs if run.get("kind", "run") != "test"]
    ends = [run.get("outcome") for run in done if run.get("kind", "run") == "run"]
    kept = sum(len(run.get("kept", ())) for run in done)
    minutes = 0
    timed = 0
    for run in done:
        hands = [_minutes(each["hands_on"]) for each in run.get("took", ()) if "hands_on" in each]
        minutes, timed = minutes + sum(hands), timed + bool(hands)
    body = _body(sample_book)
    figures = dict(re.findall(r"<dt>([^<]+)</dt><dd>(.*?)</dd>", body[body.index(">What it took<") :]))
    assert f"{ends.count('good')} good" in figures["Runs"]
    assert f"{ends.count('scrapped')} scrapped" in figures["Runs"]
    assert figures["Pieces kept"] == str(kept)
    assert figures["Hands on"] == f"{round(minutes / 60)} h, noted in {timed} of {len(done)} runs"


def _minutes(text: str) -> int:
    units = {"d": 1440, "h": 60, "min": 1}
    return sum(int(number) * units[unit] for number, unit in re.findall(r"(\d+) (d|h|min)", text))


def test_a_thing_the_class_may_not_see_takes_its_chapter_and_what_was_said_to_it(own_sample_book: Path) -> None:
    _with_chapters(own_sample_book, "write_up:\n  - shows: thing\n    thing: bands\n    text: Thin as they are.\n")
    recipe = own_sample_book / "recipes/cast/brow-bands.yaml"
    recipe.write_text(recipe.read_text("utf-8").replace("visibility: public", "visibility: private"), "utf-8")
    assert "Thin as they are." in _body(own_sample_book)
    assert "Thin as they are." not in _body(own_sample_book, "class")
    assert "Bands" not in _headings(_body(own_sample_book, "class"))


def test_as_one_file_it_holds_its_pictures_and_asks_nobody(sample_book: Path, tmp_path: Path) -> None:
    view = open_view(sample_book, "public")
    said = build_one_file(view, [BUILD], tmp_path)
    file = tmp_path / f"public-{BUILD}.html"
    text = file.read_text(encoding="utf-8")
    assert f"{file} holds the write-up of The Saltpan Keeper" in said
    assert "data:image/jpeg;base64," in text
    assert "<script" not in text
    assert not re.findall(r"(?:src|href)=\"(?!data:|#)[^\"]*\"", text)
    assert "only you see it" not in text


def test_nobody_elses_file_is_written_over(sample_book: Path, tmp_path: Path) -> None:
    file = tmp_path / f"public-{BUILD}.html"
    file.write_text("mine", encoding="utf-8")
    with pytest.raises(Exception, match="somebody else"):
        build_one_file(open_view(sample_book, "public"), [BUILD], tmp_path)
    assert file.read_text(encoding="utf-8") == "mine"
    shutil.rmtree(tmp_path)
