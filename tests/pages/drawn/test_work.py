"""The tool's own drawings of the work: whole, labeled with words that are told, legible on a phone, in grey and in the dark."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import Final

import pytest
import typst
from playwright.sync_api import Browser

from browser import THEMES, breaches, too_wide, watched
from mothermold.pages.addresses import chapter_page
from mothermold.pages.drawn.lettering import width
from mothermold.pages.drawn.work import work_drawing_file, work_drawings
from mothermold.pages.glossary import CHAPTER
from mothermold.view.editions import Edition

SVG: Final = "{http://www.w3.org/2000/svg}"
SIX: Final = ("edge-blending", "encapsulated", "flat-mold", "gluing-order", "head-cast", "two-part-mold")
PHONE: Final = 352
"""How wide a chapter of the guide is on a phone of 390 px, which is how wide the drawings are: one unit is one px there."""
LEAST: Final = 11
GUIDE: Final = Path(__file__).resolve().parents[3] / "tools" / "mothermold" / "guide" / f"{CHAPTER}.md"
# What a label says beside the words of the chapter, and where that is told.
PLAIN: Final = {
    "skin", "small brush", "nostrils left clear", "nostril plugged", "pull", "rim", "glue, gone clear",
    "Glue first, all that will be melted", "Melt it, outward", "No step left", "Filled and scraped level", "Film on the back",
    "On the wearer", "Turned over, the positive poured", "chin: tack the middle", "the middle of each cheek",
    "outward, then the edges all round", "the corners of the mouth last",
}  # fmt: skip
MADE_OF: Final = {"film on the core", "film on the negative", "cavity, gel in it", "shell"}


@dataclass(frozen=True)
class Label:
    """Words in a drawing, and the room they take."""

    text: str
    left: float
    right: float
    top: float
    bottom: float

    def meets(self, other: Label) -> bool:
        """Whether it lies over another."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


def drawing(name: str) -> ET.Element:
    return ET.parse(work_drawing_file(name)).getroot()


def labels(root: ET.Element) -> Iterator[Label]:
    size = float(root.attrib["font-size"])
    for each in root.iter(f"{SVG}text"):
        text, x, y = each.text or "", float(each.attrib["x"]), float(each.attrib["y"])
        wide = width(text, size)
        left = x - {"start": 0, "middle": 0.5, "end": 1}[each.get("text-anchor", "start")] * wide
        yield Label(text, left, left + wide, y - 0.78 * size, y + 0.24 * size)


def test_there_are_six_and_the_chapter_shows_each() -> None:
    assert work_drawings() == SIX
    assert sorted(re.findall(r"!\[.+?\]\(\.\./pages/templates/work/([\w-]+)\.svg\)", GUIDE.read_text("utf-8"))) == list(
        SIX
    )


def test_a_name_nobody_drew_is_refused() -> None:
    with pytest.raises(KeyError):
        work_drawing_file("../icons/book")


@pytest.mark.parametrize("name", SIX)
def test_a_drawing_says_what_it_is_and_keeps_to_plain_attributes(name: str) -> None:
    root, text = drawing(name), work_drawing_file(name).read_text("utf-8")
    assert (root.attrib["role"], root.attrib["aria-describedby"]) == ("img", f"{name}-desc")
    assert root[0].tag == f"{SVG}title"
    for tag, least in (("title", 20), ("desc", 120)):
        told = root.find(f"{SVG}{tag}")
        assert told is not None
        assert len(told.text or "") > least
    assert "style=" not in text
    assert not re.search(r"<(script|image|foreignObject|a)\b|href|\son\w+=", text)
    # Every id begins with the drawing's name, so that several may stand on one page; what is painted with is there.
    ids = re.findall(r'\sid="([^"]+)"', text)
    assert len(set(ids)) == len(ids)
    assert all(each.startswith(f"{name}-") for each in ids)
    assert set(re.findall(r"url\(#([^)]+)\)", text)) == set(ids) - {f"{name}-desc"}


@pytest.mark.parametrize("name", SIX)
def test_no_color_carries_meaning(name: str) -> None:
    text = work_drawing_file(name).read_text("utf-8")
    paints = set(re.findall(r'(?:fill|stroke)="([^"]+)"', text))
    assert {each for each in paints if not each.startswith("url(")} <= {"none", "currentColor", "#fff"}
    # White is what covers, and a style sheet gives it the color of the page.
    for tag in re.findall(r"<\w+[^>]*#fff[^>]*>", text):
        assert re.search(r'class="(ground|under|labels)"', tag), tag


def test_a_material_has_the_same_hatching_in_all_and_no_other_has_it() -> None:
    found: dict[str, set[str]] = {}
    for name in SIX:
        for each in drawing(name).iter(f"{SVG}pattern"):
            how = {**each.attrib, "id": "", "lines": each[0].attrib["d"]}
            found.setdefault(each.attrib["id"].removeprefix(f"{name}-"), set()).add(str(sorted(how.items())))
    assert {len(how) for how in found.values()} == {1}
    assert len(set.union(*found.values())) == len(found) >= 6


@pytest.mark.parametrize("name", SIX)
def test_letters_are_legible_on_a_phone_within_the_drawing_and_apart_from_each_other(name: str) -> None:
    root = drawing(name)
    _, top, wide, tall = map(float, root.attrib["viewBox"].split())
    assert wide == PHONE
    assert float(root.attrib["font-size"]) >= LEAST
    all_of_them = list(labels(root))
    assert len(all_of_them) > 7
    outside = [
        each.text
        for each in all_of_them
        if each.left < 0 or each.right > wide or each.top < top or each.bottom > top + tall
    ]
    assert outside == []
    assert [(one.text, other.text) for one, other in combinations(all_of_them, 2) if one.meets(other)] == []


def test_labels_that_meet_would_be_seen() -> None:
    one, other = Label("core", 10, 40, 10, 22), Label("gel", 38, 60, 20, 32)
    assert one.meets(other)
    assert not one.meets(Label("gel", 41, 60, 10, 22))


def test_every_label_is_a_word_of_the_chapter_or_plain_english() -> None:
    rows = re.findall(r"^\| (.+?) \| .+ \|$", GUIDE.read_text("utf-8"), re.M)
    told = {word for row in rows for word in row.split(", ")} | {"skin"}
    said = {each.text for name in SIX for each in labels(drawing(name))}
    said = {each for each in said if not each.isdecimal()}
    assert said - told - PLAIN - MADE_OF == set()
    # None is kept here that no drawing says.
    assert (PLAIN | MADE_OF) - said == set()


def test_the_chapter_is_for_everybody_in_both_lights_and_on_a_phone(
    chromium: Browser, built_sample: Callable[[Edition], Path]
) -> None:
    site = built_sample("public")
    with watched(chromium, f"{site.as_uri()}/") as seen:
        for theme, wide in zip(THEMES, (1280, 390), strict=True):
            seen.page.set_viewport_size({"width": wide, "height": 844})
            seen.page.emulate_media(color_scheme=theme)
            assert seen.open(chapter_page(CHAPTER)) == []
            assert too_wide(seen.page) == []
            if theme == "dark":
                assert breaches(seen.page) == []
            assert seen.page.locator("main figure svg.work").count() == len(SIX)
            drawn = seen.page.evaluate(
                """() => [...document.querySelectorAll("svg.work text")].map((each) => {
                const { height } = each.getBoundingClientRect(), style = getComputedStyle(each);
                return [style.fill, style.stroke, getComputedStyle(document.body).backgroundColor, height]; })"""
            )
            # Ink on a rim of the page's own color, which keeps letters apart from the hatching.
            assert all(ink != paper for ink, _, paper, _ in drawn)
            assert {rim for _, rim, paper, _ in drawn if rim != paper} <= {"none"}
            assert min(height for *_, height in drawn) > LEAST


def test_the_printers_of_handouts_can_lay_each_into_a_sheet(tmp_path: Path) -> None:
    for name in SIX:
        (tmp_path / f"{name}.svg").write_bytes(work_drawing_file(name).read_bytes())
    sheet = tmp_path / "sheet.typ"
    sheet.write_text("".join(f'#image("{name}.svg", width: 90mm)\n' for name in SIX), "utf-8")
    assert typst.compile(sheet, ignore_system_fonts=True).startswith(b"%PDF")
