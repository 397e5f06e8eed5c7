"""A course as one file: opened with the network cut it holds its plan and every recipe at the version that is taught."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from browser import THEMES, WIDTHS, Watched, breaches, too_wide, watched
from crawl import read_page
from mothermold.cli.main import main
from mothermold.model.course import Course
from mothermold.publish.carried.course_file import course_file
from mothermold.publish.carried.one_file import one_file
from mothermold.view.editions import Edition
from mothermold.view.view import View, open_view

COURSE = "silicone-pieces-autumn-2026"


@pytest.fixture(scope="module")
def file(sample_view: Callable[[Edition], View], tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("course") / "course.html"
    path.write_text(course_file(sample_view("class"), COURSE), encoding="utf-8")
    return path


@pytest.fixture
def phone(chromium: Browser, file: Path) -> Iterator[Watched]:
    with watched(chromium, file.as_uri(), viewport={"width": 390, "height": 844}) as seen:
        yield seen
        assert seen.told() == []


def test_the_plan_leads_to_each_recipe_its_calculator_its_bench_view_and_back(phone: Watched) -> None:
    page = phone.page
    assert phone.open("") == []
    expect(page.locator("main h1:visible")).to_have_text("Silicone pieces, from the mold to the last evening")
    page.locator("#recipes a[href='#recipe/cast/face-piece@4']").first.click()
    expect(page.locator("main h1:visible")).to_have_text("Cheeks, jowls and chin in encapsulated gel silicone")
    page.locator("details.another:visible > summary").first.click()
    form = page.locator("form.calculator:visible").first
    form.get_by_label("How much?").fill("240 ml")
    form.get_by_role("button", name="Work it out").click()
    expect(form.locator("table")).to_contain_text(" g")
    page.locator("article:visible a[href='#bench/cast/face-piece@4']").click()
    expect(page.get_by_role("button", name="Begin", exact=True)).to_be_visible()
    page.go_back()
    page.go_back()
    expect(page.locator("main h1:visible")).to_have_text("Silicone pieces, from the mold to the last evening")


def test_a_word_of_the_trade_leads_to_its_meaning_in_the_file_and_back_to_where_it_was_read(phone: Watched) -> None:
    page = phone.page
    phone.open("#recipe/cast/face-piece@4")
    word = page.locator("article:visible a.word").last
    word.scroll_into_view_if_needed()
    before = page.evaluate("window.scrollY")
    assert before > 200
    target = str(word.get_attribute("href"))[1:]
    word.click()
    expect(page.locator("main h1:visible")).to_have_text("Words of the trade")
    assert page.evaluate("(id) => document.getElementById(id).getBoundingClientRect().top < 700", target)
    page.go_back()
    expect(page.locator("main h1:visible")).to_have_text("Cheeks, jowls and chin in encapsulated gel silicone")
    page.wait_for_function("(before) => Math.abs(window.scrollY - before) < 5", arg=before)


def test_the_book_as_one_file_has_the_words_too(sample_view: Callable[[Edition], View]) -> None:
    read = read_page(one_file(sample_view("public"), ["cast/face-piece"]))
    words = [each["href"] for tag, each in read.elements if tag == "a" and each.get("class") == "word"]
    assert len(words) > 5
    assert all(href.startswith("#words:word-") and href[1:] in read.ids for href in words)


def test_no_link_leads_out_or_nowhere_and_no_id_stands_twice(file: Path) -> None:
    read = read_page(file.read_text(encoding="utf-8"))
    assert read.unbalanced == []
    held = {*read.ids, "content"}
    for tag, target in read.links:
        if target.startswith("#"):
            assert target[1:] in held, f"{tag} leads to {target}"
        else:
            assert target.startswith("data:image/"), target
    # A template is no part of the document until it is opened: its ids are those of the bench view alone.
    assert len(read.ids) == len(set(read.ids))


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("width", WIDTHS)
def test_each_part_breaks_no_rule_of_accessibility_and_nothing_is_cut_off(
    chromium: Browser, file: Path, width: int, theme: str
) -> None:
    with watched(chromium, file.as_uri(), viewport={"width": width, "height": 900}, color_scheme=theme) as seen:
        for place in ("", "#recipe/mold/face-mold@4", "#words"):
            assert seen.open(place) == []
            assert breaches(seen.page) == []
            assert too_wide(seen.page) == []


def test_printed_it_is_the_part_that_is_shown(chromium: Browser, file: Path) -> None:
    with watched(chromium, file.as_uri(), viewport={"width": 1280, "height": 900}) as seen:
        seen.open("")
        seen.page.emulate_media(media="print")
        assert seen.page.locator("#recipes").is_visible()
        assert seen.page.locator("article.carried:visible").count() == 1
        assert breaches(seen.page) == []


def test_without_scripts_the_whole_packet_stands_there(chromium: Browser, file: Path) -> None:
    with watched(chromium, file.as_uri(), viewport={"width": 390, "height": 844}, java_script_enabled=False) as seen:
        seen.page.goto(file.as_uri())
        assert seen.page.locator("article.carried:visible").count() == 12 + 3  # the plan, the words, first aid


def test_a_course_pinned_at_version_two_shows_that_one_while_the_book_is_at_four(own_sample_book: Path) -> None:
    course = own_sample_book / f"recipes/courses/{COURSE}.yaml"
    text = course.read_text(encoding="utf-8")
    course.write_text(text.replace("cast/face-piece@4", "cast/face-piece@2"), encoding="utf-8")
    view = open_view(own_sample_book, "class")
    said = course_file(view, COURSE)
    read = read_page(said)
    assert "recipe/cast/face-piece@2" in read.ids
    assert "recipe/cast/face-piece@4" not in read.ids
    assert "Version 4 is in use now" in said
    part = re.search(r'(?s)<article class="carried" id="recipe/cast/face-piece@2">(.*?)</article>', said)
    assert part is not None
    assert "Version 2</span>" in part[1]
    versions = view.versions("cast/face-piece")
    assert versions is not None
    two, four = versions.get(2), versions.get(4)
    assert two is not None
    assert four is not None
    assert two.recipe is not None
    assert four.recipe is not None
    new = {step.id for step in four.recipe.steps} - {step.id for step in two.recipe.steps}
    assert all(f":step-{step.id}" in part[1] for step in two.recipe.steps)
    assert not [step for step in new if f":step-{step}" in part[1]]


def test_the_command_makes_the_class_edition_of_a_course_unless_told_and_no_answer_is_in_it(
    sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["-C", str(sample_book), "build", "--out", str(tmp_path), "--one-file"]
    assert main([*asked, COURSE]) == 0
    made = tmp_path / f"class-{COURSE}.html"
    assert "with 12 of the 12 recipes it pins, in the class edition" in capsys.readouterr().out
    owner = open_view(sample_book, "private")
    answers = [each.answer for session in owner.models(Course)[COURSE].sessions for each in session.questions]
    whole = re.sub(r"\s+", " ", read_page(made.read_text(encoding="utf-8")).text)
    assert [answer for answer in answers if answer and answer[:60] in whole] == []
    assert main([*asked, f"courses/{COURSE}", "--for", "private"]) == 0
    mine = re.sub(r"\s+", " ", read_page((tmp_path / f"private-{COURSE}.html").read_text(encoding="utf-8")).text)
    assert all(answer and answer[:60] in mine for answer in answers)
    # The same bytes twice.
    before = made.read_bytes()
    assert main([*asked, COURSE]) == 0
    assert made.read_bytes() == before
