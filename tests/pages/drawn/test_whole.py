"""A build as a picture: what stands on its cards and which lines are broken, and that an edition draws only what it holds."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from html import unescape
from itertools import combinations
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser

from browser import breaches, too_wide, watched
from campaigns.seeds import seeds
from mothermold.model.build import Build
from mothermold.pages.documents import document_page
from mothermold.pages.drawn.cards import TEXT, TITLE
from mothermold.pages.drawn.lettering import width
from mothermold.pages.drawn.whole import DrawnBuild, drawn_build
from mothermold.publish.building import build_site
from mothermold.view.view import View, open_view
from pages.drawn.big_builds import BUILD, lay_out
from pages.drawn.test_flow import faults
from pages.paper import run_together, sheets
from view.books import make_book
from view.reading import open_editions


def drawn(view: View, name: str) -> DrawnBuild:
    found = drawn_build(view, view.of(Build)[name], view.evidence.lineage.of_build(name))
    assert found is not None
    return found


def said(found: DrawnBuild) -> dict[str, list[str]]:
    """What each card says, by its title; what hangs below it last."""
    return {
        card.card.title: [
            *(each.text for each in card.card.lines),
            *(each.text for foot in card.card.feet for each in foot.lines),
        ]
        for card in found.ways[0].cards
    }


def lines(found: DrawnBuild) -> dict[tuple[str, str], bool]:
    """The lines from card to card, and whether each is broken."""
    return {(each.line.source, each.line.target): each.line.broken for each in found.ways[0].flow.paths}


def test_each_thing_is_a_card_in_its_stage_with_version_last_outcome_and_molds(view: View) -> None:
    found = drawn(view, "saltpan-keeper")
    assert found.stages == (
        "Lifecast", "Sculpt", "Core", "Mold", "Cast", "Finish", "Application", "Wear", "Removal",
    )  # fmt: skip
    cards = said(found)
    assert cards["face mold"][:1] == ["v2 Two-part face mold in gypsum cement, core with flange and keys"]
    assert cards["face mold"][1:] == ["good Mar 11", "Face mold 2", "in use", "Face mold 1", "broken"]
    assert {each.card.title: found.stages[each.card.stage] for each in found.ways[0].cards}["face painted"] == "Finish"
    assert cards["full: on"][1] == "good Jun 25"


def test_lines_go_along_from_and_from_what_is_worn_onto_the_face_and_off_again(view: View) -> None:
    found = lines(drawn(view, "saltpan-keeper"))
    build = view.models(Build)["saltpan-keeper"]
    along = {(f"thing {name}", f"thing {thing.id}") for thing in build.things for name in thing.from_}
    worn = {
        ("thing bands", "look full application 0"),
        ("thing face-haired", "look full application 0"),
        ("look full application 0", "look full wear 0"),
        ("look full wear 0", "look full removal 0"),
    }
    assert set(found) == along | worn
    assert not any(found.values())


BOOK: Final = {
    "book.yaml": "title: A book\n",
    "mold/m.yaml": "title: A mold\nstage: mold\nversion: 1\nstatus: locked\nvisibility: public\nsteps: [{id: a, title: Do}]\n",
    "cast/c.yaml": "title: A cast\nstage: cast\nversion: 1\nstatus: locked\nvisibility: public\nsteps: [{id: a, title: Do}]\n",
    "builds/b/build.yaml": (
        "title: B\nvisibility: public\nthings:\n  - {id: shell, recipe: mold/m@1}\n  - {id: face, recipe: cast/c@1, from: [shell]}\n"
    ),
    "builds/b/runs/r-1.yaml": "id: r-1\nrecipe: mold/m@1\nthing: shell\nstarted: 2026-01-05 09:00\noutcome: good\nvisibility: public\n",
    "builds/b/runs/r-2.yaml": (
        "id: r-2\nrecipe: cast/c@1\nthing: face\nstarted: 2026-01-12 09:00\noutcome: scrapped\nmold: two\nvisibility: public\n"
        "went_wrong: [{what: Torn at the ear}]\n"
    ),
    "builds/b/molds/one.yaml": "title: One\nmade: r-1\nstate: broken\nvisibility: public\n",
}


def written(folder: Path, **more: str) -> View:
    for name, text in {**BOOK, **{name.replace("__", "/") + ".yaml": text for name, text in more.items()}}.items():
        file = folder / "recipes" / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    return open_view(folder, "private")


TWO: Final = "title: Two\nmade: unknown\nstate: {}\nvisibility: public\n"


@pytest.mark.parametrize(
    ("state", "broken"),
    [("in use", False), ("drying", False), ("repaired", False), ("retired", True), ("broken", True)],
)
def test_the_line_is_broken_once_every_mold_of_a_thing_is_broken_or_retired(
    state: str, broken: bool, tmp_path: Path
) -> None:
    found = drawn(written(tmp_path, builds__b__molds__two=TWO.format(state)), "b")
    assert lines(found) == {("thing shell", "thing face"): broken}
    assert found.broken == broken
    assert said(found)["shell"][2:] == (["One", "broken", "Two", state] if broken else ["Two", state, "One", "broken"])


def test_a_thing_without_a_mold_in_the_book_breaks_no_line(tmp_path: Path) -> None:
    assert lines(drawn(written(tmp_path), "b")) == {("thing shell", "thing face"): True}
    (tmp_path / "recipes/builds/b/molds/one.yaml").unlink()
    assert lines(drawn(open_view(tmp_path, "private"), "b")) == {("thing shell", "thing face"): False}


def test_the_shape_says_how_a_run_ended_and_the_filling_whether_anything_went_wrong(tmp_path: Path) -> None:
    found = drawn(written(tmp_path), "b")
    assert found.weeks is not None
    marks = {each.mark.run: each.mark for each in found.weeks.marks}
    assert (marks["r-1"].shape, marks["r-1"].went_wrong) == ("good", False)
    assert (marks["r-2"].shape, marks["r-2"].went_wrong) == ("scrapped", True)
    assert marks["r-2"].words == "2026-01-12, A cast: scrapped; went wrong: Torn at the ear"


def test_days_in_the_chair_are_marked_in_the_calendar(view: View) -> None:
    found = drawn(view, "saltpan-keeper").weeks
    assert found is not None
    assert sorted(each.text for each in found.chairs) == ["15", "16", "24", "25"]


def test_a_build_that_makes_nothing_has_no_picture(tmp_path: Path) -> None:
    view = written(tmp_path, builds__empty__build="title: Empty\nthings: []\n")
    assert drawn_build(view, view.of(Build)["empty"], []) is None
    assert "<svg class" not in document_page(view, "build", "empty").body.replace('<svg class="icon"', "")


# An edition draws what it holds


def test_what_an_edition_does_not_hold_is_neither_drawn_nor_counted(tmp_path: Path) -> None:
    for name in ("builds/b/molds/one.yaml", "builds/b/runs/r-2.yaml", "cast/c.yaml"):
        file = tmp_path / "recipes" / name
        file.parent.mkdir(parents=True, exist_ok=True)
    written(tmp_path)
    for name, text in {
        "builds/b/molds/one.yaml": BOOK["builds/b/molds/one.yaml"].replace("One", "zqprivate1"),
        "builds/b/runs/r-2.yaml": BOOK["builds/b/runs/r-2.yaml"]
        .replace("Torn", "zqprivate2")
        .replace("r-2", "r-zqprivate3"),
        "cast/c.yaml": BOOK["cast/c.yaml"].replace("A cast", "zqprivate4"),
    }.items():
        (tmp_path / "recipes" / name).write_text(text.replace("public", "private"), encoding="utf-8")
    (tmp_path / "recipes/builds/b/runs/r-2.yaml").rename(tmp_path / "recipes/builds/b/runs/r-zqprivate3.yaml")
    private, public = open_view(tmp_path, "private"), open_view(tmp_path, "public")
    assert lines(drawn(private, "b")) == {("thing shell", "thing face"): True}
    found = drawn(public, "b")
    # A thing whose recipe is not shown is none of the edition's, nor is its line; the mold that broke is not known of.
    assert (set(said(found)), lines(found)) == ({"shell"}, {})
    assert said(found)["shell"][1:] == ["good Jan 5"]
    assert found.weeks is not None
    assert [each.mark.run for each in found.weeks.marks] == ["r-1"]
    assert "zqprivate" not in document_page(public, "build", "b").body
    assert document_page(private, "build", "b").body.count("zqprivate") > 4


@pytest.mark.parametrize("seed", seeds(2, 15))
def test_of_books_made_at_random_no_wider_edition_draws_a_private_word(seed: int) -> None:
    views: Mapping[str, View] = open_editions(make_book(seed, fullness=1))
    shown = 0
    for edition, hidden in (
        ("private", "zqnobody"),
        ("class", "zqprivate|zq-private"),
        ("public", "zqprivate|zqclass|zq-private|zq-class"),
    ):
        view = views[edition]
        for name in view.of(Build):
            body = unescape(document_page(view, "build", name).body)
            pictures = re.findall(r'<div class="whole">.*?<span id="after-the-picture"', body, re.S)
            shown += len(pictures)
            assert not any(re.search(hidden, each) for each in pictures)
    assert shown


# Sixty things and three hundred runs


@pytest.mark.parametrize("seed", seeds(2, 12))
def test_sixty_things_and_three_hundred_runs_are_drawn_without_overlap(seed: int, tmp_path: Path) -> None:
    found = drawn(open_view(lay_out(tmp_path, seed), "private"), BUILD)
    for way in found.ways:
        assert len(way.cards) >= 60
        assert faults(way.flow) == []
        for card in way.cards:
            box = way.flow.boxes[card.card.name]
            assert card.tall == box.tall
            for part in card.parts:
                for each in part.lines:
                    assert each.x + width(each.text, TITLE if each.style == "title" else TEXT) <= box.wide
    assert found.weeks is not None
    assert len(found.weeks.marks) + sum(int(each.text) for each in found.weeks.more) == 300
    assert all(
        abs(one.x - other.x) >= 26 or abs(one.y - other.y) >= 26 for one, other in combinations(found.weeks.marks, 2)
    )


SPILLED: Final = """() => {
  const found = [];
  for (const svg of [...document.querySelectorAll(".whole svg:not(.sample)")].filter((each) => each.checkVisibility())) {
    const frame = svg.viewBox.baseVal;
    for (const card of svg.querySelectorAll(".card")) {
      const faces = [...card.querySelectorAll(".face")].map((each) => each.getBBox());
      for (const text of card.querySelectorAll("text")) {
        const box = text.getBBox();
        if (!faces.some((face) => box.x >= face.x && box.x + box.width <= face.x + face.width && box.y + 2 >= face.y && box.y + box.height - 2 <= face.y + face.height)) {
          found.push(text.textContent); } } }
    for (const text of svg.querySelectorAll("text")) {
      const box = text.getBoundingClientRect(), all = svg.getBoundingClientRect();
      if (box.left < all.left - 1 || box.right > all.right + 1 || box.top < all.top - 1 || box.bottom > all.bottom + 1) { found.push("out: " + text.textContent); } }
    const labels = [...svg.querySelectorAll("text")].map((each) => [each.textContent, each.getBoundingClientRect()]);
    labels.forEach(([words, box], place) => labels.slice(place + 1).forEach(([other, it]) => {
      const deep = Math.min(box.bottom, it.bottom) - Math.max(box.top, it.top), across = Math.min(box.right, it.right) - Math.max(box.left, it.left);
      if (across > 0.5 && deep > 4) { found.push(words + " on " + other); } }));
    if (!frame.width) { found.push("no frame"); } }
  return found; }"""


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of a book with one large build."""
    folder = tmp_path_factory.mktemp("large")
    build_site(lay_out(folder / "book", 1), "private", folder / "site")
    return folder / "site"


@pytest.mark.parametrize(("width", "how"), [(1280, "light"), (390, "dark"), (320, "light")])
def test_in_a_browser_no_word_leaves_its_card_and_no_label_lies_on_another(
    width: int, how: Any, chromium: Browser, large: Path
) -> None:
    with watched(chromium, f"{large.as_uri()}/", viewport={"width": width, "height": 844}, color_scheme=how) as seen:
        assert seen.open(f"builds/{BUILD}.html") == []
        seen.page.evaluate("document.fonts.ready")
        assert seen.page.evaluate(SPILLED) == []
        assert too_wide(seen.page) == []
        shown = ".across" if width > 1000 else ".down"
        assert seen.page.locator(f".whole {shown} .card").first.is_visible()
        assert seen.page.locator(".whole .card:visible").count() >= 60


def test_the_picture_breaks_no_rule_and_its_links_are_reached_by_keyboard_or_passed(
    chromium: Browser, built_sample: Callable[[Any], Path]
) -> None:
    site = built_sample("private")
    for across in (320, 1280):
        with watched(chromium, f"{site.as_uri()}/", bypass_csp=True, viewport={"width": across, "height": 900}) as seen:
            page = seen.page
            assert seen.open("builds/saltpan-keeper.html") == []
            assert breaches(page) == []
            page.locator("a.past", has_text="Past the picture").focus()
            # What scrolls is a stop of its own.
            for _ in range(2 if across == 1280 else 1):
                page.keyboard.press("Tab")
            assert page.evaluate("document.activeElement.getAttribute('aria-label')") == "head"
            drawn_around = page.evaluate("getComputedStyle(document.activeElement.querySelector('rect')).strokeWidth")
            assert drawn_around == "4px"
            page.locator("a.past", has_text="Past the picture").focus()
            page.keyboard.press("Enter")
            page.keyboard.press("Tab")
            assert not page.evaluate("Boolean(document.activeElement.closest('.whole'))")


def test_on_paper_the_picture_lies_across_one_sheet_with_its_calendar(
    chromium: Browser, built_sample: Callable[[Any], Path], view: View
) -> None:
    page = chromium.new_page()
    page.goto(f"{built_sample('private').as_uri()}/builds/saltpan-keeper.html")
    pdf = page.pdf(prefer_css_page_size=True)
    page.close()
    wide, tall = (float(each) for each in re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)[0])
    assert wide > tall
    first, *_ = sheets(pdf)
    found = drawn(view, "saltpan-keeper")
    assert all(run_together(card.card.title) in first for card in found.ways[0].cards)
    assert found.weeks is not None
    assert all(run_together(month.text) in first for month in found.weeks.months)


def test_where_a_device_sets_its_colors_what_went_wrong_stays_filled(
    chromium: Browser, built_sample: Callable[[Any], Path]
) -> None:
    with watched(chromium, f"{built_sample('private').as_uri()}/", forced_colors="active") as seen:
        seen.open("builds/saltpan-keeper.html")
        fills = [
            seen.page.locator(f".weeks .mark{which}").first.evaluate("(each) => getComputedStyle(each).fill")
            for which in (".wrong", ":not(.wrong)")
        ]
        assert fills[0] != fills[1]
