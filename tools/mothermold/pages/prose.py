"""An author's prose as HTML that can do no harm.

CommonMark with HTML switched off, and the output sanitized all the same: prose may come from anybody.
"""

from __future__ import annotations

import re
from typing import Final

import nh3
from markdown_it import MarkdownIt
from markdown_it.rules_core import StateCore
from markupsafe import Markup

from mothermold.pages.addresses import Links

# The parser lets `run:` through and refuses scripts; the sanitizer judges whatever it let through once more.
_MARKDOWN: Final = MarkdownIt("commonmark", {"html": False}).enable("table").disable("image")

_TAGS: Final = {
    "p", "br", "strong", "em", "code", "pre", "blockquote", "ul", "ol", "li", "a", "hr", "h4", "h5", "h6", "table",
    "thead", "tbody", "tr", "th", "td",
}  # fmt: skip
_SCHEMES: Final = {"http", "https", "mailto"}
# A page's own headings go down to the third rank; an author's stand below them.
_LOWER: Final = {"h1": "h4", "h2": "h5", "h3": "h6", "h4": "h6", "h5": "h6"}


def _lower_headings(state: StateCore) -> None:
    for token in state.tokens:
        token.tag = _LOWER.get(token.tag, token.tag)


_MARKDOWN.core.ruler.push("lower_headings", _lower_headings)


def typed(text: str) -> Markup:
    """What a notice says, with what is typed set apart; all else in it stands as it is, whoever wrote it."""
    return Markup("").join(
        Markup("<code>{}</code>").format(piece) if place % 2 else piece
        for place, piece in enumerate(re.split(r"`([^`]+)`", text))
    )


def prose(text: str, links: Links) -> Markup:
    """The HTML of a text.

    Links to runs (``[the third casting](run:r-2026-04-18-face-3)``) lead to the run's page where the edition
    holds it; other links keep only http, https, mailto and places in this site.
    """

    def keep(element: str, attribute: str, value: str) -> str | None:
        if attribute == "rel":
            return value
        if element != "a" or attribute != "href":
            return None
        if value[:4].casefold() == "run:":
            return links.document("run", value[4:])
        # Two slashes name another computer, and opened from a folder that is a computer in the same house.
        return None if value.startswith("//") else value

    html = nh3.clean(
        _MARKDOWN.render(text),
        tags=_TAGS,
        attributes={"a": {"href"}},
        url_schemes=_SCHEMES | {"run"},
        attribute_filter=keep,
        link_rel="noopener noreferrer",
    )
    return Markup(html)  # noqa: S704 - sanitized just above


def line(text: str, links: Links) -> Markup:
    """The HTML of a text that stands within a line: a paragraph of its own loses its tags."""
    html = str(prose(text, links)).strip()
    if html.startswith("<p>") and html.endswith("</p>") and html.count("<p>") == 1:
        html = html[3:-4]
    return Markup(html)  # noqa: S704 - sanitized in prose
