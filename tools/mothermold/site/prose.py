"""An author's prose as HTML that can do no harm.

CommonMark with HTML switched off, and the output sanitized all the same: prose may come from anybody.
"""

from __future__ import annotations

from typing import Final

import nh3
from markdown_it import MarkdownIt
from markupsafe import Markup

from mothermold.site.addresses import Links

# The parser lets `run:` through and refuses scripts; the sanitizer judges whatever it let through once more.
_MARKDOWN: Final = MarkdownIt("commonmark", {"html": False}).enable("table").disable("image")

_TAGS: Final = {
    "p", "br", "strong", "em", "code", "pre", "blockquote", "ul", "ol", "li", "a", "hr", "h1", "h2", "h3", "h4", "h5",
    "h6", "table", "thead", "tbody", "tr", "th", "td",
}  # fmt: skip
_SCHEMES: Final = {"http", "https", "mailto"}


def prose(text: str, links: Links) -> Markup:
    """The HTML of a text.

    Links to runs (``[the third casting](run:r-2026-04-18-face-3)``) lead to the run's page where the edition
    holds it; other links keep only http, https, mailto and places in this site.
    """

    def keep(element: str, attribute: str, value: str) -> str | None:
        if element != "a" or attribute != "href":
            return None
        if value.startswith("run:"):
            return links.document("run", value.removeprefix("run:"))
        return value

    html = nh3.clean(
        _MARKDOWN.render(text),
        tags=_TAGS,
        attributes={"a": {"href"}},
        url_schemes=_SCHEMES | {"run"},
        attribute_filter=keep,
        link_rel="external noopener noreferrer",
    )
    return Markup(html)  # noqa: S704 - sanitized just above


def line(text: str, links: Links) -> Markup:
    """The HTML of a text that stands within a line: a paragraph of its own loses its tags."""
    html = str(prose(text, links)).strip()
    if html.startswith("<p>") and html.endswith("</p>") and html.count("<p>") == 1:
        html = html[3:-4]
    return Markup(html)  # noqa: S704 - sanitized in prose
