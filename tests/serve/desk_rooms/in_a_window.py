"""Somebody at the desk in a real browser: the same that `sitting_down.Desk` does, with fingers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, Locator, Page

from mothermold.pages.desk.write_here import AT_DESK
from mothermold.serve.desk_rooms.table import DeskRooms
from mothermold.serve.living import LivingPages
from mothermold.serve.rooms import Holdings
from serve.callers import come_in
from serve.desk_rooms.effort import Effort
from serve.desk_rooms.sitting_down import Control

_CONTROLS = """() => [...document.querySelectorAll("main :is(input, textarea, select)")]
  .filter((each) => each.name && !each.closest("template"))
  .map((each) => [each.name, each.value])"""
# A folded part is opened by whoever has to get at what it holds.
_OPEN = """(each) => {
  let shut = 0;
  for (let it = each.closest("details"); it; it = it.parentElement.closest("details")) { shut += !it.open; it.open = true; }
  return shut;
}"""
# How often the key that leads to the next field is pressed to get from where one is to a field; less than nothing for back.
_TABS = """(each) => {
  const all = [...document.querySelectorAll("a[href], button, input, select, summary, textarea")]
    .filter((one) => one.checkVisibility() && !one.disabled && one.tabIndex >= 0);
  return document.activeElement === document.body ? -1 : all.indexOf(each) - all.indexOf(document.activeElement);
}"""


@contextmanager
def opened(chromium: Browser, book: Path, around: Path) -> Iterator[Window]:
    """Serves a book to its owner and opens a browser before it; at the end nothing went wrong in it.

    Args:
        chromium: The browser.
        book: The book.
        around: An empty folder.
    """
    pages = LivingPages(book, "private", around, lambda _said: None, writes=AT_DESK)
    holdings = Holdings(pages, pages.news, desk=DeskRooms(pages.view, pages.hang_form))
    with come_in(chromium, holdings, alone=True, viewport={"width": 390, "height": 844}) as seen:
        yield Window(book, seen.page, seen.home)
        assert seen.told() == []


class Window:
    """A browser before the served book.

    Attributes:
        answers: How many answers were typed or chosen.
        taps: How many buttons and links were pressed.
        effort: What it took, act by act.
    """

    def __init__(self, book: Path, page: Page, home: str) -> None:
        self.book, self.browser, self._home = book, page, home
        self.answers = self.taps = 0
        self.effort = Effort()

    @property
    def here(self) -> str:
        """The address, from the start of the site."""
        return self.browser.url.removeprefix(self._home)

    @property
    def title(self) -> str:
        """The heading of the page."""
        return self.browser.locator("h1").first.inner_text()

    @property
    def text(self) -> str:
        """What one reads on the page, blanks run together, folded parts too."""
        return " ".join((self.browser.locator("main").text_content() or "").split())

    @property
    def controls(self) -> dict[str, Control]:
        """What can be typed into, by name."""
        return {name: Control(name, value, "text") for name, value in self.browser.evaluate(_CONTROLS)}

    def go(self, address: str) -> Window:
        """Goes to an address: to the desk and its rooms a link leads from every page."""
        self.effort.point()
        self.browser.goto(self._home + address)
        return self

    def follow(self, words: str) -> Window:
        """Follows the first link of the page with these words in it."""
        self._tap(self.browser.locator("main a", has_text=words).first)
        return self

    def press(self, words: str, typed: Mapping[str, str | list[str]] | None = None) -> Window:
        """Types, and presses the button with these words."""
        for name, said in (typed or {}).items():
            self._type(name, said)
        self._tap(self.browser.locator("main button:visible:not(.first-button)", has_text=words).first)
        return self

    def press_value(self, value: str, typed: Mapping[str, str | list[str]] | None = None) -> Window:
        """Types, and presses the button that sends this."""
        for name, said in (typed or {}).items():
            self._type(name, said)
        self._tap(self.browser.locator(f'main button[value="{value}"]'))
        return self

    def _type(self, name: str, said: str | list[str]) -> None:
        found = self.browser.locator(f'main [name="{name}"]:not([type="hidden"])')
        for number, text in enumerate([said] if isinstance(said, str) else said):
            box = self.browser.locator(f'main [name="{name}"][value="{text}"]:is([type="checkbox"], [type="radio"])')
            place = box if box.count() else found.nth(number)
            self._open(place)
            self.answers += 1
            if box.count():
                self.effort.choose(opens=False)
                box.check()
            elif place.evaluate("(each) => each.tagName") == "SELECT":
                self.effort.choose(opens=True)
                place.select_option(text)
            else:
                self.effort.fill(text, place.input_value(), tabs=place.evaluate(_TABS))
                place.fill(text)

    def _open(self, what: Locator) -> None:
        for _ in range(what.evaluate(_OPEN)):
            self.effort.point()

    def _tap(self, what: Locator) -> None:
        self._open(what)
        self.effort.point()
        self.taps += 1
        # What adds an entry does so on the page itself; all else leads on.
        if (what.get_attribute("value") or "").startswith("add "):
            what.click()
            return
        with self.browser.expect_navigation():
            what.click()
