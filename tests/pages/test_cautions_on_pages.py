"""What can hurt stands before what is to be done: on the recipe's page, at each step, at the bench, on paper, in each edition."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from html import escape
from html.parser import HTMLParser
from typing import Final

import pytest
from playwright.sync_api import expect

from browser import Theme, Watched, breaches, too_wide
from campaigns.seeds import REST, divided, short
from mothermold.answers.export import export_book
from mothermold.history.versions import Version
from mothermold.model.material import Material
from mothermold.model.recipe import Recipe
from mothermold.pages.addresses import bench_page, page_of, version_page
from mothermold.pages.bench import bench_rows
from mothermold.pages.page import Page
from mothermold.trade.cautions import Caution, material_cautions, recipe_cautions, sheets, step_cautions
from mothermold.view.editions import EDITIONS, Edition
from mothermold.view.view import View

RECIPE: Final = "cast/face-piece"
FIRST: Final = "The maker's safety data sheets, the rules of your place and licensed practice come first."


class Words(HTMLParser):
    """The words of a page, with a mark where each place of a name begins."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.told: list[str] = []
        self.folded = 0
        self.folds: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        self.folded += tag == "details"
        self.told.append(f" [{said['id']}] " if said.get("id") else " ")
        if "do" in (said.get("class") or "").split():
            self.told.append(" [do] ")

    def handle_endtag(self, tag: str) -> None:
        self.folded -= tag == "details"

    def handle_data(self, data: str) -> None:
        self.told.append(data)
        if self.folded:
            self.folds.append(data)


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", text)


@cache
def words_of(page: Page) -> str:
    return plain("".join(Words(page.body).told))


def told(caution: Caution) -> str:
    return plain(f"{caution.title}. {' '.join(caution.words)}")


def rows_of(view: View) -> Iterator[tuple[str, Version, Recipe]]:
    for address in view.recipes:
        versions = view.versions(address)
        for row in versions.rows if versions else ():
            if row.recipe is not None:
                yield address, row, row.recipe


@pytest.fixture(scope="module", params=EDITIONS)
def edition(request: pytest.FixtureRequest, sample_view: Callable[[Edition], View]) -> View:
    return sample_view(request.param)


@pytest.fixture(scope="module")
def pages(edition: View, sample_pages: Callable[[Edition], tuple[Page, ...]]) -> dict[str, Page]:
    return {page.address: page for page in sample_pages(edition.edition)}


def part(text: str, start: str, *ends: str) -> str:
    """The words from one mark to the next of these."""
    assert start in text
    after = text.split(start, 1)[1]
    return after[: min((at for end in ends if (at := after.find(end)) >= 0), default=len(after))]


def test_every_caution_and_sheet_stands_before_the_rest_of_the_recipe(edition: View, pages: dict[str, Page]) -> None:
    seen = 0
    for address, row, recipe in rows_of(edition):
        page = words_of(pages[version_page(address, row.number)])
        before = part(
            page, "[before]", "[mixes]", "[steps]", "Hands-on", "Why this version:", "What is wrong or doubtful"
        )
        assert FIRST in before
        for caution in recipe_cautions(recipe, step_cautions(recipe, edition.models(Material))):
            assert told(caution) in before
            for statement in caution.statements:
                assert statement[0] in before
            seen += 1
        for sheet in sheets(recipe, edition.models(Material)):
            assert plain(sheet.title) in before
            assert (plain(sheet.where) if sheet.where else "Safety sheets, place not noted") in before
            assert sheet.dated is None or sheet.dated.isoformat() in before
    assert seen


def test_the_page_of_a_recipe_says_the_same_as_that_of_its_version(edition: View, pages: dict[str, Page]) -> None:
    for address in edition.recipes:
        versions = edition.versions(address)
        assert versions is not None
        shown = versions.current or versions.rows[-1]
        if shown.recipe is None:
            continue
        for own in (page_of("recipe", address), version_page(address, shown.number)):
            before = part(words_of(pages[own]), "[before]", "[mixes]", "[steps]")
            for caution in recipe_cautions(shown.recipe, step_cautions(shown.recipe, edition.models(Material))):
                assert told(caution) in before


def test_each_step_names_its_cautions_before_what_is_to_be_done(edition: View, pages: dict[str, Page]) -> None:
    seen = 0
    for address, row, recipe in rows_of(edition):
        page = words_of(pages[version_page(address, row.number)])
        for step, cautions in step_cautions(recipe, edition.models(Material)).items():
            head = part(page, f"[step-{step}]", "[do]", "[step-")
            for caution in cautions:
                assert told(caution) in head
                seen += 1
    assert seen


def test_at_the_bench_all_cautions_and_sheets_stand_before_the_first_step(
    edition: View, pages: dict[str, Page]
) -> None:
    seen = 0
    for address in edition.recipes:
        versions = edition.versions(address)
        assert versions is not None
        for row in bench_rows(edition, versions):
            assert row.recipe is not None
            before = part(words_of(pages[bench_page(address, row.number)]), "[before]", "[step-")
            assert FIRST in before
            cautions = recipe_cautions(row.recipe, step_cautions(row.recipe, edition.models(Material)))
            places = [before.find(told(caution)) for caution in cautions]
            assert -1 not in places
            assert places == sorted(places)
            for sheet in sheets(row.recipe, edition.models(Material)):
                assert plain(sheet.title) in before
                assert (plain(sheet.where) if sheet.where else "Safety sheets, place not noted") in before
            seen += len(cautions)
    assert seen


def test_at_the_bench_the_words_stand_before_the_heading(edition: View, pages: dict[str, Page]) -> None:
    seen = 0
    for address in edition.recipes:
        versions = edition.versions(address)
        assert versions is not None
        for row in bench_rows(edition, versions):
            assert row.recipe is not None
            page = words_of(pages[bench_page(address, row.number)])
            for step, cautions in step_cautions(row.recipe, edition.models(Material)).items():
                head = part(page, f"[step-{step}]", f"[title-{step}]", "[do]")
                for caution in cautions:
                    assert told(caution) in head
                    seen += 1
    assert seen


def test_no_caution_is_folded_away(edition: View, pages: dict[str, Page]) -> None:
    titles = [
        caution.title
        for _, _, recipe in rows_of(edition)
        for caution in recipe_cautions(recipe, step_cautions(recipe, edition.models(Material)))
    ]
    assert titles
    for page in pages.values():
        folds = "".join(Words(page.body).folds) if 'class="cautions' in page.body else ""
        for title in dict.fromkeys(titles):
            assert f"{title}." not in folds


def test_the_equipment_of_a_step_stays_named(edition: View, pages: dict[str, Page]) -> None:
    for address, row, recipe in rows_of(edition):
        page = words_of(pages[version_page(address, row.number)])
        for step in recipe.steps:
            for tool in step.with_:
                assert tool.replace("-", " ") in part(page, f"[step-{step.id}]", "[do]", "[step-")


def test_a_material_says_what_its_families_call_for(edition: View, pages: dict[str, Page]) -> None:
    seen = 0
    for name, document in edition.documents.on("material").items():
        if isinstance(document.model, Material):
            for caution in material_cautions(document.model):
                assert told(caution) in words_of(pages[page_of("material", name)])
                seen += 1
    assert seen


def test_an_edition_keeps_back_no_caution_of_what_it_shows(edition: View, view: View) -> None:
    for address, row, recipe in rows_of(edition):
        own = step_cautions(recipe, edition.models(Material))
        full = step_cautions(recipe, view.models(Material))
        assert own == full, (address, row.number)


def test_the_export_names_the_cautions_of_every_step(edition: View) -> None:
    data = export_book(edition).data
    known = {each["id"]: each for each in data["cautions"]}
    named = set()
    rows = {(address, row.number): recipe for address, row, recipe in rows_of(edition)}
    for version in data["versions"]:
        recipe = rows.get((version["recipe"], version["version"]))
        every = step_cautions(recipe, edition.models(Material)) if recipe else {}
        assert version["cautions"] == {step: [each.id for each in found] for step, found in every.items()}
        for caution in {each.id: each for found in every.values() for each in found}.values():
            named.add(caution.id)
            assert known[caution.id]["title"] == caution.title
            assert known[caution.id]["words"] == list(caution.words)
            assert [each["code"] for each in known[caution.id]["statements"]] == [
                code for code, _ in caution.statements
            ]
    assert named == set(known)
    assert named


def test_a_caution_without_a_drawing_is_told_in_words(edition: View, monkeypatch: pytest.MonkeyPatch) -> None:
    from mothermold.pages import documents, materials  # noqa: PLC0415 - the place that is changed

    odd = Caution(
        "odd", "Odd & new", ("Keep away.",), ("no-such-drawing",), (("H999", "Odd"),), "common practice, no source"
    )
    monkeypatch.setattr(materials, "material_cautions", lambda _material: (odd,))
    page = documents.document_page(edition, "material", next(iter(edition.documents.on("material"))))
    assert escape("Odd & new. ", quote=False).strip() in page.body
    assert "H999 Odd" in page.body


def current(view: View, address: str) -> Version:
    versions = view.versions(address)
    assert versions is not None
    assert versions.current is not None
    return versions.current


PAPER: Final = {"width": 688, "height": 1009}
"""A4 without its margins, in CSS pixels."""


@pytest.mark.parametrize("rest", REST)
def test_on_paper_it_is_the_first_thing_with_all_statements(rest: bool, lent: Watched, view: View) -> None:
    page = lent.page
    page.set_viewport_size(PAPER)
    page.emulate_media(media="print")
    for address in divided(view.recipes, 3, rest):
        row = current(view, address)
        assert row.recipe is not None
        assert lent.open(page_of("recipe", address)) == []
        before = page.locator("#before")
        expect(before).to_be_visible()
        box = before.bounding_box()
        assert box is not None
        assert box["y"] + box["height"] < PAPER["height"], f"{address} does not fit on its first sheet"
        assert page.locator("main h2").first.inner_text() == "Before you begin"
        assert before.evaluate("(own) => own === document.querySelector('main section')")
        cautions = recipe_cautions(row.recipe, step_cautions(row.recipe, view.models(Material)))
        shown = plain(before.inner_text())
        for caution in cautions:
            assert told(caution) in shown
            for code, _ in caution.statements:
                assert code in shown
        for words in page.locator(".step .cautions .print-only").all():
            expect(words).to_be_visible()
    page.emulate_media(media="screen")
    expect(page.locator(".print-only:visible")).to_have_count(0)


@pytest.mark.parametrize(("width", "theme"), short([(390, "light"), (1280, "dark"), (390, "dark"), (1280, "light")], 1))
def test_a_recipe_with_cautions_keeps_the_rules_of_accessibility(lent: Watched, width: int, theme: Theme) -> None:
    page = lent.page
    page.emulate_media(media="screen", color_scheme=theme)
    page.set_viewport_size({"width": width, "height": 844})
    assert lent.open(page_of("recipe", RECIPE)) == []
    assert too_wide(page) == []
    assert breaches(page) == []


def test_at_the_bench_a_phone_shows_every_caution_in_all_its_words_until_it_is_read(lent: Watched, view: View) -> None:
    page = lent.page
    page.set_viewport_size({"width": 390, "height": 844})
    row = current(view, RECIPE)
    assert row.recipe is not None
    assert lent.open(bench_page(RECIPE, row.number)) == []
    page.evaluate("localStorage.clear()")
    assert lent.open(bench_page(RECIPE, row.number)) == []
    page.get_by_label("Room temperature").fill("21")
    page.get_by_role("button", name="Begin").click()
    every = step_cautions(row.recipe, view.models(Material))
    assert every
    for step in row.recipe.steps:
        screen = page.locator(f"#step-{step.id}")
        expect(screen).to_be_visible()
        cautions = every.get(step.id, ())
        expect(screen.locator(".cautions > li")).to_have_count(len(cautions))
        if cautions:
            shown = plain(screen.locator(".cautions").inner_text())
            assert all(told(caution) in shown for caution in cautions)
            expect(screen.locator(".cautions > li").first).to_be_in_viewport(ratio=1)
            heading = screen.get_by_role("heading", level=2)
            expect(heading).to_have_accessible_description(re.compile(re.escape(cautions[0].title)))
        page.evaluate("window.mothermoldBench.at(window.mothermoldBench.run().at + 1)")
    assert lent.told() == []
