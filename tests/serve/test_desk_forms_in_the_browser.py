"""The forms of the desk in a browser: with scripts nothing typed is lost and lists change at once, without them all works as well."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable, Iterator
from contextlib import nullcontext
from dataclasses import dataclass
from http import HTTPStatus
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from browser import Watched, breaches, too_small, too_wide, watched
from campaigns.seeds import seeds, short
from mothermold.pages.page import Page as Written
from mothermold.serve.desk_door import Filled
from mothermold.serve.desk_rooms.table import DeskRooms
from mothermold.serve.replies import HTML, Reply
from mothermold.view.view import open_view
from serve.callers import TOKEN, Caller, at_work
from serve.test_document_room import Desk as AtRoom

ASSETS = Path(__file__).resolve().parents[2] / "tools/mothermold/publish/theme/assets"
GOOD = Path(__file__).resolve().parents[1] / "data" / "good"
PIECE = "desk/recipe/cast/piece"
FILE = "recipes/cast/piece.yaml"
TEXT = (
    "title: A   # said\nstage: cast\nversion: 1\nstatus: draft\nneeds: [x, y]\nsteps:\n"
    "  # of a\n  - id: a\n    title: Pour\n  - id: b\n    title: Open   # beside\n  - id: c\n    title: Trim\n"
)
WRITE = "Write it into the book"


def hung(page: Written) -> bytes:
    """A page in the barest frame that has the book's look."""
    root = "../" * page.depth
    looks = "".join(f'<link rel="stylesheet" href="{root}assets/{name}.css">' for name in ("mothermold",))
    dark = f'<link rel="stylesheet" href="{root}assets/dark.css" media="(prefers-color-scheme: dark)">'
    return (
        '<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        f'<link rel="icon" href="data:,"><title>{page.title}</title>{looks}{dark}<body><main id="content">{page.body}</main>'
    ).encode()


class Desk(DeskRooms):
    """The desk with a bare page in place of the one that says what was written."""

    def show(self, form: Filled) -> Reply | None:
        if form.path == "done":
            body = '<h1>Done</h1><script src="../assets/desk-keep.js" defer></script>'
            return Reply(HTTPStatus.OK, hung(Written("desk/done", "Done", body)), HTML)
        return super().show(form)


@dataclass
class Served:
    """A book served with its desk."""

    at: Caller
    book: Path

    @property
    def text(self) -> str:
        return (self.book / FILE).read_text("utf-8")


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    book = Path(shutil.copytree(GOOD, tmp_path_factory.mktemp("desk") / "book"))
    (book / FILE).write_text(TEXT, "utf-8")
    names = [*ASSETS.glob("*.css"), *ASSETS.glob("desk-*.js"), *ASSETS.glob("fonts/*.woff2")]
    more = {f"assets/{name.relative_to(ASSETS).as_posix()}": name.read_bytes() for name in names}
    desk = Desk(lambda: nullcontext(open_view(book, "private")), hung)
    with at_work(book, alone=True, desk=desk, more=more, patience=5) as at:
        yield Served(at, book)


def at_desk(chromium: Browser, served: Served, **how: object) -> Callable[[], Iterator[Watched]]:
    def opened() -> Iterator[Watched]:
        with watched(chromium, f"{served.at.doors.origin}/", **how) as seen:
            cookie = {"name": f"mothermold_{served.at.doors.port}", "value": TOKEN, "url": served.at.doors.origin}
            seen.page.context.add_cookies([cookie])  # type: ignore[list-item]
            yield seen

    return opened


@pytest.fixture(scope="module")
def lent_desk(chromium: Browser, served: Served) -> Iterator[Watched]:
    yield from at_desk(chromium, served, viewport={"width": 390, "height": 844})()


@pytest.fixture
def owner(lent_desk: Watched, served: Served) -> Iterator[Watched]:
    (served.book / FILE).write_text(TEXT, "utf-8")
    lent_desk.page.set_viewport_size({"width": 390, "height": 844})
    lent_desk.open("assets/desk-keep.js")
    lent_desk.page.evaluate("localStorage.clear()")
    lent_desk.faults.clear()
    yield lent_desk
    assert lent_desk.told() == []


def press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def tokens(page: Page) -> list[str]:
    return list(page.eval_on_selector_all("input[name='steps']", "(all) => all.map((each) => each.value)"))


def test_without_scripts_a_recipe_is_written_by_plain_forms(chromium: Browser, served: Served) -> None:
    (served.book / FILE).write_text(TEXT, "utf-8")
    for seen in at_desk(chromium, served, java_script_enabled=False)():
        page = seen.page
        page.goto(f"{seen.home}{PIECE}")
        page.get_by_label("What it makes").fill("B")
        press(page, "Add a step")
        expect(page.get_by_label("What is done")).to_have_count(4, timeout=20_000)
        page.get_by_label("What is done").last.fill("Wash")
        press(page, "Move up: Step 4")
        assert served.text == TEXT
        page.get_by_label("Version").fill("one")
        press(page, WRITE)
        expect(page.get_by_role("heading", name="Not written yet: 1 thing to mend")).to_be_visible()
        expect(page.get_by_label("Version")).to_have_attribute("aria-invalid", "true")
        page.get_by_role("link", name="Version").click()
        page.get_by_label("Version").fill("1")
        press(page, WRITE)
        expect(page.get_by_role("heading", name="Done")).to_be_visible()
    assert served.text == TEXT.replace("title: A", "title: B").replace(
        "  - id: c", "  - id: wash\n    title: Wash\n  - id: c"
    )


def test_entries_are_added_doubled_moved_and_taken_out_at_once_and_sent_as_the_server_would_have_it(
    owner: Watched, served: Served
) -> None:
    page = owner.page
    owner.open(PIECE)
    press(page, "Add a step")
    expect(page.locator("[id='f-steps.+1.title']")).to_be_focused()
    page.keyboard.type("Wash")
    expect(page.locator(".deed-news")).to_contain_text("Step 4 is added")
    press(page, "Move up: Step 4")
    expect(page.get_by_role("button", name="Move up: Step 3", exact=True)).to_be_focused()
    press(page, "Double: Step 1")
    press(page, "Take out: Step 5")
    press(page, "Bring it back")
    press(page, "Take out: Step 3")
    assert tokens(page) == ["", "0", "0+2", "+1", "2"]
    page.locator("[data-entry='steps.+1'] > details > .list, [data-entry='steps.+1'] .list").first.get_by_role(
        "button", name="Add a"
    ).first.click()
    assert page.evaluate("document.activeElement.name").startswith("steps.+1.uses.+1.")
    names = page.eval_on_selector_all("form [id]", "(all) => all.map((each) => each.id)")
    assert len(names) == len(set(names))
    assert [each for each in names if "+." in each or each.endswith("+")] == []
    assert served.text == TEXT
    press(page, WRITE)
    expect(page.get_by_role("heading", name="Done")).to_be_visible()
    assert served.text == TEXT.replace(
        "  - id: b\n    title: Open   # beside\n", "  - id: a-2\n    title: Pour\n  - id: wash\n    title: Wash\n"
    )


@pytest.mark.parametrize("seed", seeds(1, 12))
def test_buttons_do_in_the_browser_what_they_do_at_the_server(seed: int, owner: Watched, served: Served) -> None:
    rng, page = random.Random(seed), owner.page
    desk = AtRoom(open_view(served.book, "private"))
    there = desk.open("recipe", "cast/piece")
    owner.open(PIECE)
    for number in range(8):
        word = rng.choice(["add", "double", "up", "down", "remove", "inside"])
        here, over = tokens(page)[1:], [each.value for each in there.controls if each.name == "steps"][1:]
        assert len(here) == len(over)
        place = rng.randrange(len(here)) if here else 0
        if word == "add" or not here:
            values = ["add steps"] * 2
        elif word == "inside":
            values = [f"add steps.{each[place]}.uses" for each in (here, over)]
        else:
            values = [f"{word} steps.{each[place]}" for each in (here, over)]
        page.locator(f"button[value='{values[0]}']").evaluate("(button) => button.click()")
        there = desk.back("recipe", "cast/piece", there.sends(values[1]))
        # Something is typed into one of them, the same on both sides.
        here, over = tokens(page)[1:], [each.value for each in there.controls if each.name == "steps"][1:]
        if here:
            place = rng.randrange(len(here))
            page.locator(f"[name='steps.{here[place]}.title']").evaluate(
                f"(field) => {{ field.value = 'Do {number}'; }}"
            )
            there.control(f"steps.{over[place]}.title").value = f"Do {number}"
    assert isinstance(desk.send("recipe", "cast/piece", there.sends()), str)
    over_there = served.text
    (served.book / FILE).write_text(TEXT, "utf-8")
    page.get_by_role("button", name=WRITE).evaluate("(button) => button.click()")
    expect(page.get_by_role("heading", name="Done")).to_be_visible()
    assert served.text == over_there


def test_an_entry_is_dragged_by_its_handle(owner: Watched) -> None:
    page = owner.page
    page.set_viewport_size({"width": 1000, "height": 1600})
    owner.open(PIECE)
    page.locator("[data-entry='steps.0'] .handle").first.scroll_into_view_if_needed()
    one = page.locator("[data-entry='steps.0'] .handle").first.bounding_box()
    last = page.locator("[data-entry='steps.2']").bounding_box()
    assert one is not None
    assert last is not None
    page.mouse.move(one["x"] + 5, one["y"] + 5)
    page.mouse.down()
    page.mouse.move(one["x"] + 5, last["y"] + last["height"] - 2, steps=12)
    page.mouse.up()
    assert tokens(page) == ["", "1", "2", "0"]
    expect(page.locator(".deed-news")).to_have_text("Step 1 is now Step 3.")


def test_what_was_typed_comes_back_after_a_crash_and_goes_once_the_book_has_it(owner: Watched, served: Served) -> None:
    page = owner.page
    owner.open(PIECE)
    page.get_by_label("What it makes").fill("B <b>")
    press(page, "Add a step")
    page.keyboard.type("Wash")
    expect(page.locator(".desk-kept")).to_have_text("Kept in this browser until it is written.")
    page.wait_for_timeout(500)
    # The tab is gone without a word; the page is opened anew.
    page.goto("about:blank")
    owner.open(PIECE)
    expect(page.locator(".desk-back")).to_contain_text("What you typed at ")
    expect(page.get_by_label("What it makes")).to_have_value("B <b>")
    expect(page.locator("[id='f-steps.+1.title']")).to_have_value("Wash")
    press(page, WRITE)
    expect(page.get_by_role("heading", name="Done")).to_be_visible()
    assert "title: B <b>" in served.text
    page.wait_for_function("() => Object.keys(localStorage).length === 0")
    owner.open(PIECE)
    expect(page.locator(".desk-back")).to_be_hidden()


def test_a_file_written_as_text_comes_back_too(owner: Watched, served: Served) -> None:
    page = owner.page
    owner.open(f"{PIECE}?_as=text")
    page.locator("#text").fill(TEXT + "why: So.\n")
    page.wait_for_timeout(500)
    page.goto("about:blank")
    owner.open(PIECE)
    expect(page.get_by_label("What it makes")).to_have_value("A")
    owner.open(f"{PIECE}?_as=text")
    expect(page.locator(".desk-back")).to_contain_text("is back")
    expect(page.locator("#text")).to_have_value(TEXT + "why: So.\n")
    press(page, WRITE)
    expect(page.get_by_role("heading", name="Done")).to_be_visible()
    assert served.text == TEXT + "why: So.\n"
    page.wait_for_function("() => Object.keys(localStorage).length === 0")


def test_it_is_dropped_when_told_so(owner: Watched) -> None:
    page = owner.page
    owner.open(PIECE)
    page.get_by_label("What it makes").fill("B")
    page.wait_for_timeout(500)
    owner.open(PIECE)
    expect(page.locator(".desk-back")).to_contain_text("is back")
    press(page, "Drop it")
    expect(page.get_by_label("What it makes")).to_have_value("A")
    expect(page.locator(".desk-back")).to_be_hidden()


def test_what_was_typed_before_the_file_changed_is_offered_and_leads_to_the_choice(
    owner: Watched, served: Served
) -> None:
    page = owner.page
    owner.open(PIECE)
    page.get_by_label("What it makes").fill("Mine")
    page.wait_for_timeout(500)
    (served.book / FILE).write_text(TEXT.replace("title: A", "title: Theirs"), "utf-8")
    owner.open(PIECE)
    expect(page.locator(".desk-back")).to_contain_text("the file was changed since")
    expect(page.get_by_label("What it makes")).to_have_value("Theirs")
    press(page, "Bring it back")
    expect(page.get_by_label("What it makes")).to_have_value("Mine")
    press(page, WRITE)
    page.get_by_label("What you typed").check()
    press(page, "Write it so")
    expect(page.get_by_role("heading", name="Done")).to_be_visible()
    assert served.text == TEXT.replace("title: A", "title: Mine")


def test_who_leaves_is_held_up_only_where_the_browser_kept_nothing(owner: Watched) -> None:
    page = owner.page
    owner.open(PIECE)
    page.evaluate("() => { Storage.prototype.setItem = () => { throw new Error('full'); }; }")
    page.get_by_label("What it makes").fill("B")
    expect(page.locator(".desk-kept")).to_have_text("This browser keeps nothing: write it before you leave.")
    assert page.evaluate("!window.dispatchEvent(new Event('beforeunload', { cancelable: true }))")
    page.get_by_label("What it makes").fill("A")
    page.wait_for_timeout(500)
    assert page.evaluate("window.dispatchEvent(new Event('beforeunload', { cancelable: true }))")


def test_what_a_recipes_change_makes_is_seen_beside_it_after_a_pause(owner: Watched, served: Served) -> None:
    page = owner.page
    (served.book / FILE).write_text(TEXT.replace("status: draft", "status: locked"), "utf-8")
    owner.open(PIECE)
    expect(page.locator("#ahead")).to_be_hidden()
    page.locator("[data-entry='steps.0'] summary").first.click()
    page.get_by_label("What is done").first.fill("Pour slowly")
    expect(page.locator(".ahead-news")).to_contain_text("change")
    expect(page.locator("#ahead")).to_be_visible()
    # It was looked at, not sent: it can still be written.
    press(page, WRITE)
    expect(page.get_by_role("heading", name="Done")).to_be_visible()


def test_enter_goes_on_to_the_next_field_and_writes_nothing(owner: Watched, served: Served) -> None:
    page = owner.page
    owner.open(PIECE)
    page.get_by_label("What it makes").fill("B")
    page.keyboard.press("Enter")
    expect(page.get_by_label("Stage of the work")).to_be_focused()
    assert served.text == TEXT


@pytest.mark.parametrize(("width", "theme"), short([(320, "light"), (1280, "dark")], 1))
def test_the_page_of_a_form_reads_well_and_breaks_no_rule_of_accessibility(
    owner: Watched, width: int, theme: str
) -> None:
    page = owner.page
    # High enough that nothing lies under the bar.
    page.set_viewport_size({"width": width, "height": 6000})
    page.emulate_media(color_scheme=theme)  # type: ignore[arg-type]
    owner.open(PIECE)
    page.get_by_label("Version").fill("one")
    press(page, "Add a step")
    page.locator(".desk-bar").get_by_role("button").last.click()
    expect(page.get_by_role("heading", name="Not written yet")).to_be_visible()
    assert breaches(page) == []
    assert too_wide(page) == []
    assert (
        too_small(
            page, ".desk button:not(.first-button), .desk input:not([type=hidden]), .desk select, .entry summary", 32
        )
        == []
    )
