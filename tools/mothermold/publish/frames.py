"""Hangs generated pages in frames: one page made by the site builder for each depth, split where the text goes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from html import escape
from typing import Final

from mothermold.pages.addresses import menu_of
from mothermold.pages.page import Page

TITLE: Final = "mothermold-title-goes-here"
BODY: Final = "mothermold-body-goes-here"
_NO_FORMS: Final = "form-action 'none'"


@dataclass(frozen=True, slots=True)
class Frame:
    """A built page around nothing, for one depth of folders."""

    before_title: str
    before_body: str
    after_body: str

    def hang(self, page: Page) -> str:
        """The whole HTML of a page."""
        before, after = (_marked(each, page) for each in (self.before_body, self.after_body))
        return f"{self.before_title}{escape(page.title)}{before}{page.body}{after}"

    def hang_form(self, page: Page) -> str:
        """The whole HTML of a page that may send forms to the server it comes from.

        Raises:
            ValueError: The frame says nothing of forms; a fault of ours.
        """
        if self.before_title.count(_NO_FORMS) != 1:
            raise ValueError("the frame page lacks its policy on forms")
        return replace(self, before_title=self.before_title.replace(_NO_FORMS, "form-action 'self'")).hang(page)


def _marked(around: str, page: Page) -> str:
    """Part of a frame in which the links say that one is there: on the page itself, or on one that belongs to its list."""
    own = f'href="{"../" * page.depth or "./"}{menu_of(page.address)}"'
    return around.replace(own, f'{own} aria-current="{"page" if menu_of(page.address) == page.address else "true"}"')


def split_frame(html: str) -> Frame:
    """Splits a built frame page.

    Raises:
        ValueError: The builder did not put title and body where the frame says; a fault of ours.
    """
    before_title, found_title, rest = html.partition(TITLE)
    before_body, found_body, after_body = rest.partition(f"<p>{BODY}</p>")
    if not found_title or not found_body:
        raise ValueError("the frame page lacks its title or its body")
    return Frame(before_title, before_body, after_body)


def frame_file(depth: int) -> str:
    """The name of the frame page for a depth."""
    return "in/" * depth + "frame.md"


def frame_source() -> str:
    """What the site builder makes a frame of."""
    return f"---\ntitle: {TITLE}\n---\n\n{BODY}\n"
