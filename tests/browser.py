"""Opens built pages in Chromium and writes down whatever goes wrong in them.

Owns the starting of the browser, the small server of a folder, and the listening. Knows no page by name, and
neither skips nor waits: without Chromium a test fails.
"""

from __future__ import annotations

import re
import shutil
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any, Final, Literal

import axe_playwright_python
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Dialog, Page, Request, Route, sync_playwright

CHROMIUMS: Final = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
"""By worth: the first is the same browser without windows of its own, and opens a page at a fifth of the labor."""
WIDTHS: Final = (390, 1280)
Theme = Literal["light", "dark"]
THEMES: Final[tuple[Theme, ...]] = ("light", "dark")
WCAG: Final = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa")
_AXE: Final = Path(axe_playwright_python.__file__).with_name("axe.min.js")
_LISTEN: Final = """
window.__violations = [];
document.addEventListener("securitypolicyviolation", (event) => {
  window.__violations.push(event.violatedDirective + " " + event.blockedURI);
});
"""


@contextmanager
def open_browser() -> Iterator[Browser]:
    """A Chromium, the one installed here or the one Playwright brought."""
    found = next((path for name in CHROMIUMS if (path := shutil.which(name))), None)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=["--no-sandbox", "--disable-gpu"])
        yield browser
        browser.close()


@dataclass
class Watched:
    """A page of the browser with everything it complained about, ran or asked for.

    Attributes:
        page: The page.
        home: How addresses of the site begin; anything else is outside.
        faults: What went wrong so far.
    """

    page: Page
    home: str
    faults: list[str] = field(default_factory=list)

    def open(self, address: str) -> list[str]:
        """Opens an address of the site; all that went wrong since the last time."""
        self.page.goto(f"{self.home}{address}")
        return self.told()

    def told(self) -> list[str]:
        """All that went wrong since the last time."""
        broken_rules = self.page.evaluate("window.__violations.splice(0)")
        found, self.faults[:] = [*self.faults, *(f"policy: {rule}" for rule in broken_rules)], []
        return found


@contextmanager
def watched(browser: Browser, home: str, *, bypass_csp: bool = False, **how: Any) -> Iterator[Watched]:
    """A page of its own that can reach the site and nothing else."""
    context = browser.new_context(bypass_csp=bypass_csp, **how)
    context.set_default_timeout(5000)
    # The local server counts as network too, so only for a folder can the network be cut at the root.
    context.set_offline(home.startswith("file:"))
    try:
        page = context.new_page()
        seen = Watched(page, home)
        _listen(context, seen)
        yield seen
    finally:
        context.close()


def forget(seen: Watched, quiet: str, width: int, height: int) -> None:
    """Makes a lent page as good as new; a clock, a route or a script of one's own wants a page of one's own.

    Args:
        seen: The page.
        quiet: An address of the site on which no script runs: what is kept is kept for all its pages.
        width: How wide it is again.
        height: How high.
    """
    for other in seen.page.context.pages:
        if other is not seen.page:
            other.close()
    seen.page.goto(f"{seen.home}{quiet}")
    seen.page.evaluate("localStorage.clear(), sessionStorage.clear()")
    seen.page.set_viewport_size({"width": width, "height": height})
    seen.page.emulate_media(media="null", color_scheme="light", forced_colors="none", reduced_motion="no-preference")
    seen.faults.clear()


def _listen(context: BrowserContext, seen: Watched) -> None:
    def console(message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            seen.faults.append(f"console: {message.text}")

    def request(asked: Request) -> None:
        if not asked.url.startswith(seen.home):
            seen.faults.append(f"request: {asked.url}")

    def dialog(asked: Dialog) -> None:
        seen.faults.append(f"dialog: {asked.message}")
        asked.dismiss()

    def stop(route: Route) -> None:
        if route.request.url.startswith(seen.home):
            route.continue_()
        else:
            route.abort()

    context.add_init_script(_LISTEN)
    # A folder is opened with the network cut; to ask about each of its files would only take time.
    if not seen.home.startswith("file:"):
        context.route(re.compile("^(?!file:)"), stop)
    context.on("request", request)
    context.on("console", console)
    context.on("weberror", lambda error: seen.faults.append(f"error: {error.error}"))
    seen.page.on("dialog", dialog)
    context.on("page", lambda page: seen.faults.append(f"window: {page.url}"))


@contextmanager
def served(folder: Path, below: str, port: int = 0) -> Iterator[str]:
    """A folder served from this computer under a path of its own, on any port unless told; the address it begins with."""
    handler = partial(_Below, directory=str(folder), below=below)
    server = _Patient(("127.0.0.1", port), handler)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_port}{below}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


class _Patient(ThreadingHTTPServer):
    def handle_error(self, request: Any, client_address: Any) -> None:
        """A reader who went away in the middle of a file is nothing to tell of."""
        if not isinstance(sys.exception(), ConnectionError):
            super().handle_error(request, client_address)


class _Below(SimpleHTTPRequestHandler):
    def __init__(self, *given: Any, below: str, **more: Any) -> None:
        self.below = below
        super().__init__(*given, **more)

    def translate_path(self, path: str) -> str:
        inside = path.startswith(self.below)
        return super().translate_path("/" + path.removeprefix(self.below) if inside else "/not-in-this-site")

    def log_message(self, *words: Any) -> None:
        """Says nothing; what fails is seen in the browser."""


def breaches(page: Page) -> list[str]:
    """What breaks the rules of accessibility (WCAG 2.0 to 2.2, A and AA) on the page as it stands."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(f"() => {{ {_AXE.read_text(encoding='utf-8')} }}")
    result = page.evaluate(
        "(tags) => axe.run({ runOnly: tags, resultTypes: ['violations'], preload: false })", list(WCAG)
    )
    assert result["passes"], "nothing was looked at"
    return [
        f"{found['id']}: {node['html'][:160]} {node['failureSummary']}"
        for found in result["violations"]
        for node in found["nodes"]
    ]


def too_wide(page: Page) -> list[str]:
    """What makes the page scroll sideways."""
    return list(
        page.evaluate(
            """() => document.documentElement.scrollWidth <= document.documentElement.clientWidth ? [] :
            [...document.querySelectorAll("body *")].filter((each) =>
              each.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5
            ).map((each) => each.outerHTML.slice(0, 120)).slice(0, 5).concat("wider than the window")"""
        )
    )


def too_small(page: Page, selector: str, least: int) -> list[str]:
    """What of the selected, as far as it shows, is lower than a finger needs."""
    return list(
        page.evaluate(
            """([selector, least]) => [...document.querySelectorAll(selector)].filter((each) => each.checkVisibility())
            .filter((each) => [...each.getClientRects()].reduce((sum, box) => sum + box.height, 0) < least)
            .map((each) => each.outerHTML.slice(0, 160))""",
            [selector, least],
        )
    )
