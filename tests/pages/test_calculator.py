"""The batch calculator of a page: by hand, by keyboard, on a phone, on paper, and without scripts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, expect

from browser import Watched, breaches, too_small, too_wide, watched
from mothermold.answers.batch import BatchAsked, mix_batch
from mothermold.model.material import Material
from mothermold.view.view import View

RECIPE = "recipes/cast/face-piece.html"
MOLD = "molds/face-mold-2.html"


@pytest.fixture(scope="module")
def phone(chromium: Browser, sample_site: Path) -> Iterator[Watched]:
    """The owner's edition from a folder on a phone; whatever goes wrong meanwhile fails the test."""
    home = f"{sample_site.as_uri()}/"
    with watched(chromium, home, viewport={"width": 390, "height": 844}) as seen:
        yield seen
        assert seen.told() == []


def base(seen: Watched) -> Locator:
    """The calculator of the mix that fills the mold."""
    assert seen.open(RECIPE) == []
    expect(seen.page.locator("#mix-base .three")).to_be_hidden()
    seen.page.locator("#mix-base summary").click()
    return seen.page.locator("#mix-base .calculator")


def weighed(form: Locator) -> list[str]:
    """What is weighed, the total last."""
    return [text.strip() for text in form.locator("td.weigh").all_inner_texts()]


def printed(view: View, asked: BatchAsked) -> list[str]:
    """What the command weighs, as its table would be typed."""
    parts = mix_batch(view, "cast/face-piece", "base", asked).data["parts"]
    return [f"{part['weigh']:g}" for part in parts]


def choose(form: Locator, way: str) -> None:
    form.get_by_label("What do you have?").select_option(way)


@pytest.mark.parametrize(
    ("way", "typed", "asked"),
    [
        ("fill", "185 ml", BatchAsked(fill="185 ml")),
        ("fill", "185,5", BatchAsked(fill="185.5 ml")),
        ("fill", "6 US fl oz", BatchAsked(fill="6 US fl oz")),
        ("piece", "214", BatchAsked(piece="214 g")),
        ("clay", "300 g", BatchAsked(clay="300 g", clay_material="clay-sulfur-free")),
    ],
)
def test_what_is_typed_gives_the_sheet_of_the_command(
    way: str, typed: str, asked: BatchAsked, phone: Watched, view: View
) -> None:
    form = base(phone)
    choose(form, way)
    if way == "clay":
        form.get_by_label("Which clay?").select_option(label=view.models(Material)["clay-sulfur-free"].title)
    form.get_by_label("How much?").fill(typed)
    form.get_by_label("How much?").press("Enter")
    shown = [f"{float(text.split()[0]):g}" for text in weighed(form)[:-1]]
    assert shown == printed(view, asked)
    expect(form.get_by_role("alert")).to_have_text("")


def test_a_mold_of_the_book_and_several_castings_are_chosen(phone: Watched, view: View) -> None:
    form = base(phone)
    choose(form, "mold")
    form.get_by_label("Which mold?").select_option(label="Face mold 2, 207 ml")
    form.get_by_label("How many castings?").fill("2")
    form.get_by_role("button", name="Work it out").click()
    assert [f"{float(text.split()[0]):g}" for text in weighed(form)[:-1]] == printed(
        view, BatchAsked(mold="face-mold-2", castings=2)
    )
    words = form.locator(".words").inner_text()
    assert re.match(r"\d+(\.\d)? g: 2 x 207 ml \+ 10 % \+ 15 g left in cups, at 1\.\d+ g/ml\.", words), words


def test_one_of_several_portions_is_weighed_and_its_scale_named(phone: Watched, view: View) -> None:
    form = base(phone)
    choose(form, "mold")
    form.get_by_label("Which mold?").select_option(label="Face mold 2, 207 ml")
    form.get_by_label("How many castings?").fill("5")
    form.get_by_role("button", name="Work it out").click()
    (portion,) = mix_batch(view, "cast/face-piece", "base", BatchAsked(mold="face-mold-2", castings=5)).data["portions"]
    assert portion["count"] == 2
    expect(form.locator("[data-said='portions']")).to_have_text("2 portions of this, each weighed by itself:")
    shown = [float(text.split()[0]) for text in weighed(form)]
    assert shown[:-2] == [part["weigh"] for part in portion["parts"]]
    assert shown[-2:] == pytest.approx([sum(shown[:-2]), 2 * sum(shown[:-2])])
    assert "2 x 15 g left in cups" in form.locator(".words").inner_text()
    form.get_by_label("How many castings?").fill("1")
    form.get_by_role("button", name="Work it out").click()
    expect(form.locator("[data-said='portions']")).to_have_count(0)
    expect(form.locator("[data-said='scale']")).to_have_text(
        ["On the scale fine.", "On the scale bench from here: put the cup on, tare, and go by what to weigh."]
    )


def test_of_what_is_left_the_scarcest_decides(phone: Watched, view: View) -> None:
    form = base(phone)
    choose(form, "have")
    form.get_by_label("How much of it?").fill("60 g")
    form.get_by_role("button", name="Another part").click()
    form.get_by_label("Part", exact=True).nth(1).select_option("gel-silicone-b")
    form.get_by_label("How much of it?").nth(1).fill("100 g")
    form.get_by_role("button", name="Work it out").click()
    first = form.get_by_label("Part", exact=True).first.input_value()
    asked = BatchAsked(have=(f"{first}=60 g", "gel-silicone-b=100 g"))
    assert [f"{float(text.split()[0]):g}" for text in weighed(form)[:-1]] == printed(view, asked)
    assert "it fills" in form.locator(".words").inner_text()


def test_a_part_already_poured_scales_the_rest_and_says_what_to_add(phone: Watched, view: View) -> None:
    form = base(phone)
    choose(form, "poured")
    form.get_by_label("Part", exact=True).first.select_option("gel-silicone-b")
    form.get_by_label("How much of it?").first.fill("90 g")
    form.get_by_role("button", name="Work it out").click()
    assert [f"{float(text.split()[0]):g}" for text in weighed(form)[:-1]] == printed(
        view, BatchAsked(poured=("gel-silicone-b=90 g",))
    )
    expect(form.locator(".result .notice").filter(has_text="in the cup already")).to_have_count(1)


FAULTS = {
    "1,500 ml": "can mean a decimal or thousands",
    "3 fl oz": "3 US fl oz or 3 imp fl oz",
    "": "Nothing is typed",
    "0 ml": "is nothing",
    "185 g": "a volume is wanted",
    "20-25 ml": "is a range",
}


def test_what_cannot_be_read_is_said_aloud_and_nothing_old_stays(phone: Watched) -> None:
    form = base(phone)
    field, reckon = form.get_by_label("How much?"), form.get_by_role("button", name="Work it out")
    for typed, words in FAULTS.items():
        field.fill("100 ml")
        reckon.click()
        assert weighed(form)
        expect(form.get_by_role("alert")).to_have_text("")
        field.fill(typed)
        reckon.click()
        expect(form.get_by_role("alert")).to_contain_text(words)
        expect(field).to_be_focused()
        expect(field).to_have_attribute("aria-invalid", "true")
        assert weighed(form) == []
    assert breaches(phone.page) == []


def test_castings_are_whole(phone: Watched) -> None:
    form = base(phone)
    for wrong in ("0", "1.5", "-1", "many"):
        form.get_by_label("How many castings?").fill(wrong)
        form.get_by_role("button", name="Work it out").click()
        expect(form.get_by_role("alert")).to_contain_text("whole numbers")


def test_it_fits_a_phone_a_finger_and_the_rules_of_access(phone: Watched) -> None:
    form = base(phone)
    for way in ("fill", "mold", "piece", "clay", "have", "poured"):
        choose(form, way)
        if way in {"have", "poured"}:
            form.get_by_label("How much of it?").first.fill("50")
        elif way != "mold":
            form.get_by_label("How much?").fill("50")
        form.get_by_role("button", name="Work it out").click()
        assert weighed(form), way
        assert too_wide(phone.page) == []
        assert too_small(phone.page, ".calculator input, .calculator select, .calculator button", 44) == []
    assert breaches(phone.page) == []


def test_a_mold_page_has_its_cavity_filled_in(phone: Watched, view: View) -> None:
    phone.open(MOLD)
    form = phone.page.locator(".calculator").first
    assert form.get_by_label("How much?").input_value() == "207 ml"
    assert [f"{float(text.split()[0]):g}" for text in weighed(form)[:-1]] == printed(
        view, BatchAsked(mold="face-mold-2")
    )
    assert too_wide(phone.page) == []


def test_without_scripts_and_on_paper_three_sizes_stand_there(chromium: Browser, sample_site: Path, view: View) -> None:
    home = f"{sample_site.as_uri()}/"
    with watched(chromium, home, java_script_enabled=False) as seen:
        seen.page.goto(home + RECIPE)
        assert seen.page.locator(".calculator").count() == 0
        table = seen.page.locator("#mix-base .sizes")
        expect(table).to_be_visible()
        assert table.locator("thead th").all_inner_texts() == [
            "Part",
            "Half, 105 ml",
            "As written, 210 ml",
            "Double, 420 ml",
        ]
        for column, fill in enumerate(("105 ml", "210 ml", "420 ml")):
            cells = table.locator(f"tbody tr:not(:last-child) td:nth-of-type({column + 1})").all_inner_texts()
            assert [f"{float(text.split()[0]):g}" for text in cells] == printed(view, BatchAsked(fill=fill))
    with watched(chromium, home) as seen:
        seen.page.emulate_media(media="print")
        seen.open(RECIPE)
        expect(seen.page.locator("#mix-base .sizes")).to_be_visible()
        expect(seen.page.locator("#mix-base .calculator")).to_be_hidden()
