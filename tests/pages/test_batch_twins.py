"""What the command says of a batch, the calculator of the page and the bench say too: a table of every notice and its twins.

A notice that is new in the command fails here until its twins stand in the table, and in the browser.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser

import mothermold.answers.batch as command
from browser import Watched, watched
from campaigns.seeds import thinned
from mothermold.answers.batch import BatchAsked, mix_batch
from mothermold.publish.building import build_site
from mothermold.trade.rules import rules
from mothermold.view.view import View, open_view

GOOD: Final = Path(__file__).parents[1] / "data" / "good"
SAME: Final = ""
"""Said in an element that carries the notice's code."""
NO_ROOM: Final = "it asks for no room"
NOT_OFFERED: Final = "such a mold is not offered, and why stands beside it"


@dataclass(frozen=True)
class Twin:
    """Where pages say a notice: in the same way, or else why and how otherwise."""

    calculator: str = SAME
    bench: str = SAME


TWINS: Final[dict[str, Twin]] = {
    "no-allowance": Twin(),
    "by-eye": Twin(),
    "coarse-scale": Twin(),
    "ratio-moved": Twin(),
    "over-maximum": Twin(),
    "too-little-left": Twin(),
    "left-not-known": Twin(),
    "lot-past-date": Twin(),
    "kit-lots-differ": Twin(),
    "pot-life-too-short": Twin(),
    "pot-life-not-known": Twin(),
    "room-outside": Twin(calculator=NO_ROOM),
    "cold-silicone": Twin(calculator=NO_ROOM),
    "by-last-casting": Twin(calculator="the page of the mold says it above the calculator"),
    "mold-drying": Twin(calculator="the page of the mold says it", bench=NOT_OFFERED),
    # What refuses a batch: there is none then on a page either.
    "bad-date": Twin("no day is typed", "no day is typed"),
    "mold-out-of-use": Twin(NOT_OFFERED, NOT_OFFERED),
    "no-cavity": Twin("such a mold is not offered", "the batch is then the recipe's own, and says so"),
    "unknown-mix": Twin("every mix has its own", "every mix has its own"),
    "which-mix": Twin("every mix has its own", "every mix has its own"),
}


@dataclass(frozen=True)
class Case:
    """A recipe that makes the command say something."""

    parts: str = "{material: calm, parts: 100}, {material: gel-silicone-b, parts: 100}"
    size: str = "fills: 96 ml, allowance: 10 %"
    life: str = "pot_life: {time: 25 min, at: 23 degC}"
    step: str = ""
    room: str | None = None
    mold: str | None = None
    materials: dict[str, str] = field(default_factory=dict)


def lots(more: str) -> dict[str, str]:
    return {"own": f"families: [platinum-silicone]\ndensity: 0.99 g/ml\n{more}"}


OWN: Final = "{material: own, parts: 100}, {material: gel-silicone-b, parts: 100}"
CASES: Final[dict[str, Case]] = {
    "no-allowance": Case(size="fills: 96 ml"),
    "by-eye": Case(parts="{material: calm, parts: 100}, {material: deadener-fluid, amount: a pinch}"),
    "coarse-scale": Case(parts="{material: calm, parts: 1000}, {material: gel-silicone-b, parts: 1}"),
    # 0.605 g and 0.5947 g on a scale of 0.01 g: neither is off by 1 % of itself, one against the other is.
    "ratio-moved": Case(
        "{material: calm, parts: 605}, {material: gel-silicone-b, parts: 594.7}", "fills: 1.21182 ml, allowance: 0 %"
    ),
    "over-maximum": Case(parts="{material: calm, parts: 100}, {material: deadener-fluid, percent: 300, of: calm}"),
    "too-little-left": Case(OWN, materials=lots("lots: [{lot: X-1, left: 5 g}]")),
    "left-not-known": Case(OWN, materials=lots("lots: [{lot: X-1, left: 5 g}, {lot: X-2}]")),
    "lot-past-date": Case(OWN, materials=lots("lots: [{lot: X-1, use_by: 2026-01-31}]")),
    "kit-lots-differ": Case(OWN, materials=lots("kit: [gel-silicone-b]\nlots: [{lot: X-1, got: 2026-03-01}]")),
    "pot-life-too-short": Case(life="pot_life: {time: 6 min, at: 23 degC}"),
    "pot-life-not-known": Case(life=""),
    "room-outside": Case(step=", temperature: 19-21 degC", room="23 degC"),
    "cold-silicone": Case(room="12 degC"),
    "by-last-casting": Case(mold="bare-mold"),
    "mold-drying": Case(mold="wet-mold"),
}


def recipe(case: Case) -> str:
    return f"""\
title: A case
stage: cast
version: 1
status: locked
mixes:
  - {{id: base, title: The base, parts: [{case.parts}], {", ".join(filter(None, [case.size, case.life]))}}}
steps:
  - {{id: mix, title: Mix it, hands_on: 10 min, starts: base}}
  - {{id: fill, title: Fill it, hands_on: 10 min, uses: [{{mix: base, as: cast}}]{case.step}}}
"""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = Path(shutil.copytree(GOOD, tmp_path_factory.mktemp("twins") / "book")) / "recipes"
    calm = "title: Calm part A\nfamilies: [platinum-silicone]\ndensity: 0.99 g/ml\n"
    (root / "materials" / "calm.yaml").write_text(calm, encoding="utf-8")
    cups = recipe(Case(size="fills: 300 ml, allowance: {percent: 10 %, left_in_cups: 5 g, largest_batch: 150 g}"))
    (root / "cast" / "cups.yaml").write_text(cups, encoding="utf-8")
    molds = {"bare-mold": "state: in use\n", "wet-mold": "state: drying\ncavity: {volume: 96 ml, how: water}\n"}
    for name, more in molds.items():
        (root / "molds" / f"{name}.yaml").write_text(f"title: {name}\nmade: unknown\n{more}", encoding="utf-8")
    for name, case in CASES.items():
        own = {f"{name}-{part}": text for part, text in case.materials.items()}
        for part, text in own.items():
            (root / "materials" / f"{part}.yaml").write_text(f"title: Own part A\n{text}\n", encoding="utf-8")
        text = recipe(case).replace("material: own", f"material: {name}-own")
        (root / "cast" / f"{name}.yaml").write_text(text, encoding="utf-8")
        if case.mold:
            run = f"id: r-2026-03-01-{name}\nrecipe: cast/{name}@1\nstarted: 2026-03-01 10:00\nmold: {case.mold}\noutcome: good\n"
            run += "measured: [{what: piece with flashing, value: 98 g}]\n"
            (root / "runs" / f"r-2026-03-01-{name}.yaml").write_text(run, encoding="utf-8")
    return root.parent


@pytest.fixture(scope="module")
def view(book: Path) -> View:
    return open_view(book, "private")


@pytest.fixture(scope="module")
def seen(book: Path, chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watched]:
    site = tmp_path_factory.mktemp("twins-site") / "private"
    build_site(book, "private", site)
    with watched(chromium, f"{site.as_uri()}/", viewport={"width": 390, "height": 844}) as open_pages:
        open_pages.page.clock.install(time="2026-04-18T10:00:00Z")
        open_pages.open("index.html")
        yield open_pages
        assert open_pages.told() == []


def said_there(view: View, name: str) -> list[str]:
    """The codes of a batch at the command."""
    case = CASES[name]
    asked = BatchAsked(mold=case.mold, room=case.room, today="2026-04-18")
    notices = mix_batch(view, f"cast/{name}", "base", asked).notices
    return sorted({each.code for each in notices if each.code in TWINS})


def coded(seen: Watched, place: str) -> set[str]:
    return {each.get_attribute("data-code") or "" for each in seen.page.locator(f"{place} [data-code]:visible").all()}


def test_the_table_names_every_notice_of_a_batch() -> None:
    folder = Path(command.__file__).parent
    text = "".join(
        (folder / f"{name}.py").read_text(encoding="utf-8") for name in ("batch", "batch_notices", "batch_room")
    )
    made = set(re.findall(r"(?:Notice|refused)\(\s*\"([a-z-]+)\"", text)) - {"bad-quantity"}
    left = re.findall(r"return \"([a-z-]+)\", ", (folder.parent / "reckon" / "lots.py").read_text(encoding="utf-8"))
    cold = {each.id for each in rules().values() if each.used.colder_than is not None}
    elsewhere = {"mold-out-of-use", "no-cavity"}  # what `wishes` refuses of a mold
    assert made | set(left) | cold | elsewhere == TWINS.keys()
    assert CASES.keys() == {code for code in TWINS if SAME in (TWINS[code].calculator, TWINS[code].bench)} | {
        "mold-drying"
    }


@pytest.mark.parametrize("name", CASES)
def test_the_command_says_what_the_case_is_for(name: str, view: View) -> None:
    assert said_there(view, name) == [name]


@pytest.mark.parametrize("name", thinned(CASES, 2))
def test_the_calculator_says_the_same_or_the_table_tells_why_not(name: str, view: View, seen: Watched) -> None:
    seen.open(f"recipes/cast/{name}.html")
    seen.page.locator("#mix-base summary").click()
    seen.page.locator("#mix-base").get_by_role("button", name="Work it out").click()
    assert coded(seen, "#mix-base") == {code for code in said_there(view, name) if TWINS[code].calculator == SAME}


@pytest.mark.parametrize("name", thinned(reversed(CASES), 2))
def test_the_bench_says_the_same_or_the_table_tells_why_not(name: str, view: View, seen: Watched) -> None:
    case, page = CASES[name], seen.page
    page.evaluate("localStorage.clear()")
    seen.open(f"bench/cast/{name}@1.html")
    if case.mold and TWINS[name].bench == SAME:
        page.get_by_label("Today's mold").select_option(case.mold)
    if case.room:
        page.get_by_label("Room temperature").press_sequentially(case.room)
    expected = {code for code in said_there(view, name) if TWINS[code].bench == SAME}
    at_begin = coded(seen, "[data-screen='start']:not(.before)")
    page.get_by_role("button", name="Begin").click()
    found = set(at_begin)
    for _step in range(2):
        found |= coded(seen, ".screen")
        # Where B meets A the button starts the clock; the other steps are looked at all the same.
        page.evaluate("window.mothermoldBench.at(window.mothermoldBench.run().at + 1)")
    assert found == expected
    if name in ("room-outside", "cold-silicone", "pot-life-too-short"):
        assert at_begin == expected


def test_what_is_said_of_recipe_and_materials_stands_on_the_first_screen_of_the_bench(
    view: View, seen: Watched
) -> None:
    notices = mix_batch(view, "cast/no-allowance", "base", BatchAsked()).notices
    of_documents = [each for each in notices if each.file is not None and each.code not in CASES]
    assert of_documents
    seen.open("bench/cast/no-allowance@1.html")
    text = re.sub(r"\s+", " ", seen.page.locator("[data-screen='start']:not(.before)").text_content() or "")
    for notice in of_documents:
        assert notice.message.replace("`", "") in text


def test_what_stands_otherwise_is_there(seen: Watched) -> None:
    seen.open("molds/bare-mold.html")
    assert "it goes by the last good casting with its flashing" in seen.page.locator("main").inner_text()
    seen.open("molds/wet-mold.html")
    assert "This mold is drying." in seen.page.locator("main").inner_text()
    seen.open("bench/cast/mold-drying@1.html")
    assert "wet-mold is drying." in (seen.page.locator("[data-screen='start']:not(.before)").text_content() or "")


def test_page_and_bench_show_the_weights_of_one_portion(view: View, seen: Watched) -> None:
    data = mix_batch(view, "cast/cups", "base", BatchAsked()).data
    (portion,) = data["portions"]
    weights = [part["weigh"] for part in portion["parts"]]
    count, page = portion["count"], seen.page
    assert count == 3
    assert weights != [part["weigh"] for part in data["parts"]]

    def shown(place: str) -> list[float]:
        cells = page.locator(f"{place} tbody tr:has(th) td.weigh:visible").all_inner_texts()
        return [float(text.split()[0]) for text in cells]

    seen.open("recipes/cast/cups.html")
    text = page.locator("#mix-base").inner_text()
    assert "3 portions of this, each weighed by itself" in text
    assert data["grown_from"] == "300 ml + 10 % + 3 x 5 g left in cups"
    assert data["grown_from"] in text
    assert shown("#mix-base > div > .scroll") == weights
    page.locator("#mix-base summary").click()
    page.locator("#mix-base").get_by_role("button", name="Work it out").click()
    assert shown("#mix-base .calculator") == pytest.approx([*weights, sum(weights), count * sum(weights)])

    seen.open("bench/cast/cups@1.html")
    page.evaluate("localStorage.clear()")
    seen.open("bench/cast/cups@1.html")
    page.get_by_role("button", name="Begin").click()
    assert shown(".sheet-of") == weights
    total = f"{count * sum(weights):g} g"
    said = page.locator(".sheet-of:visible").first.inner_text()
    assert f"3 portions of this, each weighed by itself; in all {total}." in said
    assert data["grown_from"] in said
    page.get_by_role("button", name="Mixed as shown").click()
    assert f"Noted in the run: {total} mixed." in page.locator(".screen:visible").inner_text()
