"""An author's prose as HTML that can do no harm.

CommonMark with HTML switched off, and the output sanitized all the same: prose may come from anybody.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Final

import nh3
from markdown_it import MarkdownIt
from markdown_it.rules_core import StateCore
from markdown_it.token import Token
from markupsafe import Markup

from mothermold.pages.addresses import Links

# The parser refuses scripts; the sanitizer judges whatever it let through once more.
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


def led(line: Sequence[Token], where: Callable[[str], str | None]) -> list[Token]:
    """A line whose links lead where they should; one that leads nowhere becomes its words, and its address if that is abroad.

    Args:
        line: What stands within a line.
        where: Where a link leads, by the target that was written; None for nowhere.
    """
    found: list[Token] = []
    dropped: str | None = None
    start = 0
    for token in line:
        if token.type == "link_open":
            target = str(token.attrGet("href") or "")
            if (place := where(target)) is None:
                dropped, start = target, len(found)
                continue
            token.attrSet("href", place)
        elif token.type == "link_close" and dropped is not None:
            said = "".join(each.content for each in found[start:])
            if re.match(r"(?i)https?:|mailto:", dropped) and dropped not in said:
                found.append(Token("text", "", 0, content=f" ({dropped})"))
            dropped = None
            continue
        found.append(token)
    return found


def _lead(state: StateCore) -> None:
    links = state.env["links"]
    for token in state.tokens if links is not None else ():
        if token.type == "inline":
            token.children = led(token.children or [], links.from_prose)


_MARKDOWN.core.ruler.push("lower_headings", _lower_headings)
_MARKDOWN.core.ruler.push("lead", _lead)


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
    html = _html(text, links) if "[" in text or "<" in text else _without_links(text)
    return Markup(html)  # noqa: S704 - sanitized just above


# The versions of a recipe say most things in the same words.
@lru_cache(maxsize=20_000)
def _without_links(text: str) -> str:
    return _html(text, None)


def _html(text: str, links: Links | None) -> str:
    return nh3.clean(
        _MARKDOWN.render(text, {"links": links}),
        tags=_TAGS,
        attributes={"a": {"href"}, "*": set()},
        url_schemes=_SCHEMES,
        link_rel="noopener noreferrer",
    )


def line(text: str, links: Links) -> Markup:
    """The HTML of a text that stands within a line: a paragraph of its own loses its tags."""
    html = str(prose(text, links)).strip()
    if html.startswith("<p>") and html.endswith("</p>") and html.count("<p>") == 1:
        html = html[3:-4]
    return Markup(html)  # noqa: S704 - sanitized in prose
