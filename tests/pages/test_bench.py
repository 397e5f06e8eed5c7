"""The bench view on a phone without signal: a whole run by taps, and nothing of it lost, half read or told wrong."""

from __future__ import annotations

import json
import re
import shutil
import zlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Download, Page, expect

from browser import Watched, breaches, too_small, too_wide, watched
from campaigns.seeds import short
from mothermold.answers.batch import BatchAsked, mix_batch
from mothermold.reckon.cure import at_temperature
from mothermold.view.view import View, open_view

BENCH: Final = "bench/cast/face-piece@4.html"
OTHER: Final = "bench/cast/nose-piece@3.html"
PHONE: Final[dict[str, Any]] = {"viewport": {"width": 390, "height": 844}, "accept_downloads": True}
KEY: Final = "mothermold bench The saltpan book"
TOUCHED: Final = "button, input:not([type=checkbox]), select, textarea, summary, label:has([type=checkbox])"
ROOM: Final = 27.5
MIX, FILL, OPEN, END = 3, 4, 5, 7
"""Places of steps: where B meets A, where the mold is filled, and what comes after the last; things are watched for at `OPEN`."""


@pytest.fixture
def phone(forgetful: Watched) -> Iterator[Watched]:
    """The start of one recipe's bench view, from a folder on a phone that keeps nothing yet; it opens in silence."""
    assert forgetful.open(BENCH) == []
    yield forgetful
    assert forgetful.told() == []


@pytest.fixture
def own(chromium: Browser, sample_site: Path) -> Iterator[Watched]:
    """The same on a phone of one test's own, whose clock, tabs and store it may change."""
    with watched(chromium, f"{sample_site.as_uri()}/", **PHONE) as seen:
        assert seen.open(BENCH) == []
        yield seen
        # A second tab is meant wherever a test opens one.
        assert [fault for fault in seen.told() if not fault.startswith("window: ")] == []


def rebuilt(own: Watched, sample_site: Path, tmp_path: Path) -> Path:
    """A copy of the site that a test may change as a new build would, opened at the bench view."""
    site = Path(shutil.copytree(sample_site, tmp_path / "site"))
    own.home = f"{site.as_uri()}/"
    own.open(BENCH)
    return site


def tap(page: Page, deed: str, place: int = 0) -> None:
    page.locator(f"[data-do='{deed}']:visible").nth(place).click()


GO_ON: Final = """(steps) => {
  for (let step = 0; step < steps; step += 1) {
    const next = [...document.querySelectorAll("[data-do='next']")].find((each) => each.checkVisibility());
    // Where B meets A the clock would be started; who only passes goes on by the list of steps.
    if (next) { next.click(); } else { window.mothermoldBench.at(step + 1); } } }"""


def begin(page: Page, at: int = 0, room: str = "27,5") -> None:
    """Begins a run with the sample's second face mold, and goes on to a step; its buttons are pressed from within."""
    page.get_by_label("Today's mold").select_option("face-mold-2")
    page.get_by_label("Room temperature").fill(room)
    page.get_by_role("button", name="Begin").click()
    page.evaluate(GO_ON, at)


def kept(page: Page) -> list[dict[str, Any]]:
    """The runs as this device keeps them."""
    return [entry["run"] for entry in json.loads(page.evaluate("(key) => localStorage.getItem(key) || '[]'", KEY))]


def only(page: Page) -> dict[str, Any]:
    (run,) = kept(page)
    return run


def said(page: Page, name: str) -> str:
    return page.locator(f"[data-said='{name}']").inner_text().strip()


def heading(page: Page) -> str:
    return page.locator(".screen:visible h2").inner_text()


def sheet_of(page: Page) -> list[tuple[str, str]]:
    """What the sheet on the screen says to weigh, and what the scale then reads."""
    rows = page.locator(".sheet-of:visible tbody tr:has(th)").all()
    return [(row.locator("td").nth(0).inner_text(), row.locator("td").nth(1).inner_text()) for row in rows]


def printed(view: View, asked: BatchAsked) -> list[tuple[str, str]]:
    """The same, of the command."""
    parts = mix_batch(view, "cast/face-piece", "base", asked).data["parts"]
    places = {"fine": 2, "bench": 1}
    return [
        (f"{part['weigh']:.{places[part['scale']]}f} g", f"{part['scale_reads']:.{places[part['scale']]}f} g")
        for part in parts
    ]


def file_of(page: Page) -> str:
    """The run as it is handed over."""
    with page.expect_download() as loaded:
        tap(page, "save-file")
    return text_of(loaded.value)


def text_of(loaded: Download) -> str:
    return Path(loaded.path()).read_text(encoding="utf-8")


def finish(page: Page, outcome: str = "Usable") -> None:
    tap(page, "steps")
    tap(page, "jump", END)
    page.get_by_role("button", name=outcome).click()
    tap(page, "next")


def notices(book: Path, text: str, folder: Path, build: str = "saltpan-keeper") -> list[str]:
    """What the book's own reader says of a run put beside its others."""
    copy = folder / "copy"
    if not copy.exists():
        shutil.copytree(book, copy)
    name = re.search(r"(?m)^id: (.+)$", text)
    assert name
    file = f"recipes/builds/{build}/runs/{name[1]}.yaml"
    (copy / file).write_text(text, encoding="utf-8")
    opened = open_view(copy, "private")
    assert name[1] in opened.documents.on("run")
    # A room that is outside what the recipe says was told at Begin already; it is no slip in the run.
    found = [each for each in opened.notices if each.file == file and each.code != "run-outside-room"]
    return [f"{notice.code}: {notice.message}" for notice in found]


# A run from Begin to Finish


def test_a_whole_run_goes_by_taps_and_the_book_reads_it(
    phone: Watched, view: View, sample_book: Path, tmp_path: Path
) -> None:
    page = phone.page
    begin(page, MIX)
    assert sheet_of(page) == printed(view, BatchAsked(mold="face-mold-2"))
    tap(page, "mixed")
    tap(page, "start-clock")
    tap(page, "next")
    tap(page, "closed")
    for _ in range(3):
        tap(page, "next")
    assert heading(page) == "How did it end?"
    tap(page, "next")
    assert "good, usable or scrapped" in said(page, "end-fault")
    page.get_by_role("button", name="Good").click()
    page.get_by_label("Piece with its flashing, weighed").fill("214,5")
    page.get_by_label("Label on the piece").fill("F-99")
    tap(page, "next")
    text = file_of(page)
    assert notices(sample_book, text, tmp_path) == []
    run = open_view(tmp_path / "copy", "private").documents.on("run")[only(page)["id"]].model
    assert str(run.conditions.room) == "27.5 degC"
    assert (str(run.mold), str(run.thing), run.outcome) == ("face-mold-2", "face", "good")
    assert [str(each.weighed) for each in run.batch] == ["250.53 g"]
    assert [str(each.value) for each in run.measured] == ["214.5 g"]
    assert len(run.took) == END
    tap(page, "next")
    assert heading(page) == "Before you begin"


def test_a_sheet_that_was_only_shown_is_no_weighing(phone: Watched) -> None:
    page = phone.page
    begin(page, MIX)
    tap(page, "start-clock")
    assert not any(batch.get("weighed") for batch in only(page)["batches"].values())
    tap(page, "sets")
    finish(page)
    text = file_of(page)
    assert "weighed" not in text
    assert "pot_life" in text


def test_the_pot_life_runs_from_the_tap_on_every_step_to_its_short_end(own: Watched) -> None:
    page = own.page
    page.clock.install(time="2026-11-25T10:00:00Z")
    own.open(BENCH)
    begin(page, MIX)
    tap(page, "start-clock")
    short = at_temperature(25, 23, ROOM).short
    start = only(page)["clock"]["start"]
    page.clock.run_for(60_000)
    for _ in range(END - MIX):
        left = page.evaluate("Date.now()") - start
        whole = -(-(short * 60_000 - left) // 1000)
        minutes, seconds = (int(part) for part in page.locator(".pot b").inner_text().split(":"))
        assert abs(minutes * 60 + seconds - whole) <= 1
        tap(page, "next")
    expect(page.locator(".pot")).to_contain_text("27.5 °C")
    page.clock.run_for(17 * 60_000)
    expect(page.locator(".pot.over")).to_contain_text("past 17 min")


def test_a_second_cup_gets_a_clock_of_its_own_once_the_first_is_closed(phone: Watched) -> None:
    page = phone.page
    begin(page, MIX)
    expect(page.locator("[data-do='start-clock']:visible")).to_have_text("B meets A: start the clock")
    tap(page, "start-clock")
    expect(page.locator("[data-do='start-clock']:visible")).to_have_count(0)
    tap(page, "sets")
    first = only(page)
    expect(page.locator(".pot")).to_have_count(0)
    tap(page, "start-clock")
    assert only(page)["clock"]["start"] > first["clock"]["start"]
    assert only(page)["batches"]["base"]["setAfter"] == first["batches"]["base"]["setAfter"]
    expect(page.locator(".pot")).to_be_visible()


def test_a_run_is_there_again_after_a_reload_and_in_a_new_tab(own: Watched) -> None:
    page = own.page
    begin(page, MIX)
    tap(page, "start-clock")
    for name, length in (("degas", "3 min"), ("plaster", "1 h 10 min")):
        tap(page, "timer")
        page.get_by_label("What for").fill(name)
        page.get_by_label("How long").fill(length)
        tap(page, "own-timer")
    tap(page, "next")
    before = only(page)
    page.reload()
    assert heading(page) == "Fill and close"
    assert only(page) == before
    again = page.context.new_page()
    page.close()
    again.goto(f"{own.home}{BENCH}")
    assert heading(again) == "Fill and close"
    assert only(again) == before
    expect(again.locator(".clock-row")).to_have_count(3)
    expect(again.locator(".clock-row").last).to_contain_text("plaster")
    tap(again, "steps")
    assert len([step for step in again.locator(".panel .pick").all_inner_texts() if step.startswith("✓")]) == FILL
    own.page = again


@pytest.mark.campaign
def test_a_timer_ends_when_it_said_however_long_the_page_was_closed(own: Watched) -> None:
    page = own.page
    page.clock.install(time="2026-11-25T10:00:00Z")
    own.open(BENCH)
    begin(page)
    tap(page, "timer")
    tap(page, "quick-timer", 1)
    page.clock.run_for(60_000)
    expect(page.locator(".clock-row b")).to_have_text(re.compile("^(2:00|1:59)$"))
    page.clock.set_fixed_time("2026-11-25T10:07:00Z")
    page.reload()
    expect(page.locator(".clock-row.over")).to_contain_text("time is up, at 11:03")


def test_a_wait_that_was_timed_is_in_the_run_whichever_comes_first(own: Watched) -> None:
    page = own.page
    page.clock.install(time="2026-11-25T10:00:00Z")
    own.open(BENCH)
    begin(page, FILL)
    tap(page, "step-timer")
    page.clock.run_for(20 * 60_000)
    tap(page, "clocks")
    tap(page, "stop-timer")
    tap(page, "next")
    finish(page)
    assert "waited: 20 min" in file_of(page)


# What goes wrong


def test_rescue_is_two_taps_away_and_noted_with_a_third(phone: Watched, view: View) -> None:
    page = phone.page
    begin(page, FILL)
    tap(page, "wrong")
    page.locator(".panel .pick").first.click()
    named = page.locator(".panel [data-failure]").get_attribute("data-failure") or ""
    failure = view.documents.on("failure")[named].model
    assert page.locator("#panel-title").inner_text() == failure.title
    expect(page.locator(".panel .rescue li").first).to_be_in_viewport()
    assert page.locator(".panel .rescue li").all_inner_texts() == list(failure.now)
    tap(page, "keep-wrong")
    assert [(each["failure"], each["step"]) for each in only(page)["wrong"]] == [(named, "fill")]
    noted = page.locator(".screen:visible [data-said='noted']")
    assert noted.inner_text() == "Noted here: 1 thing that went wrong."
    tap(page, "wrong")
    page.locator(".panel .pick").first.click()
    tap(page, "keep-wrong")
    assert noted.inner_text() == "Noted here: 2 things that went wrong."


@pytest.mark.campaign
def test_what_is_watched_for_at_a_step_stands_first_and_words_narrow_the_rest(phone: Watched, view: View) -> None:
    page = phone.page
    begin(page, OPEN)
    tap(page, "wrong")
    recipe = view.versions("cast/face-piece").current.recipe
    first = page.locator(".panel .pick").first.get_attribute("data-failure")
    assert first in {str(name) for name in recipe.steps[OPEN].watch}
    page.get_by_label("Words").fill("CRACK")
    assert page.locator(".panel .pick").first.inner_text() == "Mold cracked while being opened"


def test_what_may_be_wrong_is_listed_by_step_recipe_and_stage_and_the_rest_is_folded(
    phone: Watched, view: View
) -> None:
    page = phone.page
    begin(page, OPEN)
    tap(page, "wrong")
    recipe = view.versions("cast/face-piece").current.recipe
    notes = {name: document.model for name, document in view.documents.on("failure").items()}
    watched = {str(name) for step in recipe.steps for name in step.watch}

    def near(name: str) -> int:
        step = recipe.steps[OPEN]
        places = (*notes[name].noticed, *(fix.in_ for fix in notes[name].fixes if fix.in_))
        here = [each for each in places if each.address == "cast/face-piece"]
        if name in map(str, step.watch) or any(each.step == step.id for each in here):
            return 0
        return 1 if name in watched or here else 2 if notes[name].seen_at == "cast" else 3

    listed = page.locator(".panel [data-failure]").evaluate_all("(all) => all.map((each) => each.dataset.failure)")
    assert sorted(listed) == sorted(notes)
    assert [near(name) for name in listed] == sorted(map(near, notes))
    groups = ("At this step", "In this recipe", "At this stage")
    assert page.locator(".panel h3").all_inner_texts() == [groups[each] for each in sorted(set(map(near, notes)) - {3})]
    assert {0, 2, 3} <= set(map(near, notes))
    folded = page.locator(".panel details.elsewhere")
    assert folded.get_attribute("open") is None
    assert folded.locator("[data-failure]").count() == sum(near(name) == 3 for name in notes)
    # What is typed looks everywhere, in every form of a word.
    page.get_by_label("Words").fill("CRACKS")
    expect(page.locator(".panel [data-failure='cracked-mold']")).to_be_visible()
    assert page.locator(".panel details").count() == 0


@pytest.mark.campaign
def test_the_search_for_what_went_wrong_calls_first_aid_first(phone: Watched) -> None:
    page = phone.page
    begin(page)
    tap(page, "wrong")
    page.get_by_label("Words").fill("acetone in his eye")
    first = page.locator(".panel .pick").first
    assert first.inner_text() == "Somebody is hurt: In the eye"
    first.click()
    assert page.locator("#hurt-title").inner_text() == "In the eye"
    page.get_by_text("Back to work").click()
    assert page.get_by_label("Words").input_value() == "acetone in his eye"
    page.get_by_label("Words").fill("crack")
    assert page.locator(".panel [data-hurt]").count() == 0


def test_own_words_are_noted_and_need_to_be_words(phone: Watched, sample_book: Path, tmp_path: Path) -> None:
    page = phone.page
    begin(page)
    tap(page, "wrong")
    tap(page, "own-words")
    tap(page, "keep-wrong")
    assert only(page)["wrong"] == []
    page.get_by_label("What happened, in your own words").fill("It stuck at the ear.")
    page.get_by_label("What it cost this time").select_option("rework")
    tap(page, "keep-wrong")
    finish(page)
    text = file_of(page)
    assert 'what: "It stuck at the ear."' in text
    assert notices(sample_book, text, tmp_path) == []


def note(page: Page, *, text: str = "", what: str = "", value: str = "") -> None:
    tap(page, "note")
    page.locator("[name='note-text']").fill(text)
    page.locator("[name='what']").fill(what)
    page.locator("[name='value']").fill(value)
    tap(page, "keep-note")


def pour(page: Page, typed: str) -> None:
    page.locator(".sheet-of:visible summary").click()
    page.locator(".sheet-of:visible [name='poured']").fill(typed)
    tap(page, "pour")


def wrong(page: Page) -> None:
    tap(page, "wrong")
    page.locator(".panel .pick").first.click()
    tap(page, "keep-wrong")


def timer(page: Page) -> None:
    tap(page, "timer")
    tap(page, "quick-timer")


def clock(page: Page) -> None:
    tap(page, "start-clock")


Act = Callable[[Page], Any]
DEEDS: Final[dict[str, tuple[int, Act | None, Act]]] = {
    "next": (0, None, lambda page: tap(page, "next")),
    "note": (0, None, lambda page: note(page, text="two lifts")),
    "measured": (0, None, lambda page: note(page, what="film", value="0,4 mm")),
    "wrong": (0, None, wrong),
    "timer": (0, None, timer),
    "stop": (0, timer, lambda page: (tap(page, "clocks"), tap(page, "stop-timer"))),
    "back": (2, None, lambda page: tap(page, "back")),
    "jump": (2, None, lambda page: (tap(page, "steps"), tap(page, "jump", 5))),
    "read": (MIX, None, lambda page: tap(page, "heed")),
    "mixed": (MIX, None, lambda page: tap(page, "mixed")),
    "poured": (MIX, None, lambda page: pour(page, "45.2 g")),
    "unpoured": (
        MIX,
        lambda page: pour(page, "45.2 g"),
        lambda page: (page.locator(".sheet-of:visible summary").click(), tap(page, "unpour")),
    ),
    "clock": (MIX, None, clock),
    "closed": (MIX, clock, lambda page: tap(page, "closed")),
    "sets": (MIX, clock, lambda page: tap(page, "sets")),
    "outcome": (END, None, lambda page: tap(page, "outcome")),
    "finish": (END, lambda page: tap(page, "outcome"), lambda page: tap(page, "next")),
}
"""By name: at which step, after what, and the deed."""


def test_each_tap_can_be_taken_back(phone: Watched) -> None:
    page, begun = phone.page, None
    for name, (at, before, deed) in DEEDS.items():
        # What was taken back leaves the run as it was, so the next deed goes on in it; what comes before one stays.
        if begun != at:
            page.evaluate("localStorage.clear()")
            phone.open(BENCH)
            begin(page, at)
        begun = None if before else at
        if before:
            before(page)
        stood, shown = only(page), page.locator(".screen:visible").inner_text()
        deed(page)
        assert only(page) != stood, name
        assert (page.locator("[data-do='undo']").get_attribute("aria-label") or "").startswith("Undo: "), name
        tap(page, "undo")
        assert only(page) == stood, name
        assert page.locator(".screen:visible").inner_text() == shown, name


def test_what_was_poured_rescales_the_rest_as_the_command_does(phone: Watched, view: View) -> None:
    page = phone.page
    begin(page, MIX)
    pour(page, "145,2")
    assert sheet_of(page) == printed(view, BatchAsked(poured=("softened-a=145.2 g",)))
    tap(page, "mixed")
    assert f"{only(page)['batches']['base']['weighed']}" in page.locator(".sheet-of:visible .noted").inner_text()
    page.locator(".sheet-of:visible summary").click()
    tap(page, "unpour")
    assert sheet_of(page) == printed(view, BatchAsked(mold="face-mold-2"))


def test_an_amount_that_cannot_be_meant_gets_one_message_and_changes_nothing(phone: Watched) -> None:
    page = phone.page
    begin(page, MIX)
    stood = only(page)
    page.locator(".sheet-of:visible summary").click()
    fault = page.locator(".sheet-of:visible .bench-fault:not([data-code])")
    for typed in ("1,500", "abc", "", "12 ml", "9" * 500, "-3", "0", "5 oz t", "1e9", "1.234,5", "=2+2"):
        page.locator(".sheet-of:visible [name='poured']").fill(typed)
        tap(page, "pour")
        expect(fault.locator("visible=true")).to_have_count(1)
        assert 10 < len(fault.locator("visible=true").inner_text()) < 200, typed
        assert only(page) == stood, typed
        # What is said of the next is not what was said of this.
        fault.evaluate_all("(all) => all.forEach((each) => { each.textContent = ''; })")


def test_a_room_that_cannot_be_meant_keeps_the_run_from_beginning(phone: Watched) -> None:
    page = phone.page
    page.get_by_text("Humidity, mold temperature").click()
    for label, typed in [
        ("Room temperature", "warm"),
        ("Room temperature", "400"),
        ("Humidity", "140 %"),
        ("Humidity", "-3"),
        ("Mold temperature", "5 g"),
    ]:
        page.get_by_label(label).fill(typed)
        page.get_by_role("button", name="Begin").click()
        assert said(page, "start-fault"), typed
        expect(page.get_by_label(label)).to_be_focused()
        assert kept(page) == [], typed
        page.get_by_label(label).fill("")


def test_the_room_is_in_the_run_with_humidity_and_the_molds_own_temperature(
    phone: Watched, sample_book: Path, tmp_path: Path
) -> None:
    page = phone.page
    page.get_by_text("Humidity, mold temperature").click()
    page.get_by_label("Humidity").fill("48")
    page.get_by_label("Mold temperature").fill("66 F")
    begin(page, room="21 °C")
    finish(page)
    text = file_of(page)
    assert "  room: 21 degC\n  humidity: 48 %\n  mold_temp: 66 degF\n" in text
    assert notices(sample_book, text, tmp_path) == []


def test_a_mold_brings_the_build_it_belongs_to(phone: Watched) -> None:
    page = phone.page
    build, mold = page.locator("[name='thing']"), page.get_by_label("Today's mold")
    mold.select_option("face-mold-2")
    assert build.input_value() == "saltpan-keeper/face"
    build.select_option("reed-cutter/face")
    assert mold.input_value() != "face-mold-2"
    expect(mold.locator("option[value='face-mold-2']")).to_be_disabled()


@pytest.mark.campaign
def test_a_mold_of_another_build_is_believed_before_a_thing_that_build_does_not_make(phone: Watched) -> None:
    page = phone.page
    for build, thing in (("reed-cutter", "nose"), ("elsewhere", "")):
        phone.open(OTHER)
        page.evaluate("(build) => { window.mothermoldBench.data.molds[0].build = build; localStorage.clear(); }", build)
        page.get_by_label("Today's mold").select_option("nose-mold-2")
        page.get_by_role("button", name="Begin").click()
        assert (only(page)["build"], only(page)["thing"]) == (build, thing)
        page.evaluate("localStorage.clear()")


# What is handed over

NASTY: Final = (
    'He said "no" and it\'s: a # b \\ c',
    "- a list\n- that is none\n\nkey: value",
    "@home, *all, &some, !tag, %x, `y`, |, >",
    "🙂 \U0001f9d1\u200d\U0001f3a8 Größe 東京",
    "\u202eright to left\u200f \u2066x\u2069",
    "nul\x00 bell\x07 next\x85 bom\ufeff",
    "half \ud83d a letter",
    "{{ x }} <script>alert(1)</script>",
    "null",
    "2026-04-18",
    "z" * 5000,
)


def test_whatever_is_typed_the_file_stays_whole_and_the_words_in_it(
    phone: Watched, sample_book: Path, tmp_path: Path
) -> None:
    page = phone.page
    begin(page)
    for text in NASTY:
        page.evaluate("""(text) => window.mothermoldBench.tap("note", (run) => {
            run.notes.push({ step: "soften", note: text });
            run.measured.push({ step: "soften", what: text.slice(0, 60), value: "3 mm" });
            run.wrong.push({ failure: "", note: text, harm: "", step: "soften" });
        })""", text)  # fmt: skip
    note(page, text=NASTY[0])
    finish(page)
    text = file_of(page)
    assert notices(sample_book, text, tmp_path) == []
    run = open_view(tmp_path / "copy", "private").documents.on("run")[only(page)["id"]].model
    noted = [str(each.note) for each in run.changed]
    assert noted[0] == noted[-1] == NASTY[0]
    assert noted[1] == "- a list - that is none key: value"
    assert noted[2] == NASTY[2]
    assert noted[-2] == NASTY[-1]
    assert noted[4] == "right to left x"
    assert noted[5] == "nul bell next bom"


@pytest.mark.campaign
def test_a_note_of_nothing_that_can_be_shown_is_not_kept(phone: Watched) -> None:
    page = phone.page
    begin(page)
    tap(page, "note")
    page.locator("[name='note-text']").fill("\u200f\u200b \ufeff")
    tap(page, "keep-note")
    assert only(page)["notes"] == []


def test_a_run_the_book_has_leaves_the_count_and_one_changed_since_comes_back(
    own: Watched, sample_site: Path, tmp_path: Path
) -> None:
    page = own.page
    site = rebuilt(own, sample_site, tmp_path)
    begin(page)
    assert said(page, "count") == "1 run still here"
    finish(page)
    file_of(page)
    assert said(page, "count") == "1 run still here"
    assert "Handed over" in said(page, "hand-state")
    shared = site / "assets/bench-book.js"
    known = only(page)["id"]
    digest = page.evaluate(
        "(id) => { const bench = window.mothermoldBench; return window.mothermoldRun.digest(window.mothermoldRun.yaml(bench.keep.get(id), bench.data.zone)); }",
        known,
    )
    shared.write_text(
        shared.read_text(encoding="utf-8").replace('"runs":{', f'"runs":{{"{known}":{digest},'), encoding="utf-8"
    )
    assert known in shared.read_text(encoding="utf-8")
    own.open(BENCH)
    assert said(page, "count") == "All in the book"
    page.evaluate(
        "(id) => { const keep = window.mothermoldBench.keep, run = keep.get(id);"
        " keep.put({ ...run, notes: [{ step: 'open', note: 'one more' }], touched: Date.now() + 9 }); }",
        known,
    )
    own.open(BENCH)
    assert said(page, "count") == "1 run still here"
    tap(page, "runs")
    assert "hand it over again" in page.locator(".waiting").inner_text()


@pytest.mark.campaign
def test_what_was_typed_in_a_panel_is_there_again_until_it_is_kept(phone: Watched) -> None:
    page = phone.page
    begin(page)
    tap(page, "note")
    page.locator("[name='note-text']").fill("The film was still soft at the brow")
    page.keyboard.press("Escape")
    assert only(page)["notes"] == []
    tap(page, "note")
    expect(page.locator("[name='note-text']")).to_have_value("The film was still soft at the brow")
    tap(page, "keep-note")
    tap(page, "note")
    expect(page.locator("[name='note-text']")).to_have_value("")
    tap(page, "close")
    assert [each["note"] for each in only(page)["notes"]] == ["The film was still soft at the brow"]


@pytest.mark.campaign
def test_what_is_typed_at_the_end_is_in_the_run_before_finish_and_after_it(phone: Watched) -> None:
    page = phone.page
    begin(page)
    tap(page, "steps")
    tap(page, "jump", END)
    page.locator("[name='piece']").fill("F-90")
    page.locator("[name='flashing']").fill("213,8")
    page.get_by_role("button", name="Usable").click()
    assert [each["value"] for each in only(page)["measured"]] == ["213.8 g"]
    tap(page, "next")
    page.locator("[name='flashing']").fill("214 g")
    page.locator("[name='piece']").fill("F-91")
    text = file_of(page)
    assert "value: 214 g" in text
    assert "213.8" not in text
    assert '"F-91"' in text
    page.reload()
    tap(page, "runs")
    tap(page, "go-on")
    expect(page.locator("[name='flashing']")).to_have_value("214 g")


@pytest.mark.campaign
def test_a_run_handed_over_half_way_and_taken_in_can_still_be_gone_on_with(
    own: Watched, sample_site: Path, tmp_path: Path
) -> None:
    page = own.page
    site = rebuilt(own, sample_site, tmp_path)
    begin(page, FILL)
    tap(page, "runs")
    half = file_of(page)
    run = only(page)
    shared = site / "assets/bench-book.js"
    known = f'"runs":{{"{run["id"]}":{zlib.crc32(half.encode())},'
    shared.write_text(shared.read_text(encoding="utf-8").replace('"runs":{', known), encoding="utf-8")
    own.open(BENCH)
    # It opens where it was left, and what comes now is asked for again.
    assert said(page, "count") == "All in the book"
    assert heading(page) == "Fill and close"
    tap(page, "next")
    assert said(page, "count") == "1 run still here"


@pytest.mark.campaign
def test_undo_after_handing_over_asks_to_hand_it_over_again(phone: Watched) -> None:
    page = phone.page
    begin(page)
    finish(page)
    file_of(page)
    tap(page, "undo")
    assert only(page)["handed"]
    assert "hand it over again" in said(page, "hand-state")


# What the device keeps


def test_two_tabs_at_once_lose_nothing_of_each_other(own: Watched) -> None:
    page = own.page
    other = page.context.new_page()
    other.goto(f"{own.home}{OTHER}")
    page.bring_to_front()
    begin(page)
    other.bring_to_front()
    other.get_by_role("button", name="Begin").click()
    page.bring_to_front()
    note(page, text="one")
    other.bring_to_front()
    tap(other, "next")
    page.bring_to_front()
    note(page, text="two")
    first, second = sorted(kept(page), key=lambda run: str(run["recipe"]))
    assert [each["note"] for each in first["notes"]] == ["one", "two"]
    assert second["recipe"] == "cast/nose-piece@3"
    assert second["at"] == 1
    assert said(other, "count") == "2 runs still here"
    third = page.context.new_page()
    third.goto(f"{own.home}{BENCH}")
    note(third, text="three")
    page.bring_to_front()
    note(page, text="four")
    assert [each["note"] for each in sorted(kept(page), key=lambda run: str(run["recipe"]))[0]["notes"]] == [
        "one",
        "two",
        "three",
        "four",
    ]


@pytest.mark.campaign
def test_a_removed_run_can_be_had_back_also_on_the_page_of_another_recipe(phone: Watched) -> None:
    page = phone.page
    begin(page, MIX)
    tap(page, "start-clock")
    stood = only(page)
    phone.open(OTHER)
    tap(page, "runs")
    tap(page, "remove")
    assert kept(page) == [stood]
    tap(page, "remove")
    assert kept(page) == []
    assert said(page, "count") == "All in the book"
    tap(page, "put-back")
    assert only(page) == stood
    phone.open(BENCH)
    tap(page, "steps")
    tap(page, "all-runs")
    tap(page, "remove")
    tap(page, "remove")
    expect(page.locator(".clock-row")).to_have_count(0)
    tap(page, "put-back")
    tap(page, "go-on")
    expect(page.locator(".clock-row")).to_have_count(1)


@pytest.mark.campaign
def test_a_run_that_another_tab_removed_is_said_to_be_gone(phone: Watched) -> None:
    page = phone.page
    begin(page, MIX)
    phone.open(OTHER)
    tap(page, "runs")
    # What another tab wrote, before this page was told of it.
    page.evaluate(
        "Object.keys(localStorage).filter((key) => key.includes(' bench ')).forEach((key) => localStorage.setItem(key, '[]'))"
    )
    tap(page, "save-file")
    expect(page.locator("[data-said='runs']")).to_contain_text("no longer on this device")
    assert kept(page) == []


REFUSED: Final = (
    "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"
)
FULL: Final = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };"


@pytest.mark.parametrize(("how", "words"), short([(FULL, "no room left"), (REFUSED, "keeps nothing here")], 1))
def test_a_device_that_keeps_nothing_says_so_and_the_run_can_be_handed_over(how: str, words: str, own: Watched) -> None:
    page = own.page
    page.add_init_script(how)
    own.open(BENCH)
    begin(page)
    note(page, text="two lifts")
    assert words in said(page, "fault")
    finish(page)
    assert "two lifts" in file_of(page)
    assert words in said(page, "fault")


@pytest.mark.campaign
def test_short_of_room_the_steps_back_go_first(own: Watched) -> None:
    page = own.page
    begin(page)
    page.evaluate("""() => { const real = Storage.prototype.setItem;
        Storage.prototype.setItem = function (key, text) { if (text.length > 9000) { throw new DOMException("full"); } real.call(this, key, text); }; }""")
    for _ in range(6):
        note(page, text="x" * 800)
    assert len(only(page)["notes"]) == 6
    assert said(page, "fault") == ""


OLDER: Final = {
    "id": "r-2026-01-02-face-piece-0910",
    "recipe": "cast/face-piece@4",
    "started": 1767341400000,
    "at": 2,
    "room": "21 degC",
}


@pytest.mark.parametrize(
    "rubbish",
    short(
        ["not json", "[1, null, {}]", '[{"run": {"id": "../x", "recipe": "a/b@1", "started": 1}}]',
         '[{"run": {"id": "r-x", "recipe": "a/b@1", "started": 1, "done": {"x": null}}}]', "{}", "7", '"text"', '[{"run": {}}]',
         '[{"run": {"id": "r-x", "recipe": "a/b@1", "started": "soon"}}]'],
        2,
    ),
)  # fmt: skip
def test_what_cannot_be_read_is_put_aside_and_told_and_the_page_works(rubbish: str, phone: Watched) -> None:
    page = phone.page
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [KEY, rubbish])
    phone.open(BENCH)
    assert "put aside, not lost" in said(page, "fault")
    begin(page)
    tap(page, "next")
    assert len(kept(page)) == 1
    aside = page.evaluate("(key) => localStorage.getItem(key)", f"{KEY}, put aside")
    assert re.sub(r"\s", "", rubbish) == re.sub(r"\s", "", aside)
    phone.open(BENCH)
    assert said(page, "fault") == ""
    tap(page, "runs")
    with page.expect_download() as loaded:
        tap(page, "save-aside")
    assert text_of(loaded.value) == aside


@pytest.mark.campaign
def test_a_run_an_older_page_kept_goes_on_beside_rubbish(phone: Watched) -> None:
    page = phone.page
    page.evaluate(
        "([key, text]) => localStorage.setItem(key, text)", [KEY, json.dumps([{"run": OLDER | {"timers": "x"}}, 7])]
    )
    phone.open(BENCH)
    tap(page, "go-on")
    assert heading(page) == "Spray the encapsulant"
    note(page, text="went on")
    run = only(page)
    assert (run["id"], run["room"], len(run["notes"]), run["timers"]) == (OLDER["id"], "21 degC", 1, [])


# Beside the page


def test_a_timer_goes_into_the_phones_calendar(phone: Watched) -> None:
    page = phone.page
    begin(page)
    tap(page, "timer")
    page.get_by_label("What for").fill("degas; then, look\\ 東京東京東京東京東京")
    tap(page, "quick-timer", 1)
    with page.expect_download() as loaded:
        tap(page, "clocks")
        tap(page, "calendar")
    raw = Path(loaded.value.path()).read_bytes()
    lines = raw.decode().split("\r\n")
    assert lines[-1] == ""
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert all(len(line.encode()) <= 75 for line in lines)
    whole = raw.decode().replace("\r\n ", "").split("\r\n")
    assert whole[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]
    assert "SUMMARY:degas\\; then\\, look\\\\ 東京東京東京東京東京" in whole
    end = only(page)["timers"][0]["end"] // 1000
    stamp = page.evaluate("(end) => new Date(end * 1000).toISOString().replace(/[-:]|\\.\\d+/g, '')", end)
    assert f"DTSTART:{stamp}" in whole
    assert [line for line in whole if line.startswith(("BEGIN", "END"))] == [
        "BEGIN:VCALENDAR", "BEGIN:VEVENT", "BEGIN:VALARM", "END:VALARM", "END:VEVENT", "END:VCALENDAR",
    ]  # fmt: skip
    assert {line.split(":")[0] for line in whole} >= {"PRODID", "UID", "DTSTAMP", "TRIGGER", "ACTION", "DESCRIPTION"}


LOCK: Final = """window.__locks = [];
Object.defineProperty(navigator, "wakeLock", { value: HOW });"""
HELD: Final = """{ request: () => { const held = new EventTarget(); held.release = () => held.dispatchEvent(new Event("release"));
  window.__locks.push(held); return Promise.resolve(held); } }"""


@pytest.mark.parametrize(
    ("how", "short", "words"),
    short(
        [("{ request: () => Promise.reject(new Error('no')) }", "screen sleeps", "refuses"), (HELD, "screen on", "stays on"),
         ("undefined", "screen sleeps", "cannot keep the screen on in this browser")], 1,
    ),
    ids=["refused", "held", "absent"],
)  # fmt: skip
def test_the_screen_says_whether_it_stays_awake(how: str, short: str, words: str, own: Watched) -> None:
    page = own.page
    page.add_init_script(LOCK.replace("HOW", how))
    own.open(BENCH)
    begin(page)
    expect(page.locator("[data-said='awake-short']")).to_have_text(short)
    tap(page, "steps")
    expect(page.locator(".panel")).to_contain_text(words)


@pytest.mark.campaign
def test_a_lock_the_device_takes_back_is_told_and_asked_for_at_the_next_tap(own: Watched) -> None:
    page = own.page
    page.add_init_script(LOCK.replace("HOW", HELD))
    own.open(BENCH)
    begin(page)
    short = page.locator("[data-said='awake-short']")
    expect(short).to_have_text("screen on")
    page.evaluate("window.__locks[0].release()")
    expect(short).to_have_text("screen sleeps")
    tap(page, "next")
    expect(short).to_have_text("screen on")
    tap(page, "steps")
    tap(page, "awake")
    expect(short).to_have_text("screen sleeps")
    tap(page, "next")
    assert page.evaluate("window.__locks.length") == 2


def test_a_class_is_shown_one_step_and_its_pictures_by_the_keys_of_a_clicker(own: Watched) -> None:
    page = own.page
    page.set_viewport_size({"width": 1280, "height": 720})
    tap(page, "projector")
    foot = page.locator(".projector-foot")
    for key, place in [
        ("PageDown", 2),
        ("ArrowRight", 3),
        (" ", 4),
        ("ArrowDown", 5),
        ("PageUp", 4),
        ("ArrowLeft", 3),
        ("End", 7),
        ("Enter", 7),
        ("Home", 1),
        ("ArrowUp", 1),
    ]:
        page.keyboard.press(key)
        expect(foot).to_have_text(f"{place} / 7")
    for _ in range(FILL):
        page.keyboard.press("PageDown")
    for picture in page.locator(".screen:visible figure").all():
        expect(picture).to_be_in_viewport(ratio=1)
    assert page.locator(".screen:visible img").first.evaluate("(image) => image.naturalWidth > 0")
    expect(page.locator(".screen:visible :is(.gear, .cautions)")).to_be_visible()
    assert too_wide(page) == []
    page.keyboard.press("Escape")
    assert heading(page) == "Before you begin"
    assert kept(page) == []


# For wet gloves, by keyboard, and for eyes

SMALL_LETTERS: Final = """() => {
  const walk = document.createTreeWalker(document.querySelector(".bench"), NodeFilter.SHOW_TEXT), found = [];
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const at = node.parentElement;
    if (!node.data.trim() || !at.checkVisibility() || at.closest("script, svg")) { continue; }
    for (const of of [null, "::before", "::after"]) {
      const style = getComputedStyle(at, of);
      if ((!of || !["none", "normal", '""'].includes(style.content)) && parseFloat(style.fontSize) < 20) {
        found.push(style.fontSize + " " + (of || "") + at.outerHTML.slice(0, 120)); } } }
  return found; }"""


def screens(page: Page) -> Iterator[str]:
    """Each kind of screen and panel, one after the other."""
    yield "start"
    begin(page, MIX)
    tap(page, "start-clock")
    timer(page)
    yield "step with clocks"
    tap(page, "next")
    yield "step with pictures"
    for panel in ("wrong", "timer", "note", "batch", "steps"):
        tap(page, panel)
        yield panel
        if panel == "wrong":
            page.locator(".panel .pick").first.click()
            yield "rescue"
        tap(page, "close")
    finish(page)
    yield "end"
    tap(page, "runs")
    yield "runs"


@pytest.mark.parametrize(("width", "theme"), short([(320, "light"), (390, "dark"), (1280, "light"), (1280, "dark")], 2))
def test_every_screen_fits_has_room_for_a_glove_and_can_be_read(width: int, theme: Any, own: Watched) -> None:
    page = own.page
    page.set_viewport_size({"width": width, "height": 844})
    page.emulate_media(color_scheme=theme)
    for screen in screens(page):
        place = ".panel" if page.locator(".panel[open]").count() else ".bench"
        touched = ", ".join(f"{place} {each}" for each in TOUCHED.split(", "))
        assert (screen, too_wide(page)) == (screen, [])
        assert (screen, too_small(page, touched, 56)) == (screen, [])
        assert (screen, page.evaluate(SMALL_LETTERS)) == (screen, [])
        # The rules are looked at once in each theme.
        if (width, theme) in {(390, "dark"), (1280, "light")}:
            assert (screen, breaches(page)) == (screen, [])
        assert page.locator("[data-said='count']").inner_text().endswith(("in the book", "still here"))


def press(page: Page, name: str) -> None:
    """Goes on by the Tab key until a control of this name has the focus, and presses it."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate(
            "(document.activeElement.getAttribute('aria-label') || document.activeElement.textContent).trim()"
        ).startswith(name):
            page.keyboard.press("Enter")
            return
    raise AssertionError(f"{name} is not reached by keyboard")


def test_a_run_can_be_done_by_keyboard_alone(phone: Watched) -> None:
    page = phone.page
    press(page, "Begin")
    for place in range(END):
        expect(page.locator(".screen:visible h2")).to_be_focused()
        if place == MIX:
            press(page, "B meets A")
        press(page, "Done, next")
    press(page, "Good")
    press(page, "Finish")
    expect(page.locator("#hand-title")).to_be_focused()
    assert only(page)["finished"]


def test_the_focus_goes_into_a_panel_and_back_to_what_opened_it(phone: Watched) -> None:
    page = phone.page
    begin(page)
    for panel in ("wrong", "timer", "note", "batch", "steps"):
        tap(page, panel)
        expect(page.locator("#panel-title")).to_be_focused()
        page.keyboard.press("Escape")
        expect(page.locator(f"[data-do='{panel}']")).to_be_focused()


@pytest.mark.parametrize("at", short([MIX, None], 1))
def test_on_paper_all_steps_stand_and_no_buttons(at: int | None, own: Watched) -> None:
    page = own.page
    if at is not None:
        begin(page, at)
    page.emulate_media(media="print")
    expect(page.locator("[data-screen='step']:visible")).to_have_count(END)
    expect(page.locator(".bench button:visible")).to_have_count(0)
